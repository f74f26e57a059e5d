//! What the shape of a day document cannot say.

use std::ops::Range;

use stillprop_calc::{bounds::Bounds, fuel, unit};
use stillprop_rules::document::{At, Problem};

use super::Findings;
use crate::document::day::{Day, Stop};

/// Accepted steps of fuel. Ours: a dispenser shows no less, and nobody pours more at once.
const STEP: Bounds = Bounds::new("step of fuel", 0.1, 200.0, unit::L);
/// Accepted amounts that a price buys. Ours.
const PRICE_FOR: Bounds = Bounds::new("amount that a price buys", 0.1, 1000.0, unit::L);
/// Greatest price, and how finely it is reckoned: whole ten-thousandths.
const MOST: f64 = 100_000.0;
/// Most stops of a day.
const STOPS: usize = 16;

pub(in crate::document) fn day(document: &Day) -> Vec<Problem> {
    let mut f = Findings::default();
    f.range_if(document.step.as_ref(), &STEP);
    f.range_if(document.price_for.as_ref(), &PRICE_FOR);
    match document.stops.as_slice() {
        [] => f.add(&(0..0), "the day has no stop", "add [[stops]] with a turnaround"),
        many if many.len() > STOPS => {
            let message = format!("the day has {} stops; at most {STOPS}", many.len());
            f.add(&many[STOPS].turnaround.at, message, "make two days of it");
        }
        _ => {}
    }
    for stop in &document.stops {
        source(stop, &mut f);
    }
    prices(document, &mut f);
    f.0
}

fn source(stop: &Stop, f: &mut Findings) {
    if let (Some(yard), Some(_)) = (&stop.yard, &stop.pump) {
        let message = "a stop has drums or a pump: its turnaround has one method";
        f.add(&yard.place.at, message, "name the one that is used");
    }
    if let Some(pump) = &stop.pump {
        f.range_if(pump.holds.as_ref(), &fuel::VOLUME);
    }
    if let Some(drums) = stop.yard.as_ref().and_then(|yard| yard.drums.as_ref()) {
        f.distinct("drum", drums.iter());
    }
}

/// Prices are amounts of money, on every source or on none.
fn prices(document: &Day, f: &mut Findings) {
    let all = || document.stops.iter().flat_map(of_stop);
    for price in all().filter_map(|(_, price)| price) {
        if !(0.0..=MOST).contains(&price.value) {
            let message = format!("{} is no price: 0 to {MOST}", price.value);
            f.add(&price.at, message, "correct it; leave it out where prices are not known");
        }
    }
    if all().any(|(_, price)| price.is_some()) {
        for (name, _) in all().filter(|(_, price)| price.is_none()) {
            let message = "this fuel has no price, and other fuel of the day has one";
            f.add(name, message, "add price, 0 where it costs nothing; or leave out every price");
        }
    }
}

/// The place of each source with its first price.
fn of_stop(stop: &Stop) -> Vec<(&Range<usize>, Option<&At<f64>>)> {
    let yard = stop.yard.iter().flat_map(|yard| {
        let first = yard.price.as_ref().or(yard.drum_price.as_ref());
        let more = yard.price.as_ref().and(yard.drum_price.as_ref());
        let at = &yard.place.at;
        std::iter::once((at, first)).chain(more.map(|more| (at, Some(more))))
    });
    let pump = stop.pump.iter().flat_map(|pump| {
        let first = pump.price.as_ref().or(pump.call_out.as_ref());
        let more = pump.price.as_ref().and(pump.call_out.as_ref());
        let at = &pump.name.at;
        std::iter::once((at, first)).chain(more.map(|more| (at, Some(more))))
    });
    yard.chain(pump).collect()
}
