//! The command line: verbs, their options, and what each prints.

mod check;
mod due;
mod generate;
mod ground;
mod licences;
mod manifest;
mod packs;
mod people;
mod picture;
mod print;
mod ready;
mod report;
mod screen;
mod search;
mod serve;
mod sheet;
mod sum;
mod yard;

use std::io::{self, Write};

use clap::{CommandFactory, Parser, Subcommand};
use serde_json::Value;

use crate::problem::Failure;

/// Works out whether a light aeroplane is ready to leave a strip: load, fuel, distances,
/// light, people. Works offline. It advises; the pilot in command decides.
#[derive(Debug, Parser)]
#[command(name = "stillprop", version, max_term_width = 100, after_help = AFTER)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    verb: Verb,
}

const AFTER: &str = "Exit codes: 0 ready or done, 1 not ready, 2 the input cannot be read.\n\
    Advice only: the pilot in command decides; the flight manual and local rules govern.";

#[derive(Debug, Subcommand)]
enum Verb {
    /// Assess one turnaround
    #[command(after_help = "Example: stillprop ready demo/over-mass --why load.take-off-mass")]
    Ready(ready::Options),
    /// Assess the built-in demonstration: the ready one, then those that are not
    #[command(after_help = "Example: stillprop demo --units us")]
    Demo(ready::DemoOptions),
    /// The smallest changes of each kind that mend a turnaround, each assessed in full
    #[command(after_help = "Example: stillprop ways-out demo/over-mass")]
    WaysOut(search::Asked),
    /// How likely every limit holds, given how well each input is known; what to measure first
    #[command(after_help = "Example: stillprop odds demo --draws 1000000")]
    Odds(search::odds::Options),
    /// Where on the apron the aeroplane stands with the most room
    #[command(after_help = "Example: stillprop park demo/crowded-apron")]
    Park(search::park::Options),
    /// Times of departure at which every limit holds, each edge with the limit that makes it
    #[command(after_help = "Example: stillprop window demo/last-light --day day.svg")]
    Window(search::window::Options),
    /// Where the aeroplane stands: distances, ways on foot, pumping, spills, start; pictures of it
    #[command(after_help = "Example: stillprop ground demo/crowded-apron --apron apron.svg")]
    Ground(ground::Options),
    /// Make it fit: the seats, lockers and tanks with the greatest smallest margin, proved
    #[command(after_help = "Example: stillprop fit demo/mid-burn --keep \"Odrin Kestow\"")]
    Fit(search::fit::Options),
    /// What to take at each stop of a day, from which drums or pump: least cost, proved
    #[command(after_help = "Example: stillprop uplift demo/seed-round")]
    Uplift(search::uplift::Options),
    /// Draw a picture of a turnaround into a file: loading, balance, fuel, day, apron, strip
    #[command(after_help = "Example: stillprop picture balance demo/mid-burn -o balance.svg")]
    Picture(picture::Options),
    /// Print a paper of a stop or of the yard into a PDF: load, fuel, run sheet, briefing, tags ...
    #[command(after_help = "Example: stillprop print load demo -o load.pdf --paper letter")]
    Print(print::Options),
    /// The run sheet: every task of the stop in a safe order, printed or gone through
    #[command(after_help = "Example: stillprop sheet demo --walk --by \"Odrin Kestow\"")]
    Sheet(sheet::Options),
    /// What people want to carry: dangerous goods in everyday words, against the tables
    #[command(
        after_help = "Example: stillprop screen \"hairspray 300 mL; power bank 74 Wh\" --in cabin"
    )]
    Screen(screen::Options),
    /// Who and what is aboard, what each needs, who is told what; last-minute changes judged at once
    #[command(after_help = "Example: stillprop manifest demo --stays \"Wenna Dannuv\"")]
    Manifest(manifest::Options),
    /// What falls due: equipment, papers, qualifications; a calendar of it
    #[command(after_help = "Example: stillprop due demo --calendar due.ics")]
    Due(due::Options),
    /// After an event: who is told by when, what to keep, and a draft
    #[command(
        after_help = "Example: stillprop report spill demo/spill --at 2026-12-03T08:10:00+05:30"
    )]
    Report(report::Options),
    /// Do one calculation
    #[command(
        after_help = "Example: stillprop sum pressure-altitude elevation=\"5300 ft\" qnh=\"1016 hPa\""
    )]
    Sum(sum::Options),
    /// Check documents without assessing them
    #[command(after_help = "Example: stillprop check aircraft.toml strips/*.toml")]
    Check(check::Options),
    /// Print the JSON Schema of a kind of document
    #[command(after_help = "Example: stillprop schema aircraft > aircraft.schema.json")]
    Schema(check::SchemaOptions),
    /// List the rule packs, or the figures of one
    #[command(after_help = "Example: stillprop packs \"strictest(au,nz)\"")]
    Packs(packs::Options),
    /// The pages for phone and laptop, served from this machine with no network
    #[command(after_help = "Example: stillprop serve documents --by \"Odrin Kestow\"")]
    Serve(serve::Options),
    /// The fuel yard: drums, tanks, batches and samples, recorded as it happens
    #[command(after_help = "Example: stillprop yard list --ledger demo")]
    Yard(Box<yard::Options>),
    /// Who may use the pages from other devices, and how they come in
    #[command(after_help = "Example: stillprop people add \"Ansa Verrel\" --role refueller")]
    People(people::Options),
    /// Print the notices that go along with a built program
    #[command(after_help = "Example: stillprop licences > NOTICES.txt")]
    Licences(licences::Options),
    /// Print shell completions
    #[command(after_help = "Example: stillprop completions bash > stillprop.bash")]
    Completions(generate::CompletionOptions),
    /// Print the manual page
    #[command(after_help = "Example: stillprop man | man -l -")]
    Man,
}

/// What a verb answers: text or JSON, and the exit code.
pub(crate) struct Answer {
    body: Body,
    /// Exit code.
    pub(crate) code: u8,
}

enum Body {
    Text(String),
    Json(Value),
}

impl Answer {
    fn text(text: impl Into<String>) -> Self {
        Self { body: Body::Text(text.into()), code: 0 }
    }

    fn json(value: Value) -> Self {
        Self { body: Body::Json(value), code: 0 }
    }

    fn code(self, code: u8) -> Self {
        Self { code, ..self }
    }

    /// Prints to standard output; colour only where a terminal shows it.
    pub(crate) fn print(&self) -> io::Result<()> {
        let mut out = anstream::stdout().lock();
        match &self.body {
            Body::Text(text) => write!(out, "{text}")?,
            Body::Json(value) => writeln!(out, "{value:#}")?,
        }
        out.flush()
    }
}

impl Arguments {
    /// True when the answer is wanted as JSON.
    pub(crate) fn json(&self) -> bool {
        match &self.verb {
            Verb::Ready(options) => options.json,
            Verb::Demo(options) => options.json,
            Verb::WaysOut(options) => options.json,
            Verb::Odds(options) => options.asked.json,
            Verb::Park(options) => options.asked.json,
            Verb::Window(options) => options.asked.json,
            Verb::Ground(options) => options.json,
            Verb::Fit(options) => options.json,
            Verb::Uplift(options) => options.json,
            Verb::Picture(options) => options.json,
            Verb::Print(options) => options.json,
            Verb::Sheet(options) => options.json,
            Verb::Screen(options) => options.json,
            Verb::Manifest(options) => options.json,
            Verb::Due(options) => options.json,
            Verb::Report(options) => options.json,
            Verb::Sum(options) => options.json,
            Verb::Check(options) => options.json,
            Verb::Packs(options) => options.json,
            Verb::Yard(options) => options.json(),
            Verb::People(options) => options.json,
            Verb::Licences(options) => options.json,
            Verb::Schema(_) => true,
            Verb::Serve(_) | Verb::Completions(_) | Verb::Man => false,
        }
    }
}

/// Does what was asked.
pub(crate) fn run(arguments: &Arguments) -> Result<Answer, Failure> {
    match &arguments.verb {
        Verb::Ready(options) => ready::run(options),
        Verb::Demo(options) => ready::demo(options),
        Verb::WaysOut(options) => search::ways_out::run(options),
        Verb::Odds(options) => search::odds::run(options),
        Verb::Park(options) => search::park::run(options),
        Verb::Window(options) => search::window::run(options),
        Verb::Ground(options) => ground::run(options),
        Verb::Fit(options) => search::fit::run(options),
        Verb::Uplift(options) => search::uplift::run(options),
        Verb::Picture(options) => picture::run(options),
        Verb::Print(options) => print::run(options),
        Verb::Sheet(options) => sheet::run(options),
        Verb::Screen(options) => screen::run(options),
        Verb::Manifest(options) => manifest::run(options),
        Verb::Due(options) => due::run(options),
        Verb::Report(options) => report::run(options),
        Verb::Sum(options) => sum::run(options),
        Verb::Check(options) => check::run(options),
        Verb::Schema(options) => check::schema(options),
        Verb::Packs(options) => packs::run(options),
        Verb::Serve(options) => serve::run(options),
        Verb::Yard(options) => yard::run(options),
        Verb::People(options) => people::run(options),
        Verb::Licences(options) => licences::run(options),
        Verb::Completions(options) => Ok(generate::completions(options, Arguments::command())),
        Verb::Man => generate::man(Arguments::command()),
    }
}
