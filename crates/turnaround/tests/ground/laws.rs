//! Laws that no apron may break: turning or moving everything together changes nothing; asking
//! for more never makes anything hold; one thing more never helps.

use std::cell::Cell;

use proptest::{
    prelude::*,
    test_runner::{Config, TestRunner},
};
use stillprop_calc::{
    plane::Point,
    quantity::{Angle, FromAmount, Length, Ratio, Velocity},
    unit::{self, Unit},
};
use stillprop_rules::document::{At, Bearing, Given, North};
use stillprop_turnaround::{
    document::{
        ground::{Apron, Ground, Spot, Thing, ThingKind},
        turnaround::Wind,
    },
    site::{GroundFigures, Parked, walk},
    stage::Figure,
};

use super::*;

/// Runs a check on random parked turnarounds.
fn for_random<S: Strategy>(
    cases: u32,
    change: S,
    check: impl Fn(&str, Documents, S::Value) -> Result<(), TestCaseError>,
) {
    let all: Vec<_> = PARKED.iter().map(|name| (*name, documents(name))).collect();
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    TestRunner::new(config)
        .run(&(0..all.len(), change), |(which, change)| {
            let (name, documents) = &all[which];
            check(name, documents.clone(), change)
        })
        .unwrap();
}

fn site(documents: Documents) -> BTreeMap<String, Found> {
    let (stage, choice) = stage(documents);
    let all = bad::judge(&stage, &choice).into_iter();
    all.filter(|(id, _)| id.starts_with("site.")).collect()
}

/// A turn about a point, then a move.
#[derive(Clone, Copy, Debug)]
struct Motion {
    about: [f64; 2],
    turn: f64,
    by: [f64; 2],
}

impl Motion {
    fn place(&self, place: &mut Spot, unit: Unit) {
        let [x, y] = [0, 1].map(|axis| unit.si_of(place[axis]) - self.about[axis]);
        // Clockwise, as headings count.
        let (sin, cos) = self.turn.to_radians().sin_cos();
        let turned = [x * cos + y * sin, y * cos - x * sin];
        *place = [0, 1].map(|axis| unit.value_of(turned[axis] + self.about[axis] + self.by[axis]));
    }

    fn bearing(&self, bearing: &mut Bearing) {
        let degrees = bearing.angle.count(unit::DEG) + self.turn;
        bearing.angle = Angle::of(degrees.rem_euclid(360.0), unit::DEG);
    }

    fn things(&self, things: &mut [Thing], unit: Unit) {
        for thing in things {
            thing.corners.value.iter_mut().for_each(|place| self.place(place, unit));
            thing.engine_running.iter_mut().for_each(|nose| self.bearing(nose));
        }
    }

    fn apron(&self, apron: &mut Apron) {
        let unit = Unit::named(&apron.unit.value).unwrap();
        self.things(&mut apron.things, unit);
        apron.gate.iter_mut().for_each(|gate| self.place(&mut gate.value, unit));
        let way = apron.way_out.iter_mut().flat_map(|way| &mut way.value);
        way.for_each(|place| self.place(place, unit));
        apron.equipment.iter_mut().for_each(|each| self.place(&mut each.at.value, unit));
    }

    fn ground(&self, ground: &mut Ground) {
        let unit = Unit::named(&ground.unit.value).unwrap();
        self.place(&mut ground.at.value, unit);
        self.bearing(&mut ground.heading);
        self.things(&mut ground.things, unit);
        ground.source.iter_mut().for_each(|each| self.place(&mut each.at.value, unit));
        ground.equipment.iter_mut().for_each(|each| self.place(&mut each.at.value, unit));
        ground.spills.iter_mut().for_each(|each| self.place(&mut each.at.value, unit));
    }

    /// Everything on the ground, and the wind over it.
    fn all(&self, documents: &mut Documents) {
        let (stage, _) = stage(documents.clone());
        let (from, speed) = stage.site.as_ref().unwrap().wind.clone().unwrap();
        let from = from.map(|angle| {
            let mut from = Bearing { angle, north: North::True, at: 0..0 };
            self.bearing(&mut from);
            from
        });
        let speed: Given<Velocity> = Given { value: speed, unit: unit::KT, at: 0..0 };
        documents.turnaround.weather.wind = Some(Wind { from, speed, gust: None });
        self.apron(documents.strip.apron.as_mut().unwrap());
        self.ground(documents.turnaround.ground.as_mut().unwrap());
    }
}

/// Turned or moved: the same verdicts, margins to a nanometre.
fn same(name: &str, mut documents: Documents, motion: Motion) -> Result<(), TestCaseError> {
    let before = site(documents.clone());
    motion.all(&mut documents);
    let after = site(documents);
    prop_assert!(before.keys().eq(after.keys()), "{}", name);
    for (id, old) in &before {
        let new = &after[id];
        prop_assert_eq!(old.verdict(), new.verdict(), "{} {}: {:?}, {:?}", name, id, old, new);
        if let (Found::Measured(old), Found::Measured(new)) = (old, new) {
            let moved = (old.margin() - new.margin()).abs();
            prop_assert!(moved < 1e-9, "{} {}: {}", name, id, moved);
        }
    }
    Ok(())
}

#[test]
fn turning_apron_aeroplane_and_wind_together_changes_no_verdict_and_no_margin() {
    let motion = (prop::array::uniform2(-40.0..40.0_f64), 0.0..360.0_f64)
        .prop_map(|(about, turn)| Motion { about, turn, by: [0.0; 2] });
    for_random(100, motion, same);
}

#[test]
fn moving_everything_together_changes_no_verdict_and_no_margin() {
    let motion = prop::array::uniform2(-900.0..900.0_f64).prop_map(|by| Motion {
        about: [0.0; 2],
        turn: 0.0,
        by,
    });
    for_random(60, motion, same);
}

/// Every distance that is kept, and the part of the hose that stays slack.
fn asks(figures: &mut GroundFigures) -> Vec<&mut Figure<Length>> {
    let (fuel, run) = (&mut figures.fuelling_room, &mut figures.running_room);
    vec![
        &mut fuel.sealed_building,
        &mut fuel.unsealed_building,
        &mut fuel.other_aircraft,
        &mut fuel.public_area,
        &mut fuel.ignition,
        &mut fuel.flame,
        &mut fuel.device,
        &mut fuel.drain,
        &mut fuel.water,
        &mut run.sealed_building,
        &mut run.unsealed_building,
        &mut run.other_aircraft,
        &mut run.public_area,
        &mut run.spill,
        &mut figures.moving_room.propeller_margin,
        &mut figures.moving_room.wingtip_room,
        &mut figures.fuelling.extinguisher_near,
    ]
}

#[test]
fn asking_for_more_never_makes_anything_hold() {
    let turned = Cell::new(0);
    for_random(100, prop::collection::vec(1.0..4.0_f64, 18), |name, documents, factors| {
        let (mut stage, choice) = stage(documents);
        let before = bad::judge(&stage, &choice);
        for (figure, factor) in asks(&mut stage.ground).into_iter().zip(&factors) {
            figure.iter_mut().for_each(|cited| cited.value *= *factor);
        }
        let slack = stage.ground.fuelling.hose_slack.as_mut().unwrap();
        slack.value = (slack.value * factors[17]).min(Ratio::from_si(1.0));
        let site = stage.site.as_ref().unwrap();
        stage.walks = walk::to_doors(site, &stage.ground, choice.parked.as_ref().unwrap());
        let after = bad::judge(&stage, &choice);
        for (id, old) in before.iter().filter(|(id, _)| id.starts_with("site.")) {
            let new = &after[id];
            let better = old.verdict() != Verdict::Holds && new.verdict() == Verdict::Holds;
            prop_assert!(!better, "{} {}: {:?}, {:?}", name, id, old, new);
            if let (Found::Measured(old), Found::Measured(new)) = (old, new) {
                prop_assert!(new.margin() <= old.margin() + 1e-12, "{} {}", name, id);
            }
            turned.set(turned.get() + usize::from(old.verdict() != new.verdict()));
        }
        Ok(())
    });
    assert!(turned.get() > 50, "only {} verdicts changed", turned.get());
}

/// A thing of any kind: a place, a line, a triangle.
fn thing() -> impl Strategy<Value = Thing> {
    let place = prop::array::uniform2(-25.0..25.0_f64);
    let corners = (place, prop::array::uniform2(0.5..9.0_f64), 1..=3_usize).prop_map(
        |([x, y], [wide, high], count)| {
            [[x, y], [x + wide, y], [x, y + high]].into_iter().take(count).collect::<Vec<_>>()
        },
    );
    (prop::sample::select(ThingKind::ALL.to_vec()), corners).prop_map(|(is, corners)| Thing {
        what: At { value: "one thing more".into(), at: 0..0 },
        is,
        corners: At { value: corners, at: 0..0 },
        engine_running: None,
    })
}

#[test]
fn one_thing_more_never_helps() {
    let least = |all: &BTreeMap<String, Found>| {
        let shares = all.iter().filter(|(id, _)| {
            ["site.fuel", "site.run", "site.room", "site.spill"].iter().any(|b| id.starts_with(b))
        });
        let shares = shares.filter_map(|(_, found)| match found {
            Found::Measured(measure) => Some(measure.share()),
            _ => None,
        });
        shares.fold(f64::INFINITY, f64::min)
    };
    let worse = Cell::new(0);
    for_random(200, thing(), |name, mut documents, thing| {
        let before = site(documents.clone());
        let ground = documents.turnaround.ground.as_mut().unwrap();
        if ground.unit.value == "m" {
            ground.things.push(thing);
        }
        let after = site(documents);
        for (id, old) in &before {
            let new = &after[id];
            if id == "site.way-out" || id.starts_with("site.walk") {
                let better = old.verdict() != Verdict::Holds && new.verdict() == Verdict::Holds;
                prop_assert!(!better, "{} {}", name, id);
            } else {
                prop_assert_eq!(old, new, "{} {}", name, id);
            }
        }
        prop_assert!(least(&after) <= least(&before), "{}", name);
        worse.set(worse.get() + usize::from(least(&after) < least(&before)));
        Ok(())
    });
    assert!(worse.get() > 10, "only {} things were the nearest", worse.get());
}

#[test]
fn an_aeroplane_that_is_moved_stands_as_one_that_was_put_there() {
    let poses =
        prop::collection::vec((prop::array::uniform2(-500.0..500.0_f64), -360.0..=360.0_f64), 1..5);
    for_random(200, poses, |_, documents, poses| {
        let (stage, choice) = stage(documents);
        let airframe = &stage.site.as_ref().unwrap().airframe;
        let mut moved = choice.parked.unwrap();
        for ([east, north], degrees) in poses {
            let [east, north] = [east, north].map(Length::from_si);
            let (at, heading) = (Point::new(east, north).unwrap(), Angle::of(degrees, unit::DEG));
            moved.put(airframe, at, heading).unwrap();
            let put = Parked::new(airframe, at, heading).unwrap();
            // Every part of it, and so by bits: both are placed by one function.
            prop_assert_eq!(&moved, &put);
            prop_assert_eq!(format!("{moved:?}"), format!("{put:?}"));
        }
        let before = moved.clone();
        for bad in [361.0, -360.5, f64::NAN, f64::INFINITY] {
            let at = Point::new(Length::from_si(1.0), Length::from_si(2.0)).unwrap();
            prop_assert!(moved.put(airframe, at, Angle::of(bad, unit::DEG)).is_err());
            prop_assert_eq!(&moved, &before, "it stays where it was");
        }
        Ok(())
    });
}
