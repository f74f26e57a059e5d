//! Killed at any moment while several phones record: whatever was acknowledged is there.
//!
//! The kill is what a flat battery is to the program; that the disk keeps what it said it had is
//! tested in `ledger`.

use std::{
    collections::BTreeSet,
    env, fs,
    sync::{
        Mutex,
        atomic::{AtomicUsize, Ordering::Relaxed},
    },
    thread,
    time::Duration,
};

use super::{
    http::{self, Reply},
    server::{Server, folder},
    sheet::{SHEET, field, records, task},
};

/// What the phones were told, and what they never heard of.
#[derive(Default)]
struct Told {
    /// Ids of records that were acknowledged.
    kept: Mutex<BTreeSet<String>>,
    /// Posts that got no answer.
    unanswered: AtomicUsize,
}

/// A phone that sends forms over and over until nobody answers.
struct Phone<'a> {
    address: &'a str,
    form_token: String,
    told: &'a Told,
}

impl Phone<'_> {
    fn get(&self, path: &str) -> Option<String> {
        let reply = http::try_raw(self.address, &http::request("GET", self.address, path, &[]))?;
        (reply.status == 200).then_some(reply.body)
    }

    /// Sends a form; what was acknowledged is written down with the id its record takes.
    fn post(&self, path: &str, token: &str, fields: &[(&str, &str)]) -> Option<Reply> {
        let own = [("form-token", self.form_token.as_str()), ("token", token)];
        let body = http::form(&[&own[..], fields].concat());
        let (origin, length) = (format!("http://{}", self.address), body.len().to_string());
        let headers = [
            ("Origin", origin.as_str()),
            ("Content-Type", "application/x-www-form-urlencoded"),
            ("Content-Length", length.as_str()),
        ];
        let head = http::request("POST", self.address, path, &headers);
        let reply = http::try_raw(self.address, &format!("{head}{body}"));
        let Some(reply) = reply.filter(|reply| reply.status != 0) else {
            self.told.unanswered.fetch_add(1, Relaxed);
            return None;
        };
        let to = reply.header("location").unwrap_or_default();
        let kept = ["said=kept", "said=doubt", "said=undone", "/drum/"];
        if kept.iter().any(|word| to.contains(word)) {
            self.told.kept.lock().unwrap().insert(token.to_owned());
        }
        Some(reply)
    }

    /// Does what the sheet asks for, and takes every third step back.
    fn works(&self) -> Option<()> {
        for number in 0.. {
            let body = self.get(SHEET)?;
            let (task, token) = (task(&body), field(&body, "token"));
            if body.contains("Begin the sheet") {
                self.post(SHEET, &token, &[("do", "begin")])?;
            } else if task.is_empty() {
                self.post(SHEET, &token, &[("do", "go-on")])?;
            } else if number % 3 == 2 {
                self.post(SHEET, &token, &[("do", "undo")])?;
            } else {
                self.post(SHEET, &token, &[("do", "done"), ("task", &task)])?;
            }
        }
        None
    }

    /// Records one drum after the other.
    fn receives(&self, round: usize) -> Option<()> {
        for number in 0.. {
            let token = field(&self.get("/yard/record/receive")?, "token");
            let label = format!("K{round}-{number}");
            let fields = [
                ("label", label.as_str()),
                ("place", "Killed"),
                ("grade", "avgas 100LL"),
                ("batch", "B"),
                ("supplier", "S"),
                ("filled", "2025-03-14"),
                ("contents", "200 L"),
                ("capacity", "216.5 L"),
            ];
            self.post("/yard/record/receive", &token, &fields)?;
        }
        None
    }
}

/// Starts the program, lets three phones work, and kills it in the middle.
fn round(folder: &std::path::Path, number: usize, told: &Told) {
    let server = Server::demo_in(folder);
    let address = server.address.clone();
    let form_token = server.get("/documents").token();
    let phone = || Phone { address: &address, form_token: form_token.clone(), told };
    let before = told.kept.lock().unwrap().len();
    // A moment of its own in each round, the same in each run as far as a machine has such.
    let moment = (number as u64 + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 32;
    thread::scope(|scope| {
        let (one, other, yard) = (phone(), phone(), phone());
        scope.spawn(move || one.works());
        scope.spawn(move || other.works());
        scope.spawn(move || yard.receives(number));
        let enough = before + 2 + (moment % 7) as usize;
        for _ in 0..6000 {
            if told.kept.lock().unwrap().len() >= enough {
                break;
            }
            thread::sleep(Duration::from_millis(5));
        }
        thread::sleep(Duration::from_micros(moment % 30_000));
        server.kill();
    });
}

#[test]
fn nothing_acknowledged_is_gone_whenever_it_is_killed() {
    let rounds = env::var("STILLPROP_KILL_ROUNDS").ok().and_then(|text| text.parse().ok());
    let rounds: usize = rounds.unwrap_or(20);
    let (folder, told) = (folder(), Told::default());
    for number in 0..rounds {
        round(&folder, number, &told);
        let kept = told.kept.lock().unwrap();
        assert!(kept.len() >= 2 * (number + 1), "hardly anything was recorded: {}", kept.len());
        let server = Server::demo_in(&folder);
        let records = records(&server);
        let mut ids = BTreeSet::new();
        for line in records.lines() {
            let id = line.split("\"id\":\"").nth(1).and_then(|rest| rest.split('"').next());
            assert!(id.is_none_or(|id| ids.insert(id)), "twice: {line}");
        }
        let gone: Vec<_> = kept.iter().filter(|id| !ids.contains(id.as_str())).collect();
        assert!(gone.is_empty(), "round {number}: {gone:?} were acknowledged and are gone");
        // The program says so too: work goes on from where it stood, with the recap first.
        let page = server.get(SHEET).is(200).body;
        assert!(page.contains("Recap: ") || page.contains("data-task=\""), "{page}");
    }
    let (kept, unanswered) = (told.kept.into_inner().unwrap().len(), told.unanswered.into_inner());
    println!("{rounds} kills, {kept} acknowledged, {unanswered} posts in the middle of one");
    // Else every kill met idle phones, and this would show little.
    assert!(unanswered * 2 >= rounds, "only {unanswered} posts met one of {rounds} kills");
    fs::remove_dir_all(folder).unwrap();
}
