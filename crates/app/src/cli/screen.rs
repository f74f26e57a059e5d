//! `screen`: what people want to carry, against the tables of dangerous goods.

use clap::{Args, ValueEnum};
use stillprop_rules::{
    document::Problem,
    goods::{Place, measured},
};
use stillprop_turnaround::goods::{Goods, Thing, exceptions, screen};

use super::Answer;
use crate::{
    load,
    problem::Failure,
    report::screen::{self as page, Asked, Screened},
    world,
};

/// Rules for words alone: whoever is asked on the ground does not know where they will fly.
const RULES: &str = "strictest(au,nz,uk,us)";

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
        [name] if names_a_turnaround(name) => of_turnaround(name, options)?,
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
    let goods = goods(&rules)?;
    let asked = Asked { items: &vocabulary.item, goods: &goods, rules: rules.name() };
    Ok(if options.json {
        Answer::json(page::ask_json(&asked))
    } else {
        Answer::text(page::ask_text(&asked))
    })
}

fn goods(rules: &stillprop_rules::rules::Rules) -> Result<Goods, Failure> {
    Goods::of(rules).map_err(|why| Failure::asked(why, "use a pack with a table of goods"))
}

/// Things in words, each part after a semicolon one of them.
fn of_words(text: &str, options: &Options) -> Result<Screened, Failure> {
    let rules = load::rules(options.pack.as_deref().unwrap_or(RULES))?;
    let goods = goods(&rules)?;
    let ears = goods.ears();
    let each = match options.each.as_deref().map(measured).transpose() {
        Ok(each) => each,
        Err((message, help)) => return Err(Problem::new(0..0, message).help(help).into()),
    };
    let parts = text.split(';').map(str::trim).filter(|part| !part.is_empty());
    let things: Vec<Thing> = parts
        .map(|part| {
            let heard = ears.hear(part);
            Thing {
                said: part.to_owned(),
                item: heard.item,
                each: each.or(heard.each),
                count: options.count.or(heard.count),
                place: options.place.map(Where::place),
                of: None,
                approved: options.approved,
            }
        })
        .collect();
    let judged = screen(&goods, &things);
    Ok(Screened {
        title: None,
        rules: rules.name(),
        things: things.into_iter().zip(judged).collect(),
        unasked: Vec::new(),
        exceptions: exceptions(&rules, None),
    })
}

/// What a turnaround document declares, each thing where its bag lies.
fn of_turnaround(name: &str, options: &Options) -> Result<Screened, Failure> {
    let (stage, choice) = load::turnaround(&world::read(name)?, options.pack.as_deref(), None)?;
    let screening = &stage.screening;
    let things = screening.things.iter().map(|one| {
        let place = screening.place(one.bag, &choice.place_of);
        let place = one.thing.place.unwrap_or(place);
        (Thing { place: Some(place), ..one.thing.clone() }, one.at(place).clone())
    });
    let people = screening.people_unasked.iter().filter_map(|index| stage.people.get(*index));
    let items = screening.items_unasked.iter().filter_map(|index| stage.items.get(*index));
    let unasked = people.map(|person| person.name.clone());
    let unasked = unasked.chain(items.map(|item| item.what.clone()));
    Ok(Screened {
        title: Some(stage.documents.turnaround.title.clone()),
        rules: stage.rules_name.clone(),
        things: things.collect(),
        unasked: unasked.collect(),
        exceptions: screening.exceptions.clone(),
    })
}
