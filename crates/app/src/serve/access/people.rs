//! People as they are kept: a name that goes into every record, and a role.

use std::fmt;

use super::roles::Role;

/// The longest name. \[letters\]
const NAME_MOST: usize = 60;

/// A person who may come in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Person {
    /// The name, as it is written into records.
    pub(crate) name: String,
    /// What the person may do.
    pub(crate) role: Role,
    /// True when there is a passphrase, and not only codes.
    pub(crate) has_phrase: bool,
}

/// Why a name is none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum BadName {
    /// Nothing is left of it.
    Empty,
    /// It is too long.
    Long,
    /// There is a letter in it that cannot be seen, or that turns the line around.
    Unseen,
}

impl fmt::Display for BadName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("the name is empty"),
            Self::Long => write!(f, "the name has more than {NAME_MOST} letters"),
            Self::Unseen => f.write_str("there is a letter in the name that cannot be seen"),
        }
    }
}

/// The name as it is kept: outer spaces off, inner ones single.
///
/// # Errors
/// Says why it is no name.
pub(crate) fn name(typed: &str) -> Result<String, BadName> {
    if typed.chars().any(unseen) {
        return Err(BadName::Unseen);
    }
    let name = typed.split_whitespace().collect::<Vec<_>>().join(" ");
    if name.is_empty() {
        return Err(BadName::Empty);
    }
    if name.chars().count() > NAME_MOST {
        return Err(BadName::Long);
    }
    Ok(name)
}

/// The name as it is looked for: two people never differ in case or spaces alone.
pub(crate) fn fold(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// Control characters, marks without width, and those that turn the direction of a line: with
/// them two names would look the same, or a name like something else.
fn unseen(letter: char) -> bool {
    letter.is_control()
        || matches!(letter,
            '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}'
            | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_name_keeps_its_case_and_loses_spare_spaces() {
        assert_eq!(name("  Ansa   Verrel ").as_deref(), Ok("Ansa Verrel"));
        assert_eq!(fold("  ANSA   Verrel "), "ansa verrel");
        assert_eq!(name("Ólína Ýr").as_deref(), Ok("Ólína Ýr"));
    }

    #[test]
    fn what_is_no_name_is_refused_with_its_reason() {
        assert_eq!(name("  "), Err(BadName::Empty));
        assert_eq!(name(&"a".repeat(61)), Err(BadName::Long));
        assert_eq!(name(&"ü".repeat(60)).as_deref(), Ok("ü".repeat(60).as_str()));
        for bad in ["a\r\nSet-Cookie: b", "a\u{202e}b", "a\u{200b}", "a\0", "a\tb", "\u{e0041}"] {
            assert_eq!(name(bad), Err(BadName::Unseen), "{bad:?}");
        }
    }

    proptest! {
        #[test]
        fn a_name_that_is_kept_is_kept_as_it_is_the_second_time(typed in ".{0,70}") {
            if let Ok(kept) = name(&typed) {
                prop_assert_eq!(fold(&kept), fold(&typed));
                prop_assert_eq!(fold(&fold(&kept)), fold(&kept));
                prop_assert_eq!(name(&kept), Ok(kept.clone()));
                prop_assert!(!kept.chars().any(char::is_control));
            }
        }
    }
}
