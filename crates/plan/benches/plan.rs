//! How long a search takes.

#![allow(clippy::expect_used, clippy::panic, reason = "a benchmark without its input is over")]

#[path = "../tests/cases/mod.rs"]
mod cases;
#[allow(dead_code, reason = "the tests use another part of it")]
#[path = "../../turnaround/tests/demo/mod.rs"]
mod demo;

use cases::{fit::large, uplift::large as large_trip};
use divan::{Bencher, black_box};
use stillprop_calc::{
    quantity::{FromAmount, ThermodynamicTemperature},
    unit,
};
use stillprop_plan::{budget::Budget, fit::fit, park, uplift::uplift, ways_out, window};
use stillprop_rules::{builtin, document::Given};
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

/// Nine seats, twelve bags, four tanks: sixty made-up cases in turn, easy and hard.
#[divan::bench(sample_count = 180, sample_size = 1)]
fn fit_of_nine_seats(bencher: Bencher<'_, '_>) {
    let cases: Vec<_> = (0..60).map(|number| large(number, 9).case).collect();
    let mut next = cases.iter().cycle();
    bencher.bench_local(|| {
        next.next().map(|case| fit(black_box(case), &mut Budget::new(1 << 22, &mut || false)))
    });
}

/// Eight stops, thirty drums or pumps at each: sixty made-up trips in turn.
#[divan::bench(sample_count = 180, sample_size = 1)]
fn uplift_of_eight_stops(bencher: Bencher<'_, '_>) {
    let trips: Vec<_> = (0..60).map(|number| large_trip(number, 8, 30)).collect();
    let mut next = trips.iter().cycle();
    bencher.bench_local(|| {
        next.next().map(|trip| uplift(black_box(trip), &mut Budget::new(u64::MAX, &mut || false)))
    });
}

/// Every way out, each assessed in full.
#[divan::bench(args = ["over-mass", "mid-burn", "last-light", "crowded-apron"])]
fn ways_out_of_a_stop(bencher: Bencher<'_, '_>, name: &str) {
    let documents = demo::documents(&demo::texts(name));
    let rules = builtin::rules(&documents.turnaround.pack.value).expect("the pack is built in");
    bencher.bench_local(|| ways_out::ways_out(black_box(&documents), &rules, &Units::METRIC));
}
