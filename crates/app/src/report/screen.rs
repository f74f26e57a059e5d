//! The answers of `screen`: things one by one, with conditions, sources and what may apply.

use std::fmt::Write;

use serde_json::{Value, json};
use stillprop_rules::{builtin, goods::Item, pack::Exception};
use stillprop_turnaround::{
    goods::{Answer, Goods, Judged, Strictness, Thing},
    limits::Verdict,
};

use super::{
    bars,
    text::{CAUTION, WIDTH, wrapped},
};

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

impl Screened {
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

const fn sign(answer: Answer) -> Verdict {
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
            let titles: Vec<&str> = unsure.may_be.iter().map(|id| title(id)).collect();
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
fn described(thing: &Thing) -> String {
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

fn item(thing: &Thing) -> Option<&'static Item> {
    builtin::vocabulary().ok()?.item(thing.item.as_ref().ok()?)
}

fn title(id: &str) -> &str {
    let found = builtin::vocabulary().ok().and_then(|vocabulary| vocabulary.item(id));
    found.map_or(id, |item| item.title.as_str())
}

fn rows(out: &mut String, text: &str) {
    for row in wrapped(text, WIDTH - INDENT.len()) {
        let _ = writeln!(out, "{INDENT}{row}");
    }
}

/// The answers as JSON.
pub(crate) fn json(screened: &Screened) -> Value {
    json!({
        "title": screened.title,
        "rules": screened.rules,
        "may_all_come": screened.may_all_come(),
        "things": screened.things.iter().map(|(thing, judged)| thing_json(thing, judged)).collect::<Vec<_>>(),
        "unasked": screened.unasked,
        "may_apply": screened.exceptions.iter().map(exception_json).collect::<Vec<_>>(),
        "caution": CAUTION,
    })
}

fn thing_json(thing: &Thing, judged: &Judged) -> Value {
    let may_be = thing.item.as_ref().err().map(|unsure| unsure.may_be.clone());
    let found = item(thing);
    json!({
        "said": thing.said,
        "item": thing.item.as_ref().ok(),
        "title": found.map(|item| &item.title),
        "may_be": may_be.unwrap_or_default(),
        "each": thing.each.map(|each| each.to_string()),
        "count": thing.count,
        "of": thing.of,
        "place": thing.place.map(stillprop_rules::goods::Place::word),
        "approved": thing.approved,
        "answer": judged.answer.word(),
        "may_come": judged.answer.may_come(),
        "reasons": judged.reasons,
        "conditions": judged.conditions,
        "ask": found.map(|item| &item.ask),
        "look": found.map(|item| &item.look),
        "sources": judged.grounds.iter().map(|ground| json!({
            "table": ground.table,
            "citation": ground.citation,
            "status": ground.status.word(),
            "read": ground.read.word(),
            "note": ground.note,
        })).collect::<Vec<_>>(),
    })
}

fn exception_json((pack, exception): &(String, Exception)) -> Value {
    json!({
        "pack": pack,
        "about": exception.about,
        "citation": exception.citation.to_string(),
        "status": exception.status.word(),
        "read": exception.read.word(),
        "note": exception.note,
    })
}

const fn mildest(strictness: Strictness) -> &'static str {
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
    let items = asked.items.iter().map(|item| {
        json!({
            "item": item.id,
            "title": item.title,
            "ask": item.ask,
            "look": item.look,
            "mildest_answer": mildest(asked.goods.strictness(&item.id)),
        })
    });
    json!({ "rules": asked.rules, "items": items.collect::<Vec<_>>(), "caution": CAUTION })
}
