//! The program as a server, in a folder of its own.

use std::{
    env, fs,
    io::{BufRead as _, BufReader},
    path::{Path, PathBuf},
    process::{self, Child, Command, Stdio},
    sync::atomic::{AtomicUsize, Ordering},
};

use super::http::{self, Reply};

/// A running server; ended when it goes out of scope.
pub(crate) struct Server {
    child: Child,
    pub(crate) address: String,
    pub(crate) folder: PathBuf,
    own: bool,
}

/// An empty folder that no other test has.
pub(crate) fn folder() -> PathBuf {
    static COUNT: AtomicUsize = AtomicUsize::new(0);
    let number = COUNT.fetch_add(1, Ordering::Relaxed);
    let folder = env::temp_dir().join(format!("stillprop-serve-{}-{number}", process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

impl Server {
    /// The demonstration.
    pub(crate) fn demo() -> Self {
        let folder = folder();
        let mut server = Self::demo_in(&folder);
        server.own = true;
        server
    }

    /// The demonstration in a folder that stays.
    pub(crate) fn demo_in(folder: &Path) -> Self {
        let place = folder.to_string_lossy().into_owned();
        Self::start(folder, &["demo", "--serve", "--folder", &place, "--by", "Odrin Kestow"])
    }

    /// A folder of somebody's own.
    pub(crate) fn serve(folder: &Path) -> Self {
        Self::start(folder, &["serve", &folder.to_string_lossy(), "--by", "Odrin Kestow"])
    }

    /// With these arguments and no others but the port.
    pub(crate) fn start_bare(folder: &Path, args: &[&str]) -> Self {
        Self::start(folder, args)
    }

    fn start(folder: &Path, args: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_stillprop"))
            .args(args)
            .args(["--port", "0"])
            .env("HOME", folder)
            .env_remove("XDG_DATA_HOME")
            .env_remove("STILLPROP_LEDGER")
            .env_remove("STILLPROP_BY")
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut out = BufReader::new(child.stdout.take().unwrap());
        let mut line = String::new();
        out.read_line(&mut line).unwrap();
        let address = line.trim().rsplit_once("http://").unwrap().1.trim_end_matches('/');
        // The rest is read away, so that the program never waits for a reader.
        let address = address.to_owned();
        std::thread::spawn(move || std::io::copy(&mut out, &mut std::io::sink()));
        Self { child, address, folder: folder.to_owned(), own: false }
    }

    pub(crate) fn get(&self, path: &str) -> Reply {
        http::raw(&self.address, http::request("GET", &self.address, path, &[]).as_bytes())
    }

    /// The same of a page that searches: a machine that is too slow says so, goes on, and has the
    /// answer when it is asked again.
    pub(crate) fn search(&self, path: &str) -> Reply {
        let mut all = std::iter::repeat_with(|| self.get(path)).take(20);
        let found = all.by_ref().find(|reply| reply.status != 503);
        found.unwrap_or_else(|| panic!("{path} never came"))
    }

    pub(crate) fn post(&self, path: &str, fields: &[(&str, &str)]) -> Reply {
        self.post_as(path, fields, &[("Origin", &format!("http://{}", self.address))])
    }

    pub(crate) fn post_as(
        &self,
        path: &str,
        fields: &[(&str, &str)],
        headers: &[(&str, &str)],
    ) -> Reply {
        // Every form of a page carries the same token.
        let token = self.get("/documents").token();
        let body = http::form(&[&[("form-token", token.as_str())], fields].concat());
        let length = body.len().to_string();
        let own = [
            ("Content-Type", "application/x-www-form-urlencoded"),
            ("Content-Length", length.as_str()),
        ];
        let headers = [&own[..], headers].concat();
        let head = http::request("POST", &self.address, path, &headers);
        http::raw(&self.address, format!("{head}{body}").as_bytes())
    }

    /// Ends it as a flat battery would.
    pub(crate) fn kill(mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    pub(crate) fn id(&self) -> u32 {
        self.child.id()
    }

    /// Waits until it has ended by itself.
    pub(crate) fn ended(&mut self) -> bool {
        self.child.wait().unwrap().success()
    }

    /// The text of a document.
    pub(crate) fn text(&self, name: &str) -> String {
        fs::read_to_string(self.folder.join(format!("{name}.toml"))).unwrap()
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
        if self.own {
            let _ = fs::remove_dir_all(&self.folder);
        }
    }
}
