//! Everything on the plan that has a place, drawn to scale, from the ground up.

use super::{Aeroplane, ApronPicture, Extent, Spot, ThingKind, Walk, glyph, look, view::View};
use crate::{
    Verdict,
    board::{Board, around, leader},
    mark,
    plane::{Point, Rect, between, distance, path_inside},
    svg::{GREY, INK, PAPER, Paint, Path, Svg},
};

/// What is drawn on, and what is left free for words.
pub(super) struct Canvas<'a> {
    pub(super) svg: &'a mut Svg,
    pub(super) board: &'a mut Board,
    pub(super) view: View,
    /// What a close-up shows better: signs, fittings and the hose are left out there.
    pub(super) close_up: Option<Rect>,
}

impl Canvas<'_> {
    /// Where a place lies, when all of what is drawn there is inside the plan.
    fn inside(&self, spot: Spot, reach: f64) -> Option<Point> {
        self.view.spot(spot).filter(|at| self.view.frame.grown(-reach).holds(*at))
    }
}

/// Draws the scene. Words and clearances come later, on top.
pub(super) fn scene(canvas: &mut Canvas<'_>, picture: &ApronPicture) {
    let frame = canvas.view.frame;
    canvas.svg.plan(frame, canvas.view.scale, canvas.view.middle);
    if let Some(ground) = picture.ground.as_ref().and_then(|ground| canvas.view.area(ground)) {
        look::GROUND.area(canvas.svg, &ground, frame);
        canvas.board.ink(&ground, true, 1);
    }
    zones(canvas, picture);
    things(canvas, picture);
    spill(canvas, picture);
    if let Some(Walk::Blocked { by: Some(by), .. }) = &picture.walk
        && let Some(points) = canvas.view.area(by)
    {
        look::BLOCKS.area(canvas.svg, &points, frame);
        canvas.board.ink(&points, true, 3);
    }
    if let Some(aeroplane) = &picture.aeroplane {
        draw_aeroplane(canvas, aeroplane);
    }
    for points in picture.spills.iter().filter_map(|one| canvas.view.area(&one.outline)) {
        look::SPILL_BELOW.area(canvas.svg, &points, frame);
    }
    if canvas.close_up.is_none() {
        hose(canvas, picture);
    }
    walk(canvas, picture);
    if let Some(aeroplane) = picture.aeroplane.as_ref().filter(|_| canvas.close_up.is_none()) {
        fittings(canvas, aeroplane);
    }
    if let Some(close) = canvas.close_up {
        let edge = Paint::line(GREY, 1.2).dashed("2 2");
        let close = close.shared(frame.grown(-2.0)).unwrap_or(close);
        canvas.svg.rect((close.left, close.top), (close.width(), close.height()), 0.0, edge);
    }
    let edge = Paint::line(INK, 1.0);
    canvas.svg.rect((frame.left, frame.top), (frame.width(), frame.height()), 0.0, edge);
}

fn zones(canvas: &mut Canvas<'_>, picture: &ApronPicture) {
    let view = canvas.view;
    let areas: Vec<_> = picture.zones.iter().filter_map(|zone| view.area(&zone.outline)).collect();
    for look in [look::ZONE_GROUND, look::ZONE] {
        for points in &areas {
            look.area(canvas.svg, points, view.frame);
            canvas.board.ink(points, true, 1);
        }
    }
}

/// Areas that lie flat first, then what stands on them.
fn things(canvas: &mut Canvas<'_>, picture: &ApronPicture) {
    let flat = |kind| {
        use ThingKind::{Drain, PublicArea, Road, Water};
        matches!(kind, Drain | PublicArea | Road | Water)
    };
    let (lying, standing): (Vec<_>, Vec<_>) =
        picture.things.iter().partition(|thing| flat(thing.kind));
    for thing in lying.into_iter().chain(standing) {
        let Some(points) = thing.extent.flat().map(|points| canvas.view.all(&points)) else {
            continue;
        };
        match thing.extent {
            Extent::Spot(_) => {}
            Extent::Line(_) => {
                thing.kind.line(canvas.svg, &points, canvas.view.frame);
                canvas.board.ink(&points, false, 2);
            }
            Extent::Area(_) => {
                thing.kind.look().area(canvas.svg, &points, canvas.view.frame);
                canvas.board.ink(&points, true, 2);
            }
        }
    }
}

fn spill(canvas: &mut Canvas<'_>, picture: &ApronPicture) {
    for spill in &picture.spills {
        if let Some(points) = canvas.view.area(&spill.outline) {
            look::SPILL.area(canvas.svg, &points, canvas.view.frame);
            canvas.board.ink(&points, true, 2);
        }
        if let Some(points) = spill.ring.as_ref().and_then(|ring| canvas.view.area(ring)) {
            look::NO_START.area(canvas.svg, &points, canvas.view.frame);
            canvas.board.ink(&points, true, 2);
        }
    }
}

fn draw_aeroplane(canvas: &mut Canvas<'_>, aeroplane: &Aeroplane) {
    let view = canvas.view;
    let margins = aeroplane.propellers.iter().filter_map(|one| one.margin.as_ref());
    let discs = aeroplane.propellers.iter().map(|one| &one.disc);
    let layers = margins.map(|one| (one, look::MARGIN, 3));
    let layers = layers.chain(aeroplane.outlines.iter().map(|one| (one, look::AEROPLANE, 4)));
    for (outline, look, weight) in layers.chain(discs.map(|one| (one, look::DISC, 4))) {
        if let Some(points) = view.area(outline) {
            look.area(canvas.svg, &points, view.frame);
            canvas.board.ink(&points, true, weight);
        }
    }
    let wheel = (0.22 * view.scale).clamp(1.6, 6.0);
    for spot in &aeroplane.wheels {
        let Some(at) = canvas.inside(*spot, wheel) else { continue };
        canvas.svg.circle(at, wheel, Paint::fill(INK));
        canvas.board.ink(&[at], false, 4);
    }
}

/// What people and fuel go through: above all lines, and never below words.
fn fittings(canvas: &mut Canvas<'_>, aeroplane: &Aeroplane) {
    for spot in &aeroplane.vents {
        let Some(at) = canvas.inside(*spot, 5.0) else { continue };
        vent(canvas.svg, at);
        canvas.board.take(Rect::around(at, (8.0, 8.0)));
    }
    for spot in &aeroplane.fillers {
        let Some(at) = canvas.inside(*spot, 5.0) else { continue };
        filler(canvas.svg, at);
        canvas.board.take(Rect::around(at, (10.0, 10.0)));
    }
    for one in &aeroplane.doors {
        let Some(at) = canvas.inside(one.at, 4.0) else { continue };
        let step = one.step.and_then(|step| canvas.inside(step, 4.0));
        door(canvas.svg, at, step);
        canvas.board.take(Rect::around(at, (8.0, 8.0)));
        if let Some(step) = step {
            canvas.board.take(Rect::around(step, (7.0, 7.0)));
        }
    }
}

pub(super) fn filler(svg: &mut Svg, at: Point) {
    svg.circle(at, 4.4, Paint::line(INK, 1.6).filled(PAPER));
    svg.circle(at, 1.8, Paint::fill(INK));
}

pub(super) fn vent(svg: &mut Svg, (x, y): Point) {
    let triangle = Path::from(x, y - 4.0).line(x + 3.8, y + 3.0).line(x - 3.8, y + 3.0).close();
    svg.path(&triangle, Paint::line(INK, 1.3).filled(PAPER));
}

pub(super) fn door(svg: &mut Svg, at: Point, step: Option<Point>) {
    if let Some(step) = step {
        svg.line(at, step, Paint::line(look::WAY, 1.4));
        svg.rect(
            (step.0 - 3.0, step.1 - 3.0),
            (6.0, 6.0),
            0.0,
            Paint::line(look::WAY, 1.4).filled(PAPER),
        );
    }
    svg.rect((at.0 - 3.5, at.1 - 3.5), (7.0, 7.0), 0.0, Paint::line(PAPER, 1.0).filled(look::WAY));
}

fn hose(canvas: &mut Canvas<'_>, picture: &ApronPicture) {
    let Some(hose) = &picture.hose else { return };
    let Some(points) = canvas.view.line(&hose.points).filter(|points| points.len() >= 2) else {
        return;
    };
    hose_line(canvas.svg, &path_inside(&points, false, canvas.view.frame), hose.verdict);
    canvas.board.ink(&points, false, 3);
}

/// Two edges with nothing between; in the line of its verdict where it is not known to reach.
pub(super) fn hose_line(svg: &mut Svg, path: &Path, verdict: Verdict) {
    let edge = if verdict == Verdict::Holds { Paint::line(INK, 1.0) } else { verdict.line() };
    svg.path(path, edge.wide(5.4));
    svg.path(path, Paint::line(PAPER, 2.4));
}

fn walk(canvas: &mut Canvas<'_>, picture: &ApronPicture) {
    match &picture.walk {
        Some(Walk::Path { points, .. }) => {
            let Some(points) = canvas.view.line(points).filter(|points| points.len() >= 2) else {
                return;
            };
            let path = path_inside(&points, false, canvas.view.frame);
            if !path.is_empty() {
                look::walk(canvas.svg, &path);
            }
            canvas.board.ink(&points, false, 8);
            if let [.., from, to] = points[..] {
                // Short of the door, so that both can be seen.
                let tip = between(to, from, (6.0 / distance(from, to).max(6.0)).min(0.5));
                if canvas.view.frame.grown(-12.0).holds(tip) {
                    canvas.svg.path(&mark::head(from, tip, 10.0), Paint::fill(look::WAY));
                }
            }
        }
        Some(Walk::Blocked { from, to, .. }) => {
            for spot in from.iter().chain(to) {
                let Some(at) = canvas.inside(*spot, 11.0) else { continue };
                canvas.svg.circle(
                    at,
                    9.5,
                    Paint::line(Verdict::Breaks.colour(), 2.0).dashed("3 2"),
                );
            }
        }
        _ => {}
    }
}

/// Signs of what is small. Where two would lie over one another the later one stands aside, with
/// a line to its place. Returns what found no room.
pub(super) fn signs(canvas: &mut Canvas<'_>, picture: &ApronPicture) -> Vec<usize> {
    let mut crowded = Vec::new();
    for (place, thing) in picture.things.iter().enumerate() {
        let Extent::Spot(spot) = thing.extent else { continue };
        let Some(at) = canvas.view.spot(spot).filter(|at| canvas.view.frame.holds(*at)) else {
            continue;
        };
        if canvas.close_up.is_some_and(|close| close.holds(at)) {
            continue;
        }
        let size = (2.0 * glyph::HALF, 2.0 * glyph::HALF);
        let places = [(at, -40.0)].into_iter().chain(around(at, size, 2.0, 44.0));
        let Some(rect) = canvas.board.place(size, places, f64::INFINITY) else {
            crowded.push(place);
            continue;
        };
        if let Some((from, to)) = leader(rect, at, 0.5) {
            canvas.svg.line(from, to, Paint::line(GREY, 1.0));
            canvas.svg.circle(to, 1.8, Paint::fill(INK));
        }
        glyph::glyph(canvas.svg, thing.kind, rect.middle());
    }
    crowded
}
