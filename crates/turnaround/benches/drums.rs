//! How long the choice among many drums takes.

#![allow(clippy::expect_used, clippy::panic, reason = "a benchmark without its input is over")]

use divan::{Bencher, black_box};
use jiff::{Timestamp, ToSpan, civil::date, tz::Offset};
use stillprop_calc::{
    quantity::{FromAmount, Mass, MassDensity, ThermodynamicTemperature, Volume},
    unit,
};
use stillprop_rules::{
    builtin,
    situation::{Engine, FlightRules, Grade, Operation, Situation},
};
use stillprop_turnaround::drums::{
    Appearance, Container, Kind, Occasion, Paste, Posture, Reading, Sample, Seals, choose::choose,
    figures::DrumFigures,
};

fn main() {
    divan::main();
}

fn at(clock: &str) -> Timestamp {
    format!("2026-06-21T{clock}:00+10:00").parse().expect("a time")
}

/// A drum of a large yard: ages over 15 months, contents of every size, one in seven open, one
/// in nine wet, half of them standing and sampled.
fn drum(n: i32) -> Container {
    let temperature = ThermodynamicTemperature::of(27.0, unit::DEGC);
    let sample = Sample {
        at: at("12:00"),
        low_point: true,
        appearance: Appearance::ClearAndBright,
        colour: "blue".into(),
        paste: if n % 9 == 0 { Paste::Wet } else { Paste::Dry },
        density: Some(Reading::of(MassDensity::of(0.7, unit::KG_L), Some(temperature))),
    };
    let stands = n % 2 == 0;
    Container {
        id: format!("{n:012}"),
        label: format!("N-{n:05}"),
        kind: Kind::Drum,
        place: "Nessow Top".into(),
        rack: None,
        grade: "avgas 100LL".into(),
        batch: format!("B-{}", n % 40),
        supplier: "Invented supplier".into(),
        filled: date(2025, 3, 21).checked_add((n * 7919 % 450).days()).ok(),
        retested: None,
        left: Volume::of(f64::from(20 + n * 104_729 % 181), unit::L),
        capacity: Volume::of(218.3, unit::L),
        depth: None,
        opened: (n % 7 == 0).then(|| at("08:00").saturating_sub(72.hours()).expect("a time")),
        seals: Some(Seals::Intact),
        inspected: Some(at("08:00")),
        posture: Some(if stands { Posture::Upright } else { Posture::OnSide }),
        stands_since: stands.then(|| at("08:10")),
        sample: stands.then_some(sample),
        recalled: None,
        condemned: None,
        severe_damage: None,
        counted_difference: None,
    }
}

/// Which of 10 000 drums for one aeroplane, for a day's work, and for more than there is.
#[divan::bench(args = [150, 5_000, 50_000])]
fn choose_among_10_000(bencher: Bencher<'_, '_>, litres: u32) {
    let rules = builtin::rules("demo-operator+au").expect("the pack is built in");
    let situation = Situation {
        operation: Operation::Private,
        flight_rules: FlightRules::VfrDay,
        engine: Engine::Piston,
        mtow: Mass::of(1633.0, unit::KG),
        seats: 6,
    };
    let figures = DrumFigures::find(&rules, &situation, Some(Grade::Avgas));
    let occasion = Occasion {
        grade: "avgas 100LL",
        begins: Some(at("14:00")),
        latest: at("15:00"),
        offset: Offset::constant(10),
        figures: &figures,
    };
    let yard: Vec<Container> = (0..10_000).map(drum).collect();
    let needed = Volume::of(f64::from(litres), unit::L);
    bencher.bench_local(|| {
        let drawing = choose(black_box(&yard), needed, at("13:30"), &occasion).expect("a volume");
        assert!(!drawing.picks.is_empty() && !drawing.refused.is_empty());
        drawing.picks.len()
    });
}
