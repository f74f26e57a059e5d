//! Where each box and line of a trace stands.
//!
//! Containers are the backbone: they are stacked, cut into parts, and everything else is
//! placed level with what it is joined to.

use std::collections::{BTreeMap, BTreeSet};

use super::{Flow, Graph, Mark, StopKind, TracePicture};
use crate::{
    Width,
    svg::Type,
    words::{litres_moved, shorten, wrap},
};

/// Sizes that differ between a phone and a wide screen.
#[derive(Clone, Copy, Debug)]
pub(super) struct Measures {
    pub(super) edge: f64,
    column: f64,
    gap: f64,
    name: f64,
    small: f64,
    /// From one line of text to the next.
    pub(super) step: f64,
}

impl Measures {
    pub(super) fn of(width: Width) -> Self {
        let wide = width.pixels() >= 600.0;
        let (edge, name, small, step) =
            if wide { (16.0, 13.0, 12.0, 16.0) } else { (6.0, 10.5, 10.0, 13.0) };
        let inner = width.pixels() - 2.0 * edge;
        // Lines need room to cross, words need more.
        let gap = inner * 0.07;
        Self { edge, column: (inner - 3.0 * gap) / 4.0, gap, name, small, step }
    }

    pub(super) fn left(self, kind: StopKind) -> f64 {
        self.edge + (self.column + self.gap) * kind.column() as f64
    }

    pub(super) fn column(self) -> f64 {
        self.column
    }

    /// The name in a box.
    pub(super) const fn name(self) -> Type {
        Type::bold(self.name)
    }

    /// Everything else in a box.
    pub(super) const fn small(self) -> Type {
        Type::plain(self.small)
    }

    /// The same where fuel was recalled, and on strips.
    pub(super) const fn strong(self) -> Type {
        Type::bold(self.small)
    }

    fn room(self) -> f64 {
        self.column - 2.0 * PAD
    }
}

pub(super) const PAD: f64 = 5.0;
/// Between two boxes of one column.
const BETWEEN: f64 = 9.0;
/// Above the boxes: the name of the part and of the columns.
pub(super) const HEAD: f64 = 40.0;
/// A part is cut when its containers or flights would be higher, so that it fits a phone and a sheet.
const MOST: f64 = 520.0;

/// A piece of the picture that can be read alone.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub(super) boxes: Vec<StopBox>,
    /// With its head.
    pub(super) height: f64,
}

/// A stop as drawn; `y` counts from the top of its part.
#[derive(Clone, Debug)]
pub(super) struct StopBox {
    pub(super) stop: usize,
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) height: f64,
    pub(super) mark: Mark,
    pub(super) name: Vec<String>,
    pub(super) note: Vec<String>,
    pub(super) inflows: Vec<Inflow>,
}

/// What came in, with the line it came along.
#[derive(Clone, Debug)]
pub(super) struct Inflow {
    pub(super) flow: Flow,
    pub(super) recalled: bool,
    pub(super) words: Vec<String>,
    /// Height of its first words, from the top of the box.
    pub(super) port: f64,
    /// Where its line begins; none when it came from a container, which words tell.
    pub(super) start: Option<(f64, f64)>,
}

impl StopBox {
    fn middle(&self) -> f64 {
        self.y + self.height / 2.0
    }
}

/// Lays the trace out, part by part.
pub(super) fn parts(picture: &TracePicture, graph: &Graph, width: Width) -> Vec<Part> {
    let measures = Measures::of(width);
    let homes = homes(picture, graph, measures);
    let last = homes.values().copied().max().unwrap_or(0);
    let shared = (0..=last).map(|part| members(picture, graph, &homes, part));
    let mut members: Vec<Members> = shared.collect();
    // Whatever nothing is joined to still shows.
    let shown: BTreeSet<usize> = members.iter().flat_map(|part| part.stops.clone()).collect();
    if let Some(first) = members.first_mut() {
        first.stops.extend((0..picture.stops.len()).filter(|stop| !shown.contains(stop)));
    }
    name_the_rest(picture, &mut members);
    members.iter().map(|part| lay_out(picture, graph, measures, part)).collect()
}

/// A flight that took fuel in several parts says where the rest is.
fn name_the_rest(picture: &TracePicture, members: &mut [Members]) {
    let mut parts_of: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (part, here) in members.iter().enumerate() {
        for &stop in here.stops.iter().filter(|stop| kind_of(picture, **stop) == StopKind::Flight) {
            parts_of.entry(stop).or_default().push(part);
        }
    }
    for (part, here) in members.iter_mut().enumerate() {
        for stop in here.stops.clone() {
            let parts = parts_of.get(&stop).into_iter().flatten();
            let other: Vec<_> =
                parts.filter(|at| **at != part).map(|at| (at + 1).to_string()).collect();
            if !other.is_empty() {
                here.rest.insert(stop, format!("also part {}", other.join(", ")));
            }
        }
    }
}

/// Containers of one batch side by side, so that its lines do not cross another's.
fn rank(picture: &TracePicture, graph: &Graph, place: usize) -> (usize, usize) {
    let sources = graph.into(place).map(|(_, flow)| flow.from);
    let upstream = sources.filter(|&from| kind_of(picture, from) < StopKind::Container);
    (upstream.min().unwrap_or(usize::MAX), place)
}

/// The part each container stands in.
fn homes(picture: &TracePicture, graph: &Graph, measures: Measures) -> BTreeMap<usize, usize> {
    let mut order: Vec<usize> = stops_of(picture, StopKind::Container).collect();
    order.sort_by_key(|&place| rank(picture, graph, place));
    let height_of = |stop: usize| {
        let flows: Vec<_> = graph.into(stop).map(|(_, flow)| flow).collect();
        build(picture, graph, measures, stop, (&flows, "")).height + BETWEEN
    };
    let (mut part, mut homes) = (0, BTreeMap::new());
    let (mut containers, mut ends, mut met) = (0.0, 0.0, BTreeSet::new());
    for place in order {
        let own = height_of(place);
        let onward = graph.flows.iter().filter(|flow| flow.from == place).map(|flow| flow.into);
        let onward: BTreeSet<usize> = onward
            .filter(|&into| kind_of(picture, into) == StopKind::Flight && !met.contains(&into))
            .collect();
        let fed: f64 = onward.iter().map(|&into| height_of(into)).sum();
        if containers > 0.0 && (containers + own).max(ends + fed) > MOST {
            part += 1;
            (containers, ends) = (0.0, 0.0);
            met.clear();
        }
        containers += own;
        ends += fed;
        met.extend(onward);
        homes.insert(place, part);
    }
    homes
}

fn stops_of(picture: &TracePicture, kind: StopKind) -> impl Iterator<Item = usize> {
    let stops = picture.stops.iter().enumerate();
    stops.filter(move |(_, stop)| stop.kind == kind).map(|(place, _)| place)
}

fn kind_of(picture: &TracePicture, place: usize) -> StopKind {
    picture.stops.get(place).map_or(StopKind::Flight, |stop| stop.kind)
}

/// Stops and flows of one part.
#[derive(Debug)]
struct Members {
    stops: BTreeSet<usize>,
    flows: Vec<Flow>,
    /// Where else a stop stands, in words.
    rest: BTreeMap<usize, String>,
}

fn members(
    picture: &TracePicture,
    graph: &Graph,
    homes: &BTreeMap<usize, usize>,
    part: usize,
) -> Members {
    let here = |flow: &&Flow| home_of_flow(picture, graph, homes, **flow) == part;
    let flows: Vec<_> = graph.flows.iter().filter(here).copied().collect();
    let mut stops: BTreeSet<usize> =
        homes.iter().filter(|(_, home)| **home == part).map(|(place, _)| *place).collect();
    for flow in &flows {
        stops.insert(flow.into);
        // A container stands in one part only; elsewhere its name is said in words.
        if kind_of(picture, flow.from) != StopKind::Container {
            stops.insert(flow.from);
        }
    }
    Members { stops, flows, rest: BTreeMap::new() }
}

/// The one part a flow is drawn in: where its container stands, or else where the first
/// container that its batch fed stands.
fn home_of_flow(
    picture: &TracePicture,
    graph: &Graph,
    homes: &BTreeMap<usize, usize>,
    flow: Flow,
) -> usize {
    let ends = [flow.into, flow.from];
    if let Some(home) = ends.iter().find_map(|end| homes.get(end)) {
        return *home;
    }
    let batch = ends.into_iter().find(|&end| kind_of(picture, end) == StopKind::Batch);
    let fed = graph.flows.iter().filter(|onward| Some(onward.from) == batch);
    fed.filter_map(|onward| homes.get(&onward.into)).min().copied().unwrap_or(0)
}

/// A box with its words, not yet placed.
fn build(
    picture: &TracePicture,
    graph: &Graph,
    measures: Measures,
    place: usize,
    (flows, rest): (&[Flow], &str),
) -> StopBox {
    let (name, note, kind) = picture.stops.get(place).map_or(("", "", StopKind::Flight), |stop| {
        (stop.name.as_str(), stop.note.as_str(), stop.kind)
    });
    let room = measures.room();
    let mark = graph.mark(picture, place);
    let name = wrap(name, room, measures.name(), 3);
    let mut note = wrap(note, room, measures.small(), 3);
    note.extend(wrap(rest, room, measures.small(), 2));
    let above = name.len() + note.len() + usize::from(mark != Mark::None);
    let mut port = PAD + measures.step * above as f64;
    let mut inflows = Vec::new();
    for flow in flows.iter().filter(|flow| flow.into == place) {
        let words = inflow_words(picture, measures, *flow);
        let height = measures.step * words.len() as f64;
        let recalled = graph.carries_recalled(picture, *flow);
        inflows.push(Inflow { flow: *flow, recalled, words, port, start: None });
        port += height;
    }
    let x = measures.left(kind);
    StopBox { stop: place, x, y: 0.0, height: port + PAD, mark, name, note, inflows }
}

fn inflow_words(picture: &TracePicture, measures: Measures, flow: Flow) -> Vec<String> {
    let litres = litres_moved(flow.litres).unwrap_or_else(|| "? L".into());
    if kind_of(picture, flow.from) != kind_of(picture, flow.into) {
        return vec![litres];
    }
    let name = picture.stops.get(flow.from).map_or("", |stop| stop.name.as_str());
    vec![format!("{litres} from"), shorten(name, measures.room(), measures.strong())]
}

fn lay_out(picture: &TracePicture, graph: &Graph, measures: Measures, part: &Members) -> Part {
    let rest = |place| part.rest.get(place).map_or("", String::as_str);
    let stops = part.stops.iter();
    let mut boxes: Vec<StopBox> = stops
        .map(|place| build(picture, graph, measures, *place, (&part.flows, rest(place))))
        .collect();
    stack_containers(picture, graph, &mut boxes);
    level_with_neighbours(picture, &mut boxes, StopKind::Flight, &part.flows);
    spread_containers(picture, &mut boxes, &part.flows);
    for kind in [StopKind::Batch, StopKind::Supplier] {
        level_with_neighbours(picture, &mut boxes, kind, &part.flows);
    }
    let top = boxes.iter().map(|one| one.y).fold(f64::INFINITY, f64::min);
    for one in &mut boxes {
        one.y -= top - HEAD;
    }
    start_lines(picture, measures, &mut boxes, &part.flows);
    let bottom = boxes.iter().map(|one| one.y + one.height).fold(HEAD, f64::max);
    Part { boxes, height: bottom + 14.0 }
}

fn stack_containers(picture: &TracePicture, graph: &Graph, boxes: &mut [StopBox]) {
    let mut stack: Vec<&mut StopBox> =
        boxes.iter_mut().filter(|one| kind_of(picture, one.stop) == StopKind::Container).collect();
    stack.sort_by_key(|one| rank(picture, graph, one.stop));
    let mut y = HEAD;
    for one in stack {
        one.y = y;
        y += one.height + BETWEEN;
    }
}

/// Moves containers down to their flights where these take more room, keeping their order.
fn spread_containers(picture: &TracePicture, boxes: &mut [StopBox], flows: &[Flow]) {
    let middles: BTreeMap<usize, f64> = boxes
        .iter()
        .filter(|one| kind_of(picture, one.stop) == StopKind::Flight)
        .map(|one| (one.stop, one.middle()))
        .collect();
    let mut column: Vec<&mut StopBox> =
        boxes.iter_mut().filter(|one| kind_of(picture, one.stop) == StopKind::Container).collect();
    column.sort_by(|one, other| one.y.total_cmp(&other.y));
    let mut free = HEAD;
    for one in column {
        let onward = flows.iter().filter(|flow| flow.from == one.stop);
        let ends: Vec<f64> = onward.filter_map(|flow| middles.get(&flow.into).copied()).collect();
        let mean = ends.iter().sum::<f64>() / ends.len().max(1) as f64;
        one.y = (mean - one.height / 2.0).max(free);
        free = one.y + one.height + BETWEEN;
    }
}

/// Places the boxes of a column level with the middle of what they are joined to, in the
/// order of the first of those, and never one over another.
fn level_with_neighbours(
    picture: &TracePicture,
    boxes: &mut [StopBox],
    kind: StopKind,
    flows: &[Flow],
) {
    let placed: BTreeMap<usize, f64> =
        boxes.iter().filter(|one| one.y > 0.0).map(|one| (one.stop, one.middle())).collect();
    let joined = |stop: usize| -> Vec<f64> {
        let other = |flow: &Flow| match stop {
            stop if stop == flow.from => Some(flow.into),
            stop if stop == flow.into => Some(flow.from),
            _ => None,
        };
        flows.iter().filter_map(other).filter_map(|end| placed.get(&end).copied()).collect()
    };
    let mut column: Vec<(f64, f64, &mut StopBox)> = boxes
        .iter_mut()
        .filter(|one| kind_of(picture, one.stop) == kind)
        .map(|one| {
            let ends = joined(one.stop);
            let first = ends.iter().copied().fold(f64::INFINITY, f64::min);
            let mean = ends.iter().sum::<f64>() / ends.len().max(1) as f64;
            (first, mean, one)
        })
        .collect();
    column.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.2.stop.cmp(&other.2.stop)));
    let mut free = HEAD;
    for (_, mean, one) in column {
        one.y = (mean - one.height / 2.0).max(free);
        free = one.y + one.height + BETWEEN;
    }
}

/// Spreads the lines that leave a box over its height, in the order in which they arrive.
fn start_lines(picture: &TracePicture, measures: Measures, boxes: &mut [StopBox], flows: &[Flow]) {
    let sources: BTreeMap<usize, (f64, f64, f64)> =
        boxes.iter().map(|one| (one.stop, (one.x, one.y, one.height))).collect();
    let leaves = |flow: &Flow| {
        flows.iter().filter(|other| other.from == flow.from && !poured(picture, other)).count()
    };
    let mut begun: BTreeMap<usize, usize> = BTreeMap::new();
    let mut order: Vec<&mut StopBox> = boxes.iter_mut().collect();
    order.sort_by(|one, other| one.y.total_cmp(&other.y).then(one.stop.cmp(&other.stop)));
    for one in order {
        for inflow in one.inflows.iter_mut().filter(|inflow| !poured(picture, &inflow.flow)) {
            let Some((x, y, height)) = sources.get(&inflow.flow.from) else { continue };
            let before = begun.entry(inflow.flow.from).or_default();
            *before += 1;
            let share = *before as f64 / (leaves(&inflow.flow) + 1) as f64;
            inflow.start = Some((x + measures.column(), y + height * share));
        }
    }
}

/// From one container into another.
fn poured(picture: &TracePicture, flow: &Flow) -> bool {
    kind_of(picture, flow.from) == kind_of(picture, flow.into)
}
