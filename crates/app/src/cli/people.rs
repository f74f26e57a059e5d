//! `people`: who may use the pages from other devices, and how they come in.

use std::fmt::Write as _;

use clap::{Args, Subcommand};
use serde_json::{Value, json};

use super::Answer;
use crate::{
    problem::Failure,
    report::text::CAUTION,
    serve::access::{
        code, people,
        phrase::{self, Weak},
        roles::{Role, TABLE},
        store::{self, Store},
    },
    world,
    yard::Which,
};

/// Options of `people`.
#[derive(Args, Debug)]
pub(super) struct Options {
    #[command(subcommand)]
    verb: Verb,
    /// The ledger they are for; `demo` is the built-in one. Else `STILLPROP_LEDGER`, else the data folder
    #[arg(long, global = true, value_name = "FILE")]
    ledger: Option<String>,
    /// Answer as JSON
    #[arg(long, global = true)]
    pub(super) json: bool,
}

#[derive(Debug, Subcommand)]
enum Verb {
    /// Add a person, and show a code to come in with
    Add(AddOptions),
    /// List people, and what each role may do
    List,
    /// Show a code for a person: good once, and for ten minutes
    Code(NameOption),
    /// Give a person a passphrase, read as one line from standard input; every session of theirs ends
    Passphrase(NameOption),
    /// Give a person another role; it holds at once
    Role(RoleOptions),
    /// Remove a person; every session of theirs ends
    Remove(NameOption),
    /// Print the certificate of this machine, to be put on a phone, and its fingerprint
    Certificate,
}

/// Whom it is about.
#[derive(Args, Debug)]
struct NameOption {
    /// The name, as it is written into records
    name: String,
}

/// Options of `people add`.
#[derive(Args, Debug)]
struct AddOptions {
    /// The name, as it is written into records
    name: String,
    /// What the person may do
    #[arg(long, value_enum)]
    role: Role,
    /// Read a passphrase as one line from standard input, and show no code
    #[arg(long)]
    passphrase: bool,
}

/// Options of `people role`.
#[derive(Args, Debug)]
struct RoleOptions {
    /// The name
    name: String,
    /// What the person may do
    #[arg(value_enum)]
    role: Role,
}

/// Does what was asked.
pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let ledger = store::ledger(Which::of(options.ledger.as_deref())?)?;
    let mut store = Store::open(&store::beside(&ledger))?;
    let (words, data) = match &options.verb {
        Verb::Add(it) => add(&mut store, it)?,
        Verb::List => list(&store)?,
        Verb::Code(it) => give_code(&store, &it.name)?,
        Verb::Passphrase(it) => {
            known(store.people()?.iter().any(|one| same(&one.name, &it.name)), &it.name)?;
            set_phrase(&mut store, &it.name, &typed()?)?;
            done(format!("{} has a new passphrase; every session of theirs has ended", it.name))
        }
        Verb::Role(it) => {
            known(store.set_role(&it.name, it.role)?, &it.name)?;
            done(format!("{} is now a {}", it.name, it.role))
        }
        Verb::Remove(it) => {
            known(store.remove(&it.name)?, &it.name)?;
            done(format!("{} is removed; what they recorded stays", it.name))
        }
        Verb::Certificate => certificate(&store)?,
    };
    if !options.json {
        return Ok(Answer::text(words));
    }
    let mut data = data;
    data["caution"] = CAUTION.into();
    Ok(Answer::json(data))
}

fn done(words: String) -> (String, Value) {
    (format!("{words}\n"), json!({ "done": words }))
}

fn same(one: &str, other: &str) -> bool {
    people::fold(one) == people::fold(other)
}

fn known(found: bool, name: &str) -> Result<(), Failure> {
    if found {
        return Ok(());
    }
    let help = "stillprop people list shows everybody";
    Err(Failure::asked(format!("there is nobody called {name:?}"), help))
}

fn add(store: &mut Store, options: &AddOptions) -> Result<(String, Value), Failure> {
    let name = people::name(&options.name).map_err(|why| {
        Failure::asked(why.to_string(), "write the name as it is to stand in records")
    })?;
    // A passphrase that is not taken leaves nobody half added.
    let phrase = if options.passphrase { Some(taken(&name, &typed()?)?) } else { None };
    if !store.add(&name, options.role, world::now())? {
        let help = "stillprop people code NAME shows a new code; role and remove change them";
        return Err(Failure::asked(format!("there is somebody called {name} already"), help));
    }
    let Some(kept) = phrase else { return give_code(store, &name) };
    store.set_phrase(&name, &kept)?;
    Ok(done(format!("{name} may come in as {} with the passphrase", options.role)))
}

fn give_code(store: &Store, name: &str) -> Result<(String, Value), Failure> {
    let code = code::code(world::random()?);
    let hash = code::kept(&code).unwrap_or_default();
    known(store.give_code(name, hash, world::now())?, name)?;
    let minutes = code::LIFE.as_mins();
    let words = format!(
        "code for {name}: {code}\ngood once, and for {minutes} minutes; a code shown earlier is not good any more\n"
    );
    Ok((words, json!({ "name": name, "code": code, "minutes": minutes })))
}

/// The passphrase: one line, without its end.
fn typed() -> Result<String, Failure> {
    let line = if world::is_typed() {
        anstream::eprintln!("passphrase (it is not shown as it is typed):");
        world::hidden_line()
    } else {
        world::line().map(Option::unwrap_or_default)
    };
    let line = line.map_err(|error| Failure::asked(error.to_string(), "type it again"))?;
    let line = line.strip_suffix('\n').unwrap_or(&line);
    Ok(line.strip_suffix('\r').unwrap_or(line).to_owned())
}

fn taken(name: &str, phrase: &str) -> Result<phrase::Kept, Failure> {
    phrase::take(phrase, name, world::random()?).map_err(|why| {
        let help = match why {
            Weak::NotHashed => "close other programs and try again",
            _ => "take four or more words that do not belong together",
        };
        Failure::asked(why.to_string(), help)
    })
}

fn set_phrase(store: &mut Store, name: &str, phrase: &str) -> Result<(), Failure> {
    let kept = taken(name, phrase)?;
    known(store.set_phrase(name, &kept)?, name)
}

fn list(store: &Store) -> Result<(String, Value), Failure> {
    let people = store.people()?;
    let mut words = String::new();
    for person in &people {
        let how = if person.has_phrase { "passphrase or code" } else { "code" };
        // Writing to a text never fails.
        let _ = writeln!(words, "{:<24} {:<10} {how}", person.name, person.role.word());
    }
    if people.is_empty() {
        words += "nobody yet: stillprop people add NAME --role pilot\n";
    }
    words += "\nwho may do what:\n";
    for (_, deed, roles) in TABLE {
        let roles: Vec<_> = roles.iter().map(|role| role.word()).collect();
        let _ = writeln!(words, "  {deed:<24} {}", roles.join(", "));
    }
    let one = |person: &people::Person| {
        json!({
            "name": person.name, "role": person.role.word(), "passphrase": person.has_phrase,
        })
    };
    Ok((words, json!({ "people": people.iter().map(one).collect::<Vec<_>>() })))
}

fn certificate(store: &Store) -> Result<(String, Value), Failure> {
    let made = store.certificate()?.ok_or_else(|| {
        Failure::asked("there is no certificate yet", "stillprop serve --lan makes one")
    })?;
    let (pem, fingerprint) = (&made.pem, made.fingerprint());
    let words = format!("{pem}SHA-256 {fingerprint}\ngood until {}\n", made.ends);
    let data = json!({ "pem": pem, "sha256": fingerprint, "until": made.ends.to_string() });
    Ok((words, data))
}
