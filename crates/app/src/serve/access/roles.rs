//! Who may do what: one table of roles and deeds, and which deed a request is.
//!
//! A request that no line of the table knows needs every right: what is forgotten here is
//! refused to all but the pilot, never open to all.

use std::fmt;

use clap::ValueEnum;

/// What a person is here for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, ValueEnum)]
pub(crate) enum Role {
    /// Reads everything
    Viewer,
    /// Works the run sheet and the yard
    Refueller,
    /// Keeps the yard and the documents
    Keeper,
    /// Does all
    Pilot,
}

/// What a request does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Deed {
    /// Reads, or works something out without keeping it.
    Look,
    /// Records on a run sheet.
    Sheet,
    /// Records in the yard.
    Yard,
    /// Changes aircraft, strips, packs; brings in and takes over files.
    Documents,
    /// Changes a turnaround, and everything that is in no other line.
    Turnaround,
}

use Role::{Keeper, Pilot, Refueller, Viewer};

/// The table: each deed, in words, and who may do it.
pub(crate) const TABLE: &[(Deed, &str, &[Role])] = &[
    (Deed::Look, "read", &[Viewer, Refueller, Keeper, Pilot]),
    (Deed::Sheet, "record on the run sheet", &[Refueller, Pilot]),
    (Deed::Yard, "record in the yard", &[Refueller, Keeper, Pilot]),
    (Deed::Documents, "change documents", &[Keeper, Pilot]),
    (Deed::Turnaround, "change a turnaround", &[Pilot]),
];

/// First parts of the paths that record, below `/` and below `/api/`, and which deed each is.
const PATHS: &[(&str, Deed)] = &[
    ("sheet", Deed::Sheet),
    ("yard", Deed::Yard),
    ("drum", Deed::Yard),
    ("document", Deed::Documents),
    ("documents", Deed::Documents),
    ("packs", Deed::Documents),
];

impl Role {
    /// Every role, from least to most.
    pub(crate) const ALL: [Self; 4] = [Viewer, Refueller, Keeper, Pilot];

    /// The word for it.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Viewer => "viewer",
            Refueller => "refueller",
            Keeper => "keeper",
            Pilot => "pilot",
        }
    }

    /// The role a word means.
    pub(crate) fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.word() == word)
    }

    /// True when this role may do that.
    pub(crate) fn may(self, deed: Deed) -> bool {
        TABLE.iter().any(|(known, _, roles)| *known == deed && roles.contains(&self))
    }
}

impl fmt::Display for Role {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl Deed {
    /// Every deed.
    pub(crate) const ALL: [Self; 5] =
        [Self::Look, Self::Sheet, Self::Yard, Self::Documents, Self::Turnaround];

    /// The deed of a request. `reads` is true for methods that change nothing.
    pub(crate) fn of(reads: bool, path: &str) -> Self {
        if reads {
            return Self::Look;
        }
        let path = path.strip_prefix('/').unwrap_or(path);
        let path = path.strip_prefix("api/").unwrap_or(path);
        let first = path.split('/').next().unwrap_or_default();
        PATHS.iter().find(|(known, _)| *known == first).map_or(Self::Turnaround, |(_, deed)| *deed)
    }

    /// The deed in words: "record in the yard".
    pub(crate) fn words(self) -> &'static str {
        TABLE.iter().find(|(known, ..)| *known == self).map_or("do this", |(_, words, _)| words)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn each_role_may_do_what_it_is_here_for_and_no_more() {
        let may = |role: Role| Deed::ALL.map(|deed| role.may(deed));
        assert_eq!(may(Viewer), [true, false, false, false, false]);
        assert_eq!(may(Refueller), [true, true, true, false, false]);
        assert_eq!(may(Keeper), [true, false, true, true, false]);
        assert_eq!(may(Pilot), [true; 5]);
    }

    #[test]
    fn every_deed_has_one_line_of_the_table() {
        for deed in Deed::ALL {
            assert_eq!(TABLE.iter().filter(|(known, ..)| *known == deed).count(), 1, "{deed:?}");
        }
        assert_eq!(TABLE.len(), Deed::ALL.len());
    }

    #[test]
    fn a_role_comes_back_from_its_word() {
        for role in Role::ALL {
            assert_eq!(Role::of(role.word()), Some(role));
        }
        assert_eq!(Role::of("Pilot"), None);
        assert_eq!(Role::of(""), None);
    }

    #[test]
    fn a_path_is_the_deed_of_its_first_part_with_and_without_api() {
        for (path, deed) in [
            ("/yard/draw", Deed::Yard),
            ("/api/yard/draw", Deed::Yard),
            ("/sheet/ready", Deed::Sheet),
            ("/document/kestrel", Deed::Documents),
            ("/save/stop/ready", Deed::Turnaround),
            ("/yards", Deed::Turnaround),
            ("/", Deed::Turnaround),
            ("//yard", Deed::Turnaround),
            ("/api/api/yard", Deed::Turnaround),
        ] {
            assert_eq!(Deed::of(false, path), deed, "{path}");
            assert_eq!(Deed::of(true, path), Deed::Look, "{path}");
        }
    }

    proptest! {
        #[test]
        fn what_the_table_does_not_know_is_for_the_pilot_alone(path in "/[a-z/.%]{0,20}") {
            let first = path.trim_start_matches('/').split('/').find(|part| *part != "api");
            prop_assume!(PATHS.iter().all(|(known, _)| Some(*known) != first));
            let deed = Deed::of(false, &path);
            prop_assert!(Pilot.may(deed));
            prop_assert!(![Viewer, Refueller, Keeper].iter().any(|role| role.may(deed)));
        }
    }
}
