//! Whether the colour of a sample is that of its grade.
//!
//! Dyes by API/IP 1542, 8th edition 2007, as an excerpt of it gives them: avgas 80 red, 82UL
//! purple, 91/96 brown, 100 green, 100LL blue; jet fuel is not dyed, colourless to straw.
//! For the unleaded grades UL91 and UL94 the sources disagree, and mogas has no colour of its
//! own: there a colour says nothing.

/// What a colour says about a grade.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Colour {
    /// It is the colour of the grade, here in words.
    Fits(&'static str),
    /// It is not; the colour it should have.
    Differs(&'static str),
    /// The word is not one that we know.
    Word,
    /// The grade has no colour by which it is known.
    NoDye,
}

/// Colours that a sample may have. A mixture names two.
const WORDS: [&str; 14] = [
    "red",
    "purple",
    "brown",
    "green",
    "blue",
    "straw",
    "yellow",
    "amber",
    "orange",
    "colourless",
    "clear",
    "white",
    "black",
    "grey",
];
/// Words that say how strong a colour is, not which.
const STRENGTH: [&str; 7] = ["light", "pale", "dark", "faint", "bright", "water", "deep"];

/// Colours of a grade, the first as it is said, and all that count as it.
fn dye(grade: &str) -> Option<&'static [&'static str]> {
    let lower = grade.to_ascii_lowercase();
    let mut words = lower.split_whitespace();
    match (words.next()?, words.next().unwrap_or_default()) {
        ("jet", _) => Some(&["straw", "colourless", "clear", "white", "yellow"]),
        ("avgas", "80" | "80/87") => Some(&["red"]),
        ("avgas", "82ul") => Some(&["purple"]),
        ("avgas", "91/96") => Some(&["brown"]),
        ("avgas", "100" | "100/130") => Some(&["green"]),
        ("avgas", "100ll") => Some(&["blue"]),
        _ => None,
    }
}

/// What the colour of a sample says about a grade, both as written.
#[must_use]
pub fn colour(sample: &str, grade: &str) -> Colour {
    let Some(dye) = dye(grade) else { return Colour::NoDye };
    let said = dye.first().copied().unwrap_or_default();
    let (mut fits, mut differs, mut word_unknown) = (false, false, false);
    let words = sample.split(|c: char| !c.is_alphabetic()).filter(|word| !word.is_empty());
    for word in words {
        let is = |known: &&str| known.eq_ignore_ascii_case(word);
        if dye.iter().any(|known| is(&known)) {
            fits = true;
        } else if STRENGTH.iter().any(|known| is(&known)) || word.eq_ignore_ascii_case("clear") {
            // "clear blue" is as blue as "blue".
        } else if WORDS.iter().any(|known| is(&known)) {
            differs = true;
        } else {
            word_unknown = true;
        }
    }
    if differs {
        Colour::Differs(said)
    } else if word_unknown {
        Colour::Word
    } else if fits {
        Colour::Fits(said)
    } else if sample.to_ascii_lowercase().contains("clear") {
        // Nothing but "clear": no dye at all.
        Colour::Differs(said)
    } else {
        Colour::Word
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_dyed_grade_takes_its_own_colour_and_no_other() {
        let dyed = [
            ("avgas 80", "red"),
            ("avgas 82UL", "purple"),
            ("avgas 91/96", "brown"),
            ("avgas 100", "green"),
            ("avgas 100LL", "blue"),
            ("jet A-1", "straw"),
        ];
        for (grade, own) in dyed {
            for (_, other) in dyed {
                let want = if own == other { Colour::Fits(own) } else { Colour::Differs(own) };
                assert_eq!(colour(other, grade), want, "{other} in {grade}");
            }
        }
    }

    #[test]
    fn strength_does_not_change_a_colour_and_a_second_colour_does() {
        for same in ["Light blue", "blue, clear", "pale-blue", "BLUE"] {
            assert_eq!(colour(same, "avgas 100LL"), Colour::Fits("blue"), "{same}");
        }
        for other in ["blue-green", "clear", "blue and yellow", "water white"] {
            assert_eq!(colour(other, "avgas 100LL"), Colour::Differs("blue"), "{other}");
        }
        for same in ["clear", "water white", "pale straw"] {
            assert_eq!(colour(same, "jet A-1"), Colour::Fits("straw"), "{same}");
        }
    }

    #[test]
    fn what_is_no_colour_is_asked_again_and_a_grade_without_dye_is_not_judged() {
        for word in ["", "fine", "bluish", "pale", "blue or so"] {
            assert_eq!(colour(word, "avgas 100LL"), Colour::Word, "{word}");
        }
        for grade in ["mogas 95", "avgas UL91", "avgas", ""] {
            assert_eq!(colour("blue", grade), Colour::NoDye, "{grade}");
        }
    }
}
