//! What somebody said, cut into words, counts and quantities.

use stillprop_rules::goods::{Measured, measured};

/// A word as said, and where it stood among the words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Word {
    /// In small letters, without accents.
    pub(super) text: String,
}

/// Words, numbers and quantities of one saying.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Said {
    /// The words, in order.
    pub(super) words: Vec<Word>,
    /// How many, where a bare number or a number word says so.
    pub(super) count: Option<u32>,
    /// Size of each, where it is said; the greatest of several.
    pub(super) each: Option<Measured>,
    /// How many sizes were said: more than one is more than one thing.
    pub(super) sizes: u32,
    /// Per cent.
    pub(super) percent: Option<f64>,
    /// What looks like a number and cannot be read for certain.
    pub(super) unclear: Vec<String>,
}

/// Number words.
const COUNTS: [(&str, u32); 14] = [
    ("one", 1),
    ("two", 2),
    ("three", 3),
    ("four", 4),
    ("five", 5),
    ("six", 6),
    ("seven", 7),
    ("eight", 8),
    ("nine", 9),
    ("ten", 10),
    ("eleven", 11),
    ("twelve", 12),
    ("pair", 2),
    ("couple", 2),
];

/// What people write for the units of goods, and the unit. A gallon is the larger of the two.
const UNITS: [(&str, &str, f64); 26] = [
    ("ml", "mL", 1.0),
    ("cc", "mL", 1.0),
    ("cl", "mL", 10.0),
    ("dl", "mL", 100.0),
    ("l", "L", 1.0),
    ("lt", "L", 1.0),
    ("ltr", "L", 1.0),
    ("litre", "L", 1.0),
    ("litres", "L", 1.0),
    ("liter", "L", 1.0),
    ("liters", "L", 1.0),
    ("gallon", "L", 4.54609),
    ("gallons", "L", 4.54609),
    ("floz", "mL", 29.5735),
    ("g", "g", 1.0),
    ("gram", "g", 1.0),
    ("grams", "g", 1.0),
    ("kg", "kg", 1.0),
    ("kgs", "kg", 1.0),
    ("kilo", "kg", 1.0),
    ("kilos", "kg", 1.0),
    ("lb", "kg", 0.453_592_37),
    ("lbs", "kg", 0.453_592_37),
    ("oz", "g", 28.3495),
    ("wh", "Wh", 1.0),
    ("kwh", "Wh", 1000.0),
];

/// Per cent for each degree of proof: 4/7 in Britain, 1/2 in the United States; the stronger.
/// Common practice, no source.
const PROOF: f64 = 4.0 / 7.0;

/// A piece of what was said.
enum Piece {
    Word(String),
    Number(String),
}

/// Cuts what was said.
pub(super) fn cut(text: &str) -> Said {
    let pieces = pieces(text);
    let mut said = Said::default();
    let (mut charge, mut volts): (Option<f64>, Option<f64>) = (None, None);
    let mut at = 0;
    // Where a size ended: one that goes on right there is a part of it.
    let mut ended = None;
    while let Some(piece) = pieces.get(at) {
        at += 1;
        let number = match piece {
            Piece::Word(word) => {
                word_or_count(word, &mut said);
                continue;
            }
            Piece::Number(number) => number,
        };
        let unit = match pieces.get(at) {
            Some(Piece::Word(unit)) => unit.as_str(),
            _ => "",
        };
        let Some(value) = plain_number(number) else {
            said.unclear.push(number.clone());
            continue;
        };
        let known = UNITS.iter().find(|(word, _, _)| *word == unit);
        match (known, unit) {
            (Some((_, symbol, scale)), _) => {
                let goes_on = ended == Some(at - 1) || ended == and_before(&pieces, at - 1, unit);
                at += 1;
                note(&mut said, number, &format!("{} {symbol}", value * scale), goes_on);
                ended = Some(at);
            }
            (None, "mah") => (charge, at) = (greater(charge, value / 1000.0), at + 1),
            (None, "ah") => (charge, at) = (greater(charge, value), at + 1),
            (None, "v" | "volt" | "volts") => (volts, at) = (greater(volts, value), at + 1),
            (None, "percent" | "pct") => {
                (said.percent, at) = (greater(said.percent, value), at + 1);
            }
            (None, "proof") => {
                (said.percent, at) = (greater(said.percent, value * PROOF), at + 1);
            }
            (None, "x") => (said.count, at) = (count(&mut said, number), at + 1),
            _ if names_a_size(number) => said.words.push(Word { text: number.clone() }),
            _ => said.count = count(&mut said, number),
        }
    }
    match (charge, volts) {
        (Some(charge), Some(volts)) => {
            let sizes = said.sizes;
            note(&mut said, "", &format!("{} Wh", charge * volts), false);
            // The same size in other words.
            said.sizes = sizes.max(1);
        }
        (Some(charge), None) => said.unclear.push(format!("{charge} Ah without volts")),
        _ => {}
    }
    said
}

fn word_or_count(word: &str, said: &mut Said) {
    match COUNTS.iter().find(|(known, _)| *known == word) {
        Some((_, count)) if said.count.is_none() && *count > 1 => said.count = Some(*count),
        // "x3" and "x 3": the number follows and is a count.
        None if word == "x" || word == "times" => {}
        None => said.words.push(Word { text: word.to_owned() }),
        Some((known, 1)) => said.words.push(Word { text: (*known).to_owned() }),
        Some(_) => said.unclear.push(word.to_owned()),
    }
}

/// Names of cells and the like that are written as bare numbers.
fn names_a_size(number: &str) -> bool {
    matches!(number, "18650" | "21700" | "40" | "123" | "2032")
}

/// A bare number is a count when it is small and whole and the only one.
fn count(said: &mut Said, number: &str) -> Option<u32> {
    match (number.parse::<u32>(), said.count) {
        (Ok(count @ 1..=99), None) => Some(count),
        (_, before) => {
            said.unclear.push(number.to_owned());
            before
        }
    }
}

/// Of two numbers for one thing the greater.
fn greater(before: Option<f64>, value: f64) -> Option<f64> {
    Some(before.map_or(value, |before| before.max(value)))
}

/// Where a size ended that goes on after "and" in a smaller unit: "2 kg and 600 g".
fn and_before(pieces: &[Piece], number: usize, unit: &str) -> Option<usize> {
    let word = |at: usize| match pieces.get(at) {
        Some(Piece::Word(word)) => Some(word.as_str()),
        _ => None,
    };
    let and = number.checked_sub(1).filter(|at| word(*at) == Some("and"))?;
    let other = word(and.checked_sub(1)?).is_some_and(|before| before != unit);
    other.then_some(and)
}

/// Keeps the greater of two sizes; of different kinds neither is certain. A size that goes on,
/// "5 lb 9 oz", is added to what stands.
fn note(said: &mut Said, number: &str, text: &str, goes_on: bool) {
    let Ok(new) = measured(text) else {
        said.unclear.push(number.to_owned());
        return;
    };
    if let Some(held) = &mut said.each
        && goes_on
        && held.amount.kind == new.amount.kind
    {
        held.amount.si += new.amount.si;
        return;
    }
    said.sizes += 1;
    match said.each {
        Some(held) if held.amount.kind != new.amount.kind => said.unclear.push(text.to_owned()),
        Some(held) if held.amount.si >= new.amount.si => {}
        _ => said.each = Some(new),
    }
}

/// A number that has one meaning only. "2,500" and "1.500" are two numbers to two readers.
fn plain_number(number: &str) -> Option<f64> {
    let thousands = number.rsplit_once('.').is_some_and(|(_, after)| after.len() == 3);
    if number.contains(',') || thousands {
        return None;
    }
    number.parse().ok().filter(|value: &f64| value.is_finite())
}

fn pieces(text: &str) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    let folded: Vec<char> = text.chars().flat_map(fold).collect();
    let mut at = 0;
    let mut after_number = false;
    while at < folded.len() {
        let c = folded[at];
        let start = at;
        if c.is_ascii_digit() {
            let in_number = |i: usize| {
                let digit_after = folded.get(i + 1).is_some_and(char::is_ascii_digit);
                folded[i].is_ascii_digit() || (matches!(folded[i], '.' | ',') && digit_after)
            };
            while at < folded.len() && in_number(at) {
                at += 1;
            }
            let number: String = folded[start..at].iter().collect();
            match pieces.last_mut() {
                // "20 000": one number with a gap, which may be two.
                Some(Piece::Number(before)) => *before = format!("{before},{number}"),
                _ => pieces.push(Piece::Number(number)),
            }
            after_number = true;
            continue;
        }
        if c == '%' {
            pieces.push(Piece::Word("percent".into()));
        } else if c.is_alphanumeric() {
            while at < folded.len() && folded[at].is_alphanumeric() && !folded[at].is_ascii_digit()
            {
                at += 1;
            }
            let word: String = folded[start..at].iter().collect();
            // "wd40", "a1", "cr123": a name that ends in a number is one word.
            let glued = folded.get(at).is_some_and(char::is_ascii_digit);
            if glued && word != "x" && !after_number {
                while at < folded.len() && folded[at].is_alphanumeric() {
                    at += 1;
                }
                pieces.push(Piece::Word(folded[start..at].iter().collect()));
            } else {
                pieces.push(Piece::Word(word));
            }
            after_number = false;
            continue;
        } else if !c.is_whitespace() && after_number && c != '-' {
            after_number = false;
        }
        at += 1;
    }
    pieces
}

/// Small letters without accents and apostrophes; what is no letter or digit divides words.
fn fold(c: char) -> Vec<char> {
    match c {
        '\'' | '\u{2019}' => Vec::new(),
        'à'..='å' | 'À'..='Å' => vec!['a'],
        'ç' | 'Ç' => vec!['c'],
        'è'..='ë' | 'È'..='Ë' => vec!['e'],
        'ì'..='ï' | 'Ì'..='Ï' => vec!['i'],
        'ñ' | 'Ñ' => vec!['n'],
        'ò'..='ö' | 'Ò'..='Ö' => vec!['o'],
        'ù'..='ü' | 'Ù'..='Ü' => vec!['u'],
        '₂' => vec!['2'],
        c => c.to_lowercase().collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(said: &Said) -> Vec<&str> {
        said.words.iter().map(|word| word.text.as_str()).collect()
    }

    #[test]
    fn counts_and_sizes_are_told_from_words() {
        let said = cut("2 cans of hairspray, 300ml each");
        assert_eq!(words(&said), ["cans", "of", "hairspray", "each"]);
        assert_eq!(said.count, Some(2));
        assert_eq!(said.each.map(|each| each.to_string()), Some("300 mL".into()));
        let said = cut("three power-banks 20000 mAh 3.7 V");
        assert_eq!(words(&said), ["power", "banks"]);
        assert_eq!((said.count, said.each.map(|e| e.to_string())), (Some(3), Some("74 Wh".into())));
        assert_eq!(cut("rum 40%").percent, Some(40.0));
        assert_eq!(cut("x3 lighters").count, Some(3));
        assert_eq!(words(&cut("WD-40 and wd40")), ["wd", "40", "and", "wd40"]);
        assert_eq!(words(&cut("Bébé's crème")), ["bebes", "creme"]);
    }

    #[test]
    fn numbers_with_two_readings_are_unclear() {
        for text in ["2,500 ml", "1.500 l", "20 000 mAh 3.7 V", "0,5 l", "20000 mAh", "3 of 4"] {
            let said = cut(text);
            assert!(!said.unclear.is_empty(), "{text}: {said:?}");
        }
        assert!(cut("100 ml and 2 kg").unclear.len() == 1);
    }

    #[test]
    fn a_size_in_two_parts_is_their_sum() {
        let each = |text| cut(text).each.map_or(0.0, |each| each.amount.si);
        // 5 lb and 9 oz are 2.523 kg: more than the 2.5 kg of a rule, though 5 lb are not.
        let exact = 5.0 * 0.453_592_37 + 9.0 * 0.028_349_5;
        assert!((each("dry ice 5 lb 9 oz") - exact).abs() < 1e-9, "{}", each("dry ice 5 lb 9 oz"));
        assert!((each("2 kg and 600 g") - 2.6).abs() < 1e-9);
        assert!((each("2 kg 600 g") - 2.6).abs() < 1e-9);
        assert_eq!(cut("2 kg 600 g").sizes, 1);
        assert_eq!(cut("perfume 400 ml and 400 ml").sizes, 2);
        assert_eq!(cut("power bank 74 Wh 20000 mAh 3.7 V").sizes, 1);
    }

    #[test]
    fn of_two_strengths_or_voltages_the_greater_counts() {
        assert_eq!(cut("vodka 80% or 40%").percent, Some(80.0));
        assert_eq!(cut("vodka 40% or 80%").percent, Some(80.0));
        // 125 degrees British are 71.4 per cent, 125 American 62.5.
        assert!(cut("rum 125 proof").percent.is_some_and(|percent| percent > 70.0));
        let each = |text| cut(text).each.map(|each| each.to_string());
        assert_eq!(each("power bank 20 Ah 12 V 3.7 V"), Some("240 Wh".into()));
    }

    #[test]
    fn the_greater_of_two_sizes_counts() {
        assert_eq!(cut("100 ml and 700 ml").each.map(|e| e.to_string()), Some("700 mL".into()));
        assert_eq!(cut("700 ml or 100 ml").each.map(|e| e.to_string()), Some("700 mL".into()));
    }
}
