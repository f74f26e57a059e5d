//! What stage and pack say of the ground, for the contents of a sheet.

use stillprop_calc::{
    charge,
    quantity::{FromAmount, Ratio, Time, VolumeRate},
    trace::Silent,
    unit,
};

use super::{
    Facts, Worker,
    facts::{Broken, Fuelling, Start},
};
use crate::{
    assess::{Limit, assess, ground::PERMITTIVITY},
    document::ground::StartBy,
    limits::{Family, Verdict},
    site::Spilt,
    stage::{Choice, Cited, Figure, Stage},
    units::{Round, show},
};

/// Fills in what the documents and the pack say.
pub(super) fn fill(facts: &mut Facts, stage: &Stage, choice: &Choice) {
    let (ground, start) = (&stage.ground, &stage.start);
    facts.start = match start.by {
        StartBy::Starter => Start::Electric,
        StartBy::Hand => Start::Hand,
    };
    facts.starter = Some(start.starter);
    facts.brake = brake(stage);
    let allowed_grades = &stage.documents.aircraft.fuel_grades;
    facts.allowed = Some(allowed_grades.iter().map(|grade| grade.value.clone()).collect());
    facts.reconcile = stage.drums.figures.reconcile_limit.clone();
    facts.first_rate = first_rate(stage);
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
    facts.running_public = ground.running_room.public_area.clone();
    facts.running_aircraft = ground.running_room.other_aircraft.clone();
    facts.call_area = ground.spill.call_area.clone();
    facts.call_width = ground.spill.call_width.clone();
    facts.charge_wait = charge_wait(stage);
    facts.report_spill = dangerous_goods(stage);
    facts.report_fire = accident(stage);
    facts.report_injury = accident(stage);
    facts.report_fuel = incident(stage);
    facts.dead_cut = start.dead_cut.map(|day| day.to_string());
    facts.holds_full = holds_full(stage);
    facts.spilt = spilt(stage);
    broken(facts, stage, choice);
    if facts.fuelling == Fuelling::None {
        facts.drums.clear();
    }
}

/// What breaks by the documents, of the place, the start and the grade; and whether it would be
/// pulled away by its own propeller.
fn broken(facts: &mut Facts, stage: &Stage, choice: &Choice) {
    let limits = assess(stage, choice, &stage.document_units).limits;
    let asked = |limit: &Limit| {
        matches!(limit.family, Family::Site | Family::Start) || limit.id == "fuel.grade"
    };
    let words = |limit: &Limit| match &limit.words.act {
        Some(act) => format!("{}: {act}", limit.words.stands),
        None => limit.words.stands.clone(),
    };
    for limit in limits.iter().filter(|it| it.verdict == Verdict::Breaks && asked(it)) {
        if limit.id == "start.hold" {
            facts.gives_way = Some(words(limit));
        }
        facts.broken.push(Broken { id: limit.id.clone(), words: words(limit) });
    }
}

/// Fuel that lies on the ground by the documents.
fn spilt(stage: &Stage) -> Vec<String> {
    let Ok(site) = &stage.site else { return Vec::new() };
    let one = |spilt: &Spilt| {
        let volume = show(spilt.volume, unit::L, Round::Up);
        match &spilt.pool {
            Ok(pool) => {
                let across = show(pool.radius() * 2.0, unit::M, Round::Up);
                format!("{}: {volume}, {across} across", spilt.what)
            }
            Err(why) => format!("{}: {volume}; how wide: unknown ({why})", spilt.what),
        }
    };
    site.spills.iter().map(one).collect()
}

fn brake(stage: &Stage) -> Option<bool> {
    let wheels = &stage.site.as_ref().ok()?.airframe.wheels;
    (!wheels.is_empty()).then(|| wheels.iter().any(|wheel| wheel.brake))
}

fn first_rate(stage: &Stage) -> Figure<VolumeRate> {
    let bore = stage.site.as_ref().map_err(Clone::clone)?.flow.bore;
    let bore = bore.ok_or("the bore of the hose is not given")?;
    let first = stage.ground.charge.first_velocity.as_ref().map_err(Clone::clone)?;
    let limits = charge::FlowLimits { velocity: first.value, velocity_bore: None };
    let found = charge::greatest_flow(bore, &limits, &mut Silent);
    let value = found.map_err(|error| error.to_string())?.flow;
    Ok(Cited { value, citation: first.citation.clone(), remark: first.remark.clone() })
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

/// By telephone first, then in writing: what the pack has of the two.
fn dangerous_goods(stage: &Stage) -> Figure<String> {
    let report = &stage.ground.report;
    let phone = within(&report.dangerous_goods_phone, "by telephone");
    let form = within(&report.dangerous_goods_form, "in writing, where dangerous goods were spilt");
    match (phone, form) {
        (Ok(phone), Ok(form)) => {
            let value = format!("{}; {}", phone.value, form.value);
            let citation = if phone.citation == form.citation {
                form.citation
            } else {
                format!("{}; {}", phone.citation, form.citation)
            };
            Ok(Cited { value, citation, remark: form.remark })
        }
        (Ok(found), Err(_)) | (Err(_), Ok(found)) => Ok(found),
        (Err(why), Err(_)) => Err(why),
    }
}

/// Whether it would hold at full throttle.
fn holds_full(stage: &Stage) -> Option<String> {
    let hold = stage.start.hold.as_ref().ok()?;
    let held = hold.at_full(&stage.ground.start, &mut Silent).ok()?;
    let word = match held.measure().verdict() {
        Verdict::Holds => "it would hold",
        _ => "IT WOULD NOT HOLD",
    };
    Some(format!("{word}: {}", held.words()))
}
