//! `cargo xtask schemas`: docs/schema, as the program itself prints it.
//!
//! The files are there for editors, which want a schema beside the document and not a
//! program to ask.

use std::{collections::BTreeSet, fs, path::Path, process::Command};

use crate::repo::{self, Profile};

const FOLDER: &str = "docs/schema";
const KINDS: [&str; 5] = ["aircraft", "strip", "turnaround", "day", "pack"];

/// What to do with the files.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Files {
    /// Write them.
    Write,
    /// Fail when one does not say what the program says.
    Compare,
}

/// Asks the program for every schema; then writes the files or compares them.
pub(crate) fn run(files: Files) -> Result<String, String> {
    let program = repo::program(Profile::Debug)?;
    let folder = repo::root().join(FOLDER);
    if files == Files::Write {
        fs::create_dir_all(&folder).map_err(|error| format!("{FOLDER}: {error}"))?;
    }
    for kind in KINDS {
        let schema = repo::output(Command::new(&program).args(["schema", kind]))?;
        let name = file_name(kind);
        match files {
            Files::Write => fs::write(folder.join(&name), schema)
                .map_err(|error| format!("{FOLDER}/{name}: {error}"))?,
            Files::Compare => compare(&folder.join(&name), &schema)
                .map_err(|why| format!("{FOLDER}/{name} {why}; mend: cargo xtask schemas"))?,
        }
    }
    strangers(&folder)?;
    Ok(format!("{} schemas in {FOLDER}", KINDS.len()))
}

fn file_name(kind: &str) -> String {
    format!("{kind}.schema.json")
}

fn compare(path: &Path, wanted: &str) -> Result<(), String> {
    let found = fs::read_to_string(path).map_err(|error| format!("cannot be read: {error}"))?;
    if found == wanted {
        return Ok(());
    }
    let same = found.lines().zip(wanted.lines()).take_while(|(found, wanted)| found == wanted);
    Err(format!("is stale from line {}", same.count() + 1))
}

/// A schema of a kind that is gone would mislead.
fn strangers(folder: &Path) -> Result<(), String> {
    let fault = |error: std::io::Error| format!("{FOLDER}: {error}");
    let ours: BTreeSet<String> = KINDS.iter().map(|kind| file_name(kind)).collect();
    for entry in fs::read_dir(folder).map_err(fault)? {
        let name = entry.map_err(fault)?.file_name().to_string_lossy().into_owned();
        if !ours.contains(&name) {
            return Err(format!("{FOLDER}/{name} is of no kind of document; remove it"));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A folder of its own under the build folder, empty.
    fn folder(name: &str) -> std::path::PathBuf {
        let folder = repo::target().unwrap().join("tmp").join(name);
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        folder
    }

    #[test]
    fn a_stale_or_missing_schema_is_found_with_its_line() {
        let folder = folder("schemas-stale");
        let path = folder.join("strip.schema.json");
        assert!(compare(&path, "{\n}\n").unwrap_err().starts_with("cannot be read"));
        fs::write(&path, "{\n}\n").unwrap();
        assert_eq!(compare(&path, "{\n}\n"), Ok(()));
        assert_eq!(compare(&path, "{\n  \"a\": 1\n}\n").unwrap_err(), "is stale from line 2");
        assert_eq!(compare(&path, "{\n}\n\n").unwrap_err(), "is stale from line 3");
    }

    #[test]
    fn a_schema_of_no_kind_is_found() {
        let folder = folder("schemas-strangers");
        fs::write(folder.join("pack.schema.json"), "{}").unwrap();
        assert_eq!(strangers(&folder), Ok(()));
        fs::write(folder.join("ferry.schema.json"), "{}").unwrap();
        assert!(strangers(&folder).unwrap_err().contains("ferry"));
    }
}
