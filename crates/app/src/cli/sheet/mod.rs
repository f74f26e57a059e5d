//! `sheet`: the run sheet of a turnaround, on paper, as JSON, or gone through step by step.

mod screen;
mod walk;
mod words;

use clap::Args;
use stillprop_ledger::{
    event::v2::Outcome,
    runs::{Run, Standing},
};
use stillprop_turnaround::sheet::{Checked, Sheet, Trouble, check};

use self::walk::Walk;
use super::{
    Answer,
    yard::{Moment, moment},
};
use crate::{
    load,
    problem::Failure,
    report::{
        answer,
        sheet::{Head, WIDTH, page},
        text::CAUTION,
    },
    sheet::{Journal, Stated, begin::Made, work::Work},
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
    /// When it is stated, with offset: 2026-06-21T07:30:00+05:30. Else now
    #[arg(long, requires = "walk", value_name = "INSTANT", value_parser = moment)]
    at: Option<Moment>,
    /// Rules to use instead of the document's
    #[arg(long, value_name = "PACK")]
    pack: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let source = world::read(&options.file)?;
    let (stage, choice) =
        load::turnaround(&source, options.pack.as_deref(), options.ledger.as_deref())?;
    let made = Made::of(&source, &stage, &choice, options.people)?;
    if options.walk {
        return walk(options, &source, &made);
    }
    let Made { head, sheet, .. } = &made;
    if !options.json && !options.check {
        return Ok(Answer::text(page(head, sheet, None, world::columns().unwrap_or(WIDTH))));
    }
    match check(sheet) {
        Ok(checked) => Ok(answer(options, head, sheet, &checked)),
        Err(trouble) => Ok(broken(options, head, &trouble)),
    }
}

fn answer(options: &Options, head: &Head, sheet: &Sheet, checked: &Checked) -> Answer {
    if options.json {
        Answer::json(answer::value(&answer::sheet::sheet(head, sheet, checked)))
    } else {
        let width = world::columns().unwrap_or(WIDTH);
        Answer::text(page(head, sheet, Some(checked), width))
    }
}

/// A sheet in which some order breaks an invariant is not printed: nobody is to work by it.
fn broken(options: &Options, head: &Head, trouble: &Trouble) -> Answer {
    let answer = if options.json {
        Answer::json(answer::value(&answer::sheet::trouble(head, trouble)))
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

fn walk(options: &Options, source: &Source, made: &Made) -> Result<Answer, Failure> {
    let author = options.by.clone().or_else(world::author);
    let author = author.map(|name| name.trim().to_owned()).filter(|name| !name.is_empty());
    let author = author.ok_or_else(|| {
        Failure::asked("it is not said who states this", "add --by NAME, or set STILLPROP_BY")
    })?;
    let at = options.at.map(|moment| moment.instant);
    if let Some(at) = at.filter(|at| *at > world::now()) {
        let message = format!("{at} lies in the future");
        return Err(Failure::asked(message, "say when it was, or leave --at out"));
    }
    let stated = Stated { author, at };
    let mut journal =
        Journal::open(options.ledger.as_deref(), options.progress.as_deref(), source)?;
    let id = match made.last(&journal)? {
        Some(last) if last.open() && options.anew => {
            made.abandon(&mut journal, &stated, last.run.sheet)?;
            made.begin(&mut journal, &stated, None)?
        }
        Some(last) if last.open() && last.changed && !options.go_on => {
            let help = "stillprop sheet FILE shows it as it is now; add --go-on to go on with \
                that, or --anew to begin again";
            return Err(Failure::asked("the documents have changed since it was begun", help));
        }
        Some(last) if last.open() => last.run.sheet,
        Some(last) if !last.changed && !options.anew => return Ok(over(&last.run)),
        _ => made.begin(&mut journal, &stated, None)?,
    };
    let place = journal.place();
    let work = Work::of(&made.sheet, &mut journal, id, stated)?;
    let code = Walk::of(&made.head, &made.sheet, work).go(&place)?;
    Ok(Answer::text(String::new()).code(code))
}

/// A sheet of the same documents is over already.
fn over(run: &Run) -> Answer {
    let finished = run.standing == Standing::Closed(Outcome::Finished);
    let word = if finished { "finished" } else { "ended before its end" };
    let words = format!("this sheet was {word}; add --anew to begin it again\n{CAUTION}\n");
    Answer::text(words).code(u8::from(!finished))
}
