//! The field for each reading, with the keyboard that fits it, and what it says when it is sent.

use maud::{Markup, html};
use stillprop_turnaround::sheet::Reads;

use crate::pages::typed::Pairs;

pub(super) const VOLUMES: &[&str] = &["L", "USgal", "impgal"];
pub(super) const DEPTHS: &[&str] = &["mm", "cm", "in", "L", "USgal", "impgal"];
const DENSITIES: &[&str] = &["kg/L", "kg/m3", "lb/USgal"];
const TEMPERATURES: &[&str] = &["degC", "degF"];
const TIMES: &[&str] = &["min", "h"];
const LOOKS: &[(&str, &str)] = &[
    ("clear", "clear and bright"),
    ("haze", "haze"),
    ("sediment", "sediment"),
    ("water", "water"),
];

/// Readings that are answered by pressing one of two buttons.
pub(super) const fn own_buttons(reads: &Reads) -> bool {
    matches!(reads, Reads::Yes | Reads::Paste)
}

/// The fields of a reading.
/// `known` is what the records say of it, offered until somebody typed something else.
pub(super) fn field(
    reads: &Reads,
    hold: bool,
    fuel: &str,
    typed: Option<&Pairs>,
    known: Option<&str>,
) -> Markup {
    let was = |name: &str| match (typed, known) {
        (Some(pairs), _) => pairs.text(name),
        (None, Some(known)) if name == "r" => known,
        _ => "",
    };
    let invalid = typed.map(|_| "true");
    let described = typed.map(|_| "reading-error");
    let volume = if was("u").is_empty() { of_fuel(fuel) } else { was("u") };
    let number = |label: &str| {
        html! {
            label for="r" { (label) }
            input id="r" name="r" inputmode="decimal" autocomplete="off" value=(was("r"))
                required[hold] aria-invalid=[invalid] aria-describedby=[described];
        }
    };
    let text = |label: &str, mode: Option<&str>| {
        html! {
            label for="r" { (label) }
            input id="r" name="r" autocomplete="off" maxlength="400" value=(was("r"))
                inputmode=[mode] required[hold] aria-invalid=[invalid] aria-describedby=[described];
        }
    };
    let left = html! { @if !hold { small { "May be left empty." } } };
    html! {
        div.reading {
            @match reads {
                Reads::Nothing => {},
                Reads::Yes => (answers("Is it so?", &["yes", "no"])),
                Reads::Paste => (answers("The paste", &["dry", "wet"])),
                Reads::Litres { .. } => { (number("Fuel delivered")) (unit("u", "unit", VOLUMES, volume)) (left) },
                // No keypad of figures: it may be unknown.
                Reads::Counter => {
                    (text("Counter since it went on, or the word unknown", None))
                    (unit("u", "unit", VOLUMES, volume))
                },
                Reads::Dip => { (number("Dip")) (unit("u", "unit", DEPTHS, was("u"))) (left) },
                Reads::Density { .. } => {
                    (number("Density")) (unit("u", "unit of density", DENSITIES, first(was("u"), DENSITIES)))
                    label for="t" { "Temperature" }
                    input id="t" name="t" inputmode="text" autocomplete="off" value=(was("t")) required[hold];
                    (unit("v", "unit of temperature", TEMPERATURES, first(was("v"), TEMPERATURES))) (left)
                },
                Reads::Waited { .. } => { (number("Time waited")) (unit("u", "unit", TIMES, first(was("u"), TIMES))) (left) },
                Reads::Resistance => { (number("Resistance in ohm")) (left) },
                Reads::Look { .. } => {
                    label for="r" { "Looks" }
                    select id="r" name="r" required[hold] {
                        option value="" { "choose" }
                        @for (value, words) in LOOKS { option value=(value) selected[*value == was("r")] { (words) } }
                    }
                    label for="t" { "Colour" }
                    input id="t" name="t" autocomplete="off" maxlength="60" value=(was("t")) required[hold];
                    (left)
                },
                Reads::Clock => {
                    label for="r" { "Time of day" }
                    input id="r" name="r" type="time" value=(was("r")) required[hold];
                    (left)
                },
                Reads::Ticket => { (text("Number of the ticket", None)) (left) },
                Reads::Grade { .. } => { (text("Grade as you see or hear it", None)) (left) },
                Reads::Words => { (text("In a few words", None)) (left) },
                Reads::Named { deed, people } => {
                    fieldset {
                        legend { "Who was " (deed.word()) }
                        @for (at, person) in people.iter().enumerate() {
                            label for={ "who-" (at) } {
                                input id={ "who-" (at) } type="checkbox" name="who" value=(person)
                                    checked[typed.is_some_and(|pairs| pairs.has("who", person))];
                                " " (person)
                            }
                        }
                    }
                    label for="r" { "Time of day" }
                    input id="r" name="r" type="time" value=(was("r")) required[hold];
                },
            }
        }
    }
}

/// The unit that was chosen, else the usual one.
fn first<'a>(was: &'a str, of: &[&'a str]) -> &'a str {
    if was.is_empty() { of.first().copied().unwrap_or("") } else { was }
}

/// Two buttons, each an answer.
fn answers(label: &str, of: &[&str]) -> Markup {
    html! {
        fieldset.answers {
            legend { (label) }
            @for word in of { button.main name="r" value=(word) { (word) } }
        }
    }
}

/// The unit that volumes are offered in. Titles give litres; where the document writes another
/// unit beside them, a number could be read in either, and whoever types it says in which.
pub(super) fn of_fuel(documents: &str) -> &str {
    if documents == "L" { documents } else { "" }
}

/// A choice of units. With none chosen it asks: a reading without its unit is not taken.
pub(super) fn unit(name: &str, label: &str, of: &[&str], chosen: &str) -> Markup {
    html! {
        select name=(name) aria-label=(label) {
            @if chosen.is_empty() { option value="" { "unit" } }
            @for unit in of { option value=(unit) selected[*unit == chosen] { (unit) } }
        }
    }
}

/// What was typed as one text, the way the sheet reads it. A number that came with its unit is
/// left as it is.
pub(crate) fn typed(reads: &Reads, pairs: &Pairs) -> String {
    let r = pairs.text("r");
    if r.is_empty() {
        return String::new();
    }
    match reads {
        Reads::Litres { .. } | Reads::Counter | Reads::Dip | Reads::Waited { .. } => {
            pairs.amount("r", "u")
        }
        Reads::Resistance if r.chars().any(char::is_alphabetic) => r.to_owned(),
        Reads::Resistance => format!("{r} ohm"),
        Reads::Density { .. } if !r.contains(" at ") => {
            format!("{} at {}", pairs.amount("r", "u"), pairs.amount("t", "v"))
        }
        Reads::Named { .. } if !r.contains(char::is_whitespace) => {
            let named: Vec<String> = pairs.all("who").map(|who| format!("{who} {r}")).collect();
            named.join(", ")
        }
        Reads::Look { .. } if !r.contains(',') => format!("{r}, {}", pairs.text("t")),
        _ => r.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use stillprop_turnaround::sheet::Deed;

    use super::*;

    #[test]
    fn what_is_typed_into_the_fields_is_read_by_the_sheet() {
        let grade = || "avgas 100LL".to_owned();
        let pairs = |rows: &[(&str, &str)]| {
            Pairs(rows.iter().map(|(name, text)| ((*name).into(), (*text).into())).collect())
        };
        for (reads, rows, text) in [
            (Reads::Litres { about: None }, vec![("r", "54"), ("u", "L")], "54 L"),
            (Reads::Litres { about: None }, vec![("r", "14.5 USgal"), ("u", "L")], "14.5 USgal"),
            (Reads::Counter, vec![("r", "8"), ("u", "L")], "8 L"),
            (Reads::Counter, vec![("r", "unknown"), ("u", "L")], "unknown"),
            (Reads::Dip, vec![("r", "112"), ("u", "mm")], "112 mm"),
            (
                Reads::Density { grade: grade() },
                vec![("r", "0.712"), ("u", "kg/L"), ("t", "-2"), ("v", "degC")],
                "0.712 kg/L at -2 degC",
            ),
            (Reads::Look { grade: grade() }, vec![("r", "clear"), ("t", "blue")], "clear, blue"),
            (Reads::Waited { least: None }, vec![("r", "15"), ("u", "min")], "15 min"),
            (Reads::Resistance, vec![("r", "4")], "4 ohm"),
            (Reads::Yes, vec![("r", "no")], "no"),
            (Reads::Clock, vec![("r", "14:05")], "14:05"),
            (Reads::Grade { grade: grade() }, vec![("r", "avgas 100LL")], "avgas 100LL"),
            (
                Reads::Named { deed: Deed::Briefed, people: vec!["Ane".into(), "Isko D".into()] },
                vec![("who", "Ane"), ("who", "Isko D"), ("r", "14:05")],
                "Ane 14:05, Isko D 14:05",
            ),
        ] {
            let said = typed(&reads, &pairs(&rows));
            assert_eq!(said, text);
            assert!(reads.read(&said).is_ok(), "{said}");
        }
        let litres = Reads::Litres { about: None };
        // A number whose unit nobody chose is not taken.
        let bare = typed(&litres, &pairs(&[("r", "50"), ("u", "")]));
        assert!(litres.read(&bare).is_err(), "{bare}");
        assert_eq!(typed(&litres, &pairs(&[("u", "L")])), "");
        let said = typed(&litres, &pairs(&[("r", "many"), ("u", "L")]));
        assert!(litres.read(&said).is_err());
    }
}
