//! Words in a picture: how wide they are, where they break, how they are shortened.
//!
//! The writer knows no font, because the reader's machine picks it. Widths are estimates for
//! the widest of the common sans-serifs, so that words stay inside their box in any of them.

use crate::svg::Type;

/// Estimated width of `text`.
pub(crate) fn width(text: &str, kind: Type) -> f64 {
    text.chars().map(share_of_size).sum::<f64>() * kind.broad()
}

/// Width of one sign as a share of the font size. Estimated, with some to spare.
fn share_of_size(sign: char) -> f64 {
    match sign {
        'i' | 'j' | 'l' | 'I' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' => 0.33,
        ' ' | 'f' | 't' | 'r' | '(' | ')' | '-' | '/' => 0.40,
        'm' | 'w' | 'M' | 'W' | '%' | '@' => 0.95,
        'A'..='Z' => 0.74,
        '0'..='9' | 'a'..='z' | '?' | '_' => 0.63,
        sign if sign < '\u{2E80}' => 0.75,
        _ => 1.1,
    }
}

/// Shortens in the middle, because the ends of a label or number tell things apart.
pub(crate) fn shorten(text: &str, room: f64, kind: Type) -> String {
    if width(text, kind) <= room {
        return text.to_owned();
    }
    let signs: Vec<char> = text.chars().collect();
    let (mut head, mut tail) = (String::new(), Vec::new());
    let mut left = room - width("…", kind);
    let (mut first, mut last) = (0, signs.len());
    // From both ends inwards in turn, the tail first, while there is room.
    while first < last {
        let from_end = tail.len() <= first;
        let sign = if from_end { signs[last - 1] } else { signs[first] };
        left -= share_of_size(sign) * kind.broad();
        if left < 0.0 {
            break;
        }
        if from_end {
            tail.push(sign);
            last -= 1;
        } else {
            head.push(sign);
            first += 1;
        }
    }
    head.push('…');
    head.extend(tail.into_iter().rev());
    head
}

/// Breaks at spaces, and inside what is too long at its hyphens and strokes, into at most
/// `most` lines; the last takes what is left, shortened.
pub(crate) fn wrap(text: &str, room: f64, kind: Type, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let too_long = width(word, kind) > room;
        let pieces = word.split_inclusive(|sign| too_long && matches!(sign, '-' | '/' | '_'));
        for (place, piece) in pieces.enumerate() {
            let gap = if place == 0 { " " } else { "" };
            let may_break = lines.len() < most.max(1);
            match lines.last_mut() {
                Some(line) if !may_break || fits(line, gap, piece, room, kind) => {
                    line.push_str(gap);
                    line.push_str(piece);
                }
                _ => lines.push(piece.to_owned()),
            }
        }
    }
    lines.iter().map(|line| shorten(line, room, kind)).collect()
}

/// True when `piece` still has room on `line`.
fn fits(line: &str, gap: &str, piece: &str, room: f64, kind: Type) -> bool {
    width(line, kind) + width(gap, kind) + width(piece, kind) <= room
}

/// Litres there are: whole, rounded down, never more than there is. `None` when no number.
pub(crate) fn litres_left(litres: Option<f64>) -> Option<String> {
    let litres = known(litres)?;
    // A sum of thousandths may end a hair below the whole litre it is.
    Some(format!("{:.0} L", (litres + 1e-6).floor()))
}

/// Litres that flowed: to the tenth, because it is a record. `None` when no number.
pub(crate) fn litres_moved(litres: Option<f64>) -> Option<String> {
    let litres = (known(litres)? * 10.0).round() / 10.0;
    Some(if litres.fract() == 0.0 { format!("{litres:.0} L") } else { format!("{litres:.1} L") })
}

/// Metres there are: to the tenth, rounded down. `None` when no number.
pub(crate) fn metres_down(metres: Option<f64>) -> Option<String> {
    // What a sum left a hair below its tenth is that tenth.
    known(metres).map(|metres| tenths((metres * 10.0 + 1e-5).floor()))
}

/// Metres there must be: to the tenth, rounded up. `None` when no number.
pub(crate) fn metres_up(metres: Option<f64>) -> Option<String> {
    // Nought rounds up to a nought with a sign, which is taken off.
    known(metres).map(|metres| tenths((metres * 10.0 - 1e-5).ceil().abs()))
}

/// Whole metres there are, rounded down. `None` when no number.
pub(crate) fn whole_down(metres: Option<f64>) -> Option<String> {
    known(metres).map(|metres| format!("{:.0} m", (metres + 1e-6).floor()))
}

/// Whole metres that are needed, rounded up. `None` when no number.
pub(crate) fn whole_up(metres: Option<f64>) -> Option<String> {
    known(metres).map(|metres| format!("{:.0} m", (metres - 1e-6).ceil().abs()))
}

fn tenths(tenths: f64) -> String {
    if tenths % 10.0 == 0.0 {
        format!("{:.0} m", tenths / 10.0)
    } else {
        format!("{:.1} m", tenths / 10.0)
    }
}

/// A share or an amount, if it is a number and not negative.
pub(crate) fn known(value: Option<f64>) -> Option<f64> {
    value.filter(|value| value.is_finite() && *value >= 0.0)
}

/// `one drum`, `3 drums`.
pub(crate) fn count(number: usize, one: &str, many: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {many}") }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const KIND: Type = Type::plain(10.0);

    #[test]
    fn what_fits_is_left_alone_and_what_does_not_keeps_both_ends() {
        assert_eq!(shorten("A-17", 60.0, KIND), "A-17");
        let short = shorten("KUM-2026-000417", 60.0, KIND);
        assert_eq!(short, "KUM…0417");
        assert_ne!(short, shorten("KUM-2026-000418", 60.0, KIND));
    }

    #[test]
    fn lines_break_at_spaces_and_the_last_takes_the_rest() {
        assert_eq!(wrap("water in the sample", 60.0, KIND, 3), ["water in", "the sample"]);
        let last = wrap("one two three four five six seven", 60.0, KIND, 2);
        assert_eq!(last.len(), 2);
        assert!(last[1].contains('…'), "{last:?}");
        assert_eq!(wrap("KUM-2026-000417", 60.0, KIND, 3), ["KUM-2026-", "000417"]);
        assert!(wrap("  ", 60.0, KIND, 2).is_empty());
    }

    #[test]
    fn litres_there_are_round_down_and_litres_that_flowed_to_the_tenth() {
        for (litres, left, moved) in [
            (198.97, "198 L", "199 L"),
            (61.999_999_9, "62 L", "62 L"),
            (61.55, "61 L", "61.6 L"),
            (0.0, "0 L", "0 L"),
        ] {
            assert_eq!(litres_left(Some(litres)).as_deref(), Some(left));
            assert_eq!(litres_moved(Some(litres)).as_deref(), Some(moved));
        }
        for litres in [None, Some(f64::NAN), Some(f64::INFINITY), Some(-1.0)] {
            assert_eq!(litres_left(litres), None);
            assert_eq!(litres_moved(litres), None);
        }
    }

    #[test]
    fn what_there_is_rounds_down_and_what_is_needed_up() {
        for (metres, down, up) in [
            (7.25, "7.2 m", "7.3 m"),
            (4.999_999_9, "5 m", "5 m"),
            (5.000_000_1, "5 m", "5 m"),
            (0.0, "0 m", "0 m"),
        ] {
            assert_eq!(metres_down(Some(metres)).as_deref(), Some(down));
            assert_eq!(metres_up(Some(metres)).as_deref(), Some(up));
        }
        assert_eq!(whole_down(Some(609.9)).as_deref(), Some("609 m"));
        assert_eq!(whole_up(Some(609.1)).as_deref(), Some("610 m"));
        assert_eq!(whole_up(Some(610.000_000_1)).as_deref(), Some("610 m"));
        for wrong in [None, Some(f64::NAN), Some(f64::INFINITY), Some(-1.0)] {
            assert_eq!(metres_down(wrong).or_else(|| metres_up(wrong)), None);
            assert_eq!(whole_down(wrong).or_else(|| whole_up(wrong)), None);
        }
    }

    proptest! {
        #[test]
        fn shortened_words_stay_inside_their_box(text in any::<String>(), room in 12.0..200.0) {
            prop_assert!(width(&shorten(&text, room, KIND), KIND) <= room + 1e-9);
            for line in wrap(&text, room, KIND, 3) {
                prop_assert!(width(&line, KIND) <= room + 1e-9);
            }
        }
    }
}
