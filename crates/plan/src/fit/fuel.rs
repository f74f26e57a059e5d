//! One filling of the tanks: what it leaves to the moment of people and items.

use stillprop_calc::{
    burn::{MOST_TANKS, fuel_after, walk},
    envelope::Envelope,
    load::Loading,
    quantity::{FromAmount, Length, Mass, Moment},
};

use super::Case;
use crate::stow::Window;

/// Steps in each tank.
pub(super) type Steps = [u32; MOST_TANKS];

/// A point of the burn: mass, and moments of the fuel left.
#[derive(Clone, Copy, Debug, Default)]
struct Point {
    mass: f64,
    /// Moment of people and items with which it lies on the forward and the aft boundary.
    forward: f64,
    aft: f64,
    across: f64,
}

/// Corners of one burn: take-off, and each end of a stretch. A stretch may end at each knot of
/// an arm curve; what does not find room here is only left out of a bound.
const MOST_POINTS: usize = 24;

/// A filling with the corners of its burn.
#[derive(Clone, Debug)]
pub(super) struct Filling {
    pub(super) steps: Steps,
    /// Fuel of each tank at take-off.
    pub(super) take_off: [Mass; MOST_TANKS],
    /// Greatest difference between the sides on the whole burn. \[kg\]
    pub(super) leaning: f64,
    points: [Point; MOST_POINTS],
    count: usize,
}

impl Filling {
    /// Burns one filling with the given mass without fuel.
    pub(super) fn new(case: &Case, steps: Steps, zero_fuel: f64) -> Self {
        let mut fuel = [Mass::from_si(0.0); MOST_TANKS];
        for ((fuel, fill), steps) in fuel.iter_mut().zip(&case.fills).zip(steps) {
            *fuel = Mass::from_si(fill.base + fill.step * f64::from(steps));
        }
        let fuel = &fuel[..case.fills.len()];
        let take_off = fuel_after(&case.tanks, fuel, Mass::from_si(case.taxi));
        let mut filling = Self {
            steps,
            take_off,
            leaning: leaning(case, fuel),
            points: [Point::default(); MOST_POINTS],
            count: 0,
        };
        let dry = Loading {
            mass: Mass::from_si(zero_fuel),
            moment: Moment::from_si(0.0),
            lateral_moment: Moment::from_si(0.0),
        };
        let aboard = &take_off[..case.fills.len()];
        let full = stillprop_calc::burn::with_fuel(dry, &case.tanks, aboard);
        filling.corner(case, full);
        walk(dry, &case.tanks, aboard, Mass::from_si(0.0), |stretch| {
            filling.corner(case, stretch.light);
        });
        filling
    }

    fn corner(&mut self, case: &Case, state: Loading) {
        let Some(point) = self.points.get_mut(self.count) else { return };
        let cut = case.envelope.cut(state.mass);
        let bound = |arm: Length| (state.mass * arm - state.moment).value;
        *point = Point {
            mass: state.mass.value,
            forward: bound(cut.forward) - case.empty.moment.value,
            aft: bound(cut.aft) - case.empty.moment.value,
            across: (state.lateral_moment + case.empty.lateral_moment).value,
        };
        self.count += 1;
    }

    fn points(&self) -> &[Point] {
        &self.points[..self.count]
    }

    /// Moments along with which forward and aft balance can have a margin of `share`: a bound,
    /// since only corners of the burn are asked. `width` is the least of the envelope.
    pub(super) fn along(&self, share: f64, width: f64, sides: (bool, bool)) -> Window {
        let (mut window, inset) = (Window::ANY, share * width - SLACK);
        for point in self.points() {
            if sides.0 {
                window.least = window.least.max(point.forward + inset * point.mass);
            }
            if sides.1 {
                window.most = window.most.min(point.aft - inset * point.mass);
            }
        }
        window
    }

    /// The greatest margin that the balance can have when the moment lies within `reach`.
    pub(super) fn cap(&self, reach: Window, width: f64, sides: (bool, bool)) -> f64 {
        let mut cap = 1.0_f64;
        for a in self.points() {
            if sides.0 {
                cap = cap.min((reach.most - a.forward) / (width * a.mass));
            }
            if sides.1 {
                cap = cap.min((a.aft - reach.least) / (width * a.mass));
            }
            for b in self.points().iter().filter(|_| sides.0 && sides.1) {
                cap = cap.min((b.aft - a.forward) / (width * (a.mass + b.mass)));
            }
        }
        cap + SLACK
    }

    /// Moments across with which the lateral balance has a margin of `share` of `limit`.
    pub(super) fn across(&self, share: f64, limit: f64) -> Window {
        let arm = limit * (1.0 - share) + SLACK;
        self.points().iter().fold(Window::ANY, |window, point| Window {
            least: window.least.max(-arm * point.mass - point.across),
            most: window.most.min(arm * point.mass - point.across),
        })
    }
}

/// Room for rounding in a bound. \[m, share\]
const SLACK: f64 = 1e-8;

/// The difference of fuel between the sides is greatest at an end of a stretch.
fn leaning(case: &Case, fuel: &[Mass]) -> f64 {
    if case.imbalance.is_none() {
        return 0.0;
    }
    let of = |fuel: &[Mass]| {
        let sides = case.fills.iter().zip(fuel);
        sides.map(|(fill, fuel)| fuel.value * f64::from(fill.side)).sum::<f64>().abs()
    };
    let mut most = of(fuel);
    walk(Loading::empty(), &case.tanks, fuel, Mass::from_si(0.0), |stretch| {
        most = most.max(of(&stretch.left));
    });
    most
}

/// The least width of an envelope between two masses, where it is held beyond its ends. \[m\]
pub(super) fn least_width(envelope: &Envelope, light: f64, heavy: f64) -> f64 {
    // The width is straight between the masses of two corners. A step has two widths; both are
    // met a little beside it.
    let beside = |mass: f64| [mass - 1e-6, mass, mass + 1e-6];
    let knots = envelope.corners().iter().flat_map(|corner| beside(corner.mass.value));
    let inside = knots.filter(|mass| (light..=heavy).contains(mass)).chain([light, heavy]);
    let width = |mass: f64| {
        let cut = envelope.cut(Mass::from_si(mass));
        (cut.aft - cut.forward).value
    };
    inside.map(width).fold(f64::INFINITY, f64::min)
}
