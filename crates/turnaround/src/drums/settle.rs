//! When a container has stood long enough for water and dirt to lie at its bottom.
//!
//! # Formula
//!
//! ```text
//! h = H V / C             depth of the fuel in a drum
//! t = rate h              time to stand by the pack's policy, [`stillprop_calc::settle`]
//!   = least               where that is longer
//! ```
//!
//! | Symbol | Quantity | Unit | Comes from |
//! |---|---|---|---|
//! | `rate` | time for each metre of fuel | min | the pack, `drum.settling-rate` |
//! | `least` | time to stand at least | min | the pack, `drum.settling-least`; none where it gives none |
//! | `V`, `C` | contents, and what the drum holds | L | the yard |
//! | `H` | height of a drum | m | 0.88, see [`HEIGHT`] |
//!
//! # Left out on purpose
//!
//! The lean of a drum makes its low side deeper; `H` is taken outside, which covers a lean of
//! some degrees. How fast a droplet sinks is no rule of any pack and is not asked here.

use jiff::Timestamp;
use stillprop_calc::{
    bounds::OutOfRange,
    quantity::{FromAmount, Length, Time},
    settle::{Policy, by_policy},
    trace::{Step, Trace},
    unit,
};

use super::{Container, Kind, Posture, figures::DrumFigures};
use crate::stage::{Figure, Unknown, later};

/// Height of an upright drum outside. \[m\]
///
/// 0.85 to 0.88 m is usual; from memory, and the greater of the two asks the longer wait.
pub const HEIGHT: f64 = 0.88;

/// Why it is not known when a container will have settled. A search meets this often and
/// never reads it, so the words are made only for a reader.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Unsettled<'a> {
    /// The pack gives no settling time.
    Figure(&'a str),
    /// How deep the fuel stands is not known.
    Depth,
    /// It is not known how the drum lies or stands, or since when.
    Standing,
    /// It lies on its side.
    OnSide,
    /// The sum does not accept it.
    OutOfRange(OutOfRange),
}

impl Unsettled<'_> {
    /// What is missing, for a person.
    #[must_use]
    pub fn words(self) -> Unknown {
        match self {
            Self::Figure(why) => why.to_owned(),
            Self::Depth => "the depth of the fuel in it is not known: dip it".into(),
            Self::Standing => {
                "it is not known since when it has stood: stand it up and say when".into()
            }
            Self::OnSide => "it lies on its side: stand it up".into(),
            Self::OutOfRange(error) => error.to_string(),
        }
    }
}

/// How long a container must stand.
///
/// # Errors
///
/// What is not known.
pub fn time<'a>(
    container: &Container,
    figures: &'a DrumFigures,
    trace: &mut impl Trace,
) -> Result<Time, Unsettled<'a>> {
    let rate = figures.settling_rate.as_ref().map_err(|why| Unsettled::Figure(why))?;
    trace.step(|| rate.step("settling time for each metre", "rate"));
    let least = least(&figures.settling_least, trace);
    let depth = depth(container, trace).ok_or(Unsettled::Depth)?;
    let policy = Policy { time: rate.value, depth: Length::of(1.0, unit::M) };
    let by_depth = by_policy(depth, &policy, trace).map_err(Unsettled::OutOfRange)?;
    Ok(if by_depth > least { by_depth } else { least })
}

/// The least time, none where the pack asks none.
fn least(figure: &Figure<Time>, trace: &mut impl Trace) -> Time {
    let Ok(least) = figure else { return Time::from_si(0.0) };
    trace.step(|| least.step("least time to stand", "least"));
    least.value
}

/// Depth of the fuel: as given, or that of an upright drum; `None` when it is not known.
fn depth(container: &Container, trace: &mut impl Trace) -> Option<Length> {
    match (container.depth, container.kind) {
        (Some(depth), _) => Some(depth),
        (None, Kind::Tank | Kind::Bowser) => None,
        (None, Kind::Drum) => {
            let height = Length::of(HEIGHT, unit::M);
            // A drum booked above what it holds stands full.
            let full = (container.left / container.capacity).value.min(1.0);
            let depth = height * full;
            trace.step(|| {
                Step::new("depth of the fuel in the upright drum", "h = H V / C")
                    .with("H", height)
                    .with("V", container.left)
                    .with("C", container.capacity)
                    .gives("h", depth)
            });
            Some(depth)
        }
    }
}

/// Since when a container has stood as it must stand to settle.
///
/// # Errors
///
/// What is not known, or that it lies on its side.
pub fn standing(container: &Container) -> Result<Timestamp, Unsettled<'static>> {
    match (container.kind, container.posture) {
        (Kind::Drum, Some(Posture::OnSide)) => Err(Unsettled::OnSide),
        (Kind::Drum, None) => Err(Unsettled::Standing),
        _ => container.stands_since.ok_or(Unsettled::Standing),
    }
}

/// How long a container stands until it has settled, and when that is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settling {
    /// How long it must stand.
    pub time: Time,
    /// When it will have stood so long.
    pub at: Timestamp,
}

/// When a container will have settled as it stands.
///
/// # Errors
///
/// What is not known, or that it lies on its side.
pub fn settling<'a>(
    container: &Container,
    figures: &'a DrumFigures,
    trace: &mut impl Trace,
) -> Result<Settling, Unsettled<'a>> {
    let since = standing(container)?;
    let time = time(container, figures, trace)?;
    Ok(Settling { time, at: later(since, time) })
}

#[cfg(test)]
mod tests {
    use stillprop_calc::{quantity::Volume, trace::Silent};

    use super::*;
    use crate::drums::fixture::{drum, figures, instant};

    fn minutes(container: &Container) -> f64 {
        time(container, &figures(), &mut Silent).unwrap().count(unit::MIN)
    }

    /// 60 min/m x 0.88 m x 200 L / 218.3 L = 48.373 797 526 3 min, in decimal arithmetic.
    #[test]
    fn the_time_of_a_full_drum_equals_exact_arithmetic() {
        assert!((minutes(&drum("N-001")) - 48.373_797_526_339_9).abs() < 1e-9);
    }

    #[test]
    fn a_nearly_empty_drum_stands_the_least_time() {
        let little = Container { left: Volume::of(20.0, unit::L), ..drum("N-001") };
        assert!((minutes(&little) - 45.0).abs() < 1e-9);
        let none = DrumFigures { settling_least: Err("not asked".into()), ..figures() };
        let time = time(&little, &none, &mut Silent).unwrap();
        assert!((time.count(unit::MIN) - 60.0 * 0.88 * 20.0 / 218.3).abs() < 1e-9);
    }

    #[test]
    fn more_fuel_never_settles_sooner_and_an_overbooked_drum_is_full() {
        let of = |litres: f64| {
            minutes(&Container { left: Volume::of(litres, unit::L), ..drum("N-001") })
        };
        for litres in 0..400 {
            assert!(of(f64::from(litres) + 1.0) >= of(f64::from(litres)), "{litres} L");
        }
        assert!((of(400.0) - 60.0 * 0.88).abs() < 1e-9);
    }

    #[test]
    fn what_is_not_known_is_said_and_never_guessed() {
        let all = figures();
        let found = |container: &Container| {
            settling(container, &all, &mut Silent).map(|settling| settling.at)
        };
        let lying = Container { posture: Some(Posture::OnSide), ..drum("N-001") };
        assert_eq!(found(&lying), Err(Unsettled::OnSide));
        let unseen = Container { posture: None, ..drum("N-001") };
        assert_eq!(found(&unseen), Err(Unsettled::Standing));
        let moved = Container { stands_since: None, ..drum("N-001") };
        assert_eq!(found(&moved), Err(Unsettled::Standing));
        let tank = Container { kind: Kind::Tank, posture: None, ..drum("T-1") };
        assert_eq!(found(&tank), Err(Unsettled::Depth));
        let dipped = Container { depth: Some(Length::of(1.5, unit::M)), ..tank.clone() };
        // 60 min/m x 1.5 m = 90 min after 09:00.
        assert_eq!(found(&dipped), Ok(instant("10:30")));
        for bad in [f64::NAN, f64::INFINITY, -0.1] {
            let wrong = Container { depth: Some(Length::of(bad, unit::M)), ..tank.clone() };
            assert!(matches!(found(&wrong), Err(Unsettled::OutOfRange(_))), "{bad} m");
        }
        let silent = DrumFigures { settling_rate: Err("no rate".into()), ..figures() };
        let why = settling(&drum("N-001"), &silent, &mut Silent);
        assert_eq!(why, Err(Unsettled::Figure("no rate")));
        assert!(why.unwrap_err().words().contains("no rate"));
    }
}
