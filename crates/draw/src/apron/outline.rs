//! What can be drawn of an outline: places that are numbers and lie on this airfield, arcs as
//! short stretches.

use std::f64::consts::TAU;

use super::{ApronPicture, Corner, Extent, Outline, Side, Spot, Walk};
use crate::plane::{Point, distance};

/// No apron is larger; what lies further off is a mistake and counts as unknown. \[m\]
const FAR: f64 = 20_000.0;
/// How far a stretch may stray from its arc. \[m\]
const STRAY: f64 = 0.02;

impl Spot {
    /// The place as a plain point, when it is one.
    pub(super) fn sound(self) -> Option<Point> {
        let near = |value: f64| value.is_finite() && value.abs() <= FAR;
        (near(self.east) && near(self.north)).then_some((self.east, self.north))
    }
}

/// Every place of a line, or none when one of them is missing.
pub(super) fn sound(spots: &[Spot]) -> Option<Vec<Point>> {
    let points: Option<Vec<_>> = spots.iter().map(|spot| spot.sound()).collect();
    points.filter(|points| !points.is_empty())
}

impl Outline {
    /// Its corners with arcs as short stretches. `None` when a place is missing or there is
    /// nothing between them.
    pub(super) fn flat(&self) -> Option<Vec<Point>> {
        let mut points = Vec::new();
        for (place, corner) in self.corners.iter().enumerate() {
            let next = self.corners.get(place + 1).or(self.corners.first())?;
            let (from, to) = (corner.at.sound()?, next.at.sound()?);
            points.push(from);
            points.extend(arc(*corner, from, to)?);
        }
        (points.len() >= 3).then_some(points)
    }
}

/// The points strictly between the ends of one side.
fn arc(corner: Corner, from: Point, to: Point) -> Option<Vec<Point>> {
    let (middle, left) = match corner.then {
        Side::Straight => return Some(Vec::new()),
        Side::Left(middle) => (middle.sound()?, true),
        Side::Right(middle) => (middle.sound()?, false),
    };
    let radius = distance(middle, from);
    let angle = |point: Point| f64::atan2(point.1 - middle.1, point.0 - middle.0);
    let turn = angle(to) - angle(from);
    let turn = if left { turn.rem_euclid(TAU) } else { turn.rem_euclid(TAU) - TAU };
    let each = 2.0 * f64::acos(1.0 - (STRAY / radius.max(STRAY)).min(1.0));
    let parts = (turn.abs() / each).ceil().clamp(1.0, 128.0) as usize;
    let points = (1..parts).map(|part| {
        let at = angle(from) + turn * part as f64 / parts as f64;
        (middle.0 + radius * f64::cos(at), middle.1 + radius * f64::sin(at))
    });
    Some(points.collect())
}

impl Extent {
    /// Its places, when all are known.
    pub(super) fn flat(&self) -> Option<Vec<Point>> {
        match self {
            Self::Spot(spot) => spot.sound().map(|point| vec![point]),
            Self::Line(spots) => sound(spots).filter(|points| points.len() >= 2),
            Self::Area(outline) => outline.flat(),
        }
    }
}

/// All that must be inside the plan: the aeroplane and what belongs to the work around it.
pub(super) fn core(picture: &ApronPicture) -> Vec<Point> {
    let mut points = Vec::new();
    let mut outline = |one: &Outline| points.extend(one.flat().unwrap_or_default());
    for zone in &picture.zones {
        outline(&zone.outline);
    }
    for spill in &picture.spills {
        outline(&spill.outline);
        spill.ring.iter().for_each(&mut outline);
    }
    if let Some(aeroplane) = &picture.aeroplane {
        aeroplane.outlines.iter().for_each(&mut outline);
        for propeller in &aeroplane.propellers {
            outline(&propeller.disc);
            propeller.margin.iter().for_each(&mut outline);
        }
    }
    if let Some(Walk::Blocked { by: Some(by), .. }) = &picture.walk {
        outline(by);
    }
    let mut spots = Vec::new();
    if let Some(aeroplane) = &picture.aeroplane {
        spots.extend(&aeroplane.wheels);
        spots.extend(&aeroplane.fillers);
        spots.extend(&aeroplane.vents);
        for door in &aeroplane.doors {
            spots.push(&door.at);
            spots.extend(&door.step);
        }
    }
    match &picture.walk {
        Some(Walk::Path { points, .. }) => spots.extend(points),
        Some(Walk::Blocked { from, to, .. }) => spots.extend(from.iter().chain(to)),
        _ => {}
    }
    spots.extend(picture.hose.iter().flat_map(|hose| &hose.points));
    for clearance in &picture.clearances {
        spots.extend(clearance.between.iter().flat_map(|(from, to)| [from, to]));
    }
    points.extend(spots.into_iter().filter_map(|spot| spot.sound()));
    points
}

/// The shape of the aeroplane alone.
pub(super) fn core_of_aeroplane(picture: &ApronPicture) -> Vec<Point> {
    let outlines = picture.aeroplane.iter().flat_map(|aeroplane| &aeroplane.outlines);
    outlines.filter_map(Outline::flat).flatten().collect()
}

/// What a close-up of the aeroplane must show.
pub(super) fn close(picture: &ApronPicture) -> Vec<Point> {
    let mut points = core_of_aeroplane(picture);
    if points.is_empty() {
        return points;
    }
    let spill = picture.spills.iter().map(|spill| &spill.outline);
    let propellers = picture.aeroplane.iter().flat_map(|aeroplane| &aeroplane.propellers);
    let margins = propellers.filter_map(|one| one.margin.as_ref());
    points.extend(spill.chain(margins).filter_map(Outline::flat).flatten());
    let mut spots: Vec<Spot> = picture.hose.iter().flat_map(|hose| hose.points.clone()).collect();
    if let Some(aeroplane) = &picture.aeroplane {
        spots.extend(aeroplane.fillers.iter().chain(&aeroplane.vents));
        spots
            .extend(aeroplane.doors.iter().flat_map(|door| door.step.into_iter().chain([door.at])));
    }
    points.extend(spots.into_iter().filter_map(Spot::sound));
    points
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plane::stretches;

    fn area(points: &[Point]) -> f64 {
        stretches(points, true).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum::<f64>() / 2.0
    }

    #[test]
    fn a_circle_is_round() {
        let points = Outline::circle(Spot::new(3.0, -2.0), 15.0).flat().unwrap();
        assert!(points.iter().all(|point| (distance((3.0, -2.0), *point) - 15.0).abs() < 1e-9));
        // pi r^2, less what the stretches cut off: at most 2 pi r times the stray.
        let full = std::f64::consts::PI * 225.0;
        let got = area(&points);
        assert!(got < full && full - got < std::f64::consts::TAU * 15.0 * STRAY, "{got}");
    }

    #[test]
    fn an_arc_turns_the_way_it_says() {
        // Half a disc of radius 2 north of its chord, or all but the half south of it.
        let half = |then| Outline {
            corners: vec![
                Corner { at: Spot::new(2.0, 0.0), then },
                Corner { at: Spot::new(-2.0, 0.0), then: Side::Straight },
            ],
        };
        let middle = Spot::new(0.0, 0.0);
        let left = half(Side::Left(middle)).flat().unwrap();
        assert!(left.iter().all(|(_, north)| *north > -1e-9));
        let right = half(Side::Right(middle)).flat().unwrap();
        assert!(right.iter().all(|(_, north)| *north < 1e-9));
    }

    #[test]
    fn a_missing_place_leaves_nothing_to_draw() {
        for wrong in [f64::NAN, f64::INFINITY, 20_000.1, -1e300] {
            let spot = Spot::new(wrong, 1.0);
            assert_eq!(spot.sound(), None);
            let good = [Spot::new(0.0, 0.0), Spot::new(9.0, 0.0), Spot::new(9.0, 9.0)];
            assert!(Outline::of(&good).flat().is_some());
            assert_eq!(Outline::of(&[good[0], good[1], spot]).flat(), None);
            assert_eq!(Outline::circle(good[0], wrong).flat(), None);
            assert_eq!(sound(&[good[0], spot]), None);
        }
        assert_eq!(Outline::default().flat(), None);
        assert_eq!(Outline::of(&[Spot::new(0.0, 0.0), Spot::new(1.0, 0.0)]).flat(), None);
        assert!(Spot::new(20_000.0, 0.0).sound().is_some());
    }
}
