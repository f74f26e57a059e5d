//! How long a search takes.

#![allow(clippy::expect_used, clippy::panic, reason = "a benchmark without its input is over")]

#[allow(dead_code, reason = "the tests use another part of it")]
#[path = "../../turnaround/tests/demo/mod.rs"]
mod demo;

use divan::{Bencher, black_box};
use stillprop_calc::{
    quantity::{FromAmount, ThermodynamicTemperature},
    unit,
};
use stillprop_plan::{park, window};
use stillprop_rules::document::Given;
use stillprop_turnaround::units::Units;

fn main() {
    divan::main();
}

/// Every minute of the day, the temperature along its curve at every strip.
#[divan::bench(args = ["ready", "last-light", "crowded-apron"])]
fn window_of_a_day(bencher: Bencher<'_, '_>, name: &str) {
    let (mut stage, choice) = demo::stage(name);
    let degc = |value| {
        let value = ThermodynamicTemperature::of(value, unit::DEGC);
        Some(Given { value, unit: unit::DEGC, at: 0..0 })
    };
    let document = &mut stage.documents.turnaround;
    let weathers = std::iter::once(&mut document.weather);
    for weather in weathers.chain(document.legs.iter_mut().map(|leg| &mut leg.weather)) {
        (weather.minimum, weather.maximum) = (degc(14.0), degc(31.0));
    }
    bencher.bench_local(|| window::window(black_box(&stage), &choice, &Units::METRIC));
}

/// The best place on an apron, proven.
#[divan::bench(args = ["crowded-apron", "ready", "over-mass", "spill"])]
fn park(bencher: Bencher<'_, '_>, name: &str) {
    let (stage, choice) = demo::stage(name);
    bencher.bench_local(|| {
        let mut search = park::Search::new(black_box(&stage), &choice).expect("an apron");
        search.step(20_000_000);
        search.place()
    });
}
