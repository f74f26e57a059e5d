//! Tokens of 256 random bits: of a session, and of the forms that belong to it.
//!
//! Only the hash of a token is kept. A token has full entropy, so a plain hash is enough: there
//! is nothing to guess. A form's token is made from the session's, one way, so it needs no
//! place of its own, lives as long as the session and survives a restart with it.

use std::fmt::Write as _;

use sha2::{Digest as _, Sha256};
use subtle::ConstantTimeEq as _;

/// Bytes of a token.
pub(crate) const LENGTH: usize = 32;

/// Letters of a token as text.
const LETTERS: usize = 2 * LENGTH;

/// What a browser holds: whoever has it is the person.
#[derive(Clone, PartialEq, Eq)]
pub(crate) struct Token([u8; LENGTH]);

/// What is kept of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct TokenHash(pub(crate) [u8; LENGTH]);

impl Token {
    /// A token of these random bytes.
    pub(crate) const fn new(random: [u8; LENGTH]) -> Self {
        Self(random)
    }

    /// A token as a browser sent it.
    pub(crate) fn read(text: &str) -> Option<Self> {
        let bytes: [u8; LETTERS] = text.as_bytes().try_into().ok()?;
        let mut token = [0; LENGTH];
        for (byte, pair) in token.iter_mut().zip(bytes.chunks_exact(2)) {
            *byte = nibble(pair[0])? << 4 | nibble(pair[1])?;
        }
        Some(Self(token))
    }

    /// The token as text, for a cookie.
    pub(crate) fn text(&self) -> String {
        hex(&self.0)
    }

    /// What is kept of it.
    pub(crate) fn hash(&self) -> TokenHash {
        TokenHash(tagged("stillprop session 1", &self.0))
    }

    /// The token that every form of this session carries.
    pub(crate) fn form(&self) -> String {
        hex(&tagged("stillprop form 1", &self.0))
    }

    /// True when `sent` is the token of a form of this session.
    pub(crate) fn is_form(&self, sent: &str) -> bool {
        same(self.form().as_bytes(), sent.as_bytes())
    }
}

/// SHA-256 of a tag and a text; the tag keeps the uses apart.
pub(crate) fn tagged(tag: &str, bytes: &[u8]) -> [u8; 32] {
    let mut hash = Sha256::new();
    hash.update(tag.as_bytes());
    hash.update([0]);
    hash.update(bytes);
    hash.finalize().into()
}

/// Compares in a time that does not depend on where two texts differ.
pub(crate) fn same(one: &[u8], other: &[u8]) -> bool {
    one.ct_eq(other).into()
}

/// Bytes as lower-case hexadecimal digits.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing to a text never fails.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Only what [`hex`] writes: one token has one text.
fn nibble(letter: u8) -> Option<u8> {
    match letter {
        b'0'..=b'9' => Some(letter - b'0'),
        b'a'..=b'f' => Some(letter - b'a' + 10),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn the_hash_is_what_another_program_gives() {
        // printf 'stillprop form 1\0' and 32 zero bytes, through sha256sum (GNU coreutils).
        let token = Token::new([0; LENGTH]);
        assert_eq!(token.form(), FORM_OF_ZEROS);
        assert_eq!(hex(&token.hash().0), HASH_OF_ZEROS);
    }

    const FORM_OF_ZEROS: &str = "b060d1a7cd22207237d37710b1d198af56f46e033f0e3110201a7f34075d097a";
    const HASH_OF_ZEROS: &str = "2a047e0513d73fca803f936ddb487166177944eaab3ed68f8e84ea5dc1a026c7";

    #[test]
    fn a_form_token_is_neither_the_session_nor_what_is_kept_of_it() {
        let token = Token::new([7; LENGTH]);
        assert_ne!(token.form(), token.text());
        assert_ne!(token.form(), hex(&token.hash().0));
        assert!(Token::read(&token.form()).is_some_and(|other| other != token));
    }

    #[test]
    fn other_lengths_and_letters_are_no_token() {
        let text = Token::new([0xab; LENGTH]).text();
        for bad in [
            String::new(),
            text[1..].to_owned(),
            format!("{text}0"),
            text.to_uppercase(),
            text.replace("ab", "a\r"),
            text.replacen("ab", "zz", 1),
            "é".repeat(32),
        ] {
            assert!(Token::read(&bad).is_none(), "{bad:?}");
        }
    }

    proptest! {
        #[test]
        fn a_token_comes_back_from_its_text(bytes: [u8; LENGTH]) {
            let token = Token::new(bytes);
            prop_assert!(Token::read(&token.text()) == Some(token));
        }

        #[test]
        fn one_changed_letter_is_another_form(bytes: [u8; LENGTH], at in 0..LETTERS) {
            let token = Token::new(bytes);
            let mut form = token.form().into_bytes();
            form[at] = if form[at] == b'0' { b'1' } else { b'0' };
            let changed = String::from_utf8_lossy(&form).into_owned();
            prop_assert!(token.is_form(&token.form()));
            prop_assert!(!token.is_form(&changed));
            prop_assert!(!token.is_form(&changed[..at]));
        }

        #[test]
        fn no_text_makes_reading_a_token_panic(text in ".{0,80}") {
            let _ = Token::read(&text);
        }
    }
}
