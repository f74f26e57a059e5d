//! Verbs that keep the ledger: verify, export, import, backup, restore.

use std::{fmt::Write, fs::File, io::BufReader, path::Path};

use clap::{Args, Subcommand};
use serde_json::json;
use stillprop_ledger::{chain, store::restore, transfer};

use super::{Common, csv};
use crate::{
    cli::Answer,
    problem::Failure,
    report::text::CAUTION,
    world,
    yard::{Which, forget_device, open},
};

/// What keeps a ledger.
#[derive(Debug, Subcommand)]
pub(super) enum Verb {
    /// Look at every record of every device
    Verify,
    /// Write all records as JSON lines
    Export(ToOption),
    /// Bring in records (JSON lines), or drums (CSV: label,place,grade,batch,supplier,filled,contents)
    Import(FileOption),
    /// Copy the ledger while it is in use
    Backup(ToOption),
    /// Make a ledger from a backup, under a new name
    Restore(RestoreOptions),
}

/// A file to write.
#[derive(Args, Debug)]
pub(super) struct ToOption {
    /// A file that is not there yet
    file: String,
}

/// A file to read.
#[derive(Args, Debug)]
pub(super) struct FileOption {
    /// The file; `demo` brings in the demonstration yard
    file: String,
}

/// Options of `restore`.
#[derive(Args, Debug)]
pub(super) struct RestoreOptions {
    /// The backup
    backup: String,
    /// The new ledger
    to: String,
}

pub(super) fn run(verb: &Verb, common: &Common) -> Result<Answer, Failure> {
    match verb {
        Verb::Verify => verify(common),
        Verb::Export(options) => export(&options.file, common),
        Verb::Import(options) => import(&options.file, common),
        Verb::Backup(options) => {
            let path = Which::of(common.ledger.as_deref())?.file()?;
            let report = open(&path)?.backup(Path::new(&options.file))?;
            Ok(said(common, format!("copied {} records to {}", report.records, options.file)))
        }
        Verb::Restore(options) => {
            let to = Path::new(&options.to);
            let report = restore(Path::new(&options.backup), to)?;
            forget_device(to)?;
            Ok(said(common, format!("restored {} records to {}", report.records, options.to)))
        }
    }
}

/// One line, or the same as JSON.
fn said(common: &Common, words: String) -> Answer {
    if common.json {
        Answer::json(json!({ "done": words, "caution": CAUTION }))
    } else {
        Answer::text(format!("{words}\n{CAUTION}\n"))
    }
}

fn verify(common: &Common) -> Result<Answer, Failure> {
    let mut ledger = common.read()?;
    let report = chain::verify(ledger.store())?;
    let code = u8::from(!report.is_sound());
    let bad: Vec<String> = report.bad.iter().map(ToString::to_string).collect();
    let forks: Vec<String> = report.forks.iter().map(ToString::to_string).collect();
    if common.json {
        let value = json!({
            "sound": report.is_sound(),
            "records": report.records,
            "devices": report.heads.len(),
            "bad": bad,
            "damage": report.damage,
            "forks": forks,
            "caution": CAUTION,
        });
        return Ok(Answer::json(value).code(code));
    }
    let mut out = format!("{} records of {} devices\n", report.records, report.heads.len());
    let all = bad.iter().chain(&report.damage).map(|what| format!("DAMAGED: {what}\n"));
    out.extend(all);
    out.extend(forks.iter().map(|id| format!("FORK: record {id} claims a place that is taken\n")));
    out.push_str(if report.is_sound() {
        "every chain is whole\n"
    } else {
        "keep this file; restore a backup under another name\n"
    });
    let _ = writeln!(out, "{CAUTION}");
    Ok(Answer::text(out).code(code))
}

fn export(file: &str, common: &Common) -> Result<Answer, Failure> {
    let mut ledger = common.read()?;
    let mut to = File::create_new(file).map_err(|error| {
        Failure::file(file, error.to_string(), "name a file that is not there yet")
    })?;
    let records = transfer::export(ledger.store(), &mut to)?;
    to.sync_all().map_err(|error| Failure::file(file, error.to_string(), "look at the disk"))?;
    Ok(said(common, format!("wrote {records} records to {file}")))
}

fn import(file: &str, common: &Common) -> Result<Answer, Failure> {
    if Path::new(file).extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv")) {
        let author = common.author()?;
        let source = world::read(file)?;
        let lines = csv::read(&source, common.at())?;
        let mut ledger = common.write()?;
        let events = csv::events(&source, lines, &ledger.yard)?;
        let records = ledger.record(&author, common.at(), events)?;
        ledger.keep_snapshot();
        return Ok(said(common, format!("received {} drums from {file}", records.len())));
    }
    let mut ledger = common.write()?;
    let inserted = if file == crate::yard::DEMO {
        transfer::import(ledger.store(), &mut world::DEMO_YARD.as_bytes())?
    } else {
        let from = File::open(file)
            .map_err(|error| Failure::file(file, error.to_string(), "check the name"))?;
        transfer::import(ledger.store(), &mut BufReader::new(from))?
    };
    let mut words = format!("{} new records, {} known already", inserted.new, inserted.repeats);
    if !inserted.forks.is_empty() {
        let forks = inserted.forks.len();
        let _ = write!(words, "; {forks} claim a place that is taken: yard verify names them");
    }
    Ok(said(common, words))
}
