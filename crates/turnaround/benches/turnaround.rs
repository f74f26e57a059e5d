//! How long one turnaround takes, from its texts to the answer.

#![allow(clippy::expect_used, clippy::panic, reason = "a benchmark without its input is over")]

#[path = "../tests/demo/mod.rs"]
mod demo;

use divan::{Bencher, black_box};
use stillprop_calc::{
    quantity::{Angle, FromAmount},
    unit,
};
use stillprop_rules::builtin;
use stillprop_turnaround::{
    assess,
    limits::{Found, Margins, site},
    site::{GroundFigures, walk},
    stage::{self, light::Light},
    units::Units,
};

/// Every demonstration turnaround of the six-seater.
const SIX_SEATER: [&str; 2] = ["ready", "mid-burn"];

fn main() {
    divan::main();
}

/// The fast path: every limit, margins only, into a buffer that is reused.
#[divan::bench(args = SIX_SEATER)]
fn margins(bencher: Bencher<'_, '_>, name: &str) {
    let (stage, choice) = demo::stage(name);
    let mut margins = Margins::default();
    bencher.bench_local(|| {
        stage.margins(black_box(&choice), &mut margins);
        black_box(margins.limits.len())
    });
}

/// Every `site.*` limit of one position on the crowded apron and on the hill. The way on foot is
/// that of the document, sought once while preparing.
#[divan::bench(args = ["crowded-apron", "ready"])]
fn site(bencher: Bencher<'_, '_>, name: &str) {
    let (stage, choice) = demo::stage(name);
    let mut margins = Margins::default();
    bencher.bench_local(|| {
        margins.limits.clear();
        site::limits(black_box(&stage), black_box(&choice), &mut margins);
        black_box(margins.limits.len())
    });
}

/// The aeroplane put somewhere else, and every distance of it anew.
#[divan::bench(args = ["crowded-apron", "ready"])]
fn site_moved(bencher: Bencher<'_, '_>, name: &str) {
    let (stage, mut choice) = demo::stage(name);
    let site = stage.site.as_ref().expect("the demonstration describes its apron");
    let at = choice.parked.as_ref().expect("and where it parks").at;
    let mut turn = 0.0;
    bencher.bench_local(|| {
        turn = (turn + 1.0) % 360.0;
        let parked = choice.parked.as_mut().expect("still parked");
        parked.put(&site.airframe, at, Angle::of(turn, unit::DEG)).expect("a heading");
        let mut tightest = f64::INFINITY;
        site::clearances(&stage, &choice, |each| {
            if let Found::Measured(measure) = each.found() {
                tightest = tightest.min(measure.share());
            }
        });
        black_box(tightest)
    });
}

/// The full answer in words.
#[divan::bench(args = SIX_SEATER)]
fn assess(bencher: Bencher<'_, '_>, name: &str) {
    let (stage, choice) = demo::stage(name);
    bencher.bench_local(|| assess::assess(black_box(&stage), black_box(&choice), &Units::METRIC));
}

/// Documents and rules to a stage.
#[divan::bench(args = SIX_SEATER)]
fn prepare(bencher: Bencher<'_, '_>, name: &str) {
    let texts = demo::texts(name);
    let rules = builtin::rules("demo-operator+au").expect("the pack is built in");
    bencher
        .with_inputs(|| demo::documents(&texts))
        .bench_local_values(|documents| stage::prepare(documents, &rules));
}

/// What preparing takes for the figures of the ground.
#[divan::bench(args = ["crowded-apron", "ready"])]
fn prepare_figures(bencher: Bencher<'_, '_>, name: &str) {
    let (stage, _) = demo::stage(name);
    let rules = builtin::rules("demo-operator+au").expect("the pack is built in");
    let grade = stage::grade_of(&stage.documents.turnaround.fuel.grade.value);
    bencher.bench_local(|| GroundFigures::find(black_box(&rules), &stage.situation, grade));
}

/// What preparing takes for the ways on foot.
#[divan::bench(args = ["crowded-apron", "ready"])]
fn prepare_walks(bencher: Bencher<'_, '_>, name: &str) {
    let (stage, choice) = demo::stage(name);
    let site = stage.site.as_ref().expect("the demonstration describes its apron");
    let parked = choice.parked.as_ref().expect("and where it parks");
    bencher.bench_local(|| walk::to_doors(black_box(site), &stage.ground, parked));
}

/// What preparing takes for the light: the planned day and its neighbours at one place.
#[divan::bench]
fn prepare_light(bencher: Bencher<'_, '_>) {
    let (stage, choice) = demo::stage("ready");
    let position = stage.here.position;
    bencher.bench_local(|| Light::at(black_box(position), choice.departs));
}

/// Texts to checked documents.
#[divan::bench(args = SIX_SEATER)]
fn documents(bencher: Bencher<'_, '_>, name: &str) {
    let texts = demo::texts(name);
    bencher.bench_local(|| demo::documents(black_box(&texts)));
}

/// Texts of the two packs to rules.
#[divan::bench]
fn rules() -> stillprop_rules::rules::Rules {
    builtin::rules(black_box("demo-operator+au")).expect("the pack is built in")
}
