//! The mass and balance envelope: inside or outside, and how far from each edge.
//!
//! # Formula
//!
//! The envelope is a simple polygon of corners (arm, mass). A mass cuts it in one stretch
//! of arms from the forward to the aft boundary; on an edge between `(x1, m1)` and
//! `(x2, m2)` the boundary at mass `m` is the straight line
//! `x = x1 + (x2 - x1) (m - m1) / (m2 - m1)`. `[plane-geometry]`
//!
//! # Accepted range
//!
//! At least three corners, finite, with area, edges not crossing, and each mass cutting the
//! polygon once (no edge folds back over mass). All envelopes of flight manuals we know have
//! that shape; one that has not is refused with its place, never half understood.
//!
//! # Outside the polygon
//!
//! Below its lowest mass the boundaries of the lowest mass hold, above its highest those of
//! the highest; [`Cut::held`] says that this happened, and the mass itself is judged by its
//! own distance to the top.
//!
//! # Rounding
//!
//! A load that adds up to a limit exactly must not fall outside because a pound is not a
//! round number of kilograms. Within 1e-9 m or 1e-6 kg (ours: far below what a rule or a
//! scale can tell) a point counts as on the boundary. Where two boundaries meet in a level
//! edge, a point at that very mass may lie anywhere along the edge.

use std::fmt;

use crate::quantity::{FromAmount, Length, Mass};

/// A corner of the envelope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Arm of the centre of gravity.
    pub arm: Length,
    /// Mass.
    pub mass: Mass,
}

/// One straight side of a boundary, as `arm = at + slope (mass - low)`. \[SI\]
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Side {
    /// Lowest mass of the side. \[kg\]
    pub low: f64,
    /// Highest mass of the side. \[kg\]
    pub high: f64,
    /// Arm at `low`. \[m\]
    pub at: f64,
    /// Change of arm with mass. \[m/kg\]
    pub slope: f64,
    /// Arm at `high`, as the corner has it. \[m\]
    to: f64,
}

/// What is taken for rounding of the sums before it, not for a place outside. \[m\]
pub(crate) const ARM_SLACK: f64 = 1e-9;
/// The same for a mass. \[kg\]
pub(crate) const MASS_SLACK: f64 = 1e-6;

impl Side {
    fn new(a: Corner, b: Corner) -> Self {
        let (low, high) = if a.mass.value <= b.mass.value { (a, b) } else { (b, a) };
        let slope = (high.arm - low.arm).value / (high.mass - low.mass).value;
        let (at, to) = (low.arm.value, high.arm.value);
        Self { low: low.mass.value, high: high.mass.value, at, slope, to }
    }

    /// A side without slope.
    pub(crate) fn upright(low: f64, high: f64, arm: f64) -> Self {
        Self { low, high, at: arm, slope: 0.0, to: arm }
    }

    /// Arm of the boundary at `mass`, which lies within the side; both corners exact.
    pub(crate) fn arm_at(&self, mass: f64) -> f64 {
        if mass >= self.high { self.to } else { self.at + self.slope * (mass - self.low) }
    }
}

/// A checked envelope.
#[derive(Clone, Debug, PartialEq)]
pub struct Envelope {
    corners: Vec<Corner>,
    /// Forward boundary, from the lowest mass up, without gaps.
    pub(crate) forward: Vec<Side>,
    /// Aft boundary, from the lowest mass up, without gaps.
    pub(crate) aft: Vec<Side>,
}

/// Why corners do not make an envelope.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EnvelopeError {
    /// Fewer than three corners.
    TooFew,
    /// A corner is not finite, or has no mass.
    BadCorner(usize),
    /// Two neighbouring corners are the same.
    Repeated(usize),
    /// All corners lie on one line, or all at one mass.
    NoArea,
    /// Two edges cross; each is named by its first corner.
    Crossing(usize, usize),
    /// The boundary turns back over mass at this corner.
    FoldsBack(usize),
}

impl EnvelopeError {
    /// The corner it is at, counted from 0; `None` when it is about the whole.
    #[must_use]
    pub const fn corner(&self) -> Option<usize> {
        match self {
            Self::BadCorner(at) | Self::Repeated(at) | Self::FoldsBack(at) => Some(*at),
            Self::Crossing(_, later) => Some(*later),
            Self::TooFew | Self::NoArea => None,
        }
    }
}

impl fmt::Display for EnvelopeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew => f.write_str("an envelope needs at least three corners"),
            Self::BadCorner(at) => write!(f, "corner {} is not a finite arm and mass", at + 1),
            Self::Repeated(at) => write!(f, "corner {} repeats the one before it", at + 1),
            Self::NoArea => f.write_str("the corners enclose no area"),
            Self::Crossing(a, b) => {
                write!(f, "the edge after corner {} crosses the edge after corner {}", a + 1, b + 1)
            }
            Self::FoldsBack(at) => {
                write!(f, "the boundary folds back over mass at corner {}", at + 1)
            }
        }
    }
}

impl std::error::Error for EnvelopeError {}

/// Where a mass cuts the envelope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// Foremost arm allowed.
    pub forward: Length,
    /// Aftmost arm allowed.
    pub aft: Length,
    /// True when the mass lies outside the polygon and the nearest boundary was held.
    pub held: bool,
}

/// How far a point is from one edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeDistance {
    /// First corner of the edge.
    pub from: Corner,
    /// Second corner of the edge.
    pub to: Corner,
    /// Along the arm at the same mass, inside positive; `None` when the edge has no point
    /// at that mass or is level.
    pub along_arm: Option<Length>,
    /// Along the mass at the same arm, inside positive; `None` when the edge has no point
    /// at that arm or is upright.
    pub along_mass: Option<Mass>,
}

impl Envelope {
    /// Checks corners, given in order around the polygon in either direction.
    ///
    /// # Errors
    ///
    /// [`EnvelopeError`] names the first thing wrong and the corner it is at.
    pub fn new(corners: Vec<Corner>) -> Result<Self, EnvelopeError> {
        let corners = checked(corners)?;
        let (forward, aft) = boundaries(&corners)?;
        Ok(Self { corners, forward, aft })
    }

    /// The corners, in the order given.
    #[must_use]
    pub fn corners(&self) -> &[Corner] {
        &self.corners
    }

    /// The straight sides of the forward and of the aft boundary, each from its lower to its upper
    /// end and from the lowest mass up; where one begins at another arm than the last ended, a level
    /// edge lies between.
    #[must_use]
    pub fn sides(&self) -> [Vec<(Corner, Corner)>; 2] {
        let corner = |arm, mass| Corner { arm: Length::from_si(arm), mass: Mass::from_si(mass) };
        let ends = |side: &Side| (corner(side.at, side.low), corner(side.to, side.high));
        [&self.forward, &self.aft].map(|sides| sides.iter().map(ends).collect())
    }

    /// Lowest mass of the polygon.
    #[must_use]
    pub fn bottom(&self) -> Mass {
        Mass::from_si(self.forward.first().map_or(f64::NAN, |side| side.low))
    }

    /// Highest mass of the polygon.
    #[must_use]
    pub fn top(&self) -> Mass {
        Mass::from_si(self.forward.last().map_or(f64::NAN, |side| side.high))
    }

    /// The stretch of arms allowed at `mass`.
    #[must_use]
    pub fn cut(&self, mass: Mass) -> Cut {
        let inside = mass.value.clamp(self.bottom().value, self.top().value);
        // Two sides meet at a corner; a level edge between them allows every arm along it.
        let at = |sides: &[Side], wider: fn(f64, f64) -> f64| {
            let met = sides.iter().filter(|side| side.low <= inside && inside <= side.high);
            Length::from_si(met.map(|side| side.arm_at(inside)).fold(f64::NAN, wider))
        };
        let held = inside.total_cmp(&mass.value).is_ne();
        Cut { forward: at(&self.forward, f64::min), aft: at(&self.aft, f64::max), held }
    }

    /// True when the point lies inside or on the boundary.
    #[must_use]
    pub fn contains(&self, point: Corner) -> bool {
        let cut = self.cut(point.mass);
        self.spans(point.mass)
            && (point.arm - cut.forward).value >= -ARM_SLACK
            && (cut.aft - point.arm).value >= -ARM_SLACK
    }

    /// True when the polygon reaches from its lowest to its highest mass around `mass`.
    pub(crate) fn spans(&self, mass: Mass) -> bool {
        (mass - self.bottom()).value >= -MASS_SLACK && (self.top() - mass).value >= -MASS_SLACK
    }

    /// The signed distance of a point to each edge, in the order of the corners.
    #[must_use]
    pub fn edge_distances(&self, point: Corner) -> Vec<EdgeDistance> {
        let area = signed_area(&self.corners);
        edges(&self.corners)
            .map(|(_, from, to)| {
                let (dx, dm) = ((to.arm - from.arm).value, (to.mass - from.mass).value);
                let (px, pm) = ((point.arm - from.arm).value, (point.mass - from.mass).value);
                // Counter-clockwise corners have the inside on the left of each edge.
                let side = (dx * pm - dm * px) * area.signum();
                let share = |along: f64, length: f64| (0.0..=1.0).contains(&(along / length));
                let along_arm = (dm.abs() > 0.0 && share(pm, dm)).then(|| side / dm.abs());
                let along_mass = (dx.abs() > 0.0 && share(px, dx)).then(|| side / dx.abs());
                EdgeDistance {
                    from,
                    to,
                    along_arm: along_arm.map(Length::from_si),
                    along_mass: along_mass.map(Mass::from_si),
                }
            })
            .collect()
    }
}

fn edges(corners: &[Corner]) -> impl Iterator<Item = (usize, Corner, Corner)> + Clone + '_ {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).enumerate().map(|(at, (a, b))| (at, *a, *b))
}

/// Twice the area, positive when the corners run counter-clockwise (arm right, mass up).
fn signed_area(corners: &[Corner]) -> f64 {
    edges(corners).map(|(_, a, b)| a.arm.value * b.mass.value - b.arm.value * a.mass.value).sum()
}

fn checked(corners: Vec<Corner>) -> Result<Vec<Corner>, EnvelopeError> {
    if corners.len() < 3 {
        return Err(EnvelopeError::TooFew);
    }
    let bad =
        |c: &Corner| !(c.arm.value.is_finite() && c.mass.value.is_finite() && c.mass.value > 0.0);
    if let Some(at) = corners.iter().position(bad) {
        return Err(EnvelopeError::BadCorner(at));
    }
    if let Some((at, ..)) = edges(&corners).find(|(_, a, b)| a == b) {
        return Err(EnvelopeError::Repeated((at + 1) % corners.len()));
    }
    let spread: f64 = edges(&corners)
        .map(|(_, a, b)| (a.arm.value * b.mass.value).abs() + (b.arm.value * a.mass.value).abs())
        .sum();
    for (i, a, b) in edges(&corners) {
        for (j, c, d) in edges(&corners).skip(i + 2) {
            let neighbours = i == 0 && j + 1 == corners.len();
            if !neighbours && cross(a, b, c, d) {
                return Err(EnvelopeError::Crossing(i, j));
            }
        }
    }
    if signed_area(&corners).abs() <= 1e-12 * spread {
        return Err(EnvelopeError::NoArea);
    }
    Ok(corners)
}

/// True when two edges touch or cross.
fn cross(a: Corner, b: Corner, c: Corner, d: Corner) -> bool {
    let turn = |p: Corner, q: Corner, r: Corner| {
        let left = (q.arm - p.arm).value * (r.mass - p.mass).value;
        let right = (q.mass - p.mass).value * (r.arm - p.arm).value;
        (left - right).signum() * f64::from(u8::from((left - right).abs() > 0.0))
    };
    let between = |p: f64, q: f64, x: f64| p.min(q) <= x && x <= p.max(q);
    let on = |p: Corner, q: Corner, r: Corner| {
        between(p.arm.value, q.arm.value, r.arm.value)
            && between(p.mass.value, q.mass.value, r.mass.value)
    };
    let (t1, t2, t3, t4) = (turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b));
    (t1 * t2 < 0.0 && t3 * t4 < 0.0)
        || (t1 == 0.0 && on(a, b, c))
        || (t2 == 0.0 && on(a, b, d))
        || (t3 == 0.0 && on(c, d, a))
        || (t4 == 0.0 && on(c, d, b))
}

/// Splits the polygon into its forward and aft boundary, each rising in mass.
fn boundaries(corners: &[Corner]) -> Result<(Vec<Side>, Vec<Side>), EnvelopeError> {
    let counter_clockwise = signed_area(corners) > 0.0;
    let (mut forward, mut aft) = (Vec::new(), Vec::new());
    for (_, a, b) in edges(corners) {
        let rises = b.mass > a.mass;
        if b.mass.value.total_cmp(&a.mass.value).is_eq() {
            continue;
        }
        // Counter-clockwise, the boundary with larger arms rises and the other falls.
        if rises == counter_clockwise { &mut aft } else { &mut forward }.push(Side::new(a, b));
    }
    for sides in [&mut forward, &mut aft] {
        sides.sort_by(|a, b| a.low.total_cmp(&b.low));
        let fold = sides.windows(2).position(|pair| pair[0].high.total_cmp(&pair[1].low).is_ne());
        if let Some(at) = fold {
            let mass = sides[at + 1].low;
            let corner = corners.iter().position(|c| c.mass.value.total_cmp(&mass).is_eq());
            return Err(EnvelopeError::FoldsBack(corner.unwrap_or(0)));
        }
    }
    if forward.is_empty() || aft.is_empty() {
        return Err(EnvelopeError::NoArea);
    }
    Ok((forward, aft))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corner(arm: f64, mass: f64) -> Corner {
        Corner { arm: Length::from_si(arm), mass: Mass::from_si(mass) }
    }

    fn corners(points: &[(f64, f64)]) -> Vec<Corner> {
        points.iter().map(|(arm, mass)| corner(*arm, *mass)).collect()
    }

    /// Straight below 900 kg forward, then sloping; aft upright.
    const SHAPE: [(f64, f64); 5] =
        [(0.9, 600.0), (0.9, 900.0), (1.0, 1100.0), (1.25, 1100.0), (1.25, 600.0)];

    #[test]
    fn the_sides_of_both_boundaries_are_the_edges_from_the_bottom_up() {
        let [forward, aft] = Envelope::new(corners(&SHAPE)).unwrap().sides();
        let wanted = |points: &[(f64, f64)]| -> Vec<_> {
            corners(points).windows(2).map(|pair| (pair[0], pair[1])).collect()
        };
        assert_eq!(forward, wanted(&SHAPE[..3]));
        assert_eq!(aft, wanted(&[SHAPE[4], SHAPE[3]]));
    }

    #[test]
    fn cut_follows_the_sloping_edge_exactly() {
        let mut points = SHAPE;
        for turn in 0..2 {
            let envelope = Envelope::new(corners(&points)).unwrap();
            for (mass, forward, held) in [
                (600.0, 0.9, false),
                (900.0, 0.9, false),
                (1000.0, 0.95, false),
                (1100.0, 1.0, false),
                (500.0, 0.9, true),
                (1200.0, 1.0, true),
            ] {
                let cut = envelope.cut(Mass::from_si(mass));
                assert!((cut.forward.value - forward).abs() < 1e-12, "{turn} {mass}");
                assert!((cut.aft.value - 1.25).abs() < 1e-12);
                assert_eq!(cut.held, held, "{mass}");
            }
            points.reverse();
        }
    }

    /// Six masses of 2 100 lb together, each turned into kilograms, add up to 1.1e-13 kg more.
    #[test]
    fn a_sum_that_meets_the_top_is_inside_and_a_gram_more_is_not() {
        let lb = 0.453_592_37;
        let shape = [(0.9, 600.0), (0.9, 2100.0 * lb), (1.25, 2100.0 * lb), (1.25, 600.0)];
        let envelope = Envelope::new(corners(&shape)).unwrap();
        let masses = [1284.0, 301.0, 42.0, 140.0, 70.0, 263.0];
        let sum = masses.iter().fold(0.0, |sum, mass| sum + mass * lb);
        assert!(sum > 2100.0 * lb, "no rounding to forgive: {}", sum - 2100.0 * lb);
        assert!(envelope.contains(corner(1.0, sum)));
        assert!(!envelope.contains(corner(1.0, 2100.0 * lb + 1e-3)));
        assert!(!envelope.contains(corner(1.0, 600.0 - 1e-3)));
        for (arm, inside) in [(0.9, true), (0.9 - 1e-6, false), (1.25, true), (1.25 + 1e-6, false)]
        {
            assert_eq!(envelope.contains(corner(arm, 700.0)), inside, "{arm}");
        }
        assert!(!envelope.contains(corner(f64::NAN, 700.0)));
        assert!(!envelope.contains(corner(1.0, f64::NAN)));
    }

    #[test]
    fn a_level_edge_belongs_to_the_envelope_on_both_sides() {
        // Above 900 kg the forward limit steps aft, above 1000 kg forward again.
        let shape = [
            (0.9, 600.0),
            (0.9, 900.0),
            (1.0, 900.0),
            (1.0, 1000.0),
            (0.95, 1000.0),
            (0.95, 1100.0),
            (1.25, 1100.0),
            (1.25, 600.0),
        ];
        let envelope = Envelope::new(corners(&shape)).unwrap();
        for (arm, mass, inside) in [
            (0.92, 900.0, true),
            (0.92, 900.1, false),
            (0.92, 899.9, true),
            (0.97, 1000.0, true),
            (0.97, 999.9, false),
            (0.97, 1000.1, true),
            (0.94, 1000.0, false),
            (0.89, 900.0, false),
        ] {
            assert_eq!(envelope.contains(corner(arm, mass)), inside, "{arm} m {mass} kg");
        }
    }

    /// From 35 in at 1950 lb to 84.1 in at 2550 lb: slope times height misses the corner.
    #[test]
    fn the_boundary_passes_through_its_corners_exactly() {
        let (inch, lb) = (0.0254, 0.453_592_37);
        let (low, high) = (corner(35.0 * inch, 1950.0 * lb), corner(84.1 * inch, 2550.0 * lb));
        let slope = (high.arm - low.arm).value / (high.mass - low.mass).value;
        let sloped = low.arm.value + slope * (high.mass - low.mass).value;
        assert!(sloped > high.arm.value, "no rounding to avoid");
        let aft = [corner(2.5, 2550.0 * lb), corner(2.5, 1950.0 * lb)];
        let envelope = Envelope::new([[low, high], aft].concat()).unwrap();
        assert_eq!(envelope.cut(low.mass).forward, low.arm);
        assert_eq!(envelope.cut(high.mass).forward, high.arm);
    }

    #[test]
    fn edge_distances_are_positive_inside_and_exact() {
        let envelope = Envelope::new(corners(&SHAPE)).unwrap();
        let near: Vec<_> = envelope.edge_distances(corner(1.0, 1000.0));
        assert_eq!(near[0].along_arm, None, "the lower edge has no point at 1000 kg");
        assert!((near[1].along_arm.unwrap().value - 0.05).abs() < 1e-12);
        assert!((near[1].along_mass.unwrap().value - 100.0).abs() < 1e-9);
        assert!((near[2].along_mass.unwrap().value - 100.0).abs() < 1e-9);
        assert!((near[3].along_arm.unwrap().value - 0.25).abs() < 1e-12);
        let outside = envelope.edge_distances(corner(0.94, 1000.0));
        assert!((outside[1].along_arm.unwrap().value + 0.01).abs() < 1e-12);
    }

    #[test]
    fn corners_that_make_no_envelope_are_named() {
        for (points, error) in [
            (&[(1.0, 600.0), (1.2, 700.0)][..], EnvelopeError::TooFew),
            (&[(1.0, 600.0), (1.1, 700.0), (1.2, 800.0)], EnvelopeError::NoArea),
            (&[(1.0, 600.0), (1.1, 600.0), (1.2, 600.0)], EnvelopeError::NoArea),
            (&[(1.0, 600.0), (1.0, 600.0), (1.2, 800.0)], EnvelopeError::Repeated(1)),
            (&[(1.0, 600.0), (f64::NAN, 700.0), (1.2, 800.0)], EnvelopeError::BadCorner(1)),
            (&[(1.0, 600.0), (1.1, -700.0), (1.2, 800.0)], EnvelopeError::BadCorner(1)),
            (
                &[(0.9, 600.0), (1.2, 1100.0), (0.9, 1100.0), (1.2, 600.0)],
                EnvelopeError::Crossing(0, 2),
            ),
        ] {
            assert_eq!(Envelope::new(corners(points)), Err(error));
        }
        let hook = [(0.9, 600.0), (0.9, 1100.0), (1.0, 700.0), (1.1, 1100.0), (1.2, 600.0)];
        let error = Envelope::new(corners(&hook)).unwrap_err();
        assert!(matches!(error, EnvelopeError::FoldsBack(_)), "{error}");
    }
}
