//! `screen`: what people want to carry, against the tables of dangerous goods.

use clap::{Args, ValueEnum};
use stillprop_rules::{
    document::Problem,
    goods::{Place, measured},
};

use super::Answer;
use crate::{
    load,
    problem::Failure,
    report::screen::{self as page, Asked, Beside, RULES, Screened},
    world,
};

/// Options of `screen`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// What it is, in everyday words, several things with `;` between; or a turnaround document
    what: Vec<String>,
    /// Size of each: `300mL`, `0.5kg`, `74Wh`
    #[arg(long, value_name = "SIZE")]
    each: Option<String>,
    /// How many
    #[arg(long)]
    count: Option<u32>,
    /// Where it would travel; each place is shown when left out
    #[arg(long = "in", value_enum)]
    place: Option<Where>,
    /// The operator, or the pilot where there is none, approved it
    #[arg(long)]
    approved: bool,
    /// Rules to use: `au`, `us`, `strictest(au,us)`; the strictest of all states when left out
    #[arg(long, value_name = "PACK")]
    pack: Option<String>,
    /// Show the questions to ask aloud, and what to look for in the bag
    #[arg(long)]
    ask: bool,
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Where {
    /// On somebody's body
    Person,
    /// In the cabin, at hand
    Cabin,
    /// In a locker that can be reached in flight
    Reachable,
    /// In a locker that cannot be reached
    Hold,
}

impl Where {
    const fn place(self) -> Place {
        match self {
            Self::Person => Place::Person,
            Self::Cabin => Place::Cabin,
            Self::Reachable => Place::Reachable,
            Self::Hold => Place::Hold,
        }
    }
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    if options.ask || options.what.is_empty() {
        return ask(options);
    }
    let screened = match options.what.as_slice() {
        [name] if names_a_turnaround(name) => {
            let source = world::read(name)?;
            let (stage, choice) = load::turnaround(&source, options.pack.as_deref(), None)?;
            Screened::of_stop(&stage, &choice)
        }
        words => of_words(&words.join(" "), options)?,
    };
    let code = u8::from(!screened.may_all_come());
    let answer = if options.json {
        Answer::json(page::json(&screened))
    } else {
        Answer::text(page::text(&screened))
    };
    Ok(answer.code(code))
}

fn names_a_turnaround(name: &str) -> bool {
    name.ends_with(".toml") || name == "demo" || name.starts_with("demo/")
}

fn ask(options: &Options) -> Result<Answer, Failure> {
    let vocabulary = stillprop_rules::builtin::vocabulary()?;
    let rules = load::rules(options.pack.as_deref().unwrap_or(RULES))?;
    let goods = page::goods(&rules)?;
    let asked = Asked { items: &vocabulary.item, goods: &goods, rules: rules.name() };
    Ok(if options.json {
        Answer::json(page::ask_json(&asked))
    } else {
        Answer::text(page::ask_text(&asked))
    })
}

/// Things in words, each part after a semicolon one of them.
fn of_words(text: &str, options: &Options) -> Result<Screened, Failure> {
    let rules = load::rules(options.pack.as_deref().unwrap_or(RULES))?;
    let each = match options.each.as_deref().map(measured).transpose() {
        Ok(each) => each,
        Err((message, help)) => return Err(Problem::new(0..0, message).help(help).into()),
    };
    let beside = Beside {
        each,
        count: options.count,
        place: options.place.map(Where::place),
        approved: options.approved,
    };
    Screened::of_words(&rules, text, beside)
}
