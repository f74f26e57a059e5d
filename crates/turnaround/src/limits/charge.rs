//! `static.*`: charge that flowing fuel carries, and the time it has to leave.
//!
//! Asked only where fuel is taken. What is given of the flow is typed under `[ground.flow]`.

use stillprop_calc::{
    charge::{self, AfterFilter, FlowLimits, HoseFlow},
    quantity::{AreaRate, FromAmount, Length, Time, Velocity, Volume, VolumeRate},
    unit,
};

use super::{Family, Found, Id, Measure, Sink, Words};
use crate::{
    document::turnaround::Method,
    site::{Flow, figures::StaticFigures},
    stage::{Cited, Stage},
    units::{Round, show},
};

/// Computes the family.
pub fn limits<S: Sink>(stage: &Stage, sink: &mut S) {
    let Ok(site) = &stage.site else { return };
    if stage.method == Some(Method::None) {
        return;
    }
    let figures = &stage.ground.charge;
    velocity(site.flow, figures, sink);
    residence(site.flow, figures, sink);
}

const NO_FLOW: &str = "rate of flow and bore of the hose are not given: add flow to [ground]";

fn velocity<S: Sink>(flow: Flow, figures: &StaticFigures, sink: &mut S) {
    let (id, by_bore) =
        (Id::new(Family::Static, "velocity"), Id::new(Family::Static, "velocity-bore"));
    let Some((rate_given, bore)) = flow.rate.zip(flow.bore) else {
        sink.limit(id, Found::Unknown, |_| Words::missing(NO_FLOW));
        return sink.limit(by_bore, Found::Unknown, |_| Words::missing(NO_FLOW));
    };
    let found = match charge::hose_flow(rate_given, bore, sink.trace()) {
        Ok(found) => found,
        Err(beyond) => {
            sink.limit(id, Found::Unknown, |_| Words::missing(beyond.to_string()));
            return sink.limit(by_bore, Found::Unknown, |_| Words::missing(beyond.to_string()));
        }
    };
    sink.share();
    match &figures.velocity {
        Err(why) => sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(most) => {
            let measure = Measure::at_most(found.velocity, most.value);
            sink.limit(id, Found::Measured(measure), |_| {
                let (has, bound) =
                    (speed(found.velocity, Round::Up), speed(most.value, Round::Down));
                Words::stands(format!("{has} of {bound} in the hose"))
                    .act(format!("pump no faster than {}", rate(bore, most.value)))
                    .remark(Some(format!("{}; {}", first(bore, figures), most.citation)))
            });
        }
    }
    match &figures.velocity_bore {
        Err(why) => sink.limit(by_bore, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(most) => against_bore(by_bore, found, (bore, most), sink),
    }
}

fn against_bore<S: Sink>(
    id: Id<'_>,
    found: HoseFlow,
    (bore, most): (Length, &Cited<AreaRate>),
    sink: &mut S,
) {
    let measure = Measure::at_most(found.velocity_bore, most.value);
    sink.limit(id, Found::Measured(measure), |_| {
        let show = |value: AreaRate, round| {
            crate::units::text(value.count(unit::M2_S), 3, round, unit::M2_S)
        };
        let (has, bound) = (show(found.velocity_bore, Round::Up), show(most.value, Round::Down));
        Words::stands(format!("{has} of {bound}, speed times bore"))
            .act(format!("pump no faster than {}", rate(bore, most.value / bore)))
            .remark(Some(most.citation.clone()))
    });
}

fn speed(velocity: Velocity, round: Round) -> String {
    crate::units::text(velocity.count(unit::M_S), 1, round, unit::M_S)
}

/// The rate at a velocity, rounded down.
fn rate(bore: Length, velocity: Velocity) -> String {
    let limits = FlowLimits { velocity, velocity_bore: None };
    let found = charge::greatest_flow(bore, &limits, &mut stillprop_calc::trace::Silent);
    let litres =
        |flow: VolumeRate| crate::units::text(flow.count(unit::L_MIN), 0, Round::Down, unit::L_MIN);
    found.map_or_else(|_| "the limit".into(), |found| litres(found.flow))
}

/// How to begin: slowly, until the outlet is covered.
fn first(bore: Length, figures: &StaticFigures) -> String {
    match &figures.first_velocity {
        Ok(most) => format!(
            "begin with no more than {} until the outlet is covered",
            rate(bore, most.value)
        ),
        Err(_) => "begin slowly until the outlet is covered".into(),
    }
}

/// Rest after the filter; not asked of fuel that conducts.
fn residence<S: Sink>(flow: Flow, figures: &StaticFigures, sink: &mut S) {
    let id = Id::new(Family::Static, "residence");
    let wanted = match &figures.filter_residence {
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(wanted) => wanted,
    };
    if let (Some(conducts), Ok(enough)) = (flow.conductivity, &figures.conductivity_enough)
        && conducts > enough.value
    {
        let margin = Measure::at_least(conducts, enough.value);
        return sink.limit(id, Found::Measured(margin), |_| {
            let ps = |value| show(value, unit::PS_M, Round::Down);
            Words::stands(format!("the fuel conducts: {} of {}", ps(conducts), ps(enough.value)))
                .remark(Some(enough.citation.clone()))
        });
    }
    let Some(((rate, bore), length)) = flow.rate.zip(flow.bore).zip(flow.behind_filter) else {
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing(
                "rate of flow, bore and hose behind the filter are not given: add flow to [ground]",
            )
        });
    };
    let after = AfterFilter { bore, length, chamber: Volume::from_si(0.0) };
    let stay = match charge::residence(&after, rate, sink.trace()) {
        Ok(stay) => stay,
        Err(beyond) => {
            return sink.limit(id, Found::Unknown, |_| Words::missing(beyond.to_string()));
        }
    };
    sink.limit(id, Found::Measured(Measure::at_least(stay, wanted.value)), |_| {
        let seconds =
            |time: Time, round| crate::units::text(time.count(unit::S), 0, round, unit::S);
        let slow =
            charge::flow_for_residence(&after, wanted.value, &mut stillprop_calc::trace::Silent);
        let slow = slow.map_or_else(
            |_| "slower".into(),
            |flow| crate::units::text(flow.count(unit::L_MIN), 0, Round::Down, unit::L_MIN),
        );
        let (has, needs) = (seconds(stay, Round::Down), seconds(wanted.value, Round::Up));
        Words::stands(format!("{has} of {needs} in the hose after the filter"))
            .act(format!("pump no faster than {slow}, or measure how well the fuel conducts"))
            .remark(Some(wanted.citation.clone()))
    });
}
