//! A stage and a choice as the day ribbon.

use jiff::{SignedDuration, Span, Timestamp, civil::Date, tz::Offset};
use stillprop_calc::{
    quantity::{FromAmount, Time},
    trace::Silent,
    unit,
};
use stillprop_draw::day::{
    Buffer, DayPicture, Hop, Hours, Moment, MomentKind, Ribbon, Sky, Stretch, Window,
};
use stillprop_turnaround::{
    assess::Assessment,
    limits::{Family, Id, light::clock},
    stage::{
        Choice, Stage, later,
        light::{Light, Sky as Seen},
    },
};

use super::{aeroplane, find, limit, turnaround};
use crate::ground::verdict;

/// The day at the strip and at each destination. `windows` are the times of departure at which
/// every limit holds, when somebody looked for them.
pub(crate) fn picture(
    stage: &Stage,
    choice: &Choice,
    assessment: &Assessment,
    windows: Option<&[(Timestamp, Timestamp)]>,
) -> DayPicture {
    let offset = stage.here.offset;
    let day = Day { stage, choice, assessment, midnight: midnight(choice.departs, offset) };
    let mut ribbons = vec![day.here()];
    ribbons.extend((0..stage.documents.turnaround.legs.len()).map(|leg| day.there(leg)));
    let window = |(from, to): &(Timestamp, Timestamp)| Window {
        from: day.hours(*from),
        to: day.hours(*to),
        words: format!("{} to {}", clock(*from, offset), clock(*to, offset)),
    };
    let date = offset.to_datetime(choice.departs).date();
    DayPicture {
        place: aeroplane(assessment),
        day: format!("{date}, {}", turnaround(assessment)),
        clock: format!("the clock of {}, UTC{offset}", stage.here.name),
        ribbons,
        hops: day.hops(),
        windows: windows.map(|windows| windows.iter().map(window).collect()),
        limits: day.limits(),
        notes: day.notes(),
    }
}

fn midnight(departs: Timestamp, offset: Offset) -> Timestamp {
    let start = offset.to_datetime(departs).date().to_datetime(jiff::civil::Time::midnight());
    offset.to_timestamp(start).unwrap_or(departs)
}

struct Day<'a> {
    stage: &'a Stage,
    choice: &'a Choice,
    assessment: &'a Assessment,
    midnight: Timestamp,
}

impl Day<'_> {
    fn hours(&self, at: Timestamp) -> Hours {
        #[expect(clippy::cast_precision_loss, reason = "days at most")]
        let seconds = at.duration_since(self.midnight).as_secs() as f64;
        seconds / 3600.0
    }

    fn take_off(&self) -> Timestamp {
        later(self.choice.departs, self.stage.taxi_time())
    }

    /// When a leg takes off and lands; `None` without a plan.
    fn times(&self, leg: usize) -> Option<(Timestamp, Timestamp)> {
        let plan = self.stage.plan.as_ref().ok()?;
        let lands = later(self.choice.departs, plan.legs.get(leg)?.lands_after);
        let leaves = match leg.checked_sub(1) {
            None => self.take_off(),
            Some(before) => {
                let stop = self.stage.onward.legs.get(before)?.stop;
                let after = plan.legs.get(before)?.lands_after + stop + self.stage.taxi_time();
                later(self.choice.departs, after)
            }
        };
        Some((leaves, lands))
    }

    fn here(&self) -> Ribbon {
        let stage = self.stage;
        let offset = stage.here.offset;
        let at = self.take_off();
        let judged = find(self.assessment, Id::new(Family::Light, "departure"));
        let mut moments = vec![Moment {
            kind: MomentKind::TakeOff,
            at: Some(self.hours(at)),
            words: format!("take-off {}", clock(at, offset)),
            verdict: judged.map(|of| verdict(of.verdict)),
        }];
        let weather = &stage.documents.turnaround.weather;
        moments
            .extend(self.weather(weather.metar.as_ref().map(|line| line.value.as_str()), offset));
        let buffer = stage.figures.first_light_buffer.as_ref().ok().map(|cited| cited.value);
        let first = stage.light.here.on(at, &mut Silent).ok();
        let first = first.and_then(|light| light.rise());
        let buffers = first.zip(buffer).and_then(|(first, buffer)| {
            self.buffer(first, later(first, buffer), buffer, "after first light")
        });
        Ribbon {
            buffers: buffers.into_iter().collect(),
            moments,
            ..self.ribbon(stage.here.name.clone(), Some(&stage.light.here), at, offset)
        }
    }

    fn there(&self, leg: usize) -> Ribbon {
        let stage = self.stage;
        let document = &stage.documents.turnaround.legs[leg];
        let spot = stage.there[leg].as_ref();
        let name = spot.map_or_else(|| document.name.value.clone(), |spot| spot.name.clone());
        let offset = spot.map_or(stage.here.offset, |spot| spot.offset);
        let light = stage.light.there[leg].as_ref();
        let id = Id::of(Family::Light, "arrival", &document.name.value);
        let judged = find(self.assessment, id).map(|of| verdict(of.verdict));
        let times = self.times(leg);
        let lands = times.map(|(_, lands)| lands);
        let mut moments = vec![Moment {
            kind: MomentKind::Landing,
            at: lands.map(|at| self.hours(at)),
            words: lands
                .map_or_else(|| "landing".into(), |at| format!("lands {}", clock(at, offset))),
            verdict: judged,
        }];
        if let Some((leaves, _)) = self.times(leg + 1) {
            moments.push(Moment {
                kind: MomentKind::TakeOff,
                at: Some(self.hours(leaves)),
                words: format!("take-off {}", clock(leaves, offset)),
                verdict: None,
            });
        }
        let line = document.weather.metar.as_ref().map(|line| line.value.as_str());
        moments.extend(self.weather(line, offset));
        // The day of the take-off, as the limit has it.
        let around = times.map_or(self.choice.departs, |(leaves, _)| leaves);
        let last = light.and_then(|light| light.on(around, &mut Silent).ok());
        let last = last.and_then(|light| light.set());
        let buffer = stage.figures.last_light_buffer.as_ref().ok().map(|cited| cited.value);
        let buffers = last.zip(buffer).and_then(|(last, buffer)| {
            let from = last.saturating_sub(duration(buffer)).unwrap_or(last);
            self.buffer(from, last, buffer, "before last light")
        });
        Ribbon {
            buffers: buffers.into_iter().collect(),
            moments,
            ..self.ribbon(name, light, around, offset)
        }
    }

    fn buffer(&self, from: Timestamp, to: Timestamp, length: Time, what: &str) -> Option<Buffer> {
        let minutes = length.count(unit::MIN);
        (self.stage.needs_light() && minutes > 0.0).then(|| Buffer {
            from: self.hours(from),
            to: self.hours(to),
            words: format!("{minutes:.0} min {what} kept free"),
        })
    }

    /// The sky of the day and of both its neighbours, and its turning points in words.
    fn ribbon(
        &self,
        place: String,
        light: Option<&Light>,
        around: Timestamp,
        offset: Offset,
    ) -> Ribbon {
        let words = match light {
            None => "light unknown: the position is not given".into(),
            Some(light) if offset == self.stage.here.offset => turning(light, around, offset),
            Some(light) => format!("{} (UTC{offset})", turning(light, around, offset)),
        };
        let day = SignedDuration::from_hours(24);
        let days = [around.checked_sub(day), Ok(around), around.checked_add(day)];
        let seen = |at: Timestamp| light.and_then(|light| light.sky(at).ok()).unwrap_or_default();
        let stretches = days.into_iter().flatten().flat_map(seen);
        let sky = stretches.map(|one| Stretch {
            from: self.hours(one.from),
            to: self.hours(one.to),
            sky: match one.sky {
                Seen::Night => Sky::Night,
                Seen::Twilight => Sky::Twilight,
                Seen::Day => Sky::Day,
            },
        });
        Ribbon { place, words, sky: joined(sky), buffers: Vec::new(), moments: Vec::new() }
    }

    fn weather(&self, line: Option<&str>, offset: Offset) -> Option<Moment> {
        let at = observed(line?, self.choice.departs)?;
        Some(Moment {
            kind: MomentKind::Weather,
            at: Some(self.hours(at)),
            words: format!("METAR {}", clock(at, offset)),
            verdict: None,
        })
    }

    fn hops(&self) -> Vec<Hop> {
        let hop = |leg: usize| {
            let (leaves, lands) = self.times(leg)?;
            Some(Hop { from: (leg, self.hours(leaves)), to: (leg + 1, self.hours(lands)) })
        };
        (0..self.stage.documents.turnaround.legs.len()).filter_map(hop).collect()
    }

    fn limits(&self) -> Vec<stillprop_draw::Limit> {
        let departure = find(self.assessment, Id::new(Family::Light, "departure"));
        let departure = departure.map(|of| limit("departure", of));
        let legs = self.stage.documents.turnaround.legs.iter();
        let arrivals = legs.filter_map(|leg| {
            let name = leg.name.value.as_str();
            let of = find(self.assessment, Id::of(Family::Light, "arrival", name))?;
            Some(limit(format!("arrival {name}"), of))
        });
        departure.into_iter().chain(arrivals).collect()
    }

    fn notes(&self) -> Vec<String> {
        let mut notes = Vec::new();
        if !self.stage.needs_light() {
            let rules = self.stage.documents.turnaround.flight_rules;
            notes.push(format!("Light is not judged under {rules}."));
        }
        notes.extend(
            self.stage.plan.as_ref().err().map(|why| format!("No landing is known: {why}.")),
        );
        notes.push("Terrain is not reckoned: a valley darkens earlier.".into());
        notes
    }
}

fn duration(time: Time) -> SignedDuration {
    #[expect(clippy::cast_possible_truncation, reason = "days at most")]
    SignedDuration::from_secs(time.count(unit::S).ceil() as i64)
}

/// `first light 05:06, sunrise 05:29, sunset 18:00, last light 18:23`.
fn turning(light: &Light, around: Timestamp, offset: Offset) -> String {
    let civil = match light.on(around, &mut Silent) {
        Ok(civil) => civil,
        Err(why) => return format!("light unknown: {why}"),
    };
    let sun = light.sun(around).ok();
    let turns = [
        ("first light", civil.rise()),
        ("sunrise", sun.and_then(|sun| sun.rise())),
        ("sunset", sun.and_then(|sun| sun.set())),
        ("last light", civil.set()),
    ];
    let said: Vec<String> = turns
        .into_iter()
        .filter_map(|(what, at)| Some(format!("{what} {}", clock(at?, offset))))
        .collect();
    if said.is_empty() {
        return format!("civil twilight: the sun is {} its horizon on that day", civil.words());
    }
    said.join(", ")
}

/// Neighbours of one sky become one stretch.
fn joined(stretches: impl Iterator<Item = Stretch>) -> Vec<Stretch> {
    let mut all: Vec<Stretch> = Vec::new();
    for one in stretches {
        match all.last_mut() {
            Some(last) if last.sky == one.sky && (last.to - one.from).abs() < 1e-6 => {
                last.to = one.to;
            }
            _ => all.push(one),
        }
    }
    all
}

/// The time of a METAR, day and time in UTC as `030800Z`: the day of that number nearest to the
/// departure.
fn observed(line: &str, departs: Timestamp) -> Option<Timestamp> {
    let digits = line.split_whitespace().find_map(|group| {
        let digits = group.strip_suffix('Z')?;
        (digits.len() == 6 && digits.bytes().all(|byte| byte.is_ascii_digit())).then_some(digits)
    })?;
    let part = |from: usize| digits.get(from..from + 2)?.parse::<i8>().ok();
    let (day, hour, minute) = (part(0)?, part(2)?, part(4)?);
    let date = Offset::UTC.to_datetime(departs).date();
    let months = [
        date.checked_sub(Span::new().months(1)),
        Ok(date),
        date.checked_add(Span::new().months(1)),
    ];
    let at = |month: Date| {
        let date = Date::new(month.year(), month.month(), day).ok()?;
        let time = jiff::civil::Time::new(hour, minute, 0, 0).ok()?;
        Offset::UTC.to_timestamp(date.to_datetime(time)).ok()
    };
    let found = months.into_iter().flatten().filter_map(at);
    found.min_by_key(|at| at.duration_since(departs).abs())
}
