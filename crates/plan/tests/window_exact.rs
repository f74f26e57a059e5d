//! The window of small stops against documents in which departure and weather are typed for one
//! minute, each prepared and judged in full.
//!
//! Every case compares every second hour of its day, counted from a random minute, and both sides of
//! every edge that the window names; the first case compares every minute. The weather of a minute is
//! reckoned here, not by the search.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used, reason = "tests")]

mod cases;
#[allow(dead_code, reason = "each test uses another part of it")]
#[path = "../../turnaround/tests/demo/mod.rs"]
mod demo;

use cases::{
    Dice, many,
    stop::{RULES, given, judged, named, small},
};
use jiff::{SignedDuration, Timestamp};
use stillprop_calc::{
    quantity::{Angle, FromAmount, Pressure, ThermodynamicTemperature, Velocity},
    unit,
};
use stillprop_plan::window::{MINUTES, Window, window};
use stillprop_rules::document::{At, Bearing, Moment, North};
use stillprop_turnaround::{
    document::{
        strip::Open,
        turnaround::{Hour, Weather, Wind},
    },
    limits::Verdict,
    stage::{Documents, Stage, later, light::Light, prepare, prepare_again},
    units::Units,
};

fn degc(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::of(value, unit::DEGC)
}

fn wind(dice: &mut Dice) -> Wind {
    let angle = Angle::of(dice.whole(0, 359) as f64, unit::DEG);
    let speed = Velocity::of(dice.whole(0, 24) as f64, unit::KT);
    Wind {
        from: Some(Bearing { angle, north: North::True, at: 0..0 }),
        speed: given(speed, unit::KT),
        gust: None,
    }
}

/// Weather as typed; in some cases by hours, in some along the curve.
fn weather(dice: &mut Dice, weather: &mut Weather, midnight: Moment) {
    weather.metar = None;
    weather.qnh = Some(given(Pressure::of(dice.whole(990, 1030) as f64, unit::HPA), unit::HPA));
    weather.temperature = Some(given(degc(dice.whole(5, 38) as f64), unit::DEGC));
    weather.wind = Some(wind(dice));
    match dice.whole(0, 3) {
        0 => {}
        1 => {
            let low = dice.whole(0, 22);
            weather.minimum = Some(given(degc(low as f64), unit::DEGC));
            weather.maximum = Some(given(degc((low + dice.whole(4, 20)) as f64), unit::DEGC));
        }
        _ => {
            let mut hour = dice.whole(-2, 6);
            while hour < 26 && weather.hours.len() < 6 {
                let instant = midnight.instant + SignedDuration::from_hours(hour);
                let temperature = degc(dice.whole(2, 44) as f64);
                let qnh = Pressure::of(dice.whole(985, 1035) as f64, unit::HPA);
                weather.hours.push(Hour {
                    at: At { value: Moment { instant, ..midnight }, at: 0..0 },
                    temperature: dice.percent(75).then(|| given(temperature, unit::DEGC)),
                    wind: dice.percent(60).then(|| wind(dice)),
                    qnh: dice.percent(30).then(|| given(qnh, unit::HPA)),
                });
                hour += dice.whole(1, 9);
            }
        }
    }
}

/// A small stop with a course of its own through the day.
fn made(number: u64, base: &Documents) -> (Documents, Moment) {
    let mut documents = small(number, base);
    let mut dice = Dice::new(5_000_000 + number);
    let departs = documents.turnaround.departs;
    let start = departs.offset.to_datetime(departs.instant).date();
    let start = start.to_datetime(jiff::civil::Time::midnight());
    let midnight = Moment { instant: departs.offset.to_timestamp(start).unwrap(), ..departs };
    weather(&mut dice, &mut documents.turnaround.weather, midnight);
    weather(&mut dice, &mut documents.turnaround.legs[0].weather, midnight);
    if dice.percent(30) {
        let from = format!("{:02}:{:02}", dice.whole(3, 9), dice.whole(0, 59));
        let until = format!("{:02}:{:02}", dice.whole(11, 22), dice.whole(0, 59));
        documents.strip.open = Some(Open { from: named(&from), until: named(&until) });
    }
    if dice.percent(50) {
        let instant = departs.instant - SignedDuration::from_mins(dice.whole(10, 240));
        documents.turnaround.fuel.begins =
            Some(At { value: Moment { instant, ..departs }, at: 0..0 });
    }
    (documents, midnight)
}

fn hours(from: Timestamp, to: Timestamp) -> f64 {
    to.duration_since(from).as_secs_f64() / 3600.0
}

/// Parton and Logan as the documentation of the planner states it, written again.
fn curve(low: f64, high: f64, light: &Light, around: Timestamp, at: Timestamp) -> Option<f64> {
    let sun = light.sun(around).ok()?;
    let (rise, set) = (sun.rise()?, sun.set()?);
    let day = hours(rise, set);
    let (a, b, c) = (1.86, 2.20, -0.17);
    let mut t = hours(rise, at);
    while t < c {
        t += 24.0;
    }
    while t >= 24.0 + c {
        t -= 24.0;
    }
    let sine = |t: f64| {
        low + (high - low) * (std::f64::consts::PI * (t - c) / (day + 2.0 * (a - c))).sin()
    };
    Some(if t < day {
        sine(t)
    } else {
        let night = 24.0 - day + c;
        low + (sine(day) - low) * (-b * (t - day) / night).exp()
    })
}

/// The weather of one instant, typed.
fn typed(weather: &mut Weather, light: &Light, around: Timestamp, at: Timestamp) {
    let all = std::mem::take(&mut weather.hours);
    if all.is_empty() {
        let ends = (weather.minimum.take(), weather.maximum.take());
        if let (Some(low), Some(high)) = ends {
            let (low, high) = (low.value.count(unit::DEGC), high.value.count(unit::DEGC));
            let found = curve(low, high, light, around, at);
            weather.temperature = found.map(|found| given(degc(found), unit::DEGC));
        }
        return;
    }
    let over = all.last().unwrap().at.value.instant < at;
    let before = |hour: &&Hour| hour.at.value.instant <= at;
    if all.iter().any(|hour| hour.temperature.is_some()) {
        let known: Vec<(Timestamp, f64)> = all
            .iter()
            .filter_map(|hour| {
                Some((hour.at.value.instant, hour.temperature.as_ref()?.value.count(unit::DEGC)))
            })
            .collect();
        let exact = known.iter().find(|(instant, _)| *instant == at).map(|(_, degc)| *degc);
        let between = known.windows(2).find(|two| two[0].0 < at && at < two[1].0).map(|two| {
            let part = hours(two[0].0, at) / hours(two[0].0, two[1].0);
            two[0].1 + (two[1].1 - two[0].1) * part
        });
        weather.temperature = exact.or(between).map(|found| given(degc(found), unit::DEGC));
    }
    if all.iter().any(|hour| hour.wind.is_some()) {
        let last = all.iter().filter(before).filter_map(|hour| hour.wind.clone()).next_back();
        weather.wind = if over { None } else { last };
    }
    if all.iter().any(|hour| hour.qnh.is_some()) {
        let last = all.iter().filter(before).filter_map(|hour| hour.qnh.clone()).next_back();
        weather.qnh = if over { None } else { last };
    }
}

struct Day<'a> {
    documents: &'a Documents,
    stage: &'a Stage,
    found: &'a Window,
    lands_after: Option<stillprop_calc::quantity::Time>,
}

impl Day<'_> {
    /// Compares one minute, limit by limit; true when every limit holds.
    fn compare(&self, number: u64, departs: Timestamp) -> bool {
        let planned = self.documents.turnaround.departs.instant;
        let mut again = self.documents.clone();
        let turnaround = &mut again.turnaround;
        turnaround.departs.instant = departs;
        if let Some(begins) = &mut turnaround.fuel.begins {
            begins.value.instant = departs - planned.duration_since(begins.value.instant);
        }
        let light = &self.stage.light;
        typed(&mut turnaround.weather, &light.here, planned, departs);
        if let (Some(after), Some(there)) = (self.lands_after, &light.there[0]) {
            typed(&mut turnaround.legs[0].weather, there, planned, later(departs, after));
        }
        let (stage, choice) = prepare_again(again, &RULES, self.stage);
        let mut all = true;
        for (name, verdict, _) in judged(&stage, &choice) {
            let shut = self.found.shut.iter().find(|shut| shut.limit.id == name);
            let within =
                |(from, until): &(Timestamp, Timestamp)| *from <= departs && departs <= *until;
            let shut = shut.is_some_and(|shut| shut.stretches.iter().any(within));
            assert_eq!(shut, verdict != Verdict::Holds, "case {number}: {name} at {departs}");
            all &= verdict == Verdict::Holds;
        }
        assert_eq!(self.found.holds(departs), all, "case {number}: {departs}");
        all
    }
}

#[test]
fn two_thousand_small_days_are_what_every_typed_minute_says() {
    let base = demo::documents(&demo::texts("over-mass"));
    let (mut minutes, mut edges, mut open, mut several) = (0, 0, 0, 0);
    for number in 0..many() {
        let (documents, midnight) = made(number, &base);
        let (stage, choice) = prepare(documents.clone(), &RULES);
        let found = window(&stage, &choice, &Units::METRIC);
        assert_eq!(found.midnight, midnight.instant);
        let lands_after = stage.plan.as_ref().ok().map(|plan| plan.legs[0].lands_after);
        let day = Day { documents: &documents, stage: &stage, found: &found, lands_after };
        let mut dice = Dice::new(number);
        let step = if number < 1 { 1 } else { 120 };
        let first = dice.index(step);
        for minute in (first..MINUTES).step_by(step) {
            open += u32::from(
                day.compare(number, found.midnight + SignedDuration::from_mins(minute as i64)),
            );
            minutes += 1;
        }
        let one = SignedDuration::from_mins(1);
        let last = found.midnight + one * (MINUTES as i32 - 1);
        for stretch in &found.open {
            let both = [stretch.from - one, stretch.from, stretch.until, stretch.until + one];
            for at in both.into_iter().filter(|at| found.midnight <= *at && *at <= last) {
                day.compare(number, at);
                edges += 1;
            }
        }
        several += u32::from(found.open.len() > 1);
    }
    println!(
        "{minutes} minutes, {open} of them open, {edges} beside edges, {several} days with several stretches"
    );
    let cases = many() as u32;
    assert!(open > cases / 2 && edges > cases / 4 && several > 0, "{open} {edges} {several}");
}
