//! `fit`: who sits where, what lies where, how much fuel in which tank.

use clap::{Args, ValueEnum};
use stillprop_calc::{
    quantity::{FromAmount, Mass, Volume},
    unit::{self, Kind},
};
use stillprop_plan::{
    budget::Budget,
    fit::{self, Answer as Found, Asked, FuelMay, Question, Unfit},
};
use stillprop_turnaround::{
    assess::{Assessment, assess},
    document::turnaround::Method,
    stage::{Choice, Stage},
};

use super::interrupt::Interrupt;
use crate::{
    cli::Answer,
    load,
    problem::Failure,
    report::{
        search::fit::{self as page, Fitted},
        system::UnitSystem,
    },
    world,
};

/// Options of `fit`.
#[derive(Args, Debug)]
pub(in crate::cli) struct Options {
    /// A turnaround document; `demo/mid-burn` means a built-in one
    file: String,
    /// What may be done with the fuel; without fuel to be taken it stays
    #[arg(long, value_enum)]
    fuel: Option<Fuel>,
    /// Fuel is taken in whole steps of this; else the step of the document, else 5 L
    #[arg(long, value_name = "VOLUME")]
    step: Option<String>,
    /// Everyone keeps their seat
    #[arg(long)]
    seats_stay: bool,
    /// A person or an item that stays in place
    #[arg(long, value_name = "NAME")]
    keep: Vec<String>,
    /// Two people who sit in one row: "Ansa Verrel, Lio Marrenk"
    #[arg(long, value_name = "NAME, NAME")]
    together: Vec<String>,
    /// A person who does not sit next to an exit
    #[arg(long, value_name = "NAME")]
    not_at_exit: Vec<String>,
    /// An item that must be reached in flight
    #[arg(long, value_name = "ITEM")]
    reach: Vec<String>,
    /// An item that must not be reached in flight
    #[arg(long, value_name = "ITEM")]
    out_of_reach: Vec<String>,
    /// Mass of one piece of ballast that could be taken
    #[arg(long, value_name = "MASS")]
    ballast: Option<String>,
    /// How many pieces of ballast there are
    #[arg(long, default_value_t = 3, requires = "ballast", value_parser = clap::value_parser!(u8).range(1..=9))]
    pieces: u8,
    /// Steps after which the best so far must do
    #[arg(long, value_name = "COUNT", default_value_t = 20_000_000)]
    steps: u64,
    /// Rules to use instead of the document's
    #[arg(long, value_name = "PACK")]
    pack: Option<String>,
    /// The ledger whose drums it draws from
    #[arg(long, value_name = "FILE")]
    ledger: Option<String>,
    /// Units to show
    #[arg(long, value_enum, default_value_t)]
    units: UnitSystem,
    /// Answer as JSON
    #[arg(long)]
    pub(in crate::cli) json: bool,
}

/// What may be done with the fuel.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Fuel {
    /// Each tank as planned
    Stay,
    /// The planned total, in any tanks
    Spread,
    /// As much as the limits ask for and allow
    Change,
}

pub(in crate::cli) fn run(options: &Options) -> Result<Answer, Failure> {
    let (mut stage, choice) = load::turnaround(
        &world::read(&options.file)?,
        options.pack.as_deref(),
        options.ledger.as_deref(),
    )?;
    let question = question(&stage, options)?;
    if let Some(mass) = &options.ballast {
        let mass = Mass::from_si(quantity(mass, Kind::Mass)?);
        fit::offer_ballast(&mut stage, mass, usize::from(options.pieces));
    }
    let interrupt = Interrupt::watch();
    let mut should_stop = || interrupt.came();
    let mut budget = Budget::new(options.steps, &mut should_stop);
    let (mut asked, mut answer) = answered(&stage, &choice, &question, &mut budget)?;
    if !as_good_as_now(&asked, &stage, &choice, &answer) {
        // What is planned is no whole number of steps, and better than any that is.
        let stays = Question { fuel: FuelMay::Stay, ..question };
        let other = answered(&stage, &choice, &stays, &mut budget)?;
        if margin(&other.1) > margin(&answer) {
            (asked, answer) = other;
        }
    }
    let fitted = fitted(&stage, &choice, &asked, answer)?;
    let units = options.units.choose(&stage.document_units);
    let before = assess(&stage, &choice, &units);
    let after = fitted.after.as_ref().map(|after| assess(&stage, after, &units));
    let answer = if options.json {
        Answer::json(page::json(&fitted, &before, after.as_ref(), &units))
    } else {
        Answer::text(page::page(&fitted, &before, after.as_ref(), &units))
    };
    // A limit that no arrangement moves may still break: then nothing is ready.
    let ready = after.as_ref().is_some_and(Assessment::ready);
    Ok(answer.code(u8::from(!ready)))
}

fn answered(
    stage: &Stage,
    choice: &Choice,
    question: &Question,
    budget: &mut Budget<'_>,
) -> Result<(Asked, Found), Failure> {
    let asked = fit::ask(stage, choice, question).map_err(|why| unfit(&why))?;
    let answer = fit::fit(&asked.case, budget);
    Ok((asked, answer))
}

/// The margin that was found, in an order in which nothing comes first.
fn margin(answer: &Found) -> Option<f64> {
    match answer {
        Found::Fits(found, _) => Some(found.margin),
        Found::NothingFits(_) | Found::NotKnown => None,
    }
}

fn as_good_as_now(asked: &Asked, stage: &Stage, choice: &Choice, answer: &Found) -> bool {
    let now = asked.margin(stage, choice);
    match answer {
        Found::Fits(found, _) => now.is_none_or(|now| found.margin >= now - CONFIRMED),
        Found::NothingFits(_) => now.is_none(),
        Found::NotKnown => true,
    }
}

/// The answer as a choice that was judged anew. What the limits of the turnaround do not confirm
/// is not shown.
fn fitted<'a>(
    stage: &'a Stage,
    choice: &'a Choice,
    asked: &'a Asked,
    answer: Found,
) -> Result<Fitted<'a>, Failure> {
    let after = match &answer {
        Found::Fits(found, _) => Some(fit::arranged(asked, choice, found)),
        Found::NothingFits(_) | Found::NotKnown => None,
    };
    if let (Some(after), Found::Fits(found, _)) = (&after, &answer) {
        let again = asked.margin(stage, after);
        if !again.is_some_and(|margin| (margin - found.margin).abs() < CONFIRMED) {
            return Err(Failure::asked(
                "the arrangement that was found does not hold when it is assessed in full",
                "this is a mistake of the program: report it with the documents, and use `ready`",
            ));
        }
    }
    let before = asked.margin(stage, choice);
    Ok(Fitted { stage, choice, asked, answer, after, before })
}

/// Sums in another order differ by less. A share.
const CONFIRMED: f64 = 1e-6;

fn question(stage: &Stage, options: &Options) -> Result<Question, Failure> {
    let document = &stage.documents.turnaround;
    let taken = !matches!(stage.method, None | Some(Method::None));
    let fuel = match options.fuel {
        Some(Fuel::Stay) => FuelMay::Stay,
        Some(Fuel::Spread) => FuelMay::Spread,
        Some(Fuel::Change) => FuelMay::Change,
        None if taken => FuelMay::Change,
        None => FuelMay::Stay,
    };
    let step = match &options.step {
        Some(step) => Volume::from_si(quantity(step, Kind::Volume)?),
        None => document.fuel.step.as_ref().map_or(Volume::of(5.0, unit::L), |given| given.value),
    };
    if step.value <= 0.0 {
        return Err(Failure::asked("the step must be more than nothing", "for example --step 5L"));
    }
    let person = |name: &String| of_name(name, stage.people.iter().map(|p| p.name.as_str()));
    let item = |name: &String| of_name(name, stage.items.iter().map(|item| item.what.as_str()));
    let all = |names: &[String], find: &dyn Fn(&String) -> Result<usize, Failure>| {
        names.iter().map(find).collect::<Result<Vec<_>, _>>()
    };
    let (mut seated, mut fixed) = (Vec::new(), Vec::new());
    if options.seats_stay {
        seated.extend(0..stage.people.len());
    }
    for name in &options.keep {
        match item(name) {
            Ok(item) => fixed.push(item),
            Err(_) => seated.push(person(name)?),
        }
    }
    let pair = |names: &String| {
        let (a, b) = names.split_once(',').ok_or_else(|| {
            Failure::asked(
                format!("`{names}` does not name two people"),
                "write both with a comma between: --together \"Ansa Verrel, Lio Marrenk\"",
            )
        })?;
        Ok((person(&a.trim().to_owned())?, person(&b.trim().to_owned())?))
    };
    Ok(Question {
        fuel,
        step,
        seated,
        fixed,
        together: options.together.iter().map(pair).collect::<Result<_, Failure>>()?,
        not_at_exit: all(&options.not_at_exit, &person)?,
        reachable: all(&options.reach, &item)?,
        out_of_reach: all(&options.out_of_reach, &item)?,
    })
}

/// Index of a name.
fn of_name<'a>(name: &str, names: impl Iterator<Item = &'a str>) -> Result<usize, Failure> {
    let known: Vec<&str> = names.collect();
    known.iter().position(|known| known.eq_ignore_ascii_case(name)).ok_or_else(|| {
        let help = stillprop_rules::document::did_you_mean(name, &known);
        Failure::asked(format!("nobody and nothing aboard is called `{name}`"), help)
    })
}

fn quantity(text: &str, kind: Kind) -> Result<f64, Failure> {
    let read = unit::read(text, kind);
    read.map(|(amount, _)| amount.si).map_err(|why| {
        Failure::asked(
            format!("`{text}`: {why}"),
            "write a number with its unit: \"5 L\", \"10 kg\"",
        )
    })
}

fn unfit(why: &Unfit) -> Failure {
    match why {
        Unfit::Unknown(why) => Failure::asked(
            format!("no arrangement can be judged: {why}"),
            "give what is missing in the documents; `stillprop ready` lists it",
        ),
        Unfit::Step => Failure::asked(
            "the planned fuel is no whole number of steps",
            "name a step that divides it, for example --step 1L, or use --fuel change",
        ),
        Unfit::TooMany => Failure::asked(
            "there are more places, tanks, people and items than a fit takes",
            "it takes 64 places, 8 tanks, and 64 people and items together",
        ),
    }
}
