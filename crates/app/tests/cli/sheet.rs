//! The run sheet from outside: printed, as data, and gone through with lines that are typed.

mod breaks;
mod keeps;
mod walks;

use std::{
    io::{BufRead as _, BufReader, Write as _},
    process::{Child, ChildStdin, Stdio},
    sync::mpsc::{self, Receiver},
    thread,
    time::Duration,
};

use serde_json::Value;

use crate::program::{Answer, Folder, command, file, json, stillprop, text};

const BY: &str = "Ansa Verrel";

/// Goes through a sheet in a folder with these lines; nothing more is typed then.
fn walk(folder: &Folder, args: &[&str], lines: &[&str]) -> Answer {
    let typed: String = lines.iter().map(|line| format!("{line}\n")).collect();
    folder.run_with(&[&["sheet"][..], args, &["--walk", "--by", BY]].concat(), &typed)
}

/// A folder in which the home flight of the demonstration takes no fuel: a short sheet.
fn short() -> Folder {
    let folder = Folder::with_demo();
    let name = file("last-light");
    folder.edit(&name, "method = \"self-serve\"", "method = \"none\"");
    folder.edit(&name, "uplift = \"11.5 impgal\"\n", "");
    folder
}

/// What has to be typed for a task that passes.
fn answer(task: &Value) -> String {
    let reads = &task["reads"];
    if reads.is_null() {
        return String::new();
    }
    let quoted = |write: &str| write.split('"').nth(1).unwrap_or_default().to_owned();
    match text(reads, "kind") {
        "yes" => "yes".into(),
        "paste" => "dry".into(),
        "density" => "0.7065 kg/L at 26 degC".into(),
        "words" => "as it was said".into(),
        "ticket" => "A 4711".into(),
        _ => quoted(text(reads, "write")),
    }
}

/// The tasks of a sheet in their order.
fn tasks(args: &[&str]) -> Vec<Value> {
    json(&[&["sheet"], args].concat(), 0)["tasks"].as_array().unwrap().clone()
}

/// How long a test waits for an answer of a busy machine.
const PATIENCE: Duration = Duration::from_secs(60);

/// A sheet that is gone through, line by line, by somebody who waits for each answer.
struct Walker {
    child: Child,
    input: ChildStdin,
    output: Receiver<String>,
}

impl Walker {
    fn new(folder: &Folder, args: &[&str]) -> Self {
        let args = [&["sheet"][..], args, &["--walk", "--by", BY]].concat();
        let mut command = command();
        command.args(args).current_dir(folder.path("."));
        command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::null());
        let mut child = command.spawn().unwrap();
        let input = child.stdin.take().unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let (send, output) = mpsc::channel();
        thread::spawn(move || {
            // Nobody may be waiting for it.
            lines.map_while(Result::ok).try_for_each(|line| send.send(line))
        });
        Self { child, input, output }
    }

    fn types(&mut self, line: &str) {
        writeln!(self.input, "{line}").unwrap();
    }

    /// Reads until a line holds the words; that line.
    #[track_caller]
    fn until(&mut self, words: &str) -> String {
        let mut said = Vec::new();
        while let Ok(line) = self.output.recv_timeout(PATIENCE) {
            if line.contains(words) {
                return line;
            }
            said.push(line);
        }
        let _ = self.child.kill();
        panic!("it never said: {words}\n{}", said.join("\n"));
    }

    /// Ends it as a flat battery would.
    fn killed(mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }
}

#[test]
fn a_sheet_on_paper_has_boxes_hold_points_stops_and_cautions() {
    let page = stillprop(&["sheet", "demo"]).ends(0).out;
    for words in [
        "RUN SHEET  fuel from drums",
        "(invented data)",
        "QK-CSX at Nessow Top",
        " [ ]   1 ",
        "  HOLD   ",
        " by ............ at .......",
        "STOP ACTIONS: at once, in this order",
        " FIRE\n",
        " FUEL IS SPILLED\n",
        " A BOND IS LOST\n",
        " WRONG, WET OR DIRTY FUEL\n",
        " SOMEBODY IS HURT\n",
        "CAUTIONS",
        "The pilot in command decides",
    ] {
        assert!(page.contains(words), "{words}\n{page}");
    }
    assert!(!page.contains("CHECKED"), "nothing was checked");
    let tasks = tasks(&["demo"]);
    assert_eq!(
        page.matches("  HOLD   ").count(),
        tasks.iter().filter(|t| t["hold"] == true).count()
    );
}

#[test]
fn no_line_of_a_sheet_is_wider_than_the_terminal() {
    for columns in [60, 80, 100] {
        for name in ["ready", "mid-burn", "last-light"] {
            let name = format!("demo/{name}");
            let output = command()
                .args(["sheet", &name])
                .env("COLUMNS", columns.to_string())
                .output()
                .unwrap();
            let page = String::from_utf8(output.stdout).unwrap();
            let widest = page.lines().skip(3).map(|line| line.chars().count()).max().unwrap();
            assert!(widest <= columns, "{name}: {widest} of {columns}");
        }
    }
}

#[test]
fn a_sheet_as_data_has_tasks_order_needs_readings_and_what_was_proven() {
    let sheet = json(&["sheet", "demo"], 0);
    let tasks = sheet["tasks"].as_array().unwrap();
    let ids: Vec<&str> = tasks.iter().map(|task| text(task, "id")).collect();
    let order: Vec<&str> =
        sheet["order"].as_array().unwrap().iter().map(|id| id.as_str().unwrap()).collect();
    assert_eq!(ids, order);
    assert!(sheet["invariants"].as_array().unwrap().len() >= 12, "{}", sheet["invariants"]);
    assert!(sheet["check"]["states"].as_u64().unwrap() > 1000);
    assert_eq!(sheet["check"]["holds"], true);
    assert_eq!(sheet["stop_actions"].as_array().unwrap().len(), 5);
    // What a task waits for stands before it, and is on the sheet.
    let mut waits = 0;
    for (place, task) in tasks.iter().enumerate() {
        assert!(!text(task, "why").is_empty(), "{task}");
        for need in task["needs"].as_array().unwrap() {
            assert!(!text(need, "words").is_empty(), "{task}");
            if let Some(after) = need["after"].as_str() {
                assert!(ids[..place].contains(&after), "{task}");
                waits += 1;
            }
        }
    }
    assert!(waits > 10, "{waits}");
}

#[test]
fn a_check_says_how_many_states_were_tried() {
    let sheet = json(&["sheet", "demo/last-light"], 0);
    let states = &sheet["check"]["states"];
    let said = stillprop(&["sheet", "demo/last-light", "--check"]).ends(0).out;
    let count = sheet["invariants"].as_array().unwrap().len();
    let folded = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(folded.contains(&format!("CHECKED {states} states")), "{said}");
    assert!(folded.contains(&format!("none breaks any of the {count} invariants")), "{said}");
}

#[test]
fn two_people_share_what_one_does_alone() {
    let alone = tasks(&["demo", "--people", "1"]);
    let two = tasks(&["demo", "--people", "2"]);
    let by = |tasks: &[Value], who: &str| tasks.iter().filter(|t| t["who"] == who).count();
    assert_eq!(by(&alone, "second person"), 0);
    assert!(by(&two, "second person") > 0 && by(&two, "pilot") > 0);
    let said = stillprop(&["sheet", "demo", "--people", "3"]).ends(2).err;
    assert!(said.contains("1..=2") || said.contains("not in 1"), "{said}");
}

#[test]
fn what_cannot_be_a_sheet_says_so() {
    stillprop(&["sheet", "nowhere.toml"]).ends(2);
    let folder = Folder::with_demo();
    folder.edit_all(&file("over-mass"), "uplift", "# uplift");
    let said = folder.run(&["sheet", &file("over-mass")]).ends(2).err;
    assert!(said.contains("no tank is to be filled"), "{said}");
}

#[test]
fn whoever_walks_says_who_they_are() {
    let folder = Folder::new();
    let said = folder.run_with(&["sheet", "demo", "--walk"], "\n").ends(2).err;
    assert!(said.contains("--by NAME"), "{said}");
    assert!(!folder.path("ready.progress.jsonl").exists());
    let named = folder.run(&["sheet", "demo", "--walk", "--by", " "]).ends(2).err;
    assert!(named.contains("--by NAME"), "{named}");
}

#[test]
fn an_aeroplane_without_a_starter_gets_the_stronger_caution_on_its_sheet() {
    let hand = "propeller that is turned by hand kills";
    let folded = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for (name, has) in [("ready", false), ("last-light", true)] {
        let name = format!("demo/{name}");
        let page = folded(&stillprop(&["sheet", &name]).ends(0).out);
        assert_eq!(page.contains(hand), has, "{name}");
        let answer = json(&["sheet", &name], 0);
        assert_eq!(answer["cautions"].to_string().contains(hand), has, "{name}");
        let walked = folded(&walk(&Folder::new(), &[&name], &[]).ends(1).out);
        assert_eq!(walked.contains(hand), has, "{name}");
        assert!(walked.contains("The pilot in command decides"), "{name}");
    }
}
