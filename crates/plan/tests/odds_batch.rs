//! The batch form of the limits gives the verdict of the limits, in every draw that it decides, and it
//! decides nearly all.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

#[allow(dead_code, reason = "each test uses another part of it")]
#[path = "../../turnaround/tests/demo/mod.rs"]
mod demo;

use proptest::{
    prelude::*,
    strategy::ValueTree,
    test_runner::{RngAlgorithm, TestRng, TestRunner},
};
use stillprop_plan::odds::{Compared, Model};
use stillprop_turnaround::{
    stage::{Choice, Stage},
    units::Units,
};

const DEMOS: [&str; 8] = [
    "ready",
    "over-mass",
    "last-light",
    "mid-burn",
    "crowded-apron",
    "missing",
    "hand-start",
    "spill",
];
const PACKS: [&str; 7] =
    ["demo-operator+au", "au", "nz", "uk", "us", "strictest(au,nz)", "strictest(uk,us)"];

/// What became of several.
#[derive(Debug, Default)]
struct Sum {
    stages: u64,
    /// Stages that have a batch form.
    batches: u64,
    draws: u64,
    decided: u64,
}

impl Sum {
    /// Draws of one, each judged both ways.
    fn add(&mut self, what: &str, (stage, choice): &(Stage, Choice), wide: f64, draws: u64) {
        let mut model = Model::of(stage, choice, &Units::METRIC);
        model.inputs.iter_mut().for_each(|input| input.deviation *= wide);
        self.stages += 1;
        let Some(Compared { draws, decided, differ }) = model.compare(1, (self.stages, draws))
        else {
            println!("{what}: no batch");
            return;
        };
        if decided < draws * 9 / 10 {
            println!("{what}: {decided} of {draws} decided");
        }
        assert_eq!(differ, [], "{what}");
        self.batches += 1;
        self.draws += draws;
        self.decided += decided;
    }

    /// Fails where too little was compared.
    fn judge(&self, batches: f64, decided: f64) {
        println!("{self:?}");
        let part = |a: u64, b: u64| {
            f64::from(u32::try_from(a).unwrap()) / f64::from(u32::try_from(b).unwrap())
        };
        assert!(part(self.batches, self.stages) >= batches, "{self:?}");
        assert!(part(self.decided, self.draws) >= decided, "{self:?}");
    }
}

#[test]
fn every_demonstration_has_a_batch_that_decides_nearly_every_draw() {
    let mut sum = Sum::default();
    for name in DEMOS {
        sum.add(name, &demo::changed(name, PACKS[0], &mut stays).unwrap(), 1.0, 20_000);
    }
    sum.judge(1.0, 0.999);
}

#[test]
fn so_has_each_under_every_pack_and_with_spreads_ten_times_as_wide() {
    // A batch is built for spreads as they are; beyond them more is left to the limits.
    for (wide, decided) in [(1.0, 0.999), (3.0, 0.9), (10.0, 0.3)] {
        let mut sum = Sum::default();
        for (name, pack) in DEMOS.iter().flat_map(|name| PACKS.map(|pack| (name, pack))) {
            let stage = demo::changed(name, pack, &mut stays).unwrap();
            sum.add(&format!("{name} {pack} {wide}"), &stage, wide, 1_500);
        }
        sum.judge(1.0, decided);
    }
}

/// Documents with other amounts everywhere, as far as they are documents still.
#[test]
fn so_have_documents_with_other_amounts() {
    let mut runner = TestRunner::new_with_rng(
        ProptestConfig::default(),
        TestRng::from_seed(RngAlgorithm::ChaCha, &[7; 32]),
    );
    let mut sum = Sum::default();
    for round in 0..ROUNDS {
        let name = DEMOS[round % DEMOS.len()];
        let pack = PACKS[round / DEMOS.len() % PACKS.len()];
        // Strong changes of the turnaround, weaker ones of what must fit together.
        let strength = [0.7, [0.0, 0.04, 0.15][round % 3], [0.0, 0.1, 0.3][round / 3 % 3]];
        let mut random = || (0.0..1.0_f64).new_tree(&mut runner).unwrap().current();
        let stage = demo::changed(name, pack, &mut |which, text| {
            varied(&stays(which, text), strength[which], &mut random)
        });
        if let Some(stage) = stage {
            sum.add(&format!("{name} {pack} {round}"), &stage, 1.0, 256);
        }
    }
    assert!(sum.stages > u64::try_from(ROUNDS).unwrap() / 4, "{sum:?}");
    // What has none cannot be flown as typed, but could in another wind.
    sum.judge(0.9, 0.97);
}

const ROUNDS: usize = 400;

/// A turnaround in which everybody and everything stays to the last landing.
fn stays(which: usize, text: &str) -> String {
    let lines = text.lines().filter(|line| which != 0 || !line.starts_with("to = "));
    lines.flat_map(|line| [line, "\n"]).collect()
}

#[test]
fn where_somebody_leaves_on_the_way_the_limits_judge_every_draw() {
    let (stage, choice) = demo::stage("ready");
    assert!(stage.leaves.later().next().is_some());
    assert_eq!(Model::of(&stage, &choice, &Units::METRIC).compare(1, (0, 64)), None);
    let (stage, choice) = demo::changed("ready", PACKS[0], &mut stays).unwrap();
    assert!(Model::of(&stage, &choice, &Units::METRIC).compare(1, (0, 64)).is_some());
}

/// The text with about half of its quoted amounts changed.
fn varied(text: &str, strength: f64, random: &mut impl FnMut() -> f64) -> String {
    let parts = text.split('"').enumerate().map(|(index, part)| {
        let amount = part
            .split_once(' ')
            .and_then(|(number, unit)| Some((number.parse::<f64>().ok()?, unit)));
        match amount {
            Some((number, unit)) if index % 2 == 1 && random() < 0.3 => {
                let other = if unit.starts_with("deg") && unit != "degC" {
                    (number + 400.0 * strength * random()).rem_euclid(360.0).round()
                } else {
                    number * (1.0 + strength * (random() * 2.0 - 1.0))
                };
                format!("{other:.3} {unit}")
            }
            _ => part.to_owned(),
        }
    });
    parts.collect::<Vec<_>>().join("\"")
}
