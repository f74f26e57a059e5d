//! The run sheet in the hand: steps are kept once and for good, two phones see each other, and
//! what does not pass does not pass.

use std::{fs, process::Command};

use super::server::{Server, folder};

/// Fuel from a pump the pilot works: nothing in it waits for drums to settle.
pub(crate) const SHEET: &str = "/sheet/turnarounds/over-mass";

pub(crate) fn field(body: &str, name: &str) -> String {
    let rest = body.split(&format!("name=\"{name}\" value=\"")).nth(1).unwrap_or_default();
    rest.split('"').next().unwrap_or_default().to_owned()
}

pub(crate) fn task(body: &str) -> String {
    let rest = body.split("data-task=\"").nth(1).unwrap_or_default();
    rest.split('"').next().unwrap_or_default().to_owned()
}

fn title(body: &str) -> String {
    let rest = body.split("<h2 class=\"task\">").nth(1).unwrap_or_default();
    rest.split('<').next().unwrap_or_default().to_owned()
}

fn begin(server: &Server) {
    begin_at(server, SHEET);
}

fn begin_at(server: &Server, sheet: &str) {
    let token = field(&server.get(sheet).is(200).body, "token");
    server.post(sheet, &[("do", "begin"), ("token", &token)]).is(303);
}

/// Does what the page asks with what passes; gives the task that was done.
fn step(server: &Server) -> String {
    step_at(server, SHEET, "50")
}

/// The same on a sheet, with these litres where litres are read.
fn step_at(server: &Server, sheet: &str, litres: &str) -> String {
    let body = server.get(sheet).is(200).body;
    let (task, token) = (task(&body), field(&body, "token"));
    let mut fields = vec![("do", "done"), ("task", task.as_str()), ("token", token.as_str())];
    let part = body.split("class=\"reading\"").nth(1).unwrap_or_default();
    let part = part.split("</form>").next().unwrap_or_default();
    if part.contains("value=\"yes\"") {
        fields.push(("r", "yes"));
    } else if part.contains("value=\"dry\"") {
        fields.push(("r", "dry"));
    } else if part.contains("Grade as you see") {
        fields.push(("r", "avgas 100LL"));
    } else if part.contains("Looks") {
        fields.extend([("r", "clear"), ("t", "blue")]);
    } else if part.contains("Density") {
        fields.extend([("r", "0.712"), ("u", "kg/L"), ("t", "24"), ("v", "degC")]);
    } else if part.contains("Fuel delivered") || part.contains(">Dip<") {
        fields.extend([("r", litres), ("u", "L")]);
    }
    // Everybody who is named, at one time.
    let who: Vec<String> =
        part.split("name=\"who\"").skip(1).map(|rest| field_of(rest, "value")).collect();
    fields.extend(who.iter().map(|who| ("who", who.as_str())));
    if !who.is_empty() {
        fields.push(("r", "14:05"));
    }
    // What the records say is offered, and sent as it is.
    let offered = field_of(part.split("id=\"r\"").nth(1).unwrap_or_default(), "value");
    if part.contains("Time waited") {
        fields.extend([("r", offered.as_str()), ("u", "min")]);
    }
    let reply = server.post(sheet, &fields).is(303);
    assert!(reply.header("location").unwrap().contains("said=kept"), "{task}: {reply:?}");
    task
}

#[test]
fn one_task_at_a_time_with_its_number_and_every_stop_one_tap_away() {
    let server = Server::demo();
    let body = server.get(SHEET).is(200).body;
    assert!(body.contains("Begin the sheet") && body.contains("All tasks"));
    begin(&server);
    let body = server.get(SHEET).is(200).body;
    assert_eq!(body.matches("class=\"task\"").count(), 1);
    assert!(body.contains("1 of "));
    assert_eq!(body.matches("class=\"stop\"").count(), 5);
    let first = step(&server);
    let body = server.get(SHEET).is(200).body;
    assert_ne!(task(&body), first);
    assert!(body.contains("Confirmed last") && body.contains("Odrin Kestow"));
}

#[test]
fn a_refuel_from_drums_is_gone_through_in_one_sitting_by_the_time_the_ledger_has() {
    const DRUMS: &str = "/sheet/turnarounds/ready";
    let server = Server::demo();
    begin_at(&server, DRUMS);
    let mut waited = None;
    loop {
        let body = server.get(DRUMS).is(200).body;
        let now = task(&body);
        let litres = match now.as_str() {
            "dip-left-wing" => "81",
            "pump-off-right-wing" => "55",
            "dip-right-wing" => "82",
            _ => "50",
        };
        if now == "settle-drums" {
            let standing =
                "NT-09: standing since 06:45 on 2026-12-03 by the ledger, ready at 07:34";
            assert!(body.contains(standing), "{body}");
            let minutes = body.split("id=\"r\"").nth(1).unwrap_or_default();
            waited = field_of(minutes, "value").parse::<u32>().ok();
        }
        if step_at(&server, DRUMS, litres) == "gear-away" {
            break;
        }
    }
    // From 06:45 to 13:00, when its fuelling begins, or longer.
    assert!(waited.is_some_and(|minutes| minutes >= 375), "{waited:?}");
    let body = server.get(DRUMS).is(200).body;
    assert_eq!(task(&body), "settle-tanks");
    // What the clock alone can bear out is not offered.
    let minutes = body.split("id=\"r\"").nth(1).unwrap_or_default();
    assert_eq!(field_of(minutes, "value"), "");
}

#[test]
fn the_record_of_a_stop_names_its_tasks_in_words() {
    let server = Server::demo();
    begin(&server);
    let done = step(&server);
    let body = server.get(&SHEET.replace("/sheet/", "/stop/")).is(200).body;
    let record = body.split("id=\"record\"").nth(1).unwrap();
    assert!(record.contains("Chock both main wheels"), "{record}");
    assert!(!record.contains(&format!(" {done} (")), "{record}");
}

#[test]
fn the_same_step_sent_twice_is_kept_once() {
    let server = Server::demo();
    begin(&server);
    let body = server.get(SHEET).body;
    let (task, token) = (task(&body), field(&body, "token"));
    let fields = [("do", "done"), ("task", task.as_str()), ("token", token.as_str())];
    assert!(server.post(SHEET, &fields).header("location").unwrap().contains("said=kept"));
    assert!(server.post(SHEET, &fields).header("location").unwrap().contains("said=again"));
    // Another phone confirms the same task with a token of its own.
    let other = field(&server.get(SHEET).body, "token");
    let fields = [("do", "done"), ("task", task.as_str()), ("token", other.as_str())];
    assert!(server.post(SHEET, &fields).header("location").unwrap().contains("said=already"));
    let kept = records(&server);
    let kept = kept.lines().filter(|line| line.contains("task-done") && line.contains(&task));
    assert_eq!(kept.count(), 1);
    // Taken back, the first token does not bring it back.
    let undo = field(&server.get(SHEET).body, "token");
    server.post(SHEET, &[("do", "undo"), ("token", &undo)]).is(303);
    let fields = [("do", "done"), ("task", task.as_str()), ("token", token.as_str())];
    assert!(server.post(SHEET, &fields).header("location").unwrap().contains("said=again"));
    assert_eq!(self::task(&server.get(SHEET).body), task);
}

/// All records of the ledger, as another program exports them.
pub(crate) fn records(server: &Server) -> String {
    let out = server.folder.join("out.jsonl");
    let _ = fs::remove_file(&out);
    let ledger = server.folder.join("yard.ledger");
    let done = Command::new(env!("CARGO_BIN_EXE_stillprop"))
        .args(["yard", "export", &out.to_string_lossy(), "--ledger", &ledger.to_string_lossy()])
        .output()
        .unwrap();
    assert!(done.status.success(), "{done:?}");
    fs::read_to_string(out).unwrap()
}

#[test]
fn steps_survive_a_kill_and_the_recap_comes_first() {
    let folder = folder();
    let server = Server::demo_in(&folder);
    begin(&server);
    let mut done = Vec::new();
    // Until the pump runs.
    for _ in 0..19 {
        done.push(step(&server));
    }
    server.kill();
    let server = Server::demo_in(&folder);
    let body = server.get(SHEET).is(200).body;
    assert!(body.contains("Recap: 19 of "), "{body}");
    assert!(body.contains("As it stands now: go and look"));
    assert!(body.contains("I have looked: go on"));
    assert_eq!(body.matches("class=\"task\"").count(), 0);
    assert_eq!(body.matches("class=\"stop\"").count(), 5);
    let token = field(&body, "token");
    server.post(SHEET, &[("do", "go-on"), ("token", &token)]).is(303);
    // A break puts nothing down: each thing is asked for before the work goes on.
    let put = server.get(SHEET).is(200).body;
    assert!(put.contains("PUT IT DOWN") && put.contains("Recap: "), "{put}");
    let resume = [("do", "resume"), ("token", &field(&put, "token"))];
    let refused = server.post(SHEET, &resume).is(422).body;
    assert!(refused.contains(&format!("irst: {}", title(&put))), "{refused}");
    let asked = put_down(&server);
    assert_eq!(asked, ["put-down-pump", "put-down-nozzle", "put-down-cap"]);
    let body = server.get(SHEET).is(200).body;
    let resume = [("do", "resume"), ("token", &field(&body, "token"))];
    server.post(SHEET, &resume).is(303);
    let body = server.get(SHEET).is(200).body;
    assert!(!task(&body).is_empty() && !body.contains("PUT IT DOWN"), "{body}");
    assert_eq!(task(&body), "cap-off-left");
    // What went in before is said where the pump goes on again.
    while task(&server.get(SHEET).body) != "pump-on-left" {
        step(&server);
    }
    assert!(server.get(SHEET).body.contains("8 L went in before the break"));
    // That nobody announced the break stands on record.
    let body = server.get(&format!("{SHEET}?recap=1")).is(200).body;
    assert!(body.contains("broken off without a pause"));
    // The command line goes on with the same sheet.
    let ledger = folder.join("yard.ledger");
    let file = folder.join("turnarounds/over-mass.toml");
    let walk = Command::new(env!("CARGO_BIN_EXE_stillprop"))
        .args([
            "sheet",
            &file.to_string_lossy(),
            "--walk",
            "--by",
            "A",
            "--ledger",
            &ledger.to_string_lossy(),
        ])
        .stdin(std::process::Stdio::null())
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&walk.stdout).into_owned();
    assert!(said.contains("18 of "), "{said}");
    drop(server);
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn what_is_in_doubt_is_said_at_once_and_in_the_recap_until_it_is_read_again() {
    let server = Server::demo();
    begin(&server);
    while task(&server.get(SHEET).body) != "pump-off-left" {
        step(&server);
    }
    let send = |does: &str, r: &str| {
        let token = field(&server.get(SHEET).body, "token");
        let task = ("task", "pump-off-left");
        let reply =
            server.post(SHEET, &[("do", does), task, ("token", &token), ("r", r), ("u", "L")]);
        server.get(reply.is(303).header("location").unwrap()).is(200).body
    };
    let said = send("done", "90");
    assert!(said.contains("IN DOUBT: left: 90 L went in by the counter"), "{said}");
    let recap = || server.get(&format!("{SHEET}?recap=1")).is(200).body;
    assert!(recap().contains("in doubt: left: 90 L"));
    let said = send("reread", "50");
    assert!(said.contains("What was read before stays on record"), "{said}");
    let recap = recap();
    assert!(!recap.contains("in doubt: ") && recap.contains("a fuel cap is open"), "{recap}");
    let token = field(&server.get(SHEET).body, "token");
    let chocks = [("do", "reread"), ("task", "chocks"), ("token", token.as_str()), ("r", "1 L")];
    assert!(server.post(SHEET, &chocks).is(422).body.contains("nly litres and dips"));
}

/// Says of everything that a break asks for that it is put down; a wrong answer is not taken.
fn put_down(server: &Server) -> Vec<String> {
    let mut asked = Vec::new();
    loop {
        let body = server.get(SHEET).is(200).body;
        if !body.contains("PUT IT DOWN") {
            return asked;
        }
        let part = body.split("class=\"hold\"").nth(1).unwrap();
        let (id, token) = (field(part, "task"), field(part, "token"));
        let say = |r: &str, token: &str| {
            let fields = [("do", "put"), ("task", &id), ("token", token), ("r", r), ("u", "L")];
            server.post(SHEET, &fields)
        };
        let wrong = if part.contains("value=\"yes\"") { "no" } else { "perhaps" };
        assert!(say(wrong, &token).is(422).body.contains("NOT TAKEN"), "{id}");
        assert!(server.get(SHEET).body.contains(&format!("value=\"{id}\"")), "{id} is asked still");
        let right = if wrong == "no" { "yes" } else { "8" };
        let reply = say(right, &token).is(303);
        assert!(reply.header("location").unwrap().contains("said=kept"), "{id}: {reply:?}");
        assert!(!asked.contains(&id), "{id} is asked twice");
        asked.push(id);
    }
}

#[test]
fn a_reading_that_is_none_is_not_kept_and_one_that_fails_is() {
    let server = Server::demo();
    begin(&server);
    let mut guard = 0;
    loop {
        let body = server.get(SHEET).is(200).body;
        if body.contains("Looks</label>") {
            break;
        }
        step(&server);
        guard += 1;
        assert!(guard < 40, "no sample is looked at");
    }
    let body = server.get(SHEET).body;
    let (task, title) = (task(&body), title(&body));
    let version = field_of(&body, "data-version");
    let send = |r: &str, t: &str| {
        let token = field(&server.get(SHEET).body, "token");
        server
            .post(SHEET, &[("do", "done"), ("task", &task), ("token", &token), ("r", r), ("t", t)])
    };
    let wrong = send("murky", "blue").is(422).body;
    assert!(wrong.contains("role=\"alert\"") && wrong.contains("is no answer here"));
    assert_eq!(field_of(&server.get(SHEET).body, "data-version"), version);
    let held = send("haze", "blue").is(303);
    let to = held.header("location").unwrap().to_owned();
    assert!(to.contains("said=refused"));
    let body = server.get(&to).is(200).body;
    assert!(body.contains("DOES NOT PASS"), "{body}");
    assert!(!title.is_empty() && records(&server).contains("hold-refused"));
}

fn field_of(body: &str, name: &str) -> String {
    let rest = body.split(&format!("{name}=\"")).nth(1).unwrap_or_default();
    rest.split('"').next().unwrap_or_default().replace("&amp;", "&")
}

#[test]
fn a_stop_is_called_with_one_tap_and_gone_through() {
    let server = Server::demo();
    begin(&server);
    step(&server);
    let token = field(&server.get(SHEET).body, "token");
    server.post(SHEET, &[("do", "stop"), ("stop", "fire"), ("token", &token)]).is(303);
    let body = server.get(SHEET).is(200).body;
    assert!(body.contains("STOP: fire, step 1 of"));
    let token = field(&body, "token");
    let fields =
        [("do", "step"), ("stop", "fire"), ("step", "0"), ("token", token.as_str()), ("note", "x")];
    server.post(SHEET, &fields).is(303);
    assert!(server.get(SHEET).body.contains("STOP: fire, step 2 of"));
    // The step that another phone has done already moves nothing.
    let token = field(&server.get(SHEET).body, "token");
    let fields = [("do", "step"), ("stop", "fire"), ("step", "0"), ("token", token.as_str())];
    assert!(server.post(SHEET, &fields).header("location").unwrap().contains("said=already"));
}

#[test]
fn what_one_phone_records_another_sees_at_its_next_look() {
    let server = Server::demo();
    begin(&server);
    let other = server.get(SHEET).is(200).body;
    let ask = field_of(&other, "data-ask");
    let before = field_of(&other, "data-version");
    assert_eq!(server.get(&ask).is(200).body, before);
    step(&server);
    let after = server.get(&ask).is(200).body;
    assert_ne!(after, before);
    let part = server.get(&field_of(&other, "data-part")).is(200).body;
    assert!(part.starts_with("<div class=\"sheet\"") && part.contains("Odrin Kestow"));
}

#[test]
fn nothing_is_recorded_without_a_name() {
    let folder = folder();
    let server = Server::demo_in(&folder);
    drop(server);
    let place = folder.to_string_lossy().into_owned();
    let server = Server::start_bare(&folder, &["demo", "--serve", "--folder", &place]);
    let token = field(&server.get(SHEET).is(200).body, "token");
    let body = server.post(SHEET, &[("do", "begin"), ("token", &token)]).is(422).body;
    assert!(body.contains("it is not said who records this"));
    assert!(server.get(SHEET).body.contains("Begin the sheet"));
    drop(server);
    fs::remove_dir_all(folder).unwrap();
}
