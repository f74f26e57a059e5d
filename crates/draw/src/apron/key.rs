//! What each pattern, line and sign of the plan means.

use super::{ApronPicture, Extent, ThingKind, Walk, glyph, look, say, scene, view::View};
use crate::{
    Verdict, mark,
    plane::{Point, Rect, polyline},
    svg::{GREY, INK, Paint, Svg, Type},
    words::{shorten, wrap},
};

/// One look to explain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Swatch {
    Area(ThingKind),
    Line(ThingKind),
    Spot(ThingKind),
    Ground,
    Zone,
    Spill,
    NoStart,
    Hose(Verdict),
    Walk,
    Blocks,
    Filler,
    Vent,
    Door,
    Disc,
    Margin,
    Clearance(Verdict),
}

const SIZE: (f64, f64) = (28.0, 13.0);
/// Room for a swatch, before its words.
pub(super) const ROOM: f64 = 34.0;

impl Swatch {
    /// The word beside it.
    fn word(self) -> &'static str {
        match self {
            Self::Area(kind) | Self::Line(kind) | Self::Spot(kind) => kind.word(),
            Self::Ground => "edge of the ground",
            Self::Zone => "fuelling zone",
            Self::Spill => "fuel on the ground",
            Self::NoStart => "no start inside",
            Self::Hose(_) => "hose",
            Self::Walk => "walking path",
            Self::Blocks => "blocks the path",
            Self::Filler => "filler",
            Self::Vent => "vent",
            Self::Door => "door and step",
            Self::Disc => "propeller",
            Self::Margin => "its margin",
            Self::Clearance(verdict) => verdict.word(),
        }
    }

    /// Draws it with its middle at `at`.
    pub(super) fn draw(self, svg: &mut Svg, at: Point) {
        let rect = Rect::around(at, SIZE);
        let corners = [
            (rect.left, rect.top),
            (rect.right, rect.top),
            (rect.right, rect.bottom),
            (rect.left, rect.bottom),
        ];
        let line = [(rect.left, at.1), (rect.right, at.1)];
        let frame = rect.grown(4.0);
        let mut area = |look: look::Look| look.area(svg, &corners, frame);
        match self {
            Self::Area(kind) => area(kind.look()),
            Self::Ground => area(look::GROUND),
            Self::Zone => {
                area(look::ZONE_GROUND);
                area(look::ZONE);
            }
            Self::Spill => area(look::SPILL),
            Self::NoStart => svg.path(&polyline(&line), look::NO_START_EDGE),
            Self::Disc => area(look::DISC),
            Self::Margin => area(look::MARGIN),
            Self::Blocks => area(look::BLOCKS),
            Self::Line(kind) => kind.line(svg, &line, frame),
            Self::Spot(kind) => glyph::glyph(svg, kind, at),
            Self::Hose(verdict) => scene::hose_line(svg, &polyline(&line), verdict),
            Self::Walk => look::walk(svg, &polyline(&line)),
            Self::Filler => scene::filler(svg, at),
            Self::Vent => scene::vent(svg, at),
            Self::Door => scene::door(svg, (at.0 - 7.0, at.1), Some((at.0 + 7.0, at.1))),
            Self::Clearance(verdict) => mark::dimension(svg, verdict, (line[0], line[1]), frame),
        }
    }
}

/// Every look that this plan uses, once.
fn used(picture: &ApronPicture, view: &View) -> Vec<Swatch> {
    let mut used: Vec<Swatch> = Vec::new();
    let mut add = |swatch, present: bool| {
        if present && !used.contains(&swatch) {
            used.push(swatch);
        }
    };
    for verdict in Verdict::ALL {
        let any = picture.clearances.iter().any(|one| say::verdict(one) == verdict);
        add(Swatch::Clearance(verdict), any);
    }
    if let Some(aeroplane) = &picture.aeroplane {
        add(Swatch::Filler, !aeroplane.fillers.is_empty());
        add(Swatch::Vent, !aeroplane.vents.is_empty());
        add(Swatch::Door, !aeroplane.doors.is_empty());
        add(Swatch::Disc, !aeroplane.propellers.is_empty());
        add(Swatch::Margin, aeroplane.propellers.iter().any(|one| one.margin.is_some()));
    }
    add(Swatch::Zone, !picture.zones.is_empty());
    let mut kinds: Vec<_> = picture.things.iter().collect();
    kinds.sort_by_key(|thing| thing.kind);
    let shown = |thing: &&super::Thing| {
        let points = thing.extent.flat().map(|points| view.all(&points));
        points.is_some_and(|points| view.shows(&points, &thing.extent))
    };
    for thing in kinds.into_iter().filter(shown) {
        let swatch = match thing.extent {
            Extent::Area(_) => Swatch::Area(thing.kind),
            Extent::Line(_) => Swatch::Line(thing.kind),
            Extent::Spot(_) => Swatch::Spot(thing.kind),
        };
        add(swatch, true);
    }
    if let Some(Walk::Blocked { by: Some(_), .. }) = picture.walk {
        add(Swatch::Blocks, true);
    }
    add(Swatch::Ground, picture.ground.is_some());
    used
}

const WORDS: Type = Type::plain(10.5);
const SMALL: Type = Type::plain(10.5).colour(GREY);
const STEP: f64 = 20.0;
const CELL: f64 = 138.0;
const LINE: f64 = 13.0;
const READING: &str = "Outlines, lines and circles are to scale; signs are larger than what they \
    stand for. Numbers are clearances, in the list; letters are names. Measured is rounded down.";

fn columns(width: f64) -> usize {
    ((width / CELL).floor() as usize).max(1)
}

pub(super) fn height(picture: &ApronPicture, view: &View, width: f64) -> f64 {
    let rows = used(picture, view).len().div_ceil(columns(width));
    14.0 + STEP * rows as f64 + LINE * wrap(READING, width, SMALL, 6).len() as f64 + 8.0
}

pub(super) fn draw(
    svg: &mut Svg,
    picture: &ApronPicture,
    view: &View,
    (x, top): Point,
    width: f64,
) {
    svg.line((x, top), (x + width, top), Paint::line(INK, 1.0));
    let (used, columns) = (used(picture, view), columns(width));
    let cell = width / columns as f64;
    for (place, swatch) in used.iter().enumerate() {
        let left = x + cell * (place % columns) as f64;
        let middle = top + 16.0 + STEP * (place / columns) as f64;
        swatch.draw(svg, (left + SIZE.0 / 2.0 + 1.0, middle));
        let words = shorten(swatch.word(), cell - ROOM - 2.0, WORDS);
        svg.words((left + ROOM, middle + 3.8), WORDS, &words);
    }
    let rows = used.len().div_ceil(columns) as f64;
    let at = (x, top + 14.0 + STEP * rows + 9.0);
    svg.lines(at, LINE, SMALL, &wrap(READING, width, SMALL, 6));
}
