//! The folder of documents: what is in it, reading and writing by name. A name never leads out
//! of it.

use std::{
    fs::{self, File, OpenOptions},
    io::Write as _,
    path::{Path, PathBuf},
    time::SystemTime,
};

use crate::{
    problem::Failure,
    world::{self, Source},
};

/// How deep folders are looked into, and how many documents are listed at most.
const DEEPEST: usize = 3;
const MOST: usize = 500;
/// The longest name. \[bytes\]
const LONGEST: usize = 120;

/// A folder of documents.
#[derive(Clone, Debug)]
pub(crate) struct Folder {
    root: PathBuf,
}

/// A document in it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Entry {
    /// Its path from the folder without its ending: `turnarounds/ready`.
    pub(crate) name: String,
    /// The kind it says it is; empty when it says none.
    pub(crate) kind: String,
}

/// When a file was last written, and how long it is: another pair means another text.
pub(crate) type Stamp = (Option<SystemTime>, u64);

impl Folder {
    pub(crate) fn of(root: PathBuf) -> Self {
        Self { root }
    }

    /// Where it lies.
    pub(crate) fn root(&self) -> &Path {
        &self.root
    }

    /// The documents in it, by name.
    pub(crate) fn list(&self) -> Vec<Entry> {
        let mut found = Vec::new();
        self.look(&self.root, "", 0, &mut found);
        found.sort();
        found
    }

    fn look(&self, folder: &Path, prefix: &str, depth: usize, found: &mut Vec<Entry>) {
        let Ok(entries) = fs::read_dir(folder) else { return };
        for entry in entries.flatten() {
            let Ok(file) = entry.file_name().into_string() else { continue };
            if found.len() >= MOST || !part(&file) {
                continue;
            }
            let kind = entry.file_type();
            if kind.as_ref().is_ok_and(fs::FileType::is_dir) {
                if depth < DEEPEST {
                    self.look(&entry.path(), &format!("{prefix}{file}/"), depth + 1, found);
                }
            } else if let Some(stem) = file.strip_suffix(".toml") {
                let name = format!("{prefix}{stem}");
                if let Ok(source) = self.read(&name) {
                    found.push(Entry { name, kind: kind_of(&source.text) });
                }
            }
        }
    }

    /// The file of a name; `None` when the name is none of ours.
    fn path(&self, name: &str) -> Option<PathBuf> {
        let parts: Vec<&str> = name.split('/').collect();
        let sound = name.len() <= LONGEST
            && parts.len() <= DEEPEST + 1
            && parts.iter().all(|each| part(each));
        sound.then(|| self.root.join(format!("{name}.toml")))
    }

    /// Reads a document; it and what it names must lie in the folder.
    pub(crate) fn read(&self, name: &str) -> Result<Source, Failure> {
        let path = self.path(name).ok_or_else(|| missing(name))?;
        if !path.is_file() {
            return Err(missing(name));
        }
        world::read_within(&self.root, &path.to_string_lossy())
    }

    /// A text in the place of a document that is not saved.
    pub(crate) fn draft(&self, name: &str, text: String) -> Result<Source, Failure> {
        let path = self.path(name).ok_or_else(|| missing(name))?;
        let name = path.to_string_lossy().into_owned();
        Ok(Source { name, text, built_in: false, within: Some(self.root.clone()) })
    }

    /// The stamp of a document, or of the file at a path in the folder.
    pub(crate) fn stamp(path: &Path) -> Option<Stamp> {
        let facts = fs::metadata(path).ok()?;
        Some((facts.modified().ok(), facts.len()))
    }

    /// The name of a document as the folder shows it, for a path that a reader gave.
    pub(crate) fn shown(&self, path: &str) -> String {
        let path = Path::new(path);
        path.strip_prefix(&self.root).unwrap_or(path).to_string_lossy().into_owned()
    }

    /// Writes a new version of a document beside it, `NAME-2` or the next that is free; gives
    /// its name. A version that says the same already is that version.
    pub(crate) fn next_version(&self, name: &str, text: &str) -> Result<String, Failure> {
        let (stem, number) = version(name);
        for number in number + 1..number + 1000 {
            let next = format!("{stem}-{number}");
            if self.read(&next).is_ok_and(|there| there.text == text) {
                return Ok(next);
            }
            if self.create(&next, text)? {
                return Ok(next);
            }
        }
        Err(Failure::asked("there are a thousand versions already", "put old ones away"))
    }

    /// Writes a document that is not there yet; false when it is.
    pub(crate) fn create(&self, name: &str, text: &str) -> Result<bool, Failure> {
        let path = self.path(name).ok_or_else(|| unnamed(name))?;
        let stuck = |error: std::io::Error| stuck(name, &error);
        if let Some(folder) = path.parent() {
            // What is there already is looked at first: nothing is made where a link leads.
            fs::create_dir_all(&self.root).map_err(stuck)?;
            let there = folder.ancestors().find(|folder| folder.exists()).unwrap_or(folder);
            self.inside(there).map_err(stuck)?;
            fs::create_dir_all(folder).map_err(stuck)?;
        }
        let mut file = match OpenOptions::new().write(true).create_new(true).open(&path) {
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => return Ok(false),
            opened => opened.map_err(stuck)?,
        };
        file.write_all(text.as_bytes()).and_then(|()| file.sync_all()).map_err(stuck)?;
        Ok(true)
    }

    /// Writes over a document whose text is still `before`; what it said is kept beside it, each
    /// time under a name of its own.
    pub(crate) fn replace(&self, name: &str, before: &str, text: &str) -> Result<(), Failure> {
        let path = self.path(name).ok_or_else(|| missing(name))?;
        let there = self.read(name)?;
        if there.text != before {
            let help = "open it again and make the change in what it says now";
            return Err(Failure::asked("somebody else has changed this document since", help));
        }
        let stuck = |error: std::io::Error| stuck(name, &error);
        keep(&path, &there.text).map_err(stuck)?;
        let new = path.with_extension("toml.new");
        // Never into what lies there, which may be a link: made anew, then put in its place.
        let _ = fs::remove_file(&new);
        let mut file = File::create_new(&new).map_err(stuck)?;
        file.write_all(text.as_bytes()).and_then(|()| file.sync_all()).map_err(stuck)?;
        fs::rename(&new, &path).map_err(stuck)
    }

    /// A folder that a link has put elsewhere is not written to.
    fn inside(&self, folder: &Path) -> std::io::Result<()> {
        if folder.canonicalize()?.starts_with(self.root.canonicalize()?) {
            return Ok(());
        }
        Err(std::io::Error::other("it leads out of the folder of documents"))
    }
}

/// Keeps what a document said: `NAME.toml.before`, else `before-2` and so on. A text that is kept
/// already is not kept twice.
fn keep(path: &Path, text: &str) -> std::io::Result<()> {
    for number in 1..10_000_u32 {
        let mark = if number == 1 { "before".to_owned() } else { format!("before-{number}") };
        let kept = path.with_extension(format!("toml.{mark}"));
        match OpenOptions::new().write(true).create_new(true).open(&kept) {
            Ok(mut file) => {
                file.write_all(text.as_bytes())?;
                return file.sync_all();
            }
            Err(error) if error.kind() != std::io::ErrorKind::AlreadyExists => return Err(error),
            Err(_) if fs::read(&kept).is_ok_and(|there| there == text.as_bytes()) => return Ok(()),
            Err(_) => {}
        }
    }
    Err(std::io::Error::other("ten thousand earlier versions are kept already"))
}

fn missing(name: &str) -> Failure {
    Failure::missing(
        format!("there is no document `{name}`"),
        "the list of documents names them all",
    )
}

fn unnamed(name: &str) -> Failure {
    let help = "letters, digits, spaces and - _ . are for names; / puts it into a folder";
    Failure::asked(format!("`{name}` cannot be the name of a document"), help)
}

fn stuck(name: &str, error: &std::io::Error) -> Failure {
    Failure::asked(
        format!("`{name}` cannot be written: {error}"),
        "look at the folder of documents",
    )
}

/// One part of a name: nothing that a system reads as something else.
fn part(text: &str) -> bool {
    let plain = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_' | '.');
    !text.is_empty()
        && !text.starts_with('.')
        && !text.ends_with(['.', ' '])
        && text.chars().all(plain)
}

/// `ready` and 3 of `ready-3`; 1 when the name has no number.
fn version(name: &str) -> (&str, u32) {
    let split = name.rsplit_once('-').and_then(|(stem, number)| Some((stem, number.parse().ok()?)));
    split.filter(|(_, number)| (2..1_000_000).contains(number)).unwrap_or((name, 1))
}

/// The kind that the head of a document says.
fn kind_of(text: &str) -> String {
    let head = text.lines().map(str::trim).take_while(|line| !line.starts_with('['));
    let said = head.filter_map(|line| line.strip_prefix("kind")?.trim_start().strip_prefix('='));
    let word = said.last().and_then(|rest| rest.split('"').nth(1));
    word.unwrap_or_default().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_leads_out_of_the_folder() {
        let folder = Folder::of(PathBuf::from("/f"));
        for bad in [
            "..",
            "../x",
            "a/../x",
            "/etc/x",
            "a//b",
            "",
            "a/",
            ".x",
            "a/.x",
            "a\\x",
            "a\0x",
            "C:x",
            "a/b/c/d/e",
            "x ",
            "x.",
            "a\nb",
            "%2e%2e/x",
            "~x",
        ] {
            assert_eq!(folder.path(bad), None, "{bad:?}");
        }
        for good in ["ready", "turnarounds/ready-2", "Bögen 1", "a.b", "a/b/c/d"] {
            assert!(folder.path(good).unwrap().starts_with("/f"), "{good}");
        }
        assert_eq!(folder.path(&"x".repeat(LONGEST + 1)), None);
    }

    #[test]
    fn a_version_counts_on() {
        for (name, wanted) in [
            ("ready", ("ready", 1)),
            ("ready-2", ("ready", 2)),
            ("last-light", ("last-light", 1)),
            ("trip-2026", ("trip", 2026)),
            ("x-1", ("x-1", 1)),
            ("x-99999999999", ("x-99999999999", 1)),
        ] {
            assert_eq!(version(name), wanted);
        }
    }

    #[test]
    fn the_kind_is_read_from_the_head_alone() {
        assert_eq!(kind_of("# x\nformat = 1\nkind = \"strip\"\n"), "strip");
        assert_eq!(kind_of("format = 1\n[a]\nkind = \"strip\"\n"), "");
        assert_eq!(kind_of("kindness = \"x\"\n"), "");
    }
}
