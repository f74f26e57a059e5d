//! The window against preparing every minute anew, and its edges where they are known.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

#[allow(dead_code, reason = "each test uses another part of it")]
#[path = "../../turnaround/tests/demo/mod.rs"]
mod demo;

use jiff::{SignedDuration, Timestamp};
use stillprop_calc::{quantity::FromAmount, unit};
use stillprop_plan::{
    forecast::{Basis, Forecast},
    window::{MINUTES, Window, window},
};
use stillprop_rules::{
    builtin,
    document::{Bearing, Given, North},
};
use stillprop_turnaround::{
    document::{
        read_turnaround,
        turnaround::{Hour, Weather},
    },
    limits::{Margins, Verdict},
    stage::{Choice, Documents, Stage, prepare},
    units::Units,
};

const DEMOS: [&str; 8] = [
    "ready",
    "over-mass",
    "mid-burn",
    "last-light",
    "missing",
    "crowded-apron",
    "spill",
    "hand-start",
];

fn of(stage: &Stage, choice: &Choice) -> Window {
    window(stage, choice, &Units::METRIC)
}

fn prepared(documents: Documents) -> (Stage, Choice) {
    let rules = builtin::rules(&documents.turnaround.pack.value).unwrap();
    prepare(documents, &rules)
}

/// A turnaround document with only its weather of interest.
fn weather(lines: &str) -> Weather {
    let text = format!(
        "format = 1\nkind = \"turnaround\"\ntitle = \"t\"\naircraft = \"a\"\nstrip = \"s\"\npack = \"au\"\n\
         operation = \"private\"\nflight_rules = \"VFR day\"\ndeparts = 2026-12-06T10:40:00+05:30\n\
         take_off = \"22\"\n[weather]\n{lines}\n[fuel]\ngrade = \"avgas 100LL\"\n"
    );
    read_turnaround(&text).unwrap_or_else(|why| panic!("{why:#?}")).weather
}

/// Hot by day: hours of the strip where it leaves, minimum and maximum where it lands.
fn hot(documents: &mut Documents) {
    let day = documents.turnaround.departs.instant.to_string();
    let day = &day[..10];
    let hours: String = [("00", 14, 4), ("04", 22, 8), ("08", 44, 12), ("12", 25, 24)]
        .map(|(hour, degc, kt)| {
            format!(
                "{{ at = {day}T{hour}:00:00Z, temperature = \"{degc} degC\", \
                 wind = {{ from = \"200 degT\", speed = \"{kt} kt\" }} }},"
            )
        })
        .concat();
    let found =
        weather(&format!("hours = [{hours}]\nminimum = \"12 degC\"\nmaximum = \"41 degC\""));
    documents.turnaround.weather.hours = found.hours;
    for leg in &mut documents.turnaround.legs {
        leg.weather.minimum = found.minimum.clone();
        leg.weather.maximum = found.maximum.clone();
    }
}

/// The unit of a quantity made here is never read.
fn typed<Q: FromAmount>(value: Option<Q>) -> Option<Given<Q>> {
    value.map(|value| Given { value, unit: unit::KG, at: 0..0 })
}

fn true_bearing(angle: stillprop_calc::quantity::Angle) -> Bearing {
    Bearing { angle, north: North::True, at: 0..0 }
}

/// Every seventh minute, prepared from documents that type the weather of that minute.
#[test]
fn every_minute_equals_documents_prepared_for_it() {
    for name in DEMOS {
        let mut documents = demo::documents(&demo::texts(name));
        hot(&mut documents);
        let (stage, choice) = prepared(documents.clone());
        let found = of(&stage, &choice);
        let begins = stage.drums.begins.map(|begins| choice.departs.duration_since(begins));
        let mut tried = 0;
        for minute in (0..MINUTES).step_by(97) {
            let departs = found.midnight + SignedDuration::from_mins(minute as i64);
            let mut again = documents.clone();
            again.turnaround.departs.instant = departs;
            if let (Some(at), Some(before)) = (&mut again.turnaround.fuel.begins, begins) {
                at.value.instant = departs - before;
            }
            let forecast = |weather: &Weather, leg: Option<usize>, at: Timestamp| {
                let spot = leg.map_or(Some(&stage.here), |leg| stage.there[leg].as_ref()).unwrap();
                let light =
                    leg.map_or(Some(&stage.light.here), |leg| stage.light.there[leg].as_ref());
                Forecast::of(weather, spot, light, choice.departs).at(at)
            };
            let here = forecast(&documents.turnaround.weather, None, departs);
            put(&mut again.turnaround.weather, here);
            for (leg, document) in documents.turnaround.legs.iter().enumerate() {
                let lands_after = stage.plan.as_ref().unwrap().legs[leg].lands_after;
                let lands = stillprop_turnaround::stage::later(departs, lands_after);
                let there = forecast(&document.weather, Some(leg), lands);
                put(&mut again.turnaround.legs[leg].weather, there);
            }
            let (stage, choice) = prepared(again);
            let mut margins = Margins::default();
            stage.margins(&choice, &mut margins);
            let holds = margins.limits.iter().all(|limit| limit.verdict == Verdict::Holds);
            assert_eq!(found.holds(departs), holds, "{name} {departs}");
            let limits = stillprop_turnaround::assess::limits(&stage, &choice, &Units::METRIC);
            for limit in limits {
                let shut = found.shut.iter().find(|shut| shut.limit.id == limit.id);
                let shut = shut.is_some_and(|shut| {
                    shut.stretches.iter().any(|(from, until)| *from <= departs && departs <= *until)
                });
                assert_eq!(shut, limit.verdict != Verdict::Holds, "{name} {departs} {}", limit.id);
                tried += 1;
            }
        }
        assert!(tried > 500);
    }
}

fn put(document: &mut Weather, weather: stillprop_turnaround::weather::Weather) {
    document.metar = None;
    document.temperature = typed(weather.temperature);
    document.qnh = typed(weather.qnh);
    document.dew_point = typed(weather.dew_point);
    document.wind = weather.wind.map(|wind| stillprop_turnaround::document::turnaround::Wind {
        from: wind.from.map(true_bearing),
        speed: typed(Some(wind.speed)).unwrap(),
        gust: typed(wind.gust),
    });
    document.hours = Vec::<Hour>::new();
}

#[test]
fn edges_of_the_demonstration() {
    let clock = |window: &Window, at: Timestamp| {
        stillprop_turnaround::limits::light::clock(at, window.offset)
    };
    let (stage, choice) = demo::stage("last-light");
    let found = of(&stage, &choice);
    assert_eq!(found.open.len(), 1);
    let open = &found.open[0];
    // The assessment says: chocks off by 16:47.
    assert_eq!(clock(&found, open.until), "16:47");
    let ids = |limits: &[stillprop_turnaround::assess::Limit]| -> Vec<String> {
        limits.iter().map(|limit| limit.id.clone()).collect()
    };
    assert_eq!(ids(&open.opens), ["light.departure"]);
    assert_eq!(ids(&open.closes), ["light.arrival.Oumbrel"]);
    assert!(!found.holds(choice.departs));
    assert_eq!(found.nearest(choice.departs), Some(open.until));
    assert_eq!(found.weather[0].1, Basis::Typed);
    // What no time mends is named.
    let (stage, choice) = demo::stage("over-mass");
    let found = of(&stage, &choice);
    assert!(found.open.is_empty());
    let never: Vec<String> = found.never().map(|shut| shut.limit.id.clone()).collect();
    assert_eq!(never, ["load.take-off-mass"]);
}

#[test]
fn opening_hours_make_an_edge() {
    let mut documents = demo::documents(&demo::texts("last-light"));
    let open = "open = { from = \"06:30\", until = \"15:00\" }\n[[directions]]";
    let text = std::fs::read_to_string(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/strips/oumbrel.toml"),
    )
    .unwrap()
    .replacen("[[directions]]", open, 1);
    documents.legs[0] = Some(stillprop_turnaround::document::read_strip(&text).unwrap());
    let (stage, choice) = prepared(documents);
    let found = of(&stage, &choice);
    let open = &found.open[0];
    let closes: Vec<&str> = open.closes.iter().map(|limit| limit.id.as_str()).collect();
    assert_eq!(closes, ["strip.open.Oumbrel"]);
    let opens: Vec<&str> = open.opens.iter().map(|limit| limit.id.as_str()).collect();
    assert_eq!(opens, ["strip.open.Oumbrel"]);
}
