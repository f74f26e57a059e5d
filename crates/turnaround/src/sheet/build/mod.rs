//! From facts to a sheet. Each file writes the tasks of one part of the work; here they are
//! put in order.
//!
//! Guards are few and each stands at one task only: where a guard were doubled by another, the
//! checker could not show that it is needed.

mod drum;
mod fill;
mod hand;
mod hose;
mod people;
mod samples;
mod site;
mod start;
mod stops;
mod walk;

use std::fmt;

use stillprop_calc::{
    quantity::{Area, FromAmount, Length, Time, VolumeRate},
    unit,
};
use stillprop_rules::situation::Engine;

use super::{
    amount::{Amounts, Filling, Holds},
    facts::{Facts, Fuelling, Start, Tank},
    flag::{Flag, Flags},
    machine::{Sheet, Terms},
    state::MOST_TASKS,
    task::{Role, Task},
    wait::Wait,
};
use crate::stage::Figure;

/// Most drums of one sheet.
const MOST_DRUMS: usize = Flag::PASSED.len();

/// Why no sheet can be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unbuilt {
    /// What stands against it.
    pub message: String,
    /// What to do.
    pub help: String,
}

impl fmt::Display for Unbuilt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.help)
    }
}

impl std::error::Error for Unbuilt {}

/// Tasks as they are written.
struct Draft<'a> {
    facts: &'a Facts,
    tasks: Vec<Task>,
    /// Fillings, in the order of their runs.
    fillings: Vec<Filling>,
    /// The wait for the drums.
    wait: Option<Wait>,
}

impl Draft<'_> {
    /// Adds a task; gives its place, so that others can wait for it.
    fn add(&mut self, task: Task) -> usize {
        self.tasks.push(task);
        self.tasks.len() - 1
    }

    /// The second person, or the pilot where there is none.
    fn second(&self) -> Role {
        if self.facts.second.is_some() { Role::Second } else { Role::Pilot }
    }
}

impl Sheet {
    /// Makes the sheet of a turnaround.
    ///
    /// # Errors
    ///
    /// [`Unbuilt`] when the manual forbids the grade, when fuel is to be taken and it is not said how, into which tank or from which
    /// drum, or when there are more of them than a sheet holds.
    pub fn build(facts: &Facts) -> Result<Self, Unbuilt> {
        possible(facts)?;
        let mut draft = Draft { facts, tasks: Vec::new(), fillings: Vec::new(), wait: None };
        site::dead(&mut draft);
        match facts.fuelling {
            Fuelling::None | Fuelling::Unknown => {}
            Fuelling::Drum => {
                site::add(&mut draft);
                drum::add(&mut draft);
            }
            Fuelling::Tanker | Fuelling::SelfServe => {
                site::add(&mut draft);
                hose::add(&mut draft);
            }
        }
        samples::add(&mut draft);
        walk::add(&mut draft);
        start::add(&mut draft);
        let Draft { tasks, fillings, wait, .. } = draft;
        if tasks.len() > MOST_TASKS {
            return Err(too_long());
        }
        let mut begins = if facts.aboard { Flags::of(&[Flag::Aboard]) } else { Flags::NONE };
        if !facts.spilt.is_empty() {
            // It lies there: its steps come before anything else.
            begins = begins.with(Flag::Spill);
        }
        let mut sheet =
            Self::assemble(tasks, stops::plans(facts), terms(facts), begins, roles(facts));
        sheet.amounts = amounts(facts, fillings);
        sheet.wait = wait;
        sheet.named = people::named(facts);
        sheet.broken.clone_from(&facts.broken);
        Ok(sheet)
    }
}

fn too_long() -> Unbuilt {
    Unbuilt {
        message: "there is more to do than one sheet holds".into(),
        help: "fuel in two parts, each with its own sheet".into(),
    }
}

fn possible(facts: &Facts) -> Result<(), Unbuilt> {
    let unbuilt =
        |message: &str, help: &str| Err(Unbuilt { message: message.into(), help: help.into() });
    if facts.fuelling == Fuelling::None {
        return Ok(());
    }
    if facts.grade_forbidden() {
        let allowed = facts.allowed.as_deref().unwrap_or_default().join(", ");
        return Err(Unbuilt {
            message: format!(
                "{} is not a grade the manual allows: there is no sheet to put it in",
                facts.grade
            ),
            help: format!(
                "the manual allows {allowed}: take that, and say so with grade under [fuel]"
            ),
        });
    }
    if facts.fuelling == Fuelling::Unknown {
        return unbuilt(
            "nobody has said how fuel is taken",
            "add method = \"tanker\", \"self-serve\", \"drum\" or \"none\" under [fuel]",
        );
    }
    if facts.tanks.is_empty() {
        return unbuilt(
            "no tank is to be filled",
            "add uplift under [[fuel.tanks]], or method = \"none\" under [fuel]",
        );
    }
    if facts.fuelling != Fuelling::Drum {
        return Ok(());
    }
    if facts.drums.is_empty() {
        return unbuilt(
            "no drum is named",
            "add [[fuel.drums]] with drum, draw and tank for each draw",
        );
    }
    if facts.drums.len() > MOST_DRUMS {
        return Err(too_long());
    }
    let mut into = facts.drums.iter().flat_map(|drum| &drum.into);
    if facts.drums.iter().any(|drum| drum.into.is_empty())
        || into.any(|(tank, _)| *tank >= facts.tanks.len())
    {
        return unbuilt(
            "a drum goes into no tank",
            "under [[fuel.drums]], tank is one of [[fuel.tanks]] with an uplift",
        );
    }
    Ok(())
}

fn terms(facts: &Facts) -> Terms {
    let hose = Flags::of(&[Flag::BondAircraft, Flag::BondNozzle]);
    let (bonds, samples) = match facts.fuelling {
        Fuelling::None | Fuelling::Unknown => (Flags::NONE, Flags::NONE),
        Fuelling::Drum => (Flags::BONDS, Flags::drums_passed(facts.drums.len())),
        Fuelling::Tanker | Fuelling::SelfServe => (hose, Flags::drums_passed(1)),
    };
    let way = start::way(facts);
    let fuelled = !matches!(facts.fuelling, Fuelling::None | Fuelling::Unknown);
    Terms {
        bonds,
        samples,
        allowed: !facts.grade_forbidden(),
        empty: facts.engine == Engine::Piston && facts.burns_gasoline(),
        attended: facts.fuelling == Fuelling::Tanker || facts.second.is_some(),
        fuelled,
        hand: way == Start::Hand,
        alone: way == Start::Hand && facts.second.is_none(),
        gives_way: facts.start == Start::Hand && facts.gives_way.is_some(),
        near_run: !near(facts, RUN_ROOM).is_empty(),
        near_fuel: fuelled && !near(facts, FUEL_ROOM).is_empty(),
        spilt: !facts.spilt.is_empty(),
        asks: facts.ask_goods.is_some(),
    }
}

/// Limits of what stands too near a running engine, by the first part of their names.
const RUN_ROOM: &[&str] = &["site.run."];
/// The same for fuelling.
const FUEL_ROOM: &[&str] = &["site.fuel."];

/// What breaks by the documents among these limits, in words.
fn near(facts: &Facts, limits: &[&str]) -> Vec<String> {
    let asked = |id: &str| limits.iter().any(|limit| id.starts_with(limit));
    let broken = facts.broken.iter().filter(|broken| asked(&broken.id));
    broken.map(|broken| broken.words.clone()).collect()
}

fn amounts(facts: &Facts, fillings: Vec<Filling>) -> Amounts {
    let holds = |tank: &Tank| Holds {
        label: tank.label.clone(),
        usable: tank.usable,
        unusable: tank.unusable,
        aboard: tank.aboard,
    };
    let tanks = facts.tanks.iter().map(holds).collect();
    Amounts { tanks, fillings, limit: facts.reconcile.clone() }
}

fn roles(facts: &Facts) -> Vec<(Role, String)> {
    let mut roles = vec![(Role::Pilot, facts.pilot.name.clone())];
    roles.extend(facts.second.iter().map(|second| (Role::Second, second.name.clone())));
    if facts.fuelling == Fuelling::Tanker {
        roles.push((Role::Refueller, "refueller".into()));
    }
    roles
}

/// Said where counter, dip, tank and plan are held against each other.
const AGREE: &str = "counter, dip, tank and plan agree: while they do not, the number is not taken; \
    misread: read it again and correct the record; changed on purpose: change the document, and go on with it";

/// Why a density is taken.
fn mixed(facts: &Facts) -> &'static str {
    if facts.gasoline() {
        "colour stays when jet fuel is mixed in; weight does not"
    } else {
        "jet fuel with gasoline in it looks as before, and weighs less"
    }
}

/// A figure in words, or that it is missing and where to look. Never a number of our own.
fn told<Q>(figure: &Figure<Q>, words: impl Fn(&Q) -> String, ask: &str) -> String {
    match figure {
        Ok(cited) => format!("{} ({})", words(&cited.value), cited.citation),
        Err(why) => format!("unknown: {ask} ({why})"),
    }
}

fn minutes(time: &Time) -> String {
    format!("{:.0} min", (time.count(unit::MIN) - 1e-9).ceil())
}

fn litres_a_minute(rate: &VolumeRate) -> String {
    format!("{:.0} L/min", (rate.count(unit::L_MIN) + 1e-9).floor())
}

fn square_metres_down(area: &Area) -> String {
    format!("{:.1} m2", ((area.count(unit::M2) + 1e-9) * 10.0).floor() / 10.0)
}

fn metres_up(length: &Length) -> String {
    format!("{:.0} m", (length.count(unit::M) - 1e-9).ceil())
}

fn metres_down(length: &Length) -> String {
    format!("{:.0} m", (length.count(unit::M) + 1e-9).floor())
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;
    use crate::sheet::{fixture, reading::Reads, task::Phase};

    fn every_sheet() -> Vec<(String, Sheet)> {
        [Fuelling::Tanker, Fuelling::SelfServe, Fuelling::Drum, Fuelling::None]
            .into_iter()
            .flat_map(fixture::all)
            .collect()
    }

    fn words(sheet: &Sheet) -> String {
        let mut all = String::new();
        for task in &sheet.tasks {
            all += &format!("{}\n{}\n{}\n", task.title, task.why, task.notes.join("\n"));
        }
        for step in sheet.plans.iter().flat_map(|plan| &plan.steps) {
            all += &format!("{}\n{}\n", step.title, step.notes.join("\n"));
        }
        all
    }

    fn place(sheet: &Sheet, id: &str) -> usize {
        sheet.find(id).unwrap_or_else(|| panic!("no task {id}"))
    }

    #[test]
    fn every_task_has_an_id_of_its_own_a_title_and_a_reason() {
        for (name, sheet) in every_sheet() {
            let mut ids = HashSet::new();
            for task in &sheet.tasks {
                assert!(ids.insert(&task.id), "{name}: {} twice", task.id);
                let kebab = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
                assert!(task.id.chars().all(kebab), "{name}: {}", task.id);
                assert!(!task.title.is_empty() && !task.why.is_empty(), "{name}: {}", task.id);
                assert!(task.hold || task.fails == crate::sheet::Fails::Stays, "{}", task.id);
            }
            for (_, tasks) in sheet.phases() {
                assert!(!tasks.is_empty());
            }
        }
    }

    #[test]
    fn what_no_pack_gives_is_unknown_and_no_number_stands_in_its_place() {
        let mut facts = Facts::bare(Fuelling::Drum, fixture::GRADE, Start::Hand);
        facts.tanks = fixture::facts(Fuelling::Drum, Start::Hand, 1, 0).tanks;
        facts.drums = vec![crate::sheet::Drum {
            label: "drum A".into(),
            into: vec![(0, fixture::litres(54.0))],
            asked: Vec::new(),
            settles: Err("no pack gives it".into()),
            stands: Err("no ledger was opened".into()),
        }];
        facts.second = fixture::two(facts.clone()).second;
        let sheet = fixture::sheet(&facts);
        let text = words(&sheet);
        // Settling of drums and tanks, since when a drum stands, three of extinguishers, three of running, spill, two of
        // calling for it, bonding, four reports, first rate, what was aboard, how far it may
        // differ, the manual, priming, the dead cut, whether it holds.
        let unknown = text.matches("unknown").count() - text.matches("(unknown").count();
        assert_eq!(unknown, 24, "{text}");
        for unit in [" min", " m ", " h "] {
            let made_up = text.lines().find(|line| {
                line.split(unit).next().is_some_and(|before| {
                    line.contains(unit) && before.ends_with(|c: char| c.is_ascii_digit())
                })
            });
            assert_eq!(made_up, None, "a figure out of nowhere");
        }
        let settle = &sheet.tasks[place(&sheet, "settle-tanks")];
        assert_eq!(settle.reads, Reads::Waited { least: None });
        assert!(settle.hold);
    }

    #[test]
    fn figures_are_shown_with_their_source_and_rounded_against_the_user() {
        let mut facts = fixture::facts(Fuelling::SelfServe, Start::Electric, 1, 0);
        facts.extinguisher_near = fixture::cited(Length::of(6.2, unit::M));
        facts.extinguisher_far = fixture::cited(Length::of(14.8, unit::M));
        facts.settling = fixture::cited(Time::of(15.2, unit::MIN));
        let text = words(&fixture::sheet(&facts));
        for line in [
            "not nearer to the filler than: 7 m (pack test: the book, 1)",
            "not farther than: 14 m (pack test: the book, 1)",
            "at least: 16 min (pack test: the book, 1)",
        ] {
            assert!(text.contains(line), "{line}");
        }
    }

    #[test]
    fn a_start_by_hand_needs_a_second_person_or_a_pack_that_lets_one_alone() {
        let alone = fixture::facts(Fuelling::None, Start::Hand, 0, 0);
        let sheet = fixture::sheet(&alone);
        assert!(sheet.find("swing").is_none());
        let instead = &sheet.tasks[place(&sheet, "no-start-here")];
        assert!(instead.why.contains("unknown: read the rule on starting alone"));

        let sheet = fixture::sheet(&fixture::alone_allowed(alone.clone()));
        assert!(sheet.terms.alone && sheet.find("hand-alone").is_some());
        assert!(sheet.find("board-running").is_none(), "alone, nobody boards a running aeroplane");

        let mut two = fixture::two(alone);
        let sheet = fixture::sheet(&two);
        assert!(!sheet.terms.alone && sheet.find("hand-alone").is_none());
        let who = |id: &str| sheet.tasks[place(&sheet, id)].who;
        assert_eq!((who("swing"), who("contact")), (Role::Second, Role::Pilot));

        two.hand_permitted = Some(false);
        let sheet = fixture::sheet(&two);
        assert!(sheet.find("swing").is_none());
        assert!(sheet.tasks[place(&sheet, "no-start-here")].why.contains("manual forbids"));
    }

    #[test]
    fn the_first_gate_of_a_start_by_hand_says_do_not_and_the_alternatives() {
        let sheet =
            fixture::sheet(&fixture::two(fixture::facts(Fuelling::None, Start::Hand, 0, 0)));
        let start: Vec<_> =
            sheet.tasks.iter().filter(|task| task.id.starts_with("hand-")).collect();
        assert!(start[0].title.starts_with("Do not start by hand"));
        assert!(start[0].notes[0].contains("external power"));
    }

    #[test]
    fn several_drums_into_one_tank_are_told_apart() {
        let mut facts = fixture::facts(Fuelling::Drum, Start::Electric, 1, 2);
        for drum in &mut facts.drums {
            drum.into = vec![(0, fixture::litres(30.0))];
        }
        let sheet = fixture::sheet(&facts);
        assert!(sheet.find("cap-off-left-drum-1").is_some());
        assert!(sheet.find("cap-off-left-drum-2").is_some());
    }

    #[test]
    fn what_cannot_be_built_says_why_and_what_to_do() {
        let facts = |method, tanks, drums| fixture::facts(method, Start::Electric, tanks, drums);
        let mut astray = facts(Fuelling::Drum, 1, 1);
        astray.drums[0].into = vec![(7, fixture::litres(1.0))];
        for (facts, words) in [
            (facts(Fuelling::Unknown, 1, 0), "how fuel is taken"),
            (facts(Fuelling::Tanker, 0, 0), "no tank"),
            (facts(Fuelling::Drum, 1, 0), "no drum"),
            (facts(Fuelling::Drum, 1, 7), "more to do than one sheet holds"),
            (astray, "a drum goes into no tank"),
        ] {
            let unbuilt = Sheet::build(&facts).unwrap_err();
            assert!(unbuilt.message.contains(words), "{unbuilt}");
            assert!(!unbuilt.help.is_empty());
        }
    }

    #[test]
    fn phases_stand_in_their_order() {
        for (name, sheet) in every_sheet() {
            // The tasks too: a page that goes phase by phase prints them in the order to do them.
            assert!(sheet.tasks.iter().map(|task| task.phase).is_sorted(), "{name}");
            let phases: Vec<Phase> = sheet.phases().iter().map(|(phase, _)| *phase).collect();
            assert!(phases.is_sorted(), "{name}");
        }
    }
}
