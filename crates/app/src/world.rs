//! The outside: files on disk and the demonstration built into the program.

use std::{
    fs,
    io::{self, BufRead as _, IsTerminal as _, Read as _},
    net::{IpAddr, Ipv4Addr, UdpSocket},
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
    /// It is part of the program, and so is every document it names.
    pub(crate) built_in: bool,
    /// The folder that it and every document it names must lie in, where they are held to one.
    pub(crate) within: Option<PathBuf>,
}

/// Reads a document by name: a demonstration document, or a file.
///
/// A file on disk wins over a demonstration document of the same path.
pub(crate) fn read(name: &str) -> Result<Source, Failure> {
    let path = Path::new(name);
    if !path.is_file()
        && let Some(source) = demo(name)
    {
        return Ok(source);
    }
    read_disk(name)
}

fn read_disk(name: &str) -> Result<Source, Failure> {
    let text =
        read_file(Path::new(name)).map_err(|(message, help)| Failure::file(name, message, help))?;
    Ok(Source { name: name.to_owned(), text, built_in: false, within: None })
}

/// A document named inside another, from the folder of that one. What is on disk and what is
/// built in are never mixed.
pub(crate) fn read_beside(source: &Source, name: &str) -> Result<Source, Failure> {
    let folder = Path::new(&source.name).parent().unwrap_or(Path::new(""));
    let name = plain(&folder.join(name));
    if let Some(within) = &source.within {
        return read_within(within, &name);
    }
    match demo(&name) {
        Some(named) if source.built_in => Ok(named),
        _ => read_disk(&name),
    }
}

/// A document of a folder and of no other: what names a place outside it is not there. The name
/// starts from that folder, or from where the program runs when it begins with it.
pub(crate) fn read_within(folder: &Path, name: &str) -> Result<Source, Failure> {
    let path = Path::new(name);
    let path = if path.starts_with(folder) { path.to_owned() } else { folder.join(path) };
    let missing = || Failure::file(name, "there is no such file here", "look at its spelling");
    // What a link points to counts, not where the link lies.
    let (real, root) = match (path.canonicalize(), folder.canonicalize()) {
        (Ok(real), Ok(root)) => (real, root),
        _ => return Err(missing()),
    };
    if !real.starts_with(&root) {
        return Err(missing());
    }
    let source = read_disk(&path.to_string_lossy())?;
    Ok(Source { within: Some(folder.to_owned()), ..source })
}

/// `demo`, `demo/over-mass`, `demo/seed-round` and the full path all mean a built-in document.
fn demo(name: &str) -> Option<Source> {
    let name = if name == "demo" { FIRST_DEMO } else { name };
    let short = name.strip_prefix("demo/");
    let full = |folder: &str| short.map(|short| format!("demo/{folder}/{short}.toml"));
    let full = [full("turnarounds"), full("days")];
    let called = |path: &str| path == name || full.iter().flatten().any(|full| path == full);
    let (name, text) = DEMO.iter().find(|(path, _)| called(path))?;
    Some(Source {
        name: (*name).to_owned(),
        text: (*text).to_owned(),
        built_in: true,
        within: None,
    })
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
    text(bytes)
}

/// The text that bytes are, or the line that is none and a way out.
pub(crate) fn text(bytes: Vec<u8>) -> Result<String, (String, String)> {
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..at].iter().filter(|byte| **byte == b'\n').count() + 1;
        (format!("line {line} is not UTF-8 text"), "save the document as UTF-8".to_owned())
    })
}

/// The demonstration yard as exported records.
pub(crate) const DEMO_YARD: &str = include_str!("../../../demo/yard.jsonl");

/// The time now; nothing else in the program reads a clock.
#[expect(clippy::disallowed_methods, reason = "this is the one place that reads the clock")]
pub(crate) fn now() -> jiff::Timestamp {
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    let millis = since.map_or(0, |since| i64::try_from(since.as_millis()).unwrap_or(i64::MAX));
    jiff::Timestamp::from_millisecond(millis).unwrap_or(jiff::Timestamp::UNIX_EPOCH)
}

/// A new id: time first, then chance.
pub(crate) fn new_id() -> uuid::Uuid {
    uuid::Uuid::now_v7()
}

/// Random bytes from the system, for what nobody may guess.
pub(crate) fn random<const N: usize>() -> Result<[u8; N], Failure> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|error| {
        let help = "nothing that was recorded is lost; start the program again";
        Failure::asked(format!("the system gives no random numbers: {error}"), help)
    })?;
    Ok(bytes)
}

/// The addresses of this machine on its networks, as far as its routes give them away.
///
/// A socket without connection is only pointed at an address, and says from which of ours it would
/// send; nothing is sent. So each kind of network that a strip may have is asked for.
pub(crate) fn addresses() -> Vec<IpAddr> {
    const TOWARDS: [[u8; 4]; 6] = [
        [192, 0, 2, 1],
        [192, 168, 0, 1],
        [192, 168, 43, 1],
        [10, 0, 0, 1],
        [172, 16, 0, 1],
        [169, 254, 0, 1],
    ];
    let own = |towards: &[u8; 4]| {
        let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
        socket.connect((Ipv4Addr::from(*towards), 9)).ok()?;
        Some(socket.local_addr().ok()?.ip())
    };
    let mut found: Vec<IpAddr> = Vec::new();
    for address in TOWARDS.iter().filter_map(own) {
        if !address.is_loopback() && !address.is_unspecified() && !found.contains(&address) {
            found.push(address);
        }
    }
    found
}

/// The ledger that `STILLPROP_LEDGER` names.
pub(crate) fn ledger_named() -> Option<String> {
    std::env::var("STILLPROP_LEDGER").ok().filter(|name| !name.trim().is_empty())
}

/// The folder that the user's data lie in.
pub(crate) fn data_folder() -> Option<PathBuf> {
    let from = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty());
    let data = from("XDG_DATA_HOME")
        .or_else(|| from("APPDATA"))
        .map(PathBuf::from)
        .or_else(|| Some(PathBuf::from(from("HOME")?).join(".local/share")))?;
    Some(data.join("stillprop"))
}

/// Where the ledger lies when nobody names one: the user's data folder.
pub(crate) fn ledger_path() -> Option<PathBuf> {
    Some(data_folder()?.join("yard.ledger"))
}

/// The longest line that is read. \[bytes\]
const LINE_MAX: u64 = 4096;

/// A line from standard input; `None` at its end. What is no text is read as well as it can be.
pub(crate) fn line() -> io::Result<Option<String>> {
    let mut bytes = Vec::new();
    let mut input = io::stdin().lock();
    let read = input.by_ref().take(LINE_MAX).read_until(b'\n', &mut bytes)?;
    if read as u64 == LINE_MAX && !bytes.ends_with(b"\n") {
        // The rest of it is no line of its own.
        io::BufRead::skip_until(&mut input, b'\n')?;
    }
    Ok((read > 0).then(|| String::from_utf8_lossy(&bytes).into_owned()))
}

/// A line that a person types at the terminal, which does not show it.
pub(crate) fn hidden_line() -> io::Result<String> {
    rpassword::read_password()
}

/// True when a person types into standard input.
pub(crate) fn is_typed() -> bool {
    io::stdin().is_terminal()
}

/// Columns of the terminal, where the environment says so and a page fits.
pub(crate) fn columns() -> Option<usize> {
    let columns: usize = std::env::var("COLUMNS").ok()?.trim().parse().ok()?;
    Some(columns.clamp(60, 100))
}

/// Who records, when nobody says: `STILLPROP_BY`.
pub(crate) fn author() -> Option<String> {
    std::env::var("STILLPROP_BY").ok().filter(|name| !name.trim().is_empty())
}

/// Writes a text to a file.
pub(crate) fn write(name: &str, text: impl AsRef<[u8]>) -> Result<(), Failure> {
    fs::write(name, text)
        .map_err(|error| Failure::file(name, error.to_string(), "name another file"))
}
