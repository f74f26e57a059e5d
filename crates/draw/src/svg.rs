//! The tiny writer: elements to SVG text.
//!
//! Only what the pictures need, and nothing that could carry a script, a link or a file.
//! Text from documents enters through [`escape`] alone, and numbers through [`number`] alone.
//! Looks are attributes, not style sheets, so that a page may forbid styles in line; no
//! element has an id, so that several pictures may stand on one page.

use std::fmt::Write as _;

use crate::plane::Rect;

/// Text and lines. Nearly black, for the sun.
pub(crate) const INK: &str = "#111";
/// Second in rank, still 7 to 1 against white.
pub(crate) const GREY: &str = "#4d4d4d";
/// Rules and empty parts of bars.
pub(crate) const PALE: &str = "#dcdcdc";
/// The ground of every picture.
pub(crate) const PAPER: &str = "#fff";

/// Width and height of a picture, and what one step is on paper.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sheet {
    pub(crate) width: f64,
    pub(crate) height: f64,
    /// Empty for screen pixels, `mm` for print.
    pub(crate) unit: &'static str,
}

/// How a shape is filled and outlined.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Paint {
    fill: &'static str,
    stroke: Option<(&'static str, f64)>,
    dash: Option<&'static str>,
}

impl Paint {
    pub(crate) const fn fill(colour: &'static str) -> Self {
        Self { fill: colour, stroke: None, dash: None }
    }

    pub(crate) const fn line(colour: &'static str, width: f64) -> Self {
        Self { fill: "none", stroke: Some((colour, width)), dash: None }
    }

    pub(crate) const fn filled(mut self, colour: &'static str) -> Self {
        self.fill = colour;
        self
    }

    pub(crate) const fn dashed(mut self, pattern: &'static str) -> Self {
        self.dash = Some(pattern);
        self
    }

    /// The same line at another width.
    pub(crate) const fn wide(mut self, width: f64) -> Self {
        if let Some((colour, _)) = self.stroke {
            self.stroke = Some((colour, width));
        }
        self
    }
}

/// How a line of text looks.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Type {
    pub(crate) size: f64,
    bold: bool,
    colour: &'static str,
    anchor: Option<&'static str>,
    mono: bool,
}

impl Type {
    pub(crate) const fn plain(size: f64) -> Self {
        Self { size, bold: false, colour: INK, anchor: None, mono: false }
    }

    pub(crate) const fn bold(size: f64) -> Self {
        Self { bold: true, ..Self::plain(size) }
    }

    pub(crate) const fn mono(size: f64) -> Self {
        Self { mono: true, ..Self::plain(size) }
    }

    pub(crate) const fn colour(mut self, colour: &'static str) -> Self {
        self.colour = colour;
        self
    }

    /// Font size for estimates of width: bold letters are broader.
    pub(crate) fn broad(self) -> f64 {
        if self.bold { self.size * 1.14 } else { self.size }
    }

    /// The same at another size.
    pub(crate) const fn sized(mut self, size: f64) -> Self {
        self.size = size;
        self
    }

    /// The point given is the middle of the line, not its start.
    pub(crate) const fn middle(mut self) -> Self {
        self.anchor = Some("middle");
        self
    }

    /// The point given is the end of the line, not its start.
    pub(crate) const fn end(mut self) -> Self {
        self.anchor = Some("end");
        self
    }
}

/// The steps of a path.
#[derive(Clone, Debug, Default)]
pub(crate) struct Path(String);

impl Path {
    fn step(mut self, letter: char, numbers: &[f64]) -> Self {
        self.0.push(letter);
        for (place, value) in numbers.iter().enumerate() {
            let text = number(*value);
            if place > 0 && !text.starts_with('-') {
                self.0.push(' ');
            }
            self.0 += &text;
        }
        self
    }

    pub(crate) fn from(x: f64, y: f64) -> Self {
        Self::default().go(x, y)
    }

    pub(crate) fn go(self, x: f64, y: f64) -> Self {
        self.step('M', &[x, y])
    }

    pub(crate) fn line(self, x: f64, y: f64) -> Self {
        self.step('L', &[x, y])
    }

    /// Level, to this far across.
    pub(crate) fn across(self, x: f64) -> Self {
        self.step('H', &[x])
    }

    /// Upright, to this far down.
    pub(crate) fn down(self, y: f64) -> Self {
        self.step('V', &[y])
    }

    /// Part of a circle to a point, clockwise on the screen.
    pub(crate) fn arc(self, radius: f64, large: bool, x: f64, y: f64) -> Self {
        let large = if large { 1.0 } else { 0.0 };
        self.step('A', &[radius, radius, 0.0, large, 1.0, x, y])
    }

    /// A bend that leaves and arrives level.
    pub(crate) fn swing(self, from: (f64, f64), to: (f64, f64)) -> Self {
        let middle = f64::midpoint(from.0, to.0);
        self.step('C', &[middle, from.1, middle, to.1, to.0, to.1])
    }

    pub(crate) fn close(mut self) -> Self {
        self.0.push('Z');
        self
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

/// A picture being written.
#[derive(Debug)]
pub(crate) struct Svg {
    text: String,
}

impl Svg {
    /// Begins a picture. `title` names it, `desc` says in words all that it shows.
    pub(crate) fn new(sheet: Sheet, title: &str, desc: &str) -> Self {
        let Sheet { width, height, unit } = sheet;
        let (width, height) = (number(width), number(height));
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}{unit}\" \
             height=\"{height}{unit}\" viewBox=\"0 0 {width} {height}\" role=\"img\" \
             font-family=\"sans-serif\" fill=\"{INK}\">\n<title>{}</title>\n<desc>{}</desc>\n",
            escape(title),
            escape(desc)
        );
        let mut svg = Self { text };
        svg.rect((0.0, 0.0), (sheet.width, sheet.height), 0.0, Paint::fill(PAPER));
        svg
    }

    /// A piece without a sheet of its own, to be put into a picture.
    pub(crate) const fn part() -> Self {
        Self { text: String::new() }
    }

    pub(crate) fn append(&mut self, part: Self) {
        self.text += &part.text;
    }

    pub(crate) fn finish(mut self) -> String {
        self.text += "</svg>\n";
        self.text
    }

    fn open(&mut self, name: &str, numbers: &[(&str, f64)]) {
        let _ = write!(self.text, "<{name}");
        for (key, value) in numbers {
            let _ = write!(self.text, " {key}=\"{}\"", number(*value));
        }
    }

    fn close(&mut self, paint: Paint) {
        let _ = write!(self.text, " fill=\"{}\"", paint.fill);
        if let Some((colour, width)) = paint.stroke {
            let width = number(width);
            let _ = write!(self.text, " stroke=\"{colour}\" stroke-width=\"{width}\"");
        }
        if let Some(pattern) = paint.dash {
            let _ = write!(self.text, " stroke-dasharray=\"{pattern}\"");
        }
        self.text += "/>\n";
    }

    /// The paper of a plan, saying which place in metres lies in its middle and how many steps of
    /// the sheet a metre is, so that a page can tell a place from a touch.
    pub(crate) fn plan(&mut self, frame: Rect, scale: f64, (east, north): (f64, f64)) {
        let (left, top) = (number(frame.left), number(frame.top));
        let (width, height) = (number(frame.width()), number(frame.height()));
        let _ = writeln!(
            self.text,
            "<rect x=\"{left}\" y=\"{top}\" width=\"{width}\" height=\"{height}\" fill=\"{PAPER}\" \
             data-plan=\"{scale:.4} {east:.3} {north:.3}\"/>"
        );
    }

    pub(crate) fn circle(&mut self, (cx, cy): (f64, f64), r: f64, paint: Paint) {
        self.open("circle", &[("cx", cx), ("cy", cy), ("r", r)]);
        self.close(paint);
    }

    pub(crate) fn rect(
        &mut self,
        (x, y): (f64, f64),
        (width, height): (f64, f64),
        corner: f64,
        paint: Paint,
    ) {
        let sides = [("x", x), ("y", y), ("width", width), ("height", height), ("rx", corner)];
        let corners = if corner > 0.0 { 5 } else { 4 };
        self.open("rect", &sides[..corners]);
        self.close(paint);
    }

    pub(crate) fn line(&mut self, from: (f64, f64), to: (f64, f64), paint: Paint) {
        self.path(&Path::from(from.0, from.1).line(to.0, to.1), paint);
    }

    pub(crate) fn path(&mut self, path: &Path, paint: Paint) {
        let _ = write!(self.text, "<path d=\"{}\"", path.0);
        self.close(paint);
    }

    /// A filled path whose holes are where it runs around twice.
    pub(crate) fn even_odd(&mut self, path: &Path, colour: &'static str) {
        let d = &path.0;
        let _ = writeln!(self.text, "<path d=\"{d}\" fill=\"{colour}\" fill-rule=\"evenodd\"/>");
    }

    /// One line of text; an empty one leaves no trace.
    pub(crate) fn words(&mut self, (x, y): (f64, f64), kind: Type, words: &str) {
        if words.is_empty() {
            return;
        }
        self.open("text", &[("x", x), ("y", y), ("font-size", kind.size)]);
        if kind.colour != INK {
            let _ = write!(self.text, " fill=\"{}\"", kind.colour);
        }
        if kind.bold {
            self.text += " font-weight=\"bold\"";
        }
        if kind.mono {
            self.text += " font-family=\"monospace\"";
        }
        if let Some(anchor) = kind.anchor {
            let _ = write!(self.text, " text-anchor=\"{anchor}\"");
        }
        let _ = writeln!(self.text, ">{}</text>", escape(words));
    }

    /// Lines of text, one below the other. Returns the height of the line after the last.
    pub(crate) fn lines(&mut self, at: (f64, f64), step: f64, kind: Type, lines: &[String]) -> f64 {
        let mut y = at.1;
        for line in lines {
            self.words((at.0, y), kind, line);
            y += step;
        }
        y
    }
}

/// A number with at most two decimals, the same on every machine. What is no number, or lies
/// far outside any sheet, is written as 0: the reader of a picture must never see `NaN`. The
/// pictures say `unknown` in words long before that.
fn number(value: f64) -> String {
    if !value.is_finite() || value.abs() > 1e6 {
        return "0".into();
    }
    let text = format!("{value:.2}");
    match text.trim_end_matches('0').trim_end_matches('.') {
        "-0" => "0".into(),
        short => short.into(),
    }
}

/// Text as it may stand in an element or attribute. Signs that XML cannot hold, and signs
/// that turn the direction of the text around them, become the replacement sign.
fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '&' => safe += "&amp;",
            '<' => safe += "&lt;",
            '>' => safe += "&gt;",
            '"' => safe += "&quot;",
            '\'' => safe += "&#39;",
            '\n' | '\r' | '\t' => safe.push(' '),
            '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{FFFE}' | '\u{FFFF}' => {
                safe.push('\u{FFFD}');
            }
            sign if sign.is_control() => safe.push('\u{FFFD}'),
            sign => safe.push(sign),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const SHEET: Sheet = Sheet { width: 100.0, height: 50.0, unit: "mm" };

    #[test]
    fn numbers_have_at_most_two_decimals_and_are_never_nan() {
        for (value, text) in [
            (0.0, "0"),
            (-0.001, "0"),
            (10.0, "10"),
            (1.5, "1.5"),
            (-12.345_6, "-12.35"),
            (100.0, "100"),
            (1e6, "1000000"),
            (1.000_001e6, "0"),
            (f64::NAN, "0"),
            (f64::INFINITY, "0"),
            (f64::NEG_INFINITY, "0"),
        ] {
            assert_eq!(number(value), text, "{value}");
        }
    }

    #[test]
    fn size_title_and_words_stand_where_a_screen_reader_looks() {
        let text = Svg::new(SHEET, "A & B", "says <all>").finish();
        let tree = roxmltree::Document::parse(&text).unwrap();
        let root = tree.root_element();
        assert_eq!(root.attribute("width"), Some("100mm"));
        assert_eq!(root.attribute("viewBox"), Some("0 0 100 50"));
        assert_eq!(root.attribute("role"), Some("img"));
        let first: Vec<_> = root.children().filter(roxmltree::Node::is_element).take(2).collect();
        assert_eq!(first[0].tag_name().name(), "title");
        assert_eq!(first[0].text(), Some("A & B"));
        assert_eq!(first[1].tag_name().name(), "desc");
        assert_eq!(first[1].text(), Some("says <all>"));
    }

    #[test]
    fn signs_that_turn_text_around_or_that_xml_cannot_hold_are_replaced() {
        assert_eq!(escape("a\u{202E}b\u{0}c\nd"), "a\u{FFFD}b\u{FFFD}c d");
    }

    proptest! {
        #[test]
        fn any_text_comes_back_as_text_and_adds_no_element(words in any::<String>()) {
            let mut svg = Svg::new(SHEET, &words, &words);
            svg.words((1.0, 2.0), Type::plain(3.0), &words);
            let text = svg.finish();
            let tree = roxmltree::Document::parse(&text).unwrap();
            let elements = tree.descendants().filter(roxmltree::Node::is_element).count();
            prop_assert_eq!(elements, if words.is_empty() { 4 } else { 5 });
            if !words.is_empty() {
                let read = tree.descendants().filter(|node| node.has_tag_name("text"));
                let read: String = read.filter_map(|node| node.text()).collect();
                prop_assert_eq!(read.chars().count(), words.chars().count());
            }
        }
    }
}
