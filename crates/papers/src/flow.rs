//! From blocks to leaves: where pages end, what stands again on the next, what is at the foot.

use crate::{
    letters::{Letters, Line, Style},
    paper::{Block, Card, MM, Paper, Picture, Pieces, Table, Tick},
    pdf::{self, Drawing},
    table::{self, Measured, PAD, Set},
};

/// Something on a leaf. Lengths in points, from the upper left corner.
pub(crate) enum Mark {
    /// A line of words: left end and baseline.
    Words((f32, f32), Line),
    /// A straight rule.
    Rule { from: (f32, f32), to: (f32, f32), width: f32, grey: bool },
    /// A frame.
    Frame { at: (f32, f32), size: (f32, f32), width: f32, dashed: bool },
    /// A picture.
    Drawing { at: (f32, f32), size: (f32, f32), drawing: Box<Drawing> },
}

/// One page.
#[derive(Default)]
pub(crate) struct Leaf {
    pub(crate) marks: Vec<Mark>,
}

/// Empty border: wide enough for a punch and for any printer.
const EDGE: f32 = 17.0 * MM;
/// Letters of ordinary words, in points, at scale 1.
const SIZE: f32 = 9.5;
/// Lines of a value beside another; more have the whole width.
const LONG: usize = 2;
/// Kept free at the foot for caution and page number, at scale 1.
const FOOT: f32 = 26.0;

/// The leaves of a paper.
///
/// # Errors
///
/// Why a picture cannot be printed.
pub(crate) fn leaves(paper: &Paper) -> Result<Vec<Leaf>, pdf::Unprintable> {
    let mut flow = Flow::new(paper);
    flow.title();
    for (place, block) in paper.blocks.iter().enumerate() {
        if let Block::Heading(words) = block {
            flow.heading(words, paper.blocks.get(place + 1));
        } else {
            flow.block(block)?;
        }
    }
    flow.lacking();
    Ok(flow.finish())
}

struct Flow<'a> {
    paper: &'a Paper,
    letters: Letters,
    fonts: pdf::Fonts,
    size: (f32, f32),
    /// Letters of ordinary words.
    letter: f32,
    y: f32,
    /// Nothing stands on the page yet but its running head.
    fresh: bool,
    leaves: Vec<Leaf>,
}

impl<'a> Flow<'a> {
    fn new(paper: &'a Paper) -> Self {
        // Out of this range nothing readable is left.
        let scale = if paper.scale.is_finite() { paper.scale.clamp(0.7, 3.0) } else { 1.0 };
        Self {
            paper,
            letters: Letters::new(paper.right_to_left),
            fonts: pdf::Fonts::new(),
            size: paper.size.points(),
            letter: SIZE * scale,
            y: EDGE,
            fresh: true,
            leaves: vec![Leaf::default()],
        }
    }

    fn width(&self) -> f32 {
        self.size.0 - 2.0 * EDGE
    }

    /// Where the foot begins.
    fn bottom(&self) -> f32 {
        self.size.1 - EDGE - FOOT * self.letter.min(12.0) / SIZE
    }

    fn plain(&self) -> Style {
        Style::plain(self.letter)
    }

    fn bold(&self) -> Style {
        Style::bold(self.letter)
    }

    fn small(&self) -> Style {
        Style::plain(self.letter * 0.86).grey()
    }

    fn put(&mut self, mark: Mark) {
        if let Some(leaf) = self.leaves.last_mut() {
            leaf.marks.push(mark);
        }
    }

    /// The left edge of a box that begins `start` after the margin in reading direction.
    fn left(&self, start: f32, width: f32) -> f32 {
        if self.paper.right_to_left { self.size.0 - EDGE - start - width } else { EDGE + start }
    }

    /// A new page with its running head.
    fn turn(&mut self) {
        self.leaves.push(Leaf::default());
        (self.y, self.fresh) = (EDGE, true);
        let style = self.small();
        let head = &self.paper.head;
        let words = match head.subject.as_str() {
            "" => head.title.clone(),
            subject => format!("{}  ·  {subject}", head.title),
        };
        let line = self.letters.wrap(&words, style, self.width()).into_iter().next();
        if let Some(line) = line {
            self.lay(line, 0.0, self.width(), false);
        }
        self.rule(self.y + 2.0, 0.6, true);
        self.y += 9.0;
    }

    /// Turns the page unless this much is left, or nothing stands on it anyway.
    fn need(&mut self, height: f32) {
        if self.y + height > self.bottom() && !self.fresh {
            self.turn();
        }
    }

    fn rule(&mut self, y: f32, width: f32, grey: bool) {
        let (from, to) = ((EDGE, y), (self.size.0 - EDGE, y));
        self.put(Mark::Rule { from, to, width, grey });
    }

    /// Puts a line into a box at the height reached, and goes on below it.
    fn lay(&mut self, line: Line, start: f32, width: f32, end: bool) {
        let leading = line.style.leading();
        self.place(line, start, width, end, self.y);
        self.y += leading;
        self.fresh = false;
    }

    /// Puts a line into a box whose top is at `top`.
    fn place(&mut self, line: Line, start: f32, width: f32, end: bool, top: f32) {
        let left = self.left(start, width);
        let rightmost = end != self.paper.right_to_left;
        let x = if rightmost { left + width - line.width } else { left };
        // The share of the leading above the baseline.
        let baseline = top + line.style.size * 1.0;
        self.put(Mark::Words((x, baseline), line));
    }

    /// A paragraph in a box, over as many pages as it takes.
    fn paragraph(&mut self, words: &str, style: Style, start: f32, width: f32) {
        for line in self.letters.wrap(words, style, width) {
            self.need(style.leading());
            self.lay(line, start, width, false);
        }
    }

    fn title(&mut self) {
        let head = self.paper.head.clone();
        let stamp = self.stamp(&head.stamp);
        let room = self.width() - stamp;
        self.paragraph(&head.title, Style::bold(self.letter * 1.7), 0.0, room);
        self.paragraph(&head.subject, Style::bold(self.letter * 1.1), 0.0, room);
        for line in &head.lines {
            self.paragraph(line, self.plain(), 0.0, if stamp > 0.0 { room } else { self.width() });
        }
        self.rule(self.y + 3.0, 1.2, false);
        self.y += 8.0;
    }

    /// The framed words at the end of the title. Returns the width they take.
    fn stamp(&mut self, words: &str) -> f32 {
        if words.is_empty() {
            return 0.0;
        }
        let style = Style::bold(self.letter * 1.15);
        let most = self.width() * 0.36;
        let lines = self.letters.wrap(words, style, most);
        let inner = lines.iter().map(|line| line.width).fold(0.0, f32::max);
        let (width, height) = (inner + 14.0, lines.len() as f32 * style.leading() + 8.0);
        let start = self.width() - width;
        self.put(Mark::Frame {
            at: (self.left(start, width), EDGE + 1.0),
            size: (width, height),
            width: 1.6,
            dashed: false,
        });
        for (place, line) in lines.into_iter().enumerate() {
            let top = EDGE + 4.0 + place as f32 * style.leading();
            self.place(line, start + 7.0, inner, false, top);
        }
        width + 10.0
    }

    fn block(&mut self, block: &Block) -> Result<(), pdf::Unprintable> {
        match block {
            Block::Heading(words) => self.heading(words, None),
            Block::Text(words) => self.text(words, self.plain()),
            Block::Small(words) => self.text(words, self.small()),
            Block::Warning(words) => self.warning(words),
            Block::List(items) => self.list(items),
            Block::Facts(facts) => self.facts(facts),
            Block::Table(table) => self.table(table),
            Block::Ticks(ticks) => ticks.iter().for_each(|tick| self.tick(tick)),
            Block::Cards(cards) => return cards.iter().try_for_each(|card| self.card(card)),
            Block::Picture(picture) => return self.picture(picture),
            Block::Pieces(pieces) => return self.pieces(pieces),
            Block::Blanks(names) => self.blanks(names),
            Block::NewPage => {
                if !self.fresh {
                    self.turn();
                }
            }
        }
        Ok(())
    }

    /// A heading never stands alone at the foot: what it opens begins below it.
    fn heading(&mut self, words: &str, opens: Option<&Block>) {
        let style = Style::bold(self.letter * 1.2);
        let least = 4.5 * self.plain().leading();
        let opening = match opens {
            Some(Block::Picture(picture)) => {
                // A picture may shrink by a tenth to fit.
                pdf::size(&picture.svg).map_or(0.0, |size| 0.9 * self.scaled(size).1 + 26.0)
            }
            _ => 0.0,
        };
        self.need(style.leading() + opening.max(least));
        if !self.fresh {
            self.y += self.letter * 0.7;
        }
        self.paragraph(words, style, 0.0, self.width());
        self.rule(self.y + 0.5, 0.8, false);
        self.y += 4.0;
    }

    fn text(&mut self, words: &str, style: Style) {
        self.paragraph(words, style, 0.0, self.width());
        self.y += 3.0;
    }

    fn warning(&mut self, words: &str) {
        let style = self.bold();
        let inner = self.width() - 16.0;
        let lines = self.letters.wrap(words, style, inner);
        let height = lines.len() as f32 * style.leading() + 9.0;
        self.need(height + 4.0);
        self.y += 2.0;
        let top = self.y;
        self.y += 4.0;
        for line in lines {
            self.lay(line, 8.0, inner, false);
        }
        let size = (self.width(), height);
        self.put(Mark::Frame { at: (EDGE, top), size, width: 1.4, dashed: false });
        self.y = top + height + 5.0;
    }

    fn list(&mut self, items: &[String]) {
        let style = self.plain();
        for item in items {
            self.need(style.leading());
            let dash = self.letters.line("–", style);
            self.place(dash, 0.0, 10.0, false, self.y);
            self.paragraph(item, style, 11.0, self.width() - 11.0);
            self.y += 1.5;
        }
        self.y += 2.0;
    }

    /// Two beside each other; one whose value takes many lines has the whole width.
    fn facts(&mut self, facts: &[(String, String)]) {
        let half = (self.width() - 16.0) / 2.0;
        let mut rest = facts.iter().peekable();
        while let Some(fact) = rest.next() {
            let mut long = |fact: &(String, String)| self.fact(fact, half).1.len() > LONG;
            let first = long(fact);
            let second = if first { None } else { rest.next_if(|fact| !long(fact)) };
            let width = if first { self.width() } else { half };
            let sets: Vec<_> =
                std::iter::once(fact).chain(second).map(|fact| self.fact(fact, width)).collect();
            let most = sets.iter().map(|(name, value, _)| name.len().max(value.len())).max();
            let height = most.unwrap_or(1) as f32 * self.plain().leading();
            self.need(height);
            for (place, (name, value, split)) in sets.into_iter().enumerate() {
                let start = place as f32 * (half + 16.0);
                self.stack(name, start, split - 6.0, false);
                self.stack(value, start + split, width - split, false);
            }
            self.y += height + 1.5;
            self.fresh = false;
        }
        self.y += 3.0;
    }

    /// Name and value broken for a width, and where the value begins.
    fn fact(&mut self, (name, value): &(String, String), room: f32) -> (Vec<Line>, Vec<Line>, f32) {
        // The same for either width, so that values stand below each other.
        let split = (self.width() - 16.0) / 2.0 * 0.42;
        let name = self.letters.wrap(name, self.plain().grey(), split - 6.0);
        (name, self.letters.wrap(value, self.bold(), room - split), split)
    }

    /// Lines one below the other in a box that begins at the height reached.
    fn stack(&mut self, lines: Vec<Line>, start: f32, width: f32, end: bool) {
        let mut top = self.y;
        for line in lines {
            let leading = line.style.leading();
            self.place(line, start, width, end, top);
            top += leading;
        }
    }

    fn table(&mut self, table: &Table) {
        let (size, room) = (self.letter * 0.94, self.width());
        let measured = table::measure(&mut self.letters, table, size, room);
        let Measured { widths, head, rows } = measured;
        let numbers: Vec<bool> = table.columns.iter().map(|column| column.number).collect();
        let leading = Style::plain(self.letter * 0.94).leading();
        let row_height = |set: &Set| set.lines() as f32 * leading + 5.0;
        // A row higher than this is rather cut than kept together.
        let most = 0.4 * (self.bottom() - EDGE);
        let kept = |set: &Set| row_height(set).min(most);
        let opening = row_height(&head) + rows.first().map_or(0.0, kept);
        self.need(opening + 2.0);
        self.table_head(&head, &widths, &numbers, row_height(&head));
        for row in rows {
            if self.y + kept(&row) > self.bottom() && !self.fresh {
                self.turn();
                self.table_head(&head, &widths, &numbers, row_height(&head));
            }
            self.table_row(row, &head, &widths, &numbers, leading);
        }
        self.y += 6.0;
    }

    fn table_head(&mut self, head: &Set, widths: &[f32], numbers: &[bool], height: f32) {
        self.y += 2.0;
        let mut start = 0.0;
        for ((cell, width), number) in head.cells.iter().zip(widths).zip(numbers) {
            self.stack(cell.clone(), start + PAD, width - 2.0 * PAD, *number);
            start += width;
        }
        self.y += height - 2.0;
        self.rule(self.y, 1.0, false);
        self.y += 1.5;
    }

    /// A row; one that is higher than a page is cut between its lines, heading again above.
    fn table_row(
        &mut self,
        mut row: Set,
        head: &Set,
        widths: &[f32],
        numbers: &[bool],
        leading: f32,
    ) {
        if row.sum {
            self.rule(self.y, 0.8, false);
            self.y += 1.0;
        }
        loop {
            let room = ((self.bottom() - self.y - 4.0) / leading).floor().max(1.0) as usize;
            let lines = row.lines().min(room);
            let mut start = 0.0;
            for ((cell, width), number) in row.cells.iter_mut().zip(widths).zip(numbers) {
                let rest = cell.split_off(lines.min(cell.len()));
                let now = std::mem::replace(cell, rest);
                self.stack(now, start + PAD, width - 2.0 * PAD, *number);
                start += width;
            }
            self.y += lines as f32 * leading + 3.0;
            self.fresh = false;
            if row.cells.iter().all(Vec::is_empty) {
                break;
            }
            self.turn();
            let height = head.lines() as f32 * leading + 5.0;
            self.table_head(head, widths, numbers, height);
        }
        self.rule(self.y, 0.4, true);
        self.y += 1.0;
    }

    fn tick(&mut self, tick: &Tick) {
        let (bold, small) = (self.bold(), Style::plain(self.letter * 0.9));
        let edge = self.letter * 1.15;
        let indent = edge + self.letter * 2.4;
        let who = self.letters.line(&tick.who, self.small());
        let room = self.width() - indent;
        let first = room - who.width - if tick.who.is_empty() { 0.0 } else { 8.0 };
        let titles = self.letters.wrap(&tick.title, bold, first);
        let reading = if tick.reading.is_some() { 2.2 } else { 0.0 };
        // Box, title and the reading that belongs to it stay together where a page allows.
        let notes: Vec<Vec<Line>> =
            tick.notes.iter().map(|note| self.letters.wrap(note, small, room)).collect();
        let lines: usize = notes.iter().map(Vec::len).sum();
        let height = titles.len() as f32 * bold.leading()
            + lines as f32 * small.leading()
            + reading * small.leading();
        self.need(height.min(self.bottom() - EDGE - 40.0) + 4.0);
        self.put(Mark::Frame {
            at: (self.left(0.0, edge), self.y + 1.0),
            size: (edge, edge),
            width: if tick.hold.is_some() { 1.8 } else { 0.9 },
            dashed: false,
        });
        let mark = self.letters.line(&tick.mark, self.small());
        self.place(mark, edge + 3.0, indent - edge - 8.0, true, self.y);
        let width = who.width;
        self.place(who, self.width() - width, width, true, self.y);
        for line in titles {
            self.lay(line, indent, first, false);
        }
        for line in notes.into_iter().flatten() {
            self.need(small.leading());
            self.lay(line, indent, room, false);
        }
        if let Some(reading) = &tick.reading {
            let words = match &tick.hold {
                Some(hold) => format!("{hold}: {reading}"),
                None => reading.clone(),
            };
            let style = if tick.hold.is_some() { Style::bold(small.size) } else { small };
            self.paragraph(&words, style, indent, room);
            self.need(small.leading() * 1.3);
            self.y += small.leading() * 1.3;
            let left = self.left(indent, room);
            let (from, to) = ((left, self.y), (left + room, self.y));
            self.put(Mark::Rule { from, to, width: 0.5, grey: true });
        }
        self.y += 4.0;
    }

    fn card(&mut self, card: &Card) -> Result<(), pdf::Unprintable> {
        let side = if card.picture.is_some() { self.letter * 4.6 } else { 0.0 };
        let pad = self.letter * 0.6;
        let start = pad + if side > 0.0 { side + self.letter } else { 0.0 };
        let room = self.width() - start - pad;
        let (bold, plain) = (Style::bold(self.letter * 1.08), self.plain());
        let titles = self.letters.wrap(&card.title, bold, room);
        let words: Vec<Line> =
            card.words.iter().flat_map(|words| self.letters.wrap(words, plain, room)).collect();
        let inner = titles.len() as f32 * bold.leading() + words.len() as f32 * plain.leading();
        let height = inner.max(side) + 2.0 * pad;
        self.need(height + 4.0);
        let top = self.y;
        if let Some(svg) = &card.picture {
            let drawing = self.fonts.drawing(svg)?;
            let at = (self.left(pad, side), top + (height - side) / 2.0);
            self.put(Mark::Drawing { at, size: (side, side), drawing: Box::new(drawing) });
        }
        self.y += pad;
        for line in titles.into_iter().chain(words) {
            // Only a card higher than a page gets here with no room left.
            self.need(line.style.leading());
            self.lay(line, start, room, false);
        }
        if self.y > top {
            let size = (self.width(), height);
            let width = if card.missing { 1.2 } else { 0.6 };
            self.put(Mark::Frame { at: (EDGE, top), size, width, dashed: card.missing });
            self.y = top + height;
        }
        self.y += 5.0;
        Ok(())
    }

    /// Width and height of a picture across the page, no higher than what a page has left below
    /// a heading.
    fn scaled(&self, (across, down): (f32, f32)) -> (f32, f32) {
        let empty = self.bottom() - EDGE - 24.0 - 2.5 * self.letter;
        let scale = (self.width() / across).min(empty / down);
        (across * scale, down * scale)
    }

    fn picture(&mut self, picture: &Picture) -> Result<(), pdf::Unprintable> {
        let drawing = self.fonts.drawing(&picture.svg)?;
        let (across, down) = drawing.size();
        let mut scale = self.scaled((across, down)).0 / across;
        // Rather a little smaller here than alone on the next page.
        let rest = self.bottom() - self.y - 6.0;
        if down * scale > rest && rest > 0.9 * down * scale {
            scale = rest / down;
        }
        let size = (across * scale, down * scale);
        self.need(size.1 + 4.0);
        let at = ((self.size.0 - size.0) / 2.0, self.y);
        self.put(Mark::Drawing { at, size, drawing: Box::new(drawing) });
        self.y += size.1 + 6.0;
        self.fresh = false;
        Ok(())
    }

    /// Pieces at their true size, as many on a page as fit, in rows from the left.
    fn pieces(&mut self, pieces: &Pieces) -> Result<(), pdf::Unprintable> {
        let (across, down) = (pieces.size.0 * MM, pieces.size.1 * MM);
        let columns = ((self.size.0 - 16.0 * MM) / across).floor().max(1.0);
        let left = (self.size.0 - columns * across) / 2.0;
        for row in pieces.pieces.chunks(columns as usize) {
            self.need(down + 4.0);
            for (place, svg) in row.iter().enumerate() {
                let drawing = self.fonts.drawing(svg)?;
                let at = (left + place as f32 * across, self.y);
                let size = (across, down);
                self.put(Mark::Frame { at, size, width: 0.4, dashed: true });
                self.put(Mark::Drawing { at, size: (across, down), drawing: Box::new(drawing) });
            }
            self.y += down;
            self.fresh = false;
        }
        Ok(())
    }

    fn blanks(&mut self, names: &[String]) {
        let style = self.plain();
        for name in names {
            self.need(style.leading() * 1.9);
            self.y += style.leading() * 0.6;
            let line = self.letters.line(name, style);
            let (start, top) = (line.width + 8.0, self.y);
            self.lay(line, 0.0, self.width(), false);
            let room = (self.width() - start).max(40.0);
            let left = self.left(self.width() - room, room);
            let y = top + style.size * 1.15;
            let (from, to) = ((left, y), (left + room, y));
            self.put(Mark::Rule { from, to, width: 0.5, grey: true });
        }
        self.y += 4.0;
    }

    fn lacking(&mut self) {
        let lacking = self.letters.lacking + self.fonts.lacking;
        if lacking > 0 {
            let words = format!(
                "{lacking} signs on this paper are not in its letters (Latin, Greek, Cyrillic, Arabic) \
                 and are shown as \u{FFFD}: read them in the documents."
            );
            self.text(&words, self.small());
        }
    }

    /// Feet on all pages, now that it is known how many there are.
    fn finish(mut self) -> Vec<Leaf> {
        let pages = self.leaves.len();
        let size = (self.letter * 0.8).min(11.0);
        let (plain, bold) = (Style::plain(size).grey(), Style::bold(size));
        let footer = &self.paper.footer;
        let (width, top) = (self.width(), self.bottom() + 8.0);
        let mut leaves = std::mem::take(&mut self.leaves);
        for (place, leaf) in leaves.iter_mut().enumerate() {
            self.leaves.push(std::mem::take(leaf));
            self.rule(top - 3.0, 0.6, true);
            let words = footer.page.replace("{n}", &(place + 1).to_string());
            let number = self.letters.line(&words.replace("{m}", &pages.to_string()), bold);
            let room = number.width + 12.0;
            let caution = self.letters.wrap(&footer.caution, plain, width - room);
            self.place(number, 0.0, width, true, top);
            for (row, line) in caution.into_iter().take(2).enumerate() {
                self.place(line, 0.0, width, false, top + row as f32 * plain.leading());
            }
        }
        self.leaves
    }
}
