//! One of five answers for each thing, with its reasons; sums of one person over things.

use stillprop_calc::quantity::Amount;
use stillprop_rules::{
    goods::{Measured, Place, Row, Table},
    pack::{Read, Status},
};

use super::{Goods, Unsure};

/// What is said of a thing, from the mildest to the strictest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Answer {
    /// Free of conditions.
    Allowed,
    /// Allowed when what is said is so.
    Conditions,
    /// The operator must approve it; the pilot where there is no operator.
    Approval,
    /// Not known; counts as not allowed.
    Unknown,
    /// Not allowed.
    Forbidden,
}

impl Answer {
    /// Every answer.
    pub const ALL: [Self; 5] =
        [Self::Allowed, Self::Conditions, Self::Approval, Self::Unknown, Self::Forbidden];

    /// The answer in words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Allowed => "allowed",
            Self::Conditions => "allowed with conditions",
            Self::Approval => "approval needed",
            Self::Unknown => "unknown",
            Self::Forbidden => "forbidden",
        }
    }

    /// True when the thing may come: nothing is open.
    #[must_use]
    pub const fn may_come(self) -> bool {
        matches!(self, Self::Allowed | Self::Conditions)
    }
}

/// A thing somebody wants to carry.
#[derive(Clone, Debug)]
pub struct Thing {
    /// As it was said.
    pub said: String,
    /// Which item of the tables, or why that is not known.
    pub item: Result<String, Unsure>,
    /// Size of each.
    pub each: Option<Measured>,
    /// How many; `None` when that is not known.
    pub count: Option<u32>,
    /// Where; `None` when that is not known.
    pub place: Option<Place>,
    /// Whose; a thing of nobody counts with everybody's.
    pub of: Option<String>,
    /// The approval was given.
    pub approved: bool,
}

/// Where an answer comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ground {
    /// The table.
    pub table: String,
    /// Document, edition, clause.
    pub citation: String,
    /// How binding it is.
    pub status: Status,
    /// How it was read.
    pub read: Read,
    /// What a reader must know.
    pub note: Option<String>,
}

/// A thing with its answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Judged {
    /// The answer.
    pub answer: Answer,
    /// Why, in sentences.
    pub reasons: Vec<String>,
    /// What must be so.
    pub conditions: Vec<String>,
    /// Where it comes from.
    pub grounds: Vec<Ground>,
}

/// Part by which rounding may touch a limit without passing it.
const ROUNDING: f64 = 1e-9;

/// An answer for each thing, in their order.
#[must_use]
pub fn screen(goods: &Goods, things: &[Thing]) -> Vec<Judged> {
    (0..things.len()).map(|index| judge(goods, things, index)).collect()
}

fn unknown(why: impl Into<String>) -> Judged {
    Judged {
        answer: Answer::Unknown,
        reasons: vec![why.into()],
        conditions: Vec::new(),
        grounds: Vec::new(),
    }
}

/// A thing of which it is not known what it is: unknown, or forbidden whichever it is.
fn not_known(goods: &Goods, unsure: &Unsure) -> Judged {
    if !unsure.forbidden {
        return unknown(unsure.why.clone());
    }
    let title = |id: &String| goods.item(id).map_or_else(|| id.clone(), |item| item.title.clone());
    let titles: Vec<_> = unsure.may_be.iter().map(title).collect();
    let never = |(table, id): (&&Table, &String)| {
        let row = table.rows_of(id).next().filter(|row| row.forbids())?;
        Some(ground(table, row))
    };
    let of_table = |table| unsure.may_be.iter().map(move |id| (table, id));
    Judged {
        answer: Answer::Forbidden,
        reasons: vec![format!("{}: part of it or all is not allowed on board", titles.join(", "))],
        conditions: Vec::new(),
        grounds: goods.tables.iter().flat_map(of_table).filter_map(never).collect(),
    }
}

/// The strictest answer of the tables in force.
fn judge(goods: &Goods, things: &[Thing], index: usize) -> Judged {
    let thing = &things[index];
    let item = match &thing.item {
        Ok(item) => item,
        Err(unsure) => return not_known(goods, unsure),
    };
    if goods.tables.is_empty() {
        return unknown("the rules in force name no table of dangerous goods");
    }
    let judged = goods.tables.iter().map(|table| in_table(goods, table, things, index, item));
    let judged: Vec<Judged> = judged.collect();
    let Some(worst) = judged.iter().map(|one| one.answer).max() else {
        return unknown("the rules in force name no table of dangerous goods");
    };
    let mut all =
        Judged { answer: worst, reasons: Vec::new(), conditions: Vec::new(), grounds: Vec::new() };
    for one in judged {
        // What another table asks on top is asked as well.
        if one.answer == worst || worst.may_come() || worst == Answer::Approval {
            add(&mut all.reasons, one.reasons);
            add(&mut all.conditions, one.conditions);
            add(&mut all.grounds, one.grounds);
        }
    }
    if !goods.without.is_empty() && all.answer < Answer::Unknown {
        let packs = goods.without.join(", ");
        all.answer = Answer::Unknown;
        all.reasons.insert(0, format!("no table of dangerous goods in {packs}"));
    }
    all
}

fn add<T: PartialEq>(to: &mut Vec<T>, more: Vec<T>) {
    for one in more {
        if !to.contains(&one) {
            to.push(one);
        }
    }
}

/// The answer of one table.
fn in_table(goods: &Goods, table: &Table, things: &[Thing], index: usize, item: &str) -> Judged {
    let thing = &things[index];
    let rows: Vec<&Row> = table.rows_of(item).collect();
    let Some(first) = rows.first() else {
        return unknown(format!("{} has no row for it", table.title));
    };
    if rows.iter().all(|row| row.forbids()) {
        return with(table, first, Answer::Forbidden, "not allowed on board in any bag".into());
    }
    if let Some(place) = thing.place
        && rows.iter().all(|row| row.at(place) == Some(false))
    {
        return with(table, first, Answer::Forbidden, nowhere(first, place));
    }
    let small = goods.item(item).is_some_and(|item| item.small_as_sold);
    let row = match band(&rows, thing, small) {
        Ok(row) => row,
        Err((row, answer, why)) => return with(table, row, answer, why),
    };
    match thing.place {
        Some(place) => at(table, row, things, index, place),
        None => anywhere(table, row, things, index),
    }
}

/// The row for the size of the thing.
fn band<'a>(
    rows: &[&'a Row],
    thing: &Thing,
    small: bool,
) -> Result<&'a Row, (&'a Row, Answer, String)> {
    let first = rows[0];
    if rows.iter().all(|row| row.each.is_empty()) {
        return Ok(first);
    }
    let Some(each) = thing.each else {
        if small {
            return Ok(first);
        }
        let why = format!("the size of each is not said: {} at most", list(&first.each));
        return Err((first, Answer::Unknown, why));
    };
    for row in rows {
        let Some(limit) = row.each.iter().find(|limit| limit.amount.kind == each.amount.kind)
        else {
            let why = format!("the size is said as {each}; the rule asks {}", list(&row.each));
            return Err((row, Answer::Unknown, why));
        };
        if within(each.amount.si, limit.amount.si) {
            return Ok(row);
        }
    }
    let last = rows[rows.len() - 1];
    let why = format!("{each} each; {} at most", list(&last.each));
    Err((last, Answer::Forbidden, why))
}

fn within(value: f64, limit: f64) -> bool {
    value <= limit * (1.0 + ROUNDING)
}

fn list(of: &[Measured]) -> String {
    of.iter().map(ToString::to_string).collect::<Vec<_>>().join(" or ")
}

fn with(table: &Table, row: &Row, answer: Answer, why: String) -> Judged {
    Judged { answer, reasons: vec![why], conditions: Vec::new(), grounds: vec![ground(table, row)] }
}

fn ground(table: &Table, row: &Row) -> Ground {
    Ground {
        table: table.id.clone(),
        citation: row.citation.to_string(),
        status: row.status,
        read: row.read,
        note: row.note.clone(),
    }
}

fn nowhere(row: &Row, place: Place) -> String {
    let places =
        [(row.person, "on the person"), (row.cabin, "in the cabin"), (row.hold, "in the hold")];
    let places: Vec<_> = places.iter().filter(|(may, _)| *may).map(|(_, word)| *word).collect();
    format!("not allowed {}; only {}", r#in(place), places.join(" or "))
}

/// A place as part of a sentence.
const fn r#in(place: Place) -> &'static str {
    match place {
        Place::Person => "on the person",
        Place::Cabin => "in the cabin",
        Place::Reachable => "in a locker that can be reached in flight",
        Place::Hold => "in the hold",
    }
}

/// Without a place: the answer, when every place gives the same; else what each gives.
fn anywhere(table: &Table, row: &Row, things: &[Thing], index: usize) -> Judged {
    let places = [Place::Person, Place::Cabin, Place::Hold];
    let all = places.map(|place| at(table, row, things, index, place));
    if all.iter().all(|one| one.answer == all[0].answer) {
        // The reason of a place where it may travel says more than "not there".
        let may = places.iter().position(|place| row.at(*place) == Some(true)).unwrap_or(0);
        return all.into_iter().nth(may).unwrap_or_else(|| unknown("no place"));
    }
    let says = places.iter().zip(&all);
    let says = says.map(|(place, one)| format!("{}: {}", r#in(*place), one.answer.word()));
    let why = format!("say where it travels; {}", says.collect::<Vec<_>>().join(", "));
    Judged { conditions: row.conditions.clone(), ..with(table, row, Answer::Unknown, why) }
}

/// The answer at a place.
fn at(table: &Table, row: &Row, things: &[Thing], index: usize, place: Place) -> Judged {
    let thing = &things[index];
    match row.at(place) {
        Some(false) => return with(table, row, Answer::Forbidden, nowhere(row, place)),
        None => {
            let why = format!(
                "the rule knows cabin and hold, and this is {}: put it where it {}",
                r#in(place),
                if row.cabin { "is at hand in the cabin" } else { "cannot be reached" }
            );
            return with(table, row, Answer::Unknown, why);
        }
        Some(true) => {}
    }
    if let Err((answer, why)) = sums(table, row, things, index) {
        return with(table, row, answer, why);
    }
    let mut conditions = row.conditions.clone();
    if thing.each.is_none() && !row.each.is_empty() {
        conditions.insert(0, format!("{} at most: read it on the battery", list(&row.each)));
    }
    if row.approval && !thing.approved {
        let why = "the operator approves it first; where there is none, the pilot in command";
        return Judged { conditions, ..with(table, row, Answer::Approval, why.into()) };
    }
    if row.approval {
        conditions.insert(0, "the approval that was given".into());
    }
    let free = conditions.is_empty();
    let answer = if free { Answer::Allowed } else { Answer::Conditions };
    let why = format!("allowed {}", r#in(place));
    Judged { conditions, ..with(table, row, answer, why) }
}

/// Number and sum of one person over everything in the same pool.
fn sums(table: &Table, row: &Row, things: &[Thing], index: usize) -> Result<(), (Answer, String)> {
    if row.count.is_none() && row.total.is_empty() {
        return Ok(());
    }
    let with_it: Vec<&Thing> = things.iter().filter(|other| shares(table, row, other)).collect();
    let people = people(&with_it, things[index].of.as_deref());
    for person in people {
        let counts = |other: &&&Thing| other.of.is_none() || other.of.as_deref() == person;
        let of_person: Vec<&&Thing> = with_it.iter().filter(counts).collect();
        number(row, &of_person, person)?;
        total(row, &of_person, person)?;
    }
    Ok(())
}

/// Whose sums a thing counts in: its owner's, and everybody's when it has none.
fn people<'a>(with_it: &[&'a Thing], of: Option<&'a str>) -> Vec<Option<&'a str>> {
    if of.is_some() {
        return vec![of];
    }
    let mut people = vec![None];
    for other in with_it.iter().filter_map(|other| other.of.as_deref()) {
        if !people.contains(&Some(other)) {
            people.push(Some(other));
        }
    }
    people
}

/// Whether a thing counts in the sums of a row: of the same pool, else of the same row.
fn shares(table: &Table, row: &Row, other: &Thing) -> bool {
    let Ok(item) = &other.item else { return false };
    let rows: Vec<&Row> = table.rows_of(item).collect();
    if row.pool.is_some() {
        return rows.iter().any(|its| its.pool == row.pool);
    }
    *item == row.item && band(&rows, other, true).is_ok_and(|its| its.over == row.over)
}

fn whose(person: Option<&str>) -> String {
    person.map_or_else(|| "one person".to_owned(), str::to_owned)
}

fn number(row: &Row, things: &[&&Thing], person: Option<&str>) -> Result<(), (Answer, String)> {
    let Some(most) = row.count else { return Ok(()) };
    let known = things.iter().filter_map(|thing| thing.count).map(u64::from).sum::<u64>();
    if known > u64::from(most) {
        let why = format!("{known} of {}; {most} at most", whose(person));
        return Err((Answer::Forbidden, why));
    }
    if things.iter().any(|thing| thing.count.is_none()) {
        return Err((Answer::Unknown, format!("how many is not said: {most} at most")));
    }
    Ok(())
}

fn total(row: &Row, things: &[&&Thing], person: Option<&str>) -> Result<(), (Answer, String)> {
    if row.total.is_empty() {
        return Ok(());
    }
    let limit_of = |amount: Amount| {
        row.total.iter().find(|limit| limit.amount.kind == amount.kind).map(|limit| limit.amount.si)
    };
    // Masses and volumes of one pool are added as parts of their own limit: never more than
    // either reading of the rule allows.
    let mut part = 0.0;
    let mut open = false;
    for thing in things {
        let known = thing.each.zip(thing.count);
        match known.and_then(|(each, count)| Some((each, count, limit_of(each.amount)?))) {
            Some((each, count, limit)) => part += each.amount.si * f64::from(count) / limit,
            None => open = true,
        }
    }
    if !within(part, 1.0) {
        let per_cent = (part * 1000.0).ceil() / 10.0;
        let why = format!(
            "{per_cent} % of what {} may carry of it in all, {}",
            whose(person),
            list(&row.total)
        );
        return Err((Answer::Forbidden, why));
    }
    if open {
        let why = format!("how much it is in all is not known: {} at most", list(&row.total));
        return Err((Answer::Unknown, why));
    }
    Ok(())
}
