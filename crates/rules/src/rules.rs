//! The rules in force: one pack, an operator's over a state's, or the strictest of several.
//!
//! Figures are looked up while a turnaround is prepared, never inside a search, so plain code
//! is preferred to fast code here.

use std::{cmp::Ordering, fmt};

use stillprop_calc::quantity::{Amount, FromAmount};

use crate::{
    document::Problem,
    key::{Aspect, Key, Value},
    pack::{Duty, Event, Figure, NoFigure, Pack},
    situation::{Detail, Situation},
};

/// The rules in force.
#[derive(Clone, Debug)]
pub struct Rules {
    stack: Stack,
}

#[derive(Clone, Debug)]
enum Stack {
    Single(Box<Pack>),
    Layered { operator: Box<Pack>, base: Box<Pack> },
    Strictest(Vec<Rules>),
}

/// A figure that answers a question.
#[derive(Clone, Debug)]
pub struct Found<'a> {
    /// The value at the situation asked about.
    pub value: Value,
    /// The figure, with its source and status.
    pub figure: &'a Figure,
    /// The pack that gave it.
    pub pack: &'a str,
    /// How it was chosen, where there was a choice.
    pub remark: Option<String>,
}

impl Found<'_> {
    /// The quantity; `None` for yes or no.
    #[must_use]
    pub fn amount(&self) -> Option<Amount> {
        match self.value {
            Value::Amount(amount) => Some(amount),
            Value::Allowed(_) => None,
        }
    }

    /// The quantity as its type; `None` when the figure is of another kind.
    #[must_use]
    pub fn quantity<Q: FromAmount>(&self) -> Option<Q> {
        self.amount().filter(|amount| amount.kind == Q::KIND).map(|amount| Q::from_si(amount.si))
    }

    /// Yes or no; `None` for a quantity.
    #[must_use]
    pub fn allowed(&self) -> Option<bool> {
        match self.value {
            Value::Allowed(allowed) => Some(allowed),
            Value::Amount(_) => None,
        }
    }

    /// The value in the unit of the pack: "45 min".
    #[must_use]
    pub fn text(&self) -> String {
        self.figure.says.show(self.value)
    }
}

/// No figure answers the question. It is then unknown, and never taken from elsewhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// What was asked.
    pub key: Key,
    /// The packs that were looked in.
    pub looked_in: Vec<String>,
    /// What the question should have said.
    pub unsaid: Option<Aspect>,
}

impl fmt::Display for Missing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let packs = self.looked_in.join(", ");
        write!(f, "no figure for `{}` ({}) in {packs}", self.key, self.key.meaning())?;
        match self.unsaid {
            Some(aspect) => write!(f, ": it depends on `{}`, which is not known", aspect.word()),
            None => Ok(()),
        }
    }
}

impl std::error::Error for Missing {}

impl Rules {
    /// The figures of one pack.
    #[must_use]
    pub fn single(pack: Pack) -> Self {
        Self { stack: Stack::Single(Box::new(pack)) }
    }

    /// An operator's figures over a state's. The operator's is used unless it is laxer than a
    /// figure of the state that binds; the remark then says so.
    ///
    /// # Errors
    ///
    /// When the operator's pack was written over another pack, or the base is itself an overlay.
    pub fn layered(operator: Pack, base: Pack) -> Result<Self, Problem> {
        let nowhere = 0..0;
        if let Some(over) = operator.over.as_ref().filter(|over| **over != base.id) {
            let message =
                format!("the pack `{}` is written over `{over}`, not `{}`", operator.id, base.id);
            return Err(Problem::new(nowhere, message).help(format!("use {}+{over}", operator.id)));
        }
        if base.over.is_some() {
            let message = format!("the pack `{}` is itself laid over another", base.id);
            return Err(Problem::new(nowhere, message).help("put a state's pack underneath"));
        }
        let (operator, base) = (Box::new(operator), Box::new(base));
        Ok(Self { stack: Stack::Layered { operator, base } })
    }

    /// For each question the most cautious answer of several.
    #[must_use]
    pub const fn strictest(of: Vec<Self>) -> Self {
        Self { stack: Stack::Strictest(of) }
    }

    /// "au", "demo-operator+au", "strictest(au,nz)".
    #[must_use]
    pub fn name(&self) -> String {
        match &self.stack {
            Stack::Single(pack) => pack.id.clone(),
            Stack::Layered { operator, base } => format!("{}+{}", operator.id, base.id),
            Stack::Strictest(of) => {
                let names: Vec<_> = of.iter().map(Self::name).collect();
                format!("strictest({})", names.join(","))
            }
        }
    }

    /// Every pack, an operator's before the one it lies over.
    #[must_use]
    pub fn packs(&self) -> Vec<&Pack> {
        match &self.stack {
            Stack::Single(pack) => vec![pack],
            Stack::Layered { operator, base } => vec![operator.as_ref(), base.as_ref()],
            Stack::Strictest(of) => of.iter().flat_map(Self::packs).collect(),
        }
    }

    /// Short names of the tables of goods in force: each counts, and the strictest answer wins.
    #[must_use]
    pub fn goods(&self) -> Vec<&str> {
        let mut named: Vec<&str> = Vec::new();
        for id in self.packs().into_iter().filter_map(|pack| pack.goods.as_deref()) {
            if !named.contains(&id) {
                named.push(id);
            }
        }
        named
    }

    /// Packs in force that have no table of goods, nor a base that has one.
    #[must_use]
    pub fn without_goods(&self) -> Vec<&str> {
        match &self.stack {
            Stack::Strictest(of) => of.iter().flat_map(Self::without_goods).collect(),
            _ if self.goods().is_empty() => {
                self.packs().into_iter().map(|pack| pack.id.as_str()).collect()
            }
            _ => Vec::new(),
        }
    }

    /// Every duty after an event, with the pack it stands in.
    pub fn duties(&self, event: Event) -> impl Iterator<Item = (&Pack, &Duty)> {
        let of = move |duty: &&Duty| duty.events.contains(&event);
        self.packs()
            .into_iter()
            .flat_map(move |pack| pack.duties.iter().filter(of).map(move |duty| (pack, duty)))
    }

    /// Every figure with the pack it stands in.
    pub fn figures(&self) -> impl Iterator<Item = (&Pack, &Figure)> {
        self.packs()
            .into_iter()
            .flat_map(|pack| pack.figures.iter().map(move |figure| (pack, figure)))
    }

    /// The figure that answers a question.
    ///
    /// # Errors
    ///
    /// [`Missing`] when no pack has one, or one depends on what the question left out.
    pub fn find(
        &self,
        key: Key,
        situation: &Situation,
        detail: Detail,
    ) -> Result<Found<'_>, Missing> {
        self.look(key, situation, detail).map_err(|why| Missing {
            key,
            looked_in: self.packs().into_iter().map(|pack| pack.id.clone()).collect(),
            unsaid: match why {
                NoFigure::Unsaid(aspect) => Some(aspect),
                NoFigure::None => None,
            },
        })
    }

    fn look(&self, key: Key, situation: &Situation, detail: Detail) -> Result<Found<'_>, NoFigure> {
        match &self.stack {
            Stack::Single(pack) => in_pack(pack, key, situation, detail),
            Stack::Layered { operator, base } => {
                let own = optional(in_pack(operator, key, situation, detail))?;
                let state = optional(in_pack(base, key, situation, detail))?;
                match (own, state) {
                    (Some(own), Some(state)) => Ok(over(own, state)),
                    (own, state) => own.or(state).ok_or(NoFigure::None),
                }
            }
            Stack::Strictest(of) => strictest(of, key, situation, detail),
        }
    }
}

fn in_pack<'a>(
    pack: &'a Pack,
    key: Key,
    situation: &Situation,
    detail: Detail,
) -> Result<Found<'a>, NoFigure> {
    let figure = pack.find(key, situation, detail)?;
    let value = figure.says.at(situation.mtow);
    Ok(Found { value, figure, pack: &pack.id, remark: None })
}

/// Lets another pack answer where one has nothing, but not where a question was left open:
/// the figure that depends on it might be the stricter.
fn optional<T>(found: Result<T, NoFigure>) -> Result<Option<T>, NoFigure> {
    match found {
        Ok(found) => Ok(Some(found)),
        Err(NoFigure::None) => Ok(None),
        Err(unsaid) => Err(unsaid),
    }
}

/// An operator's figure over a state's.
fn over<'a>(own: Found<'a>, state: Found<'a>) -> Found<'a> {
    let order = own.figure.key.stricter().compare(own.value, state.value);
    let (mine, theirs, status) = (own.text(), state.text(), state.figure.status);
    if order == Ordering::Less && status.binds() {
        let remark = format!(
            "{}: {mine} is laxer than the {status} of {} and is not used",
            own.pack, state.pack
        );
        return Found { remark: Some(remark), ..state };
    }
    let remark = match order {
        Ordering::Greater => format!("stricter than {theirs} of {} ({status})", state.pack),
        Ordering::Equal => format!("the same as {} ({status})", state.pack),
        Ordering::Less => {
            format!("laxer than {theirs} of {}, which does not bind ({status})", state.pack)
        }
    };
    Found { remark: Some(remark), ..own }
}

/// The most cautious of several; the first named of equals.
fn strictest<'a>(
    of: &'a [Rules],
    key: Key,
    situation: &Situation,
    detail: Detail,
) -> Result<Found<'a>, NoFigure> {
    let mut best: Option<Found<'a>> = None;
    let (mut having, mut lacking) = (Vec::new(), Vec::new());
    for rules in of {
        let Some(found) = optional(rules.look(key, situation, detail))? else {
            lacking.push(rules.name());
            continue;
        };
        having.push(format!("{} {}", rules.name(), found.text()));
        let stricter =
            |held: &Found<'_>| key.stricter().compare(found.value, held.value) == Ordering::Greater;
        if best.as_ref().is_none_or(stricter) {
            best = Some(found);
        }
    }
    // A credit that one of them does not give is none: the strictest gives none either.
    if key == Key::HeadwindCredit && !lacking.is_empty() {
        return Err(NoFigure::None);
    }
    let best = best.ok_or(NoFigure::None)?;
    let none = match lacking.as_slice() {
        [] => String::new(),
        lacking => format!("; none in {}", lacking.join(", ")),
    };
    let before = best.remark.as_ref().map_or(String::new(), |remark| format!("; {remark}"));
    let remark = format!("the strictest of {}{none}{before}", having.join(", "));
    Ok(Found { remark: Some(remark), ..best })
}
