//! The run sheet in the hand: one task at a time, large; what lies open first after any break;
//! every stop one tap away.

mod list;
pub(crate) mod reading;

use jiff::Timestamp;
use maud::{Markup, html};
use stillprop_ledger::runs::Run;
use stillprop_turnaround::{
    limits::light::clock,
    sheet::{Flag, Progress, Reads, Role, Sheet, Sort, Stop, Task},
};
use uuid::Uuid;

use crate::{
    pages::{bits::encoded, typed::Pairs},
    report::sheet::{Head, cautions, person},
};

/// Findings shown in a recap, and confirmations shown of the others.
const LAST: usize = 6;

/// What the page shows.
pub(crate) struct SheetPage<'a> {
    /// Name of the turnaround's document.
    pub(crate) name: &'a str,
    /// What the sheet is for.
    pub(crate) head: &'a Head,
    /// Its tasks.
    pub(crate) sheet: &'a Sheet,
    /// Where it stands.
    pub(crate) now: Now,
    /// What its records tell; `None` before it is begun.
    pub(crate) told: Option<(&'a Run, &'a Progress)>,
    /// Whose phone this is; `None` for everybody's.
    pub(crate) role: Option<Role>,
    /// How many tasks were passed over.
    pub(crate) put: usize,
    /// The id that the next record takes.
    pub(crate) token: Uuid,
    /// Grows with every record.
    pub(crate) version: u64,
    /// What became of the last step.
    pub(crate) said: Option<String>,
    /// Whole minutes that the drums have stood by the records, where that is long enough.
    pub(crate) stood: Option<String>,
    /// What was typed and not taken.
    pub(crate) typed: Option<(&'a Pairs, String)>,
    /// The unit that fuel is read in.
    pub(crate) fuel: &'a str,
}

/// Where a sheet stands, for whoever looks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Now {
    /// It was not begun, or is over; with what is known of the last one.
    Before(Option<String>),
    /// The documents have changed since it was begun.
    Changed,
    /// It was broken off, or the program was started again: first what lies open.
    Recap,
    /// This task may be done.
    Task(usize),
    /// Others have to do something first.
    Waiting,
    /// A step of a stop action.
    Step(Stop, u8),
    /// Something is to be put down in a break.
    Put(usize),
    /// The work is broken off, and all of it is put down.
    Paused,
    /// Every task is done.
    End,
    /// Stopped for good.
    ForGood,
    /// Nothing can be done now.
    Stuck,
}

/// A role as an address has it.
pub(crate) const fn slug(role: Role) -> &'static str {
    match role {
        Role::Pilot => "pilot",
        Role::Second => "second",
        Role::Refueller => "refueller",
    }
}

impl SheetPage<'_> {
    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        let name = encoded(self.name);
        let sheet = self.told.map(|(run, _)| run.sheet.to_string()).unwrap_or_default();
        html! {
            div.sheet #sheet data-version=(self.version)
                data-ask={ "/version/sheet/" (name) "?id=" (sheet) }
                data-part={ "/part/sheet/" (name) "?as=" (self.own()) "&put=" (self.put) } {
                (self.inner())
            }
        }
    }

    /// What changes with every record.
    pub(crate) fn inner(&self) -> Markup {
        html! {
            h1 { "Run sheet: " (self.head.title) }
            p.of {
                (self.head.aircraft) " at " (self.head.place) ", " (self.head.method)
                @if self.head.invented { " (invented data)" }
            }
            @if let Some(said) = &self.said { p.said role="status" { (said) } }
            @if self.heads() { (self.breaks()) }
            div #task data-task=(self.key()) { (self.now()) }
            @if self.going() { (self.stops()) (self.others()) (self.also()) }
            @if !self.heads() { (self.breaks()) }
            (list::all(self))
            ul.cautions { @for caution in cautions(self.head) { li { (caution) } } }
            p { a href={ "/papers?stop=" (encoded(self.name)) } { "Papers of this stop" } }
        }
    }

    fn own(&self) -> &'static str {
        self.role.map_or("", slug)
    }

    /// Names what is asked now, so that a script keeps what is being typed.
    fn key(&self) -> String {
        match self.now {
            Now::Task(place) => self.task(place).map_or_else(String::new, |task| task.id.clone()),
            ref other => format!("{other:?}"),
        }
    }

    fn task(&self, place: usize) -> Option<&Task> {
        self.sheet.tasks.get(place)
    }

    fn typed(&self) -> Option<&Pairs> {
        self.typed.as_ref().map(|(pairs, _)| *pairs)
    }

    /// What is to be known at a task from what went in before.
    fn remarks(&self, place: usize) -> Vec<String> {
        self.told.map_or_else(Vec::new, |(_, progress)| progress.remarks(self.sheet, place))
    }

    /// The sheet is looked at as a whole; else what it is headed with stands below the task.
    fn heads(&self) -> bool {
        matches!(self.now, Now::Before(_) | Now::Changed | Now::Recap)
    }

    fn going(&self) -> bool {
        !matches!(self.now, Now::Before(_) | Now::Changed)
    }

    fn clock(&self, at: Timestamp) -> String {
        clock(at, self.head.offset)
    }

    fn now(&self) -> Markup {
        match &self.now {
            Now::Before(last) => self.before(last.as_deref()),
            Now::Changed => self.changed(),
            Now::Recap => html! {
                (self.recap())
                (self.button("go-on", "I have looked: go on", &[]))
            },
            Now::Task(place) => self.one(*place),
            Now::Waiting => self.waiting(),
            Now::Step(stop, step) => self.step(*stop, usize::from(*step)),
            Now::Put(place) => html! {
                (self.put_down(*place))
                (self.recap())
            },
            Now::Paused => html! {
                (self.recap())
                (self.button("resume", "The work goes on", &[]))
            },
            Now::End => html! {
                p.large { "Every task is done." }
                (self.button("close", "Put the sheet away", &[]))
            },
            Now::ForGood => html! {
                p.large { "This sheet is stopped for good: nothing more is done by it." }
                (self.button("close", "Put the sheet away", &[]))
            },
            Now::Stuck => html! {
                p.large { "Nothing can be done now." }
                (self.recap())
            },
        }
    }

    /// A form that sends one step. Each has the id that its record takes: sent twice it is kept
    /// once.
    fn form(&self, does: &str, hidden: &[(&str, &str)], inner: &Markup) -> Markup {
        html! {
            form method="post" action={ "/sheet/" (encoded(self.name)) } {
                input type="hidden" name="do" value=(does);
                input type="hidden" name="token" value=(self.token);
                input type="hidden" name="as" value=(self.own());
                @for (name, value) in hidden { input type="hidden" name=(name) value=(value); }
                (inner)
            }
        }
    }

    fn button(&self, does: &str, words: &str, hidden: &[(&str, &str)]) -> Markup {
        self.form(does, hidden, &html! { button.main { (words) } })
    }

    fn before(&self, last: Option<&str>) -> Markup {
        html! {
            @if let Some(last) = last { p { (last) } }
            p { (self.sheet.tasks.len()) " tasks. "
                @for (place, (role, name)) in self.sheet.roles.iter().enumerate() {
                    @if place > 0 { "; " } (person(*role, name))
                }
            }
            (self.button("begin", if last.is_some() { "Begin it again" } else { "Begin the sheet" }, &[]))
        }
    }

    fn changed(&self) -> Markup {
        html! {
            p.large { "The documents have changed since this sheet was begun." }
            p { "Go on with the tasks as they are now, or put the old one away and begin again." }
            (self.button("go-on-changed", "Go on with it as it is now", &[]))
            (self.button("anew", "Begin again", &[]))
        }
    }

    /// What was done and what lies open: the first thing after any break.
    fn recap(&self) -> Markup {
        let Some((run, progress)) = self.told else { return html! {} };
        let open = progress.recap(self.sheet);
        let open: Vec<_> = open.iter().filter(|open| open.flag != Some(Flag::Paused)).collect();
        let more = progress.findings.len().saturating_sub(LAST);
        html! {
            section.recap aria-labelledby="recap" {
                h2 id="recap" { "Recap: " (progress.state.done.count()) " of " (self.sheet.tasks.len()) " tasks done" }
                @if let Some(kept) = progress.kept.last() {
                    p { "Last: " (self.task(kept.task).map_or("?", |task| task.title.as_str()))
                        " (" (self.clock(kept.at)) ", " (kept.by) ")" }
                }
                @if open.is_empty() { p { "Nothing lies open." } } @else {
                    p.large { "As it stands now: go and look" }
                    ul { @for open in open { li { (open.words) } } }
                }
                @if let Some((stop, step)) = progress.step() {
                    p.large { "STOP in force: " (stop.title()) ", step " (usize::from(step) + 1) }
                }
                @if !progress.findings.is_empty() || !run.findings.is_empty() {
                    h3 { "Did not pass, or does not add up" }
                    ul {
                        @for finding in progress.findings.iter().skip(more) {
                            li { (self.clock(finding.at)) " " (sort(finding.sort)) ": " (finding.words) " (" (finding.by) ")" }
                        }
                        @if more > 0 { li { "and " (more) " before these" } }
                        @if !run.findings.is_empty() { li { (run.findings.len()) " records do not fit the others" } }
                    }
                }
            }
        }
    }

    /// One task, large.
    fn one(&self, place: usize) -> Markup {
        let Some(task) = self.task(place) else { return html! {} };
        let words = match task.reads {
            Reads::Nothing => "Done",
            _ if task.hold => "Keep this reading",
            _ => "Done",
        };
        let inner = html! {
            (reading::field(&task.reads, task.hold, self.fuel, self.typed(), self.stood.as_deref()))
            @if let Some((_, error)) = &self.typed { p.error role="alert" id="reading-error" { (error) } }
            @if !reading::own_buttons(&task.reads) { button.main { (words) } }
        };
        html! {
            p.count { (place + 1) " of " (self.sheet.tasks.len()) ", " (task.phase.title()) ", " (self.who(task.who)) }
            h2.task { (task.title) }
            @if task.hold { p.hold { "HOLD: not passed without its reading" } }
            @for remark in self.remarks(place) { p.said { (remark) } }
            p { (task.why) }
            @if !task.notes.is_empty() { ul { @for note in &task.notes { li { (note) } } } }
            (self.form("done", &[("task", &task.id)], &inner))
        }
    }

    /// Something that is to be put down in a break, large.
    fn put_down(&self, place: usize) -> Markup {
        let Some(put) = self.sheet.puts.get(place) else { return html! {} };
        let inner = html! {
            (reading::field(&put.reads, true, self.fuel, self.typed(), None))
            @if let Some((_, error)) = &self.typed { p.error role="alert" id="reading-error" { (error) } }
            @if !reading::own_buttons(&put.reads) { button.main { "Keep this reading" } }
        };
        html! {
            p.count { "PUT IT DOWN: before the work goes on, whoever is there" }
            h2.task { (put.title) }
            p.hold { "HOLD: " (put.reads.help()) ", when it is so" }
            p { (put.note) }
            (self.form("put", &[("task", put.id)], &inner))
        }
    }

    /// What breaks by the documents: it heads the sheet.
    fn breaks(&self) -> Markup {
        html! {
            @if self.sheet.begins.has(Flag::Spill) {
                p.large { "FUEL LIES ON THE GROUND: first the steps of FUEL IS SPILLED" }
            }
            @if !self.sheet.broken.is_empty() {
                section.breaks aria-labelledby="breaks" {
                    h2 id="breaks" { "Breaks by the documents: mend it first" }
                    ul { @for broken in &self.sheet.broken { li { (broken.id) ": " (broken.words) } } }
                }
            }
        }
    }

    fn waiting(&self) -> Markup {
        let Some((_, progress)) = self.told else { return html! {} };
        let mine = (0..self.sheet.tasks.len()).find(|&place| {
            !progress.state.done.has(place)
                && self.task(place).is_some_and(|task| Some(task.who) == self.role)
        });
        let refusal = mine.and_then(|place| progress.refused(self.sheet, place));
        html! {
            p.large { "Wait: the others have to do something first." }
            @if let Some(task) = mine.and_then(|place| self.task(place)) {
                p { "Yours is next: " strong { (task.title) } }
            }
            @if let Some(refusal) = refusal {
                p { "Not yet, because:" }
                ul { @for why in &refusal.because { li { (why) } } }
            }
        }
    }

    /// A step of the stop action in force.
    fn step(&self, stop: Stop, step: usize) -> Markup {
        let Some(plan) = self.sheet.plan(stop) else { return html! {} };
        let number = step.to_string();
        let inner = html! {
            div.field {
                label for="note" { "A note: litres, time, who was called" }
                input id="note" name="note" maxlength="400" autocomplete="off";
            }
            button.main { "Done" }
        };
        html! {
            section.stop-action {
                p.count { "STOP: " (stop.title()) ", step " (step + 1) " of " (plan.steps.len()) }
                @if let Some(step) = plan.steps.get(step) {
                    h2.task { (step.title) }
                    @if !step.notes.is_empty() { ul { @for note in &step.notes { li { (note) } } } }
                }
                (self.form("step", &[("stop", stop.id()), ("step", &number)], &inner))
                p { "Then: " (plan.afterwards) }
            }
        }
    }

    /// Every stop, one tap away.
    fn stops(&self) -> Markup {
        let inner = html! {
            @for stop in Stop::ALL { button.stop name="stop" value=(stop.id()) { (stop.title()) } }
        };
        html! {
            section.stops aria-labelledby="stops" {
                h2 id="stops" { "STOP at once" }
                (self.form("stop", &[], &inner))
            }
        }
    }

    /// What the others have done last, and what they may do now.
    fn others(&self) -> Markup {
        let Some((_, progress)) = self.told else { return html! {} };
        let name = encoded(self.name);
        let many = self.sheet.roles.len() > 1;
        html! {
            section #others aria-labelledby="last" {
                h2 id="last" { "Confirmed last" }
                @if progress.kept.is_empty() { p { "Nothing yet." } }
                ul aria-live="polite" {
                    @for kept in progress.kept.iter().rev().take(LAST) {
                        li { (self.clock(kept.at)) " " (self.task(kept.task).map_or("?", |task| task.title.as_str())) " (" (kept.by) ")" }
                    }
                }
                @for next in progress.next(self.sheet) {
                    @if let Some(task) = next.tasks.first().and_then(|place| self.task(*place)) {
                        @if self.role.is_some_and(|role| role != next.role) {
                            p { "Meanwhile " (self.who(next.role)) ": " (task.title) }
                        }
                    }
                }
                @if many {
                    p.roles { "This phone is for: "
                        @for (role, _) in &self.sheet.roles {
                            a href={ "/sheet/" (name) "?as=" (slug(*role)) } aria-current=[(self.role == Some(*role)).then_some("true")] { (self.who(*role)) } " "
                        }
                        a href={ "/sheet/" (name) } aria-current=[self.role.is_none().then_some("true")] { "everybody" }
                    }
                }
            }
        }
    }

    /// What else can be done: another task, a pause, taking the last entry back.
    fn also(&self) -> Markup {
        let name = encoded(self.name);
        let undo = html! {
            div.field {
                label for="why" { "Why the last entry was wrong" }
                input id="why" name="why" maxlength="200" autocomplete="off";
            }
            button { "Take the last entry back" }
        };
        html! {
            details.also {
                summary { "Pause, undo, another task" }
                @if matches!(self.now, Now::Task(_)) {
                    p { a.button href={ "/sheet/" (name) "?as=" (self.own()) "&put=" (self.put + 1) } { "Another task that can be done now" } }
                    (self.form("pause", &[], &html! { button { "Break off: that puts nothing down" } }))
                }
                (self.form("undo", &[], &undo))
                p { a href={ "/sheet/" (name) "?recap=1&as=" (self.own()) } { "Recap" } }
                p { a href={ "/stop/" (name) } { "The turnaround" } }
            }
        }
    }

    fn who(&self, role: Role) -> String {
        let name = self.sheet.roles.iter().find(|(other, _)| *other == role);
        name.map_or_else(|| role.word().to_owned(), |(role, name)| person(*role, name))
    }
}

const fn sort(sort: Sort) -> &'static str {
    match sort {
        Sort::Refused => "refused",
        Sort::Held => "held",
        Sort::Noted => "noted",
    }
}
