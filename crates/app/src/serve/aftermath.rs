//! After an event at a stop: who is told by when, what to keep, a draft.

use std::sync::Arc;

use axum::{
    extract::{Path, State},
    response::Response,
};
use jiff::{Timestamp, civil::DateTime, tz::Offset};
use serde_json::Value;
use stillprop_rules::{builtin, pack::Event};

use super::{
    author::Author,
    form::{Asked, Pairs},
    reply::{Reply, answer},
    shop::{Shop, Worked},
};
use crate::{
    load,
    pages::{aftermath::Aftermath, frame::Place},
    problem::Failure,
    report::event::{self, Happened},
};

/// `GET /report/NAME?event=spill&at=2026-12-03+13:20`
pub(super) async fn page(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let of = shop.worked(&name)?;
        let (found, wrong) = match pairs.given("event") {
            None => (None, None),
            Some(_) => match asked(&of, &pairs) {
                Ok(asked) => {
                    let both = |it: &Happened<'_>| (event::json(it), it.draft());
                    (Some(happened(shop, &of, &asked, both)?), None)
                }
                Err(wrong) => (None, Some(wrong)),
            },
        };
        let title = of.assessment.title.as_str();
        let shown = Aftermath {
            name: &name,
            title,
            guides: builtin::events()?,
            offset: of.stage.here.offset,
            event: pairs.text("event"),
            at: pairs.text("at"),
            seen: pairs.text("seen"),
            wrong,
            answer: found,
        };
        let reply = Reply::page(Place::Stops, format!("After an event: {title}"), shown.markup());
        Ok(if shown.wrong.is_some() { reply.wrong() } else { reply })
    })
    .await
}

/// `GET /api/report/NAME?event=spill`
pub(super) fn api(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Value, Failure> {
    let of = shop.worked(name)?;
    let asked = asked(&of, pairs)
        .map_err(|(field, words)| Failure::asked(words, format!("look at `{field}`")))?;
    happened(shop, &of, &asked, event::json)
}

/// What was asked of an event.
struct Told {
    event: Event,
    at: Option<Timestamp>,
    seen: Vec<String>,
}

fn asked(of: &Worked, pairs: &Pairs) -> Result<Told, (&'static str, String)> {
    let word = pairs.text("event");
    let event = Event::ALL.iter().find(|event| event.word() == word).ok_or_else(|| {
        let words: Vec<&str> = Event::ALL.iter().map(|event| event.word()).collect();
        ("event", format!("there is no such event; there are {}", words.join(", ")))
    })?;
    let at = match pairs.given("at") {
        None => None,
        Some(text) => Some(
            time(text, of.stage.here.offset)
                .ok_or_else(|| ("at", "write day and time: 2026-12-03 13:20".to_owned()))?,
        ),
    };
    let seen = pairs.text("seen").lines().map(str::trim).filter(|line| !line.is_empty());
    Ok(Told { event: *event, at, seen: seen.map(str::to_owned).collect() })
}

/// A time with its offset, or by the clock of the place.
fn time(text: &str, offset: Offset) -> Option<Timestamp> {
    if let Ok(at) = text.parse() {
        return Some(at);
    }
    let local: DateTime = text.parse().ok()?;
    offset.to_timestamp(local).ok()
}

fn happened<T>(
    shop: &Shop,
    of: &Worked,
    told: &Told,
    show: impl FnOnce(&Happened<'_>) -> T,
) -> Result<T, Failure> {
    let stage = &of.stage;
    let found = shop.yard(|ledger| {
        let known = match told.at {
            None => event::called_at(ledger, stage, told.event)?,
            said => said,
        };
        let at = known.unwrap_or(of.choice.departs);
        Ok((known, event::story(ledger, &of.source, (stage, &of.choice), at)?))
    })?;
    let (known, records) = match found {
        Some((known, story)) => (known, Some(story)),
        None => (told.at, None),
    };
    let rules = load::rules_for(&of.stage.documents.turnaround.pack.value, Some(&of.source))?;
    Ok(show(&Happened {
        event: told.event,
        guides: builtin::events()?,
        rules: &rules,
        stage: &of.stage,
        choice: &of.choice,
        at: known.unwrap_or(of.choice.departs),
        said: known.is_some(),
        seen: &told.seen,
        records,
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_is_of_the_place_unless_it_has_an_offset() {
        let offset = jiff::tz::offset(5);
        let noon: Timestamp = "2026-12-03T12:00:00Z".parse().unwrap();
        for text in ["2026-12-03 17:00", "2026-12-03T17:00", "2026-12-03T17:00:00+05:00"] {
            assert_eq!(time(text, offset), Some(noon), "{text}");
        }
        for text in ["", "noon", "17:00", "2026-13-03 17:00", "9999-99-99"] {
            assert_eq!(time(text, offset), None, "{text}");
        }
    }
}
