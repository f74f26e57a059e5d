//! Every distance of every demonstration turnaround against `geo`, from the documents on: their
//! own units, their own placing, their own table of what keeps clear of what.

use std::f64::consts::TAU;

use geo::{Coord, Distance, Euclidean, Geometry, LineString, Point, Polygon};
use stillprop_calc::{
    plane,
    quantity::{Angle, FromAmount},
    unit::{DEG, M, Unit},
};
use stillprop_turnaround::{
    assess::ground::ground,
    document::{
        ground::{Thing, ThingKind},
        turnaround::Method,
    },
    site::Parked,
};

use super::*;

/// A geometry and how far it reaches beyond itself.
struct Ground(Geometry, f64);

impl Ground {
    fn apart(&self, other: &Self) -> f64 {
        (Euclidean.distance(&self.0, &other.0) - self.1 - other.1).max(0.0)
    }
}

fn metres(unit: &str) -> f64 {
    Unit::named(unit).unwrap().si_of(1.0)
}

fn spot([x, y]: [f64; 2], scale: f64) -> Coord {
    Coord { x: x * scale, y: y * scale }
}

fn area(corners: Vec<Coord>) -> Geometry {
    Polygon::new(LineString::new(corners), vec![]).into()
}

fn ground_of(thing: &Thing, scale: f64) -> Ground {
    let corners: Vec<Coord> = thing.corners.value.iter().map(|at| spot(*at, scale)).collect();
    Ground(
        match corners.as_slice() {
            [only] => Point(*only).into(),
            _ if corners.len() == 2 || thing.is == ThingKind::Drain => {
                LineString::new(corners).into()
            }
            _ => area(corners),
        },
        0.0,
    )
}

/// What a document says of an aeroplane that stands at a place: outlets and outline.
fn placed(documents: &Documents, at: Coord, heading: f64) -> (Vec<Ground>, Vec<Ground>) {
    let shape = documents.aircraft.shape.as_ref().unwrap();
    let scale = metres(&shape.unit.value);
    // Forward and right; the nose points to `heading`, clockwise from north.
    let put = |[forward, right]: [f64; 2]| Coord {
        x: at.x + scale * (forward * heading.sin() + right * (heading + TAU / 4.0).sin()),
        y: at.y + scale * (forward * heading.cos() + right * (heading + TAU / 4.0).cos()),
    };
    let point = |at| Ground(Point(put(at)).into(), 0.0);
    let openings = shape.fillers.iter().chain(&shape.vents);
    let mut outlets: Vec<Ground> = openings.map(|opening| point(opening.at.value)).collect();
    let today = documents.turnaround.ground.as_ref().unwrap();
    let source = today.source.iter();
    outlets.extend(
        source.map(|source| {
            Ground(Point(spot(source.at.value, metres(&today.unit.value))).into(), 0.0)
        }),
    );
    let part = |part: &stillprop_turnaround::document::ground::Part| {
        Ground(area(part.corners.value.iter().map(|corner| put(*corner)).collect()), 0.0)
    };
    let mut outline: Vec<Ground> = shape.parts.iter().map(part).collect();
    outline.extend(shape.propellers.iter().map(|propeller| {
        Ground(point(propeller.at.value).0, propeller.diameter.value.value / 2.0)
    }));
    (outlets, outline)
}

/// Each demanded distance by the name of its limit.
fn demanded(documents: &Documents, at: Coord, heading: f64) -> BTreeMap<String, f64> {
    use ThingKind as K;
    let (outlets, outline) = placed(documents, at, heading);
    let least = |from: &[Ground], to: &Ground| {
        from.iter().map(|each| each.apart(to)).fold(f64::INFINITY, f64::min)
    };
    let apron = documents.strip.apron.as_ref().unwrap();
    let today = documents.turnaround.ground.as_ref().unwrap();
    let fuelling = documents.turnaround.fuel.method != Some(Method::None);
    let always = apron.things.iter().map(|thing| (thing, metres(&apron.unit.value)));
    let things = always.chain(today.things.iter().map(|t| (t, metres(&today.unit.value))));
    let mut all = BTreeMap::new();
    for (thing, scale) in things {
        let to = ground_of(thing, scale);
        let id = |need: &str| format!("site.{need}.{}", thing.what.value.replace(' ', "-"));
        if fuelling && thing.is != K::Obstacle {
            all.insert(id("fuel"), least(&outlets, &to));
        }
        let building = matches!(thing.is, K::SealedBuilding | K::UnsealedBuilding | K::Aircraft);
        if building || matches!(thing.is, K::PublicArea | K::Person) {
            all.insert(id("run"), least(&outline, &to));
        }
        if building || thing.is == K::Obstacle {
            all.insert(id("room"), least(&outline, &to));
        }
    }
    for spill in today.spills.iter().filter(|spill| !spill.cleaned) {
        let middle = Point(spot(spill.at.value, metres(&today.unit.value)));
        let across = spill.across.as_ref().unwrap().value.value;
        let id = format!("site.spill.{}", spill.what.value.replace(' ', "-"));
        all.insert(id, least(&outline, &Ground(middle.into(), across / 2.0)));
    }
    all
}

/// Compares every distance of a choice; returns how many there were and how many met.
fn compare(name: &str, stage: &Stage, choice: &Choice) -> (usize, usize) {
    let parked = choice.parked.as_ref().unwrap();
    let at = Coord { x: parked.at.east().value, y: parked.at.north().value };
    let wanted = demanded(&stage.documents, at, parked.heading.value);
    let view = ground(stage, choice).unwrap();
    let names: Vec<_> = view.clearances.iter().map(|each| each.id.clone()).collect();
    assert_eq!(names.len(), wanted.len(), "{name}: {names:?} and {:?}", wanted.keys());
    let mut met = 0;
    for each in &view.clearances {
        let (found, want) = (each.measured.unwrap().value, wanted[&each.id]);
        assert!((found - want).abs() < 1e-9, "{name}, {}: {found} and {want}", each.id);
        let (from, to) = each.between.unwrap();
        assert!((from.distance(to).value - found).abs() < 1e-9, "{name}, {}", each.id);
        met += usize::from(want <= 0.0);
    }
    (wanted.len(), met)
}

#[test]
fn every_distance_of_the_demonstration_is_what_another_library_finds() {
    let mut compared = 0;
    for name in PARKED {
        let (stage, choice) = stage(documents(name));
        compared += compare(name, &stage, &choice).0;
    }
    assert!(compared >= 80, "only {compared}");
}

#[test]
fn so_is_every_distance_of_a_thousand_other_places() {
    let (mut compared, mut met) = (0, 0);
    // Low-discrepancy, so that near and far places are tried alike; the same in every run.
    let share = |n: usize, step: f64| (n as f64 * step).fract();
    for name in PARKED {
        let (stage, mut choice) = stage(documents(name));
        let airframe = &stage.site.as_ref().unwrap().airframe;
        for n in 0..130 {
            let [east, north] =
                [0.754_877_666, 0.569_840_291].map(|step| 60.0 * share(n, step) - 30.0);
            let [east, north] = [east, north].map(|metres| FromAmount::of(metres, M));
            let heading = Angle::of(360.0 * share(n, 0.618_033_989), DEG);
            let at = plane::Point::new(east, north).unwrap();
            choice.parked = Some(Parked::new(airframe, at, heading).unwrap());
            let (of_this, touching) = compare(name, &stage, &choice);
            (compared, met) = (compared + of_this, met + touching);
        }
    }
    assert!(compared > 10_000 && met > 100, "{compared} compared, {met} met");
}
