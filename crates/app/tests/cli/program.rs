//! Runs the built program in a folder of its own.

use std::{
    env, fs,
    io::Write as _,
    path::{Path, PathBuf},
    process::{self, Command, Output, Stdio},
    sync::atomic::{AtomicUsize, Ordering},
    thread,
};

use serde_json::Value;

/// The demonstration turnarounds and the exit code each ends with.
pub(crate) const DEMO: [(&str, i32); 8] = [
    ("ready", 0),
    ("over-mass", 1),
    ("mid-burn", 1),
    ("last-light", 1),
    ("missing", 1),
    ("crowded-apron", 1),
    ("spill", 1),
    ("hand-start", 1),
];

/// What no answer may say, spelled so that these lines do not say it either.
const PROMISES: [&str; 2] = [concat!("clea", "red"), concat!("safe to", " fly")];

/// What the program answered.
#[derive(Debug)]
pub(crate) struct Answer {
    /// Exit code.
    pub(crate) code: i32,
    /// Standard output.
    pub(crate) out: String,
    /// Standard error.
    pub(crate) err: String,
}

impl Answer {
    /// Every answer of every test comes through here.
    fn new(output: Output, args: &[&str]) -> Self {
        let code = output.status.code().unwrap_or_else(|| panic!("{args:?}: {}", output.status));
        let out = String::from_utf8(output.stdout).unwrap();
        let err = String::from_utf8(output.stderr).unwrap();
        let said = format!("{out}{err}").to_lowercase();
        assert!((0..=2).contains(&code), "{args:?}: exit code {code}\n{err}");
        assert!(!said.contains("panicked"), "{args:?}: {err}");
        for promise in PROMISES {
            assert!(!said.contains(promise), "{args:?} says {promise}");
        }
        Self { code, out, err }
    }

    /// Fails unless the exit code is `code`.
    #[track_caller]
    pub(crate) fn ends(self, code: i32) -> Self {
        assert_eq!(self.code, code, "{}{}", self.out, self.err);
        self
    }

    /// Standard output as JSON; nothing may stand on standard error beside it.
    #[track_caller]
    pub(crate) fn json(&self) -> Value {
        assert_eq!(self.err, "");
        serde_json::from_str(&self.out).unwrap_or_else(|why| panic!("{why}: {}", self.out))
    }
}

/// Runs the program in an empty folder.
pub(crate) fn stillprop(args: &[&str]) -> Answer {
    Folder::new().run(args)
}

/// The JSON of a run in an empty folder that ends with `code`.
#[track_caller]
pub(crate) fn json(args: &[&str], code: i32) -> Value {
    stillprop(&[args, &["--json"]].concat()).ends(code).json()
}

/// The program, ready to be given arguments.
pub(crate) fn command() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_stillprop"));
    // The yard of the demonstration, never that of whoever runs the tests.
    command.env("STILLPROP_LEDGER", "demo");
    command.env_remove("STILLPROP_BY");
    command.stdin(Stdio::null()).env_remove("CLICOLOR_FORCE");
    command
}

/// A folder of one test, removed with everything in it.
pub(crate) struct Folder(PathBuf);

impl Folder {
    /// An empty folder.
    pub(crate) fn new() -> Self {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let name = format!("cli-{}-{}", process::id(), COUNT.fetch_add(1, Ordering::Relaxed));
        let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
        fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    /// A folder with the documents of the demonstration in it.
    pub(crate) fn with_demo() -> Self {
        let folder = Self::new();
        for path in documents() {
            folder.write(&path, &fs::read(root().join(&path)).unwrap());
        }
        folder
    }

    /// Runs the program in this folder.
    pub(crate) fn run(&self, args: &[&str]) -> Answer {
        Answer::new(command().args(args).current_dir(&self.0).output().unwrap(), args)
    }

    /// Runs the program in this folder and types a text into it.
    pub(crate) fn run_with(&self, args: &[&str], typed: &str) -> Answer {
        self.run_of(command(), args, typed)
    }

    /// The same with a program made ready otherwise.
    pub(crate) fn run_of(&self, mut command: Command, args: &[&str], typed: &str) -> Answer {
        command.args(args).current_dir(&self.0).stdin(Stdio::piped());
        command.stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        let (mut input, typed) = (child.stdin.take().unwrap(), typed.to_owned());
        // Who ends early leaves the rest unread.
        let typing = thread::spawn(move || input.write_all(typed.as_bytes()).is_ok());
        let output = child.wait_with_output().unwrap();
        typing.join().unwrap();
        Answer::new(output, args)
    }

    /// The path of a file in this folder.
    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    /// The bytes of a file.
    pub(crate) fn read(&self, name: &str) -> Vec<u8> {
        fs::read(self.0.join(name)).unwrap_or_else(|why| panic!("{name}: {why}"))
    }

    /// Writes a file, with the folders it is in.
    pub(crate) fn write(&self, name: &str, bytes: &[u8]) {
        let path = self.0.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }

    /// Edits a file; `from` must stand in it exactly once.
    #[track_caller]
    pub(crate) fn edit(&self, name: &str, from: &str, to: &str) {
        let text = fs::read_to_string(self.0.join(name)).unwrap();
        assert_eq!(text.matches(from).count(), 1, "{name}: {from}");
        self.write(name, text.replace(from, to).as_bytes());
    }

    /// Edits a file wherever `from` stands in it.
    #[track_caller]
    pub(crate) fn edit_all(&self, name: &str, from: &str, to: &str) {
        let text = fs::read_to_string(self.0.join(name)).unwrap();
        assert!(text.contains(from), "{name}: {from}");
        self.write(name, text.replace(from, to).as_bytes());
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // What is left behind lies in the build folder and troubles nobody.
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// The root of the work tree.
pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// Every document of the demonstration, from the root of the work tree.
pub(crate) fn documents() -> Vec<String> {
    let mut found = Vec::new();
    for folder in ["demo/aircraft", "demo/strips", "demo/turnarounds", "demo/days", "demo/stops"] {
        for entry in fs::read_dir(root().join(folder)).unwrap() {
            let name = entry.unwrap().file_name().into_string().unwrap();
            found.push(format!("{folder}/{name}"));
        }
    }
    found.sort();
    found
}

/// The file of a demonstration turnaround, in a folder made [`Folder::with_demo`].
pub(crate) fn file(name: &str) -> String {
    format!("demo/turnarounds/{name}.toml")
}

/// What the command line calls a demonstration turnaround.
pub(crate) fn demo(name: &str) -> String {
    format!("demo/{name}")
}

/// The limits of an assessment.
#[track_caller]
pub(crate) fn limits(assessment: &Value) -> &Vec<Value> {
    assessment["limits"].as_array().unwrap()
}

/// The text of a field.
#[track_caller]
pub(crate) fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_else(|| panic!("{key} of {value}"))
}

/// The limit of that name.
#[track_caller]
pub(crate) fn limit<'a>(assessment: &'a Value, id: &str) -> &'a Value {
    let found = limits(assessment).iter().find(|limit| text(limit, "id") == id);
    found.unwrap_or_else(|| panic!("no limit {id}"))
}

/// The names of the limits with that verdict.
pub(crate) fn with_verdict(assessment: &Value, verdict: &str) -> Vec<String> {
    let all = limits(assessment).iter();
    let those = all.filter(|limit| text(limit, "verdict") == verdict);
    those.map(|limit| text(limit, "id").to_owned()).collect()
}
