//! A turnaround changed on its page: margins move, what is wrong stands beside its field, and a
//! new version is a new file.

use std::fs;

use serde_json::Value;

use super::{http::form, server::Server};

const STOP: &str = "/stop/turnarounds/ready";
const MORE: [(&str, &str); 5] = [
    ("people.1.mass", "95 kg"),
    ("people.new.name", "Ulo Kesk"),
    ("people.new.seat", "3R"),
    ("people.new.mass", "90 kg"),
    ("people.new.known", "weighed"),
];

fn share(server: &Server, fields: &[(&str, &str)], id: &str) -> f64 {
    let answer = server.get(&format!("/api{STOP}?{}", form(fields))).is(200);
    let value: Value = serde_json::from_str(&answer.body).unwrap();
    let limit = value["limits"].as_array().unwrap().iter().find(|limit| limit["id"] == id).unwrap();
    limit["measure"]["share"].as_f64().unwrap()
}

#[test]
fn a_change_moves_the_margins_and_says_by_how_much() {
    let server = Server::demo();
    let before = server.get(STOP).is(200).body;
    assert!(!before.contains("class=\"moved\"") && before.contains("READY on what is assessed"));
    let after = server.get(&format!("{STOP}?{}", form(&MORE))).is(200).body;
    assert!(after.contains("NOT READY") && after.contains("As saved it is READY"));
    assert!(after.contains("less room: was"));
    assert!(after.contains("value=\"Ulo Kesk\"") && after.contains("value=\"95 kg\""));
    let id = "load.take-off-mass";
    assert!(share(&server, &MORE, id) < share(&server, &[], id) - 0.05);
    // Nothing was written.
    assert!(!server.text("turnarounds/ready").contains("Ulo"));
    assert_eq!(fs::read_dir(server.folder.join("turnarounds")).unwrap().count(), 8);
}

#[test]
fn each_kind_of_change_moves_its_limit() {
    let server = Server::demo();
    for (field, new, id) in [
        ("people.3.mass", "80 kg", "load.take-off-mass"),
        ("items.0.mass", "80 kg", "load.take-off-mass"),
        ("fuel.tanks.0.on_board", "61 L", "fuel.required"),
        ("departs", "2026-12-03T14:40", "light.arrival.Taskel-Bend"),
        ("weather.temperature", "34 degC", "strip.take-off-distance"),
        ("ground.at", "14, 5", "site.hose"),
    ] {
        let answer = server.get(&format!("/api{STOP}?{}", form(&[(field, new)]))).is(200);
        let now: Value = serde_json::from_str(&answer.body).unwrap();
        let saved: Value = serde_json::from_str(&server.get(&format!("/api{STOP}")).body).unwrap();
        let of = |value: &Value| {
            let all = value["limits"].as_array().unwrap();
            let found = all.iter().find(|limit| limit["id"] == id);
            found.unwrap_or_else(|| panic!("{id}: {all:#?}"))["measure"]["share"].as_f64()
        };
        assert_ne!(of(&now), of(&saved), "{field}");
    }
}

#[test]
fn the_part_for_the_script_is_the_part_of_the_page() {
    let server = Server::demo();
    let query = form(&MORE);
    let part = server.get(&format!("/part{STOP}?{query}")).is(200).body;
    let page = server.get(&format!("{STOP}?{query}")).is(200).body;
    assert!(part.starts_with("<h1>") && page.contains(&part));
}

#[test]
fn what_is_wrong_stands_beside_its_field() {
    let server = Server::demo();
    for (field, wrong, words) in [
        ("people.1.mass", "95", "has no unit"),
        ("people.1.seat", "9Z", "9Z"),
        ("weather.temperature", "warm", "warm"),
        ("departs", "soon", "soon"),
    ] {
        let reply = server.get(&format!("{STOP}?{}", form(&[(field, wrong)]))).is(422);
        let body = reply.body;
        assert!(body.contains(&format!("data-field=\"{field}\"")), "{field}: {body}");
        let input =
            body.split(&format!("id=\"{field}\"")).nth(1).unwrap().split("</div>").next().unwrap();
        assert!(
            input.contains("aria-invalid=\"true\"") && input.contains("class=\"error\""),
            "{field}"
        );
        assert!(body.contains(words), "{field}");
        // The figures as saved are still there.
        assert!(
            body.contains("Below it stands as it is saved") && body.contains("Tightest limits")
        );
        // What was typed stays, and a browser begins there without a script.
        assert!(input.contains(&format!("aria-describedby=\"{field}-error\"")), "{field}");
        assert!(input.contains(&format!("id=\"{field}-error\"")), "{field}: {input}");
        assert!(input.contains("autofocus") && body.matches("autofocus").count() == 1, "{field}");
        assert!(body.contains(&format!("value=\"{wrong}\"")), "{field}");
        let fields = [(field, wrong)];
        server.post(&format!("/save{STOP}"), &fields).is(422);
    }
    assert_eq!(fs::read_dir(server.folder.join("turnarounds")).unwrap().count(), 8);
}

#[test]
fn an_error_of_a_new_person_stands_beside_the_new_fields() {
    let server = Server::demo();
    let fields = [
        ("people.0.away", "on"),
        ("people.new.name", "Ulo"),
        ("people.new.known", "weighed"),
        ("people.new.mass", "heavy"),
    ];
    let body = server.get(&format!("{STOP}?{}", form(&fields))).is(422).body;
    assert!(body.contains("data-field=\"people.new.mass\""), "{body}");
}

#[test]
fn a_box_that_was_ticked_stays_ticked() {
    let server = Server::demo();
    let boxed = |body: &str| body.split("people.1.away\"").nth(1).unwrap().starts_with(" checked");
    assert!(!boxed(&server.get(STOP).is(200).body));
    assert!(boxed(&server.get(&format!("{STOP}?people.1.away=on")).is(200).body));
}

/// A browser sends what stands in the form, and nothing else.
#[test]
fn the_form_that_saves_has_its_token_and_looking_leaves_none_in_the_address() {
    let server = Server::demo();
    let page = server.get(STOP).is(200);
    let form_tag = page.body.split("<form class=\"change\"").nth(1).unwrap();
    let (head, inside) = form_tag.split_once('>').unwrap();
    assert!(head.contains("method=\"post\"") && head.contains("action=\"/save/stop/"), "{head}");
    let field = inside.split('>').next().unwrap();
    assert!(field.contains("name=\"form-token\""), "{field}");
    let token = field.split("value=\"").nth(1).unwrap().trim_end_matches('"');
    let fields = form(&[("form-token", token), ("people.1.mass", "63.5 kg")]);
    let length = fields.len().to_string();
    let origin = format!("http://{}", server.address);
    let headers = [
        ("Content-Type", "application/x-www-form-urlencoded"),
        ("Content-Length", length.as_str()),
        ("Origin", origin.as_str()),
    ];
    let post = super::http::request("POST", &server.address, &format!("/save{STOP}"), &headers);
    super::http::raw(&server.address, format!("{post}{fields}").as_bytes()).is(303);
    let seen = server.get(&format!("{STOP}?{fields}")).is(303);
    assert_eq!(seen.header("location"), Some("/stop/turnarounds/ready?people.1.mass=63.5%20kg"));
}

#[test]
fn the_aeroplane_can_be_moved_on_the_plan_and_every_spill_is_drawn() {
    let server = Server::demo();
    let page = server.get(STOP).is(200).body;
    let plan = page.split("class=\"movable\"").nth(1).unwrap();
    let said = |name: &str| {
        let text = plan.split(&format!("{name}=\"")).nth(1).unwrap().split('"').next().unwrap();
        text.split(' ').map(|number| number.parse::<f64>().unwrap()).collect::<Vec<_>>()
    };
    assert_eq!((said("data-east"), said("data-north")), (vec![15.0], vec![3.0]));
    assert_eq!((said("data-nose"), said("data-unit")), (vec![242.0], vec![1.0]));
    let [scale, _, _] = said("data-plan")[..] else { panic!("{plan}") };
    assert!(scale > 1.0, "{scale}");
    // Moved as the script does it: the distances move, and the plan with them.
    let moved = form(&[("ground.at", "17.5, 4"), ("ground.heading", "200 degT")]);
    let part = server.get(&format!("/part{STOP}?{moved}")).is(200).body;
    assert!(part.contains("data-east=\"17.50\"") && part.contains("data-nose=\"200.0\""));
    assert!(part.contains("<small>was ") && part.contains("class=\"moved\""), "{part}");

    let path = server.folder.join("turnarounds/spill.toml");
    let text = fs::read_to_string(&path).unwrap();
    let last = "molar_mass = \"95 g/mol\" },\n";
    let other = "  { what = \"from a can\", volume = \"3 L\", at = [6, 2], across = \"2 m\" },\n";
    let two = text.replacen(last, &format!("{last}{other}"), 1);
    assert_ne!(two, text);
    fs::write(&path, two).unwrap();
    let page = server.get("/stop/turnarounds/spill").is(200).body;
    assert!(page.contains("from a can, 3 L"), "{page}");
}

#[test]
fn saving_makes_a_new_file_and_never_writes_over_one() {
    let server = Server::demo();
    let old = server.text("turnarounds/ready");
    let change = [("people.1.mass", "63.5 kg")];
    let reply = server.post(&format!("/save{STOP}"), &change).is(303);
    assert_eq!(reply.header("location"), Some("/stop/turnarounds/ready-2"));
    assert_eq!(server.text("turnarounds/ready"), old);
    let new = server.text("turnarounds/ready-2");
    let differ: Vec<_> = new.lines().zip(old.lines()).filter(|(new, old)| new != old).collect();
    assert_eq!(differ, [("mass = \"63.5 kg\"", "mass = \"58 kg\"")]);
    assert!(new.contains("# The weather box at the top end"));
    // The same again is the same version; another change is the next.
    let reply = server.post(&format!("/save{STOP}"), &change).is(303);
    assert_eq!(reply.header("location"), Some("/stop/turnarounds/ready-2"));
    let reply = server.post(&format!("/save{STOP}"), &[("people.1.mass", "64 kg")]).is(303);
    assert_eq!(reply.header("location"), Some("/stop/turnarounds/ready-3"));
    let reply =
        server.post("/save/stop/turnarounds/ready-2", &[("people.1.mass", "65 kg")]).is(303);
    assert_eq!(reply.header("location"), Some("/stop/turnarounds/ready-4"));
    // Nothing changed, nothing written.
    let reply = server.post(&format!("/save{STOP}"), &[]).is(303);
    assert_eq!(reply.header("location"), Some(STOP));
}

#[test]
fn every_number_opens_its_working() {
    let server = Server::demo();
    let body = server.get(&format!("{STOP}?why=load.take-off-mass")).is(200).body;
    for part in ["Working of load.take-off-mass", "gives ", "1650 kg"] {
        assert!(body.contains(part), "{part}");
    }
    let sourced = server.get(&format!("{STOP}?why=strip.take-off-distance")).is(200).body;
    assert!(sourced.contains("Source: ") && sourced.contains("(read: "));
    let changed = format!("{STOP}?why=load.take-off-mass&{}", form(&MORE));
    assert_ne!(server.get(&changed).is(200).body, body);
    // In the tables every cell is a link to its working, as changed where it was changed.
    let page = server.get(&format!("{STOP}?{}", form(&MORE))).is(200).body;
    let mut opened = 0;
    for part in page.split("<td>").skip(1) {
        let cell = part.split("</td>").next().unwrap();
        if cell.contains("verdict") {
            continue;
        }
        let to = cell.split("href=\"").nth(1).unwrap_or_else(|| panic!("no link: {cell}"));
        let to = to.split('"').next().unwrap().replace("&amp;", "&");
        assert!(to.contains("people.new.name=Ulo"), "{to}");
        opened += 1;
        if opened % 5 == 0 {
            let working = server.get(&to).is(200).body;
            assert!(working.contains("<h1>Working of ") && working.contains("gives "), "{to}");
        }
    }
    assert!(opened > 40, "{opened}");
    let none = server.get(&format!("{STOP}?why=load.nothing")).is(422).body;
    assert!(none.contains("there is no limit"));
}

#[test]
fn a_changed_document_is_worked_out_again() {
    let server = Server::demo();
    let path = server.folder.join("aircraft/comfrey-six.toml");
    let before = server.get(&format!("/api{STOP}")).body;
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("take_off_mass = \"1650 kg\"", "take_off_mass = \"1500 kg\""))
        .unwrap();
    let after = server.get(&format!("/api{STOP}")).body;
    assert_ne!(before, after);
    assert!(server.get("/").body.contains("load.take-off-mass"));
}
