//! `sample.*`: drawn from the low point after settling, clear and bright, of the right colour,
//! dry, and of a density that fits.

use stillprop_calc::{
    bounds::Bounds,
    grade::{AVGAS, JET_A1, PURITY, Pure, Reading as Read, consistent_with, jet_in_avgas},
    quantity::{FromAmount, MassDensity, TemperatureInterval, Time},
    trace::{Silent, Step, Trace},
    unit,
};
use stillprop_rules::situation::Grade;

use super::{Family, Found, Id, Margins, Measure, Sink, Verdict, Words, drum::span, light::after};
use crate::{
    drums::{
        Appearance, Container, Occasion, Paste, Reading, Sample,
        colour::{Colour, colour},
        settle,
    },
    stage::{Choice, Stage, grade_of},
    units::density_line,
};

/// Computes the family for each drum that is named and known.
pub fn limits<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let occasion = stage.occasion(choice);
    for drum in &stage.drums.drums {
        if let Ok(container) = &drum.container {
            taken(container, &occasion, sink);
            quality(container, &occasion, sink);
        }
    }
}

/// What the last sample showed. Without a sample there is nothing to judge.
pub(crate) fn quality<S: Sink>(container: &Container, occasion: &Occasion<'_>, sink: &mut S) {
    if let Some(sample) = &container.sample {
        appearance(container, sample, occasion, sink);
        water(container, sample, sink);
        density(container, sample, occasion, sink);
    }
}

/// Whether there is a sample that counts, whatever it showed.
pub(crate) fn counts(container: &Container, occasion: &Occasion<'_>) -> bool {
    let mut margins = Margins::with_room(1);
    taken(container, occasion, &mut margins);
    margins.limits.iter().all(|limit| limit.verdict == Verdict::Holds)
}

/// Why a sample does not count, whatever it showed.
enum Void {
    NotLow,
    Moved,
    NotSettled(jiff::Timestamp),
    Late,
}

fn void(container: &Container, sample: &Sample, occasion: &Occasion<'_>) -> Option<Void> {
    let settles = settle::settling(container, occasion.figures, &mut Silent).map(|s| s.at);
    if !sample.low_point {
        Some(Void::NotLow)
    } else if container.stands_since.is_some_and(|since| sample.at < since) {
        Some(Void::Moved)
    } else if let Ok(settles) = settles
        && sample.at < settles
    {
        Some(Void::NotSettled(settles))
    } else if sample.at > occasion.time() {
        Some(Void::Late)
    } else {
        None
    }
}

/// A sample there is, that counts, and not too long ago.
fn taken<S: Sink>(container: &Container, occasion: &Occasion<'_>, sink: &mut S) {
    let id = Id::of(Family::Sample, "taken", &container.label);
    let Some(sample) = &container.sample else {
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing("no sample: let it settle, then draw one from the low point")
        });
    };
    if let Some(void) = void(container, sample, occasion) {
        return sink.limit(id, Found::Condition(false), |_| void_words(&void, sample, occasion));
    }
    let most = match &occasion.figures.sample_max_age {
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(most) => most,
    };
    sink.trace().step(|| most.step("time for which a sample counts", "most"));
    let age = after(occasion.time(), sample.at);
    sink.trace().step(|| Step::new("age of the sample", "fuelling - sample").gives("age", age));
    let measure = Measure::at_most(age, most.value);
    if occasion.begins.is_none() && measure.margin() < 0.0 {
        // Fresh enough for an early start of fuelling, too old at chocks off.
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing("say when fuelling begins, or sample again")
        });
    }
    sink.limit(id, Found::Measured(measure), |_| age_words(sample, occasion, age, most.value));
}

fn age_words(sample: &Sample, occasion: &Occasion<'_>, age: Time, most: Time) -> Words {
    let at = occasion.clock(sample.at);
    Words::stands(format!("sampled at {at}, good for {}", span(most)))
        .act(format!("{} too long ago: sample again", span(age - most)))
}

fn void_words(void: &Void, sample: &Sample, occasion: &Occasion<'_>) -> Words {
    let at = occasion.clock(sample.at);
    let stands = Words::stands(format!("sampled at {at}"));
    match void {
        Void::NotLow => stands.act("not drawn from the low point: sample again"),
        Void::Moved => stands.act("it was moved after the sample: let it settle, sample again"),
        Void::NotSettled(settles) => {
            let settles = occasion.clock_up(*settles);
            stands.act(format!("it had not settled before {settles}: sample again then"))
        }
        Void::Late if occasion.begins.is_some() => {
            stands.act("after fuelling begins: sample before the first litre")
        }
        Void::Late => stands.act("after chocks off: check the time of the sample"),
    }
}

fn appearance<S: Sink>(
    container: &Container,
    sample: &Sample,
    occasion: &Occasion<'_>,
    sink: &mut S,
) {
    let id = Id::of(Family::Sample, "appearance", &container.label);
    let judged = colour(&sample.colour, occasion.grade);
    let found = match (sample.appearance, judged) {
        (Appearance::Haze | Appearance::Sediment | Appearance::Water, _)
        | (_, Colour::Differs(_)) => Found::Condition(false),
        (Appearance::ClearAndBright, Colour::Word) => Found::Unknown,
        (Appearance::ClearAndBright, Colour::Fits(_) | Colour::NoDye) => Found::Condition(true),
    };
    sink.limit(id, found, |_| {
        let grade = occasion.grade;
        let seen = match sample.appearance {
            Appearance::ClearAndBright => "clear and bright",
            Appearance::Haze => "hazy",
            Appearance::Sediment => "sediment",
            Appearance::Water => "water",
        };
        let words = Words::stands(format!("{seen}, {}", sample.colour));
        match (sample.appearance, judged) {
            (Appearance::Haze, _) => {
                words.act("let it settle and sample again; still hazy: do not use it")
            }
            (Appearance::Sediment | Appearance::Water, _) => {
                words.act("drain, let it settle and sample again; still there: do not use it")
            }
            (_, Colour::Differs(own)) => {
                words.act(format!("{grade} is {own}: find out what is in it, do not use it"))
            }
            (_, Colour::Word) => words.act("say the colour: red, green, blue, straw, clear ..."),
            (_, Colour::NoDye) => words.remark(Some(format!("colour says nothing about {grade}"))),
            (_, Colour::Fits(_)) if sample.density.is_none() => {
                words.remark(Some(format!("density not read. {PURITY}")))
            }
            (_, Colour::Fits(_)) => words,
        }
    });
}

fn water<S: Sink>(container: &Container, sample: &Sample, sink: &mut S) {
    let id = Id::of(Family::Sample, "water", &container.label);
    let found = match sample.paste {
        Paste::Dry => Found::Condition(true),
        Paste::Wet => Found::Condition(false),
        Paste::NotUsed => Found::Unknown,
    };
    sink.limit(id, found, |_| match sample.paste {
        Paste::Dry => Words::stands("paste dry"),
        Paste::Wet => Words::stands("paste wet")
            .act("water: drain, let it settle and sample again; still wet: do not use it"),
        Paste::NotUsed => Words::missing("use the water paste: eye and nose alone mislead"),
    });
}

/// The band of a grade at 15 degC; `None` for a grade that has none.
fn band(grade: &str) -> Option<&'static Bounds> {
    match grade_of(grade)? {
        Grade::Avgas => Some(&AVGAS),
        Grade::Jet => Some(&JET_A1),
        Grade::Mogas => None,
    }
}

/// What a density that was read says. One that was not read is no limit: see the remark of
/// [`appearance`].
fn density<S: Sink>(container: &Container, sample: &Sample, occasion: &Occasion<'_>, sink: &mut S) {
    let (Some(reading), Some(band)) = (&sample.density, band(occasion.grade)) else { return };
    let id = Id::of(Family::Sample, "density", &container.label);
    let at_15 = match reading.at_15(sink.trace()) {
        None => {
            return sink.limit(id, Found::Unknown, |_| {
                Words::missing("the temperature of the sample was not read")
            });
        }
        Some(Err(error)) => {
            return sink.limit(id, Found::Unknown, |_| Words::missing(error.to_string()));
        }
        Some(Ok(at_15)) => at_15.density,
    };
    // The working says what it is consistent with; the limit is the nearer edge of the band.
    let consistent = consistent_with(at_15, &AVGAS, sink.trace());
    let edge = |value: f64| MassDensity::of(value, band.unit);
    let (low, high) = (edge(band.min), edge(band.max));
    let measure = if at_15 - low < high - at_15 {
        Measure::at_least(at_15, low)
    } else {
        Measure::at_most(at_15, high)
    };
    sink.limit(id, Found::Measured(measure.share_of(high - low)), |units| {
        let shown = density_line(units, at_15);
        let other = consistent.map_or("neither", |consistent| consistent.words());
        let (low, high) = (density_line(units, low), density_line(units, high));
        Words::stands(format!("{shown} at 15 degC, {low} to {high} is {}", occasion.grade))
            .act(format!("consistent with {other}: do not use it.{}", jet_words(reading, occasion)))
            .remark(Some(PURITY.to_owned()))
    });
}

/// Reading errors of a field hydrometer and thermometer: half a division, ours.
const DENSITY_ERROR: f64 = 0.5;
const TEMPERATURE_ERROR: f64 = 0.5;

/// The share of jet fuel that an avgas too heavy would mean, the pure fuels lying anywhere in
/// their bands.
fn jet_words(reading: &Reading, occasion: &Occasion<'_>) -> String {
    let middle = |band: &Bounds| MassDensity::of(f64::midpoint(band.min, band.max), band.unit);
    // The standard uncertainty of a value that may lie anywhere in a band.
    let spread =
        |band: &Bounds| MassDensity::of((band.max - band.min) / 12.0_f64.sqrt(), band.unit);
    let (Some(Grade::Avgas), Some(temperature)) = (grade_of(occasion.grade), reading.temperature())
    else {
        return String::new();
    };
    let read = Read {
        density: reading.density(),
        temperature,
        density_error: MassDensity::of(DENSITY_ERROR, unit::KG_M3),
        temperature_error: TemperatureInterval::of(TEMPERATURE_ERROR, unit::DEGC_STEP),
    };
    let pure = Pure {
        avgas: middle(&AVGAS),
        avgas_error: spread(&AVGAS),
        jet: middle(&JET_A1),
        jet_error: spread(&JET_A1),
    };
    match jet_in_avgas(&read, &pure, &mut Silent) {
        Ok(found) if found.share > found.visible => format!(
            " As if {:.0} % of it were jet fuel, give or take {:.0}",
            found.share.count(unit::PERCENT).min(100.0),
            found.visible.count(unit::PERCENT)
        ),
        _ => String::new(),
    }
}
