//! A drum without a fault on an afternoon, for tests that find fault with it. All invented.

use jiff::{Timestamp, civil::date, tz::Offset};
use stillprop_calc::{
    quantity::{FromAmount, MassDensity, Ratio, ThermodynamicTemperature, Time, Volume},
    unit::{self, Unit},
};

use super::{
    Appearance, Container, Kind, Occasion, Paste, Posture, Reading, Sample, Seals,
    figures::DrumFigures,
};
use crate::stage::{Cited, Figure};

pub(crate) const GRADE: &str = "avgas 100LL";

/// The clock of the day, at the yard.
pub(crate) fn instant(clock: &str) -> Timestamp {
    format!("2026-06-21T{clock}:00+10:00").parse().unwrap()
}

pub(crate) fn litres(value: f64) -> Volume {
    Volume::of(value, unit::L)
}

fn figure<Q: FromAmount>(value: f64, unit: Unit) -> Figure<Q> {
    let citation = "pack test: the book, 1 (operator, read: source)".to_owned();
    Ok(Cited { value: Q::of(value, unit), citation, remark: None })
}

/// A pack that gives every figure but the one that need not be asked.
pub(crate) fn figures() -> DrumFigures {
    let time = |value, unit| figure::<Time>(value, unit);
    DrumFigures {
        max_age: time(365.0, unit::D),
        retest_interval: Err("no pack gives it".into()),
        broken_seal_allowed: Ok((false, "pack test".into())),
        part_used_allowed: Ok((true, "pack test".into())),
        part_used_max_age: time(30.0, unit::D),
        unpumped_remainder: figure(10.0, unit::L),
        settling_rate: time(60.0, unit::MIN),
        settling_least: time(45.0, unit::MIN),
        sample_max_age: time(12.0, unit::H),
        reconcile_limit: figure::<Ratio>(3.0, unit::PERCENT),
    }
}

/// Fuelling begins at 14:00, chocks off are at 15:00.
pub(crate) fn occasion(figures: &DrumFigures) -> Occasion<'_> {
    Occasion {
        grade: GRADE,
        begins: Some(instant("14:00")),
        latest: instant("15:00"),
        offset: Offset::constant(10),
        figures,
    }
}

/// A sample without a fault, drawn at noon. 0.715 kg/L at 15 degC lies in the middle of avgas.
pub(crate) fn sample() -> Sample {
    Sample {
        at: instant("12:00"),
        low_point: true,
        appearance: Appearance::ClearAndBright,
        colour: "blue".into(),
        paste: Paste::Dry,
        density: Some(reading(715.0, 15.0)),
    }
}

pub(crate) fn reading(kg_m3: f64, degc: f64) -> Reading {
    let temperature = ThermodynamicTemperature::of(degc, unit::DEGC);
    Reading::of(MassDensity::of(kg_m3, unit::KG_M3), Some(temperature))
}

/// A whole drum of 200 L, half a year old, upright since nine and sampled at noon.
pub(crate) fn drum(label: &str) -> Container {
    Container {
        id: format!("00000000-0000-7000-8000-{:0>12}", label.trim_start_matches("N-")),
        label: label.into(),
        kind: Kind::Drum,
        place: "Nessow Top".into(),
        rack: None,
        grade: GRADE.into(),
        batch: "B-77".into(),
        supplier: "Invented supplier".into(),
        filled: Some(date(2025, 12, 21)),
        retested: None,
        left: litres(200.0),
        capacity: litres(218.3),
        depth: None,
        opened: None,
        seals: Some(Seals::Intact),
        inspected: Some(instant("08:30")),
        posture: Some(Posture::Upright),
        stands_since: Some(instant("09:00")),
        sample: Some(sample()),
        recalled: None,
        condemned: None,
        severe_damage: None,
        counted_difference: None,
    }
}
