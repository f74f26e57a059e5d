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

/// A piece of what was said.
enum Piece {
    Word(String),
    Number(String),
}

/// Cuts what was said.
pub(super) fn cut(text: &str) -> Said {
    let pieces = pieces(text);
    let mut said = Said::default();
    let (mut charge, mut volts) = (None, None);
    let mut at = 0;
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
                at += 1;
                note(&mut said, number, &format!("{} {symbol}", value * scale));
            }
            (None, "mah") => (charge, at) = (Some(value / 1000.0), at + 1),
            (None, "ah") => (charge, at) = (Some(value), at + 1),
            (None, "v" | "volt" | "volts") => (volts, at) = (Some(value), at + 1),
            (None, "percent" | "pct" | "proof") => {
                said.percent = Some(if unit == "proof" { value / 2.0 } else { value });
                at += 1;
            }
            (None, "x") => (said.count, at) = (count(&mut said, number), at + 1),
            _ if names_a_size(number) => said.words.push(Word { text: number.clone() }),
            _ => said.count = count(&mut said, number),
        }
    }
    match (charge, volts) {
        (Some(charge), Some(volts)) => note(&mut said, "", &format!("{} Wh", charge * volts)),
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

/// Keeps the greater of two sizes; of different kinds neither is certain.
fn note(said: &mut Said, number: &str, text: &str) {
    let Ok(new) = measured(text) else {
        said.unclear.push(number.to_owned());
        return;
    };
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
    fn the_greater_of_two_sizes_counts() {
        assert_eq!(cut("100 ml and 700 ml").each.map(|e| e.to_string()), Some("700 mL".into()));
        assert_eq!(cut("700 ml or 100 ml").each.map(|e| e.to_string()), Some("700 mL".into()));
    }
}
