//! What to change: each search as a page, bounded, and written into a new version of the document.

use std::fs;

use serde_json::Value;

use super::{
    http::form,
    pages::{links, sound},
    server::Server,
};

const ASKS: [&str; 5] = ["ways-out", "window", "fit", "odds", "park"];

fn json(server: &Server, path: &str) -> Value {
    serde_json::from_str(&server.search(path).is(200).body).unwrap()
}

/// The fields of the form that writes, by its `number` on the page.
fn fields(body: &str, number: usize) -> Vec<(String, String)> {
    let form = body.split("<form class=\"write\"").nth(number + 1).unwrap();
    let form = form.split("</form>").next().unwrap();
    let hidden = form.split("type=\"hidden\" name=\"").skip(1);
    let plain =
        |text: &str| text.replace("&quot;", "\"").replace("&amp;", "&").replace("&#39;", "'");
    hidden
        .filter_map(|rest| {
            let (name, rest) = rest.split_once("\" value=\"")?;
            Some((name.to_owned(), plain(rest.split('"').next()?)))
        })
        .collect()
}

/// Presses the button of a page that writes; gives the new version.
#[track_caller]
fn written(server: &Server, page: &str, number: usize) -> String {
    let body = server.search(page).is(200).body;
    let own = fields(&body, number);
    let own: Vec<(&str, &str)> = own.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    let path = page.split('?').next().unwrap();
    let reply = server.post(&format!("/save{path}"), &own).is(303);
    reply.header("location").unwrap().strip_prefix("/stop/").unwrap().to_owned()
}

#[test]
fn the_page_of_a_stop_leads_to_each_search_and_each_to_the_others() {
    let server = Server::demo();
    let to = |path: &str| server.search(path).is(200).body;
    let stop = to("/stop/turnarounds/over-mass");
    assert!(stop.contains("What to change?"));
    assert!(links(&stop).contains("/ways-out/turnarounds/over-mass"));
    for ask in ASKS {
        let path = format!("/{ask}/turnarounds/over-mass");
        let reply = server.search(&path).is(200);
        sound(&path, &reply);
        for other in ASKS {
            assert!(links(&reply.body).contains(&format!("/{other}/turnarounds/over-mass")));
        }
        assert!(links(&reply.body).contains("/stop/turnarounds/over-mass"), "{ask}");
        assert_eq!(reply.body.matches("aria-current=\"page\"").count(), 1, "{ask}");
    }
    // Once they are known, the page of the stop has the first of them.
    let stop = to("/stop/turnarounds/over-mass");
    assert!(stop.contains("Take 6.0 USgal less fuel"), "{stop}");
    // A stop that is ready has nothing to mend, and room to look at.
    assert!(links(&to("/stop/turnarounds/ready")).contains("/window/turnarounds/ready"));
}

#[test]
fn each_page_says_what_the_command_line_says() {
    let server = Server::demo();
    for (path, all) in [
        (
            "/ways-out/turnarounds/over-mass",
            &[
                "2 ways out",
                "Leave 32 lb of the bags behind",
                "6.0 USgal of fuel",
                "assessed in full",
            ][..],
        ),
        ("/ways-out/turnarounds/missing", &["Find out first"]),
        ("/ways-out/turnarounds/ready", &["no change is needed"]),
        (
            "/window/turnarounds/last-light",
            &["NOT IN THE WINDOW", "05:07 to 16:47", "light.departure", "last light 18:21", "<svg"],
        ),
        ("/window/turnarounds/over-mass", &["NO WINDOW", "no other time mends it"]),
        (
            "/odds/turnarounds/ready",
            &[
                "in 100 flights like this",
                "By the count it lies between",
                "What to measure first",
                "<svg",
            ],
        ),
        ("/odds/turnarounds/over-mass", &["NOT READY", "It broke in every one of the draws"]),
        (
            "/fit/turnarounds/mid-burn",
            &[
                "FITS",
                "proved best",
                "survival pack and water",
                "aft locker",
                "<h3>Now</h3>",
                "<svg",
            ],
        ),
        ("/fit/turnarounds/missing", &["NOT KNOWN", "no arrangement can be judged"]),
        (
            "/park/turnarounds/crowded-apron",
            &["A PLACE THAT HOLDS", "proven over", "site.fuel.generator", "<title>Apron plan"],
        ),
        ("/park/turnarounds/spill", &["NO PLACE"]),
    ] {
        let body = server.search(path).is(200).body;
        for words in all {
            assert!(body.contains(words), "{path}: {words}\n{body}");
        }
    }
}

#[test]
fn every_way_out_is_written_as_a_new_version_and_what_was_saved_stays() {
    let server = Server::demo();
    let before = server.text("turnarounds/over-mass");
    let next = written(&server, "/ways-out/turnarounds/over-mass", 0);
    assert_eq!(next, "turnarounds/over-mass-2");
    assert_eq!(json(&server, &format!("/api/stop/{next}"))["ready"], true);
    assert!(server.text(&next).contains("uplift = \"10 USgal\""), "{}", server.text(&next));
    let other = written(&server, "/ways-out/turnarounds/over-mass", 1);
    assert_eq!(json(&server, &format!("/api/stop/{other}"))["ready"], true);
    assert!(server.text(&other).contains("mass = \"86 lb\""), "{}", server.text(&other));
    assert_eq!(server.text("turnarounds/over-mass"), before);
    // The same again is the same version.
    assert_eq!(written(&server, "/ways-out/turnarounds/over-mass", 0), next);
}

#[test]
fn a_time_a_loading_and_a_place_are_written_too() {
    let server = Server::demo();
    let time = written(&server, "/window/turnarounds/last-light", 0);
    assert!(server.text(&time).contains("departs = 2026-12-03T16:47:00+05:30"));
    assert_eq!(json(&server, &format!("/api/stop/{time}"))["ready"], true);
    let loading = written(&server, "/fit/turnarounds/mid-burn", 0);
    let limits = json(&server, &format!("/api/stop/{loading}"));
    let breaks = limits["limits"].as_array().unwrap().iter().any(|it| it["verdict"] == "breaks");
    assert!(!breaks, "{limits}");
    let place = written(&server, "/park/turnarounds/crowded-apron", 0);
    let ground = json(&server, &format!("/api/ground/{place}"));
    assert!(!ground.to_string().contains("\"breaks\""), "{ground}");
}

#[test]
fn what_is_no_longer_so_is_not_written() {
    let server = Server::demo();
    let page = "/ways-out/turnarounds/over-mass";
    let own = fields(&server.search(page).is(200).body, 0);
    let field = |name: &str| own.iter().find(|(it, _)| it == name).unwrap().1.as_str();
    let (seen, way) = (field("seen"), field("way"));
    for (fields, words) in [
        (vec![("seen", "0123456789abcdef"), ("way", way)], "have changed since"),
        (vec![("seen", seen), ("way", "0123456789abcdef")], "have changed since"),
        (vec![("way", way)], "have changed since"),
        // Typed since, so that it is another text.
        (vec![("seen", seen), ("way", way), ("people.1.mass", "60 kg")], "have changed since"),
        (vec![], "have changed since"),
    ] {
        let reply = server.post(&format!("/save{page}"), &fields).is(422);
        sound(page, &reply);
        assert!(reply.body.contains(words), "{fields:?}: {}", reply.body);
    }
    for (page, status) in [
        ("/save/ways-out/nothing", 404),
        ("/save/fit/turnarounds/missing", 422),
        ("/save/window/turnarounds/over-mass", 422),
        ("/save/park/turnarounds/spill", 422),
    ] {
        server.post(page, &[("seen", seen)]).is(status);
    }
    assert_eq!(fs::read_dir(server.folder.join("turnarounds")).unwrap().count(), 8);
}

#[test]
fn what_was_typed_and_not_saved_is_asked_about_and_written_with_what_was_found() {
    let server = Server::demo();
    let more = form(&[("people.3.mass", "225 lb")]);
    let stop = server.get(&format!("/stop/turnarounds/over-mass?{more}")).is(200).body;
    let page = format!("/ways-out/turnarounds/over-mass?{more}");
    assert!(links(&stop).contains(&page), "{:?}", links(&stop));
    let body = server.search(&page).is(200).body;
    assert!(body.contains("As changed on its page, not saved"));
    assert!(links(&body).contains(&format!("/fit/turnarounds/over-mass?{more}")));
    let next = written(&server, &page, 0);
    let text = server.text(&next);
    assert!(text.contains("mass = \"225 lb\""), "{text}");
    assert_eq!(json(&server, &format!("/api/stop/{next}"))["ready"], true, "{text}");
}

#[test]
fn what_cannot_be_asked_of_a_fit_is_said_and_stays_in_the_form() {
    let server = Server::demo();
    for (asked, words) in [
        ("fuel=nonsense", "nothing to do with fuel"),
        ("step=five", "`five`"),
        ("step=0+L", "more than nothing"),
        ("step=0.001+mL", "too small for these tanks"),
        ("ballast=-5+kg", "has a mass"),
        ("ballast=5+kg&pieces=99", "no number of pieces"),
        ("keep=Nobody", "called `Nobody`"),
        ("together=Marro+Teel", "does not name two people"),
        ("fuel=spread&step=7+L", "no whole number of steps"),
    ] {
        let path = format!("/fit/turnarounds/mid-burn?{asked}");
        let reply = server.get(&path).is(422);
        sound(&path, &reply);
        assert!(reply.body.contains(words), "{asked}: {}", reply.body);
        assert!(reply.body.contains("<details open>"), "{asked}");
        server.get(&format!("/api{path}")).is(422);
    }
    let kept = "/fit/turnarounds/mid-burn?seats-stay=on&keep=survival+pack+and+water&fuel=stay";
    let body = server.search(kept).is(200).body;
    assert!(body.contains("name=\"seats-stay\" value=\"on\" checked"), "{body}");
    assert!(body.contains("value=\"survival pack and water\" checked"), "{body}");
    let answer = json(&server, &format!("/api{kept}"));
    let items = answer["where"]["items"].as_array();
    let stays = items.is_none_or(|items| {
        items
            .iter()
            .any(|it| it["what"] == "survival pack and water" && it["before"] == it["after"])
    });
    assert!(stays, "{answer}");
}

#[test]
fn a_search_of_one_keeps_nobody_else_waiting() {
    let server = Server::demo();
    server.get("/stop/turnarounds/ready").is(200);
    let (address, busy) = (server.address.clone(), 24);
    let asked: Vec<_> = (0..busy)
        .map(|number| {
            let address = address.clone();
            // Each asks of something else, so that nothing is known already.
            let path = format!("/window/turnarounds/ready?people.1.mass={}+kg", 50 + number);
            std::thread::spawn(move || {
                let request = super::http::request("GET", &address, &path, &[]);
                super::http::raw(&address, request.as_bytes()).status
            })
        })
        .collect();
    // One turn, eight who wait: the others are told, and pages without a search come all the same.
    server.get("/stop/turnarounds/ready").is(200);
    server.get("/yard").is(200);
    let statuses: Vec<u16> = asked.into_iter().map(|it| it.join().unwrap()).collect();
    assert!(statuses.iter().all(|status| [200, 503].contains(status)), "{statuses:?}");
    assert!(statuses.contains(&200) && statuses.contains(&503), "{statuses:?}");
    server.search("/window/turnarounds/ready").is(200);
}
