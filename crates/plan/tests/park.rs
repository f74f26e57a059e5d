//! The best place on an apron against looking everywhere.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

#[allow(dead_code, reason = "each test uses another part of it")]
#[path = "../../turnaround/tests/demo/mod.rs"]
mod demo;

use proptest::prelude::*;
use stillprop_plan::park::{AROUND, GAP, Mover, Place, Pose, Search, Worth};
use stillprop_rules::builtin;
use stillprop_turnaround::stage::{Choice, Stage, prepare};

/// The place, sought to its end.
fn park(stage: &Stage, choice: &Choice) -> Option<Place> {
    let mut search = Search::new(stage, choice).unwrap();
    assert!(search.step(500_000), "not at its end");
    search.place()
}

/// What a pose is worth when it is more than `least` and everything asked of it holds, ways on foot
/// included; these take longest and are sought last.
fn fits(mover: &mut Mover<'_>, pose: Pose, least: f64) -> Option<f64> {
    let worth: Worth = mover.worth(pose)?;
    (worth.fits && worth.ratio > least && mover.walkable()).then_some(worth.ratio)
}

/// A crowded apron with what stands there today moved about.
fn crowded(by: &[[f64; 2]; 2], turn: f64) -> (Stage, Choice) {
    let mut documents = demo::documents(&demo::texts("crowded-apron"));
    let ground = documents.turnaround.ground.as_mut().unwrap();
    for (thing, by) in ground.things.iter_mut().zip(by) {
        for corner in &mut thing.corners.value {
            *corner = [corner[0] + by[0], corner[1] + by[1]];
        }
    }
    ground.heading.angle = stillprop_calc::quantity::FromAmount::from_si(
        turn.to_radians().rem_euclid(std::f64::consts::TAU),
    );
    let rules = builtin::rules(&documents.turnaround.pack.value).unwrap();
    prepare(documents, &rules)
}

/// A grid of whole metres and ten degrees over all the ground a hose reaches, then the best twenty
/// climbed to the centimetre and half a degree by trying every neighbour: what a grid of one
/// centimetre and half a degree would find, without its months.
fn brute(stage: &Stage, choice: &Choice, around: Pose) -> f64 {
    let mut mover = Mover::new(stage, choice).unwrap();
    let mut all: Vec<(f64, Pose)> = Vec::new();
    for east in -14..=14 {
        for north in -14..=14 {
            for turn in 0..18 {
                let pose = Pose {
                    east: around.east + f64::from(east) * 1.2,
                    north: around.north + f64::from(north) * 1.2,
                    heading: f64::from(turn * 20).to_radians(),
                };
                let Some(worth) = mover.worth(pose) else { continue };
                all.push((worth.ratio, pose));
            }
        }
    }
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut best = 0.0_f64;
    let mut climbed = 0;
    for (_, start) in all {
        if climbed == 12 {
            break;
        }
        let Some(mut here) = fits(&mut mover, start, best * 0.8) else { continue };
        climbed += 1;
        let mut pose = start;
        for step in [0.5, 0.1, 0.02, 0.01] {
            let mut moved = true;
            while moved {
                moved = false;
                for (east, north, turn) in neighbours() {
                    let next = Pose {
                        east: pose.east + f64::from(east) * step,
                        north: pose.north + f64::from(north) * step,
                        heading: pose.heading
                            + f64::from(turn) * (step * 10.0).max(0.5).to_radians(),
                    };
                    if let Some(ratio) = fits(&mut mover, next, here + 1e-9) {
                        (here, pose, moved) = (ratio, next, true);
                    }
                }
            }
        }
        best = best.max(here);
    }
    best
}

fn neighbours() -> impl Iterator<Item = (i32, i32, i32)> {
    let axis = || -1..=1;
    axis().flat_map(move |a| axis().flat_map(move |b| axis().map(move |c| (a, b, c))))
}

#[test]
fn the_demonstration_aprons_within_half_a_percent_of_looking_everywhere() {
    for name in ["crowded-apron", "ready"] {
        let (stage, choice) = demo::stage(name);
        let found = park(&stage, &choice).unwrap();
        assert!(found.proven, "{name}: {found:?}");
        let source = stage.site.as_ref().unwrap().source.as_ref().unwrap().at;
        let around = Pose { east: source.east().value, north: source.north().value, ..found.pose };
        let brute = brute(&stage, &choice, around);
        assert!(found.ratio >= brute * 0.995, "{name}: {} against {brute}", found.ratio);
        assert!(brute <= found.bound * (1.0 + 1e-9), "{name}: {brute} above {}", found.bound);
    }
}

/// What is found is what is measured there, and everything asked holds.
#[test]
fn the_place_is_what_it_says() {
    for name in ["crowded-apron", "ready", "over-mass", "last-light", "mid-burn"] {
        let (stage, choice) = demo::stage(name);
        let found = park(&stage, &choice).unwrap();
        let mut mover = Mover::new(&stage, &choice).unwrap();
        let ratio = fits(&mut mover, found.pose, 0.0).unwrap();
        assert!((ratio - found.ratio).abs() < 1e-12, "{name}");
        assert!(found.bound >= ratio && found.bound <= ratio * (1.0 + GAP) + 1e-12, "{name}");
        let present = mover.present().unwrap();
        let present = fits(&mut mover, present, 0.0);
        assert!(present.is_none_or(|present| present <= ratio), "{name}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases()))]

    /// Random aprons: no pose thrown at random beats the bound.
    #[test]
    fn no_pose_beats_the_bound(
        east in -12.0..12.0_f64, north in -12.0..12.0_f64,
        far in -8.0..8.0_f64, up in -8.0..8.0_f64, turn in 0.0..359.0_f64,
        throws in prop::collection::vec((-16.0..16.0_f64, -16.0..16.0_f64, 0.0..std::f64::consts::TAU), 150),
    ) {
        let (stage, choice) = crowded(&[[east, north], [far, up]], turn);
        let mut search = Search::new(&stage, &choice).unwrap();
        search.step(3000);
        let found = search.place();
        let mut mover = Mover::new(&stage, &choice).unwrap();
        for (east, north, heading) in throws {
            // A pose that fits beats neither the bound nor, where none was found, nothing at all.
            let bound = found.as_ref().map_or(0.05, |found| found.bound * (1.0 + 1e-9));
            let thrown = fits(&mut mover, Pose { east, north, heading }, bound);
            prop_assert!(thrown.is_none(), "{thrown:?} above {bound}");
        }
    }
}

/// `PLAN_CASES` asks for more.
fn cases() -> u32 {
    std::env::var("PLAN_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(60)
}

/// The grid itself, a metre around the best: minutes in release.
#[test]
#[ignore = "some minutes: run with --release -- --ignored"]
fn every_centimetre_and_half_degree_around_the_best() {
    let (stage, choice) = demo::stage("crowded-apron");
    let found = park(&stage, &choice).unwrap();
    let mut mover = Mover::new(&stage, &choice).unwrap();
    let mut best = 0.0_f64;
    for east in -100..=100 {
        for north in -100..=100 {
            for turn in 0..720 {
                let pose = Pose {
                    east: found.pose.east + f64::from(east) * 0.01,
                    north: found.pose.north + f64::from(north) * 0.01,
                    heading: (f64::from(turn) * 0.5).to_radians(),
                };
                let worth = mover.worth(pose).unwrap();
                if worth.fits && worth.ratio > best && mover.walkable() {
                    best = worth.ratio;
                }
            }
        }
    }
    assert!(found.ratio >= best * 0.995 && best <= found.bound * (1.0 + 1e-9), "{best} {found:?}");
}

/// Where no hose holds it, more room is always to be had farther off: the search stays on its ground,
/// and comes to an end.
#[test]
fn without_a_hose_it_stays_on_the_searched_ground() {
    let documents = demo::documents(&demo::texts("hand-start"));
    let rules = builtin::rules(&documents.turnaround.pack.value).unwrap();
    let (stage, choice) = prepare(documents, &rules);
    let present = Pose::of(choice.parked.as_ref().unwrap());
    let mut search = Search::new(&stage, &choice).unwrap();
    for _ in 0..20 {
        search.step(50);
        let place = search.place().unwrap();
        let off = |a: f64, b: f64| (a - b).abs();
        let far = off(place.pose.east, present.east).max(off(place.pose.north, present.north));
        assert!(far <= AROUND + 1e-9, "{place:?}");
        assert!(place.bound >= place.ratio, "{place:?}");
    }
}
