//! Words that come back in a million rows, kept once each.

use std::{collections::HashMap, num::NonZeroU32, sync::Arc};

use serde::{Deserialize, Serialize};

/// A word of one yard: an author, a flight, a batch. [`super::Yard::text`] spells it out.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub struct Name(NonZeroU32);

/// The words of one yard.
#[derive(Clone, Debug, Default)]
pub(super) struct Names {
    texts: Vec<Arc<str>>,
    numbers: HashMap<Arc<str>, Name>,
}

impl Names {
    /// The name of `text`, new or known.
    pub(super) fn of(&mut self, text: &str) -> Name {
        if let Some(known) = self.numbers.get(text) {
            return *known;
        }
        let text: Arc<str> = text.into();
        self.texts.push(Arc::clone(&text));
        // Four thousand million words would not fit in the machine.
        let number = u32::try_from(self.texts.len()).ok().and_then(NonZeroU32::new);
        let name = Name(number.unwrap_or(NonZeroU32::MAX));
        self.numbers.insert(text, name);
        name
    }

    /// The name of `text` when it has one.
    pub(super) fn known(&self, text: &str) -> Option<Name> {
        self.numbers.get(text).copied()
    }

    /// The word of `name`; empty for a name of another yard.
    pub(super) fn text(&self, name: Name) -> &str {
        let place = usize::try_from(name.0.get() - 1).ok();
        place.and_then(|place| self.texts.get(place)).map_or("", AsRef::as_ref)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_is_kept_once_and_found_again() {
        let mut names = Names::default();
        let (first, other, again) = (names.of("QK-CSX"), names.of(""), names.of("QK-CSX"));
        assert_eq!(first, again);
        assert_ne!(first, other);
        assert_eq!((names.text(first), names.text(other)), ("QK-CSX", ""));
        assert_eq!(names.known("QK-CSX"), Some(first));
        assert_eq!(names.known("QK-FFR"), None);
        assert_eq!(Names::default().text(first), "");
    }
}
