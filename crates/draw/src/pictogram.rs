//! Pictograms of the briefing: one square each, black on white, drawn by ourselves.
//!
//! Each stands beside words that say the same; none is meant to be enough alone.

use crate::svg::{INK, PAPER, Paint, Path, Sheet, Svg};

/// What a pictogram shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pictogram {
    /// A person who waits before a bar.
    Wait,
    /// A marked way.
    Way,
    /// A propeller nobody goes to.
    Propeller,
    /// A wing above a head.
    HighWing,
    /// A foot on a low wing.
    LowWing,
    /// A seat, balanced.
    Seat,
    /// A door with its handle.
    Door,
    /// A belt.
    Belt,
    /// A way out.
    Exit,
    /// A head with a headset.
    Headset,
    /// No smoking.
    NoSmoking,
    /// No telephone.
    NoPhone,
    /// A bag under a seat.
    Bag,
    /// A person braced.
    Brace,
    /// Away from the aeroplane.
    Away,
    /// A kit.
    Kit,
    /// A life jacket.
    LifeJacket,
    /// A mask.
    Mask,
    /// A cup of water.
    Water,
    /// Two people, hand in hand.
    Help,
}

impl Pictogram {
    /// Every one.
    pub const ALL: [Self; 20] = [
        Self::Wait,
        Self::Way,
        Self::Propeller,
        Self::HighWing,
        Self::LowWing,
        Self::Seat,
        Self::Door,
        Self::Belt,
        Self::Exit,
        Self::Headset,
        Self::NoSmoking,
        Self::NoPhone,
        Self::Bag,
        Self::Brace,
        Self::Away,
        Self::Kit,
        Self::LifeJacket,
        Self::Mask,
        Self::Water,
        Self::Help,
    ];

    /// What it shows, in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Wait => "a person waits before a bar",
            Self::Way => "a marked way between two places",
            Self::Propeller => "a propeller, crossed out for people",
            Self::HighWing => "a wing above a head",
            Self::LowWing => "a step up beside a low wing",
            Self::Seat => "a person in a seat above a balance",
            Self::Door => "a door with its handle",
            Self::Belt => "a belt with its buckle",
            Self::Exit => "a person goes out through an opening",
            Self::Headset => "a head with a headset",
            Self::NoSmoking => "a cigarette, crossed out",
            Self::NoPhone => "a telephone, crossed out",
            Self::Bag => "a bag put away below a seat",
            Self::Brace => "a person braced in a seat",
            Self::Away => "people go away from an aeroplane",
            Self::Kit => "a kit with a handle",
            Self::LifeJacket => "a life jacket above waves",
            Self::Mask => "an oxygen mask on a face",
            Self::Water => "a cup of water",
            Self::Help => "one person holds the arm of another",
        }
    }
}

const SIDE: f64 = 64.0;
const LINE: Paint = Paint::line(INK, 3.0);
const THIN: Paint = Paint::line(INK, 1.8);
const SOLID: Paint = Paint::fill(INK);

/// A pictogram as SVG.
#[must_use]
pub fn pictogram(of: Pictogram) -> String {
    let sheet = Sheet { width: SIDE, height: SIDE, unit: "" };
    let mut svg = Svg::new(sheet, of.words(), of.words());
    let s = &mut svg;
    match of {
        Pictogram::Wait => {
            person(s, (22.0, 14.0));
            line(s, &[(44.0, 12.0), (44.0, 56.0)], LINE);
            line(s, &[(36.0, 30.0), (60.0, 30.0)], Paint::line(INK, 5.0));
        }
        Pictogram::Way => {
            s.circle((12.0, 52.0), 5.0, SOLID);
            s.rect((46.0, 6.0), (12.0, 16.0), 1.0, LINE);
            let way = Path::from(16.0, 47.0).swing((16.0, 47.0), (52.0, 26.0));
            s.path(&way, Paint::line(INK, 3.5).dashed("6 4"));
        }
        Pictogram::Propeller => {
            s.circle((32.0, 32.0), 4.0, SOLID);
            for (x, y) in [(44.0, 8.0), (16.0, 50.0)] {
                let blade = Path::from(32.0, 32.0).line(x, y).line(x + 5.0, y + 5.0).close();
                s.path(&blade, SOLID);
            }
            forbidden(s);
        }
        Pictogram::HighWing => {
            s.rect((4.0, 8.0), (56.0, 8.0), 4.0, SOLID);
            line(s, &[(54.0, 16.0), (44.0, 56.0)], THIN);
            person(s, (24.0, 22.0));
        }
        Pictogram::LowWing => {
            s.rect((4.0, 46.0), (44.0, 8.0), 4.0, SOLID);
            line(s, &[(52.0, 60.0), (62.0, 60.0)], Paint::line(INK, 4.0));
            person(s, (22.0, 8.0));
        }
        Pictogram::Seat => {
            sitting(s, false);
            line(s, &[(10.0, 56.0), (54.0, 56.0)], THIN);
            s.path(&Path::from(32.0, 56.0).line(26.0, 63.0).line(38.0, 63.0).close(), SOLID);
        }
        Pictogram::Door => {
            s.rect((16.0, 6.0), (32.0, 52.0), 5.0, LINE);
            s.rect((21.0, 11.0), (22.0, 16.0), 3.0, THIN);
            s.rect((36.0, 36.0), (10.0, 4.0), 2.0, SOLID);
        }
        Pictogram::Belt => {
            line(s, &[(4.0, 24.0), (22.0, 34.0)], Paint::line(INK, 7.0));
            line(s, &[(60.0, 24.0), (42.0, 34.0)], Paint::line(INK, 7.0));
            s.rect((20.0, 24.0), (24.0, 20.0), 3.0, LINE.filled(PAPER));
            s.rect((27.0, 30.0), (10.0, 8.0), 1.0, SOLID);
        }
        Pictogram::Exit => {
            s.rect((6.0, 6.0), (26.0, 52.0), 2.0, LINE);
            person(s, (26.0, 14.0));
            arrow(s, (40.0, 32.0), (60.0, 32.0));
        }
        Pictogram::Headset => {
            s.circle((32.0, 34.0), 14.0, LINE);
            s.path(&Path::from(14.0, 34.0).arc(18.0, false, 50.0, 34.0), LINE);
            s.rect((10.0, 30.0), (8.0, 14.0), 3.0, SOLID);
            s.rect((46.0, 30.0), (8.0, 14.0), 3.0, SOLID);
            line(s, &[(14.0, 44.0), (20.0, 52.0), (30.0, 52.0)], THIN);
        }
        Pictogram::NoSmoking => {
            s.rect((12.0, 30.0), (30.0, 7.0), 0.0, LINE);
            s.rect((42.0, 29.0), (8.0, 9.0), 0.0, SOLID);
            line(s, &[(50.0, 24.0), (46.0, 20.0), (50.0, 15.0)], THIN);
            forbidden(s);
        }
        Pictogram::NoPhone => {
            s.rect((22.0, 10.0), (20.0, 44.0), 4.0, LINE);
            s.rect((26.0, 16.0), (12.0, 26.0), 0.0, THIN);
            s.circle((32.0, 48.0), 2.0, SOLID);
            forbidden(s);
        }
        Pictogram::Bag => {
            line(s, &[(14.0, 6.0), (18.0, 32.0), (50.0, 32.0)], Paint::line(INK, 5.0));
            s.rect((20.0, 42.0), (28.0, 16.0), 3.0, SOLID);
            line(s, &[(28.0, 42.0), (28.0, 38.0), (40.0, 38.0), (40.0, 42.0)], THIN);
        }
        Pictogram::Brace => sitting(s, true),
        Pictogram::Away => {
            s.path(&Path::from(4.0, 20.0).line(26.0, 16.0).line(26.0, 24.0).close(), SOLID);
            line(s, &[(14.0, 6.0), (16.0, 34.0)], Paint::line(INK, 4.0));
            person(s, (38.0, 22.0));
            arrow(s, (44.0, 12.0), (61.0, 12.0));
        }
        Pictogram::Kit => {
            s.rect((8.0, 22.0), (48.0, 32.0), 4.0, LINE);
            line(s, &[(24.0, 22.0), (24.0, 14.0), (40.0, 14.0), (40.0, 22.0)], LINE);
            s.rect((29.0, 28.0), (6.0, 20.0), 0.0, SOLID);
            s.rect((22.0, 35.0), (20.0, 6.0), 0.0, SOLID);
        }
        Pictogram::LifeJacket => {
            s.rect((16.0, 8.0), (13.0, 36.0), 6.0, LINE);
            s.rect((35.0, 8.0), (13.0, 36.0), 6.0, LINE);
            line(s, &[(14.0, 34.0), (50.0, 34.0)], Paint::line(INK, 4.0));
            for y in [52.0, 60.0] {
                let wave = Path::from(4.0, y).arc(9.0, false, 22.0, y).arc(9.0, false, 40.0, y);
                s.path(&wave.arc(9.0, false, 58.0, y), THIN);
            }
        }
        Pictogram::Mask => {
            s.circle((30.0, 22.0), 14.0, LINE);
            s.path(&Path::from(20.0, 26.0).line(42.0, 26.0).line(34.0, 42.0).close(), SOLID);
            line(s, &[(34.0, 40.0), (40.0, 58.0), (58.0, 58.0)], LINE);
        }
        Pictogram::Water => {
            let cup = Path::from(16.0, 12.0).line(22.0, 56.0).line(42.0, 56.0).line(48.0, 12.0);
            s.path(&cup.close(), LINE);
            let water = Path::from(19.0, 30.0).line(22.0, 55.0).line(42.0, 55.0).line(45.0, 30.0);
            s.path(&water.close(), SOLID);
        }
        Pictogram::Help => {
            person(s, (20.0, 12.0));
            person(s, (46.0, 12.0));
            line(s, &[(20.0, 34.0), (46.0, 34.0)], LINE);
        }
    }
    svg.finish()
}

fn line(svg: &mut Svg, points: &[(f64, f64)], paint: Paint) {
    let Some((first, rest)) = points.split_first() else { return };
    let start = Path::from(first.0, first.1);
    svg.path(&rest.iter().fold(start, |path, (x, y)| path.line(*x, *y)), paint);
}

/// Somebody who stands, the middle of the head at `at`.
fn person(svg: &mut Svg, (x, y): (f64, f64)) {
    svg.circle((x, y), 6.0, SOLID);
    line(svg, &[(x, y + 8.0), (x, y + 26.0)], Paint::line(INK, 6.0));
    line(svg, &[(x - 8.0, y + 22.0), (x, y + 11.0), (x + 8.0, y + 22.0)], LINE);
    line(svg, &[(x - 6.0, y + 42.0), (x, y + 25.0), (x + 6.0, y + 42.0)], LINE);
}

/// Somebody in a seat, upright or bent forward.
fn sitting(svg: &mut Svg, bent: bool) {
    line(svg, &[(12.0, 10.0), (16.0, 46.0), (40.0, 46.0)], LINE);
    let head = if bent { (42.0, 26.0) } else { (24.0, 12.0) };
    svg.circle(head, 6.0, SOLID);
    let back = if bent { (36.0, 28.0) } else { (25.0, 20.0) };
    line(svg, &[back, (22.0, 40.0), (42.0, 40.0), (46.0, 54.0)], Paint::line(INK, 6.0));
    if bent {
        line(svg, &[(36.0, 30.0), (48.0, 40.0)], LINE);
    }
}

fn arrow(svg: &mut Svg, from: (f64, f64), to: (f64, f64)) {
    line(svg, &[from, to], LINE);
    line(svg, &[(to.0 - 7.0, to.1 - 6.0), to, (to.0 - 7.0, to.1 + 6.0)], LINE);
}

/// A ring with a stroke through it.
fn forbidden(svg: &mut Svg) {
    svg.circle((32.0, 32.0), 28.0, Paint::line(INK, 4.5));
    line(svg, &[(12.5, 12.5), (51.5, 51.5)], Paint::line(PAPER, 8.5));
    line(svg, &[(12.5, 12.5), (51.5, 51.5)], Paint::line(INK, 4.5));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_pictogram_is_drawn_inside_its_square_and_differs_from_the_others() {
        let mut seen = std::collections::BTreeSet::new();
        for of in Pictogram::ALL {
            let text = pictogram(of);
            let tree = roxmltree::Document::parse(&text).unwrap();
            assert!(tree.descendants().filter(|node| node.is_element()).count() > 5, "{of:?}");
            let body: String = text.lines().skip(3).collect();
            assert!(seen.insert(body), "{of:?} looks like another");
            for node in tree.descendants() {
                for (key, least) in [("cx", "r"), ("cy", "r")] {
                    let number = |key| node.attribute(key).and_then(|it| it.parse::<f64>().ok());
                    let (Some(at), Some(by)) = (number(key), number(least)) else { continue };
                    assert!(at - by >= 0.0 && at + by <= SIDE, "{of:?}: {key}");
                }
            }
        }
    }
}
