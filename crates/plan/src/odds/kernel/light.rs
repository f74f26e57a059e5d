//! Daylight and opening hours: the last second at which a landing holds.
//!
//! On one solar day a later landing is never better, once first light is past. So one threshold says
//! it all, and the limit itself is asked for it by halving. A draw that lands on another side of a day
//! than this was built for is left to the limits.

use stillprop_calc::{
    quantity::{FromAmount, Time},
    trace::Silent,
};
use stillprop_turnaround::{
    limits::{Family, Found, Id, Sink, Verdict, Words, light},
    stage::{Choice, Stage, later},
    units::Units,
};

use super::super::lanes::{greater, lesser};
use super::{Book, Work, flight::Flight, guard};

#[derive(Clone, Debug, Default)]
pub(super) struct Light {
    arrivals: Vec<Arrival>,
    opened: Vec<Open>,
}

#[derive(Clone, Copy, Debug)]
struct Arrival {
    row: usize,
    leg: usize,
    /// Seconds from chocks off to the last landing that holds.
    last: f64,
    /// Landing and take-off of the leg as typed.
    lands: f64,
    leaves: f64,
    /// How much earlier and later it is known.
    known: [f64; 2],
}

/// A strip that is open from one second to another, from chocks off.
#[derive(Clone, Copy, Debug)]
struct Open {
    row: usize,
    leg: usize,
    from: f64,
    until: f64,
    /// The day that it is about, by the clock there.
    day: [f64; 2],
}

/// How long before and after the landing as typed the day is looked at, the longest that fits. \[s\]
const AROUND: [f64; 6] = [14_400.0, 7200.0, 3600.0, 1200.0, 300.0, 60.0];
/// A margin of time is measured by this. \[s\]
const HOUR: f64 = 3600.0;
/// Nearer than this to a whole second a landing is left to the limits, which count whole ones.
const TICK: f64 = 1e-9;

impl Light {
    pub(super) fn of(
        stage: &Stage,
        choice: &Choice,
        flight: Option<&Flight>,
        book: &mut Book,
    ) -> Option<Self> {
        let mut found = Self::default();
        book.take(Id::of(Family::Strip, "open", "take-off"), false);
        let legs = &stage.documents.turnaround.legs;
        for (leg, named) in legs.iter().enumerate() {
            let Some(spot) = stage.there.get(leg)?.as_ref() else { continue };
            let Some((from, until)) = spot.open else { continue };
            let row = book.take(Id::of(Family::Strip, "open", &named.name.value), flight.is_some());
            if let (Some(row), Ok(plan)) = (row, &stage.plan) {
                let typed = plan.legs.get(leg)?.lands_after;
                let clock = spot.offset.to_datetime(later(choice.departs, typed)).time();
                let second = |time: jiff::civil::Time| {
                    f64::from(time.hour()) * 3600.0
                        + f64::from(time.minute()) * 60.0
                        + f64::from(time.second())
                };
                if clock.subsec_nanosecond() != 0 {
                    return None;
                }
                let midnight = typed.si().ceil() - second(clock);
                let (from, until) = (midnight + second(from), midnight + second(until));
                let day = [midnight + 1.0, midnight + 86_398.0];
                found.opened.push(Open { row, leg, from, until, day });
            }
        }
        book.take(Id::new(Family::Light, "departure"), false);
        if !stage.needs_light() {
            return Some(found);
        }
        for (leg, named) in legs.iter().enumerate() {
            let varies = flight.is_some() && stage.light.there.get(leg)?.is_some();
            let row = book.take(Id::of(Family::Light, "arrival", &named.name.value), varies);
            if let Some(row) = row {
                found.arrivals.push(Arrival::of(stage, choice, leg, row)?);
            }
        }
        Some(found)
    }

    #[inline(always)]
    pub(super) fn judge(&self, work: &mut Work) {
        let Work { margins, flight, guard: least, .. } = work;
        for arrival in &self.arrivals {
            let leg = &flight.legs[arrival.leg];
            let (lands, time) = (&leg.lands, &leg.time);
            margins[arrival.row].set(|lane| (arrival.last - lands[lane]) / HOUR - TICK);
            let [before, after] = arrival.known;
            guard(least, |lane| {
                let late = lands[lane] - arrival.lands;
                let left_late = lands[lane] - time[lane] - arrival.leaves;
                lesser(before + lesser(late, left_late), after - greater(late, left_late))
            });
        }
        for open in &self.opened {
            let lands = &flight.legs[open.leg].lands;
            margins[open.row].set(|lane| {
                let (since, left) = (lands[lane] - (open.from - 1.0), open.until - lands[lane]);
                lesser(since, left) / HOUR - TICK
            });
            let [begins, ends] = open.day;
            guard(least, |lane| lesser(lands[lane] - begins, ends - lands[lane]));
        }
    }
}

impl Arrival {
    fn of(stage: &Stage, choice: &Choice, leg: usize, row: usize) -> Option<Self> {
        let plan = stage.plan.as_ref().ok()?.legs.get(leg)?;
        let (lands, leaves) = (plan.lands_after.si(), plan.lands_after.si() - plan.time.si());
        let light = stage.light.there.get(leg)?.as_ref()?;
        let at = |seconds: f64| later(choice.departs, Time::from_si(seconds));
        let day = |seconds: f64| light.on(at(seconds), &mut Silent).ok();
        let typed = day(leaves)?;
        // Before first light of the same day another sum holds.
        let dark = |seconds: f64| typed.rise().is_some_and(|rise| at(seconds) < rise);
        let same = |by: f64| day(leaves + by) == Some(typed) && dark(lands + by) == dark(lands);
        let before = AROUND.into_iter().find(|by| same(-by))?;
        let after = AROUND.into_iter().find(|by| same(*by))?;
        let mut stage = stage.clone();
        let mut holds = |seconds: f64| {
            if let Ok(plan) = &mut stage.plan {
                plan.legs[leg].lands_after = Time::from_si(seconds);
                plan.legs[leg].time = Time::from_si(seconds - leaves);
            }
            let mut only = Only { leg, seen: 0, holds: false, silent: Silent };
            light::limits(&stage, choice, &mut only);
            only.holds
        };
        let (mut early, mut late) = ((lands - before).ceil(), (lands + after).floor());
        let last = match (holds(early), holds(late)) {
            (true, true) => f64::INFINITY,
            (false, _) => f64::NEG_INFINITY,
            (true, false) => {
                while late - early > 1.5 {
                    let middle = ((early + late) / 2.0).floor();
                    if holds(middle) { early = middle } else { late = middle }
                }
                early
            }
        };
        // Whole seconds at both ends of what is known.
        Some(Self { row, leg, last, lands, leaves, known: [before - 3.0, after - 3.0] })
    }
}

/// Whether the arrival of one leg holds.
struct Only {
    leg: usize,
    seen: usize,
    holds: bool,
    silent: Silent,
}

impl Sink for Only {
    type Trace = Silent;

    fn trace(&mut self) -> &mut Silent {
        &mut self.silent
    }

    fn limit(&mut self, id: Id<'_>, found: Found, _: impl FnOnce(&Units) -> Words) {
        if id.name == "arrival" {
            if self.seen == self.leg {
                self.holds = found.verdict() == Verdict::Holds;
            }
            self.seen += 1;
        }
    }
}
