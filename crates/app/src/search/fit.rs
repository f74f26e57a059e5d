//! Who sits where, what lies where, how much fuel in which tank: from words to a question, and from
//! its answer to a choice that was judged anew.

use stillprop_calc::{
    quantity::{FromAmount, Mass, Volume},
    unit::{self, Kind},
};
use stillprop_plan::{
    budget::Budget,
    fit::{self, Answer, Asked, FuelMay, Question, Unfit},
};
use stillprop_turnaround::{
    document::turnaround::Method,
    stage::{Choice, Stage},
};

use crate::problem::Failure;

/// Steps after which a verb shows the best so far.
pub(crate) const STEPS: u64 = 20_000_000;
/// Pieces of ballast when nobody says how many.
pub(crate) const PIECES: u8 = 3;
/// Quantities of fuel and ballast that are looked at, at most: a step of a millilitre would be
/// millions of them. Ours.
const MOST: f64 = 20_000.0;
/// Sums in another order differ by less. A share.
const CONFIRMED: f64 = 1e-6;

/// What a person asks of a fit, in words.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub(crate) struct Wishes {
    /// What may be done with the fuel; without fuel to be taken it stays.
    pub(crate) fuel: Option<Fuel>,
    /// Fuel is taken in whole steps of this; else the step of the document, else 5 L.
    pub(crate) step: Option<String>,
    /// Everyone keeps their seat.
    pub(crate) seats_stay: bool,
    /// People and items that stay.
    pub(crate) keep: Vec<String>,
    /// Two people each, with a comma between, who sit in one row.
    pub(crate) together: Vec<String>,
    /// People who do not sit next to an exit.
    pub(crate) not_at_exit: Vec<String>,
    /// Items that must be reached in flight.
    pub(crate) reach: Vec<String>,
    /// Items that must not be.
    pub(crate) out_of_reach: Vec<String>,
    /// Mass of one piece of ballast that could be taken.
    pub(crate) ballast: Option<String>,
    /// How many pieces there are; else [`PIECES`].
    pub(crate) pieces: Option<u8>,
}

/// What may be done with the fuel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, clap::ValueEnum)]
pub(crate) enum Fuel {
    /// Each tank as planned
    Stay,
    /// The planned total, in any tanks
    Spread,
    /// As much as the limits ask for and allow
    Change,
}

impl Fuel {
    /// Every answer, with its word.
    pub(crate) const ALL: [(Self, &'static str); 3] =
        [(Self::Stay, "stay"), (Self::Spread, "spread"), (Self::Change, "change")];

    /// What is done with the fuel of a turnaround when nobody says.
    pub(crate) fn usual(stage: &Stage) -> Self {
        let taken = !matches!(stage.method, None | Some(Method::None));
        if taken { Self::Change } else { Self::Stay }
    }
}

/// An answer with what it was asked of.
#[derive(Debug)]
pub(crate) struct Fitted {
    /// With the ballast that was offered.
    pub(crate) stage: Stage,
    pub(crate) choice: Choice,
    pub(crate) asked: Asked,
    pub(crate) answer: Answer,
    /// The choice that was found, assessed anew.
    pub(crate) after: Option<Choice>,
    /// Smallest margin as things are now; `None` when something does not hold.
    pub(crate) before: Option<f64>,
}

/// Seeks the best arrangement, in so many steps at most.
pub(crate) fn run(
    stage: &Stage,
    choice: &Choice,
    wishes: &Wishes,
    steps: u64,
    stop: &mut dyn FnMut() -> bool,
) -> Result<Fitted, Failure> {
    let mut stage = stage.clone();
    let question = question(&stage, wishes)?;
    if let Some(mass) = &wishes.ballast {
        let mass = Mass::from_si(quantity(mass, Kind::Mass)?);
        if mass.value <= 0.0 {
            return Err(Failure::asked("a piece of ballast has a mass", "for example 10 kg"));
        }
        let pieces = wishes.pieces.unwrap_or(PIECES);
        fit::offer_ballast(&mut stage, mass, usize::from(pieces));
    }
    let mut budget = Budget::new(steps, stop);
    let (mut asked, mut answer) = answered(&stage, choice, &question, &mut budget)?;
    if !as_good_as_now(&asked, &stage, choice, &answer) {
        // What is planned is no whole number of steps, and better than any that is.
        let stays = Question { fuel: FuelMay::Stay, ..question };
        let other = answered(&stage, choice, &stays, &mut budget)?;
        if margin(&other.1) > margin(&answer) {
            (asked, answer) = other;
        }
    }
    fitted(stage, choice, asked, answer)
}

fn answered(
    stage: &Stage,
    choice: &Choice,
    question: &Question,
    budget: &mut Budget<'_>,
) -> Result<(Asked, Answer), Failure> {
    let asked = fit::ask(stage, choice, question).map_err(|why| unfit(&why))?;
    let answer = fit::fit(&asked.case, budget);
    Ok((asked, answer))
}

/// The margin that was found, in an order in which nothing comes first.
fn margin(answer: &Answer) -> Option<f64> {
    match answer {
        Answer::Fits(found, _) => Some(found.margin),
        Answer::NothingFits(_) | Answer::NotKnown => None,
    }
}

fn as_good_as_now(asked: &Asked, stage: &Stage, choice: &Choice, answer: &Answer) -> bool {
    let now = asked.margin(stage, choice);
    match answer {
        Answer::Fits(found, _) => now.is_none_or(|now| found.margin >= now - CONFIRMED),
        Answer::NothingFits(_) => now.is_none(),
        Answer::NotKnown => true,
    }
}

/// The answer as a choice that was judged anew. What the limits of the turnaround do not confirm
/// is not shown.
fn fitted(stage: Stage, choice: &Choice, asked: Asked, answer: Answer) -> Result<Fitted, Failure> {
    let after = match &answer {
        Answer::Fits(found, _) => Some(fit::arranged(&asked, choice, found)),
        Answer::NothingFits(_) | Answer::NotKnown => None,
    };
    if let (Some(after), Answer::Fits(found, _)) = (&after, &answer) {
        let again = asked.margin(&stage, after);
        if !again.is_some_and(|margin| (margin - found.margin).abs() < CONFIRMED) {
            return Err(Failure::asked(
                "the arrangement that was found does not hold when it is assessed in full",
                "this is a mistake of the program: report it with the documents, and use `ready`",
            ));
        }
    }
    let before = asked.margin(&stage, choice);
    Ok(Fitted { stage, choice: choice.clone(), asked, answer, after, before })
}

fn question(stage: &Stage, wishes: &Wishes) -> Result<Question, Failure> {
    let document = &stage.documents.turnaround;
    let fuel = match wishes.fuel.unwrap_or_else(|| Fuel::usual(stage)) {
        Fuel::Stay => FuelMay::Stay,
        Fuel::Spread => FuelMay::Spread,
        Fuel::Change => FuelMay::Change,
    };
    let step = match &wishes.step {
        Some(step) => Volume::from_si(quantity(step, Kind::Volume)?),
        None => document.fuel.step.as_ref().map_or(Volume::of(5.0, unit::L), |given| given.value),
    };
    if step.value <= 0.0 {
        return Err(Failure::asked("the step must be more than nothing", "for example 5 L"));
    }
    let tanks: Volume = stage.tanks.iter().map(|tank| tank.usable).sum();
    let pieces = wishes.ballast.as_ref().map_or(0, |_| wishes.pieces.unwrap_or(PIECES));
    if (tanks / step).value * f64::from(pieces + 1) > MOST {
        return Err(Failure::asked("the step is too small for these tanks", "for example 1 L"));
    }
    let person = |name: &String| of_name(name, stage.people.iter().map(|p| p.name.as_str()));
    let item = |name: &String| of_name(name, stage.items.iter().map(|item| item.what.as_str()));
    let all = |names: &[String], find: &dyn Fn(&String) -> Result<usize, Failure>| {
        names.iter().map(find).collect::<Result<Vec<_>, _>>()
    };
    let (mut seated, mut fixed) = (Vec::new(), Vec::new());
    if wishes.seats_stay {
        seated.extend(0..stage.people.len());
    }
    for name in &wishes.keep {
        match item(name) {
            Ok(item) => fixed.push(item),
            Err(_) => seated.push(person(name)?),
        }
    }
    let pair = |names: &String| {
        let (a, b) = names.split_once(',').ok_or_else(|| {
            Failure::asked(
                format!("`{names}` does not name two people"),
                "write both with a comma between: Ansa Verrel, Lio Marrenk",
            )
        })?;
        Ok((person(&a.trim().to_owned())?, person(&b.trim().to_owned())?))
    };
    Ok(Question {
        fuel,
        step,
        seated,
        fixed,
        together: wishes.together.iter().map(pair).collect::<Result<_, Failure>>()?,
        not_at_exit: all(&wishes.not_at_exit, &person)?,
        reachable: all(&wishes.reach, &item)?,
        out_of_reach: all(&wishes.out_of_reach, &item)?,
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
            "give what is missing in the documents; the limits that are unknown name it",
        ),
        Unfit::Step => Failure::asked(
            "the planned fuel is no whole number of steps",
            "name a step that divides it, for example 1 L, or let the fuel change",
        ),
        Unfit::TooMany => Failure::asked(
            "there are more places, tanks, people and items than a fit takes",
            "it takes 64 places, 8 tanks, and 64 people and items together",
        ),
    }
}
