//! The yard through its pages: what is recorded there is what the command line would have
//! recorded.

use super::server::Server;

fn drum(server: &Server, label: &str) -> String {
    let body = server.get("/yard").is(200).body;
    let before = body.split(&format!("\">{label}</a>")).next().unwrap();
    before.rsplit("/drum/").next().unwrap().to_owned()
}

fn token(body: &str) -> String {
    let rest = body.split("name=\"token\" value=\"").nth(1).unwrap();
    rest.split('"').next().unwrap().to_owned()
}

#[test]
fn a_drum_is_opened_by_its_code_its_id_and_its_label() {
    let server = Server::demo();
    let id = drum(&server, "NT-09");
    let page = server.get(&format!("/drum/{id}")).is(200).body;
    assert!(page.contains("NT-09 at Nessow Top") && page.contains("History"));
    assert_eq!(
        server.get(&format!("/drum/stillprop:drum:{id}")).is(200).body.len(),
        page.len() + 15
    );
    server.get("/drum/NT-09").is(200);
}

#[test]
fn what_is_recorded_on_a_page_moves_the_book() {
    let server = Server::demo();
    let id = drum(&server, "NT-09");
    let left = |server: &Server| {
        let body = server.get(&format!("/drum/{id}")).is(200).body;
        body.split("<dt>left</dt><dd>").nth(1).unwrap().split('<').next().unwrap().to_owned()
    };
    let before = left(&server);
    let form = server.get(&format!("/yard/record/draw?drum={id}")).is(200).body;
    assert!(form.contains("Fuel was drawn: NT-09 at Nessow Top"));
    let token = token(&form);
    let fields =
        [("drum", id.as_str()), ("token", token.as_str()), ("volume", "5 L"), ("waste", "on")];
    for _ in 0..2 {
        let reply = server.post("/yard/record/draw", &fields).is(303);
        assert_eq!(reply.header("location"), Some(format!("/drum/{id}").as_str()));
    }
    let number = |text: &str| text.trim_end_matches(" L").parse::<f64>().unwrap();
    assert!((number(&before) - number(&left(&server)) - 5.0).abs() < 1e-9);
    assert!(server.get(&format!("/drum/{id}")).body.contains("Odrin Kestow"));
}

#[test]
fn what_is_wrong_stands_beside_its_field_and_what_cannot_be_is_said() {
    let server = Server::demo();
    let id = drum(&server, "NT-09");
    let body =
        server.post("/yard/record/sample", &[("drum", &id), ("density", "0.7 kg/L")]).is(422).body;
    for words in
        ["say how it looks", "say what the paste says", "it is empty", "says little without"]
    {
        assert!(body.contains(words), "{words}");
    }
    let fields = [("drum", id.as_str()), ("volume", "900 L"), ("waste", "on")];
    let body = server.post("/yard/record/draw", &fields).is(422).body;
    assert!(body.contains("the book says that only"));
    let fields = [("drum", id.as_str()), ("volume", "5 L")];
    assert!(server.post("/yard/record/draw", &fields).is(422).body.contains("say one of them"));
    assert!(
        server.post("/yard/record/count", &[("volume", "5")]).is(422).body.contains("it is empty")
    );
}

#[test]
fn a_container_comes_in_is_stood_sampled_and_counted() {
    let server = Server::demo();
    let fields = [
        ("label", "X<1>"),
        ("place", "Nessow Top"),
        ("grade", "avgas 100LL"),
        ("batch", "B & 1"),
        ("supplier", "S"),
        ("filled", "2026-10-01"),
        ("contents", "200 L"),
        ("capacity", "216.5 L"),
        ("seals", "1, 2"),
    ];
    let reply = server.post("/yard/record/receive", &fields).is(303);
    let to = reply.header("location").unwrap().to_owned();
    let body = server.get(&to).is(200).body;
    assert!(body.contains("X&lt;1&gt; at Nessow Top") && !body.contains("X<1>"));
    assert!(server.post("/yard/record/receive", &fields).is(422).body.contains("already"));
    let id = to.trim_start_matches("/drum/").to_owned();
    server.post("/yard/record/stand", &[("drum", &id), ("tilted", "on")]).is(303);
    let sample =
        [("drum", id.as_str()), ("appearance", "clear"), ("colour", "blue"), ("paste", "dry")];
    server.post("/yard/record/sample", &sample).is(303);
    server.post("/yard/record/count", &[("drum", &id), ("volume", "199 L")]).is(303);
    let body = server.get(&to).body;
    for words in ["stood upright and tilted", "sampled ", "counted: 199 L in it", "<dd>199 L</dd>"]
    {
        assert!(body.contains(words), "{words}: {body}");
    }
    assert!(server.get("/yard/batch?name=B%20%26%201").is(200).body.contains("B &amp; 1"));
}
