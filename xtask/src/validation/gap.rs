//! How far a result lies from what was expected.

use std::f64::consts::{PI, TAU};

use stillprop_calc::{
    catalogue::{Out, Outs},
    quantity::Amount,
    unit::{self, Kind, Unit},
};

use super::case_file::Tolerance;

/// The distance between one result and what was expected of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Gap {
    /// The distance, in `unit`.
    pub(crate) size: f64,
    /// A unit, `rel` for a share of the expected value, empty for a word.
    pub(crate) unit: &'static str,
    /// The distance as a share of the tolerance; above 1 is a miss.
    pub(crate) of_limit: f64,
    /// The distance as a share of the expected value.
    pub(crate) of_value: f64,
}

/// The result at `path`: `mass`, or `load[2].mass` inside records.
pub(crate) fn find<'a>(outs: &'a Outs, path: &str) -> Option<(&'a Out, Option<Unit>)> {
    let (first, rest) = path.split_once('.').map_or((path, None), |(a, b)| (a, Some(b)));
    let (key, place) = match first.split_once('[') {
        Some((key, place)) => (key, Some(place.strip_suffix(']')?.parse::<usize>().ok()?)),
        None => (first, None),
    };
    let (_, unit, out) = outs.0.iter().find(|(known, _, _)| *known == key)?;
    match (out, place, rest) {
        (Out::Rows(rows), Some(place), Some(rest)) => find(rows.get(place)?, rest),
        (_, None, None) => Some((out, *unit)),
        _ => None,
    }
}

/// Measures `out` against the text `wanted`; `Err` says why there is nothing to measure.
pub(crate) fn measure(
    out: &Out,
    shown: Option<Unit>,
    wanted: &str,
    tolerance: Option<&Tolerance>,
) -> Result<Gap, String> {
    match out {
        Out::Amount(got) => amount(*got, shown, wanted, needed(tolerance)?),
        Out::Instant(Some(got)) => {
            let want: jiff::Timestamp =
                wanted.parse().map_err(|_| format!("wanted {wanted}, got {got}"))?;
            let limit = seconds(&needed(tolerance)?.limit)?;
            let size = got.duration_since(want).abs().as_secs_f64();
            // A share of an instant means nothing; only its distance does.
            Ok(Gap { size, unit: "s", of_limit: size / limit, of_value: f64::INFINITY })
        }
        Out::Instant(None) => same("none", wanted),
        Out::Word(word) => same(word, wanted),
        Out::Rows(rows) => same(&format!("{} records", rows.len()), wanted),
    }
}

fn needed(tolerance: Option<&Tolerance>) -> Result<&Tolerance, String> {
    tolerance.ok_or_else(|| "the head gives no tolerance for this output".into())
}

fn same(got: &str, wanted: &str) -> Result<Gap, String> {
    if got == wanted { Ok(Gap::default()) } else { Err(format!("wanted {wanted}, got {got}")) }
}

fn seconds(limit: &str) -> Result<f64, String> {
    match unit::read(limit, Kind::Time) {
        Ok((amount, _)) if amount.si > 0.0 => Ok(amount.si),
        _ => Err(format!("the tolerance of an instant is a duration, not \"{limit}\"")),
    }
}

fn amount(
    got: Amount,
    shown: Option<Unit>,
    wanted: &str,
    tolerance: &Tolerance,
) -> Result<Gap, String> {
    let (want, unit) =
        unit::read(wanted, got.kind).map_err(|error| format!("{error}; {}", error.hint()))?;
    let unit = shown.unwrap_or(unit);
    let distance = distance(got, want);
    let of_value = distance / want.si.abs();
    let gap = match tolerance.limit.strip_prefix("rel ") {
        Some(share) => {
            let limit: f64 =
                share.trim().parse().map_err(|_| format!("\"{share}\" is not a number"))?;
            Gap { size: of_value, unit: "rel", of_limit: of_value / limit, of_value }
        }
        None => {
            let limit = step(&tolerance.limit, got.kind)?;
            let size = distance / unit.scale;
            Gap { size, unit: unit.symbol, of_limit: distance / limit, of_value }
        }
    };
    // NaN is neither near nor far; it must not pass for near.
    if gap.of_limit.is_nan() {
        return Err(format!("wanted {wanted}, got {} {}", got.in_unit(unit), unit.symbol));
    }
    Ok(gap)
}

/// The distance in SI; for an angle the short way round, since 359 and -1 are one bearing.
fn distance(got: Amount, want: Amount) -> f64 {
    let plain = (got.si - want.si).abs();
    if got.kind != Kind::Angle {
        return plain;
    }
    let turned = plain.rem_euclid(TAU);
    if turned > PI { TAU - turned } else { turned }
}

/// A tolerance in SI. Half a degree of temperature is a step of the scale, not a place on it.
fn step(limit: &str, kind: Kind) -> Result<f64, String> {
    let read = unit::read(limit, kind).map(|(amount, unit)| amount.si - unit.offset);
    let read = match kind {
        Kind::Temperature => {
            read.or_else(|_| unit::read(limit, Kind::TemperatureStep).map(|(amount, _)| amount.si))
        }
        _ => read,
    };
    match read {
        Ok(si) if si > 0.0 => Ok(si),
        Ok(_) => Err(format!("the tolerance \"{limit}\" leaves no room at all")),
        Err(error) => Err(format!("tolerance \"{limit}\": {error}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tolerance(limit: &str) -> Tolerance {
        Tolerance { key: "x".into(), limit: limit.into(), why: "a test".into() }
    }

    fn gap(got: &str, kind: Kind, wanted: &str, limit: &str) -> Result<Gap, String> {
        let (amount, unit) = unit::read(got, kind).unwrap();
        measure(&Out::Amount(amount), Some(unit), wanted, Some(&tolerance(limit)))
    }

    #[test]
    fn amounts_are_measured_in_the_unit_they_are_shown_in() {
        let near = gap("1000.05 ft", Kind::Length, "1000 ft", "0.1 ft").unwrap();
        assert!((near.size - 0.05).abs() < 1e-9 && near.unit == "ft");
        assert!((near.of_limit - 0.5).abs() < 1e-9);
        let far = gap("1000 m", Kind::Length, "1000 ft", "0.1 ft").unwrap();
        assert!(far.of_limit > 1.0);
        let share = gap("1.0002 kg/m3", Kind::Density, "1 kg/m3", "rel 1e-3").unwrap();
        assert!((share.size - 2e-4).abs() < 1e-12 && share.unit == "rel");
    }

    #[test]
    fn temperature_tolerances_are_steps() {
        for limit in ["0.5 degC", "0.5 K", "0.9 degF", "0.5 degC_step"] {
            let gap = gap("20.25 degC", Kind::Temperature, "20 degC", limit).unwrap();
            assert!((gap.of_limit - 0.5).abs() < 1e-9, "{limit}: {gap:?}");
        }
    }

    #[test]
    fn bearings_are_compared_the_short_way_round() {
        let gap = gap("359.999 deg", Kind::Angle, "0.001 deg", "0.01 deg").unwrap();
        assert!((gap.size - 0.002).abs() < 1e-9, "{gap:?}");
    }

    #[test]
    fn what_cannot_be_measured_is_never_near() {
        let nan = Out::Amount(Amount { kind: Kind::Length, si: f64::NAN });
        assert!(measure(&nan, None, "1 m", Some(&tolerance("1 m"))).is_err());
        assert!(gap("0 m", Kind::Length, "0 m", "rel 1e-3").is_err());
        for limit in ["0 m", "-1 m", "1 kg", "1", "rel x", ""] {
            assert!(gap("1 m", Kind::Length, "1 m", limit).is_err(), "{limit}");
        }
        let out = Out::Amount(Amount { kind: Kind::Length, si: 1.0 });
        assert!(measure(&out, None, "1 m", None).unwrap_err().contains("no tolerance"));
        assert!(measure(&out, None, "1 kg", Some(&tolerance("1 m"))).is_err());
    }

    #[test]
    fn words_and_instants() {
        let word = Out::Word("polar night".into());
        assert_eq!(measure(&word, None, "polar night", None), Ok(Gap::default()));
        assert!(measure(&word, None, "polar day", None).is_err());
        assert_eq!(measure(&Out::Instant(None), None, "none", None), Ok(Gap::default()));
        assert!(measure(&Out::Instant(None), None, "2026-06-21T07:30:00Z", None).is_err());
        let out = Out::Instant("2026-06-21T07:30:01.5Z".parse().ok());
        let late = measure(&out, None, "2026-06-21T07:30:00Z", Some(&tolerance("2 s"))).unwrap();
        assert!((late.size - 1.5).abs() < 1e-9 && (late.of_limit - 0.75).abs() < 1e-9);
        assert!(measure(&out, None, "none", Some(&tolerance("2 s"))).is_err());
    }

    #[test]
    fn results_inside_records_are_found_by_path() {
        let inner = Outs(vec![("mass", None, Out::Word("x".into()))]);
        let outs = Outs(vec![("load", None, Out::Rows(vec![inner]))]);
        assert_eq!(find(&outs, "load[0].mass"), Some((&Out::Word("x".into()), None)));
        assert!(find(&outs, "load").is_some());
        for path in ["load[1].mass", "load[0].arm", "load.mass", "mass", "load[x].mass", "load[0]"]
        {
            assert_eq!(find(&outs, path), None, "{path}");
        }
    }
}
