//! A session that is over, or is somebody else's, lets nobody in.

use crate::{
    client::Inside,
    kept::{kept, unchanged},
    program::{Folder, PHRASE, PILOT, Server},
};

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

#[test]
fn a_cookie_means_nothing_here() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let inside = server.come_in(crate::program::PILOT);
    let token = inside.token(&server);
    server.kill();
    let server = Server::loopback(&folder);
    server.get("/", &[inside.header()]).is(200);
    server.post("/nowhere", &[inside.header()], &format!("form-token={token}")).is(403);
}

/// What a thief tries with a cookie and the token of its forms.
#[track_caller]
fn lets_nobody_in(server: &Server, stolen: &Inside, token: &str, what: &str) {
    for path in ["/", "/yard", "/document/turnarounds/ready", "/export/turnarounds/ready"] {
        let answer = server.get(path, &[stolen.header()]).is(303);
        assert!(answer.header("location").starts_with("/enter?to="), "{what}");
    }
    server
        .get("/part/stop/turnarounds/ready", &[stolen.header(), ("Sec-Fetch-Mode", "cors")])
        .is(401);
    for path in ["/api/stops", "/api/yard", "/api/drum/NT-01"] {
        server.get(path, &[stolen.header()]).is(401);
    }
    let own = server.origin();
    for path in
        ["/yard/record/receive", "/begin", "/documents", "/leave", "/sheet/turnarounds/ready"]
    {
        let headers = [stolen.header(), ("Origin", own.as_str())];
        let body = format!("form-token={token}&{RECEIVE}&do=begin&aircraft=fennel-four");
        assert_eq!(server.post(path, &headers, &body).status, 401, "{what}: {path}");
    }
}

const RECEIVE: &str = "label=NEW&place=P&grade=avgas+100LL&batch=B&supplier=S&filled=2025-03-14&\
    contents=200+L&capacity=216.5+L";

#[test]
fn a_stolen_cookie_is_nothing_once_its_session_is_over() {
    let folder = Folder::with_pilot().with_demo();
    for (name, role) in
        [("Ansa Verrel", "pilot"), ("Wenna Tarrow", "pilot"), ("Jory Ammet", "pilot")]
    {
        folder.add(name, role);
    }
    let server = Server::lan_demo(&folder);
    let come_in = |name: &str| {
        let inside = server.come_in(name);
        let token = inside.token(&server);
        (inside, token)
    };
    let stays = server.come_in(PILOT);
    let (left, removed, changed) =
        (come_in(PILOT), come_in("Ansa Verrel"), come_in("Wenna Tarrow"));
    let (lowered, token) = come_in("Jory Ammet");
    left.0.post(&server, "/leave", "").is(303);
    folder.run(&["people", "remove", "Ansa Verrel"], "").ends(0);
    folder.run(&["people", "passphrase", "Wenna Tarrow"], "another quite long phrase\n").ends(0);
    folder.run(&["people", "role", "Jory Ammet", "viewer"], "").ends(0);
    let before = kept(&folder);
    let all = [(&left, "left"), (&removed, "removed"), (&changed, "another passphrase")];
    for ((stolen, token), what) in all {
        lets_nobody_in(&server, stolen, token, what);
    }
    // Who may only read now, reads, and records nothing with the cookie of before.
    server.get("/", &[lowered.header()]).is(200);
    let body = format!("form-token={token}&{RECEIVE}");
    server.post("/yard/record/receive", &[lowered.header()], &body).is(403);
    unchanged(&folder, &before, "a stolen session");
    // The name back again is not the session back again; nor does a restart bring any back.
    folder.add("Ansa Verrel", "pilot");
    lets_nobody_in(&server, &removed.0, &removed.1, "the same name again");
    let before = kept(&folder);
    server.kill();
    let server = Server::lan_demo(&folder);
    for ((stolen, token), what) in all {
        lets_nobody_in(&server, stolen, token, what);
    }
    server.post("/yard/record/receive", &[lowered.header()], &body).is(403);
    unchanged(&folder, &before, "after a restart");
    server.get("/", &[stays.header()]).is(200);
    stays.post(&server, "/yard/record/receive", RECEIVE).is(303);
    assert_eq!(kept(&folder).count(), before.count() + 1);
}

#[test]
fn no_part_of_a_cookie_and_no_other_cookie_lets_in() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let inside = server.come_in(PILOT);
    let (name, token) = inside.cookie.split_once('=').unwrap();
    let last = if token.ends_with('0') { "1" } else { "0" };
    let form = inside.token(&server);
    for value in [
        format!("{name}={}{last}", &token[..token.len() - 1]),
        format!("{name}={}", &token[..token.len() - 2]),
        format!("{name}={token}0"),
        format!("{name}={token}%00"),
        format!("{name}=\"{token}\""),
        format!("{name}={form}"),
        format!("stillprop={token}"),
        format!("{name}={token}; {name}={token}"),
        format!("{name}=' OR 1=1 --"),
    ] {
        assert_eq!(server.get("/", &[("Cookie", &value)]).status, 303, "{value}");
    }
    server.get("/", &[inside.header()]).is(200);
}
