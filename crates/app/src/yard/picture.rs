//! Yards and traces as the plain data that pictures are drawn from.

use jiff::civil::Date;
use stillprop_calc::{
    quantity::{FromAmount, Volume},
    unit,
};
use stillprop_draw::{
    State,
    rack::{Age, Container, Form, RackPicture, Row},
    tag::{RackLabel, Tag},
    trace::{Flow, Stop, StopKind, TracePicture},
};
use stillprop_ledger::{
    event::v1::Received,
    yard::{self, BatchTrace, Destination, Yard},
};
use stillprop_turnaround::{
    assess::Limit,
    drums::{self, figures::DrumFigures},
    limits::Verdict,
};

use super::convert;

/// A container with what the limits say of it.
pub(crate) struct Judged {
    /// The facts.
    pub(crate) facts: drums::Container,
    /// Its limits.
    pub(crate) limits: Vec<Limit>,
}

impl Judged {
    /// One word for it.
    pub(crate) fn state(&self) -> State {
        let worst = self.limits.iter().map(|limit| limit.verdict).min();
        match worst {
            _ if self.facts.condemned.is_some() => State::Condemned,
            _ if self.facts.recalled.is_some() => State::Recalled,
            _ if self.facts.left.value <= 0.0 => State::Empty,
            Some(Verdict::Breaks) => State::NotFit,
            Some(Verdict::Unknown) => State::Unknown,
            Some(Verdict::Holds) | None => State::Fit,
        }
    }

    /// The worst limit's words, for what is not fit.
    pub(crate) fn reason(&self) -> String {
        let bad = self.limits.iter().filter(|limit| limit.verdict != Verdict::Holds);
        let worst = bad.min_by_key(|limit| limit.verdict);
        worst.and_then(|limit| limit.words.act.clone()).unwrap_or_default()
    }
}

/// The rack of one place.
pub(crate) fn rack(
    yard: &Yard,
    place: &str,
    day: Date,
    judged: &[Judged],
    figures: &DrumFigures,
) -> RackPicture {
    let mut rows: Vec<Row> = Vec::new();
    for one in judged {
        let name = one.facts.rack.clone().unwrap_or_else(|| "no rack".into());
        let container = rack_container(yard, one, day, figures);
        match rows.iter_mut().find(|row| row.name == name) {
            Some(row) => row.containers.push(container),
            None => rows.push(Row { name, containers: vec![container] }),
        }
    }
    rows.sort_by(|a, b| a.name.cmp(&b.name));
    RackPicture { place: place.to_owned(), day: day.to_string(), rows }
}

fn rack_container(yard: &Yard, one: &Judged, day: Date, figures: &DrumFigures) -> Container {
    let facts = &one.facts;
    let stored = facts
        .id
        .parse()
        .ok()
        .and_then(|id| yard.container(id))
        .and_then(|container| container.stored.as_ref());
    let form = match (facts.kind, facts.posture) {
        (drums::Kind::Tank, _) => Form::Tank,
        (drums::Kind::Bowser, _) => Form::Bowser,
        (drums::Kind::Drum, Some(drums::Posture::Upright)) => Form::Upright,
        (drums::Kind::Drum, Some(drums::Posture::Tilted)) => Form::Tilted,
        (drums::Kind::Drum, Some(drums::Posture::OnSide) | None) => Form::OnSide {
            bungs: stored.and_then(|said| said.what.bungs),
            chocked: stored.map(|said| said.what.chocked),
            off_ground: stored.map(|said| said.what.off_ground),
        },
    };
    Container {
        label: facts.label.clone(),
        form,
        state: one.state(),
        reason: one.reason(),
        grade: facts.grade.clone(),
        batch: facts.batch.clone(),
        litres: Some(facts.left.count(unit::L)),
        fill: Some((facts.left / facts.capacity).value),
        age: age(facts, day, figures),
    }
}

fn age(facts: &drums::Container, day: Date, figures: &DrumFigures) -> Option<Age> {
    let days = days_since(facts.filled?, day);
    let most = figures.max_age.as_ref().ok()?.value.count(unit::D);
    Some(Age { share: days / most, words: format!("{days:.0} of {most:.0} days") })
}

/// Whole days from one day to another.
pub(crate) fn days_since(from: Date, to: Date) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "days of a calendar")]
    let hours = to.duration_since(from).as_hours() as f64;
    hours / 24.0
}

/// The tag of a drum.
pub(crate) fn tag(of: &yard::Container, facts: &drums::Container, figures: &DrumFigures) -> Tag {
    Tag {
        id: of.id,
        label: facts.label.clone(),
        grade: Some(facts.grade.clone()),
        batch: Some(facts.batch.clone()),
        supplier: Some(facts.supplier.clone()),
        filled: facts.filled.map(|day| day.to_string()),
        use_by: use_by(facts, figures),
        contents: of.received.as_ref().map(|said| filled_with(&said.what)),
        seals: of
            .received
            .as_ref()
            .map(|said| said.what.seals.join(", "))
            .filter(|seals| !seals.is_empty()),
    }
}

/// What came in, as it was then: what is left changes, and a tag stays.
fn filled_with(received: &Received) -> String {
    let volume = litres(convert::volume(received.contents_ml));
    match received.temperature_mdegc {
        Some(mdegc) => format!("{volume} at {} degC", f64::from(mdegc) / 1000.0),
        None => volume,
    }
}

/// The label of a place in the rack.
pub(crate) fn label(
    of: &yard::Container,
    facts: &drums::Container,
    figures: &DrumFigures,
) -> RackLabel {
    RackLabel {
        id: of.id,
        label: facts.label.clone(),
        grade: Some(facts.grade.clone()),
        place: Some(facts.place.clone()),
        use_by: use_by(facts, figures),
    }
}

fn use_by(facts: &drums::Container, figures: &DrumFigures) -> Option<String> {
    #[expect(clippy::cast_possible_truncation, reason = "years at most")]
    let days = figures.max_age.as_ref().ok()?.value.count(unit::D).floor() as i64;
    let last = facts.filled?.checked_add(jiff::SignedDuration::from_hours(days * 24)).ok()?;
    Some(last.to_string())
}

/// A volume in litres, with no more digits than it has.
pub(crate) fn litres(volume: Volume) -> String {
    format!("{} L", convert::litres(volume))
}

/// Supplier to batch to containers to flights.
pub(crate) fn trace(yard: &Yard, batch: &str, day: Date, trace: &BatchTrace<'_>) -> TracePicture {
    let mut stops = Stops::default();
    let recalled = trace.batch.is_some_and(|batch| !batch.recalls.is_empty());
    let root = stops.at(StopKind::Batch, batch, "", recalled);
    let mut flows: Vec<Flow> = Vec::new();
    for (container, _) in &trace.containers {
        let Some(received) = &container.received else { continue };
        let note = container.place.clone().unwrap_or_default();
        let of_supplier = received.what.batch == batch;
        let here = stops.at(StopKind::Container, &received.what.label, &note, recalled);
        if of_supplier {
            let supplier = stops.at(StopKind::Supplier, &received.what.supplier, "", false);
            join(&mut flows, supplier, root, received.what.contents_ml);
            join(&mut flows, root, here, received.what.contents_ml);
        }
    }
    for (container, draw) in &trace.draws {
        let label = container.label().unwrap_or("unknown");
        let note = container.place.clone().unwrap_or_default();
        let from = stops.at(StopKind::Container, label, &note, recalled);
        let into = match draw.into {
            Destination::Aircraft { registration, .. } => {
                let flight = draw.flight.map_or("no flight named", |name| yard.text(name));
                stops.at(StopKind::Flight, flight, yard.text(registration), false)
            }
            Destination::Container(id) => {
                let other = yard.container(id);
                let label = other.and_then(yard::Container::label).unwrap_or("unknown");
                let note = other.and_then(|c| c.place.clone()).unwrap_or_default();
                stops.at(StopKind::Container, label, &note, recalled)
            }
            Destination::Waste => continue,
        };
        join(&mut flows, from, into, draw.volume_ml);
    }
    TracePicture { subject: format!("batch {batch}"), day: day.to_string(), stops: stops.0, flows }
}

#[derive(Default)]
struct Stops(Vec<Stop>);

impl Stops {
    /// The place of a stop, made when it is new.
    fn at(&mut self, kind: StopKind, name: &str, note: &str, recalled: bool) -> usize {
        let same = |stop: &Stop| stop.kind == kind && stop.name == name && stop.note == note;
        self.0.iter().position(same).unwrap_or_else(|| {
            self.0.push(Stop { kind, name: name.to_owned(), note: note.to_owned(), recalled });
            self.0.len() - 1
        })
    }
}

/// Adds to a flow, or begins it.
fn join(flows: &mut Vec<Flow>, from: usize, into: usize, millilitres: i64) {
    let litres = convert::volume(millilitres).count(unit::L);
    match flows.iter_mut().find(|flow| flow.from == from && flow.into == into) {
        Some(flow) => flow.litres = flow.litres.map(|sum| sum + litres),
        None => flows.push(Flow { from, into, litres: Some(litres) }),
    }
}
