//! Paper for the yard: the tag on a drum and the label on its place in the rack.
//!
//! Both carry the drum's code. The grade comes first and largest, because the wrong grade is
//! the mistake that cannot be undone. What is not known says so, with room to write it in.

use uuid::Uuid;

use crate::{
    code::{CodeError, Modules, QUIET, code_text},
    svg::{GREY, INK, PAPER, Paint, Sheet, Svg, Type},
    words::{shorten, wrap},
};

/// What stands on a tag. Dates and amounts are words, in the reader's own units.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tag {
    /// The drum; its code says this.
    pub id: Uuid,
    /// What people call it.
    pub label: String,
    /// Grade as written on the drum.
    pub grade: Option<String>,
    /// The supplier's lot.
    pub batch: Option<String>,
    /// The supplier.
    pub supplier: Option<String>,
    /// Day it was filled.
    pub filled: Option<String>,
    /// Last day it may be used, by the pack.
    pub use_by: Option<String>,
    /// Contents when it was filled.
    pub contents: Option<String>,
    /// Numbers of the seals.
    pub seals: Option<String>,
}

/// Size of a tag on paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TagSize {
    /// 105 x 148 mm, with rows for samples.
    A6,
    /// 74 x 105 mm.
    A7,
}

/// What stands on a rack label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RackLabel {
    /// The drum; its code says this.
    pub id: Uuid,
    /// What people call it.
    pub label: String,
    /// Grade as written on the drum.
    pub grade: Option<String>,
    /// Rack, row and place.
    pub place: Option<String>,
    /// Last day it may be used, by the pack.
    pub use_by: Option<String>,
}

const UNKNOWN: &str = "unknown";
const NO_PROOF: &str = "A tag proves nothing: check seals, label and sample before use.";

/// Measures of a tag, in mm.
struct Form {
    sheet: Sheet,
    edge: f64,
    grade: f64,
    label: f64,
    code: f64,
    field: f64,
    /// Room for a table of samples.
    samples: bool,
}

impl TagSize {
    /// Width and height in mm.
    #[must_use]
    pub const fn millimetres(self) -> (f64, f64) {
        let sheet = self.form().sheet;
        (sheet.width, sheet.height)
    }

    const fn form(self) -> Form {
        match self {
            Self::A6 => Form {
                sheet: Sheet { width: 105.0, height: 148.0, unit: "mm" },
                edge: 6.0,
                grade: 9.0,
                label: 7.5,
                code: 46.0,
                field: 3.6,
                samples: true,
            },
            Self::A7 => Form {
                sheet: Sheet { width: 74.0, height: 105.0, unit: "mm" },
                edge: 4.0,
                grade: 6.5,
                label: 5.5,
                code: 36.0,
                field: 3.0,
                samples: false,
            },
        }
    }
}

/// One tag, ready to print at its size.
///
/// # Errors
///
/// [`CodeError`] when the code cannot be made.
pub fn drum_tag(tag: &Tag, size: TagSize) -> Result<String, CodeError> {
    let form = size.form();
    let Form { sheet, edge, .. } = form;
    let fields = fields(tag);
    let mut svg = Svg::new(sheet, &format!("Tag of drum {}", tag.label), &in_words(tag, &fields));
    let inner = sheet.width - 2.0 * edge;

    cut_line(&mut svg, (0.0, 0.0), (sheet.width, sheet.height));
    // Where the string goes through: clear of the words and of the code.
    svg.circle((sheet.width / 2.0, edge + 1.5), 2.5, Paint::line(GREY, 0.2));
    let mut y = edge + 7.0;
    y = grade_band(&mut svg, tag.grade.as_deref(), (edge, y), inner, form.grade);
    let label = Type::bold(form.label);
    svg.words((edge, y + form.label), label, &shorten(&tag.label, inner, label));
    y += form.label * 1.5;

    code(&mut svg, tag.id, (edge, y), form.code)?;
    let side = edge + form.code + 2.0;
    let below = column(&mut svg, &fields, (side, y), sheet.width - edge - side, form.field);
    y = below.max(y + form.code) + form.field;
    y = id_in_words(&mut svg, tag.id, (edge, y), form.field * 0.85);

    let foot = Type::bold(form.field * 0.95);
    let no_proof = wrap(NO_PROOF, inner, foot, 2);
    let top = sheet.height - edge - foot.size * 1.25 * (no_proof.len() as f64 - 0.8);
    svg.lines((edge, top), foot.size * 1.25, foot, &no_proof);
    if form.samples {
        samples(&mut svg, (edge, y), (inner, top - foot.size * 1.4 - y));
    }
    Ok(svg.finish())
}

fn fields(tag: &Tag) -> [(&'static str, Option<&str>); 6] {
    [
        ("Batch", tag.batch.as_deref()),
        ("Supplier", tag.supplier.as_deref()),
        ("Filled", tag.filled.as_deref()),
        ("Use by", tag.use_by.as_deref()),
        ("Filled with", tag.contents.as_deref()),
        ("Seals", tag.seals.as_deref()),
    ]
}

fn in_words(tag: &Tag, fields: &[(&str, Option<&str>)]) -> String {
    let mut says = format!("Grade {}.", tag.grade.as_deref().unwrap_or(UNKNOWN));
    for (name, value) in fields {
        says += &format!(" {name}: {}.", value.unwrap_or(UNKNOWN));
    }
    format!("{says} The code says {}. {NO_PROOF}", code_text(tag.id))
}

/// White on black, so that it is read first. Returns where the next thing may begin.
fn grade_band(svg: &mut Svg, grade: Option<&str>, at: (f64, f64), width: f64, size: f64) -> f64 {
    let height = size * 1.55;
    svg.rect(at, (width, height), 1.0, Paint::fill(INK));
    let words = grade.map_or_else(|| "GRADE UNKNOWN".to_owned(), str::to_owned);
    // A long grade is set smaller before it is shortened: all of it matters.
    let kind = Type::bold(size).colour(PAPER).middle();
    // A thousandth to spare, so that what was made to fit is not shortened for its rounding.
    let share = 0.999 * (width - 4.0) / crate::words::width(&words, kind);
    let kind = kind.sized(size * share.clamp(0.5, 1.0));
    let middle = (at.0 + width / 2.0, at.1 + height / 2.0 + kind.size * 0.36);
    svg.words(middle, kind, &shorten(&words, width - 4.0, kind));
    at.1 + height
}

/// The code with its quiet border, `size` in width altogether.
fn code(svg: &mut Svg, id: Uuid, at: (f64, f64), size: f64) -> Result<(), CodeError> {
    let modules = Modules::of(id)?;
    let border = size * QUIET as f64 / (modules.side + 2 * QUIET) as f64;
    let outline = modules.outline((at.0 + border, at.1 + border), size - 2.0 * border);
    svg.even_odd(&outline, INK);
    Ok(())
}

/// Name above value; an unknown value leaves a line to write on. Returns where it ends.
fn column(
    svg: &mut Svg,
    fields: &[(&str, Option<&str>)],
    at: (f64, f64),
    width: f64,
    size: f64,
) -> f64 {
    let (small, strong) = (Type::plain(size * 0.75).colour(GREY), Type::bold(size));
    let mut y = at.1 + size;
    for (name, value) in fields {
        svg.words((at.0, y), small, &shorten(name, width, small));
        y += size * 1.05;
        if let Some(value) = value {
            // Two lines at most, so that one long value does not push the rest off the paper.
            let lines = wrap(value, width, strong, 2);
            y = svg.lines((at.0, y), size * 1.05, strong, &lines);
        } else {
            svg.words((at.0, y), Type::plain(size), UNKNOWN);
            let rule = Paint::line(GREY, 0.15);
            svg.line((at.0, y + size * 0.3), (at.0 + width, y + size * 0.3), rule);
            y += size * 1.05;
        }
    }
    y
}

/// The id for a person to type when the code cannot be read, in two lines.
fn id_in_words(svg: &mut Svg, id: Uuid, at: (f64, f64), size: f64) -> f64 {
    let id = id.hyphenated().to_string();
    let (head, tail) = id.split_at(19);
    let lines = [format!("drum {head}"), format!("     {tail}").trim_start().to_owned()];
    svg.lines(at, size * 1.25, Type::mono(size), &lines)
}

/// Empty rows for what is seen in the jar, as many as there is room for.
fn samples(svg: &mut Svg, at: (f64, f64), (width, height): (f64, f64)) {
    const HEADS: [(&str, f64); 5] = [
        ("Sample on", 0.0),
        ("looks", 0.26),
        ("water paste", 0.47),
        ("L left", 0.69),
        ("by", 0.85),
    ];
    const STEP: f64 = 6.5;
    for (head, share) in HEADS {
        svg.words((at.0 + share * width + 0.6, at.1 + 1.2), Type::plain(2.5), head);
    }
    let top = at.1 + 2.2;
    let rows = ((height - 2.2) / STEP).floor().clamp(0.0, 20.0) as usize;
    let rule = Paint::line(INK, 0.2);
    for row in 0..=rows {
        let y = top + STEP * row as f64;
        svg.line((at.0, y), (at.0 + width, y), rule);
    }
    for (_, share) in HEADS.iter().skip(1) {
        let x = at.0 + share * width;
        svg.line((x, top), (x, top + STEP * rows as f64), rule);
    }
}

fn cut_line(svg: &mut Svg, at: (f64, f64), size: (f64, f64)) {
    svg.rect(at, size, 0.0, Paint::line(GREY, 0.15).dashed("1.5 1.5"));
}

const A4: Sheet = Sheet { width: 210.0, height: 297.0, unit: "mm" };
const LABEL: (f64, f64) = (92.0, 54.0);
const COLUMNS: usize = 2;
const ROWS: usize = 5;

/// Sheets of A4 with ten rack labels each, with lines to cut along. No labels, no sheet.
///
/// # Errors
///
/// [`CodeError`] when a code cannot be made.
pub fn label_sheets(labels: &[RackLabel]) -> Result<Vec<String>, CodeError> {
    let chunks: Vec<_> = labels.chunks(COLUMNS * ROWS).collect();
    let sheets = chunks.iter().enumerate().map(|(number, chunk)| {
        let title = format!("Rack labels, sheet {} of {}", number + 1, chunks.len());
        let says: Vec<_> = chunk.iter().map(label_in_words).collect();
        let mut svg = Svg::new(A4, &title, &says.join(" "));
        let left = (A4.width - LABEL.0 * COLUMNS as f64) / 2.0;
        let top = (A4.height - LABEL.1 * ROWS as f64) / 2.0;
        cut_grid(&mut svg, (left, top), chunk.len().div_ceil(COLUMNS));
        for (place, label) in chunk.iter().enumerate() {
            let (column, row) = (place % COLUMNS, place / COLUMNS);
            let at = (left + LABEL.0 * column as f64, top + LABEL.1 * row as f64);
            rack_label(&mut svg, label, at)?;
        }
        Ok(svg.finish())
    });
    sheets.collect()
}

/// Width and height of a rack label, in mm.
pub const LABEL_MM: (f64, f64) = LABEL;

/// One rack label with its line to cut along, for papers that lay out their own sheets.
///
/// # Errors
///
/// [`CodeError`] when the code cannot be made.
pub fn one_label(label: &RackLabel) -> Result<String, CodeError> {
    let sheet = Sheet { width: LABEL.0, height: LABEL.1, unit: "mm" };
    let title = format!("Rack label of {}", label.label);
    let mut svg = Svg::new(sheet, &title, &label_in_words(label));
    cut_line(&mut svg, (0.0, 0.0), LABEL);
    rack_label(&mut svg, label, (0.0, 0.0))?;
    Ok(svg.finish())
}

/// Lines to cut along, from edge to edge of the labels, each drawn once.
fn cut_grid(svg: &mut Svg, (left, top): (f64, f64), rows: usize) {
    let (right, bottom) = (left + LABEL.0 * COLUMNS as f64, top + LABEL.1 * rows as f64);
    let rule = Paint::line(GREY, 0.15).dashed("1.5 1.5");
    for column in 0..=COLUMNS {
        let x = left + LABEL.0 * column as f64;
        svg.line((x, top), (x, bottom), rule);
    }
    for row in 0..=rows {
        let y = top + LABEL.1 * row as f64;
        svg.line((left, y), (right, y), rule);
    }
}

fn label_in_words(label: &RackLabel) -> String {
    let known = |value: &Option<String>| value.clone().unwrap_or_else(|| UNKNOWN.into());
    format!(
        "{}: grade {}, place {}, use by {}, code {}.",
        label.label,
        known(&label.grade),
        known(&label.place),
        known(&label.use_by),
        code_text(label.id)
    )
}

fn rack_label(svg: &mut Svg, label: &RackLabel, at: (f64, f64)) -> Result<(), CodeError> {
    let (width, height) = LABEL;
    let (edge, size) = (4.0, 40.0);
    code(svg, label.id, (at.0 + 1.0, at.1 + (height - size) / 2.0 - 2.0), size)?;
    let id = label.id.hyphenated().to_string();
    let middle = Type::mono(2.1).middle();
    svg.words((at.0 + width / 2.0, at.1 + height - 3.5), middle, &format!("drum {id}"));

    let (x, room) = (at.0 + size + 2.0, width - size - 2.0 - edge);
    let y = grade_band(svg, label.grade.as_deref(), (x, at.1 + edge), room, 6.0);
    let name = Type::bold(6.0);
    svg.words((x, y + 7.5), name, &shorten(&label.label, room, name));
    let fields = [("Place", label.place.as_deref()), ("Use by", label.use_by.as_deref())];
    column(svg, &fields, (x, y + 9.5), room, 3.8);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bare(label: &str) -> RackLabel {
        RackLabel {
            id: Uuid::from_u128(1),
            label: label.into(),
            grade: None,
            place: None,
            use_by: None,
        }
    }

    #[test]
    fn ten_labels_fill_a_sheet_and_the_eleventh_begins_another() {
        for (labels, sheets) in [(0, 0), (1, 1), (10, 1), (11, 2)] {
            let labels = vec![bare("A-1"); labels];
            assert_eq!(label_sheets(&labels).unwrap().len(), sheets);
        }
    }

    #[test]
    fn a_grade_is_set_smaller_before_any_of_it_is_left_out() {
        let label = |grade: &str| RackLabel { grade: Some(grade.into()), ..bare("A-1") };
        for grade in ["JET A-1", "AVGAS 100LL", "AVGAS UL91 BLEND"] {
            let sheet = label_sheets(&[label(grade)]).unwrap().concat();
            assert!(sheet.contains(&format!(">{grade}</text>")), "{grade}");
        }
        let long = label_sheets(&[label(&"AVGAS 100LL ".repeat(9))]).unwrap().concat();
        assert!(long.contains('…'), "a grade without end stays on its band");
    }

    #[test]
    fn what_is_not_known_is_said_and_not_left_blank() {
        let sheets = label_sheets(&[bare("A-1")]).unwrap();
        assert!(sheets[0].contains(">GRADE UNKNOWN<"));
        assert!(sheets[0].contains("grade unknown, place unknown, use by unknown"));
        assert_eq!(sheets[0].matches(">unknown<").count(), 2);
    }
}
