//! `sheet`: the run sheet of a turnaround, on paper, as JSON, or gone through step by step.

mod enter;
mod screen;
mod walk;
mod words;

use clap::Args;
use stillprop_ledger::{
    event::v2::{self, Outcome},
    record::Hash,
    runs::{Run, Standing},
};
use stillprop_turnaround::{
    document::read_turnaround,
    sheet::{Checked, Facts, Fuelling, Sheet, Start, Trouble, Worker, check},
    stage::{Choice, Stage},
};
use uuid::Uuid;

use self::walk::Walk;
use super::{Answer, load};
use crate::{
    problem::Failure,
    report::{
        sheet::{Head, WIDTH, page},
        sheet_json,
        text::CAUTION,
    },
    sheet::Journal,
    world::{self, Source},
};

/// Options of `sheet`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// A turnaround document; `demo` means a built-in one
    file: String,
    /// Go through it step by step; every step is kept
    #[arg(long, conflicts_with_all = ["json", "check"])]
    walk: bool,
    /// Try every order in which it can be done, and say what was proven
    #[arg(long)]
    check: bool,
    /// How many people do the work, where that is not as in the document
    #[arg(long, value_name = "1|2", value_parser = clap::value_parser!(u8).range(1..=2))]
    people: Option<u8>,
    /// Who states it; else `STILLPROP_BY`
    #[arg(long, value_name = "NAME")]
    by: Option<String>,
    /// The ledger it is recorded in; else `STILLPROP_LEDGER`, else the data folder if one is there
    #[arg(long, value_name = "FILE")]
    ledger: Option<String>,
    /// Keep progress in this file, and not in a ledger
    #[arg(long, value_name = "FILE", requires = "walk", conflicts_with = "ledger")]
    progress: Option<String>,
    /// Begin again, whatever was done before
    #[arg(long, requires = "walk", conflicts_with = "go_on")]
    anew: bool,
    /// Go on although the documents have changed since it was begun
    #[arg(long, requires = "walk")]
    go_on: bool,
    /// Rules to use instead of the document's
    #[arg(long, value_name = "PACK")]
    pack: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let (stage, choice) =
        load::turnaround(&options.file, options.pack.as_deref(), options.ledger.as_deref())?;
    let facts = facts(&stage, &choice, options.people);
    let sheet = Sheet::build(&facts).map_err(|why| Failure::asked(why.message, why.help))?;
    let head = head(&stage, &facts, &sheet);
    if options.walk {
        return walk(options, &stage, &head, &sheet);
    }
    if !options.json && !options.check {
        return Ok(Answer::text(page(&head, &sheet, None, world::columns().unwrap_or(WIDTH))));
    }
    match check(&sheet) {
        Ok(checked) => Ok(answer(options, &head, &sheet, &checked)),
        Err(trouble) => Ok(broken(options, &head, &trouble)),
    }
}

fn answer(options: &Options, head: &Head, sheet: &Sheet, checked: &Checked) -> Answer {
    if options.json {
        Answer::json(sheet_json::sheet(head, sheet, checked))
    } else {
        let width = world::columns().unwrap_or(WIDTH);
        Answer::text(page(head, sheet, Some(checked), width))
    }
}

/// A sheet in which some order breaks an invariant is not printed: nobody is to work by it.
fn broken(options: &Options, head: &Head, trouble: &Trouble) -> Answer {
    let answer = if options.json {
        Answer::json(sheet_json::trouble(head, trouble))
    } else {
        let order = trouble.order.iter().map(|title| format!("  {title}\n"));
        Answer::text(format!(
            "this sheet is wrong, do not use it: {}\nthe shortest order that shows it:\n{}{CAUTION}\n",
            trouble.sentence,
            order.collect::<String>(),
        ))
    };
    answer.code(1)
}

fn facts(stage: &Stage, choice: &Choice, people: Option<u8>) -> Facts {
    let mut facts = Facts::of(stage, choice);
    match people {
        Some(1) => facts.second = None,
        Some(_) if facts.second.is_none() => {
            let (name, may) = ("second person".to_owned(), "nothing is known".to_owned());
            facts.second = Some(Worker { name, may });
        }
        _ => {}
    }
    facts
}

fn head(stage: &Stage, facts: &Facts, sheet: &Sheet) -> Head {
    let turnaround = &stage.documents.turnaround;
    let fuelling = match facts.fuelling {
        Fuelling::Tanker => "fuel from a tanker",
        Fuelling::SelfServe => "fuel from a pump the pilot works",
        Fuelling::Drum => "fuel from drums",
        Fuelling::None => "no fuel",
        Fuelling::Unknown => "fuel, nobody said from what",
    };
    let start = if sheet.terms.hand { ", start by hand" } else { "" };
    Head {
        title: turnaround.title.clone(),
        aircraft: facts.registration.clone(),
        place: stage.documents.strip.name.clone(),
        hand: facts.start == Start::Hand,
        method: format!("{fuelling}{start}"),
        rules: stage.rules_name.clone(),
        invented: turnaround.invented,
        offset: stage.here.offset,
    }
}

fn walk(options: &Options, stage: &Stage, head: &Head, sheet: &Sheet) -> Result<Answer, Failure> {
    let author = options.by.clone().or_else(world::author);
    let author = author.map(|name| name.trim().to_owned()).filter(|name| !name.is_empty());
    let author = author.ok_or_else(|| {
        Failure::asked("it is not said who states this", "add --by NAME, or set STILLPROP_BY")
    })?;
    let source = world::read(&options.file)?;
    let documents = hash(&source, stage, sheet)?.to_string();
    let mut journal =
        Journal::open(options.ledger.as_deref(), options.progress.as_deref(), &source)?;
    let runs = journal.runs_of(&head.aircraft)?;
    let same = |run: &&Run| {
        run.opened().is_some_and(|it| it.turnaround == head.title && it.place == head.place)
    };
    let last = runs.iter().rfind(same);
    let open = last.filter(|run| !matches!(run.standing, Standing::Closed(_)));
    let changed = |run: &Run| run.opened().is_none_or(|it| it.documents != documents);
    let id = match (open, last) {
        (Some(run), _) if options.anew => {
            let note = Some("begun anew".to_owned());
            let outcome = Outcome::Abandoned;
            let closed = v2::SheetClosed { sheet: run.sheet, outcome, note };
            journal.note(&author, vec![v2::Event::SheetClosed(closed)])?;
            begin(&mut journal, &author, head, sheet, documents)?
        }
        (Some(run), _) if changed(run) && !options.go_on => {
            let help = "stillprop sheet FILE shows it as it is now; add --go-on to go on with \
                that, or --anew to begin again";
            return Err(Failure::asked("the documents have changed since it was begun", help));
        }
        (Some(run), _) => run.sheet,
        (None, Some(run)) if !changed(run) && !options.anew => return Ok(over(run)),
        _ => begin(&mut journal, &author, head, sheet, documents)?,
    };
    let code = Walk::of(head, sheet, journal, id, author)?.go()?;
    Ok(Answer::text(String::new()).code(code))
}

/// A sheet of the same documents is over already.
fn over(run: &Run) -> Answer {
    let finished = run.standing == Standing::Closed(Outcome::Finished);
    let word = if finished { "finished" } else { "ended before its end" };
    let words = format!("this sheet was {word}; add --anew to begin it again\n{CAUTION}\n");
    Answer::text(words).code(u8::from(!finished))
}

fn begin(
    journal: &mut Journal,
    author: &str,
    head: &Head,
    sheet: &Sheet,
    documents: String,
) -> Result<Uuid, Failure> {
    let id = world::new_id();
    let opened = v2::SheetOpened {
        sheet: id,
        turnaround: head.title.clone(),
        aircraft: head.aircraft.clone(),
        place: head.place.clone(),
        documents,
        method: head.method.clone(),
        people: u8::try_from(sheet.roles.len()).unwrap_or(u8::MAX),
    };
    journal.note(author, vec![v2::Event::SheetOpened(opened)])?;
    Ok(id)
}

/// Stands for every text that the sheet was made from.
fn hash(source: &Source, stage: &Stage, sheet: &Sheet) -> Result<Hash, Failure> {
    let turnaround = load::in_source(source, read_turnaround(&source.text))?;
    let mut texts = vec![source.text.clone()];
    let legs = turnaround.legs.iter().filter_map(|leg| leg.strip.as_ref());
    for at in [&turnaround.aircraft, &turnaround.strip].into_iter().chain(legs) {
        texts.push(world::read_beside(source, &at.value)?.text);
    }
    texts.push(stage.rules_name.clone());
    texts.extend(sheet.roles.iter().map(|(role, name)| format!("{}: {name}", role.word())));
    let parts: Vec<&[u8]> = texts.iter().map(String::as_bytes).collect();
    Ok(Hash::of(&parts))
}
