//! The figures a turnaround needs from its rule pack, looked up once.

use stillprop_calc::{
    quantity::{FromAmount, Mass, Ratio, Time},
    trace::Step,
};
use stillprop_rules::{
    key::Key,
    pack::Status,
    rules::Rules,
    situation::{Category, Detail, Situation, Surface},
};

use super::Unknown;

/// A figure with where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Cited<Q> {
    /// The figure.
    pub value: Q,
    /// Pack, document, clause, status and how it was read, in one line.
    pub citation: String,
    /// What stacking packs did to it.
    pub remark: Option<String>,
}

/// A figure, or why there is none.
pub type Figure<Q> = Result<Cited<Q>, Unknown>;

/// A yes or no with its citation, or why there is none.
pub type Allowed = Result<(bool, String), Unknown>;

impl<Q: FromAmount> Cited<Q> {
    /// The figure as a step of a working.
    #[must_use]
    pub fn step(&self, what: &'static str, symbol: &'static str) -> Step {
        let step = Step::new(what, "").gives(symbol, self.value);
        let remark = self.remark.as_ref().map_or(String::new(), |remark| format!("; {remark}"));
        step.remark(format!("{}{remark}", self.citation))
    }
}

/// Every figure a turnaround may need.
#[derive(Clone, Debug)]
pub struct Figures {
    /// Final reserve.
    pub final_reserve: Figure<Time>,
    /// Contingency as part of the trip.
    pub contingency: Figure<Ratio>,
    /// Safety factor on take-off.
    pub take_off_factor: Figure<Ratio>,
    /// Safety factor on landing.
    pub landing_factor: Figure<Ratio>,
    /// Extra take-off distance for each 1 % up.
    pub upslope_take_off: Figure<Ratio>,
    /// Extra landing distance for each 1 % down.
    pub downslope_landing: Figure<Ratio>,
    /// Part of the headwind that may be counted.
    pub headwind_credit: Figure<Ratio>,
    /// Part of the tailwind that must be counted.
    pub tailwind_charge: Figure<Ratio>,
    /// Extra take-off distance for a tailwind of 10 % of the lift-off speed.
    pub tailwind_take_off: Figure<Ratio>,
    /// Extra landing distance for a tailwind of 10 % of the landing speed.
    pub tailwind_landing: Figure<Ratio>,
    /// Least gradient of climb after take-off.
    pub climb_take_off: Figure<Ratio>,
    /// Buffer before last light.
    pub last_light_buffer: Figure<Time>,
    /// Buffer after first light.
    pub first_light_buffer: Figure<Time>,
    /// Whether standard masses may be used.
    pub standard_mass_allowed: Allowed,
    /// Whether people and bags may go without being asked about dangerous goods.
    pub unscreened_allowed: Allowed,
    /// Clothing added to a stated mass.
    pub clothing: Figure<Mass>,
    /// Hand baggage added to a stated mass.
    pub hand_baggage: Figure<Mass>,
}

impl Figures {
    /// Looks every figure up.
    #[must_use]
    pub fn find(rules: &Rules, situation: &Situation) -> Self {
        fn plain<Q: FromAmount>(rules: &Rules, key: Key, situation: &Situation) -> Figure<Q> {
            quantity(rules, key, situation, Detail::NONE)
        }
        let (r, s) = (rules, situation);
        Self {
            final_reserve: plain(r, Key::FinalReserve, s),
            contingency: plain(r, Key::Contingency, s),
            take_off_factor: plain(r, Key::TakeOffFactor, s),
            landing_factor: plain(r, Key::LandingFactor, s),
            upslope_take_off: plain(r, Key::UpslopeTakeOff, s),
            downslope_landing: plain(r, Key::DownslopeLanding, s),
            headwind_credit: plain(r, Key::HeadwindCredit, s),
            tailwind_charge: plain(r, Key::TailwindCharge, s),
            tailwind_take_off: plain(r, Key::TailwindTakeOff, s),
            tailwind_landing: plain(r, Key::TailwindLanding, s),
            climb_take_off: plain(r, Key::ClimbTakeOff, s),
            last_light_buffer: plain(r, Key::LastLightBuffer, s),
            first_light_buffer: plain(r, Key::FirstLightBuffer, s),
            standard_mass_allowed: allowed(r, Key::StandardMassAllowed, s),
            unscreened_allowed: allowed(r, Key::UnscreenedAllowed, s),
            clothing: plain(r, Key::ClothingAllowance, s),
            hand_baggage: plain(r, Key::HandBaggageAllowance, s),
        }
    }

    /// What was found, by name, each with its citation.
    #[must_use]
    pub fn citations(&self) -> Vec<(&'static str, &str)> {
        fn of<'a, Q>(what: &'static str, figure: &'a Figure<Q>) -> Option<(&'static str, &'a str)> {
            figure.as_ref().ok().map(|cited| (what, cited.citation.as_str()))
        }
        let all = [
            of("final reserve", &self.final_reserve),
            of("contingency", &self.contingency),
            of("take-off factor", &self.take_off_factor),
            of("landing factor", &self.landing_factor),
            of("upslope figure", &self.upslope_take_off),
            of("downslope figure", &self.downslope_landing),
            of("headwind credit", &self.headwind_credit),
            of("tailwind charge", &self.tailwind_charge),
            of("tailwind figure for take-off", &self.tailwind_take_off),
            of("tailwind figure for landing", &self.tailwind_landing),
            of("climb gradient", &self.climb_take_off),
            of("buffer before last light", &self.last_light_buffer),
            of("buffer after first light", &self.first_light_buffer),
            of("clothing allowance", &self.clothing),
            of("hand-baggage allowance", &self.hand_baggage),
        ];
        all.into_iter().flatten().collect()
    }
}

/// A quantity of the pack with its citation.
pub(crate) fn quantity<Q: FromAmount>(
    rules: &Rules,
    key: Key,
    situation: &Situation,
    detail: Detail,
) -> Figure<Q> {
    let found = rules.find(key, situation, detail).map_err(|missing| missing.to_string())?;
    let value = found
        .quantity()
        .ok_or_else(|| format!("the figure for {} in {} is no quantity", key.id(), found.pack))?;
    let remark = [found.remark.clone(), found.figure.note.clone()];
    let remark: Vec<String> = remark.into_iter().flatten().collect();
    Ok(Cited {
        value,
        citation: citation(&found),
        remark: (!remark.is_empty()).then(|| remark.join("; ")),
    })
}

fn citation(found: &stillprop_rules::rules::Found<'_>) -> String {
    let figure = found.figure;
    format!("pack {}: {} ({}, read: {})", found.pack, figure.citation, figure.status, figure.read)
}

/// A yes or no of the pack with its citation.
pub(crate) fn allowed(rules: &Rules, key: Key, situation: &Situation) -> Allowed {
    allowed_for(rules, key, situation, Detail::NONE)
}

/// A yes or no that may depend on more than the situation.
pub(crate) fn allowed_for(
    rules: &Rules,
    key: Key,
    situation: &Situation,
    detail: Detail,
) -> Allowed {
    let found = rules.find(key, situation, detail).map_err(|missing| missing.to_string())?;
    let allowed = found.allowed().ok_or_else(|| format!("{} is not yes or no", key.id()))?;
    // A prohibition that was replaced is still a warning; a permission is none any more.
    if allowed && found.figure.status == Status::Superseded {
        let cited = citation(&found);
        return Err(format!("the rule that allowed it was replaced, read today's: {cited}"));
    }
    Ok((allowed, citation(&found)))
}

/// The standard mass of a class of person.
pub(super) fn standard_mass(
    rules: &Rules,
    situation: &Situation,
    category: Category,
) -> Figure<Mass> {
    quantity(rules, Key::StandardMass, situation, Detail::category(category))
}

/// The factor for a surface; take-off or landing.
pub(super) fn surface(
    rules: &Rules,
    situation: &Situation,
    key: Key,
    surface: Surface,
    wet: bool,
) -> Figure<Ratio> {
    quantity(rules, key, situation, Detail::surface(surface, wet))
}
