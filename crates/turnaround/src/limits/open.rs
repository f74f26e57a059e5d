//! `strip.open`: nobody takes off from a strip or lands on one while it is shut.
//!
//! Opening hours are those of the strip document, by the clock of the strip. A document without
//! them gives no limit: most strips of this trade are never shut.

use jiff::{Timestamp, civil::Time};

use super::{Family, Found, Id, Sink, Words, light::clock};
use crate::stage::{Choice, Spot, Stage, later};

/// Computes them; listed only for strips that have opening hours.
pub fn limits<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let take_off = later(choice.departs, stage.taxi_time());
    judge(&stage.here, "take-off", "takes off", Ok(take_off), sink);
    for (index, leg) in stage.documents.turnaround.legs.iter().enumerate() {
        let Some(spot) = &stage.there[index] else { continue };
        let lands = match &stage.plan {
            Ok(plan) => Ok(later(choice.departs, plan.legs[index].lands_after)),
            Err(why) => Err(why.as_str()),
        };
        judge(spot, &leg.name.value, "lands", lands, sink);
    }
}

fn judge<S: Sink>(spot: &Spot, of: &str, does: &str, at: Result<Timestamp, &str>, sink: &mut S) {
    let Some((from, until)) = spot.open else { return };
    let id = Id::of(Family::Strip, "open", of);
    let at = match at {
        Ok(at) => at,
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why)),
    };
    let time = spot.offset.to_datetime(at).time();
    let open = from <= time && time <= until;
    sink.limit(id, Found::Condition(open), |_| {
        let hours = format!("{} to {}", short(from), short(until));
        Words::stands(format!("{does} {}, {} is open {hours}", clock(at, spot.offset), spot.name))
            .act(format!("{} is shut then: be there from {hours}", spot.name))
    });
}

fn short(time: Time) -> String {
    format!("{:02}:{:02}", time.hour(), time.minute())
}
