//! The plan in words: for those who do not see it, and for the list beside it.

use super::{
    Aeroplane, ApronPicture, Clearance, Extent, Outline, Propeller, Spot, Thing, ThingKind, Walk,
    outline, view::View,
};
use crate::{
    ADVICE, Verdict,
    plane::{Point, Rect, distance, nearest_on, stretches},
    words::{count, known, metres_down, metres_up},
};

impl ThingKind {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::SealedBuilding => "sealed building",
            Self::UnsealedBuilding => "unsealed building",
            Self::PublicArea => "public area",
            Self::Aircraft => "aircraft",
            Self::Road => "road",
            Self::Drain => "drain",
            Self::Water => "water",
            Self::Obstacle => "obstacle",
            Self::Gate => "gate",
            Self::Extinguisher => "extinguisher",
            Self::SpillKit => "spill kit",
            Self::EmergencyStop => "emergency stop",
            Self::Drum => "drum",
            Self::Trolley => "trolley",
            Self::Bowser => "bowser",
            Self::Pump => "pump",
            Self::Person => "person",
            Self::Ignition => "ignition source",
        }
    }
}

/// The verdict that may be shown: nothing holds without its numbers.
pub(super) fn verdict(clearance: &Clearance) -> Verdict {
    let both = known(clearance.measured).is_some() && known(clearance.bound).is_some();
    clearance.verdict.given(both)
}

/// What was measured, rounded down: never more than there is.
pub(super) fn measured(clearance: &Clearance) -> Option<String> {
    metres_down(clearance.measured)
}

/// `7.2 m of 5 m`.
pub(super) fn both(clearance: &Clearance) -> String {
    let measured = measured(clearance).unwrap_or_else(|| "unknown".into());
    match metres_up(clearance.bound) {
        Some(bound) => format!("{measured} of {bound}"),
        None => format!("{measured}, bound unknown"),
    }
}

/// `hangar, sealed building`.
pub(super) fn named(thing: &Thing) -> String {
    let word = thing.kind.word();
    if thing.name.is_empty() {
        word.into()
    } else if thing.name.eq_ignore_ascii_case(word) {
        thing.name.clone()
    } else {
        format!("{}, {word}", thing.name)
    }
}

/// `nose to 250 deg`, as a pilot writes it: 360 is north.
pub(super) fn nose(aeroplane: &Aeroplane) -> String {
    degrees(aeroplane.heading)
        .map_or_else(|| "heading unknown".into(), |degrees| format!("nose to {degrees}"))
}

fn degrees(angle: Option<f64>) -> Option<String> {
    let angle = angle.filter(|angle| angle.is_finite())?.rem_euclid(360.0).round();
    let angle = if angle < 0.5 { 360.0 } else { angle };
    Some(format!("{angle:03.0} deg"))
}

/// What was given and cannot be drawn, each in words.
pub(super) fn missing(picture: &ApronPicture) -> Vec<String> {
    let mut missing = Vec::new();
    let mut look = |sound: bool, name: &str| {
        if !sound {
            missing.push(name.to_owned());
        }
    };
    let area = |outline: &Outline| outline.flat().is_some();
    let spot = |spot: &Spot| spot.sound().is_some();
    look(picture.ground.as_ref().is_none_or(area), "edge of the ground");
    match &picture.aeroplane {
        None => look(false, "the aeroplane"),
        Some(aeroplane) => {
            let outlines = &aeroplane.outlines;
            look(!outlines.is_empty() && outlines.iter().all(area), "shape of the aeroplane");
            let discs = aeroplane.propellers.iter();
            look(discs.clone().all(|one| area(&one.disc)), "propeller disc");
            let margin = |one: &Propeller| one.margin.as_ref().is_some_and(area);
            look(discs.clone().all(margin), "margin of the propeller");
            look(aeroplane.wheels.iter().all(spot), "wheel");
            look(aeroplane.fillers.iter().all(spot), "filler");
            look(aeroplane.vents.iter().all(spot), "vent");
            for door in &aeroplane.doors {
                look(spot(&door.at) && door.step.as_ref().is_none_or(spot), &door.name);
            }
        }
    }
    for zone in &picture.zones {
        look(area(&zone.outline), "fuelling zone");
    }
    for spill in &picture.spills {
        look(area(&spill.outline), "edge of the spill");
        look(spill.ring.as_ref().is_some_and(area), "where nothing is started");
    }
    if let Some(hose) = &picture.hose {
        look(outline::sound(&hose.points).is_some_and(|line| line.len() >= 2), "hose");
    }
    match &picture.walk {
        Some(Walk::Path { points, .. }) => {
            look(outline::sound(points).is_some_and(|line| line.len() >= 2), "walking path");
        }
        Some(Walk::Blocked { from, to, by, .. }) => {
            look(
                from.as_ref().is_none_or(spot) && to.as_ref().is_none_or(spot),
                "ends of the walk",
            );
            look(by.as_ref().is_none_or(area), "what blocks the walk");
        }
        _ => {}
    }
    for thing in &picture.things {
        look(thing.extent.flat().is_some(), &named(thing));
    }
    missing
}

/// Things that stand further out than the plan shows.
pub(super) fn beyond<'a>(picture: &'a ApronPicture, view: &View) -> Vec<&'a Thing> {
    let outside = |thing: &&Thing| {
        thing.extent.flat().is_some_and(|points| !view.shows(&view.all(&points), &thing.extent))
    };
    picture.things.iter().filter(outside).collect()
}

/// All that the plan shows.
pub(super) fn in_words(picture: &ApronPicture, view: &View) -> String {
    let mut said = vec![tally(picture)];
    let middle = Rect::of(outline::core_of_aeroplane(picture)).map(Rect::middle);
    said.push(match &picture.aeroplane {
        Some(aeroplane) => aeroplane_in_words(aeroplane),
        None => "The aeroplane is unknown.".into(),
    });
    for (place, clearance) in picture.clearances.iter().enumerate() {
        let word = verdict(clearance).word();
        let (number, both) = (place + 1, both(clearance));
        let drawn = if clearance.between.is_some() { "" } else { ", points unknown" };
        let Clearance { what, rule, .. } = clearance;
        said.push(format!("Clearance {number} {word}: {both}, {what}, {rule}{drawn}."));
    }
    said.extend(
        picture.hose.iter().map(|hose| format!("Hose {}: {}.", hose.verdict.word(), hose.words)),
    );
    said.extend(picture.walk.iter().map(|walk| match walk {
        Walk::Path { words, .. } => format!("Walking path: {words}."),
        Walk::Blocked { words, .. } => format!("No walking path: {words}."),
        Walk::Unknown { words } => format!("Walking path unknown: {words}."),
    }));
    for spill in &picture.spills {
        said.push(format!("Spill: {}. {}.", spill.words, spill.ring_words));
    }
    for (place, zone) in picture.zones.iter().enumerate() {
        if picture.zones[..place].iter().all(|before| before.words != zone.words) {
            said.push(format!("Zone: {}.", zone.words));
        }
    }
    said.extend(picture.things.iter().map(|thing| thing_in_words(thing, middle)));
    let missing = missing(picture);
    if !missing.is_empty() {
        said.push(format!("Place unknown, not drawn: {}.", missing.join(", ")));
    }
    let beyond: Vec<_> = beyond(picture, view).into_iter().map(named).collect();
    if !beyond.is_empty() {
        said.push(format!("Further out than drawn: {}.", beyond.join(", ")));
    }
    if picture.ground.as_ref().is_some_and(|ground| ground.flat().is_some()) {
        said.push("The edge of the ground is drawn.".into());
    }
    let wind = picture.wind.as_ref().map_or("unknown", |wind| wind.words.as_str());
    said.push(format!("Wind {wind}."));
    said.extend(picture.notes.iter().cloned());
    said.push(ADVICE.into());
    said.join(" ")
}

fn tally(picture: &ApronPicture) -> String {
    let counts = tallied(picture).into_iter().filter(|(_, number)| *number > 0);
    let counts: Vec<_> =
        counts.map(|(verdict, number)| format!("{number} {}", verdict.word())).collect();
    let none = if picture.clearances.is_empty() { " No clearances were given." } else { "" };
    if counts.is_empty() {
        format!("Plan to scale, north up.{none}")
    } else {
        format!("Plan to scale, north up. Clearances, hose and path: {}.{none}", counts.join(", "))
    }
}

/// How many verdicts of each kind the plan shows, worst first: clearances, hose and path.
pub(super) fn tallied(picture: &ApronPicture) -> [(Verdict, usize); 3] {
    let mut verdicts: Vec<_> = picture.clearances.iter().map(verdict).collect();
    verdicts.extend(picture.hose.iter().map(|hose| hose.verdict));
    verdicts.extend(picture.walk.iter().map(|walk| match walk {
        Walk::Path { .. } => Verdict::Holds,
        Walk::Blocked { .. } => Verdict::Breaks,
        Walk::Unknown { .. } => Verdict::Unknown,
    }));
    Verdict::ALL.map(|of| (of, verdicts.iter().filter(|verdict| **verdict == of).count()))
}

fn aeroplane_in_words(aeroplane: &Aeroplane) -> String {
    let mut parts = vec![nose(aeroplane)];
    for (number, one, many) in [
        (aeroplane.propellers.len(), "propeller", "propellers"),
        (aeroplane.wheels.len(), "wheel", "wheels"),
        (aeroplane.fillers.len(), "filler", "fillers"),
        (aeroplane.vents.len(), "vent", "vents"),
    ] {
        parts.push(count(number, one, many));
    }
    parts.extend(aeroplane.doors.iter().map(|door| door.name.clone()));
    format!("{}: {}.", aeroplane.name, parts.join(", "))
}

fn thing_in_words(thing: &Thing, middle: Option<Point>) -> String {
    let named = named(thing);
    let (Some(middle), Some(points)) = (middle, thing.extent.flat()) else {
        return format!("{named}.");
    };
    let closed = matches!(thing.extent, Extent::Area(_));
    let first = points.first().copied().unwrap_or(middle);
    let nearest = stretches(&points, closed).map(|(from, to)| nearest_on(from, to, middle)).fold(
        first,
        |best, one| if distance(one, middle) < distance(best, middle) { one } else { best },
    );
    let way = compass(middle, nearest);
    format!("{named}, {:.0} m {way}.", distance(middle, nearest))
}

/// The nearest of eight directions.
fn compass(from: Point, to: Point) -> &'static str {
    const WAYS: [&str; 8] =
        ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
    let angle = f64::atan2(to.0 - from.0, to.1 - from.1).to_degrees().rem_euclid(360.0);
    WAYS[((angle / 45.0).round() as usize) % WAYS.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clearance(measured: Option<f64>, bound: Option<f64>) -> Clearance {
        Clearance {
            what: "filler to hut".into(),
            between: None,
            measured,
            bound,
            rule: "rule".into(),
            verdict: Verdict::Holds,
        }
    }

    #[test]
    fn what_is_measured_rounds_down_and_what_is_wanted_up() {
        assert_eq!(both(&clearance(Some(4.99), Some(4.92))), "4.9 m of 5 m");
        assert_eq!(both(&clearance(Some(4.999_999_99), Some(5.0))), "5 m of 5 m");
    }

    #[test]
    fn nothing_holds_without_its_numbers() {
        assert_eq!(verdict(&clearance(Some(9.0), Some(5.0))), Verdict::Holds);
        for wrong in [None, Some(f64::NAN), Some(f64::INFINITY), Some(-1.0)] {
            assert_eq!(verdict(&clearance(wrong, Some(5.0))), Verdict::Unknown);
            assert_eq!(verdict(&clearance(Some(9.0), wrong)), Verdict::Unknown);
            assert_eq!(both(&clearance(wrong, Some(5.0))), "unknown of 5 m");
            assert_eq!(both(&clearance(Some(9.0), wrong)), "9 m, bound unknown");
        }
    }

    #[test]
    fn north_is_360_and_a_heading_that_is_no_number_is_unknown() {
        let nose = |heading| nose(&Aeroplane { heading, ..Aeroplane::default() });
        assert_eq!(nose(Some(0.0)), "nose to 360 deg");
        assert_eq!(nose(Some(-95.0)), "nose to 265 deg");
        assert_eq!(nose(Some(47.4)), "nose to 047 deg");
        assert_eq!(nose(Some(359.7)), "nose to 360 deg");
        assert_eq!(nose(Some(f64::NAN)), "heading unknown");
        assert_eq!(nose(None), "heading unknown");
    }

    #[test]
    fn directions_are_where_a_map_has_them() {
        let from = (0.0, 0.0);
        assert_eq!(compass(from, (0.0, 9.0)), "north");
        assert_eq!(compass(from, (9.0, 8.0)), "north-east");
        assert_eq!(compass(from, (0.1, -9.0)), "south");
        assert_eq!(compass(from, (-9.0, 0.2)), "west");
        assert_eq!(compass(from, (-0.1, 9.0)), "north");
    }
}
