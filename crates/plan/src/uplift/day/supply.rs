//! Where fuel may be had at a stop: drums that are fit at that hour, or a pump.

use jiff::{Timestamp, ToSpan};
use stillprop_calc::{
    quantity::{FromAmount, Volume},
    unit,
};
use stillprop_rules::document::{At, did_you_mean};
use stillprop_turnaround::{
    document::day as document,
    drums::{
        Container, Kind, Occasion,
        choose::{Cause, Pick, choose},
    },
    stage::later,
    units::Units,
};

use super::{About, Offer, PARTS_OF_MONEY, Refused, Stop, Unfit, at_place, states::steps};
use crate::uplift::Source;

/// Hours that are longer than any drum takes to settle.
const LONG_BEFORE: i64 = 240;

/// How prices become whole numbers.
pub(super) struct Money {
    pub(super) priced: bool,
    /// Of a step in what a price buys.
    share: f64,
    step: Volume,
}

impl Money {
    pub(super) fn of(document: &document::Day, step: Volume) -> Self {
        let litre = Volume::of(1.0, unit::L);
        let of = document.price_for.as_ref().map_or(litre, |given| given.value);
        let yard = |yard: &document::Yard| yard.price.is_some() || yard.drum_price.is_some();
        let pump = |pump: &document::Pump| pump.price.is_some() || pump.call_out.is_some();
        let priced = |stop: &document::Stop| {
            stop.yard.as_ref().is_some_and(yard) || stop.pump.as_ref().is_some_and(pump)
        };
        let priced = document.stops.iter().any(priced);
        Self { priced, share: (step / of).value, step }
    }

    /// Of a step. Without any price a step costs one: then the least fuel costs least.
    fn step(&self, price: Option<&At<f64>>) -> Result<u32, TooGreat> {
        let unpriced = u32::from(!self.priced);
        price.map_or(Ok(unpriced), |price| whole(price.value * self.share))
    }
}

fn once(price: Option<&At<f64>>) -> Result<u32, TooGreat> {
    price.map_or(Ok(0), |price| whole(price.value))
}

/// A price that is more parts of money than are counted.
struct TooGreat;

impl TooGreat {
    fn at(self, about: About) -> Fault {
        let message = "this price is too great to be reckoned for a step of fuel".to_owned();
        Fault::Named(about, message, "write it in a greater unit of money".into())
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "asked before")]
fn whole(price: f64) -> Result<u32, TooGreat> {
    let parts = (price * PARTS_OF_MONEY).round();
    if (0.0..=f64::from(u32::MAX)).contains(&parts) { Ok(parts as u32) } else { Err(TooGreat) }
}

/// What may be had at a stop, and what may not.
pub(super) struct Supply {
    offers: Vec<Offer>,
    refused: Vec<Refused>,
    whole_by_rule: bool,
}

impl Supply {
    pub(super) fn fill(self, stop: &mut Stop<'_>) {
        (stop.offers, stop.refused) = (self.offers, self.refused);
        stop.whole_by_rule = self.whole_by_rule;
    }
}

/// Why there is no supply.
pub(super) enum Fault {
    Unknown(String),
    Named(About, String, String),
}

/// What may be had at a stop. The aeroplane `arrives` there, unless it is there already; `cap` is
/// the most steps that are of any use.
pub(super) fn supply(
    of: &document::Stop,
    stop: &Stop<'_>,
    arrives: Option<Timestamp>,
    money: &Money,
    cap: usize,
    units: &Units,
) -> Result<Supply, Fault> {
    let mut supply = Supply { offers: Vec::new(), refused: Vec::new(), whole_by_rule: false };
    if let Some(pump) = &of.pump {
        let offer = of_pump(pump, money, cap).map_err(|great| great.at(About::Turnaround))?;
        supply.offers.push(offer);
    }
    let Some(yard) = &of.yard else { return Ok(supply) };
    let unknown = || Fault::Unknown("the yard is not known: open the ledger that keeps it".into());
    let all = stop.stage.documents.yard.as_deref().ok_or_else(unknown)?;
    let here = named(yard, all)?;
    // Two of one label are told apart by the id on the tag.
    let name = |container: &Container| {
        let same = at_place(all, &container.place).filter(|other| other.label == container.label);
        if same.count() > 1 { container.id.clone() } else { container.label.clone() }
    };
    let occasion = stop.stage.occasion(&stop.choice);
    let begins = occasion.begins.unwrap_or(occasion.latest);
    // Where the aeroplane stands already a drum may have been stood up in time.
    let first = || begins.checked_sub(LONG_BEFORE.hours()).unwrap_or(begins);
    let earliest = arrives.unwrap_or_else(first);
    let there: Volume = here.iter().map(|container| container.left).sum();
    let drawing = choose(here, there, earliest, &occasion)
        .map_err(|error| Fault::Unknown(error.to_string()))?;
    supply.refused = drawing
        .refused
        .iter()
        .map(|refused| Refused {
            name: name(refused.container),
            empty: refused.cause == Cause::Empty || refused.container.left.value <= 0.0,
            why: refused.reasons(&occasion, units),
        })
        .collect();
    let part_used = matches!(occasion.figures.part_used_allowed, Ok((true, _)));
    supply.whole_by_rule = !part_used && !yard.whole;
    let mut picks = drawing.picks;
    picks.sort_by(|a, b| {
        let key = |pick: &Pick<'_>| (pick.container.filled, pick.container.label.clone());
        key(a).cmp(&key(b))
    });
    for pick in &picks {
        if pick.settled > begins {
            let at = occasion.clock_of(pick.settled);
            let why = if pick.stand {
                format!(
                    "it lies: stood up at the landing it settles at {at}, after fuelling begins"
                )
            } else {
                format!("it settles at {at}, after fuelling begins")
            };
            let name = name(pick.container);
            supply.refused.push(Refused { name, empty: false, why: vec![why] });
            continue;
        }
        let whole = yard.whole || !part_used;
        let offer = of_drum(pick, yard, whole, &occasion, earliest, money)
            .map_err(|great| great.at(About::Place))?;
        supply.offers.push(Offer { name: name(pick.container), ..offer });
    }
    Ok(supply)
}

fn of_pump(pump: &document::Pump, money: &Money, cap: usize) -> Result<Offer, TooGreat> {
    let usable = pump.holds.as_ref().map(|given| given.value);
    let holds = usable.map_or(cap, |usable| steps(usable, money.step)).min(cap);
    Ok(Offer {
        name: pump.name.value.clone(),
        usable,
        filled: None,
        stand_by: None,
        sample: false,
        source: Source {
            drum: false,
            holds: u32::try_from(holds).unwrap_or(u32::MAX),
            to_open: once(pump.call_out.as_ref())?,
            per_step: money.step(pump.price.as_ref())?,
            age: 0,
            most_age: None,
            whole: false,
        },
    })
}

fn of_drum(
    pick: &Pick<'_>,
    yard: &document::Yard,
    whole: bool,
    occasion: &Occasion<'_>,
    earliest: Timestamp,
    money: &Money,
) -> Result<Offer, TooGreat> {
    let container = pick.container;
    let drum = container.kind == Kind::Drum;
    let begins = occasion.begins.unwrap_or(occasion.latest);
    let waits = pick.settled.duration_since(earliest);
    let filled = container.filled;
    let day = occasion.offset.to_datetime(begins).date();
    let age = filled.map_or(0, |filled| day.duration_since(filled).as_hours() / 24);
    Ok(Offer {
        name: container.label.clone(),
        usable: Some(pick.draw),
        filled,
        stand_by: pick.stand.then(|| begins.saturating_sub(waits).unwrap_or(begins)),
        sample: pick.sample,
        source: Source {
            drum,
            holds: u32::try_from(steps(pick.draw, money.step)).unwrap_or(u32::MAX),
            to_open: once(yard.drum_price.as_ref())?,
            per_step: money.step(yard.price.as_ref())?,
            age: u32::try_from(age).unwrap_or(0),
            // What is too old is not offered.
            most_age: None,
            whole: drum && whole,
        },
    })
}

/// The containers at the place, those named where some are.
fn named<'a>(yard: &document::Yard, all: &'a [Container]) -> Result<Vec<&'a Container>, Fault> {
    let here: Vec<&Container> = at_place(all, &yard.place.value).collect();
    if here.is_empty() {
        let mut places: Vec<&str> = all.iter().map(|container| container.place.as_str()).collect();
        places.sort_unstable();
        places.dedup();
        let message = format!("no container is known at {}", yard.place.value);
        return Err(Fault::Named(About::Place, message, did_you_mean(&yard.place.value, &places)));
    }
    let Some(drums) = &yard.drums else { return Ok(here) };
    let mut some: Vec<&Container> = Vec::new();
    for (number, name) in drums.iter().enumerate() {
        let called =
            |container: &&&Container| container.label == name.value || container.id == name.value;
        let mut found = here.iter().filter(called);
        match (found.next(), found.next()) {
            (Some(one), None) => some.push(one),
            (Some(_), Some(_)) => {
                let message = format!("several containers are called `{}`", name.value);
                let help = "name it by the id on its tag".to_owned();
                return Err(Fault::Named(About::Drum(number), message, help));
            }
            (None, _) => {
                let message = format!("there is no `{}` at {}", name.value, yard.place.value);
                let labels: Vec<&str> = here.iter().map(|c| c.label.as_str()).collect();
                let help = did_you_mean(&name.value, &labels);
                return Err(Fault::Named(About::Drum(number), message, help));
            }
        }
    }
    Ok(some)
}

/// A drum that two stops may draw from would be drawn twice.
pub(super) fn none_twice(document: &document::Day, stops: &[Stop<'_>]) -> Result<(), Unfit> {
    let place = |at: usize| document.stops[at].yard.as_ref().map(|yard| &yard.place.value);
    for later in 1..stops.len() {
        for earlier in (0..later).filter(|at| place(*at).is_some() && place(*at) == place(later)) {
            let also = |offer: &&Offer| stops[earlier].offers.iter().any(|o| o.name == offer.name);
            if let Some(offer) = stops[later].offers.iter().find(also) {
                return Err(Unfit::Stop {
                    stop: later,
                    about: About::Place,
                    message: format!("{} could be drawn at stop {} too", offer.name, earlier + 1),
                    help: "give each of the two stops its own `drums`".into(),
                });
            }
        }
    }
    Ok(())
}

/// Local time of day.
trait ClockOf {
    fn clock_of(&self, at: Timestamp) -> String;
}

impl ClockOf for Occasion<'_> {
    fn clock_of(&self, at: Timestamp) -> String {
        let up = later(at, stillprop_calc::quantity::Time::from_si(59.0));
        self.offset.to_datetime(up).strftime("%H:%M").to_string()
    }
}
