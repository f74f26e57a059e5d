//! Passphrases: which are taken, and what is kept of them.
//!
//! Argon2id with 19 MiB, 2 passes, 1 lane. What it was made with is kept with each, so that the
//! figures may grow later and old passphrases go on working.
//!
//! Accuracy: the hash equals that of another program (tests). Left out: a list of passphrases
//! known from elsewhere, because none may be shipped here; and one spelling for letters that
//! Unicode has in two, so an accent typed otherwise is another passphrase.
//!
//! Sources:
//! - Argon2id: RFC 9106, 2021, section 3, memory; salt of 16 bytes, hash of 32 bytes: section 4, memory.
//! - 19 MiB, 2 passes, 1 lane: OWASP Password Storage Cheat Sheet, as quoted elsewhere, second
//!   hand; an older edition, read at source, has 15 MiB, 2 passes, 1 lane.
//! - 15 letters, no rule of kinds of letters, all of it compared: NIST SP 800-63B-4 (draft text of its
//!   public repository), section 3.1.1.2, read at source.

use std::fmt;

use argon2::{Algorithm, Argon2, Params, Version};

use super::{
    people::fold,
    secret::{hex, same},
};

/// Memory of one hashing. \[KiB\]
const MEMORY: u32 = 19 * 1024;

/// Passes over that memory.
const PASSES: u32 = 2;

/// Lanes that could be worked at the same time.
const LANES: u32 = 1;

/// The most memory that a kept passphrase may ask for. \[KiB\]
const MEMORY_MOST: u32 = 256 * 1024;

/// Bytes of the salt.
pub(crate) const SALT: usize = 16;

/// Bytes of the hash.
const TAG: usize = 32;

/// The shortest passphrase. \[letters\]
const SHORTEST: usize = 15;

/// The longest passphrase. \[bytes\]
pub(crate) const LONGEST: usize = 512;

/// Fewer different letters than this are a pattern and no passphrase.
const DIFFERENT: usize = 5;

/// What is kept of a passphrase.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Kept {
    memory: u32,
    passes: u32,
    lanes: u32,
    salt: [u8; SALT],
    tag: [u8; TAG],
}

/// Why a passphrase is not taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Weak {
    /// Too few letters.
    Short,
    /// Too many bytes.
    Long,
    /// A pattern, or the name, or the name of this program.
    Guessed,
    /// The hash could not be made.
    NotHashed,
}

impl fmt::Display for Weak {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Short => write!(f, "the passphrase has fewer than {SHORTEST} letters"),
            Self::Long => write!(f, "the passphrase has more than {LONGEST} bytes"),
            Self::Guessed => f.write_str("the passphrase would be guessed"),
            Self::NotHashed => f.write_str("there is not enough memory for a passphrase"),
        }
    }
}

/// Takes a passphrase of a person.
///
/// # Errors
/// Says why it is not taken.
pub(crate) fn take(phrase: &str, name: &str, salt: [u8; SALT]) -> Result<Kept, Weak> {
    judge(phrase, name)?;
    let mut kept = Kept { memory: MEMORY, passes: PASSES, lanes: LANES, salt, tag: [0; TAG] };
    kept.tag = kept.hash(phrase).ok_or(Weak::NotHashed)?;
    Ok(kept)
}

fn judge(phrase: &str, name: &str) -> Result<(), Weak> {
    if phrase.len() > LONGEST {
        return Err(Weak::Long);
    }
    if phrase.chars().count() < SHORTEST {
        return Err(Weak::Short);
    }
    let folded = fold(phrase).replace(' ', "");
    let mut letters: Vec<char> = folded.chars().collect();
    letters.sort_unstable();
    letters.dedup();
    let expected = [fold(name).replace(' ', ""), "stillprop".to_owned()];
    let rest = expected.iter().fold(folded, |rest, word| rest.replace(word.as_str(), ""));
    let nothing_new = rest.chars().filter(|letter| letter.is_alphabetic()).count() == 0
        && expected.iter().any(|word| fold(phrase).replace(' ', "").contains(word.as_str()));
    if letters.len() < DIFFERENT || nothing_new { Err(Weak::Guessed) } else { Ok(()) }
}

impl Kept {
    /// What an unknown person's passphrase is compared with, so that the answer takes as long.
    pub(crate) const fn nobody() -> Self {
        let (salt, tag) = ([0; SALT], [0; TAG]);
        Self { memory: MEMORY, passes: PASSES, lanes: LANES, salt, tag }
    }

    /// True when that is the passphrase.
    pub(crate) fn is(&self, phrase: &str) -> bool {
        phrase.len() <= LONGEST && self.hash(phrase).is_some_and(|tag| same(&tag, &self.tag))
    }

    fn hash(&self, phrase: &str) -> Option<[u8; TAG]> {
        let params = Params::new(self.memory, self.passes, self.lanes, Some(TAG)).ok()?;
        let mut tag = [0; TAG];
        let argon = Argon2::new(Algorithm::Argon2id, Version::V0x13, params);
        argon.hash_password_into(phrase.as_bytes(), &self.salt, &mut tag).ok()?;
        Some(tag)
    }

    /// As one line of text, to be kept.
    pub(crate) fn text(&self) -> String {
        let Self { memory, passes, lanes, salt, tag } = self;
        format!("argon2id,19,{memory},{passes},{lanes},{},{}", hex(salt), hex(tag))
    }

    /// From that line.
    pub(crate) fn read(text: &str) -> Option<Self> {
        let mut parts = text.split(',');
        if parts.next() != Some("argon2id") || parts.next() != Some("19") {
            return None;
        }
        let mut number = |most: u32| {
            parts.next()?.parse().ok().filter(|number: &u32| (1..=most).contains(number))
        };
        let (memory, passes, lanes) = (number(MEMORY_MOST)?, number(16)?, number(16)?);
        let (salt, tag) = (bytes(parts.next()?)?, bytes(parts.next()?)?);
        parts.next().is_none().then_some(Self { memory, passes, lanes, salt, tag })
    }
}

fn bytes<const N: usize>(text: &str) -> Option<[u8; N]> {
    let mut bytes = [0; N];
    if text.len() != 2 * N || !text.is_ascii() {
        return None;
    }
    for (at, byte) in bytes.iter_mut().enumerate() {
        *byte = u8::from_str_radix(text.get(2 * at..2 * at + 2)?, 16).ok()?;
    }
    Some(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    const PHRASE: &str = "kestrel over nine grey stones";

    /// `argon2.low_level.hash_secret_raw` of argon2-cffi 25.1.0, which calls the reference code in C:
    /// salt `0123456789abcdef`, 2 passes, 19456 KiB, 1 lane, 32 bytes, type id, version 19.
    const OF_REFERENCE: &str = "5bbd480763ffeac2be5ce87655be27d2ca8e1e2d8fc29d721b5ba153a5701ead";

    #[test]
    fn the_hash_is_what_another_program_gives() {
        let kept = take(PHRASE, "Ansa Verrel", *b"0123456789abcdef").unwrap();
        assert_eq!(hex(&kept.tag), OF_REFERENCE);
    }

    #[test]
    fn the_right_passphrase_is_known_and_every_other_refused() {
        let kept = take(PHRASE, "Ansa Verrel", [1; SALT]).unwrap();
        assert!(kept.is(PHRASE));
        assert!(!kept.is(&PHRASE[..PHRASE.len() - 1]));
        assert!(!kept.is(&PHRASE.to_uppercase()));
        assert!(!kept.is(""));
        assert!(!kept.is(&"a".repeat(LONGEST + 1)));
        assert!(!Kept::nobody().is(PHRASE));
    }

    #[test]
    fn the_same_passphrase_of_two_people_is_kept_differently() {
        let of = |salt| take(PHRASE, "a", [salt; SALT]).unwrap().tag;
        assert_ne!(of(1), of(2));
    }

    #[test]
    fn short_long_and_guessed_passphrases_are_not_taken() {
        let why = |phrase: &str| judge(phrase, "Ansa Verrel").err();
        assert_eq!(why(&"abcde".repeat(3)[..14]), Some(Weak::Short));
        assert_eq!(why(&"abcde".repeat(3)), None);
        assert_eq!(why(&"öüäéèø".repeat(3)[..28]), Some(Weak::Short));
        assert_eq!(why(&"abcdef".repeat(86)), Some(Weak::Long));
        assert_eq!(why("aaaaaaaaaaaaaaaaaaaa"), Some(Weak::Guessed));
        assert_eq!(why("12341234123412341234"), Some(Weak::Guessed));
        assert_eq!(why("Ansa Verrel Ansa Verrel"), Some(Weak::Guessed));
        assert_eq!(why("Stillprop stillprop 12"), Some(Weak::Guessed));
        assert_eq!(why(PHRASE), None);
    }

    #[test]
    fn what_is_kept_comes_back_and_nothing_else_is_read() {
        let kept = take(PHRASE, "a", [3; SALT]).unwrap();
        let text = kept.text();
        assert_eq!(Kept::read(&text), Some(kept));
        for bad in [
            text.replace("argon2id", "argon2i"),
            text.replace("19456", "999999999"),
            text.replace("19456", "0"),
            text[..text.len() - 1].to_owned(),
            format!("{text},1"),
            text.replace("03", "é"),
            String::new(),
        ] {
            assert_eq!(Kept::read(&bad), None, "{bad}");
        }
    }
}
