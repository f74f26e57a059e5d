//! The verdict on a limit: one word, one sign, one look. Any one of them is enough.

use crate::{
    plane::Point,
    svg::{PAPER, Paint, Path, Svg, Type},
    words::width,
};

/// What a limit says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// The bound is passed.
    Breaks,
    /// Something needed to judge it is missing.
    Unknown,
    /// The bound is kept.
    Holds,
}

impl Verdict {
    /// Every verdict, worst first.
    pub const ALL: [Self; 3] = [Self::Breaks, Self::Unknown, Self::Holds];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Breaks => "breaks",
            Self::Unknown => "unknown",
            Self::Holds => "holds",
        }
    }

    /// Dark enough for white words on it, 7 to 1 or better.
    pub(crate) const fn colour(self) -> &'static str {
        match self {
            Self::Breaks => "#8f1408",
            Self::Unknown => "#5e4200",
            Self::Holds => "#0b4f2a",
        }
    }

    /// A limit that holds needs its number: without one nobody can know.
    pub(crate) fn given(self, known: bool) -> Self {
        if self == Self::Holds && !known { Self::Unknown } else { self }
    }

    /// Line of what this verdict is about: heavy where it breaks, dashed where nobody knows.
    pub(crate) const fn line(self) -> Paint {
        match self {
            Self::Breaks => Paint::line(self.colour(), 3.2),
            Self::Unknown => Paint::line(self.colour(), 1.8).dashed("5 3"),
            Self::Holds => Paint::line(self.colour(), 1.4),
        }
    }
}

/// Height of a badge.
pub(crate) const BADGE: f64 = 17.0;
const SIZE: f64 = 11.5;
const WORD: Type = Type::bold(SIZE);
const SIGN: f64 = 9.0;

/// Width of the badge of `verdict`.
pub(crate) fn badge_width(verdict: Verdict) -> f64 {
    6.0 + SIGN + 5.0 + width(verdict.word(), WORD) + 6.0
}

/// The badge: sign and word. Full where the limit breaks, outlined where it holds, dashed where
/// nobody knows.
pub(crate) fn badge(svg: &mut Svg, verdict: Verdict, (x, y): (f64, f64)) {
    let colour = verdict.colour();
    let outline = Paint::line(colour, 1.4).filled(PAPER);
    let (paint, ink) = match verdict {
        Verdict::Breaks => (Paint::fill(colour), PAPER),
        Verdict::Unknown => (outline.dashed("3 2"), colour),
        Verdict::Holds => (outline, colour),
    };
    svg.rect((x, y), (badge_width(verdict), BADGE), 3.0, paint);
    sign(svg, verdict, (x + 6.0 + SIGN / 2.0, y + BADGE / 2.0), SIGN / 2.0, ink);
    let kind = WORD.colour(ink);
    svg.words((x + 6.0 + SIGN + 5.0, y + BADGE / 2.0 + SIZE * 0.36), kind, verdict.word());
}

const COUNT: Type = Type::bold(14.0);

/// How many verdicts of each kind a picture shows, as badges that flow like words.
#[derive(Debug)]
pub(crate) struct Tally(Vec<(Verdict, String, Point)>);

impl Tally {
    /// Lays the badges out from `left` to `right`, from `top` downwards.
    pub(crate) fn new(counts: [(Verdict, usize); 3], (left, right): (f64, f64), top: f64) -> Self {
        let (mut x, mut y) = (left, top);
        let mut placed = Vec::new();
        for (verdict, number) in counts.into_iter().filter(|(_, number)| *number > 0) {
            let number = number.to_string();
            let needed = width(&number, COUNT) + 5.0 + badge_width(verdict);
            if x > left && x + needed > right {
                (x, y) = (left, y + BADGE + 6.0);
            }
            placed.push((verdict, number, (x, y)));
            x += needed + 12.0;
        }
        Self(placed)
    }

    /// Where the last line of badges ends; `top` of the layout when there is none.
    pub(crate) fn bottom(&self, top: f64) -> f64 {
        self.0.last().map_or(top, |(_, _, (_, y))| y + BADGE)
    }

    /// Where badges end, when all stand in one line.
    pub(crate) fn end(&self) -> Option<f64> {
        let (verdict, number, (x, _)) = self.0.last()?;
        let one_line = self.0.windows(2).all(|pair| pair[0].2.0 < pair[1].2.0);
        one_line.then_some(x + width(number, COUNT) + 5.0 + badge_width(*verdict))
    }

    pub(crate) fn draw(&self, svg: &mut Svg) {
        for (verdict, number, (x, y)) in &self.0 {
            svg.words((*x, y + 13.5), COUNT, number);
            badge(svg, *verdict, (x + width(number, COUNT) + 5.0, *y));
        }
    }
}

/// The sign of a verdict, `half` in reach.
fn sign(svg: &mut Svg, verdict: Verdict, (x, y): (f64, f64), half: f64, ink: &'static str) {
    match verdict {
        Verdict::Holds => {
            let tick = Path::from(x - half, y).line(x - half * 0.3, y + half * 0.8);
            svg.path(&tick.line(x + half, y - half * 0.8), Paint::line(ink, 2.0));
        }
        Verdict::Unknown => {
            svg.words((x, y + half * 0.9), Type::bold(half * 2.6).colour(ink).middle(), "?");
        }
        Verdict::Breaks => {
            let cross = Path::from(x - half, y - half).line(x + half, y + half);
            svg.path(&cross.go(x - half, y + half).line(x + half, y - half), Paint::line(ink, 2.6));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{state::contrast_to_white, svg::INK};

    fn drawn(verdict: Verdict, draw: impl Fn(&mut Svg, Verdict)) -> String {
        let mut svg = Svg::new(crate::svg::Sheet { width: 9.0, height: 9.0, unit: "" }, "", "");
        draw(&mut svg, verdict);
        svg.finish()
    }

    #[test]
    fn every_verdict_has_its_own_word_colour_sign_and_line() {
        let signs = |verdict| drawn(verdict, |svg, of| sign(svg, of, (0.0, 0.0), 4.0, INK));
        let lines = |verdict| {
            // Without its colour, as print shows it.
            let line = drawn(verdict, |svg, of| svg.line((0.0, 0.0), (9.0, 9.0), of.line()));
            line.replace(verdict.colour(), "")
        };
        for (place, one) in Verdict::ALL.into_iter().enumerate() {
            for other in Verdict::ALL.into_iter().skip(place + 1) {
                assert_ne!(one.word(), other.word());
                assert_ne!(one.colour(), other.colour());
                assert_ne!(signs(one), signs(other), "{one:?} {other:?}");
                assert_ne!(lines(one), lines(other), "{one:?} {other:?}");
            }
        }
    }

    #[test]
    fn every_colour_stands_out_in_the_sun() {
        for verdict in Verdict::ALL {
            let contrast = contrast_to_white(verdict.colour());
            assert!(contrast >= 7.0, "{verdict:?}: {contrast:.1}");
        }
    }

    #[test]
    fn only_a_holding_limit_loses_its_verdict_with_its_number() {
        assert_eq!(Verdict::Holds.given(false), Verdict::Unknown);
        assert_eq!(Verdict::Breaks.given(false), Verdict::Breaks);
        assert_eq!(Verdict::Holds.given(true), Verdict::Holds);
    }
}
