//! How a drum should lie: on its side, off the ground on timber and chocked, its bungs at three
//! and nine o'clock, so that both are under the fuel and neither breathes water in.
//!
//! Common practice, no source. It does not make a drum unfit; it is a hand to be lent.

/// How a drum was put down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Storage {
    /// On its side; a drum that stands is being made ready for use.
    pub on_side: bool,
    /// Where the bungs point, as hours of a clock; `None` when nobody wrote it down.
    pub bungs: Option<[u8; 2]>,
    /// Chocked against rolling.
    pub chocked: bool,
    /// Off the ground, on timber.
    pub off_ground: bool,
}

/// What to put right, in a pilot's words; nothing when the drum lies as it should.
#[must_use]
pub fn put_right(storage: &Storage) -> Vec<&'static str> {
    if !storage.on_side {
        return Vec::new();
    }
    let bungs = match storage.bungs {
        Some([3, 9] | [9, 3]) => None,
        Some(_) => Some("turn its bungs to three and nine o'clock"),
        None => Some("write down where its bungs point: three and nine o'clock is right"),
    };
    let chocks = (!storage.chocked).then_some("chock it");
    let timber = (!storage.off_ground).then_some("lay it on timber, off the ground");
    [bungs, chocks, timber].into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const RIGHT: Storage =
        Storage { on_side: true, bungs: Some([3, 9]), chocked: true, off_ground: true };

    #[test]
    fn a_drum_on_timber_chocked_with_bungs_at_three_and_nine_lies_right() {
        assert!(put_right(&RIGHT).is_empty());
        assert!(put_right(&Storage { bungs: Some([9, 3]), ..RIGHT }).is_empty());
    }

    #[test]
    fn each_thing_that_is_wrong_is_said() {
        for (storage, words) in [
            (Storage { bungs: Some([6, 12]), ..RIGHT }, "turn its bungs"),
            (Storage { bungs: None, ..RIGHT }, "write down"),
            (Storage { chocked: false, ..RIGHT }, "chock it"),
            (Storage { off_ground: false, ..RIGHT }, "timber"),
        ] {
            let said = put_right(&storage);
            assert_eq!(said.len(), 1, "{storage:?}");
            assert!(said[0].contains(words), "{said:?}");
        }
    }

    #[test]
    fn a_standing_drum_is_being_made_ready() {
        let standing = Storage { on_side: false, bungs: None, chocked: false, off_ground: false };
        assert!(put_right(&standing).is_empty());
    }
}
