//! A rule pack: the figures of one jurisdiction or operator, each with source and status.

use std::{collections::BTreeMap, fmt, ops::Range};

use stillprop_calc::{
    quantity::{Amount, FromAmount, Mass},
    strip::GradedFactor,
    trace::Silent,
    unit::{KG, Unit},
};

use crate::{
    briefing::Asked,
    check,
    document::{self, Day, Problem},
    key::{Aspect, Key, Value},
    shape::PackShape,
    situation::{Detail, Operation, Situation},
    when::{Fit, When},
    words::words,
};

words! {
    /// How binding a figure is.
    Status {
        /// It must be kept. Also where the rule, as read, sets none: the note says so.
        Law = "law",
        /// The authority advises it.
        Guidance = "guidance",
        /// It was law or guidance once; nothing with a number took its place.
        Superseded = "superseded",
        /// An operator asks it of its own pilots.
        Operator = "operator",
        /// The trade does it; no authority wrote it.
        CommonPractice = "common practice",
    }
}

impl Status {
    /// Whether an operator may not go below it.
    #[must_use]
    pub const fn binds(self) -> bool {
        matches!(self, Self::Law | Self::Guidance)
    }
}

words! {
    /// How a figure reached us.
    Read {
        /// In the document itself or a full copy of its text.
        Source = "source",
        /// In somebody's quotation or teaching of it.
        SecondHand = "second hand",
        /// From memory, not read again.
        Memory = "memory",
    }
}

words! {
    /// What may have to be reported.
    Event {
        /// Fuel was spilt.
        Spill = "spill",
        /// The wrong fuel went into the aeroplane.
        WrongFuel = "wrong-fuel",
        /// Somebody was hurt.
        Injury = "injury",
        /// A propeller hit somebody or something.
        PropellerStrike = "propeller-strike",
        /// The aeroplane moved with nobody in control of it.
        Runaway = "runaway",
    }
}

/// A document that figures cite.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// Number and title.
    pub document: String,
    /// Edition or date.
    pub edition: String,
    /// Where it is published.
    pub link: Option<String>,
}

/// Where a figure comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Citation {
    /// The document.
    pub source: Source,
    /// The clause, paragraph or table.
    pub clause: String,
}

impl fmt::Display for Citation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}, {}", self.source.document, self.source.edition, self.clause)
    }
}

/// What a figure states.
#[derive(Clone, Debug, PartialEq)]
pub enum Says {
    /// One quantity, and the unit it was written in.
    Constant(Amount, Unit),
    /// A factor that follows the greatest take-off mass, and the unit it was written in.
    Curve(GradedFactor, Unit),
    /// Yes or no.
    Allowed(bool),
}

impl Says {
    /// The value for a type with this greatest take-off mass.
    #[must_use]
    pub fn at(&self, mtow: Mass) -> Value {
        match self {
            Self::Constant(amount, _) => Value::Amount(*amount),
            Self::Curve(curve, _) => Value::Amount(curve.at(mtow, &mut Silent).into()),
            Self::Allowed(allowed) => Value::Allowed(*allowed),
        }
    }

    /// Whether both say the same, in whatever unit.
    #[must_use]
    pub fn agrees(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Constant(a, _), Self::Constant(b, _)) => a == b,
            (Self::Curve(a, _), Self::Curve(b, _)) => a == b,
            (Self::Allowed(a), Self::Allowed(b)) => a == b,
            _ => false,
        }
    }

    /// A value of this figure in the unit the figure was written in.
    #[must_use]
    pub fn show(&self, value: Value) -> String {
        match (self, value) {
            (_, Value::Allowed(allowed)) => {
                if allowed { "allowed" } else { "not allowed" }.to_owned()
            }
            (Self::Constant(_, unit) | Self::Curve(_, unit), Value::Amount(amount)) => {
                show(amount, *unit)
            }
            (Self::Allowed(_), Value::Amount(amount)) => amount.si.to_string(),
        }
    }
}

/// Nine digits hide the rounding of a conversion, never a real difference.
fn show(amount: Amount, unit: Unit) -> String {
    let value = (amount.in_unit(unit) * 1e9).round() / 1e9;
    if unit.symbol == "1" { value.to_string() } else { format!("{value} {}", unit.symbol) }
}

impl fmt::Display for Says {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self::Curve(curve, unit) = self else {
            return f.write_str(&self.show(self.at(Mass::of(0.0, KG))));
        };
        let points = curve.points().iter().map(|(mtow, factor)| {
            let factor = show((*factor).into(), *unit);
            format!("{factor} at {} kg", (mtow.count(KG) * 1e6).round() / 1e6)
        });
        f.write_str(&points.collect::<Vec<_>>().join(", "))
    }
}

/// One figure of a pack.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Which.
    pub key: Key,
    /// Where it applies.
    pub when: When,
    /// What it states.
    pub says: Says,
    /// Where it comes from.
    pub citation: Citation,
    /// How binding it is.
    pub status: Status,
    /// How it reached us.
    pub read: Read,
    /// What a reader must know.
    pub note: Option<String>,
    /// Where it stands in the document.
    pub at: Range<usize>,
}

/// A pack that was read and checked.
#[derive(Clone, Debug)]
pub struct Pack {
    /// Short name.
    pub id: String,
    /// Name for a person.
    pub title: String,
    /// Whose rules these are.
    pub jurisdiction: String,
    /// Edition of the pack.
    pub edition: String,
    /// When its figures were last compared with their sources.
    pub checked: Day,
    /// The pack this one is laid over.
    pub over: Option<String>,
    /// The documents cited, by short name.
    pub sources: BTreeMap<String, Source>,
    /// The figures, in the order of the document.
    pub figures: Vec<Figure>,
    /// Short name of the table of dangerous goods that people may carry.
    pub goods: Option<String>,
    /// Exceptions for goods that may apply.
    pub exceptions: Vec<Exception>,
    /// Duties after an event.
    pub duties: Vec<Duty>,
    /// What passengers are told.
    pub briefing: Vec<Asked>,
}

/// A duty after an event: who is told, how and by when.
#[derive(Clone, Debug)]
pub struct Duty {
    /// After which events.
    pub events: Vec<Event>,
    /// How bad the event must be.
    pub when: String,
    /// Who is told.
    pub tell: String,
    /// How, and how soon where the rule gives no number.
    pub how: String,
    /// The figure with the time.
    pub deadline: Option<Key>,
    /// Where it comes from.
    pub citation: Citation,
    /// How binding it is.
    pub status: Status,
    /// How it reached us.
    pub read: Read,
    /// What a reader must know.
    pub note: Option<String>,
}

/// An exception for goods that may apply: shown to be read, never used.
#[derive(Clone, Debug)]
pub struct Exception {
    /// What it is about.
    pub about: String,
    /// For which operation; for any when there is none.
    pub operation: Option<Operation>,
    /// Where it comes from.
    pub citation: Citation,
    /// How binding it is.
    pub status: Status,
    /// How it reached us.
    pub read: Read,
    /// What a reader must know.
    pub note: Option<String>,
}

/// Why a pack gives no figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoFigure {
    /// None applies.
    None,
    /// One may apply, but depends on something the question left out.
    Unsaid(Aspect),
}

impl Pack {
    /// Reads and checks a pack.
    ///
    /// # Errors
    ///
    /// Every problem found, in the order of the document. A problem of syntax or shape hides
    /// those of meaning.
    pub fn read(text: &str) -> Result<Self, Vec<Problem>> {
        let shape: PackShape = document::read(text).map_err(|problem| vec![problem])?;
        check::pack(shape)
    }

    /// The figure that answers a question: of those that apply, the one with the narrowest
    /// condition.
    ///
    /// # Errors
    ///
    /// [`NoFigure`] when none applies, or when one depends on what was not said.
    pub fn find(
        &self,
        key: Key,
        situation: &Situation,
        detail: Detail,
    ) -> Result<&Figure, NoFigure> {
        let mut narrowest: Option<&Figure> = None;
        for figure in self.figures.iter().filter(|figure| figure.key == key) {
            match figure.when.fits(situation, detail) {
                Fit::No => {}
                Fit::Unsaid(aspect) => return Err(NoFigure::Unsaid(aspect)),
                Fit::Yes => {
                    if narrowest.is_none_or(|held| figure.when.within(&held.when)) {
                        narrowest = Some(figure);
                    }
                }
            }
        }
        narrowest.ok_or(NoFigure::None)
    }

    /// The keys of which the pack has no figure at all.
    #[must_use]
    pub fn lacks(&self) -> Vec<Key> {
        let has = |key: &Key| self.figures.iter().any(|figure| figure.key == *key);
        Key::ALL.iter().copied().filter(|key| !has(key)).collect()
    }
}

#[cfg(test)]
mod tests {
    use stillprop_calc::{
        quantity::Ratio,
        unit::{Kind, ONE},
    };

    use super::*;

    #[test]
    fn figures_are_shown_in_the_unit_they_were_written_in() {
        use stillprop_calc::unit::{MIN, PERCENT};
        let minutes = Says::Constant(Amount { kind: Kind::Time, si: 2700.0 }, MIN);
        assert_eq!(minutes.to_string(), "45 min");
        let part = Says::Constant(Amount { kind: Kind::Ratio, si: 0.15 }, PERCENT);
        assert_eq!(part.to_string(), "15 %");
        let points = [(2000.0, 1.15), (3500.0, 1.25)]
            .map(|(mtow, factor)| (Mass::of(mtow, KG), Ratio::of(factor, ONE)));
        let curve = GradedFactor::new(points.to_vec()).unwrap();
        assert_eq!(Says::Curve(curve, ONE).to_string(), "1.15 at 2000 kg, 1.25 at 3500 kg");
        assert_eq!(Says::Allowed(false).to_string(), "not allowed");
    }
}
