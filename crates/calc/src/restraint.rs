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
