//! What holds an aeroplane against its propeller: chocks, brakes, a tie. Would it hold at full
//! throttle?
//!
//! # Formula
//!
//! One wheel that carries `W`, of radius `r`, free to turn, before a block of height `h`:
//!
//! ```text
//! tan theta = sqrt(2 r h - h^2) / (r - h)     where the tyre meets its top edge  [halliday-resnick]
//! tan theta = tan face                        where a flatter face meets it earlier
//! F climb   = W tan theta
//! ```
//!
//! That is the force at the axle at which the wheel climbs; it holds only if the block stays. With
//! `mu = tan phi` between block and ground, tyre and ground, tyre and block (the least of them),
//! by the balance of wheel and block `[chock-statics]`:
//!
//! ```text
//! theta <= phi            the block never slides             F = W tan theta
//! theta <= 2 phi          both slide together, as one body   F = mu W
//! beyond                  the block is squeezed out          F = 0
//! ```
//!
//! A locked wheel holds `mu W`, or what its brake can, whichever is less. The aeroplane:
//!
//! ```text
//! holds  = 2 min(left, right) + middle + tie cos slope        against the thrust T
//! shift  = T z / L      load that a thrust at height z shifts along the wheelbase L
//! ```
//!
//! # What is assumed
//!
//! - **Chock and brake on one wheel do not add.** The same load presses both: locked, tyre and
//!   block can slide as one body against no more than `mu W`. The greater of the two counts.
//! - **The two sides do not help each other.** Held on one side alone, an aeroplane swings about
//!   that wheel; so twice the weaker side counts.
//! - **A tie counts in full**, although a slack one holds nothing until the aeroplane has moved.
//!   `without_tie` is the answer for that first moment.
//! - Nose wheel: thrust lifts load off the main wheels, in proportion. Tail wheel: it puts load on
//!   them, which is not counted, and lifts the tail; a tail that lifts is not held, whatever the
//!   wheels hold. Only a tie that leads down helps, with `strength sin slope`.
//! - A wheel that is neither locked nor chocked holds nothing. The ground is level.
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted | whose limit |
//! |---|---|---|---|---|
//! | `W` | load, as the mass a scale shows | kg | 0 to 10 000 | ours |
//! | `r`, `h` | radius of the wheel, height of the chock | m | 0.03 to 1; 0.001 to below `r` | `h < r`: the formula's |
//! | `face` | slope of the chock's face | deg | 10 to 90 | ours |
//! | `mu` | friction | 1 | 0 to 1.5 | ours |
//! | tie, brake | what they hold | N | 0 to 200 000 | ours |
//! | `slope` | of the tie, down from level | deg | 0 to 80 | ours |
//! | `z`, `L` | height of the thrust, wheelbase | m | 0.2 to 5, 0.5 to 15 | ours |
//!
//! # Accuracy
//!
//! Statics of stiff bodies. A soft tyre wraps round a low chock and is harder to pull over it; take
//! the radius of the unloaded tyre, which is careful. Friction is the weak figure: wet, muddy or
//! icy ground may halve it, and it is an argument here. A margin without reserve is none.
//!
//! # Left out on purpose
//!
//! Slope and wind, which the caller adds to the thrust; jerks and vibration, which walk a chock
//! away; the elevator held back. A tyre at its rim, a chock that breaks.
//!
//! # Sources
//!
//! `halliday-resnick`, `chock-statics`; free fall from `icao-7488`.

use std::fmt;

use crate::{
    bounds::{Bounds, OutOfRange},
    constants::G0,
    quantity::{Angle, Force, FromAmount, Length, Mass, Ratio},
    runaway::THRUST,
    source,
    trace::{Step, Trace},
    unit::{DEG, KG, M, N, ONE},
};

/// Accepted loads on a wheel.
pub const WHEEL_LOAD: Bounds = Bounds::new("load on the wheel", 0.0, 10_000.0, KG);
/// Accepted radii of a wheel.
pub const WHEEL_RADIUS: Bounds = Bounds::new("radius of the wheel", 0.03, 1.0, M);
/// Accepted heights of a chock, which must also be below the axle.
pub const CHOCK_HEIGHT: Bounds = Bounds::new("height of the chock", 0.001, 1.0, M);
/// Accepted slopes of the face of a chock.
pub const CHOCK_FACE: Bounds = Bounds::new("slope of the face of the chock", 10.0, 90.0, DEG);
/// Accepted friction.
pub const FRICTION: Bounds = Bounds::new("friction", 0.0, 1.5, ONE);
/// Accepted strengths of a tie, and what a brake holds.
pub const STRENGTH: Bounds = Bounds::new("what a tie or brake holds", 0.0, 200_000.0, N);
/// Accepted slopes of a tie.
pub const TIE_SLOPE: Bounds = Bounds::new("slope of the tie", 0.0, 80.0, DEG);
/// Accepted heights of the thrust above the ground.
pub const THRUST_HEIGHT: Bounds = Bounds::new("height of the thrust", 0.2, 5.0, M);
/// Accepted wheelbases.
pub const WHEELBASE: Bounds = Bounds::new("wheelbase", 0.5, 15.0, M);

/// Why there is no answer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HoldError {
    /// The chock is as high as the axle or higher: the formula knows no such thing.
    ChockAboveAxle,
    /// Nothing is known of the load on the nose or tail wheel, which the stance needs.
    NoThirdWheel,
    /// An input outside its range.
    OutOfRange(OutOfRange),
}

impl From<OutOfRange> for HoldError {
    fn from(error: OutOfRange) -> Self {
        Self::OutOfRange(error)
    }
}

impl fmt::Display for HoldError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ChockAboveAxle => f.write_str("the chock is not lower than the axle"),
            Self::NoThirdWheel => f.write_str("the load on the nose or tail wheel is not given"),
            Self::OutOfRange(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for HoldError {}

/// A block before a wheel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chock {
    /// Radius of the wheel it stands before.
    pub radius: Length,
    /// Its height.
    pub height: Length,
    /// The slope of its face from level; upright when nothing is said.
    pub face: Option<Angle>,
}

impl Chock {
    /// The force at the axle at which the wheel climbs, as a share of the load on the wheel.
    ///
    /// # Errors
    ///
    /// [`HoldError::ChockAboveAxle`], and [`WHEEL_RADIUS`], [`CHOCK_HEIGHT`] or [`CHOCK_FACE`].
    pub fn climb_ratio(&self, trace: &mut impl Trace) -> Result<Ratio, HoldError> {
        let r = WHEEL_RADIUS.check(self.radius)?.si();
        let h = CHOCK_HEIGHT.check(self.height)?.si();
        if h >= r {
            return Err(HoldError::ChockAboveAxle);
        }
        let edge = (2.0 * r * h - h * h).sqrt() / (r - h);
        let face = self.face.map(|face| CHOCK_FACE.check(face)).transpose()?;
        // A face steeper than the tyre at the top edge is never touched.
        let ratio = Ratio::from_si(face.map_or(edge, |face| face.si().tan().min(edge)));
        trace.step(|| {
            let step =
                Step::new("climb", "F / W = sqrt(2 r h - h^2) / (r - h), or tan face if less")
                    .with("r", self.radius)
                    .with("h", self.height);
            let step = match face {
                Some(face) => step.with("face", face),
                None => step,
            };
            step.gives("F/W", ratio).from(source::WHEEL_OVER_STEP)
        });
        Ok(ratio)
    }
}

/// How a chock gives way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GivesWay {
    /// The wheel climbs it.
    Climbed,
    /// It slides before the wheel.
    Slides,
    /// It is squeezed out and holds nothing.
    SqueezedOut,
}

impl GivesWay {
    /// The way as words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Climbed => "the wheel climbs it",
            Self::Slides => "it slides with the wheel",
            Self::SqueezedOut => "it is squeezed out and holds nothing",
        }
    }
}

/// What a chock holds on a ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChockHold {
    /// The force at which the wheel would climb a chock that stays.
    pub climb: Force,
    /// The force that it holds.
    pub force: Force,
    /// How it gives way beyond that.
    pub gives_way: GivesWay,
}

/// The weight of what a scale shows under a wheel.
///
/// # Errors
///
/// [`OutOfRange`] for [`WHEEL_LOAD`].
pub fn weight(load: Mass) -> Result<Force, OutOfRange> {
    Ok(Force::from_si(WHEEL_LOAD.check(load)?.si() * G0))
}

/// What a chock holds, of a wheel that is free to turn.
///
/// # Errors
///
/// [`HoldError::ChockAboveAxle`], and [`WHEEL_LOAD`], [`FRICTION`] or those of the chock.
pub fn chock_hold(
    load: Mass,
    chock: &Chock,
    friction: Ratio,
    trace: &mut impl Trace,
) -> Result<ChockHold, HoldError> {
    let weight = weight(load)?;
    let mu = FRICTION.check(friction)?.si();
    let ratio = chock.climb_ratio(trace)?.si();
    let (held, gives_way) = if ratio <= mu {
        (ratio, GivesWay::Climbed)
    } else if ratio.atan() <= 2.0 * mu.atan() {
        (mu, GivesWay::Slides)
    } else {
        (0.0, GivesWay::SqueezedOut)
    };
    let found = ChockHold { climb: weight * ratio, force: weight * held, gives_way };
    trace.step(|| {
        Step::new("chock", "theta <= phi: W tan theta; theta <= 2 phi: mu W; beyond: 0")
            .with("load", load)
            .with("mu", friction)
            .gives("F climb", found.climb)
            .gives("F", found.force)
            .from(source::CHOCK_STATICS)
            .remark(format!("beyond: {}", gives_way.words()))
    });
    Ok(found)
}

/// Where a wheel is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// A main wheel on the left.
    Left,
    /// A main wheel on the right.
    Right,
    /// The nose or tail wheel.
    Middle,
}

/// What a brake does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Brake {
    /// Nothing.
    Off,
    /// It locks the wheel.
    Locks,
    /// It holds so much at the tyre.
    Holds(Force),
}

/// A wheel and what is set on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wheel {
    /// Where it is.
    pub place: Place,
    /// What it carries standing still, as a scale shows it.
    pub load: Mass,
    /// Its brake.
    pub brake: Brake,
    /// The chock before it.
    pub chock: Option<Chock>,
}

/// How the ground holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// A locked tyre on it.
    pub tyre: Ratio,
    /// A chock on it.
    pub chock: Ratio,
}

impl Wheel {
    /// What this wheel holds under a load: the greater of its brake and its chock.
    ///
    /// # Errors
    ///
    /// [`HoldError::ChockAboveAxle`], and [`WHEEL_LOAD`], [`FRICTION`], [`STRENGTH`] or those of
    /// the chock.
    pub fn holds(
        &self,
        load: Mass,
        surface: &Surface,
        trace: &mut impl Trace,
    ) -> Result<Force, HoldError> {
        let tyre = FRICTION.check(surface.tyre)?;
        let grip = weight(load)? * tyre;
        let brake = match self.brake {
            Brake::Off => Force::from_si(0.0),
            Brake::Locks => grip,
            Brake::Holds(most) => STRENGTH.check(most)?.min(grip),
        };
        let chock = match &self.chock {
            Some(chock) => {
                let least = tyre.min(FRICTION.check(surface.chock)?);
                chock_hold(load, chock, least, trace)?.force
            }
            None => Force::from_si(0.0),
        };
        let force = brake.max(chock);
        trace.step(|| {
            let step = Step::new("wheel", "F = greater of brake and chock, never both")
                .with("load", load)
                .with("mu", surface.tyre)
                .with("brake", brake)
                .with("chock", chock)
                .gives("F", force)
                .from(source::CHOCK_STATICS);
            let both = !matches!(self.brake, Brake::Off) && self.chock.is_some();
            if both { step.remark("one load presses both: they do not add") } else { step }
        });
        Ok(force)
    }
}

/// A rope or chain that holds the aeroplane back, with all that it leads to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tie {
    /// What the weakest of rope, fitting and anchor holds.
    pub strength: Force,
    /// How far it leads down from level.
    pub slope: Angle,
}

/// Which wheel is the third.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Third {
    /// A nose wheel.
    Nose,
    /// A tail wheel.
    Tail,
}

/// What is needed to know how thrust shifts the load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stance {
    /// The third wheel.
    pub third: Third,
    /// Height of the thrust above the ground.
    pub thrust_height: Length,
    /// From the main wheels to the third.
    pub wheelbase: Length,
}

/// What holds the aeroplane, against a thrust.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Restraint {
    /// Left main wheels.
    pub left: Force,
    /// Right main wheels.
    pub right: Force,
    /// Nose or tail wheel.
    pub middle: Force,
    /// The tie, along the ground.
    pub tie: Force,
    /// All that counts together.
    pub total: Force,
    /// The same before the tie is tight.
    pub without_tie: Force,
    /// Total less thrust.
    pub margin: Force,
    /// What the tail wheel still presses on the ground, the tie's pull included; negative: it
    /// lifts. `None` without a tail wheel or stance.
    pub tail: Option<Force>,
    /// True when the total is at least the thrust and the tail stays down.
    pub held: bool,
}

/// Would it hold against this thrust?
///
/// Without a stance, no load is shifted: a nose wheel type then answers too well.
///
/// # Errors
///
/// [`HoldError::NoThirdWheel`] for a stance without the load on that wheel;
/// [`HoldError::ChockAboveAxle`]; [`THRUST`], [`TIE_SLOPE`], [`THRUST_HEIGHT`], [`WHEELBASE`] and
/// those of the wheels.
pub fn restraint(
    thrust: Force,
    wheels: &[Wheel],
    surface: &Surface,
    tie: Option<&Tie>,
    stance: Option<&Stance>,
    trace: &mut impl Trace,
) -> Result<Restraint, HoldError> {
    let thrust = THRUST.check(thrust)?;
    let shift = stance.map(|stance| shift(thrust, stance, trace)).transpose()?;
    let kept = match (stance, shift) {
        (Some(stance), Some(shift)) if stance.third == Third::Nose => kept_on_mains(wheels, shift)?,
        _ => Ratio::from_si(1.0),
    };
    let none = Force::from_si(0.0);
    let (mut left, mut right, mut middle) = (none, none, none);
    for wheel in wheels {
        let side = match wheel.place {
            Place::Left => &mut left,
            Place::Right => &mut right,
            Place::Middle => &mut middle,
        };
        let load = if wheel.place == Place::Middle { wheel.load } else { wheel.load * kept };
        *side += wheel.holds(load, surface, trace)?;
    }
    let (back, down) = match tie {
        Some(tie) => {
            let strength = STRENGTH.check(tie.strength)?.si();
            let slope = TIE_SLOPE.check(tie.slope)?.si();
            (Force::from_si(strength * slope.cos()), Force::from_si(strength * slope.sin()))
        }
        None => (none, none),
    };
    let tail = match (stance, shift) {
        (Some(stance), Some(shift)) if stance.third == Third::Tail => {
            Some(third_load(wheels)? - shift + down)
        }
        _ => None,
    };
    let without_tie = left.min(right) * 2.0 + middle;
    let total = without_tie + back;
    let held = total >= thrust && tail.is_none_or(|tail| tail >= none);
    let margin = total - thrust;
    let found =
        Restraint { left, right, middle, tie: back, total, without_tie, margin, tail, held };
    trace.step(|| found.step(thrust));
    Ok(found)
}

impl Restraint {
    fn step(&self, thrust: Force) -> Step {
        let step = Step::new("held", "total = 2 min(left, right) + middle + tie cos slope")
            .with("T", thrust)
            .with("left", self.left)
            .with("right", self.right)
            .with("middle", self.middle)
            .with("tie", self.tie)
            .gives("total", self.total)
            .gives("margin", self.margin)
            .from(source::CHOCK_STATICS);
        match self.tail {
            Some(tail) => step.gives("tail", tail),
            None => step,
        }
    }
}

/// The load that a thrust shifts between the main wheels and the third.
fn shift(thrust: Force, stance: &Stance, trace: &mut impl Trace) -> Result<Force, OutOfRange> {
    let arm = THRUST_HEIGHT.check(stance.thrust_height)? / WHEELBASE.check(stance.wheelbase)?;
    let shift = thrust * arm;
    trace.step(|| {
        Step::new("load shifted by thrust", "shift = T z / L")
            .with("T", thrust)
            .with("z", stance.thrust_height)
            .with("L", stance.wheelbase)
            .gives("shift", shift)
            .from(source::CHOCK_STATICS)
    });
    Ok(shift)
}

/// The share of their load that the main wheels keep when so much is lifted off them.
fn kept_on_mains(wheels: &[Wheel], lifted: Force) -> Result<Ratio, OutOfRange> {
    let none = Force::from_si(0.0);
    let mut carried = none;
    for wheel in wheels.iter().filter(|wheel| wheel.place != Place::Middle) {
        carried += weight(wheel.load)?;
    }
    Ok(if carried > lifted { (carried - lifted) / carried } else { Ratio::from_si(0.0) })
}

/// What the third wheel carries standing still.
fn third_load(wheels: &[Wheel]) -> Result<Force, HoldError> {
    let mut found = None;
    for wheel in wheels.iter().filter(|wheel| wheel.place == Place::Middle) {
        found = Some(found.unwrap_or(Force::from_si(0.0)) + weight(wheel.load)?);
    }
    found.ok_or(HoldError::NoThirdWheel)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::trace::{Silent, Working};

    fn block(radius: f64, height: f64, face: Option<f64>) -> Chock {
        Chock {
            radius: Length::of(radius, M),
            height: Length::of(height, M),
            face: face.map(|face| Angle::of(face, DEG)),
        }
    }

    fn ratio(radius: f64, height: f64, face: Option<f64>) -> f64 {
        block(radius, height, face).climb_ratio(&mut Silent).unwrap().si()
    }

    fn kg(mass: f64) -> Mass {
        Mass::of(mass, KG)
    }

    fn newton(force: f64) -> Force {
        Force::of(force, N)
    }

    fn on(tyre: f64, chock: f64) -> Surface {
        Surface { tyre: Ratio::from_si(tyre), chock: Ratio::from_si(chock) }
    }

    fn wheel(place: Place, load: f64, brake: Brake, chock: Option<Chock>) -> Wheel {
        Wheel { place, load: kg(load), brake, chock }
    }

    fn pair(load: f64, brake: Brake, chock: Option<Chock>) -> [Wheel; 3] {
        [
            wheel(Place::Left, load, brake, chock),
            wheel(Place::Right, load, brake, chock),
            wheel(Place::Middle, 30.0, Brake::Off, None),
        ]
    }

    fn against(
        thrust: f64,
        wheels: &[Wheel],
        surface: &Surface,
        tie: Option<&Tie>,
        stance: Option<&Stance>,
    ) -> Result<Restraint, HoldError> {
        restraint(newton(thrust), wheels, surface, tie, stance, &mut Silent)
    }

    fn stance(third: Third, height: f64, base: f64) -> Stance {
        Stance { third, thrust_height: Length::of(height, M), wheelbase: Length::of(base, M) }
    }

    fn tie(strength: f64, slope: f64) -> Tie {
        Tie { strength: newton(strength), slope: Angle::of(slope, DEG) }
    }

    /// mpmath, 40 digits; 0.1905 and 0.0762 are 5 to 2, which makes it 4/3.
    #[test]
    fn climb_ratio_equals_exact_arithmetic() {
        for (r, h, exact) in [(0.1905, 0.0762, 4.0 / 3.0), (0.21, 0.05, 0.850_091_906_795_965_2)] {
            let found = ratio(r, h, None);
            assert!((found - exact).abs() < 1e-14, "{r} {h}: {found}");
        }
    }

    /// A worked solution of a physics course, second hand: 0.800 kg, 6.00 cm, 3.00 cm need 13.6 N.
    #[test]
    fn climb_force_is_that_of_the_textbook() {
        let found = chock_hold(kg(0.8), &block(0.06, 0.03, None), Ratio::from_si(1.5), &mut Silent);
        let found = found.unwrap().climb.si();
        assert!((found - 13.6).abs() < 0.05, "{found}");
    }

    /// Figures computed for this work, four decimals.
    #[test]
    fn climb_ratio_is_as_quoted() {
        for (h, quoted) in [(0.08, 1.2686), (0.05, 0.8501)] {
            assert!((ratio(0.21, h, None) - quoted).abs() < 5e-5, "{h}");
        }
    }

    #[test]
    fn a_flatter_face_is_met_before_the_edge_and_a_steeper_one_never() {
        let edge = ratio(0.21, 0.08, None);
        assert!((ratio(0.21, 0.08, Some(45.0)) - 1.0).abs() < 1e-14);
        for steep in [60.0, 90.0] {
            assert!((ratio(0.21, 0.08, Some(steep)) - edge).abs() < 1e-15, "{steep}");
        }
    }

    #[test]
    fn a_chock_as_high_as_the_axle_is_refused() {
        for (h, ok) in [(0.2099, true), (0.21, false), (0.3, false)] {
            let found = block(0.21, h, None).climb_ratio(&mut Silent);
            assert_eq!(found.is_ok(), ok, "{h}");
            assert!(ok || found == Err(HoldError::ChockAboveAxle));
        }
    }

    /// tan theta is 4/3: it stays where mu is that, slides down to the half angle, 1/2.
    #[test]
    fn how_a_chock_gives_way_turns_at_the_angles_of_friction() {
        for (mu, share, way) in [
            (1.334, 4.0 / 3.0, GivesWay::Climbed),
            (1.333, 1.333, GivesWay::Slides),
            (0.501, 0.501, GivesWay::Slides),
            (0.499, 0.0, GivesWay::SqueezedOut),
            (0.0, 0.0, GivesWay::SqueezedOut),
        ] {
            let chock = block(0.1905, 0.0762, None);
            let found = chock_hold(kg(100.0), &chock, Ratio::from_si(mu), &mut Silent).unwrap();
            assert_eq!(found.gives_way, way, "{mu}");
            assert!((found.force.si() - share * 980.665).abs() < 1e-9, "{mu}: {found:?}");
        }
    }

    /// 0.5 of 260 kg is 1274.864 5 N each way: the brake counts, the low chock under it does not.
    #[test]
    fn chock_and_brake_on_one_wheel_do_not_add() {
        let low = Some(block(0.21, 0.02, None));
        let surface = on(0.5, 0.5);
        let of = |brake, chock| {
            let wheel = wheel(Place::Left, 260.0, brake, chock);
            wheel.holds(wheel.load, &surface, &mut Silent).unwrap().si()
        };
        let (brake, chock) = (of(Brake::Locks, None), of(Brake::Off, low));
        assert!((brake - 1_274.864_5).abs() < 1e-9, "{brake}");
        assert!((chock - 0.470_751_153_157_9 * 2_549.729).abs() < 1e-8, "{chock}");
        assert!((of(Brake::Locks, low) - brake.max(chock)).abs() < 1e-9);
        assert!((of(Brake::Holds(newton(500.0)), None) - 500.0).abs() < 1e-9);
        assert!((of(Brake::Holds(newton(9000.0)), None) - brake).abs() < 1e-9);
        let mut working = Working::default();
        let both = wheel(Place::Left, 260.0, Brake::Locks, low);
        both.holds(both.load, &surface, &mut working).unwrap();
        let said = working.steps.last().and_then(|step| step.remark.clone());
        assert_eq!(said.as_deref(), Some("one load presses both: they do not add"));
    }

    #[test]
    fn held_on_one_side_alone_it_swings() {
        let mut wheels = pair(260.0, Brake::Locks, None);
        let surface = on(0.75, 0.75);
        let even = against(1950.0, &wheels, &surface, None, None).unwrap();
        assert!(even.held && (even.total.si() - 3_824.593_5).abs() < 1e-9, "{even:?}");
        wheels[1].brake = Brake::Off;
        let odd = against(1950.0, &wheels, &surface, None, None).unwrap();
        assert!(!odd.held && odd.total.si().abs() < 1e-9 && odd.left == even.left);
    }

    #[test]
    fn touching_the_thrust_is_holding_it() {
        let wheels = pair(260.0, Brake::Holds(newton(975.0)), None);
        for (thrust, held) in [(1950.0, true), (1950.1, false)] {
            let found = against(thrust, &wheels, &on(0.75, 0.75), None, None).unwrap();
            assert_eq!(found.held, held, "{thrust}");
        }
    }

    /// 30 kg on the tail are 294.2 N; 1950 N at 1.3 m over 4.6 m lift 551.1 N.
    #[test]
    fn a_tail_that_lifts_is_not_held_unless_a_tie_leads_down() {
        let wheels = pair(260.0, Brake::Locks, None);
        let (surface, tail) = (on(0.75, 0.75), stance(Third::Tail, 1.3, 4.6));
        let lifts = against(1950.0, &wheels, &surface, None, Some(&tail)).unwrap();
        let left = 30.0 * 9.806_65 - 1950.0 * 1.3 / 4.6;
        assert!((lifts.tail.unwrap().si() - left).abs() < 1e-9);
        assert!(!lifts.held && lifts.margin.si() > 0.0);
        let tied = against(1950.0, &wheels, &surface, Some(&tie(2000.0, 20.0)), Some(&tail));
        assert!(tied.unwrap().held);
        let level = against(1950.0, &wheels, &surface, Some(&tie(2000.0, 0.0)), Some(&tail));
        assert!(!level.unwrap().held);
        let unknown = against(1950.0, &wheels[..2], &surface, None, Some(&tail));
        assert_eq!(unknown, Err(HoldError::NoThirdWheel));
    }

    /// 2598 N at 1.1 m over 1.65 m take 1732 N off the main wheels.
    #[test]
    fn thrust_lifts_load_off_the_main_wheels_of_a_nose_wheel_type() {
        let wheels = pair(330.0, Brake::Locks, None);
        let (surface, nose) = (on(0.6, 0.6), stance(Third::Nose, 1.1, 1.65));
        let found = against(2598.0, &wheels, &surface, None, Some(&nose)).unwrap();
        let carried = 660.0 * 9.806_65 - 2598.0 * 1.1 / 1.65;
        assert!((found.total.si() - 0.6 * carried).abs() < 1e-9, "{found:?}");
        assert_eq!(found.tail, None);
        let lifted = against(50_000.0, &wheels, &surface, None, Some(&nose)).unwrap();
        assert!(lifted.total.si().abs() < 1e-9);
    }

    #[test]
    fn both_sides_of_every_bound() {
        let held = |load: f64, mu: f64, r: f64, h: f64, face: f64| {
            let chock = block(r, h, Some(face));
            chock_hold(kg(load), &chock, Ratio::from_si(mu), &mut Silent).is_ok()
        };
        for (load, mu, r, h, face, ok) in [
            (0.0, 0.0, 0.03, 0.001, 10.0, true),
            (10_000.0, 1.5, 1.0, 0.9, 90.0, true),
            (-0.1, 0.5, 0.2, 0.05, 60.0, false),
            (10_001.0, 0.5, 0.2, 0.05, 60.0, false),
            (100.0, -0.01, 0.2, 0.05, 60.0, false),
            (100.0, 1.51, 0.2, 0.05, 60.0, false),
            (100.0, 0.5, 0.029, 0.01, 60.0, false),
            (100.0, 0.5, 1.01, 0.05, 60.0, false),
            (100.0, 0.5, 0.2, 0.000_9, 60.0, false),
            (100.0, 0.5, 0.2, 0.05, 9.9, false),
            (100.0, 0.5, 0.2, 0.05, 90.1, false),
            (f64::NAN, 0.5, 0.2, 0.05, 60.0, false),
            (100.0, f64::INFINITY, 0.2, 0.05, 60.0, false),
            (100.0, 0.5, f64::NAN, 0.05, 60.0, false),
            (100.0, 0.5, 0.2, f64::NAN, 60.0, false),
        ] {
            assert_eq!(held(load, mu, r, h, face), ok, "{load} {mu} {r} {h} {face}");
        }
        let wheels = pair(260.0, Brake::Locks, None);
        let surface = on(0.75, 0.75);
        for (thrust, strength, slope, height, base, ok) in [
            (0.0, 0.0, 0.0, 0.2, 0.5, true),
            (50_000.0, 200_000.0, 80.0, 5.0, 15.0, true),
            (-0.1, 1000.0, 10.0, 1.3, 4.6, false),
            (50_001.0, 1000.0, 10.0, 1.3, 4.6, false),
            (1950.0, -0.1, 10.0, 1.3, 4.6, false),
            (1950.0, 200_001.0, 10.0, 1.3, 4.6, false),
            (1950.0, 1000.0, -0.1, 1.3, 4.6, false),
            (1950.0, 1000.0, 80.1, 1.3, 4.6, false),
            (1950.0, 1000.0, 10.0, 0.19, 4.6, false),
            (1950.0, 1000.0, 10.0, 5.01, 4.6, false),
            (1950.0, 1000.0, 10.0, 1.3, 0.49, false),
            (1950.0, 1000.0, 10.0, 1.3, 15.1, false),
            (f64::NAN, 1000.0, 10.0, 1.3, 4.6, false),
        ] {
            let (tie, tail) = (tie(strength, slope), stance(Third::Tail, height, base));
            let found = against(thrust, &wheels, &surface, Some(&tie), Some(&tail));
            assert_eq!(found.is_ok(), ok, "{thrust} {strength} {slope} {height} {base}");
        }
        for brake in [-0.1, 200_001.0, f64::NAN] {
            let wheels = pair(260.0, Brake::Holds(newton(brake)), None);
            assert!(against(1950.0, &wheels, &surface, None, None).is_err(), "{brake}");
        }
    }

    proptest! {
        #[test]
        fn a_higher_chock_is_never_climbed_sooner(
            r in 0.1..0.4_f64, low in 0.05..0.9_f64, more in 0.0..0.09_f64,
        ) {
            prop_assert!(ratio(r, r * (low + more), None) >= ratio(r, r * low, None));
        }

        /// Whatever is set on a wheel, the ground takes no more than `mu` of what presses on it.
        #[test]
        fn no_wheel_holds_more_than_the_ground_can_take(
            load in 1.0..500.0_f64, tyre in 0.05..1.2_f64, chock in 0.05..1.2_f64,
            low in 0.05..0.9_f64, locked in any::<bool>(),
        ) {
            let brake = if locked { Brake::Locks } else { Brake::Off };
            let wheel = wheel(Place::Left, load, brake, Some(block(0.2, 0.2 * low, None)));
            let held = wheel.holds(wheel.load, &on(tyre, chock), &mut Silent).unwrap();
            prop_assert!(held.si() <= tyre * load * 9.806_65 * (1.0 + 1e-12));
        }

        #[test]
        fn without_the_tie_it_never_holds_better(
            load in 50.0..400.0_f64, mu in 0.1..1.0_f64,
            strength in 0.0..5000.0_f64, slope in 0.0..80.0_f64,
        ) {
            let wheels = pair(load, Brake::Locks, None);
            let tie = tie(strength, slope);
            let found = against(1950.0, &wheels, &on(mu, mu), Some(&tie), None).unwrap();
            prop_assert!(found.without_tie <= found.total);
            let bare = against(1950.0, &wheels, &on(mu, mu), None, None).unwrap();
            prop_assert!((bare.total - found.without_tie).si().abs() < 1e-9);
        }
    }
}
