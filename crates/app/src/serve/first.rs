//! The first page, and the way to own data.

use std::sync::Arc;

use axum::{extract::State, response::Response};
use jiff::{Timestamp, civil::Date};
use stillprop_turnaround::limits::Verdict;

use super::{
    author::Author,
    form::Sent,
    reply::{Reply, answer},
    sheet,
    shop::{Shop, Worked},
    yard,
};
use crate::{
    pages::{
        begin::Begin,
        bits::encoded,
        first::{Due, First, Stop, Tightest},
        frame::Place,
    },
    problem::Failure,
    report::bars,
    world::{self, DEMO},
};

/// `GET /`
pub(super) async fn page(State(shop): State<Arc<Shop>>, author: Author) -> Response {
    answer(shop, author, |shop| {
        let page = first(shop, world::now());
        Ok(Reply::page(Place::Stops, "Stops", page.markup()))
    })
    .await
}

fn first(shop: &Shop, now: Timestamp) -> First {
    let mut stops: Vec<(Timestamp, Date, String, Stop)> = Vec::new();
    let mut broken = Vec::new();
    for entry in shop.folder.list().into_iter().filter(|entry| entry.kind == "turnaround") {
        match shop.worked(&entry.name) {
            Ok(worked) => {
                let departs = worked.choice.departs;
                let offset = worked.stage.here.offset;
                let (day, today) =
                    (offset.to_datetime(departs).date(), offset.to_datetime(now).date());
                stops.push((departs, day, title(day, today), stop(shop, entry.name, &worked)));
            }
            Err(failure) => broken.push((entry.name, told(shop, &failure))),
        }
    }
    stops.sort_by(|a, b| (a.0, &a.3.name).cmp(&(b.0, &b.3.name)));
    // What has left is behind us, and stands last.
    let (mut ahead, behind): (Vec<_>, Vec<_>) = stops.into_iter().partition(|stop| stop.0 >= now);
    let next = (!ahead.is_empty()).then(|| ahead.remove(0).3);
    let mut days: Vec<(String, Vec<Stop>)> = Vec::new();
    let behind = behind.into_iter().rev().map(|stop| (stop.0, stop.1, "Past".to_owned(), stop.3));
    for (_, _, title, stop) in ahead.into_iter().chain(behind) {
        match days.last_mut() {
            Some((last, rows)) if *last == title => rows.push(stop),
            _ => days.push((title, vec![stop])),
        }
    }
    First { next, days, broken, due: due(shop) }
}

/// The heading that a day comes under.
fn title(day: Date, today: Date) -> String {
    let ahead = today.duration_until(day).as_hours() / 24;
    match ahead {
        0 => "Today".to_owned(),
        1..7 => "This week".to_owned(),
        _ => "Later".to_owned(),
    }
}

fn stop(shop: &Shop, name: String, worked: &Worked) -> Stop {
    let a = &worked.assessment;
    let local = worked.stage.here.offset.to_datetime(worked.choice.departs);
    let tightest = a.limits.first().map(|limit| Tightest {
        id: limit.id.clone(),
        stands: limit.words.stands.clone(),
        share: limit.share().map(bars::share),
    });
    Stop {
        title: a.title.clone(),
        of: format!("{} at {}", a.aircraft, a.strip),
        departs: format!("{} {:02}:{:02}", local.date(), local.hour(), local.minute()),
        ready: a.ready(),
        counts: [Verdict::Breaks, Verdict::Unknown, Verdict::Holds]
            .map(|verdict| format!("{} {}", verdict.word(), a.count(verdict)))
            .join(", "),
        tightest,
        sheet: sheet::next(shop, worked).unwrap_or_else(|failure| {
            failure.told().first().map_or_else(String::new, |told| told.message.clone())
        }),
        name,
    }
}

fn due(shop: &Shop) -> Result<Vec<Due>, String> {
    let rows = yard::due_rows(shop).map_err(|failure| {
        let told = failure.told();
        told.first().map_or_else(|| "unknown".to_owned(), |told| told.message.clone())
    })?;
    let rows = rows.ok_or("Nothing is recorded of a yard yet.")?;
    Ok(rows.into_iter().map(|row| Due { id: row.id, label: row.label, words: row.words }).collect())
}

/// The problems of a failure, files named as in the folder.
pub(super) fn told(shop: &Shop, failure: &Failure) -> Vec<crate::problem::Told> {
    let mut told = failure.told();
    for each in &mut told {
        each.file = each.file.as_deref().map(|file| shop.folder.shown(file));
    }
    told
}

/// `GET /begin`
pub(super) async fn begin(State(shop): State<Arc<Shop>>, author: Author) -> Response {
    answer(shop, author, |shop| {
        let aircraft = DEMO.iter().filter_map(|(name, _)| name.strip_prefix("demo/aircraft/"));
        let page = Begin {
            demo: shop.demo,
            folder: shop.folder.root().display().to_string(),
            aircraft: aircraft.map(|name| name.trim_end_matches(".toml").to_owned()).collect(),
        };
        Ok(Reply::page(Place::Stops, "Begin with your own data", page.markup()))
    })
    .await
}

/// `POST /begin`: copies an aeroplane of the demonstration with what its first turnaround names.
pub(super) async fn copy(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Sent(pairs): Sent,
) -> Response {
    answer(shop, author, move |shop| {
        let wanted = format!("aircraft/{}.toml", pairs.text("aircraft"));
        let of = |(name, text): &&(&str, &str)| {
            name.contains("/turnarounds/") && text.contains(&format!("\"../{wanted}\""))
        };
        let turnaround = DEMO.iter().find(of).ok_or_else(|| {
            Failure::asked("there is no such aeroplane to copy", "choose one of the list")
        })?;
        for (name, text) in DEMO {
            let named = name.contains("/strips/") || name.ends_with(&wanted);
            if named || *name == turnaround.0 {
                let name = name.strip_prefix("demo/").unwrap_or(name);
                shop.folder.create(name.trim_end_matches(".toml"), text)?;
            }
        }
        let name = turnaround.0.trim_start_matches("demo/").trim_end_matches(".toml");
        Ok(Reply::Go(format!("/document/{}", encoded(name))))
    })
    .await
}
