//! Window: the times of chocks off at which every limit holds.
//!
//! Exact to the minute: every whole minute of the day is judged by the limits themselves, in the
//! weather of that minute at every strip. Fuelling is taken to begin as long before chocks off as it
//! is planned to, so that drums that have not settled, and a strip or its light, make an edge.
//!
//! What does not follow the day: winds at cruise, the wet, and where people are.

use jiff::{SignedDuration, Timestamp, tz::Offset};
use stillprop_turnaround::{
    assess::{Limit, limits},
    limits::{Margins, Verdict},
    stage::{Choice, Stage, later},
    units::Units,
};

use crate::forecast::{Basis, Forecast};

/// Minutes of a day.
pub const MINUTES: usize = 24 * 60;

/// Every limit through one day.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// First minute of the day, by the clock of the strip.
    pub midnight: Timestamp,
    /// The clock of the strip.
    pub offset: Offset,
    /// Stretches in which every limit holds, in order.
    pub open: Vec<Stretch>,
    /// Limits that do not hold at some time, longest first.
    pub shut: Vec<Shut>,
    /// How the weather through the day is known, here and at each destination.
    pub weather: Vec<(String, Basis)>,
}

/// Times of chocks off at which every limit holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    /// First minute.
    pub from: Timestamp,
    /// Last minute.
    pub until: Timestamp,
    /// What does not hold a minute before; empty where the day begins.
    pub opens: Vec<Limit>,
    /// What does not hold a minute after; empty where the day ends.
    pub closes: Vec<Limit>,
}

/// When a limit does not hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Shut {
    /// The limit at the first of those minutes.
    pub limit: Limit,
    /// First and last minute of each stretch.
    pub stretches: Vec<(Timestamp, Timestamp)>,
    /// All minutes together.
    pub minutes: usize,
}

impl Window {
    /// True when every limit holds at that minute.
    #[must_use]
    pub fn holds(&self, at: Timestamp) -> bool {
        self.open.iter().any(|stretch| stretch.from <= at && at <= stretch.until)
    }

    /// The minute in the window that is nearest to a time.
    #[must_use]
    pub fn nearest(&self, to: Timestamp) -> Option<Timestamp> {
        let nearest = |stretch: &Stretch| to.clamp(stretch.from, stretch.until);
        let away = |at: &Timestamp| at.duration_since(to).abs();
        self.open.iter().map(nearest).min_by_key(away)
    }

    /// Limits that hold at no time of the day.
    pub fn never(&self) -> impl Iterator<Item = &Shut> {
        self.shut.iter().filter(|shut| shut.minutes == MINUTES)
    }
}

/// A stage that is taken through the day.
#[derive(Clone, Debug)]
pub struct Day {
    stage: Stage,
    choice: Choice,
    here: Forecast,
    there: Vec<Option<Forecast>>,
    /// From the beginning of the fuelling to chocks off.
    fuelling: Option<SignedDuration>,
    midnight: Timestamp,
}

impl Day {
    /// The day of the planned departure.
    #[must_use]
    pub fn of(stage: &Stage, choice: &Choice) -> Self {
        let document = &stage.documents.turnaround;
        let (light, departs) = (&stage.light, choice.departs);
        let there = document.legs.iter().enumerate().map(|(index, leg)| {
            let spot = stage.there[index].as_ref()?;
            Some(Forecast::of(&leg.weather, spot, light.there[index].as_ref(), departs))
        });
        Self {
            here: Forecast::of(&document.weather, &stage.here, Some(&light.here), departs),
            there: there.collect(),
            fuelling: stage.drums.begins.map(|begins| departs.duration_since(begins)),
            midnight: midnight(departs, stage.here.offset),
            stage: stage.clone(),
            choice: choice.clone(),
        }
    }

    /// Moves chocks off, and everything that follows the day with it.
    pub fn set(&mut self, departs: Timestamp) {
        let Self { stage, choice, here, there, fuelling, .. } = self;
        choice.departs = departs;
        stage.drums.begins = fuelling.and_then(|before| departs.checked_sub(before).ok());
        if here.basis() == Basis::Typed
            && there.iter().flatten().all(|forecast| forecast.basis() == Basis::Typed)
        {
            return;
        }
        let plan = stage.plan.as_ref().ok();
        let lands: Vec<Option<Timestamp>> = (0..there.len())
            .map(|leg| Some(later(departs, plan?.legs.get(leg)?.lands_after)))
            .collect();
        stage.set_weather(here.at(departs), |leg| {
            let forecast = there[leg].as_ref()?;
            Some(lands[leg].map_or_else(Default::default, |at| forecast.at(at)))
        });
    }

    /// The stage as it is at the time set last.
    #[must_use]
    pub const fn stage(&self) -> &Stage {
        &self.stage
    }

    /// The choice as it is at the time set last.
    #[must_use]
    pub const fn choice(&self) -> &Choice {
        &self.choice
    }

    fn minute(&self, minute: usize) -> Timestamp {
        #[expect(clippy::cast_possible_wrap, reason = "minutes of a day")]
        let after = SignedDuration::from_mins(minute as i64);
        self.midnight.saturating_add(after).unwrap_or(self.midnight)
    }
}

/// The first minute of the day of an instant, by a clock.
fn midnight(instant: Timestamp, offset: Offset) -> Timestamp {
    let start = offset.to_datetime(instant).date().to_datetime(jiff::civil::Time::midnight());
    offset.to_timestamp(start).unwrap_or(instant)
}

/// Judges every minute of the day of the planned departure.
#[must_use]
pub fn window(stage: &Stage, choice: &Choice, units: &Units) -> Window {
    let mut day = Day::of(stage, choice);
    let mut margins = Margins::default();
    let mut shut: Vec<Vec<bool>> = Vec::new();
    let mut all = vec![true; MINUTES];
    for (minute, all) in all.iter_mut().enumerate() {
        day.set(day.minute(minute));
        day.stage.margins(&day.choice, &mut margins);
        shut.resize_with(margins.limits.len(), || vec![false; MINUTES]);
        for (margin, shut) in margins.limits.iter().zip(&mut shut) {
            if margin.verdict != Verdict::Holds {
                shut[minute] = true;
                *all = false;
            }
        }
    }
    let mut weather = vec![(stage.here.name.clone(), day.here.basis())];
    weather.extend(day.there.iter().zip(&stage.there).filter_map(|(forecast, spot)| {
        Some((spot.as_ref()?.name.clone(), forecast.as_ref()?.basis()))
    }));
    Window {
        midnight: day.midnight,
        offset: stage.here.offset,
        open: runs(&all).map(|run| stretch(&mut day, run, units)).collect(),
        shut: closed(&mut day, &shut, units),
        weather,
    }
}

/// First and last of each run of `true`.
fn runs(flags: &[bool]) -> impl Iterator<Item = (usize, usize)> {
    let begins = |at: usize| flags[at] && (at == 0 || !flags[at - 1]);
    let ends =
        move |from: usize| (from..flags.len()).take_while(|at| flags[*at]).last().unwrap_or(from);
    (0..flags.len()).filter(move |at| begins(*at)).map(move |from| (from, ends(from)))
}

fn stretch(day: &mut Day, (from, until): (usize, usize), units: &Units) -> Stretch {
    let mut broken = |minute: Option<usize>| {
        let Some(minute) = minute.filter(|minute| *minute < MINUTES) else { return Vec::new() };
        day.set(day.minute(minute));
        let limits = limits(&day.stage, &day.choice, units);
        limits.into_iter().filter(|limit| limit.verdict != Verdict::Holds).collect()
    };
    let opens = broken(from.checked_sub(1));
    let closes = broken(Some(until + 1));
    Stretch { from: day.minute(from), until: day.minute(until), opens, closes }
}

fn closed(day: &mut Day, shut: &[Vec<bool>], units: &Units) -> Vec<Shut> {
    let mut all: Vec<Shut> = Vec::new();
    for (index, flags) in shut.iter().enumerate() {
        let Some(first) = flags.iter().position(|flag| *flag) else { continue };
        day.set(day.minute(first));
        let Some(limit) = limits(&day.stage, &day.choice, units).into_iter().nth(index) else {
            continue;
        };
        let stretches =
            runs(flags).map(|(from, until)| (day.minute(from), day.minute(until))).collect();
        let minutes = flags.iter().filter(|flag| **flag).count();
        all.push(Shut { limit, stretches, minutes });
    }
    all.sort_by_key(|shut| std::cmp::Reverse(shut.minutes));
    all
}
