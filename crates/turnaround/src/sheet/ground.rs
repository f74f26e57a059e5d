//! What stage and pack say of the ground, for the contents of a sheet.

use stillprop_calc::{
    charge,
    quantity::{FromAmount, Ratio, Time},
    trace::Silent,
    unit,
};

use super::{
    Facts, Worker,
    facts::{Fuelling, Start},
};
use crate::{
    assess::ground::PERMITTIVITY,
    document::ground::StartBy,
    limits::Verdict,
    stage::{Cited, Figure, Stage},
    units::{Round, show},
};

/// Fills in what the documents and the pack say.
pub(super) fn fill(facts: &mut Facts, stage: &Stage) {
    let (ground, start) = (&stage.ground, &stage.start);
    facts.start = match start.by {
        StartBy::Starter => Start::Electric,
        StartBy::Hand => Start::Hand,
    };
    facts.hand_permitted = start.hand_permitted;
    facts.alone_permitted = allowed(&ground.start.alone_allowed);
    facts.second = second(facts, stage);
    facts.tail_wheel = tail_wheel(stage);
    facts.settling = ground.drain.settling.clone();
    facts.extinguishers = count(&ground.fuelling.extinguishers);
    facts.extinguisher_near = ground.fuelling.extinguisher_near.clone();
    facts.extinguisher_far = ground.fuelling.extinguisher_far.clone();
    facts.spill_distance = ground.running_room.spill.clone();
    facts.running_distance = ground.moving_room.propeller_margin.clone();
    facts.charge_wait = charge_wait(stage);
    facts.report_spill = dangerous_goods(stage);
    facts.report_fire = accident(stage);
    facts.report_injury = accident(stage);
    facts.report_fuel = incident(stage);
    facts.dead_cut = start.dead_cut.map(|day| day.to_string());
    facts.holds_full = holds_full(stage);
    if facts.fuelling == Fuelling::None {
        facts.drums.clear();
    }
}

fn allowed(said: &crate::stage::Allowed) -> Figure<bool> {
    let (value, citation) = said.as_ref().map_err(Clone::clone)?;
    Ok(Cited { value: *value, citation: citation.clone(), remark: None })
}

fn count(figure: &Figure<Ratio>) -> Figure<u32> {
    let cited = figure.as_ref().map_err(Clone::clone)?;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 10")]
    let value = cited.value.count(unit::ONE).ceil() as u32;
    Ok(Cited { value, citation: cited.citation.clone(), remark: cited.remark.clone() })
}

/// Whoever the documents name for the start beside the pilot.
fn second(facts: &Facts, stage: &Stage) -> Option<Worker> {
    let named = [&stage.start.at_propeller, &stage.start.at_controls];
    let other = named.into_iter().flatten().find(|name| **name != facts.pilot.name)?;
    let may = match stage.start.trained {
        Some(true) if stage.start.at_propeller.as_ref() == Some(other) => {
            "trained to turn the propeller"
        }
        _ => "helps",
    };
    Some(Worker { name: other.clone(), may: may.into() })
}

fn tail_wheel(stage: &Stage) -> Option<bool> {
    let wheels = &stage.site.as_ref().ok()?.airframe.wheels;
    let third = wheels.iter().find(|wheel| wheel.at.east().si() == 0.0)?;
    Some(third.at.north().si() < 0.0)
}

/// Five times what the charge of the fuel takes to fall to 37 %: less than 1 % is left.
fn charge_wait(stage: &Stage) -> Figure<Time> {
    let flow = stage.site.as_ref().map_err(Clone::clone)?.flow;
    let conductivity = flow.conductivity.ok_or("how well the fuel conducts is not given")?;
    let permittivity = Ratio::from_si(PERMITTIVITY);
    let tau = charge::liquid_relaxation(permittivity, conductivity, &mut Silent)
        .map_err(|error| error.to_string())?;
    Ok(Cited {
        value: tau * 5.0,
        citation: "five times the relaxation time of the fuel; common practice, no source".into(),
        remark: None,
    })
}

fn within(figure: &Figure<Time>, what: &str) -> Figure<String> {
    let cited = figure.as_ref().map_err(Clone::clone)?;
    let time = cited.value;
    let unit = if time.count(unit::D) >= 3.0 { unit::D } else { unit::H };
    let value = format!("{what} within {}", show(time, unit, Round::Down));
    Ok(Cited { value, citation: cited.citation.clone(), remark: cited.remark.clone() })
}

fn accident(stage: &Stage) -> Figure<String> {
    within(&stage.ground.report.accident_form, "in writing to the accident investigator")
}

fn incident(stage: &Stage) -> Figure<String> {
    within(
        &stage.ground.report.incident_form,
        "in writing to the authority, where it is an incident",
    )
}

fn dangerous_goods(stage: &Stage) -> Figure<String> {
    within(
        &stage.ground.report.dangerous_goods_form,
        "in writing, where dangerous goods were spilt",
    )
}

/// Whether it would hold at full throttle.
fn holds_full(stage: &Stage) -> Option<String> {
    let hold = stage.start.hold.as_ref().ok()?;
    let held = hold.at_full(&stage.ground.start, &mut Silent).ok()?;
    let newton = |force, round| show(force, unit::N, round);
    let word = match held.measure().verdict() {
        Verdict::Holds => "it would hold",
        _ => "IT WOULD NOT HOLD",
    };
    Some(format!(
        "{word}: {} holds, {} needed, {} of thrust at full throttle",
        newton(held.holds, Round::Down),
        newton(held.needed, Round::Up),
        newton(held.full, Round::Up),
    ))
}
