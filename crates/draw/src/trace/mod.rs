//! The batch trace picture: supplier, batch, container, flight, from left to right.
//!
//! Every line ends at the litres that flowed along it, inside the box it enters. Long traces
//! are cut into parts from top to bottom; each part repeats the suppliers, batches and flights
//! it needs, so that it can be read alone, on a phone or on one sheet of paper. Each line is
//! drawn once.

use std::collections::BTreeSet;

mod layout;
mod paint;

use crate::{
    ADVICE, Width,
    words::{count, litres_moved},
};

/// What is traced, and what was found.
#[derive(Clone, Debug, PartialEq)]
pub struct TracePicture {
    /// What is traced: `batch KUM-0417`, `flight SP-104`.
    pub subject: String,
    /// The day it was traced, in words.
    pub day: String,
    /// Everything it touches, oldest first.
    pub stops: Vec<Stop>,
    /// What flowed from stop to stop.
    pub flows: Vec<Flow>,
}

/// A supplier, batch, container or flight.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stop {
    /// Its column.
    pub kind: StopKind,
    /// Name.
    pub name: String,
    /// A few words more; may be empty.
    pub note: String,
    /// Called back. What it fed is found by following the flows.
    pub recalled: bool,
}

/// The columns, from left to right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum StopKind {
    /// Who sold the fuel.
    Supplier,
    /// The supplier's lot.
    Batch,
    /// A drum, tank or bowser.
    Container,
    /// A flight, or another end such as samples and waste.
    Flight,
}

impl StopKind {
    /// Every kind, from left to right.
    pub const ALL: [Self; 4] = [Self::Supplier, Self::Batch, Self::Container, Self::Flight];

    /// Place of its column, from the left.
    const fn column(self) -> usize {
        match self {
            Self::Supplier => 0,
            Self::Batch => 1,
            Self::Container => 2,
            Self::Flight => 3,
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Supplier => "supplier",
            Self::Batch => "batch",
            Self::Container => "container",
            Self::Flight => "flight",
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Supplier => "suppliers",
            Self::Batch => "batches",
            Self::Container => "containers",
            Self::Flight => "flights",
        }
    }
}

/// Fuel that went from one stop to another, both by their place in [`TracePicture::stops`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flow {
    /// Where it came from.
    pub from: usize,
    /// Where it went: a column further right, or another container.
    pub into: usize,
    /// How much. \[L\]
    pub litres: Option<f64>,
}

/// Draws the trace.
#[must_use]
pub fn trace(picture: &TracePicture, width: Width) -> String {
    let graph = Graph::new(picture);
    let says = graph.in_words(picture);
    paint::picture(picture, &graph, &layout::parts(picture, &graph, width), width, &says)
}

/// The flows that make sense, and what they carry.
#[derive(Debug)]
struct Graph {
    /// Flows whose ends exist and that do not run back to the left.
    flows: Vec<Flow>,
    /// Flows that could not be drawn.
    left_out: usize,
    /// Stops that took fuel from a recalled one, at any remove.
    touched: BTreeSet<usize>,
}

impl Graph {
    fn new(picture: &TracePicture) -> Self {
        let kind = |place: usize| picture.stops.get(place).map(|stop| stop.kind);
        let sound = |flow: &&Flow| match (kind(flow.from), kind(flow.into)) {
            (Some(StopKind::Container), Some(StopKind::Container)) => flow.from != flow.into,
            (Some(from), Some(into)) => from < into,
            _ => false,
        };
        let flows: Vec<_> = picture.flows.iter().filter(sound).copied().collect();
        let left_out = picture.flows.len() - flows.len();
        let touched = touched(picture, &flows);
        Self { flows, left_out, touched }
    }

    /// True when fuel of a recalled batch ran along this flow.
    fn carries_recalled(&self, picture: &TracePicture, flow: Flow) -> bool {
        let recalled = picture.stops.get(flow.from).is_some_and(|stop| stop.recalled);
        recalled || self.touched.contains(&flow.from)
    }

    fn into(&self, stop: usize) -> impl Iterator<Item = (usize, Flow)> {
        let all = self.flows.iter().copied().enumerate();
        all.filter(move |(_, flow)| flow.into == stop)
    }

    fn in_words(&self, picture: &TracePicture) -> String {
        let mut says = String::new();
        for kind in StopKind::ALL {
            let number = picture.stops.iter().filter(|stop| stop.kind == kind).count();
            says += &count(number, kind.word(), kind.words());
            says += if kind == StopKind::Flight { "." } else { ", " };
        }
        for (place, stop) in picture.stops.iter().enumerate() {
            says += &format!(" {} {}", stop.kind.word(), stop.name);
            if !stop.note.is_empty() {
                says += &format!(" ({})", stop.note);
            }
            if let Some(word) = self.mark(picture, place).word() {
                says += &format!(", {word}");
            }
            let came: Vec<_> =
                self.into(place).map(|(_, flow)| from_words(picture, flow)).collect();
            if !came.is_empty() {
                says += &format!(": {}", came.join(", "));
            }
            says.push('.');
        }
        if let Some(words) = self.left_out_in_words() {
            says += &format!(" {words}");
        }
        format!("{says} {ADVICE}")
    }

    fn left_out_in_words(&self) -> Option<String> {
        let number = count(self.left_out, "flow", "flows");
        let words = format!("{number} could not be drawn: an end is missing or runs backwards.");
        (self.left_out > 0).then_some(words)
    }

    fn mark(&self, picture: &TracePicture, place: usize) -> Mark {
        if picture.stops.get(place).is_some_and(|stop| stop.recalled) {
            Mark::Recalled
        } else if self.touched.contains(&place) {
            Mark::Touched
        } else {
            Mark::None
        }
    }
}

/// What a recall means for a stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Mark {
    Recalled,
    Touched,
    None,
}

impl Mark {
    const fn word(self) -> Option<&'static str> {
        match self {
            Self::Recalled => Some("recalled"),
            Self::Touched => Some("touched"),
            Self::None => None,
        }
    }
}

/// `62 L from A-3`.
fn from_words(picture: &TracePicture, flow: Flow) -> String {
    let name = picture.stops.get(flow.from).map_or("", |stop| stop.name.as_str());
    let litres = litres_moved(flow.litres).unwrap_or_else(|| "unknown litres".into());
    format!("{litres} from {name}")
}

/// Follows the flows from every recalled stop to all that they reach.
fn touched(picture: &TracePicture, flows: &[Flow]) -> BTreeSet<usize> {
    let mut onward = vec![Vec::new(); picture.stops.len()];
    for flow in flows {
        onward[flow.from].push(flow.into);
    }
    let stops = picture.stops.iter().enumerate();
    let mut open: Vec<usize> =
        stops.filter(|(_, stop)| stop.recalled).map(|(place, _)| place).collect();
    let mut touched = BTreeSet::new();
    while let Some(place) = open.pop() {
        for &next in &onward[place] {
            if touched.insert(next) {
                open.push(next);
            }
        }
    }
    touched
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn stop(kind: StopKind, name: &str) -> Stop {
        Stop { kind, name: name.into(), note: String::new(), recalled: false }
    }

    fn flow(from: usize, into: usize) -> Flow {
        Flow { from, into, litres: Some(10.0) }
    }

    fn chain() -> TracePicture {
        let stops = vec![
            stop(StopKind::Supplier, "S"),
            stop(StopKind::Batch, "B"),
            stop(StopKind::Batch, "C"),
            stop(StopKind::Container, "1"),
            stop(StopKind::Container, "2"),
            stop(StopKind::Container, "3"),
            stop(StopKind::Flight, "F"),
            stop(StopKind::Flight, "G"),
        ];
        let flows = vec![
            flow(0, 1),
            flow(0, 2),
            flow(1, 3),
            flow(2, 5),
            flow(3, 4),
            flow(4, 6),
            flow(5, 7),
        ];
        TracePicture { subject: "batch B".into(), day: "D".into(), stops, flows }
    }

    #[test]
    fn a_recall_touches_all_it_reached_through_every_transfer_and_nothing_else() {
        let mut picture = chain();
        picture.stops[1].recalled = true;
        let graph = Graph::new(&picture);
        assert_eq!(graph.touched.into_iter().collect::<Vec<_>>(), [3, 4, 6]);
    }

    #[test]
    fn fuel_poured_in_a_ring_still_ends() {
        let mut picture = chain();
        picture.stops[3].recalled = true;
        picture.flows.push(flow(4, 3));
        assert_eq!(Graph::new(&picture).touched.into_iter().collect::<Vec<_>>(), [3, 4, 6]);
    }

    #[test]
    fn flows_with_a_missing_end_or_running_backwards_are_left_out_and_said() {
        let mut picture = chain();
        for (from, into) in [(0, 99), (99, 0), (6, 3), (1, 2), (3, 3)] {
            picture.flows.push(flow(from, into));
        }
        let graph = Graph::new(&picture);
        assert_eq!((graph.flows.len(), graph.left_out), (7, 5));
        let text = trace(&picture, Width::PHONE);
        assert!(text.contains("5 flows could not be drawn"));
        assert!(!trace(&chain(), Width::PHONE).contains("could not be drawn"));
    }

    #[test]
    fn litres_that_are_no_number_are_unknown() {
        let mut picture = chain();
        picture.flows[5].litres = Some(f64::NAN);
        let text = trace(&picture, Width::PHONE);
        assert!(text.contains("unknown litres from 2") && text.contains(">? L<"), "{text}");
    }

    proptest! {
        #[test]
        fn any_flows_are_drawn_once_or_said_to_be_left_out(
            ends in proptest::collection::vec((0_usize..30, 0_usize..30), 0..60),
        ) {
            let mut picture = chain();
            // Enough containers for several parts.
            picture.stops.extend((0..20).map(|_| stop(StopKind::Container, "more")));
            picture.flows = ends.iter().map(|(from, into)| flow(*from, *into)).collect();
            let graph = Graph::new(&picture);
            let poured = graph.flows.iter().filter(|flow| {
                picture.stops[flow.from].kind == picture.stops[flow.into].kind
            });
            let poured = poured.count();
            for width in [Width::PHONE, Width::LAPTOP] {
                let parts = layout::parts(&picture, &graph, width);
                prop_assert!(parts.len() > 1);
                let boxes = parts.iter().flat_map(|part| &part.boxes);
                let inflows: Vec<_> = boxes.flat_map(|one| &one.inflows).collect();
                prop_assert_eq!(inflows.len() + graph.left_out, picture.flows.len());
                let lines = inflows.iter().filter(|inflow| inflow.start.is_some()).count();
                prop_assert_eq!(lines + poured, graph.flows.len());
            }
        }
    }
}
