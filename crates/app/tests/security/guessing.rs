//! Guessing passphrases and codes is slowed down, then refused; and nobody can lock the owner out.

use std::{
    thread,
    time::{Duration, Instant},
};

use crate::{
    client::Answer,
    program::{Folder, PHRASE, PILOT, Server},
};

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

/// How often an address gets an answer to a guess before it is told to wait.
#[cfg(target_os = "linux")]
fn tries(server: &Server, from: [u8; 4], guess: &str) -> usize {
    (0..10).take_while(|_| server.post_from(from, "/enter", guess).status == 403).count()
}

// Each machine has an address; here the whole of 127.0.0.0/8 is this machine, as on Linux alone.
#[cfg(target_os = "linux")]
#[test]
fn guessing_is_counted_by_name_and_by_address_and_locks_nobody_out_for_good() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let inside = server.come_in(PILOT);
    let guess = "name=Odrin+Kestow&phrase=guess+after+guess+after+guess";
    // By name: who has used up the tries of a name from one address has none from another.
    assert!((3..=4).contains(&tries(&server, [127, 0, 0, 2], guess)));
    assert!(tries(&server, [127, 0, 0, 3], guess) <= 2);
    // By address: other names are no help to who has been guessing.
    let other = "name=Ansa+Verrel&phrase=guess+after+guess+after+guess";
    assert!(tries(&server, [127, 0, 0, 2], other) <= 1);
    // Codes: as slow, and from an address of their own.
    assert!((3..=5).contains(&tries(&server, [127, 0, 0, 4], "code=AAAA-AAAA")));
    let code = folder.code(PILOT);
    let good = format!("code={code}");
    assert_eq!(server.post_from([127, 0, 0, 4], "/enter", &good).status, 429);
    // The owner: whoever has come in goes on; the name is made to wait, by code one comes in at
    // once, and then the name waits no longer for that address's failures.
    for _ in 0..3 {
        server.post_from([127, 0, 0, 5], "/enter", guess);
    }
    server.get("/", &[inside.header()]).is(200);
    let refused = server.try_phrase(PILOT, PHRASE);
    assert_eq!(refused.status, 429, "{}", refused.head);
    assert!(told(&refused) <= 900, "no wait is longer than a quarter of an hour");
    server.try_code(&code).is(303);
    thread::sleep(Duration::from_secs(told(&refused)));
    server.come_in(PILOT);
}
