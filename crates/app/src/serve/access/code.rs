//! One-time codes: shown on the laptop, typed on the phone.
//!
//! Eight letters and digits that cannot be mistaken for each other: 40 bits. A code is good for
//! ten minutes and once, and tries are limited (see `limiter`): at one try a second from each
//! of 250 addresses, and there is no such pace, one code in 7 million would be found before it
//! expires. Only its hash is kept. Forty bits could be found from the hash within those minutes
//! by whoever can read the file; who can read the file is at the laptop already.
//!
//! Sources: a secret that is used once and kept as a hash: NIST SP 800-63B-4 (draft text of its
//! public repository), section 3.1.2, read at source; it wants a slow hash for short secrets, which
//! is not followed for the reason above. Length, lifetime and letters: common practice, no source.

use jiff::{SignedDuration, Timestamp};

use super::secret::tagged;

/// How long a code is good.
pub(crate) const LIFE: SignedDuration = SignedDuration::from_mins(10);

/// Letters and digits of a code: no I and 1, no O and 0.
const LETTERS: &[u8; 32] = b"ABCDEFGHJKLMNPQRSTUVWXYZ23456789";

/// Random bytes that make a code.
pub(crate) const RANDOM: usize = 8;

/// A code as it is shown: `K7QF-2MXD`.
pub(crate) fn code(random: [u8; RANDOM]) -> String {
    // 32 letters divide the 256 values of a byte evenly: each is as likely as the others.
    let letters = random.map(|byte| char::from(LETTERS[usize::from(byte % 32)]));
    let (left, right) = letters.split_at(RANDOM / 2);
    left.iter().chain([&'-']).chain(right).collect()
}

/// What is kept of a code, from how somebody typed it. `None` when that can be no code.
pub(crate) fn kept(typed: &str) -> Option<[u8; 32]> {
    let mut letters = String::new();
    for letter in typed.chars().filter(|letter| !matches!(letter, ' ' | '-')) {
        let letter = letter.to_ascii_uppercase();
        let known = u8::try_from(letter).is_ok_and(|letter| LETTERS.contains(&letter));
        if !known || letters.len() == RANDOM {
            return None;
        }
        letters.push(letter);
    }
    (letters.len() == RANDOM).then(|| tagged("stillprop code 1", letters.as_bytes()))
}

/// True while a code made then is good.
pub(crate) fn is_good(made: Timestamp, now: Timestamp) -> bool {
    // One from the future is of a clock that has since gone back: nobody knows how old it is.
    let age = now.duration_since(made);
    age >= SignedDuration::ZERO && age < LIFE
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_code_has_two_groups_of_letters_that_cannot_be_mistaken() {
        assert_eq!(code([0, 1, 2, 3, 28, 29, 30, 31]), "ABCD-6789");
        assert_eq!(code([255; RANDOM]), "9999-9999");
        assert!(!LETTERS.iter().any(|letter| b"IO01".contains(letter)));
    }

    #[test]
    fn it_is_good_for_ten_minutes() {
        let at = |seconds| Timestamp::from_second(seconds).unwrap();
        assert!(is_good(at(0), at(599)));
        assert!(!is_good(at(0), at(600)));
        assert!(!is_good(at(1), at(0)));
    }

    #[test]
    fn small_letters_and_spaces_are_forgiven_and_nothing_else() {
        let wanted = kept("K7QF-2MXD");
        assert!(wanted.is_some());
        assert_eq!(kept(" k7qf 2mxd"), wanted);
        for bad in
            ["", "K7QF-2MX", "K7QF-2MXDD", "K7QF-2MX0", "K7QF_2MXD", "K7QF-2MXÄ", "K7QF2MX\n"]
        {
            assert_eq!(kept(bad), None, "{bad:?}");
        }
    }

    proptest! {
        #[test]
        fn what_is_shown_can_be_typed_and_two_codes_are_kept_apart(a: [u8; 8], b: [u8; 8]) {
            let (one, other) = (code(a), code(b));
            prop_assert!(kept(&one).is_some());
            prop_assert_eq!(kept(&one) == kept(&other), one == other);
        }

        #[test]
        fn no_text_makes_reading_a_code_panic(text in ".{0,30}") {
            let _ = kept(&text);
        }
    }
}
