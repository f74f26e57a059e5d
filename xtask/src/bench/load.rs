//! The pages under load: the release program serves the demonstration on loopback, and a load
//! generator made by others asks it at a fixed rate.
//!
//! The generator is `hey`, a package of Debian; it is installed when it is missing and this may be
//! done. It asks each time a tick comes and the answer before it has come, so the rate that was
//! reached is a figure of its own with a target: were it too low, the times would flatter.

use std::{
    fs,
    io::{BufRead as _, BufReader, Read as _, Write as _},
    net::{Ipv4Addr, TcpListener, TcpStream},
    path::Path,
    process::{Child, Command, Stdio},
    thread,
    time::{Duration, Instant},
};

use super::{Figure, Kind};
use crate::repo::{self, Profile};

/// Connections of the generator, and what each asks in a second.
const WORKERS: usize = 6;
const EACH: usize = 50;

/// How long the page is asked for, and the file. \[s\]
const PAGE: u32 = 10;
const FILE: u32 = 5;

/// Starts that are timed.
const STARTS: usize = 9;

/// The turnaround that is asked for: it has every picture.
const STOP: &str = "/stop/turnarounds/ready";

/// What is measured, first to last.
pub(super) fn figures() -> Result<Vec<Figure>, String> {
    generator()?;
    let program = repo::program(Profile::Release)?;
    let folder = std::env::temp_dir().join(format!("stillprop-load-{}", std::process::id()));
    let found = measured(&program, &folder);
    let _ = fs::remove_dir_all(&folder);
    found
}

fn measured(program: &Path, folder: &Path) -> Result<Vec<Figure>, String> {
    fs::create_dir_all(folder).map_err(|error| error.to_string())?;
    // The first start writes the demonstration, which no other does.
    drop(Server::start(program, folder)?);
    let mut starts = (0..STARTS).map(|_| cold(program, folder)).collect::<Result<Vec<_>, _>>()?;
    let server = Server::start(program, folder)?;
    let page = server.ask(STOP)?;
    let parts = page.parts();
    let weighed = parts.iter().map(|part| server.ask(part)).collect::<Result<Vec<_>, _>>()?;
    let style = parts.iter().find(|part| part.ends_with(".css")).ok_or("the page has no style")?;
    let weight = page.bytes + weighed.iter().map(|part| part.bytes).sum::<usize>();
    let before = server.memory();
    // Warm: what is drawn once is drawn before it is timed, as it is for whoever looks twice.
    hey(&server.url(STOP), 1)?;
    let asked = hey(&server.url(STOP), PAGE)?;
    let file = hey(&server.url(style), FILE)?;
    let after = server.memory();
    let count = |name: &str, value: f64| Figure { name: name.into(), value, kind: Kind::Count };
    let size = |name: &str, value: f64| Figure { name: name.into(), value, kind: Kind::Size };
    let mut all = vec![
        count("requests a second", asked.rate(PAGE)),
        Figure::time("page, half of the requests", asked.within(50)),
        Figure::time("page, 99 of 100 requests", asked.within(99)),
        Figure::time("page, the slowest request", asked.within(100)),
        count("requests a second of the file", file.rate(FILE)),
        Figure::time("static file of the same server, half of the requests", file.within(50)),
        Figure::time("static file of the same server, 99 of 100 requests", file.within(99)),
        Figure::share("page as multiple of the file, half", asked.within(50) / file.within(50)),
        Figure::share(
            "page as multiple of the file, 99 of 100",
            asked.within(99) / file.within(99),
        ),
        Figure::time("cold start to the first page, median", percentile(&mut starts, 50)),
        Figure::time("cold start to the first page, slowest", percentile(&mut starts, 100)),
        size("page with pictures, style and script, packed", weight as f64),
    ];
    // Where the system tells, which is on Linux.
    all.extend(before.map(|bytes| size("memory before the load", bytes)));
    all.push(size("memory after the load", after.unwrap_or(f64::NAN)));
    Ok(all)
}

/// Sees that the generator is there.
fn generator() -> Result<(), String> {
    let there = || Command::new("hey").output().is_ok();
    if there() {
        return Ok(());
    }
    let root = repo::output(Command::new("id").arg("-u")).is_ok_and(|id| id.trim() == "0");
    if root {
        repo::show(Command::new("apt-get").args(["install", "--yes", "hey"]))?;
    }
    if there() { Ok(()) } else { Err("the load generator `hey` is missing: install it".into()) }
}

/// Times of the answers, in microseconds, shortest first.
struct Asked(Vec<f64>);

impl Asked {
    fn rate(&self, seconds: u32) -> f64 {
        self.0.len() as f64 / f64::from(seconds)
    }

    fn within(&self, percent: usize) -> f64 {
        nearest(&self.0, percent)
    }
}

/// Asks at the fixed rate. Every answer must be the page.
fn hey(url: &str, seconds: u32) -> Result<Asked, String> {
    let (each, workers) = (EACH.to_string(), WORKERS.to_string());
    let length = format!("{seconds}s");
    let args = ["-z", &length, "-c", &workers, "-q", &each, "-o", "csv", url];
    answers(&repo::output(Command::new("hey").args(args))?)
}

/// The times in a table of answers: a line each, the time first \[s\], the status seventh.
fn answers(table: &str) -> Result<Asked, String> {
    let mut times = Vec::new();
    for line in table.lines().skip(1) {
        let columns: Vec<&str> = line.split(',').collect();
        let time = columns.first().and_then(|text| text.parse::<f64>().ok());
        match (time, columns.get(6)) {
            (Some(time), Some(&"200")) => times.push(time * 1e6),
            _ => return Err(format!("an answer that is no page: {line}")),
        }
    }
    times.sort_by(f64::total_cmp);
    if times.is_empty() { Err("nothing was answered".into()) } else { Ok(Asked(times)) }
}

fn percentile(times: &mut [f64], percent: usize) -> f64 {
    times.sort_by(f64::total_cmp);
    nearest(times, percent)
}

/// The least time within which so many of a hundred are (nearest rank).
fn nearest(sorted: &[f64], percent: usize) -> f64 {
    let rank = (sorted.len() * percent).div_ceil(100).max(1);
    sorted.get(rank - 1).copied().unwrap_or(f64::NAN)
}

/// The program, serving the demonstration on loopback.
struct Server {
    child: Child,
    port: u16,
}

impl Server {
    /// Starts it and waits until it says where it is.
    fn start(program: &Path, folder: &Path) -> Result<Self, String> {
        let mut child = serve(program, folder, 0)?;
        let out = child.stdout.take().ok_or("the program has no output")?;
        let mut out = BufReader::new(out);
        let mut line = String::new();
        out.read_line(&mut line).map_err(|error| error.to_string())?;
        // Read away, so that the program never waits for a reader.
        thread::spawn(move || std::io::copy(&mut out, &mut std::io::sink()));
        let port = line.trim().trim_end_matches('/').rsplit(':').next();
        let port = port.and_then(|port| port.parse().ok());
        let server = Self { child, port: port.unwrap_or(0) };
        if server.port == 0 {
            Err(format!("the program does not serve: {line}"))
        } else {
            Ok(server)
        }
    }

    fn url(&self, path: &str) -> String {
        format!("http://127.0.0.1:{}{path}", self.port)
    }

    fn ask(&self, path: &str) -> Result<Page, String> {
        ask(self.port, path).ok_or_else(|| format!("{path} is not answered"))
    }

    /// What of it lies in memory. \[bytes\]
    fn memory(&self) -> Option<f64> {
        let facts = fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        let line = facts.lines().find_map(|line| line.strip_prefix("VmRSS:"))?;
        Some(line.trim().strip_suffix(" kB")?.trim().parse::<f64>().ok()? * 1024.0)
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn serve(program: &Path, folder: &Path, port: u16) -> Result<Child, String> {
    let mut command = Command::new(program);
    command.args(["demo", "--serve", "--by", "Odrin Kestow", "--port", &port.to_string()]);
    command.arg("--folder").arg(folder).env_remove("STILLPROP_LEDGER");
    command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::null());
    command.spawn().map_err(|error| format!("{}: {error}", program.display()))
}

/// From the start of the program to the last byte of its first page. \[us\]
#[expect(clippy::disallowed_methods, reason = "this is what a benchmark does")]
fn cold(program: &Path, folder: &Path) -> Result<f64, String> {
    let free = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).map_err(|error| error.to_string())?;
    let port = free.local_addr().map_err(|error| error.to_string())?.port();
    drop(free);
    let start = Instant::now();
    let child = serve(program, folder, port)?;
    let server = Server { child, port };
    while ask(server.port, "/").is_none() {
        if start.elapsed() > Duration::from_secs(5) {
            return Err("the program does not answer".into());
        }
        thread::sleep(Duration::from_micros(500));
    }
    Ok(start.elapsed().as_secs_f64() * 1e6)
}

/// A page as it came: packed, and plain.
struct Page {
    bytes: usize,
    plain: String,
}

impl Page {
    /// The files that a browser asks for with it.
    fn parts(&self) -> Vec<String> {
        let after = self.plain.split('"').filter(|part| part.starts_with("/web/"));
        after.map(str::to_owned).collect()
    }
}

/// Asks for a page, packed and not. `None` where there is no answer, or another than the page.
fn ask(port: u16, path: &str) -> Option<Page> {
    let body = |packing: &str| {
        let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, port)).ok()?;
        let request = format!(
            "GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\
            Accept-Encoding: {packing}\r\n\r\n"
        );
        stream.write_all(request.as_bytes()).ok()?;
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).ok()?;
        let head = bytes.windows(4).position(|four| four == b"\r\n\r\n")? + 4;
        bytes.starts_with(b"HTTP/1.1 200 ").then(|| bytes.split_off(head))
    };
    let plain = String::from_utf8_lossy(&body("identity")?).into_owned();
    Some(Page { bytes: body("gzip")?.len(), plain })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_rank_is_the_least_time_that_so_many_keep() {
        let hundred: Vec<f64> = (1..=100).map(f64::from).collect();
        let found = |times: &[f64], percent| nearest(times, percent).round() as i64;
        assert_eq!([50, 99, 100].map(|percent| found(&hundred, percent)), [50, 99, 100]);
        assert_eq!(found(&[7.0], 99), 7);
        assert_eq!(found(&[1.0, 2.0, 3.0], 50), 2);
        assert!(nearest(&[], 50).is_nan());
    }

    #[test]
    fn a_table_gives_its_times_and_any_answer_but_the_page_is_an_error() {
        let head = "response-time,DNS+dialup,DNS,Request-write,Response-delay,Response-read,status-code,offset\n";
        let table = format!("{head}0.0021,0,0,0,0,0,200,0.1\n0.0011,0,0,0,0,0,200,0.2\n");
        let times: Vec<i64> =
            answers(&table).unwrap().0.iter().map(|time| time.round() as i64).collect();
        assert_eq!(times, [1100, 2100]);
        assert!(answers(&format!("{table}0.001,0,0,0,0,0,503,0.3\n")).is_err());
        assert!(answers(head).is_err());
    }
}
