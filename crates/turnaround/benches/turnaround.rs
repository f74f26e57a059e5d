//! How long one turnaround takes, from its texts to the answer.

#![allow(clippy::expect_used, clippy::panic, reason = "a benchmark without its input is over")]

#[path = "../tests/demo/mod.rs"]
mod demo;

use divan::{Bencher, black_box};
use stillprop_rules::builtin;
use stillprop_turnaround::{assess, limits::Margins, stage, units::Units};

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
