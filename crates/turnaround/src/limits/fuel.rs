//! `fuel.*`: enough aboard, in tanks that hold it, of a grade that is allowed.

use stillprop_calc::{
    burn::{MOST_TANKS, walk},
    load::Loading,
    quantity::{FromAmount, Mass, Volume},
    trace::{Step, Trace},
};

use super::{Family, Found, Id, Measure, Sink, Words};
use crate::{
    stage::{Choice, Setting, Stage, flight, grade_of},
    units::{Round, Units},
};

/// Computes the family.
pub fn limits<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let aboard = stage.fuel_aboard(choice);
    sink.fresh();
    replay(stage, sink.trace());
    sink.share();
    required(stage, aboard, sink);
    reserve(stage, aboard, sink);
    sink.fresh();
    for (index, (tank, fuel)) in stage.tanks.iter().zip(&choice.fuel).enumerate() {
        sink.trace().step(|| in_tank(stage, choice, index));
        let id = Id::of(Family::Fuel, "tank", &tank.label);
        match fuel {
            None => sink.limit(id, Found::Unknown, |_| {
                Words::missing(format!("the fuel in {} is not given", tank.label))
            }),
            Some(fuel) => {
                let found = Found::Measured(Measure::at_most(*fuel, tank.usable));
                sink.limit(id, found, |units| tank_words(*fuel, tank.usable, units));
            }
        }
    }
    imbalance(stage, choice, sink);
    grade(stage, sink);
    source(stage, sink);
}

/// The plan was reckoned while preparing; a reader of the working sees it reckoned again.
fn replay<T: Trace>(stage: &Stage, trace: &mut T) {
    if T::RECORDS {
        let _again =
            flight::plan(&stage.onward, &stage.documents.aircraft.burn, &stage.figures, trace);
    }
}

/// What a tank holds at chocks off.
pub(crate) fn in_tank(stage: &Stage, choice: &Choice, index: usize) -> Step {
    let now = stage.fuel_now.get(index).copied().flatten();
    let step = |formula| Step::new(stage.tanks[index].label.clone(), formula);
    match (now, stage.uplift(choice, index)) {
        (Some(now), Some(taken)) => step("V = there + taken")
            .with("there", now)
            .with("taken", taken)
            .gives("V", now + taken),
        _ => step("").remark("the fuel in it is not given"),
    }
}

fn tank_words(fuel: Volume, usable: Volume, units: &Units) -> Words {
    let over = units.fuel(fuel - usable, Round::Up);
    Words::stands(format!("{} of {}", units.fuel(fuel, Round::Up), units.fuel(usable, Round::Down)))
        .act(format!("{over} more than the tank holds usable"))
}

fn required<S: Sink>(stage: &Stage, aboard: Option<Volume>, sink: &mut S) {
    let id = Id::new(Family::Fuel, "required");
    let (plan, aboard) = match (&stage.plan, aboard) {
        (Err(why), _) => {
            return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone()));
        }
        (_, None) => return sink.limit(id, Found::Unknown, |_| Words::missing(not_given(stage))),
        (Ok(plan), Some(aboard)) => (plan, aboard),
    };
    let found = Found::Measured(Measure::at_least(aboard, plan.required));
    sink.limit(id, found, |units| {
        let short = units.fuel(plan.required - aboard, Round::Up);
        Words::stands(format!(
            "{} aboard, {} required",
            units.fuel(aboard, Round::Down),
            units.fuel(plan.required, Round::Up)
        ))
        .act(format!("{short} short: take {short} more"))
    });
}

fn not_given(stage: &Stage) -> String {
    let unknown = stage.tanks.iter().zip(&stage.fuel_now).filter(|(_, fuel)| fuel.is_none());
    let names: Vec<&str> = unknown.map(|(tank, _)| tank.label.as_str()).collect();
    format!("the fuel in {} is not given", names.join(" and "))
}

/// Final reserve still aboard at each landing, and at the alternate.
fn reserve<S: Sink>(stage: &Stage, aboard: Option<Volume>, sink: &mut S) {
    let plan = match &stage.plan {
        Ok(plan) => plan,
        Err(why) => {
            let document = &stage.documents.turnaround;
            let legs = document.legs.iter().map(|leg| leg.name.value.as_str());
            for of in legs.chain(document.alternate.iter().map(|_| "alternate")) {
                let id = Id::of(Family::Fuel, "final-reserve", of);
                sink.limit(id, Found::Unknown, |_| Words::missing(why.clone()));
            }
            return;
        }
    };
    let reserve = plan.ladder.final_reserve;
    let mut landing = |id: Id<'_>, used: Volume| match aboard {
        None => sink.limit(id, Found::Unknown, |_| Words::missing(not_given(stage))),
        Some(aboard) => {
            let left = aboard - used;
            sink.trace().step(|| {
                Step::new("fuel left at landing", "aboard - used")
                    .with("aboard", aboard)
                    .with("used", used)
                    .gives("left", left)
            });
            // As a share of what is aboard: a share of the reserve itself would always look
            // wide.
            let measure = Measure::at_least(left, reserve).share_of(aboard);
            sink.limit(id, Found::Measured(measure), |units| {
                let short = units.fuel(reserve - left, Round::Up);
                Words::stands(format!(
                    "{} left, {} must be",
                    units.fuel(left, Round::Down),
                    units.fuel(reserve, Round::Up)
                ))
                .act(format!("{short} into the final reserve: take {short} more"))
            });
        }
    };
    for leg in &plan.legs {
        landing(Id::of(Family::Fuel, "final-reserve", &leg.name), leg.used);
    }
    if stage.documents.turnaround.alternate.is_some() {
        let ladder = &plan.ladder;
        let used = plan.legs.last().map_or_else(|| Volume::from_si(0.0), |leg| leg.used);
        let at_alternate = used + ladder.alternate;
        landing(Id::of(Family::Fuel, "final-reserve", "alternate"), at_alternate);
    }
}

fn imbalance<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let id = Id::new(Family::Fuel, "imbalance");
    let limit = match stage.limits.fuel_imbalance {
        Setting::None => return,
        Setting::Missing => {
            return sink.limit(id, Found::Unknown, |_| {
                Words::missing("the aircraft document does not say what the manual sets")
            });
        }
        Setting::Is(limit) => limit,
    };
    let Some((difference, heavy)) = greatest_difference(stage, choice) else {
        let why = || stage.density.as_ref().err().cloned().unwrap_or_else(|| not_given(stage));
        return sink.limit(id, Found::Unknown, |_| Words::missing(why()));
    };
    for index in 0..stage.tanks.len() {
        sink.trace().step(|| in_tank(stage, choice, index));
    }
    sink.trace().step(|| {
        let what = "greatest difference between the sides on the whole burn";
        Step::new(what, "right less left, at each end of each stretch").gives("V", difference)
    });
    sink.limit(id, Found::Measured(Measure::at_most(difference, limit)), |units| {
        let over = units.fuel(difference - limit, Round::Up);
        Words::stands(format!(
            "{} more {heavy}, {} allowed",
            units.fuel(difference, Round::Up),
            units.fuel(limit, Round::Down)
        ))
        .act(format!("{over} too much difference between left and right"))
    });
}

/// The greatest difference between the sides on the whole burn, and the fuller side.
///
/// Along a stretch the difference is a straight line, so its greatest is at an end.
fn greatest_difference(stage: &Stage, choice: &Choice) -> Option<(Volume, &'static str)> {
    let density = stage.density.as_ref().ok()?.value;
    let mut fuel = [Mass::from_si(0.0); MOST_TANKS];
    for (mass, volume) in fuel.iter_mut().zip(&choice.fuel) {
        *mass = (*volume)? * density;
    }
    let count = choice.fuel.len().min(MOST_TANKS);
    let leaning = |fuel: &[Mass]| {
        let sides = stage.tanks.iter().zip(fuel);
        sides.map(|(tank, fuel)| *fuel * f64::from(tank.side)).sum::<Mass>()
    };
    let mut most = leaning(&fuel[..count]);
    let none = Mass::from_si(0.0);
    walk(Loading::empty(), &stage.burn_tanks, &fuel[..count], none, |stretch| {
        let here = leaning(&stretch.left[..count]);
        if here.abs() > most.abs() {
            most = here;
        }
    });
    Some((most.abs() / density, if most.value < 0.0 { "left" } else { "right" }))
}

/// Fuel that is taken comes from somewhere; without a word on it no drum and no sample is
/// asked for.
fn source<S: Sink>(stage: &Stage, sink: &mut S) {
    let taken = |uplift: &crate::drums::named::Uplift| uplift.planned.value > 0.0;
    if stage.method.is_none() && stage.drums.uplift.iter().any(taken) {
        sink.limit(Id::new(Family::Fuel, "source"), Found::Unknown, |_| {
            Words::missing("it is not said where the fuel comes from: add method under [fuel]")
        });
    }
}

/// The grade must be one the manual names, to the letter.
fn grade<S: Sink>(stage: &Stage, sink: &mut S) {
    let allowed = &stage.documents.aircraft.fuel_grades;
    let grade = &stage.documents.turnaround.fuel.grade.value;
    let named = allowed.iter().any(|allowed| allowed.value.eq_ignore_ascii_case(grade));
    sink.limit(Id::new(Family::Fuel, "grade"), Found::Condition(named), |_| {
        let names: Vec<&str> = allowed.iter().map(|allowed| allowed.value.as_str()).collect();
        let kinds =
            |grade: &str| grade_of(grade).map_or("", stillprop_rules::situation::Grade::word);
        let other = allowed.iter().all(|allowed| kinds(&allowed.value) != kinds(grade));
        let danger =
            if other { " This is another kind of fuel: the engine would fail." } else { "" };
        Words::stands(format!("{grade}; the manual allows {}", names.join(", ")))
            .act(format!("{grade} is not a grade the manual allows: do not put it in.{danger}"))
    });
}
