//! Broken packs: each gives a problem that shows its place and a way out.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

use stillprop_rules::{document::Problem, pack::Pack};

/// A pack that is right, to be broken one way at a time.
const RIGHT: &str = r#"format = 1
kind = "pack"
id = "test"
title = "A pack for a test"
jurisdiction = "nowhere"
edition = "1"
checked = 2026-11-25

[sources.book]
document = "The book"
edition = "first"

[[figure]]
key = "fuel.final-reserve"
when = { flight_rules = "VFR day" }
value = "30 min"
source = "book"
clause = "1"
status = "law"
read = "source"

[[figure]]
key = "strip.take-off-factor"
curve = [["2000 kg", "1.15 1"], ["3500 kg", "1.25 1"]]
source = "book"
clause = "2"
status = "law"
read = "source"

[[figure]]
key = "people.standard-mass-allowed"
when = { seats_to = 6 }
allowed = false
source = "book"
clause = "3"
status = "law"
read = "source"
"#;

/// A second figure of the final reserve, under a condition and with a value.
fn second(when: &str, value: &str) -> String {
    format!(
        "{RIGHT}\n[[figure]]\nkey = \"fuel.final-reserve\"\nwhen = {when}\nvalue = \"{value}\"\n\
         source = \"book\"\nclause = \"4\"\nstatus = \"law\"\nread = \"source\"\n"
    )
}

// Each row: what is swapped for what (or, in `SECOND`, the condition and value of a second
// figure), the text the place must cover, and words of the message and of the way out.

/// Wrong words, names and shape.
const WORDS: &[[&str; 5]] = &[
    [
        "fuel.final-reserve",
        "fuel.finel-reserve",
        "\"fuel.finel-reserve\"",
        "unknown figure",
        "did you mean `fuel.final-reserve`?",
    ],
    ["source = \"book\"", "source = \"bok\"", "\"bok\"", "unknown source", "did you mean `book`?"],
    ["VFR day", "VFR dag", "\"VFR dag\"", "unknown word", "did you mean `VFR day`?"],
    ["flight_rules", "flight_rule", "flight_rule", "unknown key", "did you mean `flight_rules`?"],
    ["\"law\"", "\"rule\"", "\"rule\"", "unknown word", "law"],
    ["\"source\"", "\"sauce\"", "\"sauce\"", "unknown word", "did you mean `source`?"],
    ["clause = \"1\"\n", "", "[[figure]]", "missing key `clause`", "add clause"],
    ["clause = \"1\"", "clause = \" \"", "\" \"", "no clause", "a reader would look up"],
    ["kind = \"pack\"", "kind = \"strip\"", "\"strip\"", "unknown word", "pack"],
    ["format = 1", "format = 2", "2", "format 2", "format = 1"],
    [
        "checked = 2026-11-25",
        "checked = 2026-11-25\ngoods = \"icoa\"",
        "\"icoa\"",
        "no table of goods",
        "did you mean `icao`?",
    ],
    ["id = \"test\"", "id = \"Test pack\"", "\"Test pack\"", "not a pack's name", "lower-case"],
    ["id = \"test\"", "id = \"test\"\nover = \"test\"", "\"test\"", "over itself", "state's pack"],
    ["title = \"A pack for a test\"\n", "", "", "missing key `title`", "add title"],
    ["2026-11-25", "\"yesterday\"", "\"yesterday\"", "a date or time is meant", "2026-12-01"],
    [
        "[[figure]]",
        "[sources.other]\ndocument = \"Other\"\nedition = \"1\"\n[[figure]]",
        "[sources.other]",
        "no figure cites",
        "remove it",
    ],
    [
        "read = \"source\"",
        "read = \"memory\"",
        "\"fuel.final-reserve\"",
        "needs a note",
        "how sure",
    ],
    ["edition = \"1\"", "editoin = \"1\"", "editoin", "unknown key", "did you mean `edition`?"],
];

/// Wrong values and conditions.
const VALUES: &[[&str; 5]] = &[
    ["\"30 min\"", "30", "30", "no unit", "30 min"],
    ["\"30 min\"", "0.5", "0.5", "no unit", "0.5 min"],
    ["\"30 min\"", "\"30\"", "\"30\"", "no unit", "30 min"],
    ["\"30 min\"", "\"30 kg\"", "\"30 kg\"", "measures a mass", "units: s, min, h, d"],
    ["\"30 min\"", "\"30 h\"", "\"30 h\"", "accepted: 0 to 6 h", "correct the value"],
    ["\"30 min\"", "\"-30 min\"", "\"-30 min\"", "accepted", "correct the value"],
    ["\"30 min\"", "\"NaN min\"", "\"NaN min\"", "finite", "ordinary"],
    ["value = \"30 min\"\n", "", "\"fuel.final-reserve\"", "no value", "add value"],
    ["value = \"30 min\"", "allowed = true", "true", "takes `value`", "keep `value`"],
    ["value = \"30 min\"", "value = \"30 min\"\nallowed = true", "true", "takes `value`", "keep"],
    ["allowed = false", "value = \"1 1\"", "\"1 1\"", "takes `allowed`", "keep `allowed`"],
    ["allowed = false\n", "", "\"people.standard-mass-allowed\"", "no value", "add allowed"],
    [
        "value = \"30 min\"",
        "curve = [[\"1 kg\", \"1 h\"], [\"2 kg\", \"2 h\"]]",
        "[[\"1 kg\", \"1 h\"], [\"2 kg\", \"2 h\"]]",
        "does not follow the mass",
        "mtow_over",
    ],
    ["3500 kg", "1500 kg", "\"1500 kg\"", "do not rise", "lightest"],
    ["3500 kg", "2000 kg", "\"2000 kg\"", "do not rise", "each mass once"],
    [
        "[[\"2000 kg\", \"1.15 1\"], [\"3500 kg\", \"1.25 1\"]]",
        "[[\"2000 kg\", \"1.15 1\"]]",
        "[[\"2000 kg\", \"1.15 1\"]]",
        "two points",
        "add a point",
    ],
    [
        "[\"2000 kg\", \"1.15 1\"]",
        "[\"2000 kg\", \"1.15 1\", \"1.25 1\"]",
        "[[\"2000 kg\", \"1.15 1\", \"1.25 1\"], [\"3500 kg\", \"1.25 1\"]]",
        "a list of 3 stands where a pair",
        "two values",
    ],
    ["\"30 min\"", "nan", "nan", "finite", "ordinary"],
    ["1.15 1", "0.85 1", "\"0.85 1\"", "accepted: 1 to 5", "correct the value"],
    ["1.15 1", "1.15 kg", "\"1.15 kg\"", "measures a mass", "ratio"],
    [
        "seats_to = 6",
        "seats_from = 7, seats_to = 6",
        "\"people.standard-mass-allowed\"",
        "from 7 up to 6",
        "seats_to",
    ],
    [
        "flight_rules = \"VFR day\"",
        "mtow_over = \"2 t\", mtow_up_to = \"2000 kg\"",
        "\"2000 kg\"",
        "no mass",
        "greater",
    ],
    ["flight_rules = \"VFR day\"", "mtow_up_to = \"5700\"", "\"5700\"", "no unit", "kg"],
    ["flight_rules = \"VFR day\"", "mtow_up_to = \"-1 kg\"", "\"-1 kg\"", "accepted", "correct"],
    [
        "flight_rules = \"VFR day\"",
        "surface = \"dirt\"",
        "\"fuel.final-reserve\"",
        "does not depend on `surface`",
        "remove `surface`",
    ],
];

/// A second figure of the final reserve that contradicts the first.
const SECOND: &[[&str; 5]] = &[
    [
        "{ flight_rules = \"VFR day\" }",
        "30 min",
        "\"fuel.final-reserve\"",
        "given twice",
        "remove one",
    ],
    [
        "{ engine = \"piston\" }",
        "45 min",
        "\"fuel.final-reserve\"",
        "ambiguous",
        "tells the two apart",
    ],
];

fn breaks(text: &str, [place, message, way_out]: [&str; 3]) {
    let problems = Pack::read(text).expect_err(message);
    let found = problems.iter().find(|problem| problem.message.contains(message));
    let Some(Problem { at, message: said, help }) = found else {
        panic!("wanted \"{message}\", got {problems:?}")
    };
    assert_eq!(&text[at.clone()], place, "{said}");
    let help = help.as_deref().unwrap_or_default();
    assert!(
        !help.is_empty() && help.contains(way_out),
        "{said}: want \"{way_out}\", got \"{help}\""
    );
}

#[test]
fn every_broken_pack_shows_its_place_and_a_way_out() {
    for &[from, to, place, message, way_out] in WORDS.iter().chain(VALUES) {
        assert!(RIGHT.contains(from), "the right pack has no {from}");
        breaks(&RIGHT.replacen(from, to, 1), [place, message, way_out]);
    }
    for &[when, value, place, message, way_out] in SECOND {
        breaks(&second(when, value), [place, message, way_out]);
    }
}

#[test]
fn the_unbroken_pack_is_right() {
    assert_eq!(Pack::read(RIGHT).unwrap().figures.len(), 3);
}

#[test]
fn a_syntax_error_shows_its_place() {
    let text = RIGHT.replacen("format = 1", "format = = 1", 1);
    let problems = Pack::read(&text).unwrap_err();
    assert_eq!(problems.len(), 1);
    assert_eq!(problems[0].line_column(&text).0, 1);
}

#[test]
fn every_problem_of_meaning_is_shown_at_once_and_in_order() {
    let text = RIGHT.replacen("30 min", "30 h", 1).replacen("3500 kg", "1500 kg", 1).replacen(
        "clause = \"3\"",
        "clause = \"\"",
        1,
    );
    let problems = Pack::read(&text).unwrap_err();
    assert_eq!(problems.len(), 3, "{problems:?}");
    assert!(problems.windows(2).all(|pair| pair[0].at.start <= pair[1].at.start));
}

#[test]
fn a_narrower_figure_beside_a_wider_one_is_right_and_wins() {
    use stillprop_calc::{
        quantity::{FromAmount, Mass},
        unit::KG,
    };
    use stillprop_rules::{
        key::Key,
        situation::{Detail, Engine, FlightRules, Operation, Situation},
    };
    // Both orders: wider last, and narrower last.
    for (when, day_min, other_min) in [
        ("{ }", 30.0, 45.0),
        ("{ flight_rules = \"VFR day\", engine = \"piston\" }", 45.0, f64::NAN),
    ] {
        let pack = Pack::read(&second(when, "45 min")).unwrap();
        let minutes = |flight_rules| {
            let situation = Situation {
                operation: Operation::Private,
                flight_rules,
                engine: Engine::Piston,
                mtow: Mass::of(1500.0, KG),
                seats: 4,
            };
            pack.find(Key::FinalReserve, &situation, Detail::NONE)
                .map_or("nothing".to_owned(), |figure| figure.says.to_string())
        };
        assert_eq!(minutes(FlightRules::VfrDay), format!("{day_min} min"));
        let other =
            if other_min.is_nan() { "nothing".to_owned() } else { format!("{other_min} min") };
        assert_eq!(minutes(FlightRules::Ifr), other);
    }
}

#[test]
fn two_conditions_that_meet_may_agree() {
    assert!(Pack::read(&second("{ engine = \"piston\" }", "30 min")).is_ok());
    assert!(Pack::read(&second("{ engine = \"piston\" }", "0.5 h")).is_ok());
}
