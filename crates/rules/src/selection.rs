//! Which rules to use, as a person names them: `au`, `river-air+au`, `strictest(au, nz)`.

use std::{fmt, ops::Range};

use crate::{document::Problem, pack::Pack, rules::Rules};

/// A choice of packs by name. What a name stands for (a built-in pack, a file) is for the
/// caller to say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Selection {
    /// One pack; with the pack it says it lies over, if it says so.
    Single(String),
    /// An operator's pack over a state's.
    Layered {
        /// The operator's.
        operator: String,
        /// The state's.
        base: String,
    },
    /// The most cautious of several.
    Strictest(Vec<Self>),
}

const EXAMPLES: &str = "write au, demo-operator+au or strictest(au,nz)";

/// Reads a selection.
///
/// # Errors
///
/// A problem with its place in `text`.
pub fn parse(text: &str) -> Result<Selection, Problem> {
    let start = text.len() - text.trim_start().len();
    let trimmed = text.trim();
    let Some(rest) = trimmed.strip_prefix("strictest(") else {
        return item(text, start..start + trimmed.len());
    };
    let Some(list) = rest.strip_suffix(')') else {
        return Err(
            Problem::new(start..start + trimmed.len(), "the bracket is not closed").help(EXAMPLES)
        );
    };
    let mut at = start + "strictest(".len();
    let mut of: Vec<Selection> = Vec::new();
    for part in list.split(',') {
        let one = item(text, at..at + part.len())?;
        if of.contains(&one) {
            return Err(Problem::new(at..at + part.len(), format!("`{one}` is named twice"))
                .help("name each once"));
        }
        of.push(one);
        at += part.len() + 1;
    }
    Ok(Selection::Strictest(of))
}

/// A name, or two joined by a plus sign.
fn item(text: &str, at: Range<usize>) -> Result<Selection, Problem> {
    let names: Vec<&str> = text.get(at.clone()).unwrap_or("").split('+').map(str::trim).collect();
    let bad = |name: &&str| name.is_empty() || name.contains(['(', ')', ',']);
    if names.iter().any(bad) {
        return Err(Problem::new(at, "a pack's name is missing or malformed").help(EXAMPLES));
    }
    match names.as_slice() {
        [one] => Ok(Selection::Single((*one).to_owned())),
        [operator, base] => {
            Ok(Selection::Layered { operator: (*operator).to_owned(), base: (*base).to_owned() })
        }
        _ => Err(Problem::new(at, "only one pack can be laid over another").help(EXAMPLES)),
    }
}

impl Selection {
    /// The rules it stands for; `fetch` gives the pack of a name.
    ///
    /// # Errors
    ///
    /// What `fetch` reports, or that two packs do not belong together.
    pub fn resolve<E: From<Problem>>(
        &self,
        fetch: &mut dyn FnMut(&str) -> Result<Pack, E>,
    ) -> Result<Rules, E> {
        match self {
            Self::Single(name) => {
                let pack = fetch(name)?;
                match pack.over.clone() {
                    Some(over) => Ok(Rules::layered(pack, fetch(&over)?)?),
                    None => Ok(Rules::single(pack)),
                }
            }
            Self::Layered { operator, base } => Ok(Rules::layered(fetch(operator)?, fetch(base)?)?),
            Self::Strictest(of) => {
                let rules: Result<Vec<_>, E> = of.iter().map(|one| one.resolve(fetch)).collect();
                Ok(Rules::strictest(rules?))
            }
        }
    }
}

impl fmt::Display for Selection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Single(name) => f.write_str(name),
            Self::Layered { operator, base } => write!(f, "{operator}+{base}"),
            Self::Strictest(of) => {
                let names: Vec<_> = of.iter().map(ToString::to_string).collect();
                write!(f, "strictest({})", names.join(","))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_form_is_read_and_printed_back() {
        for (text, printed) in [
            ("au", "au"),
            (" demo-operator + au ", "demo-operator+au"),
            ("strictest( au, demo-operator+au ,nz)", "strictest(au,demo-operator+au,nz)"),
            ("./ours.toml+au", "./ours.toml+au"),
        ] {
            let selection = parse(text).unwrap();
            assert_eq!(selection.to_string(), printed);
            assert_eq!(parse(printed).unwrap(), selection);
        }
    }

    #[test]
    fn every_slip_is_shown_with_its_place_and_a_way_out() {
        for (text, at, words) in [
            ("", 0..0, "missing"),
            ("au+", 0..3, "missing"),
            ("a+b+c", 0..5, "only one"),
            ("strictest(au,nz", 0..15, "not closed"),
            ("strictest(au,,nz)", 13..13, "missing"),
            ("strictest(au,au)", 13..15, "twice"),
            ("strictest(strictest(au))", 10..23, "malformed"),
        ] {
            let problem = parse(text).unwrap_err();
            assert_eq!(problem.at, at, "{text}");
            assert!(problem.message.contains(words), "{text}: {}", problem.message);
            assert!(problem.help.is_some());
        }
    }
}
