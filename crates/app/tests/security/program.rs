//! The program: its verbs, and its server in a folder of its own.

use std::{
    fs,
    io::{BufRead as _, BufReader, Write as _},
    path::{Path, PathBuf},
    process::{self, Child, Command, Stdio},
    sync::{
        Arc,
        atomic::{AtomicUsize, Ordering},
    },
};

use rustls::pki_types::pem::PemObject as _;
use rustls::{ClientConfig, RootCertStore, crypto::ring, pki_types::CertificateDer};

/// The people of these tests and the passphrase of each.
pub(crate) const PHRASE: &str = "kestrel over nine grey stones";

/// One who may do all.
pub(crate) const PILOT: &str = "Odrin Kestow";

/// What a verb answered.
pub(crate) struct Answer {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Answer {
    #[track_caller]
    pub(crate) fn ends(self, code: i32) -> Self {
        assert_eq!(self.code, code, "{}{}", self.out, self.err);
        self
    }
}

/// A folder of one test with a ledger to be.
pub(crate) struct Folder(PathBuf);

impl Folder {
    pub(crate) fn new() -> Self {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let name = format!("access-{}-{}", process::id(), COUNT.fetch_add(1, Ordering::Relaxed));
        let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
        fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    /// A folder with a pilot who has a passphrase.
    pub(crate) fn with_pilot() -> Self {
        let folder = Self::new();
        folder.add(PILOT, "pilot");
        folder
    }

    /// The same with the documents and the yard of the demonstration.
    pub(crate) fn with_demo(self) -> Self {
        Server::demo(&self).kill();
        self
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    fn command(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_stillprop"));
        command.env("STILLPROP_LEDGER", self.0.join("yard.ledger")).env("XDG_DATA_HOME", &self.0);
        command.env_remove("STILLPROP_BY").env_remove("CLICOLOR_FORCE").current_dir(&self.0);
        command
    }

    /// Runs a verb and types a text into it.
    pub(crate) fn run(&self, args: &[&str], typed: &str) -> Answer {
        let mut command = self.command();
        command.args(args).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        // Who refuses early leaves it unread.
        let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
        let output = child.wait_with_output().unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        let (out, err) = (text(output.stdout), text(output.stderr));
        assert!(!err.contains("panicked"), "{err}");
        Answer { code: output.status.code().unwrap(), out, err }
    }

    /// Adds a person with the passphrase of these tests.
    pub(crate) fn add(&self, name: &str, role: &str) {
        let args = ["people", "add", name, "--role", role, "--passphrase"];
        self.run(&args, &format!("{PHRASE}\n")).ends(0);
    }

    /// A code for a person.
    pub(crate) fn code(&self, name: &str) -> String {
        let answer = self.run(&["people", "code", name, "--json"], "").ends(0);
        let data: serde_json::Value = serde_json::from_str(&answer.out).unwrap();
        data["code"].as_str().unwrap().to_owned()
    }

    /// Changes what is kept, as time would have.
    pub(crate) fn sql(&self, sql: &str) {
        let kept = rusqlite::Connection::open(self.path("yard.ledger.access")).unwrap();
        assert!(kept.execute(sql, []).unwrap() > 0, "{sql}");
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // What is left behind lies in the build folder and troubles nobody.
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// A server that runs until it is dropped; then it is killed without warning.
pub(crate) struct Server {
    child: Child,
    /// What it complains of is written here.
    complaints: PathBuf,
    /// The port it is at.
    pub(crate) port: u16,
    /// The fingerprint it printed.
    pub(crate) fingerprint: Option<String>,
    /// How to speak to it encrypted, trusting its certificate alone.
    pub(crate) trust: Option<Arc<ClientConfig>>,
}

impl Server {
    /// Everybody on this machine, in the clear.
    pub(crate) fn loopback(folder: &Folder) -> Self {
        Self::start(folder, &["serve"])
    }

    /// The demonstration on this machine alone, recorded in by the pilot.
    pub(crate) fn demo(folder: &Folder) -> Self {
        let place = folder.path("").to_string_lossy().into_owned();
        Self::start(folder, &["demo", "--serve", "--folder", &place, "--by", PILOT])
    }

    /// The folder's own documents to people on the network; see [`Folder::with_demo`].
    pub(crate) fn lan_demo(folder: &Folder) -> Self {
        let place = folder.path("").to_string_lossy().into_owned();
        Self::encrypted(folder, &["serve", &place, "--lan"])
    }

    /// People on the network, encrypted.
    pub(crate) fn lan(folder: &Folder) -> Self {
        Self::encrypted(folder, &["serve", "--lan"])
    }

    fn encrypted(folder: &Folder, args: &[&str]) -> Self {
        let mut server = Self::start(folder, args);
        let pem = folder.run(&["people", "certificate"], "").ends(0).out;
        let mut roots = RootCertStore::empty();
        roots.add(CertificateDer::from_pem_slice(pem.as_bytes()).unwrap()).unwrap();
        let config = ClientConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_safe_default_protocol_versions()
            .unwrap()
            .with_root_certificates(roots)
            .with_no_client_auth();
        server.trust = Some(Arc::new(config));
        server
    }

    /// With these arguments and no others but the port.
    pub(crate) fn start(folder: &Folder, args: &[&str]) -> Self {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let complaints = folder.path(&format!("complaints-{number}.txt"));
        let mut command = folder.command();
        command.args(args).args(["--port", "0"]);
        let kept = fs::File::create(&complaints).unwrap();
        command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(kept);
        let mut child = command.spawn().unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines().map(Result::unwrap);
        let mut fingerprint = None;
        let lan = args.contains(&"--lan");
        let wanted = if lan { "certificate SHA-256 " } else { "Stillprop at " };
        let mut port = None;
        for line in lines.by_ref() {
            if let Some(rest) = line.strip_prefix("Stillprop at ") {
                let end = rest.split('/').nth(2).unwrap();
                port = end.rsplit(':').next().unwrap().parse().ok();
            }
            if let Some(rest) = line.strip_prefix("certificate SHA-256 ") {
                fingerprint = Some(rest.to_owned());
            }
            if line.starts_with(wanted) {
                break;
            }
        }
        // What it prints later must find a reader.
        std::thread::spawn(move || lines.for_each(drop));
        let port = port.expect("the server prints where it is");
        Self { child, complaints, port, fingerprint, trust: None }
    }

    /// Kills it without warning.
    pub(crate) fn kill(mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
        // Whatever a test was about: nothing that is sent makes the program fail.
        let said = fs::read_to_string(&self.complaints).unwrap_or_default();
        assert!(std::thread::panicking() || !said.contains("panicked"), "{said}");
    }
}
