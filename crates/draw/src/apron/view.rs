//! Which part of the ground is shown, and how large.

use super::{ApronPicture, Extent, Outline, Spot, outline};
use crate::plane::{Point, Rect, clip, clip_area, distance, nearest_on, stretches};

/// Free space between what is drawn and the edge of the plan. \[px\]
const PAD: f64 = 18.0;
/// Nothing is shown larger than this many metres across would be. \[m\]
const LEAST: f64 = 8.0;

/// Below this an aeroplane is too small to see who stands where. \[px/m\]
const SMALL: f64 = 9.0;
/// What stands this near to the aeroplane is in its close-up. \[m\]
const BESIDE: f64 = 4.0;

/// From metres to the sheet.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
    pub(super) frame: Rect,
    /// Pixels for one metre.
    pub(super) scale: f64,
    /// The place in metres that lies in the middle of the frame.
    pub(super) middle: Point,
}

impl View {
    /// Fits what must be seen into `width` and at most `highest`, with its corner at `at`.
    pub(super) fn new(picture: &ApronPicture, at: Point, width: f64, highest: f64) -> Self {
        let shown = shown(picture).unwrap_or(Rect::around((0.0, 0.0), (30.0, 20.0)));
        Self::of(shown, at, width, highest)
    }

    /// The aeroplane alone with what stands right beside it, for a plan on which it is small.
    pub(super) fn close_up(
        &self,
        picture: &ApronPicture,
        at: Point,
        width: f64,
        highest: f64,
    ) -> Option<Self> {
        let shown = Rect::of(outline::close(picture))?;
        let spots = picture.things.iter().filter_map(|thing| match thing.extent {
            Extent::Spot(spot) => spot.sound(),
            _ => None,
        });
        let beside = spots.filter(|spot| shown.grown(BESIDE).holds(*spot));
        let shown = Rect::of(beside).map_or(shown, |spots| shown.with(spots)).grown(0.5);
        let close = Self::of(shown, at, width, highest);
        (self.scale < SMALL && close.scale > 1.5 * self.scale).then_some(close)
    }

    fn of(shown: Rect, at: Point, width: f64, highest: f64) -> Self {
        let (across, down) = (shown.width().max(LEAST), shown.height().max(LEAST));
        let scale = f64::min((width - 2.0 * PAD) / across, (highest - 2.0 * PAD) / down);
        let height = (down * scale + 2.0 * PAD).clamp(width * 0.5, highest);
        let frame = Rect { left: at.0, top: at.1, right: at.0 + width, bottom: at.1 + height };
        Self { frame, scale, middle: shown.middle() }
    }

    /// Where a place in metres lies on the sheet.
    pub(super) fn at(&self, (east, north): Point) -> Point {
        let (x, y) = self.frame.middle();
        (x + (east - self.middle.0) * self.scale, y - (north - self.middle.1) * self.scale)
    }

    /// Where the whole of another view lies in this one.
    pub(super) fn seen(&self, other: &Self) -> Rect {
        let share = self.scale / other.scale;
        let size = (other.frame.width() * share, other.frame.height() * share);
        Rect::around(self.at(other.middle), size)
    }

    pub(super) fn all(&self, points: &[Point]) -> Vec<Point> {
        points.iter().map(|point| self.at(*point)).collect()
    }

    pub(super) fn spot(&self, spot: Spot) -> Option<Point> {
        spot.sound().map(|point| self.at(point))
    }

    pub(super) fn line(&self, spots: &[Spot]) -> Option<Vec<Point>> {
        outline::sound(spots).map(|points| self.all(&points))
    }

    pub(super) fn area(&self, outline: &Outline) -> Option<Vec<Point>> {
        outline.flat().map(|points| self.all(&points))
    }

    /// True when any of it can be seen.
    pub(super) fn shows(&self, points: &[Point], extent: &Extent) -> bool {
        let closed = matches!(extent, Extent::Area(_));
        points.iter().any(|point| self.frame.holds(*point))
            || stretches(points, closed).any(|(from, to)| clip(from, to, self.frame).is_some())
            || closed && clip_area(points, self.frame).len() >= 3
    }
}

/// The part of the ground to show: all of the work around the aeroplane, the nearest point of
/// whatever stands not much further off than the work is wide, and all of it where it ends
/// close by. A river, road or long hangar goes on past the edge, so that the aeroplane stays
/// large.
fn shown(picture: &ApronPicture) -> Option<Rect> {
    let things: Vec<_> = picture.things.iter().filter_map(|thing| thing.extent.flat()).collect();
    let Some(core) = Rect::of(outline::core(picture)) else {
        let ground = picture.ground.iter().filter_map(Outline::flat).flatten();
        return Rect::of(things.into_iter().flatten().chain(ground));
    };
    let size = core.width().max(core.height());
    let (close, near) = (core.grown(f64::max(4.0, size * 0.12)), core.grown(size.max(20.0)));
    let whole = core.grown(f64::max(8.0, size * 0.3));
    let mut shown = core;
    for points in things {
        let nearest = nearest(&points, core);
        if near.holds(nearest) {
            shown = shown.with(Rect::around(nearest, (1.0, 1.0)));
            let all = Rect::of(points);
            let ends = all.filter(|all| whole.covers(*all));
            if let Some(part) = ends.or_else(|| all?.shared(close)) {
                shown = shown.with(part);
            }
        }
    }
    Some(shown)
}

/// The point of a thing nearest to the middle of a box.
fn nearest(points: &[Point], core: Rect) -> Point {
    let middle = core.middle();
    let first = points.first().copied().unwrap_or(middle);
    let near = stretches(points, true).map(|(from, to)| nearest_on(from, to, middle));
    near.fold(
        first,
        |best, one| {
            if distance(one, middle) < distance(best, middle) { one } else { best }
        },
    )
}

#[cfg(test)]
mod tests {
    use super::super::{Aeroplane, Thing, ThingKind};
    use super::*;

    fn stand(things: Vec<Thing>) -> ApronPicture {
        let wing = [(-5.0, 0.0), (5.0, 0.0), (5.0, 1.5), (-5.0, 1.5)];
        let wing: Vec<_> = wing.iter().map(|(east, north)| Spot::new(*east, *north)).collect();
        ApronPicture {
            aeroplane: Some(Aeroplane {
                outlines: vec![Outline::of(&wing)],
                ..Aeroplane::default()
            }),
            things,
            ..ApronPicture::default()
        }
    }

    fn hut(east: f64) -> Thing {
        let corners = [(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)];
        let corners: Vec<_> =
            corners.iter().map(|(x, north)| Spot::new(east + x, *north)).collect();
        Thing {
            kind: ThingKind::SealedBuilding,
            name: "hut".into(),
            extent: Extent::Area(Outline::of(&corners)),
        }
    }

    #[test]
    fn one_metre_is_as_long_across_as_down_and_north_is_up() {
        let view = View::new(&stand(vec![hut(9.0)]), (10.0, 60.0), 370.0, 400.0);
        let (origin, east, north) = (view.at((0.0, 0.0)), view.at((1.0, 0.0)), view.at((0.0, 1.0)));
        assert!((east.0 - origin.0 - view.scale).abs() < 1e-9);
        assert!((origin.1 - north.1 - view.scale).abs() < 1e-9);
        assert!(view.frame.covers(Rect::of([view.at((13.0, 3.0)), view.at((-5.0, 0.0))]).unwrap()));
    }

    #[test]
    fn what_stands_far_off_does_not_make_the_aeroplane_small() {
        let near = View::new(&stand(vec![hut(9.0)]), (0.0, 0.0), 370.0, 400.0);
        let both = View::new(&stand(vec![hut(9.0), hut(900.0)]), (0.0, 0.0), 370.0, 400.0);
        assert!((near.scale - both.scale).abs() < 1e-9);
        let extent = hut(900.0).extent;
        assert!(!both.shows(&both.all(&extent.flat().unwrap()), &extent));
    }

    #[test]
    fn nothing_to_show_still_gives_a_plan() {
        let view = View::new(&ApronPicture::default(), (0.0, 0.0), 370.0, 400.0);
        assert!(view.scale.is_finite() && view.scale > 0.0);
    }
}
