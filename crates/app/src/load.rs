//! From the name of a turnaround to a prepared stage.

use std::{
    collections::HashMap,
    sync::{Mutex, OnceLock, PoisonError},
};

use stillprop_rules::{builtin, document::Problem, pack::Pack, rules::Rules, selection};
use stillprop_turnaround::{
    document::{
        check_against, check_turnaround, day::Day, read_aircraft, read_day, read_strip,
        read_turnaround, turnaround::Turnaround,
    },
    drums::Container,
    manifest::{Change, change},
    stage::{Choice, Documents, Stage, prepare},
};

use crate::{
    problem::Failure,
    world::{self, Source},
    yard::{self, Ledger, Which, convert},
};

/// Reads the documents that a turnaround names, and prepares it. `ledger` names the ledger whose
/// drums it draws from.
pub(crate) fn turnaround(
    source: &Source,
    pack: Option<&str>,
    ledger: Option<&str>,
) -> Result<(Stage, Choice), Failure> {
    with_drums(source, pack, |turnaround| yard(turnaround, source, ledger))
}

/// The same after changes at the last minute, which are checked like the document itself.
pub(crate) fn changed(
    source: &Source,
    pack: Option<&str>,
    ledger: Option<&str>,
    changes: &[Change],
) -> Result<(Stage, Choice), Failure> {
    let mut turnaround = in_source(source, read_turnaround(&source.text))?;
    for each in changes {
        change(&mut turnaround, each)?;
    }
    let mut failure = Failure::default();
    // The places of what was changed are not those of the file: said without a snippet.
    for problem in check_turnaround(&turnaround) {
        failure.join(problem.into());
    }
    failure.or_ok()?;
    prepared(source, pack, turnaround, |turnaround| yard(turnaround, source, ledger))
}

/// The same with drums from elsewhere: `None` where nothing is known of any.
pub(crate) fn with_drums(
    source: &Source,
    pack: Option<&str>,
    yard: impl FnOnce(&Turnaround) -> Result<Option<Vec<Container>>, Failure>,
) -> Result<(Stage, Choice), Failure> {
    prepared(source, pack, in_source(source, read_turnaround(&source.text))?, yard)
}

/// A day, and for each of its stops the documents of its turnaround with the rules, read and checked.
pub(crate) fn day(
    source: &Source,
    pack: Option<&str>,
    ledger: Option<&str>,
) -> Result<(Day, Vec<(Documents, Rules)>), Failure> {
    let day = in_source(source, read_day(&source.text))?;
    let mut failure = Failure::default();
    let mut stops = Vec::new();
    let mut kept: Option<Option<Vec<Container>>> = None;
    for stop in &day.stops {
        let beside = world::read_beside(source, &stop.turnaround.value).map_err(|_| {
            let message = format!("the document `{}` cannot be opened", stop.turnaround.value);
            let help = "names are taken from the folder of this document";
            let problem = Problem::new(stop.turnaround.at.clone(), message).help(help);
            Failure::of(source, vec![problem])
        });
        let read = beside.and_then(|beside| {
            let turnaround = in_source(&beside, read_turnaround(&beside.text))?;
            documents(&beside, pack, turnaround, |turnaround| {
                if stop.yard.is_none() && !draws(turnaround) {
                    return Ok(None);
                }
                // One ledger keeps every yard; it is read once.
                if kept.is_none() {
                    kept = Some(containers(source, ledger)?);
                }
                Ok(kept.clone().flatten())
            })
        });
        stops.extend(keep(&mut failure, read));
    }
    failure.or_ok()?;
    Ok((day, stops))
}

fn prepared(
    source: &Source,
    pack: Option<&str>,
    turnaround: Turnaround,
    yard: impl FnOnce(&Turnaround) -> Result<Option<Vec<Container>>, Failure>,
) -> Result<(Stage, Choice), Failure> {
    let (documents, rules) = documents(source, pack, turnaround, yard)?;
    Ok(prepare(documents, &rules))
}

/// The documents that a turnaround names, read and checked, with the rules.
fn documents(
    source: &Source,
    pack: Option<&str>,
    turnaround: Turnaround,
    yard: impl FnOnce(&Turnaround) -> Result<Option<Vec<Container>>, Failure>,
) -> Result<(Documents, Rules), Failure> {
    let mut failure = Failure::default();
    let beside = |at: &stillprop_rules::document::At<String>| {
        world::read_beside(source, &at.value).map_err(|_| {
            let message = format!("the document `{}` cannot be opened", at.value);
            let help = "names are taken from the folder of this document";
            Failure::of(source, vec![Problem::new(at.at.clone(), message).help(help)])
        })
    };
    let aircraft = keep(
        &mut failure,
        beside(&turnaround.aircraft)
            .and_then(|source| in_source(&source, read_aircraft(&source.text))),
    );
    let mut strip = |at: &stillprop_rules::document::At<String>| {
        let read = beside(at).and_then(|source| in_source(&source, read_strip(&source.text)));
        keep(&mut failure, read)
    };
    let here = strip(&turnaround.strip);
    let legs: Vec<_> =
        turnaround.legs.iter().map(|leg| leg.strip.as_ref().and_then(&mut strip)).collect();
    let rules = match pack {
        Some(selected) => rules(selected),
        None => rules_for(&turnaround.pack.value, Some(source)).map_err(|_| {
            let message = format!("the pack `{}` is not to be had", turnaround.pack.value);
            let problem = Problem::new(turnaround.pack.at.clone(), message).help(PACK_HELP);
            Failure::of(source, vec![problem])
        }),
    };
    let rules = keep(&mut failure, rules);
    let yard = keep(&mut failure, yard(&turnaround)).flatten();
    failure.or_ok()?;
    let (Some(aircraft), Some(strip), Some(rules)) = (aircraft, here, rules) else {
        return Err(Failure::asked("the documents could not be read", "see the errors above"));
    };
    let problems = check_against(&turnaround, &aircraft, &strip, &legs);
    Failure::of(source, problems).or_ok()?;
    Ok((Documents { turnaround, aircraft, strip, legs, yard }, rules))
}

/// The containers of the ledger, when the turnaround draws from drums: that of the
/// demonstration for its own documents, else the one named or the usual one. Where there is no
/// ledger the yard is not known, and says so in its limits.
fn yard(
    turnaround: &Turnaround,
    source: &Source,
    ledger: Option<&str>,
) -> Result<Option<Vec<Container>>, Failure> {
    if draws(turnaround) { containers(source, ledger) } else { Ok(None) }
}

fn containers(source: &Source, ledger: Option<&str>) -> Result<Option<Vec<Container>>, Failure> {
    let demo = source.built_in.then_some(yard::DEMO);
    let named = ledger.or(demo);
    if named.is_none() && !Which::of(None).is_ok_and(|which| which.exists()) {
        return Ok(None);
    }
    let ledger = Ledger::read(named)?;
    Ok(Some(convert::containers(&ledger.yard, None)))
}

/// True when a turnaround takes fuel out of drums.
pub(crate) fn draws(turnaround: &Turnaround) -> bool {
    !turnaround.fuel.drums.is_empty() || turnaround.fuel.yard.is_some()
}

const PACK_HELP: &str = "built in: au, nz, us, uk, demo-operator; combine as \
    demo-operator+au or strictest(au,nz); or name a file ending in .toml";

/// Names the document in the problems of a reader.
pub(crate) fn in_source<T>(source: &Source, read: Result<T, Vec<Problem>>) -> Result<T, Failure> {
    read.map_err(|problems| Failure::of(source, problems))
}

/// The value, or `None` with the failure kept.
fn keep<T>(failure: &mut Failure, result: Result<T, Failure>) -> Option<T> {
    match result {
        Ok(value) => Some(value),
        Err(other) => {
            failure.join(other);
            None
        }
    }
}

impl From<Problem> for Failure {
    fn from(problem: Problem) -> Self {
        Self::asked(problem.message, problem.help.unwrap_or_else(|| PACK_HELP.into()))
    }
}

/// The rules that a selection names, from the built-in packs and from files.
pub(crate) fn rules(selected: &str) -> Result<Rules, Failure> {
    rules_for(selected, None)
}

/// The same for a document, which may be held to its own folder.
pub(crate) fn rules_for(selected: &str, source: Option<&Source>) -> Result<Rules, Failure> {
    let selection = selection::parse(selected)?;
    selection.resolve(&mut |name: &str| -> Result<Pack, Failure> {
        if name.ends_with(".toml") {
            let source = match source.and_then(|source| source.within.as_deref()) {
                Some(folder) => world::read_within(folder, name)?,
                None => world::read(name)?,
            };
            return in_source(&source, Pack::read(&source.text));
        }
        built_in(name)
    })
}

/// A pack of the program. Each is read once: a server needs it for every answer.
fn built_in(name: &str) -> Result<Pack, Failure> {
    static READ: OnceLock<Mutex<HashMap<String, Pack>>> = OnceLock::new();
    let read = READ.get_or_init(Mutex::default);
    let known = read.lock().unwrap_or_else(PoisonError::into_inner).get(name).cloned();
    if let Some(pack) = known {
        return Ok(pack);
    }
    let text = builtin::builtin().iter().find(|(id, _)| *id == name).map(|(_, text)| *text);
    let text =
        text.ok_or_else(|| Failure::asked(format!("there is no pack `{name}`"), PACK_HELP))?;
    let file = format!("packs/{name}/pack.toml");
    let source = Source { name: file, text: text.to_owned(), built_in: true, within: None };
    let pack = in_source(&source, Pack::read(&source.text))?;
    read.lock().unwrap_or_else(PoisonError::into_inner).insert(name.to_owned(), pack.clone());
    Ok(pack)
}
