//! The code on a drum: its text, reading that text back, and its modules as one outline.
//!
//! The text is `stillprop:drum:` and the drum's id. Any phone reads it without this program
//! and without a network. Error correction is level Q, so that about a quarter of the code may
//! be scratched or covered by fuel stains (ISO/IEC 18004; share from memory).

use std::{collections::BTreeMap, fmt};

use qrcode::{Color, EcLevel, QrCode, Version};
use uuid::Uuid;

use crate::svg::Path;

/// What every code of ours begins with.
const OURS: &str = "stillprop:";
/// What the code of a drum, tank or bowser goes on with.
const DRUM: &str = "drum:";

/// The light border that a reader needs, in modules. ISO/IEC 18004, from memory.
pub(crate) const QUIET: usize = 4;

/// The text in a drum's code.
#[must_use]
pub fn code_text(drum: Uuid) -> String {
    format!("{OURS}{DRUM}{}", drum.hyphenated())
}

/// Reads the text of a code back to the drum's id.
///
/// Blanks around it and capitals are forgiven, because people type it too.
///
/// # Errors
///
/// [`CodeError`] when the text is not that of a drum's code.
///
/// # Examples
///
/// ```
/// use stillprop_draw::code::{code_text, read_code};
/// use uuid::Uuid;
///
/// let drum = Uuid::from_u128(7);
/// assert_eq!(read_code(&code_text(drum)), Ok(drum));
/// ```
pub fn read_code(text: &str) -> Result<Uuid, CodeError> {
    let text = text.trim().to_ascii_lowercase();
    let rest = text.strip_prefix(OURS).ok_or(CodeError::NotOurs)?;
    let id = rest.strip_prefix(DRUM).ok_or(CodeError::NotADrum)?;
    // Other ways to write an id are not taken: one drum, one text.
    let hyphenated = id.len() == uuid::fmt::Hyphenated::LENGTH;
    id.parse().ok().filter(|_| hyphenated).ok_or(CodeError::BadId)
}

/// Why a text is not that of a drum's code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CodeError {
    /// It does not begin as our codes do.
    NotOurs,
    /// It is a code of ours, of something else.
    NotADrum,
    /// The id in it is not whole.
    BadId,
    /// The text did not fit into a code.
    TooLong,
}

impl fmt::Display for CodeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NotOurs => "this code is not from Stillprop; look for the code on the drum's tag",
            Self::NotADrum => "this code is not of a drum; look for the code on the drum's tag",
            Self::BadId => "the id in this code is not whole; read it again or type it in",
            Self::TooLong => "the text does not fit into a code; use the drum's id alone",
        })
    }
}

impl std::error::Error for CodeError {}

/// The modules of a drum's code: dark or light, row by row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Modules {
    /// Modules along one side.
    pub(crate) side: usize,
    dark: Vec<bool>,
}

impl Modules {
    pub(crate) fn of(drum: Uuid) -> Result<Self, CodeError> {
        // One version for every id, so that all tags look alike and the smallest id is no smaller.
        let code = QrCode::with_version(code_text(drum), Version::Normal(5), EcLevel::Q)
            .map_err(|_| CodeError::TooLong)?;
        let dark = code.to_colors().iter().map(|colour| *colour == Color::Dark).collect();
        Ok(Self { side: code.width(), dark })
    }

    fn dark(&self, x: usize, y: usize) -> bool {
        x < self.side && y < self.side && self.dark.get(y * self.side + x) == Some(&true)
    }

    /// The outline of the dark area, for the even-odd rule, at `at` and `size` in width.
    ///
    /// One outline and not one square for each module: neighbouring squares print with hair
    /// lines between them.
    pub(crate) fn outline(&self, at: (f64, f64), size: f64) -> Path {
        let module = size / self.side as f64;
        let place = |steps: usize, start: f64| start + module * steps as f64;
        let mut edges = self.edges();
        let mut path = Path::default();
        while let Some((&start, _)) = edges.first_key_value() {
            let ((y, x), mut corners) = (start, Vec::new());
            let (mut here, mut heading) = ((y, x), None);
            while let Some(next) = leave(&mut edges, here) {
                if heading != Some(next) {
                    corners.push(here);
                    heading = Some(next);
                }
                here = next.from(here);
            }
            path = path.go(place(x, at.0), place(y, at.1));
            for pair in corners.windows(2) {
                let &[(above, _), (y, x)] = pair else { continue };
                let level = y == above;
                path = if level { path.across(place(x, at.0)) } else { path.down(place(y, at.1)) };
            }
            path = path.close();
        }
        path
    }

    /// Every edge between dark and light, by the corner it leaves, dark on its right.
    fn edges(&self) -> Edges {
        let mut edges = Edges::new();
        for y in 0..self.side {
            for x in (0..self.side).filter(|x| self.dark(*x, y)) {
                let mut add = |corner, to| edges.entry(corner).or_default().push(to);
                if y == 0 || !self.dark(x, y - 1) {
                    add((y, x), Heading::Right);
                }
                if !self.dark(x + 1, y) {
                    add((y, x + 1), Heading::Down);
                }
                if !self.dark(x, y + 1) {
                    add((y + 1, x + 1), Heading::Left);
                }
                if x == 0 || !self.dark(x - 1, y) {
                    add((y + 1, x), Heading::Up);
                }
            }
        }
        edges
    }
}

type Edges = BTreeMap<(usize, usize), Vec<Heading>>;

/// Where an edge goes from its corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Heading {
    Right,
    Down,
    Left,
    Up,
}

impl Heading {
    /// The next corner. An edge to the left or up never leaves row or column 0.
    fn from(self, (y, x): (usize, usize)) -> (usize, usize) {
        match self {
            Self::Right => (y, x + 1),
            Self::Down => (y + 1, x),
            Self::Left => (y, x.saturating_sub(1)),
            Self::Up => (y.saturating_sub(1), x),
        }
    }
}

/// Takes an edge that leaves `corner`. As many edges enter a corner as leave it, so a walk
/// ends where it began.
fn leave(edges: &mut Edges, corner: (usize, usize)) -> Option<Heading> {
    let leaving = edges.get_mut(&corner)?;
    let heading = leaving.pop();
    if leaving.is_empty() {
        edges.remove(&corner);
    }
    heading
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const DRUM: Uuid = Uuid::from_u128(0x0193_5f2a_7b10_7c44_8a3e_0123_4567_89ab);

    #[test]
    fn the_text_of_a_code_is_frozen() {
        // Tags hang on drums for years; a change here would orphan them.
        assert_eq!(code_text(DRUM), "stillprop:drum:01935f2a-7b10-7c44-8a3e-0123456789ab");
    }

    #[test]
    fn what_is_no_drums_code_is_refused_with_a_way_out() {
        let id = "01935f2a-7b10-7c44-8a3e-0123456789ab";
        for (text, why) in [
            (String::new(), CodeError::NotOurs),
            (id.to_owned(), CodeError::NotOurs),
            (format!("stillprop:strip:{id}"), CodeError::NotADrum),
            ("stillprop:drum:".to_owned(), CodeError::BadId),
            (format!("stillprop:drum:{}", &id[1..]), CodeError::BadId),
            (format!("stillprop:drum:{id}0"), CodeError::BadId),
            (format!("stillprop:drum:{}", id.replace('-', "")), CodeError::BadId),
            (format!("stillprop:drum:{{{}}}", &id[..34]), CodeError::BadId),
        ] {
            assert_eq!(read_code(&text), Err(why), "{text}");
            assert!(why.to_string().contains(';'), "{why} has no way out");
        }
    }

    #[test]
    fn blanks_and_capitals_of_a_typed_code_are_forgiven() {
        assert_eq!(read_code(&format!("  {}\n", code_text(DRUM).to_uppercase())), Ok(DRUM));
    }

    #[test]
    fn a_code_has_37_modules_a_side_whatever_the_id() {
        for id in [Uuid::nil(), DRUM, Uuid::max()] {
            assert_eq!(Modules::of(id).map(|modules| modules.side), Ok(37));
        }
    }

    #[test]
    fn the_outline_of_touching_squares_closes_on_itself() {
        // Two squares that meet at a corner, the hard case for a walk around edges.
        let modules = Modules { side: 2, dark: vec![true, false, false, true] };
        let path = format!("{:?}", modules.outline((0.0, 0.0), 2.0));
        assert_eq!(path.matches('M').count(), path.matches('Z').count());
        assert!(modules.edges().values().map(Vec::len).sum::<usize>() == 8);
    }

    proptest! {
        #[test]
        fn any_id_comes_back_from_its_code(id in any::<u128>()) {
            let id = Uuid::from_u128(id);
            prop_assert_eq!(read_code(&code_text(id)), Ok(id));
        }

        #[test]
        fn any_text_is_read_without_panic(text in any::<String>()) {
            prop_assert!(read_code(&text).is_err());
            let _ = read_code(&format!("stillprop:drum:{text}"));
        }
    }
}
