//! Letters: shaped, measured and broken into lines, in both directions.
//!
//! One family for every language of the papers, `DejaVu Sans Condensed` 2.37: Latin with all
//! its accents, Greek, Cyrillic, Arabic, and the signs of the trade. What it lacks (Chinese, for
//! one) is shown as U+FFFD and counted, never left out in silence.
//!
//! A line is split into runs of one direction by the Unicode bidirectional algorithm (UAX #9,
//! `unicode-bidi`), broken where UAX #14 allows it (`unicode-linebreak`), and each run is shaped
//! by itself (`rustybuzz`). The same glyphs are measured and drawn.

use std::{collections::HashMap, ops::Range, sync::OnceLock};

use rustybuzz::{BufferClusterLevel, Direction, Face, ShapePlan, UnicodeBuffer, script};
use unicode_bidi::{BidiInfo, Level};

/// How letters look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Style {
    /// Size in points.
    pub(crate) size: f32,
    pub(crate) bold: bool,
    pub(crate) grey: bool,
}

impl Style {
    pub(crate) const fn plain(size: f32) -> Self {
        Self { size, bold: false, grey: false }
    }

    pub(crate) const fn bold(size: f32) -> Self {
        Self { bold: true, ..Self::plain(size) }
    }

    pub(crate) const fn grey(self) -> Self {
        Self { grey: true, ..self }
    }

    /// From one baseline to the next. Arabic needs more than Latin, and gets it from this too.
    pub(crate) fn leading(self) -> f32 {
        self.size * 1.28
    }
}

/// A glyph, in shares of the size.
#[derive(Clone, Debug)]
pub(crate) struct Glyph {
    pub(crate) id: u32,
    pub(crate) advance: f32,
    pub(crate) offset: (f32, f32),
    /// The bytes of the run that it stands for; none for ink alone.
    pub(crate) of: Range<usize>,
}

/// Letters of one direction, in the order they are drawn.
#[derive(Clone, Debug)]
pub(crate) struct Run {
    pub(crate) text: String,
    pub(crate) glyphs: Vec<Glyph>,
}

impl Run {
    /// Width as a share of the size.
    pub(crate) fn width(&self) -> f32 {
        self.glyphs.iter().map(|glyph| glyph.advance).sum()
    }
}

/// A line ready to be drawn.
#[derive(Clone, Debug)]
pub(crate) struct Line {
    pub(crate) runs: Vec<Run>,
    pub(crate) style: Style,
    /// In points.
    pub(crate) width: f32,
}

pub(crate) const PLAIN: fn() -> &'static [u8] = dejavu::sans_condensed::regular;
pub(crate) const BOLD: fn() -> &'static [u8] = dejavu::sans_condensed::bold;

fn plain_face() -> Option<&'static Face<'static>> {
    static FACE: OnceLock<Option<Face<'static>>> = OnceLock::new();
    FACE.get_or_init(|| Face::from_slice(PLAIN(), 0)).as_ref()
}

fn bold_face() -> Option<&'static Face<'static>> {
    static FACE: OnceLock<Option<Face<'static>>> = OnceLock::new();
    FACE.get_or_init(|| Face::from_slice(BOLD(), 0)).as_ref()
}

/// What stands for a sign that the letters lack.
pub(crate) const LACKING: char = '\u{FFFD}';

/// Whether the letters of the papers have this sign.
///
/// # Examples
///
/// ```
/// use stillprop_papers::covers;
///
/// assert!(covers('é') && covers('ب') && covers('→'));
/// assert!(!covers('中'));
/// ```
#[must_use]
pub fn covers(sign: char) -> bool {
    // Most signs of a picture are these, and the test below knows that the letters have them.
    if matches!(sign, ' '..='~') {
        return true;
    }
    [plain_face(), bold_face()]
        .into_iter()
        .all(|face| face.is_some_and(|face| face.glyph_index(sign).is_some()))
}

/// What the letters say of themselves, as whoever hands them on must pass it along: names and
/// versions, copyright, licence. Read out of the letter files (OpenType, table `name`, ids 4, 5, 0
/// and 13); what both files say stands there once.
///
/// # Examples
///
/// ```
/// assert!(stillprop_papers::notices().concat().contains("Bitstream"));
/// ```
#[must_use]
pub fn notices() -> Vec<String> {
    use rustybuzz::ttf_parser::name_id::{COPYRIGHT_NOTICE, FULL_NAME, LICENSE, VERSION};
    let mut all: Vec<String> = Vec::new();
    for face in [plain_face(), bold_face()].into_iter().flatten() {
        let says = |id| {
            let mut names = face.names().into_iter().filter(|name| name.name_id == id);
            names.find_map(|name| name.to_string())
        };
        let name = [FULL_NAME, VERSION].into_iter().filter_map(says).collect::<Vec<_>>().join(", ");
        for notice in [Some(name), says(COPYRIGHT_NOTICE), says(LICENSE)].into_iter().flatten() {
            let notice = notice.replace('\r', "");
            if !notice.is_empty() && !all.contains(&notice) {
                all.push(notice);
            }
        }
    }
    all
}

/// Signs that only steer the direction. Isolates are kept for the algorithm and never drawn;
/// overrides, with which a name could turn a line around, are not kept.
const fn steers(sign: char) -> bool {
    matches!(sign, '\u{200E}' | '\u{200F}' | '\u{2066}'..='\u{2069}')
}

/// Text as it can be drawn, and how many signs were lacking.
pub(crate) fn drawable(text: &str) -> (String, usize) {
    let mut lacking = 0;
    let drawn = text
        .chars()
        .map(|sign| match sign {
            '\n' | '\r' | '\t' => ' ',
            sign if steers(sign) || covers(sign) && !sign.is_control() && !overrides(sign) => sign,
            _ => {
                lacking += 1;
                LACKING
            }
        })
        .collect();
    (drawn, lacking)
}

const fn overrides(sign: char) -> bool {
    matches!(sign, '\u{202A}'..='\u{202E}')
}

/// The letters of one paper, with what was worked out once.
pub(crate) struct Letters {
    right_to_left: bool,
    plans: HashMap<(bool, bool), ShapePlan>,
    widths: HashMap<(bool, String), f32>,
    /// Signs that were lacking so far.
    pub(crate) lacking: usize,
}

impl Letters {
    pub(crate) fn new(right_to_left: bool) -> Self {
        Self { right_to_left, plans: HashMap::new(), widths: HashMap::new(), lacking: 0 }
    }

    /// Lines no wider than `room`, broken where language allows, else between any two signs.
    pub(crate) fn wrap(&mut self, text: &str, style: Style, room: f32) -> Vec<Line> {
        let (text, lacking) = drawable(text);
        self.lacking += lacking;
        let base = if self.right_to_left { Level::rtl() } else { Level::ltr() };
        let bidi = BidiInfo::new(&text, Some(base));
        let mut lines = Vec::new();
        for paragraph in &bidi.paragraphs {
            for range in self.breaks(&text, style, room) {
                let kept = range.start..range.start + text[range].trim_end().len();
                let (levels, runs) = bidi.visual_runs(paragraph, kept);
                let runs: Vec<Run> = runs
                    .into_iter()
                    .map(|run| {
                        let reversed = levels[run.start].is_rtl();
                        self.shape(&text[run], style.bold, reversed)
                    })
                    .collect();
                let width = runs.iter().map(Run::width).sum::<f32>() * style.size;
                lines.push(Line { runs, style, width });
            }
        }
        lines
    }

    /// One line, however wide.
    pub(crate) fn line(&mut self, text: &str, style: Style) -> Line {
        let first = self.wrap(text, style, f32::INFINITY).into_iter().next();
        first.unwrap_or(Line { runs: Vec::new(), style, width: 0.0 })
    }

    /// Width of the widest piece that should not be broken, and of it all in one line.
    pub(crate) fn widths(&mut self, text: &str, style: Style) -> (f32, f32) {
        let (text, _) = drawable(text);
        let (mut widest, mut whole) = (0.0_f32, 0.0);
        for piece in pieces(&text) {
            widest = widest.max(self.measure(text[piece.clone()].trim_end(), style));
            whole += self.measure(&text[piece], style);
        }
        (widest, whole)
    }

    /// Where lines begin and end, in bytes.
    fn breaks(&mut self, text: &str, style: Style, room: f32) -> Vec<Range<usize>> {
        let mut lines: Vec<Range<usize>> = Vec::new();
        let (mut start, mut used) = (0, 0.0);
        for piece in pieces(text) {
            let bare = self.measure(text[piece.clone()].trim_end(), style);
            if used + bare > room && piece.start > start {
                lines.push(start..piece.start);
                (start, used) = (piece.start, 0.0);
            }
            if bare > room {
                let (cut, rest) = self.cut(text, piece.clone(), style, room);
                start = cut.last().map_or(start, |last| last.end);
                lines.extend(cut);
                used = rest;
                continue;
            }
            used += self.measure(&text[piece], style);
        }
        if start < text.len() || lines.is_empty() {
            lines.push(start..text.len());
        }
        lines
    }

    /// Breaks a piece that is wider than the room between any two signs.
    fn cut(
        &mut self,
        text: &str,
        piece: Range<usize>,
        style: Style,
        room: f32,
    ) -> (Vec<Range<usize>>, f32) {
        let (mut lines, mut start, mut used) = (Vec::new(), piece.start, 0.0);
        for (place, sign) in text[piece.clone()].char_indices() {
            let at = piece.start + place;
            let width = self.measure(sign.encode_utf8(&mut [0; 4]), style);
            if used + width > room && at > start {
                lines.push(start..at);
                (start, used) = (at, 0.0);
            }
            used += width;
        }
        (lines, used)
    }

    fn measure(&mut self, text: &str, style: Style) -> f32 {
        let key = (style.bold, text.to_owned());
        if let Some(width) = self.widths.get(&key) {
            return width * style.size;
        }
        let reversed = text.chars().any(|sign| {
            use unicode_bidi::BidiClass::{AL, R};
            matches!(unicode_bidi::bidi_class(sign), AL | R)
        });
        let width = self.shape(text, style.bold, reversed).width();
        self.widths.insert(key, width);
        width * style.size
    }

    fn shape(&mut self, text: &str, bold: bool, reversed: bool) -> Run {
        let text: String = text.chars().filter(|sign| !steers(*sign)).collect();
        let Some(face) = (if bold { bold_face() } else { plain_face() }) else {
            return Run { text, glyphs: Vec::new() };
        };
        let (direction, script) = if reversed {
            (Direction::RightToLeft, script::ARABIC)
        } else {
            (Direction::LeftToRight, script::LATIN)
        };
        let plan = self
            .plans
            .entry((bold, reversed))
            .or_insert_with(|| ShapePlan::new(face, direction, Some(script), None, &[]));
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(&text);
        buffer.set_direction(direction);
        buffer.set_script(script);
        // Every glyph knows its own signs, also a mark above a letter.
        buffer.set_cluster_level(BufferClusterLevel::Characters);
        let shaped = rustybuzz::shape_with_plan(face, plan, buffer);
        let em = face.units_per_em() as f32;
        let mut starts: Vec<usize> =
            shaped.glyph_infos().iter().map(|info| info.cluster as usize).collect();
        starts.sort_unstable();
        starts.dedup();
        let end = |start: usize| {
            let next = starts.partition_point(|other| *other <= start);
            starts.get(next).copied().unwrap_or(text.len())
        };
        let glyphs = shaped
            .glyph_infos()
            .iter()
            .zip(shaped.glyph_positions())
            .map(|(info, position)| Glyph {
                id: info.glyph_id,
                advance: position.x_advance as f32 / em,
                offset: (position.x_offset as f32 / em, position.y_offset as f32 / em),
                of: info.cluster as usize..end(info.cluster as usize),
            })
            .collect();
        let glyphs = if reversed { parted(face, &text, glyphs) } else { glyphs };
        Run { text, glyphs }
    }
}

/// Signs without ink and width, to stand for a letter that has no glyph of its own.
const BLANK: [char; 8] = [
    '\u{200B}', '\u{200C}', '\u{200D}', '\u{2060}', '\u{2061}', '\u{2062}', '\u{2063}', '\u{2064}',
];
/// The signs that each of the blanks stands for, but the last, which stands for all others: the
/// letters that join a lam from behind, shadda and the short vowels that are written most.
const STANDS_FOR: [char; 7] =
    ['\u{627}', '\u{623}', '\u{625}', '\u{622}', '\u{651}', '\u{650}', '\u{64B}'];

/// Glyphs that run from right to left, each with one sign of the text.
///
/// A reader of a PDF takes the glyphs of a line from the left and turns a stretch of Arabic round,
/// one glyph after the other. Two letters that stand for one glyph, lam-alef, would stay in
/// their order and come out turned: so the glyph keeps the first, and for each further letter a
/// blank without width stands at its left. A mark above or below a letter reaches back over it,
/// which a reader takes for a new word: it is drawn as ink alone, and a blank stands for it too.
fn parted(face: &Face<'_>, text: &str, glyphs: Vec<Glyph>) -> Vec<Glyph> {
    let blank = |sign: char, of: Range<usize>| {
        let known = STANDS_FOR.iter().position(|known| *known == sign);
        let id = face.glyph_index(BLANK[known.unwrap_or(STANDS_FOR.len())])?;
        Some(Glyph { id: id.0.into(), advance: 0.0, offset: (0.0, 0.0), of })
    };
    let mut all = Vec::with_capacity(glyphs.len());
    for mut glyph in glyphs {
        let start = glyph.of.start;
        let signs: Vec<(usize, char)> = text[glyph.of.clone()].char_indices().collect();
        let mark = glyph.advance == 0.0;
        let blanks = signs.iter().skip(usize::from(!mark)).rev().filter_map(|(place, sign)| {
            let from = start + place;
            blank(*sign, from..from + sign.len_utf8())
        });
        all.extend(blanks);
        if mark {
            glyph.of.end = start;
        } else if let Some((place, _)) = signs.get(1) {
            glyph.of.end = start + place;
        }
        all.push(glyph);
    }
    all
}

/// The pieces between two places where a line may break.
fn pieces(text: &str) -> impl Iterator<Item = Range<usize>> {
    let mut start = 0;
    unicode_linebreak::linebreaks(text).map(move |(end, _)| {
        let piece = start..end;
        start = end;
        piece
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const STYLE: Style = Style::plain(10.0);

    fn drawn(line: &Line) -> Vec<&str> {
        line.runs.iter().map(|run| run.text.as_str()).collect()
    }

    #[test]
    fn digits_in_arabic_keep_their_order_and_words_are_joined() {
        let mut letters = Letters::new(true);
        let line = letters.line("الوزن 1043 كغ", STYLE);
        // From the left: the unit, the number, the first word.
        assert_eq!(drawn(&line), [" كغ", "1043", "الوزن "]);
        let number: Vec<u32> = line.runs[1].glyphs.iter().map(|glyph| glyph.id).collect();
        let digit = |sign| u32::from(plain_face().unwrap().glyph_index(sign).unwrap().0);
        assert_eq!(number, ['1', '0', '4', '3'].map(digit));
        // A letter in a word has another shape than alone.
        let alone = u32::from(plain_face().unwrap().glyph_index('ك').unwrap().0);
        assert!(line.runs[0].glyphs.iter().all(|glyph| glyph.id != alone));
    }

    #[test]
    fn glyphs_from_the_right_spell_the_text_when_they_are_turned_round_one_by_one() {
        for text in ["لا إلا الآن للإسعافات", "المعلّم", "كنتِ حاملا", "الأول", "شكرًا"]
        {
            for bold in [false, true] {
                let run = Letters::new(true).shape(text, bold, true);
                let spelt: Vec<&str> =
                    run.glyphs.iter().rev().map(|glyph| &run.text[glyph.of.clone()]).collect();
                assert_eq!(spelt.concat(), text);
                assert!(spelt.iter().all(|signs| signs.chars().count() <= 1), "{spelt:?}");
            }
        }
    }

    #[test]
    fn blanks_have_no_ink_and_no_width_in_both_letter_files() {
        for face in [plain_face(), bold_face()] {
            for sign in BLANK {
                let id = face.unwrap().glyph_index(sign).unwrap();
                assert_eq!(face.unwrap().glyph_hor_advance(id), Some(0), "{:x}", u32::from(sign));
                assert_eq!(face.unwrap().glyph_bounding_box(id), None);
            }
        }
    }

    #[test]
    fn both_letter_files_have_every_ascii_sign() {
        for face in [plain_face(), bold_face()] {
            assert!((' '..='~').all(|sign| face.unwrap().glyph_index(sign).is_some()));
        }
    }

    #[test]
    fn what_the_letters_lack_is_shown_and_counted() {
        let (text, lacking) = drawable("A-中文 \u{202E}x\u{7}");
        assert_eq!(text, "A-\u{FFFD}\u{FFFD} \u{FFFD}x\u{FFFD}");
        assert_eq!(lacking, 4);
    }

    #[test]
    fn a_word_wider_than_the_room_is_broken_and_nothing_of_it_is_lost() {
        let mut letters = Letters::new(false);
        let word = "0123456789".repeat(12);
        let lines = letters.wrap(&format!("before {word} after"), STYLE, 100.0);
        assert!(lines.iter().all(|line| line.width <= 100.0), "{lines:?}");
        let all: String = lines.iter().flat_map(drawn).collect();
        assert_eq!(all.replace(' ', ""), format!("before{word}after"));
    }

    proptest! {
        #[test]
        fn no_line_is_wider_than_its_room_and_no_sign_is_missing(
            text in "[a-zA-Zéàß 0-9.,:()%/-]{0,120}|[ابتثجحخدذرزسشصضطظعغ 0-9]{0,80}",
            room in 40.0_f32..400.0,
            right_to_left: bool,
        ) {
            let mut letters = Letters::new(right_to_left);
            for line in letters.wrap(&text, STYLE, room) {
                prop_assert!(line.width <= room + 0.5, "{} in {room}", line.width);
                let glyphs = line.runs.iter().flat_map(|run| &run.glyphs);
                prop_assert!(glyphs.clone().all(|glyph| glyph.id != 0));
            }
        }

        #[test]
        fn any_text_is_broken_without_panic(text in any::<String>(), right_to_left: bool) {
            let mut letters = Letters::new(right_to_left);
            letters.wrap(&text, STYLE, 120.0);
            letters.widths(&text, STYLE);
        }
    }
}
