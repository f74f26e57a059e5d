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

/// Grades by the two words they are written with, and the colours that count as theirs, the
/// first as it is said. Any jet fuel has the colours of jet fuel.
const DYES: [(&str, &str, &[&str]); 8] = [
    ("jet", "", &["straw", "colourless", "clear", "white", "yellow"]),
    ("avgas", "80", &["red"]),
    ("avgas", "80/87", &["red"]),
    ("avgas", "82UL", &["purple"]),
    ("avgas", "91/96", &["brown"]),
    ("avgas", "100", &["green"]),
    ("avgas", "100/130", &["green"]),
    ("avgas", "100LL", &["blue"]),
];

fn dye(grade: &str) -> Option<&'static [&'static str]> {
    let mut words = grade.split_whitespace();
    let (family, designation) = (words.next()?, words.next().unwrap_or_default());
    let found = DYES.iter().find(|(of, named, _)| {
        of.eq_ignore_ascii_case(family)
            && (named.is_empty() || named.eq_ignore_ascii_case(designation))
    });
    found.map(|(_, _, colours)| *colours)
}

/// What the colour of a sample says about a grade, both as written.
#[must_use]
pub fn colour(sample: &str, grade: &str) -> Colour {
    let Some(dye) = dye(grade) else { return Colour::NoDye };
    let said = dye.first().copied().unwrap_or_default();
    let (mut fits, mut differs, mut clear, mut unknown) = (false, false, false, false);
    let words = sample.split(|c: char| !c.is_alphabetic()).filter(|word| !word.is_empty());
    for word in words {
        let is = |known: &&str| known.eq_ignore_ascii_case(word);
        if dye.iter().any(is) {
            fits = true;
        } else if is(&"clear") {
            // "clear blue" is as blue as "blue".
            clear = true;
        } else if WORDS.iter().any(is) {
            differs = true;
        } else if !STRENGTH.iter().any(is) {
            unknown = true;
        }
    }
    match (differs, unknown, fits, clear) {
        (true, ..) => Colour::Differs(said),
        (_, true, ..) => Colour::Word,
        (_, _, true, _) => Colour::Fits(said),
        // Nothing but "clear": no dye at all.
        (_, _, _, true) => Colour::Differs(said),
        _ => Colour::Word,
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
