//! The best place on small aprons against a grid of places and headings over all the ground that is
//! searched: none that is allowed lies above the bound that is stated, and the place that is found
//! is allowed when the documents say that the aeroplane stands there.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used, reason = "tests")]

mod cases;
#[allow(dead_code, reason = "each test uses another part of it")]
#[path = "../../turnaround/tests/demo/mod.rs"]
mod demo;

use cases::{
    Dice, many,
    stop::{RULES, given, named},
};
use stillprop_calc::{
    plane::Point,
    quantity::{Angle, FromAmount, Length},
    trace::Silent,
    unit,
};
use stillprop_plan::park::{GAP, Pose, Search};
use stillprop_rules::document::{At, Bearing, North};
use stillprop_turnaround::{
    document::ground::{Thing, ThingKind},
    limits::{Found, Id, Sink, Verdict, Words, site},
    site::walk,
    stage::{Choice, Documents, Stage, prepare, prepare_again},
    units::Units,
};

/// What the limits say of one place.
#[derive(Default)]
struct Told {
    /// Smallest distance as a part of what is asked.
    ratio: Option<f64>,
    /// One of hose, way out, wind side or ways on foot does not hold.
    amiss: bool,
    silent: Silent,
}

impl Sink for Told {
    type Trace = Silent;

    fn trace(&mut self) -> &mut Silent {
        &mut self.silent
    }

    fn limit(&mut self, id: Id<'_>, found: Found, _: impl FnOnce(&Units) -> Words) {
        match (id.name, found) {
            ("fuel" | "run" | "room" | "spill", Found::Measured(measure)) => {
                let ratio = measure.value.si / measure.bound.si;
                self.ratio = Some(self.ratio.map_or(ratio, |least| least.min(ratio)));
            }
            ("hose" | "way-out" | "walk", found) => self.amiss |= found.verdict() != Verdict::Holds,
            ("wind-side", found) => self.amiss |= found == Found::Condition(false),
            _ => {}
        }
    }
}

/// A small apron: a short hose, the buildings of the strip, some things of today.
fn made(number: u64, base: &Documents) -> Documents {
    let mut dice = Dice::new(7_000_000 + number);
    let mut documents = base.clone();
    let ground = documents.turnaround.ground.as_mut().unwrap();
    let source = ground.source.as_mut().unwrap();
    source.at.value = [dice.milli(-4.0, 8.0), dice.milli(-2.0, 8.0)];
    source.hose = Some(given(Length::from_si(dice.milli(3.0, 7.0)), unit::M));
    source.clears_away = Some(dice.percent(70));
    let near = source.at.value;
    let mut things = Vec::new();
    for n in 0..dice.whole(0, 4) {
        let (far, turn) = (dice.milli(4.0, 17.0), dice.milli(0.0, std::f64::consts::TAU));
        let at = [near[0] + far * turn.sin(), near[1] + far * turn.cos()];
        let kinds = [ThingKind::Device, ThingKind::Obstacle, ThingKind::Aircraft, ThingKind::Flame];
        let is = kinds[dice.index(kinds.len())];
        let (wide, long) = (dice.milli(0.3, 3.0), dice.milli(0.3, 3.0));
        let around = [[-wide, -long], [wide, -long], [wide, long], [-wide, long]];
        let corners = match is {
            ThingKind::Device | ThingKind::Flame => vec![at],
            _ => around.iter().map(|by| [at[0] + by[0], at[1] + by[1]]).collect(),
        };
        things.push(Thing {
            what: named(&format!("thing {n}")),
            is,
            corners: At { value: corners, at: 0..0 },
            engine_running: None,
        });
    }
    ground.things = things;
    ground.at.value = [near[0] + dice.milli(-6.0, 6.0), near[1] + dice.milli(-6.0, 6.0)];
    ground.heading = bearing(dice.whole(0, 359) as f64);
    documents
}

fn bearing(degrees: f64) -> Bearing {
    let angle = Angle::of(degrees.rem_euclid(360.0), unit::DEG);
    Bearing { angle, north: North::True, at: 0..0 }
}

/// Puts the aeroplane somewhere and asks every limit of the place.
struct Measure<'a> {
    stage: &'a Stage,
    choice: Choice,
}

impl Measure<'_> {
    fn at(&mut self, pose: Pose) -> Told {
        let site = self.stage.site.as_ref().unwrap();
        let at = Point::new(Length::from_si(pose.east), Length::from_si(pose.north)).unwrap();
        let parked = self.choice.parked.as_mut().unwrap();
        parked.put(&site.airframe, at, Angle::from_si(pose.heading)).unwrap();
        let mut told = Told::default();
        site::place(self.stage, &self.choice, &mut told);
        told
    }

    /// The ratio of a place that is allowed and has more than `least`.
    fn allowed(&mut self, pose: Pose, least: f64) -> Option<f64> {
        let told = self.at(pose);
        let ratio = told.ratio.filter(|ratio| !told.amiss && *ratio > least)?;
        // The ways on foot take longest and are sought last.
        let site = self.stage.site.as_ref().unwrap();
        let parked = self.choice.parked.as_ref().unwrap();
        let open = |door| {
            walk::to_door(site, &self.stage.ground, parked, door).is_ok_and(|way| way.open())
        };
        (0..site.airframe.doors.len()).all(open).then_some(ratio)
    }

    /// The greatest ratio above `least` on a grid: half its width and the step in metres, turns.
    fn grid(
        &mut self,
        middle: Pose,
        half: f64,
        step: f64,
        turns: &[f64],
        least: f64,
    ) -> Option<(f64, Pose)> {
        let mut best: Option<(f64, Pose)> = None;
        let count = (half / step).floor() as i32;
        for east in -count..=count {
            for north in -count..=count {
                for turn in turns {
                    let pose = Pose {
                        east: middle.east + f64::from(east) * step,
                        north: middle.north + f64::from(north) * step,
                        heading: (middle.heading + turn).rem_euclid(std::f64::consts::TAU),
                    };
                    let least = best.map_or(least, |(ratio, _)| ratio);
                    best = self.allowed(pose, least).map(|ratio| (ratio, pose)).or(best);
                }
            }
        }
        best
    }
}

#[test]
fn no_place_on_the_grid_of_two_thousand_aprons_is_better_than_the_bound() {
    let mut base = demo::documents(&demo::texts("crowded-apron"));
    base.turnaround.ground.as_mut().unwrap().equipment.clear();
    let turns: Vec<f64> = (0..8).map(|n| f64::from(n * 45).to_radians()).collect();
    let (mut found_some, mut on_grid, mut proven, mut fine) = (0, 0, 0, 0);
    for number in 0..many() {
        let documents = made(number, &base);
        let (stage, choice) = prepare(documents.clone(), &RULES);
        let mut search = Search::new(&stage, &choice).unwrap();
        let whole = search.step(30_000);
        let found = search.place();
        let site = stage.site.as_ref().unwrap();
        let source = site.source.as_ref().unwrap();
        let openings = site.airframe.fillers.iter().chain(&site.airframe.vents);
        let reach =
            openings.map(|at| at.at.east().si().hypot(at.at.north().si())).fold(0.0, f64::max);
        let half = source.hose.unwrap().si() + reach;
        let heading = Dice::new(number).milli(0.0, 0.78);
        let middle = Pose { east: source.at.east().si(), north: source.at.north().si(), heading };
        let mut measure = Measure { stage: &stage, choice: choice.clone() };
        let best = measure.grid(middle, half, 1.7, &turns, 0.0);
        let Some(found) = found else {
            assert!(!whole || best.is_none(), "case {number}: {best:?} is allowed");
            continue;
        };
        found_some += 1;
        proven += u32::from(found.proven);
        assert!(!found.proven || found.bound <= found.ratio * (1.0 + GAP) + 1e-12, "case {number}");
        // The documents with the aeroplane there say the same.
        let mut there = documents.clone();
        let ground = there.turnaround.ground.as_mut().unwrap();
        ground.at.value = [found.pose.east, found.pose.north];
        ground.heading = bearing(found.pose.heading.to_degrees());
        let (moved, stands) = prepare_again(there, &RULES, &stage);
        let mut told = Told::default();
        moved.evaluate(&stands, &mut told);
        assert!(!told.amiss, "case {number}: {found:?} is not allowed");
        let ratio = told.ratio.unwrap();
        assert!((ratio - found.ratio).abs() < 1e-9, "case {number}: {ratio} {found:?}");
        let Some((ratio, pose)) = best else { continue };
        on_grid += 1;
        assert!(
            ratio <= found.bound * (1.0 + 1e-9),
            "case {number}: {ratio} at {pose:?}, {found:?}"
        );
        // Around the best of the grid a finer one, which the place that is found must come up to.
        if found.proven && number % 20 == 0 {
            fine += 1;
            let turns: Vec<f64> = (-12..=12).map(|n| f64::from(n * 2).to_radians()).collect();
            if let Some((ratio, pose)) = measure.grid(pose, 0.9, 0.1, &turns, ratio) {
                assert!(ratio <= found.bound * (1.0 + 1e-9), "case {number}: {ratio} at {pose:?}");
                assert!(found.ratio >= ratio * 0.995, "case {number}: {ratio} at {pose:?}");
            }
        }
    }
    println!("{found_some} with a place, {proven} proven, {on_grid} on the grid, {fine} finer");
    let cases = many() as u32;
    assert!(
        found_some > cases / 3 && found_some < cases && on_grid > cases / 4 && fine > cases / 150
    );
    assert!(proven * 100 >= found_some * 95, "{proven} of {found_some}");
}
