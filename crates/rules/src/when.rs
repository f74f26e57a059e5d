//! The condition of a figure: where it applies, and which of two conditions is narrower.

use std::fmt;

use stillprop_calc::{
    quantity::{FromAmount, Mass},
    unit::KG,
};

use crate::{
    document::Given,
    key::Aspect,
    situation::{Category, Detail, Engine, FlightRules, Grade, Operation, Situation, Surface},
};

/// Where a figure applies. What is not named does not matter.
#[derive(Clone, Debug, Default)]
pub struct When {
    /// For whom the flight is made.
    pub operation: Option<Operation>,
    /// By what rules it is flown.
    pub flight_rules: Option<FlightRules>,
    /// What turns the propeller.
    pub engine: Option<Engine>,
    /// Greatest take-off mass above this.
    pub mtow_over: Option<Given<Mass>>,
    /// Greatest take-off mass up to and including this.
    pub mtow_up_to: Option<Given<Mass>>,
    /// This many seats or more.
    pub seats_from: Option<u8>,
    /// This many seats or fewer.
    pub seats_to: Option<u8>,
    /// What the wheels roll on.
    pub surface: Option<Surface>,
    /// Wet or dry.
    pub wet: Option<bool>,
    /// Family of fuel.
    pub grade: Option<Grade>,
    /// Of whom it speaks.
    pub category: Option<Category>,
}

/// Whether a figure applies to a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// It applies.
    Yes,
    /// It does not.
    No,
    /// It depends on something the question left out.
    Unsaid(Aspect),
}

/// Whether two conditions on one choice can hold together.
fn meet<T: PartialEq>(a: Option<T>, b: Option<T>) -> bool {
    a.is_none() || b.is_none() || a == b
}

/// Whether `inner` holds only where `outer` does.
fn inside<T: PartialEq>(inner: Option<T>, outer: Option<T>) -> bool {
    outer.is_none() || inner == outer
}

impl When {
    /// Greatest take-off mass in kilograms: above the first, up to the second.
    fn mtow_kg(&self) -> (f64, f64) {
        let over = self.mtow_over.as_ref().map_or(f64::NEG_INFINITY, |mass| mass.value.count(KG));
        let up_to = self.mtow_up_to.as_ref().map_or(f64::INFINITY, |mass| mass.value.count(KG));
        (over, up_to)
    }

    /// Seats, both ends included.
    fn seats(&self) -> (u8, u8) {
        (self.seats_from.unwrap_or(0), self.seats_to.unwrap_or(u8::MAX))
    }

    /// What is named beyond the situation.
    #[must_use]
    pub fn aspects(&self) -> Vec<Aspect> {
        [
            (self.surface.is_some(), Aspect::Surface),
            (self.wet.is_some(), Aspect::Wet),
            (self.grade.is_some(), Aspect::Grade),
            (self.category.is_some(), Aspect::Category),
        ]
        .into_iter()
        .filter_map(|(named, aspect)| named.then_some(aspect))
        .collect()
    }

    /// Whether the figure applies. "No" for any reason outweighs what was left out.
    #[must_use]
    pub fn fits(&self, situation: &Situation, detail: Detail) -> Fit {
        let ((over, up_to), (from, to)) = (self.mtow_kg(), self.seats());
        let mtow = situation.mtow.count(KG);
        let applies = meet(self.operation, Some(situation.operation))
            && meet(self.flight_rules, Some(situation.flight_rules))
            && meet(self.engine, Some(situation.engine))
            && (over < mtow && mtow <= up_to)
            && (from..=to).contains(&situation.seats)
            && meet(self.surface, detail.surface)
            && meet(self.wet, detail.wet)
            && meet(self.grade, detail.grade)
            && meet(self.category, detail.category);
        if !applies {
            return Fit::No;
        }
        let said = |aspect: &Aspect| match aspect {
            Aspect::Surface => detail.surface.is_some(),
            Aspect::Wet => detail.wet.is_some(),
            Aspect::Grade => detail.grade.is_some(),
            Aspect::Category => detail.category.is_some(),
        };
        self.aspects().into_iter().find(|aspect| !said(aspect)).map_or(Fit::Yes, Fit::Unsaid)
    }

    /// Whether both can apply to one question.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        let ((over_a, up_to_a), (over_b, up_to_b)) = (self.mtow_kg(), other.mtow_kg());
        let ((from_a, to_a), (from_b, to_b)) = (self.seats(), other.seats());
        meet(self.operation, other.operation)
            && meet(self.flight_rules, other.flight_rules)
            && meet(self.engine, other.engine)
            && over_a.max(over_b) < up_to_a.min(up_to_b)
            && from_a.max(from_b) <= to_a.min(to_b)
            && meet(self.surface, other.surface)
            && meet(self.wet, other.wet)
            && meet(self.grade, other.grade)
            && meet(self.category, other.category)
    }

    /// Whether this applies only where `other` does: narrower, or the same.
    #[must_use]
    pub fn within(&self, other: &Self) -> bool {
        let ((over, up_to), (outer_over, outer_up_to)) = (self.mtow_kg(), other.mtow_kg());
        let ((from, to), (outer_from, outer_to)) = (self.seats(), other.seats());
        inside(self.operation, other.operation)
            && inside(self.flight_rules, other.flight_rules)
            && inside(self.engine, other.engine)
            && (outer_over <= over && up_to <= outer_up_to)
            && (outer_from <= from && to <= outer_to)
            && inside(self.surface, other.surface)
            && inside(self.wet, other.wet)
            && inside(self.grade, other.grade)
            && inside(self.category, other.category)
    }
}

/// "private, VFR day, up to 5700 kg"; "always" when nothing is named.
impl fmt::Display for When {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mass = |words: &str, mass: &Given<Mass>| {
            let value = (mass.value.count(mass.unit) * 1e6).round() / 1e6;
            format!("{words} {value} {}", mass.unit.symbol)
        };
        let parts = [
            self.operation.map(|word| word.to_string()),
            self.flight_rules.map(|word| word.to_string()),
            self.engine.map(|word| word.to_string()),
            self.mtow_over.as_ref().map(|given| mass("over", given)),
            self.mtow_up_to.as_ref().map(|given| mass("up to", given)),
            self.seats_from.map(|seats| format!("from {seats} seats")),
            self.seats_to.map(|seats| format!("up to {seats} seats")),
            self.surface.map(|word| word.to_string()),
            self.wet.map(|wet| if wet { "wet" } else { "dry" }.to_owned()),
            self.grade.map(|word| word.to_string()),
            self.category.map(|word| word.to_string()),
        ];
        let parts: Vec<_> = parts.into_iter().flatten().collect();
        f.write_str(if parts.is_empty() { "always" } else { "" })?;
        f.write_str(&parts.join(", "))
    }
}
