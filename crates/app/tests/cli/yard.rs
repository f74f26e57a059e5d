//! The yard from outside: what happens to drums is recorded, judged, traced and kept.
//!
//! Everything happens in 2025, so that no clock these tests meet takes it for the future.

mod books;
mod drums_from;
mod life;
mod lists;
mod pictures;
mod refusals;
mod tracing;

use serde_json::Value;

use crate::program::{Answer, Folder, text};

/// Rules that ask for everything: ages, seals, samples, densities.
const PACK: &str = "demo-operator+au";
/// The ledger of a test, in its folder.
const LEDGER: &str = "yard.ledger";
/// Who records.
const BY: &str = "Marro Teel";

/// A folder with a ledger in it.
struct Yard(Folder);

impl Yard {
    /// Nothing recorded yet.
    fn new() -> Self {
        Self(Folder::new())
    }

    /// The demonstration, brought into a file, with its documents beside it.
    fn with_demo() -> Self {
        let yard = Self(Folder::with_demo());
        yard.0.run(&["yard", "import", "demo", "--ledger", LEDGER]).ends(0);
        yard
    }

    /// Runs a verb of the yard at a time of the clock on the spot.
    fn run(&self, at: &str, args: &[&str]) -> Answer {
        let at = format!("{at}+05:30");
        let common = ["--ledger", LEDGER, "--by", BY, "--pack", PACK, "--at", &at];
        self.0.run(&[&["yard"], args, &common].concat())
    }

    /// The JSON of a verb that ends with `code`.
    #[track_caller]
    fn json(&self, at: &str, args: &[&str], code: i32) -> Value {
        let value = self.run(at, &[args, &["--json"]].concat()).ends(code).json();
        assert!(text(&value, "caution").contains("pilot in command decides"), "{value}");
        value
    }

    /// Records something, and gives the id of the record.
    #[track_caller]
    fn tell(&self, at: &str, args: &[&str]) -> String {
        let value = self.json(at, args, 0);
        let recorded = value["recorded"].as_array().unwrap();
        assert_eq!(recorded.len(), 1, "{value}");
        assert_eq!(text(&recorded[0], "author"), BY);
        text(&recorded[0], "id").to_owned()
    }

    /// Receives a full drum of avgas of batch `VF-1`, filled in January.
    #[track_caller]
    fn receive(&self, at: &str, label: &str, place: &str) -> String {
        self.receive_of(at, label, place, "VF-1", "2025-01-14")
    }

    /// Receives a full drum of avgas.
    #[track_caller]
    fn receive_of(&self, at: &str, label: &str, place: &str, batch: &str, filled: &str) -> String {
        self.tell(at, &received(label, place, batch, filled))
    }

    /// Makes a drum ready to be drawn from, an hour before noon of that day.
    fn prepare(&self, day: &str, label: &str) {
        let at = |clock: &str| format!("{day}T{clock}:00");
        self.tell(&at("06:00"), &inspected(label));
        self.tell(&at("06:10"), &["stand", label, "--tilted"]);
        self.tell(&at("11:00"), &sampled(label));
    }

    /// What `show` says of a drum.
    #[track_caller]
    fn show(&self, at: &str, label: &str) -> Value {
        self.json(at, &["show", label], 0)
    }

    /// State in a word, and litres left.
    #[track_caller]
    fn stands(&self, at: &str, label: &str) -> (String, f64) {
        let shown = self.show(at, label);
        assert_eq!(text(&shown["left"], "unit"), "L");
        (text(&shown, "state").to_owned(), shown["left"]["value"].as_f64().unwrap())
    }

    /// The id of a drum.
    #[track_caller]
    fn id(&self, label: &str) -> String {
        text(&self.show("2025-06-01T00:00:00", label), "id").to_owned()
    }
}

/// The arguments that receive a full drum of avgas.
fn received<'a>(label: &'a str, place: &'a str, batch: &'a str, filled: &'a str) -> Vec<&'a str> {
    let named = ["receive", "--label", label, "--place", place, "--grade", "avgas 100LL"];
    let lot = ["--batch", batch, "--supplier", "Vessary Fuels (invented)", "--filled", filled];
    [&named[..], &lot, &["--contents", "200 L"]].concat()
}

/// The arguments for a look over that finds nothing.
fn inspected(label: &str) -> Vec<&str> {
    let seen = ["--dents", "none", "--rust", "none", "--seals", "intact"];
    [&["inspect", label][..], &seen].concat()
}

/// The arguments for a sample that passes: 0.7065 kg/L at 26 degC is avgas.
fn sampled(label: &str) -> Vec<&str> {
    let seen = ["--appearance", "clear", "--colour", "blue", "--paste", "dry"];
    let read = ["--density", "0.7065 kg/L", "--temperature", "26 degC"];
    [&["sample", label][..], &seen, &read].concat()
}

/// The rows of a list.
#[track_caller]
fn rows<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key].as_array().unwrap_or_else(|| panic!("{key} of {value}"))
}

/// The labels of the containers in a list.
#[track_caller]
fn labels(value: &Value, key: &str) -> Vec<String> {
    rows(value, key).iter().map(|row| text(row, "label").to_owned()).collect()
}
