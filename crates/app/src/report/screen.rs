//! The answers of `screen`: things one by one, with conditions, sources and what may apply.

use std::fmt::Write;

use serde_json::Value;
use stillprop_rules::{
    builtin,
    goods::{Item, Measured, Place},
    pack::Exception,
    rules::Rules,
};
use stillprop_turnaround::{
    goods::{Answer, Goods, Judged, Strictness, Thing, exceptions, screen},
    limits::Verdict,
    stage::{Choice, Stage},
};

use super::{
    answer::{screen as answers, value},
    bars,
    text::{CAUTION, WIDTH, wrapped},
};
use crate::problem::Failure;

/// Rules for words alone: whoever is asked on the ground does not know where they will fly.
pub(crate) const RULES: &str = "strictest(au,nz,uk,us)";

/// Under a thing, its further words start here.
const INDENT: &str = "      ";

/// Things with their answers.
pub(crate) struct Screened {
    /// The turnaround they are of, when they are of one.
    pub(crate) title: Option<String>,
    /// The rules asked.
    pub(crate) rules: String,
    /// The things.
    pub(crate) things: Vec<(Thing, Judged)>,
    /// People and bags that nobody asked about.
    pub(crate) unasked: Vec<String>,
    /// Exceptions that may apply.
    pub(crate) exceptions: Vec<(String, Exception)>,
}

/// What is said beside the words, of every thing.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Beside {
    /// Size of each.
    pub(crate) each: Option<Measured>,
    /// How many.
    pub(crate) count: Option<u32>,
    /// Where it would travel.
    pub(crate) place: Option<Place>,
    /// The operator, or the pilot where there is none, approved it.
    pub(crate) approved: bool,
}

/// What the rules in force say of goods.
pub(crate) fn goods(rules: &Rules) -> Result<Goods, Failure> {
    Goods::of(rules).map_err(|why| Failure::asked(why, "use a pack with a table of goods"))
}

impl Screened {
    /// Things in words, each part after a semicolon one of them.
    pub(crate) fn of_words(rules: &Rules, text: &str, beside: Beside) -> Result<Self, Failure> {
        let goods = goods(rules)?;
        let ears = goods.ears();
        let parts = text.split(';').map(str::trim).filter(|part| !part.is_empty());
        let things: Vec<Thing> = parts
            .map(|part| {
                let heard = ears.hear(part);
                Thing {
                    said: part.to_owned(),
                    item: heard.item,
                    each: beside.each.or(heard.each),
                    count: beside.count.or(heard.count),
                    place: beside.place,
                    of: None,
                    approved: beside.approved,
                }
            })
            .collect();
        let judged = screen(&goods, &things);
        Ok(Self {
            title: None,
            rules: rules.name(),
            things: things.into_iter().zip(judged).collect(),
            unasked: Vec::new(),
            exceptions: exceptions(rules, None),
        })
    }

    /// What a turnaround declares, each thing where its bag lies.
    pub(crate) fn of_stop(stage: &Stage, choice: &Choice) -> Self {
        let screening = &stage.screening;
        let things = screening.things.iter().map(|one| {
            let place = screening.place(one.bag, &choice.place_of);
            let place = one.thing.place.unwrap_or(place);
            (Thing { place: Some(place), ..one.thing.clone() }, one.at(place).clone())
        });
        let people = screening.people_unasked.iter().filter_map(|at| stage.people.get(*at));
        let items = screening.items_unasked.iter().filter_map(|at| stage.items.get(*at));
        let unasked = people.map(|person| person.name.clone());
        let unasked = unasked.chain(items.map(|item| item.what.clone()));
        Self {
            title: Some(stage.documents.turnaround.title.clone()),
            rules: stage.rules_name.clone(),
            things: things.collect(),
            unasked: unasked.collect(),
            exceptions: screening.exceptions.clone(),
        }
    }

    /// True when everything may come and everybody was asked.
    pub(crate) fn may_all_come(&self) -> bool {
        self.unasked.is_empty() && self.things.iter().all(|(_, judged)| judged.answer.may_come())
    }
}

/// What to ask.
pub(crate) struct Asked<'a> {
    /// The items.
    pub(crate) items: &'a [Item],
    /// Tables in force.
    pub(crate) goods: &'a Goods,
    /// The rules asked.
    pub(crate) rules: String,
}

/// The shape that stands for an answer.
pub(crate) const fn sign(answer: Answer) -> Verdict {
    match answer {
        Answer::Allowed | Answer::Conditions => Verdict::Holds,
        Answer::Approval | Answer::Unknown => Verdict::Unknown,
        Answer::Forbidden => Verdict::Breaks,
    }
}

/// The page.
pub(crate) fn text(screened: &Screened) -> String {
    let mut out = String::new();
    let come = screened.things.iter().filter(|(_, judged)| judged.answer.may_come()).count();
    let word = if screened.may_all_come() { "MAY COME" } else { "NOT AS IT IS" };
    let all = screened.things.len();
    let _ = writeln!(out, "{}: {come} of {all} may come", bars::heading(word));
    if let Some(title) = &screened.title {
        let _ = writeln!(out, "{title}");
    }
    let _ = writeln!(out, "rules: {}", screened.rules);
    for (thing, judged) in &screened.things {
        one(&mut out, thing, judged);
    }
    if !screened.unasked.is_empty() {
        let _ = writeln!(out, "\n  {} not asked yet", bars::verdict(Verdict::Unknown));
        rows(&mut out, &screened.unasked.join(", "));
    }
    if !screened.may_all_come() && !screened.exceptions.is_empty() {
        let _ = writeln!(out, "\nMAY APPLY: READ THE RULE (not used here)");
        for (pack, exception) in &screened.exceptions {
            let _ = writeln!(out, "  {pack}: {}", exception.citation);
            rows(&mut out, &exception.about);
            rows(&mut out, &reading(exception));
        }
    }
    let _ = writeln!(out, "\n{CAUTION}");
    out
}

fn reading(exception: &Exception) -> String {
    let note = exception.note.as_ref().map_or(String::new(), |note| format!("; {note}"));
    format!("{}, read: {}{note}", exception.status, exception.read)
}

fn one(out: &mut String, thing: &Thing, judged: &Judged) {
    let _ = writeln!(
        out,
        "\n  {} {}: {}",
        bars::verdict(sign(judged.answer)),
        described(thing),
        judged.answer.word()
    );
    if let Some(item) = item(thing) {
        rows(out, &format!("taken for: {}", item.title));
    }
    judged.reasons.iter().for_each(|reason| rows(out, reason));
    for condition in &judged.conditions {
        rows(out, &format!("- {condition}"));
    }
    match &thing.item {
        Err(unsure) if !unsure.may_be.is_empty() => {
            let titles: Vec<&str> = unsure.may_be.iter().map(|id| answers::title(id)).collect();
            rows(out, &format!("it may be: {}", titles.join("; ")));
        }
        Ok(_) if judged.answer != Answer::Forbidden => {
            if let Some(item) = item(thing) {
                rows(out, &format!("look for: {}", item.look));
            }
        }
        _ => {}
    }
    for ground in &judged.grounds {
        let (citation, status, read) = (&ground.citation, ground.status, ground.read);
        let note = ground.note.as_ref().map_or(String::new(), |note| format!(" {note}"));
        rows(out, &format!("{citation} ({status}, read: {read}).{note}"));
    }
}

/// `hairspray, 2 of 300 mL, of Ane Borrelk, cabin`.
pub(crate) fn described(thing: &Thing) -> String {
    let mut parts = vec![thing.said.clone()];
    match (thing.count, thing.each) {
        (Some(count), Some(each)) => parts.push(format!("{count} of {each}")),
        (Some(count), None) if count > 1 => parts.push(format!("{count} of them")),
        (None, Some(each)) => parts.push(format!("several of {each}")),
        _ => {}
    }
    parts.extend(thing.of.as_ref().map(|of| format!("of {of}")));
    parts.extend(thing.place.map(|place| place.word().to_owned()));
    parts.join(", ")
}

/// What a thing was taken for.
pub(crate) fn item(thing: &Thing) -> Option<&'static Item> {
    builtin::vocabulary().ok()?.item(thing.item.as_ref().ok()?)
}

fn rows(out: &mut String, text: &str) {
    for row in wrapped(text, WIDTH - INDENT.len()) {
        let _ = writeln!(out, "{INDENT}{row}");
    }
}

/// The answers as JSON.
pub(crate) fn json(screened: &Screened) -> Value {
    value(&answers::screening(screened))
}

/// The mildest answer, in its word.
pub(crate) const fn mildest(strictness: Strictness) -> &'static str {
    match strictness {
        Strictness::Free => "allowed",
        Strictness::Conditional => "allowed with conditions",
        Strictness::Approval => "approval needed",
        Strictness::NoRow => "unknown",
        Strictness::Forbidden => "forbidden",
    }
}

/// Questions to ask aloud.
pub(crate) fn ask_text(asked: &Asked<'_>) -> String {
    let mut out = format!("{}\nrules: {}\n", bars::heading("ASK ALOUD, THEN LOOK"), asked.rules);
    let mut before = "";
    for item in asked.items {
        if item.ask != before {
            let _ = writeln!(out, "\n  {}", item.ask);
        }
        before = &item.ask;
        let at_best = mildest(asked.goods.strictness(&item.id));
        rows(&mut out, &format!("{}: {at_best}; look for: {}", item.title, item.look));
    }
    let _ = writeln!(
        out,
        "\nThe answer shown is the mildest; size, number and place may make it stricter."
    );
    let _ = writeln!(out, "What is in no table is not known, and does not come.\n{CAUTION}");
    out
}

/// The same as JSON.
pub(crate) fn ask_json(asked: &Asked<'_>) -> Value {
    value(&answers::questions(asked))
}
