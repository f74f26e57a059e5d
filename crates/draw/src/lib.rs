//! Pictures and tags: plain data in, SVG text out.
//!
//! | module | draws |
//! |---|---|
//! | [`rack`] | the yard rack: every container, how full, how old, its state |
//! | [`trace`] | where fuel went: supplier, batch, container, flight |
//! | [`apron`] | the aeroplane on the ground: clearances, hose, walking path, to scale |
//! | [`profile`] | the strip from the side: what there is, what is needed, obstacles |
//! | [`loading`] | the aeroplane from above: what each place carries, and where it balances |
//! | [`balance`] | mass against arm: envelope, path of the burn, distance to each edge |
//! | [`ladder`] | the fuel of a flight, rung upon rung, against what is aboard |
//! | [`day`] | light at the strip and at each destination, with the flight |
//! | [`odds`] | how often a flight like this breaks a limit, as dots |
//! | [`tag`] | drum tags and rack labels, ready to print |
//! | [`pictogram`] | small squares for the briefing of passengers |
//! | [`code`] | the text in a drum's code, and reading it back |
//!
//! Each picture is a pure function: the same data gives the same bytes. It has a title and says
//! in words all that it shows. State is a word and a shape as well as a colour. There is no
//! script, link, font file, style sheet or id in it, so it may stand in any page, alone or
//! among others.

pub mod apron;
pub mod balance;
mod board;
#[cfg(test)]
mod check;
pub mod code;
pub mod day;
pub mod ladder;
pub mod loading;
mod mark;
pub mod odds;
mod page;
pub mod pictogram;
mod plane;
pub mod profile;
pub mod rack;
mod scale;
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

/// A limit below a picture: what is judged, how it stands, its verdict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Limit {
    /// What is judged: `take-off mass`.
    pub name: String,
    /// How it stands: `1521 kg of 1650 kg`.
    pub stands: String,
    /// The verdict.
    pub verdict: Verdict,
}

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
