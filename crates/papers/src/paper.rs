//! What stands on a paper, before anybody knows where a page ends.

/// Size of the sheet in the printer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Size {
    /// 210 x 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 x 11 in, US letter (ANSI/ASME Y14.1, size A).
    Letter,
}

/// Points in a millimetre: 72 points are an inch, an inch is 25.4 mm.
pub(crate) const MM: f32 = 72.0 / 25.4;

impl Size {
    /// Both sizes.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// Width and height in points.
    pub(crate) const fn points(self) -> (f32, f32) {
        match self {
            Self::A4 => (210.0 * MM, 297.0 * MM),
            Self::Letter => (612.0, 792.0),
        }
    }
}

/// A paper.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Paper {
    /// What it is and of what.
    pub head: Head,
    /// What stands at the foot of every page.
    pub footer: Footer,
    /// Size of the sheet.
    pub size: Size,
    /// BCP 47 language of its words: `en`, `ar`.
    pub language: String,
    /// It is read from right to left.
    pub right_to_left: bool,
    /// How large its letters are; 1 is 9.5 points. Held to between 0.7 and 3.
    pub scale: f32,
    /// Its contents, in order.
    pub blocks: Vec<Block>,
}

/// The top of a paper. Title and subject stand again, smaller, on every later page.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Head {
    /// What it is: `Load sheet`.
    pub title: String,
    /// Of what: the turnaround, the month.
    pub subject: String,
    /// Further lines: aeroplane, place, rules, people.
    pub lines: Vec<String>,
    /// What must be seen first, framed: `NOT READY`, `invented data`. May be empty.
    pub stamp: String,
}

/// The foot of every page.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Footer {
    /// Who decides.
    pub caution: String,
    /// Words around the numbers, with `{n}` and `{m}`: `page {n} of {m}`.
    pub page: String,
}

/// A part of a paper.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// Opens a part.
    Heading(String),
    /// A paragraph.
    Text(String),
    /// A paragraph in small print.
    Small(String),
    /// A framed paragraph: a warning.
    Warning(String),
    /// Paragraphs with a dash.
    List(Vec<String>),
    /// Names with values, in two columns.
    Facts(Vec<(String, String)>),
    /// A table; its headings stand again after a page break.
    Table(Table),
    /// Things to do, each with its box.
    Ticks(Vec<Tick>),
    /// Cards with a picture each.
    Cards(Vec<Card>),
    /// A picture across the page, no higher than the rest of an empty page.
    Picture(Picture),
    /// Pieces to cut out, at their true size.
    Pieces(Pieces),
    /// Lines to write on, each with its name.
    Blanks(Vec<String>),
    /// What follows begins on a new page.
    NewPage,
}

/// A table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows; a row with fewer cells than columns ends early.
    pub rows: Vec<Row>,
}

/// A column.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Column {
    /// Heading.
    pub head: String,
    /// Numbers: they stand at the end of the cell.
    pub number: bool,
    /// Least width in points, for what is written by hand.
    pub room: f32,
}

impl Column {
    /// A column of words.
    #[must_use]
    pub fn words(head: impl Into<String>) -> Self {
        Self { head: head.into(), ..Self::default() }
    }

    /// A column of numbers.
    #[must_use]
    pub fn number(head: impl Into<String>) -> Self {
        Self { number: true, ..Self::words(head) }
    }

    /// A column to write in.
    #[must_use]
    pub fn blank(head: impl Into<String>, room: f32) -> Self {
        Self { room, ..Self::words(head) }
    }
}

/// A row of a table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Row {
    /// Its cells.
    pub cells: Vec<Cell>,
    /// A sum: heavier, with a line above it.
    pub sum: bool,
}

/// A cell of a table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    /// Its words.
    pub words: String,
    /// Heavier than the rest.
    pub strong: bool,
}

impl<T: Into<String>> From<T> for Cell {
    fn from(words: T) -> Self {
        Self { words: words.into(), strong: false }
    }
}

impl<T: Into<Cell>> FromIterator<T> for Row {
    fn from_iter<I: IntoIterator<Item = T>>(cells: I) -> Self {
        Self { cells: cells.into_iter().map(Into::into).collect(), sum: false }
    }
}

/// Something to do.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tick {
    /// Beside the box: its number.
    pub mark: String,
    /// What to do.
    pub title: String,
    /// Who does it; may be empty.
    pub who: String,
    /// Why, and more to know.
    pub notes: Vec<String>,
    /// What is read, with a line to write it on.
    pub reading: Option<String>,
    /// It cannot be passed without its reading: a heavier box, and this word before the reading.
    pub hold: Option<String>,
}

/// A card: a picture and what is said.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Card {
    /// A square picture as SVG text; may be left out.
    pub picture: Option<String>,
    /// What it is about.
    pub title: String,
    /// What is said, one paragraph each.
    pub words: Vec<String>,
    /// Something is missing: the frame is dashed.
    pub missing: bool,
}

/// A picture.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Picture {
    /// SVG text, as `draw` writes it.
    pub svg: String,
}

/// Pieces to cut out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pieces {
    /// Width and height of each, in mm.
    pub size: (f32, f32),
    /// The pieces.
    pub pieces: Vec<Piece>,
}

/// A piece to cut out: SVG text.
pub type Piece = String;
