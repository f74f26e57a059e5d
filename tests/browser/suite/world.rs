//! What a story happens in: the program, serving in a folder of its own, and the driver of the
//! browser.
//!
//! The clock of the program is set to the noon of the demonstration, so that a story ends the same
//! on whatever day it is told, and an hour can pass in it. Only the time of day is set: what is
//! measured as a span stays true.

use std::{
    env, fs,
    future::Future,
    io::{BufRead as _, BufReader, Write as _},
    panic,
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    sync::{
        Arc, Mutex,
        atomic::{AtomicUsize, Ordering},
    },
    time::{SystemTime, UNIX_EPOCH},
};

use serde_json::Value;
use thirtyfour::WebDriver;

use crate::phone::{self, Phone, Scripts, Size};

/// Who records, unless a page says otherwise.
pub(crate) const BY: &str = "Marro Teel";

/// A passphrase of everybody who has one.
pub(crate) const PHRASE: &str = "kestrel over nine grey stones";

/// When a story begins: 3 December 2026, 08:02 UTC, after the last record of the invented yard and
/// before its main turnaround leaves. \[s since 1970\]
const NOON: i64 = 1_796_284_920;

/// How the program serves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Serving {
    /// The demonstration, on this machine alone.
    Demo,
    /// An empty folder of somebody's own.
    Own,
    /// The demonstration, to people on the network.
    Lan,
}

/// What a story happens in.
pub(crate) struct World {
    folder: PathBuf,
    serving: Serving,
    server: Mutex<Server>,
    /// Every address that was served at.
    urls: Mutex<Vec<String>>,
    driver: Driver,
    phones: Mutex<Vec<WebDriver>>,
}

/// The program, serving.
struct Server {
    child: Child,
    url: String,
}

/// The program that steers browsers.
struct Driver {
    child: Child,
    url: String,
}

/// Plays a story with the demonstration.
pub(crate) fn play<F, Fut>(story: F)
where
    F: FnOnce(Arc<World>) -> Fut,
    Fut: Future<Output = ()> + Send + 'static,
{
    play_in(Serving::Demo, story);
}

/// Plays a story, and ends every program it needed, whatever became of it.
pub(crate) fn play_in<F, Fut>(serving: Serving, story: F)
where
    F: FnOnce(Arc<World>) -> Fut,
    Fut: Future<Output = ()> + Send + 'static,
{
    let runtime = tokio::runtime::Runtime::new().unwrap();
    runtime.block_on(async move {
        let world = Arc::new(World::new(serving));
        let played = tokio::spawn(story(Arc::clone(&world))).await;
        let phones = std::mem::take(&mut *world.phones.lock().unwrap());
        for phone in phones {
            // A browser that has already gone needs no farewell.
            let _ = phone.quit().await;
        }
        if let Err(fault) = played {
            panic::resume_unwind(fault.into_panic());
        }
    });
}

impl World {
    fn new(serving: Serving) -> Self {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR"))
            .join(format!("browser-{}-{number}", std::process::id()));
        fs::create_dir_all(folder.join("documents")).unwrap();
        if serving == Serving::Lan {
            // Nobody is let in from the network before somebody may.
            add(&folder, BY, "pilot");
        }
        let server = Server::start(&folder, serving, 0);
        let urls = Mutex::new(vec![server.url.clone()]);
        let (server, phones) = (Mutex::new(server), Mutex::default());
        Self { server, serving, urls, driver: Driver::start(), phones, folder }
    }

    /// Where the pages are.
    pub(crate) fn url(&self) -> String {
        self.server.lock().unwrap().url.clone()
    }

    /// True for an address of ours: of the server as it is, or was before it was killed.
    pub(crate) fn is_ours(&self, url: &str) -> bool {
        let urls = self.urls.lock().unwrap();
        urls.iter().any(|own| url.strip_prefix(own).is_some_and(|rest| rest.starts_with('/')))
    }

    /// Kills the server without warning, and starts it again in the same folder, so many minutes
    /// after the true time of the story.
    pub(crate) fn kill_and_restart(&self, later: u32) {
        let mut server = self.server.lock().unwrap();
        server.child.kill().unwrap();
        server.child.wait().unwrap();
        *server = Server::start(&self.folder, self.serving, later);
        self.urls.lock().unwrap().push(server.url.clone());
    }

    /// A new browser with a memory of its own.
    pub(crate) async fn phone(self: &Arc<Self>, size: Size, scripts: Scripts) -> Phone {
        let number = self.phones.lock().unwrap().len();
        let profile = self.folder.join(format!("profile-{number}"));
        // Nobody has signed the certificate; a person compares its fingerprint.
        let unsigned = self.serving == Serving::Lan;
        let driver = phone::browser(&self.driver.url, &profile, size, scripts, unsigned).await;
        self.phones.lock().unwrap().push(driver.clone());
        Phone::new(Arc::clone(self), driver, size)
    }

    /// Adds a person who comes in with the passphrase.
    pub(crate) fn add(&self, name: &str, role: &str) {
        add(&self.folder, name, role);
    }

    /// A new code for a person, as the laptop shows it.
    pub(crate) fn code(&self, name: &str) -> String {
        let said = told(&self.folder, &["people", "code", name, "--json"], "");
        let said: Value = serde_json::from_str(&said).unwrap();
        said["code"].as_str().unwrap().to_owned()
    }

    /// Every record, as the command line exports them.
    pub(crate) fn records(&self) -> String {
        let file = self.folder.join("records.jsonl");
        let _ = fs::remove_file(&file);
        told(&self.folder, &["yard", "export", &file.to_string_lossy()], "");
        fs::read_to_string(file).unwrap()
    }
}

impl Drop for World {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.folder);
    }
}

fn add(folder: &Path, name: &str, role: &str) {
    told(folder, &["people", "add", name, "--role", role, "--passphrase"], &format!("{PHRASE}\n"));
}

/// What a verb of the command line answers in the same folder, with something typed into it.
fn told(folder: &Path, words: &[&str], typed: &str) -> String {
    let mut command = at(folder, 0);
    command.args(words).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    child.stdin.take().unwrap().write_all(typed.as_bytes()).unwrap();
    let done = child.wait_with_output().unwrap();
    assert!(done.status.success(), "{words:?}: {done:?}");
    String::from_utf8(done.stdout).unwrap()
}

/// The program in the folder of a story, so many minutes after its noon.
#[expect(clippy::disallowed_methods, reason = "the clock of a story is set against the true one")]
fn at(folder: &Path, later: u32) -> Command {
    let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap().as_secs();
    let shift = NOON + i64::from(later) * 60 - i64::try_from(now).unwrap();
    let mut command = Command::new(given("STILLPROP_FAKETIME"));
    command.env("DONT_FAKE_MONOTONIC", "1").env("NO_FAKE_STAT", "1");
    command.arg("-f").arg(format!("{shift:+}")).arg(given("STILLPROP_PROGRAM"));
    command.env("STILLPROP_LEDGER", folder.join("documents").join("yard.ledger"));
    command.env("HOME", folder).env_remove("XDG_DATA_HOME").env_remove("STILLPROP_BY");
    command
}

impl Server {
    fn start(folder: &Path, serving: Serving, later: u32) -> Self {
        let documents = folder.join("documents");
        let mut command = at(folder, later);
        match serving {
            Serving::Demo => command.args(["demo", "--serve", "--by", BY, "--folder"]),
            Serving::Own => command.args(["serve", "--by", BY]),
            Serving::Lan => command.args(["demo", "--serve", "--lan", "--folder"]),
        };
        command.arg(documents).args(["--port", "0"]);
        let (child, url) = started(&mut command, "Stillprop at ");
        Self { child, url: url.trim_end_matches('/').to_owned() }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Driver {
    fn start() -> Self {
        let mut command = Command::new(given("STILLPROP_CHROMEDRIVER"));
        command.arg("--port=0");
        let (child, rest) = started(&mut command, "started successfully on port ");
        Self { child, url: format!("http://127.0.0.1:{}", rest.trim_end_matches('.')) }
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Starts a program and waits for the line with `before`; gives what stands behind it.
fn started(command: &mut Command, before: &str) -> (Child, String) {
    let mut child = command
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap_or_else(|error| panic!("{command:?}: {error}"));
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let found = lines.by_ref().map_while(Result::ok).find_map(|line| {
        let (_, rest) = line.split_once(before)?;
        Some(rest.to_owned())
    });
    // What it prints later must not fill the pipe and stop it.
    std::thread::spawn(move || lines.map_while(Result::ok).for_each(drop));
    let found = found.unwrap_or_else(|| panic!("{command:?} never said \"{before}\""));
    (child, found)
}

/// What `cargo xtask browser` found on this machine.
pub(crate) fn given(name: &str) -> PathBuf {
    let found =
        env::var_os(name).unwrap_or_else(|| panic!("{name} is not set; use cargo xtask browser"));
    PathBuf::from(found)
}
