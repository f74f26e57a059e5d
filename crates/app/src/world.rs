//! The outside: files on disk and the demonstration built into the program.

use std::{
    fs,
    io::Read,
    path::{Component, Path, PathBuf},
};

use stillprop_rules::document::LARGEST;

use crate::problem::Failure;

/// Path and text of each demonstration document, so that it runs from the bare program.
pub(crate) const DEMO: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/demo.rs"));

/// The turnaround that `demo` alone means.
pub(crate) const FIRST_DEMO: &str = "demo/turnarounds/ready.toml";

/// A text with the name it is known by.
#[derive(Clone, Debug)]
pub(crate) struct Source {
    /// How the file was named.
    pub(crate) name: String,
    /// What it holds.
    pub(crate) text: String,
}

/// Reads a document by name: a demonstration document, or a file.
///
/// A file on disk wins over a demonstration document of the same path.
pub(crate) fn read(name: &str) -> Result<Source, Failure> {
    let path = Path::new(name);
    if !path.is_file()
        && let Some((name, text)) = demo(name)
    {
        return Ok(Source { name: name.to_owned(), text: text.to_owned() });
    }
    let text = read_file(path).map_err(|(message, help)| Failure::file(name, message, help))?;
    Ok(Source { name: name.to_owned(), text })
}

/// A document named inside another, from the folder of that one.
pub(crate) fn read_beside(source: &Source, name: &str) -> Result<Source, Failure> {
    let folder = Path::new(&source.name).parent().unwrap_or(Path::new(""));
    read(&plain(&folder.join(name)))
}

/// `demo`, `demo/over-mass` and the full path all mean a built-in document.
fn demo(name: &str) -> Option<(&'static str, &'static str)> {
    let name = if name == "demo" { FIRST_DEMO } else { name };
    let short = name.strip_prefix("demo/").unwrap_or(name);
    let full = format!("demo/turnarounds/{short}.toml");
    DEMO.iter().copied().find(|(path, _)| *path == name || *path == full)
}

/// A path without `.` and without `folder/..`.
fn plain(path: &Path) -> String {
    let mut parts = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if parts.file_name().is_some() => {
                parts.pop();
            }
            part => parts.push(part),
        }
    }
    parts.to_string_lossy().into_owned()
}

/// The text of a file, or what is wrong and a way out.
fn read_file(path: &Path) -> Result<String, (String, String)> {
    let stuck = |message: &str, help: &str| Err((message.to_owned(), help.to_owned()));
    match fs::metadata(path) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            return stuck("there is no such file", "check the name, and the folder it is in");
        }
        Err(error) => return Err((error.to_string(), "check that the file may be read".into())),
        Ok(facts) if facts.is_dir() => {
            return stuck("this is a folder", "name a document in it");
        }
        Ok(facts) if facts.len() > LARGEST as u64 => {
            let message =
                format!("the file has {} bytes; documents have at most {LARGEST}", facts.len());
            return Err((message, "is this the right file?".into()));
        }
        Ok(_) => {}
    }
    let mut bytes = Vec::new();
    let read = fs::File::open(path).and_then(|file| {
        // A device or pipe has no length; the limit holds all the same.
        file.take(LARGEST as u64 + 1).read_to_end(&mut bytes)
    });
    if let Err(error) = read {
        return Err((error.to_string(), "check that the file may be read".into()));
    }
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..at].iter().filter(|byte| **byte == b'\n').count() + 1;
        (format!("line {line} is not UTF-8 text"), "save the document as UTF-8".to_owned())
    })
}
