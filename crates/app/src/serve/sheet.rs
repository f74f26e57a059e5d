//! The run sheet: what stands, and the steps that people send. All of it through the same code
//! as the terminal.

use std::sync::Arc;

use axum::{
    extract::{Path, State},
    response::Response,
};
use stillprop_calc::{quantity::FromAmount as _, unit::MIN};
use stillprop_ledger::{
    event::v2::Outcome,
    runs::{Run, Standing},
};
use stillprop_turnaround::{
    limits::light::clock,
    sheet::{Progress, Reads, Role, Sort, Stop},
};
use uuid::Uuid;

use super::{
    author::Author,
    form::{Asked, Pairs, Sent},
    reply::{Reply, answer},
    shop::{Shop, Worked},
};
use crate::{
    pages::{
        bits::encoded,
        frame::Place,
        sheet::{Now, SheetPage, reading, slug},
        stop::RunRow,
    },
    problem::Failure,
    sheet::{
        Journal, Stated,
        begin::{Last, Made},
        work::{self, BREAK, Reread, Said, Shown, Undone, Work},
    },
    world,
    yard::{
        convert,
        words::{self, Names},
    },
};

fn made(worked: &Worked) -> Result<Made, Failure> {
    Made::of(&worked.source, &worked.stage, &worked.choice, None)
}

/// `GET /sheet/NAME?as=ROLE`
pub(super) async fn page(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        shown(shop, &name, &pairs, None, |page| {
            Reply::page(Place::Stops, format!("Run sheet: {}", page.head.title), page.markup())
                .script("sheet")
        })
    })
    .await
}

/// `GET /part/sheet/NAME`: what changes with every record, for a script.
pub(super) async fn part(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        shown(shop, &name, &pairs, None, |page| Reply::Part(page.markup()))
    })
    .await
}

/// `GET /version/sheet/NAME?id=SHEET`: a number that grows with every record of the sheet.
pub(super) async fn version(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let count = match pairs.text("id").parse() {
            Ok(id) => shop.journal(|journal| journal.count_of(id))?.unwrap_or(0),
            // A phone that shows no sheet yet waits for another to begin it.
            Err(_) => begun(shop, &name)?,
        };
        Ok(Reply::Text(count.to_string()))
    })
    .await
}

/// How many records the sheet has that is gone through now; 0 when none is.
fn begun(shop: &Shop, name: &str) -> Result<u64, Failure> {
    let made = made(&*shop.worked(name)?)?;
    let count = shop.journal(|journal| match made.last(journal)? {
        Some(last) if last.open() => journal.count_of(last.run.sheet),
        _ => Ok(0),
    })?;
    Ok(count.unwrap_or(0))
}

fn role(pairs: &Pairs, made: &Made) -> Option<Role> {
    let own = |role: &Role| slug(*role) == pairs.text("as");
    made.sheet.roles.iter().map(|(role, _)| *role).find(own)
}

fn shown(
    shop: &Shop,
    name: &str,
    pairs: &Pairs,
    error: Option<String>,
    reply: impl FnOnce(&SheetPage<'_>) -> Reply,
) -> Result<Reply, Failure> {
    let worked = shop.worked(name)?;
    let made = made(&worked)?;
    let found = shop.journal(|journal| {
        let last = made.last(journal)?;
        let id = last.as_ref().filter(|last| last.open()).map(|last| last.run.sheet);
        let told = id.map(|id| work::told(journal, &made.sheet, id)).transpose()?;
        let version = id.map_or(Ok(0), |id| journal.count_of(id))?;
        Ok((last, told, version))
    })?;
    let (last, told, version) = found.unwrap_or((None, None, 0));
    let role = role(pairs, &made);
    let put = pairs.text("put").parse().unwrap_or(0);
    let now = now(shop, &made, last.as_ref(), told.as_ref(), (role, put, pairs));
    let page = SheetPage {
        name,
        head: &made.head,
        sheet: &made.sheet,
        stood: told.as_ref().and_then(|(_, progress)| stood(&made, progress, &now)),
        now,
        told: told.as_ref().map(|(run, progress)| (run, progress)),
        role,
        put,
        token: world::new_id(),
        version,
        said: said(pairs.text("said"), told.as_ref()),
        typed: error.map(|error| (pairs, error)),
        fuel: worked.units.fuel.symbol,
    };
    Ok(reply(&page))
}

fn now(
    shop: &Shop,
    made: &Made,
    last: Option<&Last>,
    told: Option<&(Run, Progress)>,
    (role, put, pairs): (Option<Role>, usize, &Pairs),
) -> Now {
    let (Some(last), Some((run, progress))) = (last, told) else {
        let over = |last: &Last| match last.run.standing {
            Standing::Closed(Outcome::Finished) => "The last sheet was finished.",
            _ => "The last sheet ended before its end.",
        };
        return Now::Before(last.map(|last| over(last).to_owned()));
    };
    let new = !shop.is_taken_up(run.sheet);
    if last.changed && new {
        return Now::Changed;
    }
    match work::shown(&made.sheet, progress, put) {
        // What is stopped is never hidden behind a recap.
        Shown::Step(stop, step) => Now::Step(stop, step),
        // Nor what is to be put down: each shows the recap below it.
        Shown::Put(put) => Now::Put(put),
        Shown::Paused => Now::Paused,
        _ if (new && run.lines.len() > 1) || pairs.given("recap").is_some() => Now::Recap,
        Shown::End => Now::End,
        Shown::ForGood => Now::ForGood,
        Shown::Stuck => Now::Stuck,
        Shown::Task(task) => match role {
            None => Now::Task(task),
            Some(role) => own(made, progress, role, put).map_or(Now::Waiting, Now::Task),
        },
    }
}

/// How long the drums have stood by the records, where that is what is asked now and it is long
/// enough.
fn stood(made: &Made, progress: &Progress, now: &Now) -> Option<String> {
    let Now::Task(place) = *now else { return None };
    let Reads::Waited { least: Some(least) } = made.sheet.tasks.get(place)?.reads else {
        return None;
    };
    let stood = progress.stood(&made.sheet, place, world::now())?;
    (stood >= least).then(|| format!("{:.0}", stood.count(MIN).floor()))
}

/// The task that somebody may do now.
fn own(made: &Made, progress: &Progress, role: Role, put: usize) -> Option<usize> {
    let next = progress.next(&made.sheet).into_iter().find(|next| next.role == role)?;
    let place = put.checked_rem(next.tasks.len())?;
    next.tasks.get(place).copied()
}

/// What became of the last step, in words.
fn said(word: &str, told: Option<&(Run, Progress)>) -> Option<String> {
    let last = || told.and_then(|(_, progress)| progress.findings.last());
    Some(match word {
        "kept" => "Kept.".to_owned(),
        "doubt" => format!("Kept. {}", doubts(told)),
        "reread" => "Kept. What was read before stays on record.".to_owned(),
        "again" => "It was kept before; nothing was recorded twice.".to_owned(),
        "already" => "Somebody has done that already.".to_owned(),
        "refused" => {
            let why = last().map_or("", |finding| finding.words.as_str());
            format!(
                "DOES NOT PASS: {why}. Kept; if it was misread or mistyped: take it back, then the right reading."
            )
        }
        "paused" => BREAK.to_owned(),
        "undone" => "Taken back. It stays on record, as corrected.".to_owned(),
        "stop" => "A stop is not taken back: go through its steps.".to_owned(),
        "nothing" => "Nothing is done yet.".to_owned(),
        "closed" => "Kept: the sheet is put away.".to_owned(),
        _ => return None,
    })
}

/// What came to be in doubt with the last record that left anything to look at.
fn doubts(told: Option<&(Run, Progress)>) -> String {
    let findings = told.map_or(&[][..], |(_, progress)| progress.findings.as_slice());
    let last = findings.last().map(|finding| &finding.entry);
    let same = findings.iter().filter(|finding| Some(&finding.entry) == last);
    let noted = same.filter(|finding| finding.sort == Sort::Noted);
    noted.map(|finding| format!("IN DOUBT: {}.", finding.words)).collect::<Vec<_>>().join(" ")
}

/// `POST /sheet/NAME`: one step.
pub(super) async fn done(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Sent(pairs): Sent,
) -> Response {
    let by = author.clone();
    answer(shop, author, move |shop| {
        let name_of = by.required()?;
        let worked = shop.worked(&name)?;
        let made = made(&worked)?;
        let step = shop.recording(|journal| step(shop, journal, &made, &pairs, name_of))?;
        Ok(match step {
            Step::Said(word) => {
                let (name, own) = (encoded(&name), encoded(pairs.text("as")));
                Reply::Go(format!("/sheet/{name}?as={own}&said={word}"))
            }
            Step::NotTaken(why) => shown(shop, &name, &pairs, Some(why), |page| {
                Reply::page(Place::Stops, page.head.title.clone(), page.markup())
                    .script("sheet")
                    .wrong()
            })?,
        })
    })
    .await
}

/// What became of a step.
enum Step {
    /// It is over, one way or another; the word says which.
    Said(&'static str),
    /// What was typed is no answer.
    NotTaken(String),
}

fn step(
    shop: &Shop,
    journal: &mut Journal,
    made: &Made,
    pairs: &Pairs,
    author: String,
) -> Result<Step, Failure> {
    let stated = Stated { author, at: None };
    let last = made.last(journal)?;
    let open = last.as_ref().filter(|last| last.open());
    let does = pairs.text("do");
    let token = pairs.text("token").parse::<Uuid>().ok();
    if let Some(token) = token
        && journal.has(token)?
    {
        return Ok(Step::Said("again"));
    }
    let Some(open) = open else {
        if does == "begin" {
            let id = made.begin(journal, &stated, token)?;
            shop.take_up(id, true);
        }
        return Ok(Step::Said(""));
    };
    let id = open.run.sheet;
    if does == "anew" {
        made.abandon(journal, &stated, id)?;
        let id = made.begin(journal, &stated, token)?;
        shop.take_up(id, true);
        return Ok(Step::Said(""));
    }
    let mut work = Work::of(&made.sheet, journal, id, stated)?;
    work.once(token);
    let again = || Failure::asked("this step cannot be read", "open the sheet again");
    Ok(Step::Said(match does {
        "begin" => "",
        "done" => return task(&mut work, made, pairs),
        "reread" => return reread(&mut work, made, pairs),
        "put" => return put_down(&mut work, made, pairs),
        "stop" => {
            let stop = Stop::named(pairs.text("stop")).ok_or_else(again)?;
            match work.call(stop)? {
                Ok(()) => "",
                Err(refusal) => return Err(refused(&refusal.because)),
            }
        }
        "step" => {
            let stop = Stop::named(pairs.text("stop")).ok_or_else(again)?;
            let number: u8 = pairs.text("step").parse().map_err(|_| again())?;
            if work.progress.step() != Some((stop, number)) {
                return Ok(Step::Said("already"));
            }
            work.step(stop, number, pairs.given("note").map(str::to_owned))?;
            "kept"
        }
        "pause" => match work.pause()? {
            Ok(()) => "paused",
            Err(refusal) => return Err(refused(&refusal.because)),
        },
        "resume" | "go-on" | "go-on-changed" => {
            if !shop.is_taken_up(id) && work.run.lines.len() > 1 {
                work.unsaid()?;
            }
            shop.take_up(id, true);
            match work.shown(0) {
                Shown::Paused => goes_on(&mut work)?,
                // Who sends that it goes on is told what is to be put down first.
                Shown::Put(_) if does == "resume" => goes_on(&mut work)?,
                _ => {}
            }
            ""
        }
        "undo" => match work.undo(pairs.given("why").map(str::to_owned))? {
            Undone::Taken(_) => "undone",
            Undone::Stop => "stop",
            Undone::Nothing => "nothing",
        },
        "close" => {
            let finished = match work.shown(0) {
                Shown::End => true,
                Shown::ForGood => false,
                _ => return Ok(Step::Said("nothing")),
            };
            work.close(finished)?;
            "closed"
        }
        _ => return Err(again()),
    }))
}

fn task(work: &mut Work<'_>, made: &Made, pairs: &Pairs) -> Result<Step, Failure> {
    let place = made.sheet.find(pairs.text("task"));
    let task = place.and_then(|place| Some((place, made.sheet.tasks.get(place)?)));
    let Some((place, task)) = task else {
        return Err(Failure::asked("there is no such task on this sheet", "open the sheet again"));
    };
    // Two phones confirm the same thing: it is so, and there is nothing to refuse.
    if work.progress.state.done.has(place) {
        return Ok(Step::Said("already"));
    }
    let typed = reading::typed(&task.reads, pairs);
    Ok(became(work.done(place, (!typed.is_empty()).then_some(typed))?))
}

/// Something is said to be put down.
fn put_down(work: &mut Work<'_>, made: &Made, pairs: &Pairs) -> Result<Step, Failure> {
    let id = pairs.text("task");
    let place = made.sheet.puts.iter().position(|put| put.id == id);
    let put = place.and_then(|place| Some((place, made.sheet.puts.get(place)?)));
    let Some((place, put)) = put else {
        return Err(Failure::asked("there is no such thing to put down", "open the sheet again"));
    };
    // Two phones say the same thing, or the work went on: there is nothing to refuse.
    if !matches!(work.shown(0), Shown::Put(_)) || !put.applies(&work.progress.state) {
        return Ok(Step::Said("already"));
    }
    let typed = reading::typed(&put.reads, pairs);
    Ok(became(work.put(place, (!typed.is_empty()).then_some(typed))?))
}

/// Litres or a dip were misread.
fn reread(work: &mut Work<'_>, made: &Made, pairs: &Pairs) -> Result<Step, Failure> {
    let place = made.sheet.find(pairs.text("task"));
    let task = place.and_then(|place| Some((place, made.sheet.tasks.get(place)?)));
    let Some((place, task)) = task else {
        return Err(Failure::asked("there is no such task on this sheet", "open the sheet again"));
    };
    let back = |what: &str| Failure::asked(what, "go back to the sheet and look at its list");
    match work.reread(place, &reading::typed(&task.reads, pairs))? {
        Reread::Kept(..) => Ok(Step::Said("reread")),
        Reread::NotTaken(why) => {
            Err(Failure::asked(format!("NOT TAKEN: {}", why.message), why.help))
        }
        Reread::NoAmount => Err(back("only litres and dips are read again")),
        Reread::NotDone => Err(back("it is not done yet: there is nothing to read again")),
    }
}

fn became(said: Option<Said>) -> Step {
    match said {
        Some(Said::NotTaken(why)) => {
            Step::NotTaken(format!("NOT TAKEN: {}: {}", why.message, why.help))
        }
        Some(Said::NotPut(why)) => Step::NotTaken(format!(
            "NOT TAKEN: {why}. Do it, then say yes; it cannot be done, or fuel ran out: press the stop"
        )),
        Some(Said::DoesNotPass(_)) => Step::Said("refused"),
        Some(Said::Kept(doubts)) if !doubts.is_empty() => Step::Said("doubt"),
        Some(Said::Kept(_)) => Step::Said("kept"),
        None => Step::Said(""),
    }
}

fn goes_on(work: &mut Work<'_>) -> Result<(), Failure> {
    work.resume()?.map_err(|refusal| refused(&refusal.because))
}

fn refused(because: &[String]) -> Failure {
    Failure::asked(because.join("; "), "go back to the sheet and look at its recap")
}

/// The runs of a stop, the last first.
pub(super) fn runs(shop: &Shop, worked: &Worked) -> Result<Vec<RunRow>, Failure> {
    let runs = of_stop(shop, worked)?;
    let offset = worked.stage.here.offset;
    let at = |at_ms: i64| {
        convert::instant(at_ms).map_or_else(String::new, |at| {
            format!("{} {}", offset.to_datetime(at).date(), clock(at, offset))
        })
    };
    let made = if runs.is_empty() { None } else { made(worked).ok() };
    let tasks = made.as_ref().map_or(&[][..], |made| &made.sheet.tasks);
    let names = Names { yard: None, tasks };
    let row = |run: &Run| RunRow {
        begun: run
            .lines
            .first()
            .map_or_else(String::new, |line| format!("{} by {}", at(line.at_ms), line.author)),
        standing: words::standing(&run.standing),
        lines: run
            .lines
            .iter()
            .map(|line| {
                format!("{} {} ({})", at(line.at_ms), words::entry(&line.what, names), line.author)
            })
            .collect(),
    };
    Ok(runs.iter().rev().map(row).collect())
}

fn of_stop(shop: &Shop, worked: &Worked) -> Result<Vec<Run>, Failure> {
    let documents = &worked.stage.documents;
    let same = |run: &Run| {
        run.opened().is_some_and(|it| {
            it.turnaround == documents.turnaround.title && it.place == documents.strip.name
        })
    };
    let registration = &documents.aircraft.registration;
    let runs = shop.journal(|journal| journal.runs_of(registration))?.unwrap_or_default();
    Ok(runs.into_iter().filter(same).collect())
}

/// What is next on the sheet of a stop, in a line.
pub(super) fn next(shop: &Shop, worked: &Worked) -> Result<String, Failure> {
    let Some(run) = of_stop(shop, worked)?.pop() else { return Ok("not begun".to_owned()) };
    if !matches!(run.standing, Standing::Open) {
        return Ok(words::standing(&run.standing));
    }
    let made = made(worked)?;
    let entries = crate::sheet::enter::entries(&made.sheet, &run);
    let progress = Progress::fold(&made.sheet, &entries);
    let done = format!("{} of {} done", progress.state.done.count(), made.sheet.tasks.len());
    Ok(match work::shown(&made.sheet, &progress, 0) {
        Shown::Task(place) => {
            let title = made.sheet.tasks.get(place).map_or("", |task| task.title.as_str());
            format!("next: {title} ({done})")
        }
        _ => done,
    })
}
