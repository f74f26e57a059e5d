//! The path of the centre of gravity as fuel burns off, with its worst point found exactly.
//!
//! # Formula
//!
//! A tank holding fuel mass `q` has moment `q a(q)`. Between two knots of its arm table the
//! arm is linear, so the moment is quadratic in `q`. While a group of tanks feeds together
//! each gives an equal share of what is burnt, so the moment of the whole aeroplane is
//! quadratic in its mass `m` along each stretch of the path:
//!
//! ```text
//! M = p m^2 + q m + r        x = M / m = p m + q + r / m
//! ```
//!
//! The distance to a straight boundary `x = a m + b` is then
//! `d = (p - a) m + (q - b) + r / m`, whose only turning points are `m = +-sqrt(r / (p - a))`.
//! So the worst point of a stretch is at one of its ends, at a corner of the boundary, or
//! there: three values to compare instead of a sweep. `[plane-geometry]`
//!
//! Where the boundary steps (a level edge), each side of the step is judged up to its own
//! end, because the path comes as near to it as one likes.
//!
//! # Accepted range
//!
//! Fuel masses not negative, arm tables rising in fuel mass. Zero-fuel mass above zero.
//!
//! # Accuracy
//!
//! Exact but for rounding; the tests compare with a dense sweep on 1 000 random aeroplanes.

use std::fmt;

use crate::{
    envelope::{ARM_SLACK, Envelope, Side},
    load::Loading,
    quantity::{FromAmount, Length, Mass, Moment},
    source,
    trace::{Step, Trace},
};

/// One straight piece of a tank's arm table. \[SI\]
#[derive(Clone, Copy, Debug, PartialEq)]
struct Piece {
    /// Fuel mass at its lower end. \[kg\]
    low: f64,
    /// Arm at zero fuel if the piece were extended, and change of arm with fuel mass.
    arm: f64,
    slope: f64,
}

/// The arm of a tank's fuel by how much is in it.
#[derive(Clone, Debug, PartialEq)]
pub struct ArmCurve {
    pieces: Vec<Piece>,
}

/// Why points do not make an arm curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ArmCurveError {
    /// No point at all.
    Empty,
    /// The fuel mass of this point does not rise, or is not finite.
    NotRising(usize),
}

impl fmt::Display for ArmCurveError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("there is no point at all"),
            Self::NotRising(at) => {
                write!(f, "the fuel of point {} does not rise above the one before", at + 1)
            }
        }
    }
}

impl std::error::Error for ArmCurveError {}

impl ArmCurve {
    /// The same arm for any quantity.
    #[must_use]
    pub fn fixed(arm: Length) -> Self {
        Self { pieces: vec![Piece { low: 0.0, arm: arm.value, slope: 0.0 }] }
    }

    /// An arm for each of several quantities, linear between them. Below the first point its
    /// arm holds, above the last one that.
    ///
    /// # Errors
    ///
    /// [`ArmCurveError`] when there is no point or the quantities do not rise.
    pub fn by_quantity(points: &[(Mass, Length)]) -> Result<Self, ArmCurveError> {
        let (first, last) = match (points.first(), points.last()) {
            (Some(first), Some(last)) => (first, last),
            _ => return Err(ArmCurveError::Empty),
        };
        let finite = |(q, a): &(Mass, Length)| q.value.is_finite() && a.value.is_finite();
        if let Some(at) = points.iter().position(|point| !finite(point)) {
            return Err(ArmCurveError::NotRising(at));
        }
        let mut pieces = vec![Piece { low: 0.0, arm: first.1.value, slope: 0.0 }];
        for (at, pair) in points.windows(2).enumerate() {
            let (low, high) = (pair[0].0.value, pair[1].0.value);
            if high <= low {
                return Err(ArmCurveError::NotRising(at + 1));
            }
            let slope = (pair[1].1 - pair[0].1).value / (high - low);
            pieces.push(Piece { low, arm: pair[0].1.value - slope * low, slope });
        }
        pieces.push(Piece { low: last.0.value, arm: last.1.value, slope: 0.0 });
        // A table that starts at zero fuel leaves the first, level piece without length.
        pieces.dedup_by(|next, previous| {
            let empty = next.low <= previous.low;
            if empty {
                *previous = *next;
            }
            empty
        });
        Ok(Self { pieces })
    }

    /// Where its arm begins to change otherwise, with the arm there; level before the first and
    /// after the last.
    pub fn corners(&self) -> impl Iterator<Item = (Mass, Length)> + '_ {
        self.pieces.iter().map(|piece| {
            (Mass::from_si(piece.low), Length::from_si(piece.arm + piece.slope * piece.low))
        })
    }

    /// The piece that holds just below fuel mass `q`.
    fn piece_below(&self, q: f64) -> Piece {
        let found = self.pieces.iter().rev().find(|piece| piece.low < q);
        found.or(self.pieces.first()).copied().unwrap_or(Piece { low: 0.0, arm: 0.0, slope: 0.0 })
    }

    /// Moment of `fuel` in this tank about the datum.
    #[must_use]
    pub fn moment(&self, fuel: Mass) -> Moment {
        let piece = self.piece_below(fuel.value);
        Moment::from_si(fuel.value * (piece.arm + piece.slope * fuel.value))
    }
}

/// A tank as the path sees it.
#[derive(Clone, Debug, PartialEq)]
pub struct Tank {
    /// Arm by quantity.
    pub arm: ArmCurve,
    /// Lateral arm, right positive.
    pub lateral: Length,
    /// Place in the burn order: tanks with the lowest number feed first, tanks with the same
    /// number feed together in equal shares.
    pub order: u8,
}

/// The greatest number of tanks a path can follow.
pub const MOST_TANKS: usize = 8;

/// Fuel that is taken for rounding, so that it cannot make a stretch of its own. \[kg\]
const SLIVER: f64 = 1e-9;

/// A stretch of the path along which the same tanks feed from the same pieces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// State at its heavy end.
    pub heavy: Loading,
    /// State at its light end.
    pub light: Loading,
    /// Fuel in each tank at its light end.
    pub left: [Mass; MOST_TANKS],
    /// `p` of `M = p m^2 + q m + r`. \[m/kg\]
    p: f64,
    /// `q`. \[m\]
    q: f64,
    /// `r`. \[kg m\]
    r: f64,
}

impl Stretch {
    /// Arm of the centre of gravity at `mass`; at the ends from the summed state, so that
    /// no error builds up.
    fn arm_at(&self, mass: f64) -> f64 {
        let of = |end: &Loading| end.moment.value / end.mass.value;
        if mass <= self.light.mass.value {
            of(&self.light)
        } else if mass >= self.heavy.mass.value {
            of(&self.heavy)
        } else {
            self.p * mass + self.q + self.r / mass
        }
    }
}

/// The loading with the fuel of every tank added.
#[must_use]
pub fn with_fuel(zero_fuel: Loading, tanks: &[Tank], fuel: &[Mass]) -> Loading {
    tanks.iter().zip(fuel).fold(zero_fuel, |sum, (tank, fuel)| Loading {
        mass: sum.mass + *fuel,
        moment: sum.moment + tank.arm.moment(*fuel),
        lateral_moment: sum.lateral_moment + *fuel * tank.lateral,
    })
}

/// Calls `each` for every stretch of the path from `fuel` down to empty tanks.
///
/// `stop` is the fuel mass still aboard at which to end; zero follows the path to the end.
/// No allocation; at most [`MOST_TANKS`] tanks are followed.
pub fn walk(
    zero_fuel: Loading,
    tanks: &[Tank],
    fuel: &[Mass],
    stop: Mass,
    mut each: impl FnMut(&Stretch),
) {
    let mut left = [0.0; MOST_TANKS];
    let count = tanks.len().min(fuel.len()).min(MOST_TANKS);
    for (left, fuel) in left.iter_mut().zip(fuel.iter().take(count)) {
        *left = fuel.value.max(0.0);
    }
    let tanks = &tanks[..count];
    let mut heavy = state(zero_fuel, tanks, &left);
    while let Some(order) = feeding(tanks, &left) {
        let aboard: f64 = left[..count].iter().sum();
        if aboard - stop.value <= SLIVER {
            break;
        }
        let stretch = stretch(heavy, tanks, &mut left, order, aboard - stop.value, zero_fuel);
        each(&stretch);
        heavy = stretch.light;
    }
}

/// The loading when burning has left `stop` fuel aboard.
#[must_use]
pub fn state_at(zero_fuel: Loading, tanks: &[Tank], fuel: &[Mass], stop: Mass) -> Loading {
    let mut state = with_fuel(zero_fuel, tanks, fuel);
    walk(zero_fuel, tanks, fuel, stop, |stretch| state = stretch.light);
    state
}

/// The fuel left in each tank when `burnt` has been burnt.
#[must_use]
pub fn fuel_after(tanks: &[Tank], fuel: &[Mass], burnt: Mass) -> [Mass; MOST_TANKS] {
    let mut left = [Mass::from_si(0.0); MOST_TANKS];
    for (left, fuel) in left.iter_mut().zip(fuel) {
        *left = *fuel;
    }
    let aboard: Mass = fuel.iter().copied().sum();
    walk(Loading::empty(), tanks, fuel, aboard - burnt, |stretch| left = stretch.left);
    left
}

/// The burn order number that feeds now; `None` when all tanks are empty.
fn feeding(tanks: &[Tank], left: &[f64; MOST_TANKS]) -> Option<u8> {
    tanks.iter().zip(left).filter(|(_, left)| **left > 0.0).map(|(tank, _)| tank.order).min()
}

fn state(zero_fuel: Loading, tanks: &[Tank], left: &[f64; MOST_TANKS]) -> Loading {
    tanks.iter().zip(left).fold(zero_fuel, |sum, (tank, left)| {
        let fuel = Mass::from_si(*left);
        Loading {
            mass: sum.mass + fuel,
            moment: sum.moment + tank.arm.moment(fuel),
            lateral_moment: sum.lateral_moment + fuel * tank.lateral,
        }
    })
}

/// Burns until a feeding tank reaches the end of its piece, or `most` is burnt.
fn stretch(
    heavy: Loading,
    tanks: &[Tank],
    left: &mut [f64; MOST_TANKS],
    order: u8,
    most: f64,
    zero_fuel: Loading,
) -> Stretch {
    let feeds = |tank: &Tank, left: f64| tank.order == order && left > 0.0;
    let mut feeders = 0.0;
    let mut each = f64::INFINITY;
    for (tank, left) in tanks.iter().zip(left.iter()) {
        if feeds(tank, *left) {
            feeders += 1.0;
            each = each.min(left - tank.arm.piece_below(*left).low.max(0.0));
        }
    }
    each = each.min(most / feeders);
    // With s burnt in all, a tank holds q - s/n: its moment is quadratic in s.
    let (mut linear, mut quadratic) = (0.0, 0.0);
    for (tank, left) in tanks.iter().zip(left.iter_mut()) {
        if feeds(tank, *left) {
            let piece = tank.arm.piece_below(*left);
            linear -= (piece.arm + 2.0 * piece.slope * *left) / feeders;
            quadratic += piece.slope / (feeders * feeders);
            let after = *left - each;
            // The piece ends exactly at its knot, so that rounding cannot make a sliver.
            *left = if after - piece.low.max(0.0) <= SLIVER { piece.low.max(0.0) } else { after };
        }
    }
    // s = m0 - m turns c0 + linear s + quadratic s^2 into a quadratic in m.
    let (m0, moment) = (heavy.mass.value, heavy.moment.value);
    Stretch {
        heavy,
        light: state(zero_fuel, tanks, left),
        left: left.map(Mass::from_si),
        p: quadratic,
        q: -linear - 2.0 * quadratic * m0,
        r: moment + linear * m0 + quadratic * m0 * m0,
    }
}

/// The nearest the path comes to a boundary, or the farthest it goes beyond.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worst {
    /// Distance along the arm to the boundary; negative outside.
    pub margin: Length,
    /// Mass of the aeroplane there.
    pub mass: Mass,
    /// Arm of the centre of gravity there.
    pub arm: Length,
    /// Arm of the boundary there.
    pub boundary: Length,
    /// True when the mass lies outside the envelope and the nearest boundary was held.
    pub held: bool,
}

/// Worst points of a path towards the forward and the aft boundary.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorstPoints {
    /// Nearest to the forward boundary.
    pub forward: Worst,
    /// Nearest to the aft boundary.
    pub aft: Worst,
    /// Greatest mass on the path: its start.
    pub heaviest: Mass,
    /// Least mass on the path: its end.
    pub lightest: Mass,
}

impl WorstPoints {
    /// True when the whole path lies inside `envelope` or on its boundary.
    #[must_use]
    pub fn inside(&self, envelope: &Envelope) -> bool {
        self.forward.margin.value >= -ARM_SLACK
            && self.aft.margin.value >= -ARM_SLACK
            && envelope.spans(self.heaviest)
            && envelope.spans(self.lightest)
    }
}

/// The worst points of the whole path from `fuel` down to `stop` fuel aboard.
///
/// `None` when the aeroplane has no mass. A path without fuel is its one point.
pub fn worst(
    zero_fuel: Loading,
    tanks: &[Tank],
    fuel: &[Mass],
    stop: Mass,
    envelope: &Envelope,
    trace: &mut impl Trace,
) -> Option<WorstPoints> {
    let start = with_fuel(zero_fuel, tanks, fuel);
    if start.mass.value <= 0.0 || zero_fuel.mass.value <= 0.0 {
        return None;
    }
    let mut forward = judged(start, envelope, Boundary::Forward);
    let mut aft = judged(start, envelope, Boundary::Aft);
    let mut lightest = start.mass;
    walk(zero_fuel, tanks, fuel, stop, |stretch| {
        lightest = stretch.light.mass;
        along(stretch, envelope, Boundary::Forward, &mut forward);
        along(stretch, envelope, Boundary::Aft, &mut aft);
    });
    for (what, worst) in [("nearest to forward limit", &forward), ("nearest to aft limit", &aft)] {
        trace.step(|| {
            Step::new(what, "least of d = (p - a) m + (q - b) + r / m along the burn")
                .with("m", worst.mass)
                .with("x", worst.arm)
                .with("limit", worst.boundary)
                .gives("d", worst.margin)
                .from(source::PLANE_GEOMETRY)
        });
    }
    Some(WorstPoints { forward, aft, heaviest: start.mass, lightest })
}

#[derive(Clone, Copy)]
enum Boundary {
    Forward,
    Aft,
}

impl Boundary {
    fn sides(self, envelope: &Envelope) -> &[Side] {
        match self {
            Self::Forward => &envelope.forward,
            Self::Aft => &envelope.aft,
        }
    }

    /// A point of the path against the boundary at `limit`.
    fn judge(self, mass: f64, arm: f64, limit: f64, held: bool) -> Worst {
        let margin = match self {
            Self::Forward => arm - limit,
            Self::Aft => limit - arm,
        };
        Worst {
            margin: Length::from_si(margin),
            mass: Mass::from_si(mass),
            arm: Length::from_si(arm),
            boundary: Length::from_si(limit),
            held,
        }
    }
}

fn judged(state: Loading, envelope: &Envelope, boundary: Boundary) -> Worst {
    let cut = envelope.cut(state.mass);
    let limit = match boundary {
        Boundary::Forward => cut.forward,
        Boundary::Aft => cut.aft,
    };
    let arm = state.moment.value / state.mass.value;
    boundary.judge(state.mass.value, arm, limit.value, cut.held)
}

/// Compares the ends of each side along the stretch and the turning point between them.
fn along(stretch: &Stretch, envelope: &Envelope, boundary: Boundary, worst: &mut Worst) {
    let mut look = |side: &Side, held: bool| {
        let light = stretch.light.mass.value.max(side.low);
        let heavy = stretch.heavy.mass.value.min(side.high);
        if light >= heavy {
            return;
        }
        let turning = (stretch.r / (stretch.p - side.slope)).sqrt();
        let between = (light < turning && turning < heavy).then_some(turning);
        for mass in [Some(light), Some(heavy), between].into_iter().flatten() {
            let found = boundary.judge(mass, stretch.arm_at(mass), side.arm_at(mass), held);
            if found.margin < worst.margin {
                *worst = found;
            }
        }
    };
    let sides = boundary.sides(envelope);
    sides.iter().for_each(|side| look(side, false));
    // Beyond the polygon the boundary is held upright.
    if let (Some(first), Some(last)) = (sides.first(), sides.last()) {
        look(&Side::upright(0.0, first.low, first.arm_at(first.low)), true);
        look(&Side::upright(last.high, f64::INFINITY, last.arm_at(last.high)), true);
    }
}

/// The greatest lateral arm of the path to the left (negative) and to the right.
///
/// Along a stretch the lateral arm is `a + r / m`, which has no turning point, so the ends
/// of the stretches hold the extremes. `None` when the aeroplane has no mass.
pub fn lateral_extremes(
    zero_fuel: Loading,
    tanks: &[Tank],
    fuel: &[Mass],
    stop: Mass,
) -> Option<(Length, Length)> {
    let first = with_fuel(zero_fuel, tanks, fuel).lateral_centre_of_gravity().ok()?;
    let (mut left, mut right) = (first, first);
    walk(zero_fuel, tanks, fuel, stop, |stretch| {
        if let Ok(arm) = stretch.light.lateral_centre_of_gravity() {
            left = if arm < left { arm } else { left };
            right = if arm > right { arm } else { right };
        }
    });
    Some((left, right))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{envelope::Corner, trace::Silent};

    fn m(value: f64) -> Length {
        Length::from_si(value)
    }

    fn kg(value: f64) -> Mass {
        Mass::from_si(value)
    }

    fn tank(arm: f64, order: u8) -> Tank {
        Tank { arm: ArmCurve::fixed(m(arm)), lateral: m(0.0), order }
    }

    fn loading(mass: f64, arm: f64) -> Loading {
        Loading::empty().add(kg(mass), m(arm), m(0.0))
    }

    fn envelope(points: &[(f64, f64)]) -> Envelope {
        let corner = |(arm, mass): &(f64, f64)| Corner { arm: m(*arm), mass: kg(*mass) };
        Envelope::new(points.iter().map(corner).collect()).unwrap()
    }

    /// A forward tank burnt first, an aft tank last: both ends balance, the middle does not.
    #[test]
    fn middle_of_the_burn_outside_while_both_ends_are_inside() {
        let box_ = envelope(&[(1.0, 800.0), (1.0, 1400.0), (1.2, 1400.0), (1.2, 800.0)]);
        let tanks = [tank(0.9, 1), tank(2.0, 2)];
        let fuel = [kg(120.0), kg(60.0)];
        let dry = loading(1000.0, 1.15);
        let full = with_fuel(dry, &tanks, &fuel).centre_of_gravity(&mut Silent).unwrap();
        assert!(full < m(1.2) && m(1.15) < m(1.2));
        let worst = worst(dry, &tanks, &fuel, kg(0.0), &box_, &mut Silent).unwrap();
        // Exact: at 60 kg left the arm is (1150 + 120) / 1060.
        assert!((worst.aft.mass.value - 1060.0).abs() < 1e-9);
        assert!((worst.aft.margin.value - (1.2 - 1270.0 / 1060.0)).abs() < 1e-12);
        let tighter = envelope(&[(1.0, 800.0), (1.0, 1400.0), (1.19, 1400.0), (1.19, 800.0)]);
        let broken = super::worst(dry, &tanks, &fuel, kg(0.0), &tighter, &mut Silent).unwrap();
        assert!(broken.aft.margin < m(0.0) && full < m(1.19));
    }

    /// Fuel behind the centre of gravity against an aft boundary that moves aft with mass:
    /// x = 2 - 550 / m against 1.4 + 0.0005 (m - 800) comes nearest at m = sqrt(550 / 0.0005),
    /// which is no corner and no end of the path.
    #[test]
    fn turning_point_inside_a_stretch_is_found() {
        let shape = envelope(&[(1.4, 800.0), (1.7, 1400.0), (1.0, 1400.0), (1.0, 800.0)]);
        let tanks = [tank(2.0, 1)];
        let fuel = [kg(500.0)];
        let dry = loading(850.0, 2.0 - 550.0 / 850.0);
        let worst = worst(dry, &tanks, &fuel, kg(0.0), &shape, &mut Silent).unwrap();
        let exact = (550.0f64 / 0.0005).sqrt();
        assert!((worst.aft.mass.value - exact).abs() < 1e-6, "{}", worst.aft.mass.value);
        let margin = 1.4 + 0.0005 * (exact - 800.0) - (2.0 - 550.0 / exact);
        assert!((worst.aft.margin.value - margin).abs() < 1e-12);
    }

    /// Exact: x = 2 - 960 / m. Above 1000 kg the forward limit is 1.05, below it 0.9: just
    /// above the step the path is 0.01 too far forward, at both ends and below the step it is
    /// inside.
    #[test]
    fn step_of_the_boundary_in_mid_burn_is_found() {
        let shape = envelope(&[
            (0.9, 700.0),
            (0.9, 1000.0),
            (1.05, 1000.0),
            (1.05, 1200.0),
            (1.4, 1200.0),
            (1.4, 700.0),
        ]);
        let dry = loading(900.0, 2.0 - 960.0 / 900.0);
        let burnt_to = |stop| {
            worst(dry, &[tank(2.0, 1)], &[kg(200.0)], kg(stop), &shape, &mut Silent).unwrap()
        };
        let found = burnt_to(0.0);
        assert!((found.forward.margin.value + 0.01).abs() < 1e-12, "{:?}", found.forward);
        assert!((found.forward.mass.value - 1000.0).abs() < 1e-9);
        assert!(!found.inside(&shape));
        // Burnt only to 1015 kg the path never comes so far forward.
        let early = burnt_to(115.0);
        assert!(early.inside(&shape), "{early:?}");
        assert!((early.lightest.value - 1015.0).abs() < 1e-9);
    }

    #[test]
    fn path_above_the_top_or_below_the_bottom_is_not_inside() {
        let shape = envelope(&[(0.9, 800.0), (0.9, 1100.0), (1.4, 1100.0), (1.4, 800.0)]);
        for (dry, fuel, inside) in
            [(800.0, 300.0, true), (800.0, 300.1, false), (799.9, 300.0, false), (900.0, 0.0, true)]
        {
            let path = [kg(fuel)];
            let dry = loading(dry, 1.0);
            let found = worst(dry, &[tank(1.0, 1)], &path, kg(0.0), &shape, &mut Silent).unwrap();
            assert_eq!(found.inside(&shape), inside, "{dry:?} {fuel}");
        }
    }

    #[test]
    fn a_hair_of_fuel_above_the_stop_makes_no_stretch() {
        let mut stretches = 0;
        let stop = kg(100.0 - 1e-13);
        walk(loading(900.0, 1.0), &[tank(1.0, 1)], &[kg(100.0)], stop, |_| stretches += 1);
        assert_eq!(stretches, 0);
    }

    #[test]
    fn path_stops_where_asked_and_shares_equally() {
        let tanks = [tank(1.0, 1), tank(1.0, 1), tank(1.5, 2)];
        let fuel = [kg(50.0), kg(30.0), kg(20.0)];
        let mut masses = Vec::new();
        walk(loading(1000.0, 1.0), &tanks, &fuel, kg(30.0), |stretch| {
            masses.push(stretch.light.mass.value);
        });
        // Both wing tanks give 30 each; the fuller one gives 10 of its last 20 alone.
        assert_eq!(masses.len(), 2);
        assert!((masses[0] - 1040.0).abs() < 1e-9 && (masses[1] - 1030.0).abs() < 1e-9);
    }

    #[test]
    fn fuel_after_follows_the_burn_order() {
        let tanks = [tank(1.0, 1), tank(1.0, 1), tank(1.5, 2)];
        let fuel = [kg(50.0), kg(30.0), kg(20.0)];
        for (burnt, left) in [
            (0.0, [50.0, 30.0, 20.0]),
            (40.0, [30.0, 10.0, 20.0]),
            (70.0, [10.0, 0.0, 20.0]),
            (85.0, [0.0, 0.0, 15.0]),
            (200.0, [0.0, 0.0, 0.0]),
        ] {
            let found = fuel_after(&tanks, &fuel, kg(burnt));
            for (found, left) in found.iter().zip(left) {
                assert!((found.value - left).abs() < 1e-9, "{burnt}: {found:?}");
            }
        }
    }

    #[test]
    fn arm_curve_holds_outside_its_points_and_refuses_disorder() {
        let curve = ArmCurve::by_quantity(&[(kg(20.0), m(1.0)), (kg(60.0), m(1.4))]).unwrap();
        for (fuel, arm) in [(10.0, 1.0), (20.0, 1.0), (40.0, 1.2), (60.0, 1.4), (80.0, 1.4)] {
            assert!((curve.moment(kg(fuel)).value - fuel * arm).abs() < 1e-9, "{fuel}");
        }
        // Its corners make the same curve.
        let again = ArmCurve::by_quantity(&curve.corners().collect::<Vec<_>>()).unwrap();
        for q in [0.0, 10.0, 20.0, 33.0, 60.0, 90.0].map(kg) {
            assert!((again.moment(q) - curve.moment(q)).value.abs() < 1e-9, "{q:?}");
        }
        assert_eq!(ArmCurve::by_quantity(&[]), Err(ArmCurveError::Empty));
        let unsorted = [(kg(20.0), m(1.0)), (kg(20.0), m(1.4))];
        assert_eq!(ArmCurve::by_quantity(&unsorted), Err(ArmCurveError::NotRising(1)));
    }

    prop_compose! {
        fn any_tank()(
            order in 1u8..4, fuel in 0.0..120.0f64, knots in 0usize..3,
            arms in prop::collection::vec(0.6..2.2f64, 4), at in prop::collection::vec(5.0..60.0f64, 3),
            lateral in -2.0..2.0f64,
        ) -> (Tank, Mass) {
            let mut total = 0.0;
            let points: Vec<_> = arms.iter().take(knots + 1).zip(std::iter::once(&0.0).chain(&at)).map(|(arm, step)| {
                total += step;
                (kg(total), m(*arm))
            }).collect();
            let arm = ArmCurve::by_quantity(&points).unwrap();
            (Tank { arm, lateral: m(lateral), order }, kg(fuel))
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1000))]

        /// The exact worst point is never farther in than any point of a dense sweep, and is
        /// itself a point of the path.
        #[test]
        fn exact_worst_agrees_with_a_dense_sweep(
            aboard in prop::collection::vec(any_tank(), 1..5),
            dry in 700.0..1100.0f64, arm in 0.9..1.3f64,
            lean in prop::collection::vec(-0.1..0.1f64, 4),
        ) {
            let shape = envelope(&[
                (0.95, 750.0), (0.95 + lean[0], 1000.0), (0.96 + lean[2], 1000.0), (1.0 + lean[1], 1300.0),
                (1.25 + lean[2], 1300.0), (1.25 + lean[3], 900.0), (1.25, 750.0),
            ]);
            let (tanks, fuel): (Vec<_>, Vec<_>) = aboard.into_iter().unzip();
            let dry = loading(dry, arm);
            let exact = worst(dry, &tanks, &fuel, kg(0.0), &shape, &mut Silent).unwrap();
            let total: f64 = fuel.iter().map(|fuel| fuel.value).sum();
            let (mut forward, mut aft) = (f64::INFINITY, f64::INFINITY);
            for step in 0..=2000 {
                let stop = kg(total * f64::from(step) / 2000.0);
                let light = state_at(dry, &tanks, &fuel, stop);
                let arm = light.centre_of_gravity(&mut Silent).unwrap();
                let cut = shape.cut(light.mass);
                forward = forward.min((arm - cut.forward).value);
                aft = aft.min((cut.aft - arm).value);
            }
            for (swept, worst) in [(forward, exact.forward), (aft, exact.aft)] {
                prop_assert!(worst.margin.value <= swept + 1e-9);
                // The sweep's step bounds how much better it can look.
                prop_assert!(worst.margin.value >= swept - 2e-3, "{worst:?} {swept}");
            }
        }
    }
}
