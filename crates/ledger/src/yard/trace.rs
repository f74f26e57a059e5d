//! Both ways along the fuel: a batch into its flights, a flight back to its batches.

use std::collections::BTreeSet;

use super::{Batch, Container, Destination, Draw, Fill, Name, Sample, Span, Yard};

/// Where a batch went.
#[derive(Clone, Debug, PartialEq)]
pub struct BatchTrace<'a> {
    /// What was said about all of it; `None` when nothing was.
    pub batch: Option<&'a Batch>,
    /// Containers it was in, each with the part of its life during which it was.
    pub containers: Vec<(&'a Container, Span)>,
    /// Samples taken while it was in them.
    pub samples: Vec<(&'a Container, &'a Sample)>,
    /// Everything drawn while it was in them.
    pub draws: Vec<(&'a Container, &'a Draw)>,
    /// Flights it was drawn for.
    pub flights: BTreeSet<&'a str>,
    /// Aircraft it went into, with or without a flight on record.
    pub aircraft: BTreeSet<&'a str>,
    /// People who received, sampled or drew it.
    pub hands: BTreeSet<&'a str>,
}

/// What a flight flew on.
#[derive(Clone, Debug, PartialEq)]
pub struct FlightTrace<'a> {
    /// Everything drawn for it, by container and time.
    pub draws: Vec<FlightDraw<'a>>,
    /// People who received, sampled or drew it.
    pub hands: BTreeSet<&'a str>,
}

/// One draw into an aircraft, with what was behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct FlightDraw<'a> {
    /// The container it was drawn from.
    pub container: &'a Container,
    /// The draw.
    pub draw: &'a Draw,
    /// Containers behind it: this one, and those poured into it before, since they were empty.
    pub behind: Vec<(&'a Container, Span)>,
    /// Fillings by a supplier behind it; their batches are what it flew on.
    pub fills: Vec<(&'a Container, &'a Fill)>,
    /// Samples of the containers behind it, taken before the fuel left them.
    pub samples: Vec<(&'a Container, &'a Sample)>,
}

impl Yard {
    /// Where the fuel of `batch` went, through whatever containers; `None` when no container
    /// was filled from it and nothing was said about it.
    #[must_use]
    pub fn trace_batch(&self, batch: &str) -> Option<BatchTrace<'_>> {
        let said = self.batches.get(batch);
        let spans = self.names.known(batch).map_or_else(Vec::new, |name| self.ahead(name));
        if said.is_none() && spans.is_empty() {
            return None;
        }
        let containers = self.with_containers(spans);
        let mut trace = BatchTrace {
            batch: said,
            containers: Vec::new(),
            samples: Vec::new(),
            draws: Vec::new(),
            flights: BTreeSet::new(),
            aircraft: BTreeSet::new(),
            hands: BTreeSet::new(),
        };
        let mut hands: BTreeSet<Name> = BTreeSet::new();
        for (container, span) in containers {
            hands.extend(span.of(&container.fills).iter().map(|it| it.stamp.by));
            let samples = span.of(&container.samples);
            hands.extend(samples.iter().map(|it| it.stamp.by));
            trace.samples.extend(samples.iter().map(|it| (container, it)));
            for draw in span.of(&container.draws) {
                hands.insert(draw.stamp.by);
                trace.draws.push((container, draw));
                trace.flights.extend(draw.flight.map(|it| self.text(it)));
                if let Destination::Aircraft { registration, .. } = draw.into {
                    trace.aircraft.insert(self.text(registration));
                }
            }
            trace.containers.push((container, span));
        }
        trace.hands = hands.into_iter().map(|by| self.text(by)).collect();
        Some(trace)
    }

    /// What `flight` flew on; `None` when nothing was drawn for it.
    #[must_use]
    pub fn trace_flight(&self, flight: &str) -> Option<FlightTrace<'_>> {
        let flight = self.names.known(flight)?;
        let mut draws = Vec::new();
        for container in self.drawn_for(flight) {
            let drawn = container.draws.iter().filter(|it| it.flight == Some(flight));
            draws.extend(drawn.map(|draw| self.flight_draw(container, draw)));
        }
        if draws.is_empty() {
            return None;
        }
        let mut hands: BTreeSet<Name> = BTreeSet::new();
        for it in &draws {
            hands.insert(it.draw.stamp.by);
            hands.extend(it.fills.iter().map(|(_, fill)| fill.stamp.by));
            hands.extend(it.samples.iter().map(|(_, sample)| sample.stamp.by));
        }
        let hands = hands.into_iter().map(|by| self.text(by)).collect();
        Some(FlightTrace { draws, hands })
    }

    /// What was drawn into an aircraft from one instant to another, both among them, and what was
    /// behind each draw; by container and time. Times in milliseconds since 1970.
    #[must_use]
    pub fn drawn_into(&self, registration: &str, from_ms: i64, to_ms: i64) -> Vec<FlightDraw<'_>> {
        let mut draws = Vec::new();
        let Some(aircraft) = self.names.known(registration) else { return draws };
        for container in self.containers.values() {
            let own = container.draws.iter().filter(|draw| {
                matches!(draw.into, Destination::Aircraft { registration, .. }
                    if registration == aircraft)
                    && (from_ms..=to_ms).contains(&draw.stamp.at_ms)
            });
            draws.extend(own.map(|draw| self.flight_draw(container, draw)));
        }
        draws
    }

    fn flight_draw<'a>(&'a self, container: &'a Container, draw: &'a Draw) -> FlightDraw<'a> {
        let behind = self.with_containers(self.behind(container.id, draw.stamp.nth));
        let (mut fills, mut samples) = (Vec::new(), Vec::new());
        for (container, span) in &behind {
            fills.extend(span.of(&container.fills).iter().map(|it| (*container, it)));
            samples.extend(span.of(&container.samples).iter().map(|it| (*container, it)));
        }
        FlightDraw { container, draw, behind, fills, samples }
    }

    fn with_containers(&self, spans: Vec<Span>) -> Vec<(&Container, Span)> {
        let found = spans.into_iter();
        found.filter_map(|span| Some((self.containers.get(&span.container)?, span))).collect()
    }
}
