//! A stage and a choice as the fuel ladder.

use stillprop_calc::quantity::{FromAmount, Volume};
use stillprop_draw::{
    Limit, Verdict,
    ladder::{Amount, LadderPicture, Rung},
};
use stillprop_turnaround::{
    assess::Assessment,
    limits::{Family, Id},
    stage::{Choice, Stage},
    units::{Round, Units},
};

use super::{aeroplane, find, limit, turnaround};

/// The fuel ladder against what is aboard.
pub(crate) fn picture(
    stage: &Stage,
    choice: &Choice,
    assessment: &Assessment,
    units: &Units,
) -> LadderPicture {
    let amount = |volume: Option<Volume>, round: Round| Amount {
        value: volume.map(|volume| volume.count(units.fuel)),
        words: volume.map_or_else(|| "unknown".into(), |volume| units.fuel(volume, round)),
    };
    let view = assessment.ladder.as_ref();
    let parts = view.ok().map(|view| view.parts);
    let rung = |name: &str, of: fn(&stillprop_calc::fuel::Ladder) -> Volume, kept| Rung {
        name: name.into(),
        amount: amount(parts.as_ref().map(of), Round::Up),
        kept,
    };
    let required = Id::new(Family::Fuel, "required");
    let enough = find(assessment, required).map_or_else(
        || Limit {
            name: "enough aboard".into(),
            stands: "not judged".into(),
            verdict: Verdict::Unknown,
        },
        |of| limit("enough aboard", of),
    );
    LadderPicture {
        place: aeroplane(assessment),
        day: turnaround(assessment),
        unusable: amount(Some(stage.tanks.iter().map(|tank| tank.unusable).sum()), Round::Up),
        rungs: vec![
            rung("start and taxi", |ladder| ladder.start_and_taxi, false),
            rung("trip", |ladder| ladder.trip, false),
            rung("contingency", |ladder| ladder.contingency, false),
            rung("alternate", |ladder| ladder.alternate, false),
            rung("holding", |ladder| ladder.holding, false),
            rung("final reserve", |ladder| ladder.final_reserve, true),
            rung("extra", |ladder| ladder.extra, false),
        ],
        required: amount(view.ok().map(|view| view.required), Round::Up),
        aboard: amount(stage.fuel_aboard(choice), Round::Down),
        capacity: amount(Some(stage.tanks.iter().map(|tank| tank.usable).sum()), Round::Down),
        enough,
        limits: limits(stage, assessment),
        notes: view.err().map(|why| format!("The ladder is unknown: {why}.")).into_iter().collect(),
    }
}

/// The reserve at each landing, and each tank.
fn limits(stage: &Stage, assessment: &Assessment) -> Vec<Limit> {
    let turnaround = &stage.documents.turnaround;
    let legs = turnaround.legs.iter().map(|leg| leg.name.value.as_str());
    let landings = legs.chain(turnaround.alternate.iter().map(|_| "alternate"));
    let reserve = landings.filter_map(|of| {
        let found = find(assessment, Id::of(Family::Fuel, "final-reserve", of))?;
        Some(limit(format!("reserve at {of}"), found))
    });
    let tanks = stage.tanks.iter().filter_map(|tank| {
        let found = find(assessment, Id::of(Family::Fuel, "tank", &tank.label))?;
        Some(limit(format!("tank {}", tank.label), found))
    });
    reserve.chain(tanks).collect()
}
