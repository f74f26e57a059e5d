//! One drum, tank or bowser, folded from its events.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{
    Cause, Destination, Difference, Draw, Fill, Finding, Inflow, Name, Oddity, PartMark, Said,
    Sample, Stamp, names::Names, told::Told,
};
use crate::{
    event::{
        Event,
        v1::{
            ContainerKind, Drawn, Inspected, Into, Opened, Posture, Received, Sampled, Seals,
            Stored,
        },
    },
    record::{DeviceId, Order},
};

/// Beyond any tank: a million cubic metres. \[mL\]
const VOLUME_MAX_ML: i64 = 1_000_000_000_000;

/// A drum, tank or bowser as its events tell it. What nobody recorded is `None`.
#[derive(Clone, Debug, Default, Deserialize, PartialEq, Eq, Serialize)]
pub struct Container {
    /// Its code says this.
    pub id: Uuid,
    /// The last receipt: label, kind, grade, batch, supplier, day filled, capacity.
    pub received: Option<Said<Received>>,
    /// The yard it is in.
    pub place: Option<String>,
    /// Rack and row.
    pub rack: Option<String>,
    /// How it was last put down: bungs, chocks, ground, shade.
    pub stored: Option<Said<Stored>>,
    /// How it lies or stands.
    pub posture: Option<Posture>,
    /// Since when nothing stirred the fuel: not moved, not stood up, nothing poured in. \[ms\]
    pub still_since_ms: Option<i64>,
    /// The seals when they were last looked at before it was opened, since it was filled.
    pub seals: Option<Said<Seals>>,
    /// The last look from outside.
    pub inspected: Option<Said<Inspected>>,
    /// First opened since it was filled.
    pub opened: Option<Stamp>,
    /// What was last written on it since it was filled.
    pub part_mark: Option<Said<PartMark>>,
    /// Nothing usable is left since then.
    pub emptied: Option<Stamp>,
    /// It must not be used, and why; only a correction takes this back.
    pub condemned: Option<Said<String>>,
    /// What it holds by the book; below zero when more was drawn than it held. \[mL\]
    pub contents_ml: i64,
    /// Every filling by a supplier.
    pub fills: Vec<Fill>,
    /// Everything that came out of other containers.
    pub inflows: Vec<Inflow>,
    /// Everything taken out.
    pub draws: Vec<Draw>,
    /// Every sample.
    pub samples: Vec<Sample>,
    /// Every difference between book and container.
    pub differences: Vec<Difference>,
    /// What does not add up within its own events. [`super::Yard::findings`] has all.
    pub(super) findings: Vec<Finding>,
    nth: u32,
    last: Option<Order>,
    /// The last record of each device.
    heads: Vec<(DeviceId, u64)>,
    /// Devices on which it was drawn since the contents were last known.
    drawn_on: Vec<DeviceId>,
}

impl Container {
    pub(super) fn new(id: Uuid) -> Self {
        Self { id, ..Self::default() }
    }

    /// What people call it.
    #[must_use]
    pub fn label(&self) -> Option<&str> {
        self.received.as_ref().map(|said| said.what.label.as_str())
    }

    /// The grade it was last filled with.
    #[must_use]
    pub fn grade(&self) -> Option<&str> {
        self.received.as_ref().map(|said| said.what.grade.as_str())
    }

    /// The last sample of what is in it now: none from before fuel last came in.
    #[must_use]
    pub fn sample(&self) -> Option<&Sample> {
        let filled = self.fills.last().map(|fill| fill.stamp.nth);
        let poured = self.inflows.last().map(|inflow| inflow.stamp.nth);
        let since = filled.max(poured);
        self.samples.last().filter(|sample| Some(sample.stamp.nth) > since)
    }

    /// True when `order` comes after all that was folded.
    pub(super) fn precedes(&self, order: Order) -> bool {
        self.last.is_none_or(|last| last < order)
    }

    /// Folds one more event, the latest so far.
    pub(super) fn apply(&mut self, told: &Told, names: &mut Names) {
        let Told { record, order, by, ref event } = *told;
        let stamp = Stamp { record, at_ms: order.at_ms, by, nth: self.nth };
        self.nth = self.nth.saturating_add(1);
        self.last = Some(order);
        self.keep_head(stamp, order);
        if stamp.nth == 0 && !matches!(event, Event::Received(_)) {
            self.find(stamp, Oddity::BeforeReceipt);
        }
        match event {
            Event::Received(it) => self.receive(stamp, it, names),
            Event::Stored(it) => self.store(stamp, it),
            Event::Inspected(it) => {
                // Once open it has no seals; what counts is how they were before.
                if self.opened.is_none() {
                    self.seals = Some(Said { stamp, what: it.seals });
                }
                self.inspected = Some(Said { stamp, what: it.clone() });
            }
            Event::Stood(it) => {
                self.posture = Some(it.posture);
                self.still_since_ms = Some(stamp.at_ms);
            }
            Event::Sampled(it) => self.sampled(stamp, it, names),
            Event::Opened(it) => self.open(stamp, it),
            Event::Drawn(it) => {
                if it.container == self.id {
                    self.draw(stamp, order.device, it, names);
                }
                if it.into == Into::Container(self.id) {
                    self.pour_in(stamp, it);
                }
            }
            Event::PartMarked(it) => {
                if let Some(left_ml) = self.volume(stamp, it.left_ml) {
                    let what = PartMark { left_ml, book_ml: self.contents_ml };
                    self.part_mark = Some(Said { stamp, what });
                }
            }
            Event::Emptied(_) => {
                self.emptied = Some(stamp);
                self.find_out(stamp, Cause::Emptied, 0);
            }
            Event::Condemned(it) => {
                self.condemned = Some(Said { stamp, what: it.reason.clone() });
            }
            Event::Counted(it) => {
                if let Some(found_ml) = self.volume(stamp, it.contents_ml) {
                    self.find_out(stamp, Cause::Counted, found_ml);
                    self.check_capacity(stamp);
                }
            }
            Event::BatchRecalled(_) | Event::BatchRetested(_) | Event::Corrected(_) => {}
        }
    }

    fn receive(&mut self, stamp: Stamp, it: &Received, names: &mut Names) {
        let again = self.received.is_some() && it.kind == ContainerKind::Drum;
        if again && self.emptied.is_none() {
            self.find(stamp, Oddity::ReceivedTwice);
        }
        // What was said about the fuel before says nothing about the new.
        (self.opened, self.emptied, self.part_mark, self.seals) = (None, None, None, None);
        self.place = Some(it.place.clone());
        self.still_since_ms = Some(stamp.at_ms);
        self.drawn_on.clear();
        self.received = Some(Said { stamp, what: it.clone() });
        let volume_ml = self.volume(stamp, it.contents_ml).unwrap_or(0);
        let (batch, grade) = (names.of(&it.batch), names.of(&it.grade));
        self.fills.push(Fill { stamp, batch, grade, volume_ml });
        self.add(stamp, volume_ml);
    }

    fn store(&mut self, stamp: Stamp, it: &Stored) {
        let place = Some(&it.place) == self.place.as_ref();
        let stays = place && it.rack == self.rack && Some(it.posture) == self.posture;
        if !stays {
            self.still_since_ms = Some(stamp.at_ms);
        }
        self.place = Some(it.place.clone());
        self.rack.clone_from(&it.rack);
        self.posture = Some(it.posture);
        self.stored = Some(Said { stamp, what: it.clone() });
    }

    fn sampled(&mut self, stamp: Stamp, it: &Sampled, names: &mut Names) {
        self.samples.push(Sample {
            stamp,
            low_point: it.low_point,
            appearance: it.appearance,
            colour: names.of(&it.colour),
            paste: it.paste,
            density_g_m3: it.density_g_m3,
            temperature_mdegc: it.temperature_mdegc,
        });
    }

    fn open(&mut self, stamp: Stamp, it: &Opened) {
        self.seals = Some(Said { stamp, what: it.seals });
        self.opened = self.opened.or(Some(stamp));
    }

    fn draw(&mut self, stamp: Stamp, device: DeviceId, it: &Drawn, names: &mut Names) {
        let into = match &it.into {
            Into::Aircraft { registration, tank } => {
                Destination::Aircraft { registration: names.of(registration), tank: names.of(tank) }
            }
            Into::Container(id) => Destination::Container(*id),
            Into::Waste => Destination::Waste,
        };
        // To throw fuel away that must not be used is right.
        if into != Destination::Waste {
            if self.emptied.is_some() {
                self.find(stamp, Oddity::DrawnAfterEmptied);
            }
            if self.condemned.is_some() {
                self.find(stamp, Oddity::DrawnAfterCondemned);
            }
        }
        // Even with an impossible volume the fuel of this container went there.
        let volume_ml = self.volume(stamp, it.volume_ml).unwrap_or(0);
        let flight = it.flight.as_deref().map(|flight| names.of(flight));
        self.draws.push(Draw { stamp, volume_ml, into, flight });
        self.contents_ml = self.contents_ml.saturating_sub(volume_ml);
        if !self.drawn_on.contains(&device) {
            self.drawn_on.push(device);
            self.drawn_on.sort_unstable();
        }
        if self.contents_ml < 0 && self.is_known() {
            let short_ml = self.contents_ml.saturating_neg();
            let devices = self.drawn_on.clone();
            self.find(stamp, Oddity::Overdrawn { short_ml, devices });
        }
    }

    /// True when somebody ever said what is in it; before that, no draw can be too much.
    fn is_known(&self) -> bool {
        !(self.fills.is_empty() && self.inflows.is_empty() && self.differences.is_empty())
    }

    fn pour_in(&mut self, stamp: Stamp, it: &Drawn) {
        self.emptied = None;
        self.still_since_ms = Some(stamp.at_ms);
        let volume_ml = self.volume(stamp, it.volume_ml).unwrap_or(0);
        self.inflows.push(Inflow { stamp, from: it.container, volume_ml });
        self.add(stamp, volume_ml);
    }

    fn add(&mut self, stamp: Stamp, volume_ml: i64) {
        self.contents_ml = self.contents_ml.saturating_add(volume_ml);
        self.check_capacity(stamp);
    }

    fn find_out(&mut self, stamp: Stamp, cause: Cause, found_ml: i64) {
        let book_ml = std::mem::replace(&mut self.contents_ml, found_ml);
        self.differences.push(Difference { stamp, cause, book_ml, found_ml });
        self.drawn_on.clear();
    }

    fn check_capacity(&mut self, stamp: Stamp) {
        let capacity_ml = self.received.as_ref().map(|said| said.what.capacity_ml);
        let over_ml = capacity_ml.map(|capacity_ml| self.contents_ml.saturating_sub(capacity_ml));
        if let Some(over_ml) = over_ml.filter(|over_ml| *over_ml > 0) {
            self.find(stamp, Oddity::OverCapacity { over_ml });
        }
    }

    /// `volume_ml` when there can be such a volume; a finding when not.
    fn volume(&mut self, stamp: Stamp, volume_ml: i64) -> Option<i64> {
        let fits = (0..=VOLUME_MAX_ML).contains(&volume_ml);
        if !fits {
            self.find(stamp, Oddity::NoSuchVolume { volume_ml });
        }
        fits.then_some(volume_ml)
    }

    fn keep_head(&mut self, stamp: Stamp, order: Order) {
        match self.heads.iter_mut().find(|(device, _)| *device == order.device) {
            Some((_, seq)) if *seq >= order.seq => self.find(stamp, Oddity::OutOfOrder),
            Some((_, seq)) => *seq = order.seq,
            None => self.heads.push((order.device, order.seq)),
        }
    }

    fn find(&mut self, stamp: Stamp, what: Oddity) {
        self.findings.push(Finding { stamp, what });
    }

    /// Gives every name of the rows to `visit`, which may change it.
    pub(super) fn each_name(&mut self, visit: &mut impl FnMut(&mut Name)) {
        self.each_stamp(&mut |stamp| visit(&mut stamp.by));
        for fill in &mut self.fills {
            visit(&mut fill.batch);
            visit(&mut fill.grade);
        }
        for draw in &mut self.draws {
            draw.flight.as_mut().map(&mut *visit);
            if let Destination::Aircraft { registration, tank } = &mut draw.into {
                visit(registration);
                visit(tank);
            }
        }
        self.samples.iter_mut().for_each(|sample| visit(&mut sample.colour));
    }

    fn each_stamp(&mut self, visit: &mut impl FnMut(&mut Stamp)) {
        fn of<T>(said: &mut Option<Said<T>>) -> Option<&mut Stamp> {
            said.as_mut().map(|said| &mut said.stamp)
        }
        let said = [
            of(&mut self.received),
            of(&mut self.stored),
            of(&mut self.seals),
            of(&mut self.inspected),
            of(&mut self.part_mark),
            of(&mut self.condemned),
            self.opened.as_mut(),
            self.emptied.as_mut(),
        ];
        said.into_iter().flatten().for_each(&mut *visit);
        self.fills.iter_mut().for_each(|row| visit(&mut row.stamp));
        self.inflows.iter_mut().for_each(|row| visit(&mut row.stamp));
        self.draws.iter_mut().for_each(|row| visit(&mut row.stamp));
        self.samples.iter_mut().for_each(|row| visit(&mut row.stamp));
        self.differences.iter_mut().for_each(|row| visit(&mut row.stamp));
        self.findings.iter_mut().for_each(|row| visit(&mut row.stamp));
    }
}
