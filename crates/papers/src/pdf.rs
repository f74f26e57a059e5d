//! From leaves to bytes, by `krilla`; pictures by `usvg` and `krilla-svg`.
//!
//! No date, no name of a machine and no chance goes in: the ids that a PDF carries are hashes of
//! its contents.

use std::{fmt, sync::Arc};

use krilla::{
    Document, SerializeSettings,
    color::luma,
    geom::{PathBuilder, Point, Rect, Size, Transform},
    metadata::{Metadata, TextDirection},
    num::NormalizedF32,
    page::PageSettings,
    paint::{Fill, Stroke, StrokeDash},
    surface::Surface,
    text::{Font, GlyphId, KrillaGlyph},
};
use krilla_svg::{SurfaceExt, SvgSettings};
use usvg::{Tree, fontdb};

use crate::{
    flow::{self, Leaf, Mark},
    letters::{BOLD, Glyph, Line, PLAIN, Run, drawable},
    paper::Paper,
};

/// Why a paper cannot be printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unprintable {
    /// A picture is not SVG that can be drawn.
    Picture(String),
    /// The letters built into the program cannot be read.
    Letters,
    /// The writer refused.
    Writer(String),
}

impl fmt::Display for Unprintable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Picture(why) => write!(f, "a picture of the paper cannot be drawn: {why}"),
            Self::Letters => f.write_str("the letters of the program cannot be read"),
            Self::Writer(why) => write!(f, "the paper cannot be written: {why}"),
        }
    }
}

impl std::error::Error for Unprintable {}

/// A picture, read.
pub(crate) struct Drawing(Tree);

impl Drawing {
    pub(crate) fn size(&self) -> (f32, f32) {
        (self.0.size().width(), self.0.size().height())
    }
}

/// Width and height of a picture by its head, without reading all of it; `None` when it has none.
pub(crate) fn size(svg: &str) -> Option<(f32, f32)> {
    let view = svg.split_once("viewBox=\"")?.1.split_once('"')?.0;
    let mut numbers = view.split_ascii_whitespace().skip(2).map(str::parse);
    let (across, down) = (numbers.next()?.ok()?, numbers.next()?.ok()?);
    (across > 0.0 && down > 0.0).then_some((across, down))
}

/// The letters for words within pictures.
pub(crate) struct Fonts {
    options: usvg::Options<'static>,
    /// Signs in pictures that were lacking so far.
    pub(crate) lacking: usize,
}

impl Fonts {
    pub(crate) fn new() -> Self {
        let mut database = fontdb::Database::new();
        for letters in [PLAIN, BOLD] {
            database.load_font_source(fontdb::Source::Binary(Arc::new(letters())));
        }
        let family = "DejaVu Sans Condensed";
        let own = database.faces().next().and_then(|face| face.families.first());
        let family = own.map_or_else(|| family.to_owned(), |family| family.0.clone());
        database.set_sans_serif_family(&family);
        // The code below a tag is set in these too: one family fewer to embed.
        database.set_monospace_family(&family);
        database.set_serif_family(&family);
        let options = usvg::Options {
            fontdb: Arc::new(database),
            font_family: family,
            ..usvg::Options::default()
        };
        Self { options, lacking: 0 }
    }

    pub(crate) fn drawing(&mut self, svg: &str) -> Result<Drawing, Unprintable> {
        let (svg, lacking) = drawable(svg);
        self.lacking += lacking;
        let tree = Tree::from_str(&svg, &self.options);
        tree.map(Drawing).map_err(|error| Unprintable::Picture(error.to_string()))
    }
}

/// A paper as the bytes of a PDF.
///
/// # Errors
///
/// [`Unprintable`], when a picture is no picture.
///
/// # Examples
///
/// ```
/// use stillprop_papers::{Block, Paper, print};
///
/// let paper = Paper { blocks: vec![Block::Text("1043 kg".into())], ..Paper::default() };
/// assert!(print(&paper).unwrap().starts_with(b"%PDF-"));
/// assert_eq!(print(&paper), print(&paper));
/// ```
pub fn print(paper: &Paper) -> Result<Vec<u8>, Unprintable> {
    let leaves = flow::leaves(paper)?;
    let font =
        |letters: fn() -> &'static [u8]| Font::new(letters().into(), 0).ok_or(Unprintable::Letters);
    let pens = Pens { plain: font(PLAIN)?, bold: font(BOLD)? };
    let settings = SerializeSettings { enable_tagging: false, ..SerializeSettings::default() };
    let mut document = Document::new_with(settings);
    let (width, height) = paper.size.points();
    for leaf in &leaves {
        let size = PageSettings::from_wh(width, height)
            .ok_or_else(|| Unprintable::Writer("a page without size".into()))?;
        let mut page = document.start_page_with(size);
        let mut surface = page.surface();
        pens.leaf(&mut surface, leaf);
        surface.finish();
        page.finish();
    }
    document.set_metadata(metadata(paper));
    document.finish().map_err(|error| Unprintable::Writer(format!("{error:?}")))
}

fn metadata(paper: &Paper) -> Metadata {
    let head = &paper.head;
    let title = match head.subject.as_str() {
        "" => head.title.clone(),
        subject => format!("{}: {subject}", head.title),
    };
    let direction =
        if paper.right_to_left { TextDirection::RightToLeft } else { TextDirection::LeftToRight };
    let metadata = Metadata::new().title(title).creator("Stillprop".into());
    let metadata = metadata.description(paper.footer.caution.clone()).text_direction(direction);
    if paper.language.is_empty() { metadata } else { metadata.language(paper.language.clone()) }
}

struct Pens {
    plain: Font,
    bold: Font,
}

/// Still 7 to 1 against white.
const GREY: u8 = 0x4d;
/// Rules beside words: seen, never louder than the words.
const RULE: u8 = 0x80;

fn fill(grey: u8) -> Fill {
    Fill {
        paint: luma::Color::new(grey).into(),
        opacity: NormalizedF32::ONE,
        rule: Default::default(),
    }
}

fn stroke(width: f32, grey: u8, dash: bool) -> Stroke {
    Stroke {
        paint: luma::Color::new(grey).into(),
        width,
        dash: dash.then(|| StrokeDash { array: vec![5.0, 3.0], offset: 0.0 }),
        ..Stroke::default()
    }
}

impl Pens {
    fn leaf(&self, surface: &mut Surface<'_>, leaf: &Leaf) {
        for mark in &leaf.marks {
            match mark {
                Mark::Words(at, line) => self.words(surface, *at, line),
                Mark::Rule { from, to, width, grey } => {
                    let mut path = PathBuilder::new();
                    path.move_to(from.0, from.1);
                    path.line_to(to.0, to.1);
                    outline(surface, path, stroke(*width, if *grey { RULE } else { 0 }, false));
                }
                Mark::Frame { at, size, width, dashed } => {
                    let mut path = PathBuilder::new();
                    if let Some(rect) = Rect::from_xywh(at.0, at.1, size.0, size.1) {
                        path.push_rect(rect);
                    }
                    outline(surface, path, stroke(*width, 0, *dashed));
                }
                Mark::Drawing { at, size, drawing } => {
                    let Some(size) = Size::from_wh(size.0, size.1) else { continue };
                    surface.push_transform(&Transform::from_translate(at.0, at.1));
                    surface.draw_svg(&drawing.0, size, SvgSettings::default());
                    surface.pop();
                }
            }
        }
    }

    fn words(&self, surface: &mut Surface<'_>, (mut x, y): (f32, f32), line: &Line) {
        let style = line.style;
        surface.set_stroke(None);
        surface.set_fill(Some(fill(if style.grey { GREY } else { 0 })));
        let font = if style.bold { &self.bold } else { &self.plain };
        for run in &line.runs {
            // Ink alone is drawn and never read: what it means stands beside it without ink.
            let (ink, read): (Vec<_>, Vec<_>) = placed(run).partition(|(_, it)| it.of.is_empty());
            let glyphs: Vec<KrillaGlyph> = read.iter().map(|(_, glyph)| drawn(glyph)).collect();
            let at = Point::from_xy(x, y);
            surface.draw_glyphs(at, &glyphs, font.clone(), &run.text, style.size, false);
            for (before, glyph) in ink {
                let at = Point::from_xy(x + before * style.size, y);
                surface.draw_glyphs(at, &[drawn(glyph)], font.clone(), "", style.size, true);
            }
            x += run.width() * style.size;
        }
    }
}

/// Each glyph of a run with the width before it.
fn placed(run: &Run) -> impl Iterator<Item = (f32, &Glyph)> {
    run.glyphs.iter().scan(0.0, |before, glyph| {
        let at = *before;
        *before += glyph.advance;
        Some((at, glyph))
    })
}

fn drawn(glyph: &Glyph) -> KrillaGlyph {
    KrillaGlyph {
        glyph_id: GlyphId::new(glyph.id),
        text_range: if glyph.of.is_empty() { 0..0 } else { glyph.of.clone() },
        x_advance: glyph.advance,
        x_offset: glyph.offset.0,
        y_offset: glyph.offset.1,
        y_advance: 0.0,
        location: None,
    }
}

fn outline(surface: &mut Surface<'_>, path: PathBuilder, stroke: Stroke) {
    if let Some(path) = path.finish() {
        surface.set_fill(None);
        surface.set_stroke(Some(stroke));
        surface.draw_path(&path);
    }
}
