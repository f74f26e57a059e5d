//! The state of a container: one word, one shape, one colour. Any one of them is enough.

use crate::{
    svg::{GREY, INK, PAPER, Paint, Path, Svg, Type},
    words::width,
};

/// What the yard says of a container.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// Every limit of it holds.
    Fit,
    /// A limit of it breaks.
    NotFit,
    /// Something needed to judge it is missing.
    Unknown,
    /// Its batch was called back.
    Recalled,
    /// A person said that it must not be used.
    Condemned,
    /// Nothing usable is left.
    Empty,
}

impl State {
    /// Every state, in the order of a key.
    pub const ALL: [Self; 6] =
        [Self::Fit, Self::NotFit, Self::Unknown, Self::Recalled, Self::Condemned, Self::Empty];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fit => "fit",
            Self::NotFit => "not fit",
            Self::Unknown => "unknown",
            Self::Recalled => "recalled",
            Self::Condemned => "condemned",
            Self::Empty => "empty",
        }
    }

    /// Dark enough for white words on it, 7 to 1 or better.
    const fn colour(self) -> &'static str {
        match self {
            Self::Fit => "#0b4f2a",
            Self::NotFit => "#8f1408",
            Self::Unknown => "#5e4200",
            Self::Recalled => "#6a1267",
            Self::Condemned => INK,
            Self::Empty => GREY,
        }
    }

    /// Written white on dark: not to be used.
    const fn barred(self) -> bool {
        matches!(self, Self::NotFit | Self::Recalled | Self::Condemned)
    }
}

/// Height of a badge.
pub(crate) const BADGE: f64 = 17.0;
const SIZE: f64 = 11.5;
const WORD: Type = Type::bold(SIZE);
const SIGN: f64 = 9.0;

/// Width of the badge of `state`.
pub(crate) fn badge_width(state: State) -> f64 {
    6.0 + SIGN + 5.0 + width(state.word(), WORD) + 6.0
}

/// The badge: sign and word. Full where the fuel is barred, outlined where it is not, dashed
/// where nobody knows.
pub(crate) fn badge(svg: &mut Svg, state: State, (x, y): (f64, f64)) {
    let colour = state.colour();
    let outline = Paint::line(colour, 1.4);
    let (paint, ink) = match state {
        state if state.barred() => (Paint::fill(colour), PAPER),
        State::Unknown => (outline.filled(PAPER).dashed("3 2"), colour),
        _ => (outline.filled(PAPER), colour),
    };
    svg.rect((x, y), (badge_width(state), BADGE), 3.0, paint);
    sign(svg, state, (x + 6.0 + SIGN / 2.0, y + BADGE / 2.0), SIGN / 2.0, ink);
    let kind = WORD.colour(ink);
    svg.words((x + 6.0 + SIGN + 5.0, y + BADGE / 2.0 + SIZE * 0.36), kind, state.word());
}

/// The sign of a state, `half` in reach.
fn sign(svg: &mut Svg, state: State, (x, y): (f64, f64), half: f64, ink: &'static str) {
    let pen = Paint::line(ink, 2.0);
    match state {
        State::Fit => {
            let tick = Path::from(x - half, y).line(x - half * 0.3, y + half * 0.8);
            svg.path(&tick.line(x + half, y - half * 0.8), pen);
        }
        State::NotFit => {
            svg.line((x - half, y - half), (x + half, y + half), Paint::line(ink, 3.0));
        }
        State::Unknown => {
            svg.words((x, y + half * 0.9), Type::bold(half * 2.6).colour(ink).middle(), "?");
        }
        State::Recalled => {
            let head = Path::from(x + half, y - half * 0.1).line(x - half, y - half * 0.1);
            let head = head.go(x - half * 0.2, y - half * 0.9).line(x - half, y - half * 0.1);
            svg.path(&head.line(x - half * 0.2, y + half * 0.7), pen);
        }
        State::Condemned => {
            let cross = Path::from(x - half, y - half).line(x + half, y + half);
            svg.path(&cross.go(x - half, y + half).line(x + half, y - half), pen);
        }
        State::Empty => svg.circle((x, y), half * 0.85, Paint::line(ink, 1.4)),
    }
}

/// How far the mark on a container reaches: no bung lies so near its middle.
const REACH: f64 = 15.0;

/// What a state puts on the middle of a container, the sign of its badge in large.
pub(crate) fn strike(svg: &mut Svg, state: State, (x, y): (f64, f64)) {
    let colour = state.colour();
    let d = REACH * 0.8;
    let down = Path::from(x - d, y - d).line(x + d, y + d);
    let path = match state {
        State::Fit | State::Empty => return,
        State::Unknown => {
            svg.circle((x, y), REACH - 3.0, Paint::line(colour, 1.4).filled(PAPER));
            svg.words((x, y + 6.0), Type::bold(17.0).colour(colour).middle(), "?");
            return;
        }
        State::NotFit => down,
        State::Condemned => down.go(x - d, y + d).line(x + d, y - d),
        State::Recalled => {
            // Its tip runs out beyond its point by the width of the stroke.
            let point = x - REACH + 4.0;
            let arrow = Path::from(x + REACH, y).line(point, y).go(x - 3.0, y - 9.0);
            arrow.line(point, y).line(x - 3.0, y + 9.0)
        }
    };
    // Paper under the stroke keeps it apart from what it crosses.
    svg.path(&path, Paint::line(PAPER, 9.0));
    svg.path(&path, Paint::line(colour, 5.0));
}

/// Contrast by the relative luminance of WCAG 2.1, from memory.
#[cfg(test)]
pub(crate) fn contrast_to_white(colour: &str) -> f64 {
    let digits = colour.trim_start_matches('#');
    let wide: String = match digits.len() {
        3 => digits.chars().flat_map(|digit| [digit, digit]).collect(),
        _ => digits.to_owned(),
    };
    let linear = |at: usize| {
        let share = f64::from(u8::from_str_radix(&wide[at..at + 2], 16).unwrap()) / 255.0;
        if share <= 0.040_45 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    };
    1.05 / (0.2126 * linear(0) + 0.7152 * linear(2) + 0.0722 * linear(4) + 0.05)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_state_has_its_own_word_colour_and_sign() {
        let drawn = |state| {
            let mut svg = Svg::new(crate::svg::Sheet { width: 9.0, height: 9.0, unit: "" }, "", "");
            sign(&mut svg, state, (0.0, 0.0), 4.0, INK);
            svg.finish()
        };
        for (place, one) in State::ALL.into_iter().enumerate() {
            for other in State::ALL.into_iter().skip(place + 1) {
                assert_ne!(one.word(), other.word());
                assert_ne!(one.colour(), other.colour());
                assert_ne!(drawn(one), drawn(other), "{one:?} {other:?}");
            }
        }
    }

    #[test]
    fn every_colour_stands_out_in_the_sun() {
        assert!((contrast_to_white("#000") - 21.0).abs() < 1e-9);
        for state in State::ALL {
            let contrast = contrast_to_white(state.colour());
            assert!(contrast >= 7.0, "{state:?}: {contrast:.1}");
        }
    }
}
