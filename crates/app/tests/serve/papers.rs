//! Papers from the pages: every one that is offered is a PDF, on the sheet that was asked for.

use crate::server::Server;

fn links(body: &str) -> Vec<String> {
    let links = body.split("href=\"/print/").skip(1);
    let links = links.map(|rest| rest.split('"').next().unwrap().replace("&amp;", "&"));
    links.map(|rest| format!("/print/{rest}")).collect()
}

#[test]
fn every_paper_that_is_offered_is_a_pdf_with_its_name_and_kept_by_nobody() {
    let server = Server::demo();
    let address = "/papers?stop=turnarounds/ready&paper=letter&scale=1.5";
    let body = server.get(address).is(200).body;
    let all = links(&body);
    for kind in [
        "load", "fuel", "sheet", "briefing", "apron", "record", "spill", "tags", "labels",
        "register",
    ] {
        assert!(all.iter().any(|it| it.starts_with(&format!("/print/{kind}/"))), "{kind}: {all:?}");
    }
    assert_eq!(all.iter().filter(|it| it.contains("language=")).count(), 5);
    for (place, path) in all.iter().enumerate() {
        // One place and one month are enough: 26 tags with their codes take long without
        // optimisation.
        let month = path.starts_with("/print/register/") && place + 1 < all.len();
        if month || path.contains("Nessow%20Top") {
            continue;
        }
        let reply = server.get(path).is(200);
        assert_eq!(reply.header("content-type"), Some("application/pdf"), "{path}");
        assert_eq!(reply.header("cache-control"), Some("no-store"), "{path}");
        let name = reply.header("content-disposition").unwrap();
        assert!(name.starts_with("inline; filename=\"") && name.ends_with(".pdf\""), "{name}");
        assert!(reply.body.starts_with("%PDF-"), "{path}");
        assert!(path.contains("paper=letter&scale=1.5"), "{path}");
    }
    // That each size is what it says is tried with `print`; here, that the address reaches it.
    let load =
        |asked: &str| server.get(&format!("/print/load/turnarounds/ready.pdf{asked}")).is(200).body;
    assert_eq!(load(""), load("?paper=a4&scale=1"));
    assert_ne!(load(""), load("?paper=letter"));
    assert_ne!(load(""), load("?scale=1.5"));
}

#[test]
fn what_cannot_be_printed_says_why_and_the_way_out() {
    let server = Server::demo();
    for (asked, way_out) in [
        ("/print/load/turnarounds/ready.pdf?scale=9", "large print"),
        ("/print/load/turnarounds/ready.pdf?scale=x", "large print"),
        ("/print/load/turnarounds/ready.pdf?paper=a5", "it can be: a4, letter"),
        ("/print/briefing/turnarounds/ready.pdf?language=xx", "en, fr, es, pt, ar"),
        ("/print/register/May.pdf", "write it as 2026-05"),
        ("/print/labels/Nowhere.pdf", "nothing is at"),
    ] {
        let body = server.get(asked).is(422).body;
        assert!(body.contains(way_out), "{asked}: {body}");
    }
}

#[test]
fn the_pages_of_stop_sheet_yard_and_drum_lead_to_their_papers() {
    let server = Server::demo();
    for (page, papers) in [
        ("/stop/turnarounds/ready", "/papers?stop=turnarounds/ready"),
        ("/sheet/turnarounds/ready", "/papers?stop=turnarounds/ready"),
        ("/yard", "\"/papers\""),
        ("/drum/NT-09", "/print/tags/"),
    ] {
        assert!(server.get(page).is(200).body.contains(papers), "{page}");
    }
}
