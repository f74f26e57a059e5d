//! Coming in and going out, over the network.

use std::{
    fs, thread,
    time::{Duration, Instant},
};

use crate::{
    client::{Answer, Inside},
    program::{Folder, PHRASE, PILOT, Server},
};

#[test]
fn a_stranger_sees_nothing_and_is_shown_where_to_come_in() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let answer = server.get("/yard", &[]).is(303);
    assert_eq!(answer.header("location"), "/enter?to=/yard");
    assert_eq!(answer.body, "");
    server.get("/enter?to=/yard", &[]).is(200);
    server.get("/yard", &[("Sec-Fetch-Mode", "cors"), ("Sec-Fetch-Site", "same-origin")]).is(401);
    server.post("/yard/record/draw", &[], "x=1").is(401);
    server.post("/leave", &[], "").is(401);
    let answer = server.get("/api/yard", &[]).is(401);
    assert!(answer.body.contains("\"caution\""), "{}", answer.body);
    for cookie in ["", "x", "__Host-stillprop=", &format!("__Host-stillprop={}", "0".repeat(64))] {
        server.get("/", &[("Cookie", cookie)]).is(303);
    }
}

#[test]
fn the_passphrase_lets_in_and_every_wrong_claim_gets_the_same_answer() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let answer = server.post(
        "/enter",
        &[("Origin", &server.origin())],
        &format!("name=ODRIN++kestow&phrase={}&to=/yard", PHRASE.replace(' ', "+")),
    );
    assert_eq!(answer.clone().is(303).header("location"), "/yard");
    let set = answer.header("set-cookie");
    for part in ["__Host-stillprop=", "; Path=/", "; Secure", "; HttpOnly", "; SameSite=Strict"] {
        assert!(set.contains(part), "{set}");
    }
    server.get("/", &[Inside::of(&answer).header()]).is(200);
    let wrong = server.try_phrase(PILOT, "kestrel over nine grey stone").is(403);
    let unknown = server.try_phrase("Nobody Here", PHRASE).is(403);
    let without_date = |head: &str| {
        head.lines().filter(|line| !line.starts_with("date")).map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(wrong.body, unknown.body);
    assert_eq!(without_date(&wrong.head), without_date(&unknown.head));
    assert!(wrong.all("set-cookie").is_empty());
}

#[test]
fn somebody_unknown_is_answered_no_quicker() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let time = |name: &str| {
        let start = Instant::now();
        server.try_phrase(name, "a wrong passphrase").is(403);
        start.elapsed()
    };
    let (mut known, mut unknown) = (Duration::MAX, Duration::MAX);
    for _ in 0..3 {
        known = known.min(time(PILOT));
        unknown = unknown.min(time("Nobody Here"));
        // Whoever comes in is forgiven, so nobody has to wait.
        server.come_in(PILOT);
    }
    // What costs is the hash. Without it an answer takes a small part of the time.
    assert!(unknown * 2 > known, "{unknown:?} against {known:?}");
}

#[test]
fn a_session_survives_a_kill_and_ends_when_somebody_leaves() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let inside = server.come_in(PILOT);
    let token = inside.token(&server);
    let fingerprint = server.fingerprint.clone();
    server.kill();
    let server = Server::lan(&folder);
    assert_eq!(server.fingerprint, fingerprint);
    // A form that was open before the kill is still good after it.
    assert_eq!(inside.token(&server), token);
    let other = server.come_in(PILOT);
    let left = inside.post(&server, "/leave", "").is(303);
    assert!(left.header("set-cookie").contains("Max-Age=0"));
    // Whoever had copied the cookie has nothing now, neither at once nor after a restart.
    server.get("/", &[inside.header()]).is(303);
    server.post("/leave", &[inside.header()], &format!("form-token={token}")).is(401);
    server.kill();
    let server = Server::lan(&folder);
    server.get("/", &[inside.header()]).is(303);
    server.get("/", &[other.header()]).is(200);
}

#[test]
fn sessions_end_unused_and_after_a_week() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let hour = 3_600_000_i64;
    let (used, begun) = (server.come_in(PILOT), server.come_in(PILOT));
    folder.sql(&format!("UPDATE session SET used_ms = used_ms - {}", 12 * hour - 60_000));
    server.get("/", &[used.header()]).is(200);
    folder.sql(&format!("UPDATE session SET begun_ms = begun_ms - {}", 168 * hour));
    server.get("/", &[used.header()]).is(303);
    let fresh = server.come_in(PILOT);
    folder.sql(&format!("UPDATE session SET used_ms = used_ms - {}", 12 * hour));
    server.get("/", &[fresh.header()]).is(303);
    server.get("/", &[begun.header()]).is(303);
}

#[test]
fn coming_in_again_ends_the_session_that_the_browser_had() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let first = server.come_in(PILOT);
    let form = format!("name=odrin+kestow&phrase={}", PHRASE.replace(' ', "+"));
    let second = server.post("/enter", &[first.header()], &form).is(303);
    let second = Inside::of(&second);
    assert_ne!(first.cookie, second.cookie);
    server.get("/", &[first.header()]).is(303);
    server.get("/", &[second.header()]).is(200);
}

/// Seconds to wait, as a refusal says.
fn told(answer: &Answer) -> u64 {
    answer.header("retry-after").parse().unwrap()
}

#[test]
fn guessing_is_slowed_down_and_then_refused_even_when_right() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let guess = || server.try_phrase(PILOT, "guess after guess after guess");
    let (mut waits, mut tried) = (Vec::new(), 0);
    while waits.last().is_none_or(|wait| *wait < 4) {
        let answer = guess();
        if answer.status == 429 {
            assert!(answer.all("set-cookie").is_empty());
            waits.push(told(&answer));
            thread::sleep(Duration::from_secs(told(&answer)));
        } else {
            answer.is(403);
            tried += 1;
        }
        assert!(tried < 12, "{waits:?}");
    }
    assert!(waits.is_sorted(), "{waits:?}");
    assert!((5..=7).contains(&tried), "{tried}");
    // The next guess makes it eight seconds: time enough to be refused with the right one.
    guess().is(403);
    let refused = server.try_phrase(PILOT, PHRASE).is(429);
    assert!(refused.all("set-cookie").is_empty());
    // Codes are guessed no faster.
    server.try_code("AAAA-AAAA").is(429);
    thread::sleep(Duration::from_secs(told(&refused)));
    server.come_in(PILOT);
    guess().is(403);
}

#[test]
fn many_guesses_at_the_same_moment_count_as_many() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let start = Instant::now();
    let statuses: Vec<u16> = thread::scope(|scope| {
        let guess = || server.try_phrase(PILOT, "guess after guess after guess").status;
        let all: Vec<_> = (0..12).map(|_| scope.spawn(guess)).collect();
        all.into_iter().map(|one| one.join().unwrap()).collect()
    });
    // Three are free, and then the waits of 1, 2, 4 s open one each on a slow machine.
    let seconds = start.elapsed().as_secs();
    let most = 3 + [1, 3, 7, 15, 31].iter().filter(|wait| **wait <= seconds).count();
    let tried = statuses.iter().filter(|status| **status == 403).count();
    assert!((3..=most).contains(&tried), "{statuses:?} in {seconds} s");
    assert!(statuses.iter().all(|status| [403, 429].contains(status)), "{statuses:?}");
}

#[test]
fn after_a_hundred_failures_only_a_code_helps_and_a_restart_forgets_none() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    folder.sql("UPDATE person SET failures = 99");
    server.try_phrase(PILOT, "guess after guess after guess").is(403);
    server.try_phrase(PILOT, PHRASE).is(403);
    server.kill();
    let server = Server::lan(&folder);
    server.try_phrase(PILOT, PHRASE).is(403);
    server.try_code(&folder.code(PILOT)).is(303);
    server.come_in(PILOT);
}

#[test]
fn a_code_lets_in_once_and_expires() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let code = folder.code(PILOT);
    let inside = Inside::of(&server.try_code(&code.to_lowercase().replace('-', "+")).is(303));
    server.get("/", &[inside.header()]).is(200);
    server.try_code(&code).is(403);
    let late = folder.code(PILOT);
    folder.sql("UPDATE code SET made_ms = made_ms - 600001");
    server.try_code(&late).is(403);
    let first = folder.code(PILOT);
    let second = folder.code(PILOT);
    server.try_code(&first).is(403);
    thread::sleep(Duration::from_millis(1100));
    server.try_code(&second).is(303);
}

#[test]
fn nothing_that_lets_in_is_kept_as_it_is() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let inside = server.come_in(PILOT);
    let code = folder.code(PILOT);
    let token = inside.cookie.split_once('=').unwrap().1;
    let raw: Vec<u8> = (0..token.len())
        .step_by(2)
        .map(|at| u8::from_str_radix(&token[at..at + 2], 16).unwrap())
        .collect();
    let form = inside.token(&server);
    let plain = code.replace('-', "");
    let secrets = [
        PHRASE.as_bytes(),
        token.as_bytes(),
        &raw,
        form.as_bytes(),
        code.as_bytes(),
        plain.as_bytes(),
    ];
    let mut looked_at = 0;
    for entry in fs::read_dir(folder.path("")).unwrap() {
        let path = entry.unwrap().path();
        let bytes = fs::read(&path).unwrap_or_default();
        looked_at += bytes.len();
        for secret in secrets {
            let found = bytes.windows(secret.len()).any(|part| part == secret);
            assert!(!found, "{}", path.display());
        }
    }
    assert!(looked_at > 10_000, "{looked_at}");
}
