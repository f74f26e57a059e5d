//! Every page: it answers, says who decides, has no script or style within it, and names no
//! other host.

use std::{collections::BTreeSet, fs};

use super::{
    http::Reply,
    server::{Server, folder},
};

const CAUTION: &str = "the pilot in command decides";
const READY: &str = "/stop/turnarounds/ready";

/// Addresses that a text leads to.
pub(crate) fn links(body: &str) -> BTreeSet<String> {
    let after = body.split("href=\"").skip(1).filter_map(|rest| rest.split('"').next());
    after.filter(|to| to.starts_with('/')).map(|to| to.replace("&amp;", "&")).collect()
}

/// What holds of every page, whatever its status.
#[track_caller]
pub(crate) fn sound(path: &str, reply: &Reply) {
    let body = &reply.body;
    assert!(body.starts_with("<!DOCTYPE html>"), "{path}: {body}");
    let title = body.split("<title>").nth(1).and_then(|rest| rest.split(" - Stillprop").next());
    assert!(title.is_some_and(|title| !title.is_empty()), "{path}");
    assert!(body.contains(CAUTION), "{path}");
    assert_eq!(body.matches("<h1").count(), 1, "{path}");
    for part in ["<main ", "<nav ", "<footer", "class=\"skip\"", "lang=\"en\""] {
        assert!(body.contains(part), "{path} has no {part}");
    }
    // In its own markup; in what a person wrote these are escaped.
    let tags: Vec<&str> =
        body.split('<').skip(1).filter_map(|rest| rest.split('>').next()).collect();
    for tag in tags {
        assert!(!tag.starts_with("style"), "{path}: {tag}");
        assert!(!tag.contains(" style="), "{path}: {tag}");
        assert!(!tag.contains(" on"), "{path}: {tag}");
        assert!(!tag.starts_with("script") || tag.contains("src=\"/web/"), "{path}: {tag}");
    }
    for script in body.split("<script").skip(1) {
        assert!(
            script.split_once('>').is_some_and(|(_, rest)| rest.starts_with("</script>")),
            "{path}"
        );
    }
    for host in ["http://", "https://"] {
        let elsewhere = body.replace("http://www.w3.org/2000/svg", "");
        assert!(!elsewhere.contains(host), "{path} names {host}");
    }
    let policy = reply.header("content-security-policy").unwrap();
    assert!(policy.contains("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
    assert_eq!(reply.header("cache-control"), Some("no-store"), "{path}");
    assert_eq!(reply.header("x-content-type-options"), Some("nosniff"), "{path}");
}

#[test]
fn every_page_that_a_link_leads_to_is_sound() {
    let server = Server::demo();
    let mut known: BTreeSet<String> =
        ["/", "/begin", "/yard/record/receive"].map(String::from).into();
    let mut open: Vec<String> = known.iter().cloned().collect();
    let mut count = 0;
    while let Some(path) = open.pop() {
        // A page has many workings, all made alike; some of each are enough.
        let many = path.contains("?why=") || path.starts_with("/print/");
        let skip = many && path.len() % 7 != 0;
        if skip || path.contains('#') {
            continue;
        }
        let reply = server.search(&path).is(200);
        count += 1;
        let own = !path.starts_with("/api/")
            && !path.starts_with("/web/")
            && !path.starts_with("/export/")
            && !path.starts_with("/print/")
            && !path.starts_with("/calendar");
        if own {
            sound(&path, &reply);
            for to in links(&reply.body) {
                if known.insert(to.clone()) {
                    open.push(to);
                }
            }
        }
    }
    assert!(count > 60, "{count}");
    for wanted in
        ["/packs", "/goods", "/due", "/yard", "/documents", READY, "/sheet/turnarounds/ready"]
    {
        assert!(known.contains(wanted), "nothing leads to {wanted}");
    }
    assert!(known.iter().any(|path| path.starts_with("/drum/")));
    for wanted in
        ["/papers", "/papers?stop=turnarounds/ready", "/print/sheet/turnarounds/ready.pdf"]
    {
        assert!(known.contains(wanted), "nothing leads to {wanted}");
    }
    assert!(known.iter().any(|path| path.starts_with("/yard/batch?name=")));
}

#[test]
fn what_is_not_there_is_a_page_that_says_so() {
    let server = Server::demo();
    for path in [
        "/nothing",
        "/stop/nothing",
        "/sheet/nothing",
        "/drum/nothing",
        "/web/nothing.css",
        "/document/nothing",
        "/export/nothing",
        "/print/load/nothing.pdf",
        "/print/load/turnarounds/ready",
        "/print/nothing/turnarounds/ready.pdf",
        "/papers?stop=nothing",
        "/stop/turnarounds/",
        "/stop",
    ] {
        let reply = server.get(path).is(404);
        sound(path, &reply);
    }
    assert_eq!(server.get("/api/stop/nothing").status, 404);
    sound("/", &server.post("/", &[]).is(405));
}

#[test]
fn the_first_page_has_the_stops_with_verdict_tightest_limit_and_what_is_next() {
    let server = Server::demo();
    let body = server.get("/").is(200).body;
    for part in [
        "Clinic round: Nessow Top to Oumbrel",
        "READY on what is assessed",
        "NOT READY",
        "Tightest: ",
        "% left",
        "% beyond",
        "not begun",
        "Due in the yard",
        "Demonstration",
        "too old",
    ] {
        assert!(body.contains(part), "{part}");
    }
    assert_eq!(body.matches("Run sheet").count(), 8);
}

#[test]
fn an_empty_folder_leads_to_own_data() {
    let folder = folder();
    let server = Server::serve(&folder);
    let body = server.get("/").is(200).body;
    assert!(body.contains("There is no turnaround in this folder yet"));
    assert!(!body.contains("Demonstration"));
    let body = server.get("/begin").is(200).body;
    assert!(body.contains("Copy it into this folder"));
    let reply = server.post("/begin", &[("aircraft", "comfrey-six")]).is(303);
    let to = reply.header("location").unwrap().to_owned();
    assert!(server.get(&to).is(200).body.contains("Reads well"));
    assert!(server.get("/").is(200).body.contains("QK-CSX"));
    // Where nobody recorded, there is no ledger.
    assert!(!folder.join("yard.ledger").exists());
    drop(server);
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn pages_with_pictures_stay_light() {
    let server = Server::demo();
    for path in [
        READY,
        "/stop/turnarounds/crowded-apron",
        "/yard",
        "/",
        "/sheet/turnarounds/ready",
        "/ways-out/turnarounds/spill",
        "/window/turnarounds/ready",
        "/odds/turnarounds/ready",
        "/fit/turnarounds/ready",
        "/park/turnarounds/crowded-apron",
    ] {
        server.search(path).is(200);
        let request =
            super::http::request("GET", &server.address, path, &[("Accept-Encoding", "gzip")]);
        let reply = super::http::raw(&server.address, request.as_bytes()).is(200);
        assert_eq!(reply.header("content-encoding"), Some("gzip"), "{path}");
        // The length of a page that is packed as it goes is not said; what came is counted in
        // characters, each at least a byte, replaced ones more.
        let style = server.get(
            &links(&server.get(path).body).into_iter().find(|to| to.ends_with(".css")).unwrap(),
        );
        let weight = reply.body.chars().count() + style.body.len();
        assert!(weight < 80_000, "{path}: {weight}");
        if path != "/" {
            assert!(weight > 5_000, "{path}: {weight}");
        }
    }
}

#[test]
fn pictures_are_in_the_page_with_the_words_that_say_the_same() {
    let server = Server::demo();
    let body = server.get(READY).is(200).body;
    assert_eq!(body.matches("role=\"img\"").count(), 6);
    assert!(body.contains("<title>Apron plan of Nessow Top"));
}

#[test]
fn a_name_given_in_the_page_is_kept_by_the_browser() {
    let server = Server::demo();
    let reply = server.post("/name", &[("by", "Wenna & Co"), ("back", "/yard")]).is(303);
    assert_eq!(reply.header("location"), Some("/yard"));
    let set = reply.header("set-cookie").unwrap();
    assert!(set.contains("HttpOnly") && set.contains("SameSite=Strict"));
    let cookie = set.split(';').next().unwrap();
    let request = super::http::request("GET", &server.address, "/yard", &[("Cookie", cookie)]);
    let body = super::http::raw(&server.address, request.as_bytes()).body;
    assert!(body.contains("value=\"Wenna &amp; Co\""));
    let reply = server.post("/name", &[("by", "A"), ("back", "https://evil.example/")]).is(303);
    assert_eq!(reply.header("location"), Some("/"));
}

#[test]
fn it_ends_when_it_is_told_to_and_waits_for_nobody() {
    let mut server = Server::demo();
    // A connection that says nothing does not hold it up.
    let _idle = std::net::TcpStream::connect(&server.address).unwrap();
    server.get("/").is(200);
    let pid = server.id().to_string();
    std::process::Command::new("kill").args(["-TERM", &pid]).status().unwrap();
    assert!(server.ended());
}
