//! Pictures and tags: plain data in, SVG text out.
//!
//! | module | draws |
//! |---|---|
//! | [`rack`] | the yard rack: every container, how full, how old, its state |
//! | [`trace`] | where fuel went: supplier, batch, container, flight |
//! | [`apron`] | the aeroplane on the ground: clearances, hose, walking path, to scale |
//! | [`profile`] | the strip from the side: what there is, what is needed, obstacles |
//! | [`tag`] | drum tags and rack labels, ready to print |
//! | [`code`] | the text in a drum's code, and reading it back |
//!
//! Each picture is a pure function: the same data gives the same bytes. It has a title and says
//! in words all that it shows. State is a word and a shape as well as a colour. There is no
//! script, link, font file, style sheet or id in it, so it may stand in any page, alone or
//! among others.

pub mod apron;
mod board;
#[cfg(test)]
mod check;
pub mod code;
mod mark;
mod plane;
pub mod profile;
pub mod rack;
mod shape;
mod state;
mod svg;
pub mod tag;
pub mod trace;
mod verdict;
mod words;

pub use state::State;
pub use verdict::Verdict;

/// What a picture carries when it is taken out of its page.
const ADVICE: &str = "Advice only. The pilot in command decides.";

/// How wide a picture on a screen is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Width(u16);

impl Width {
    /// A phone held upright.
    pub const PHONE: Self = Self(390);
    /// A laptop, or paper across.
    pub const LAPTOP: Self = Self(1080);

    /// Another width in pixels, held to what the pictures can use.
    #[must_use]
    pub fn of(pixels: u16) -> Self {
        Self(pixels.clamp(320, 1600))
    }

    fn pixels(self) -> f64 {
        f64::from(self.0)
    }
}
