//! The demonstration turnarounds of the work tree, for tests and benchmarks.

use std::{
    fs,
    path::{Path, PathBuf},
};

use stillprop_rules::{builtin, document::At};
use stillprop_turnaround::{
    document::{check_against, read_aircraft, read_strip, read_turnaround},
    stage::{Choice, Documents, Stage, prepare},
};

/// The texts of one turnaround, as a person wrote them.
pub(crate) struct Texts {
    turnaround: String,
    aircraft: String,
    strip: String,
    legs: Vec<Option<String>>,
}

/// Reads the files of a turnaround.
pub(crate) fn texts(name: &str) -> Texts {
    let path = folder().join(name).with_extension("toml");
    let text = text(&path);
    let turnaround = read_turnaround(&text).unwrap_or_else(|why| panic!("{name}: {why:#?}"));
    let beside = |named: &At<String>| self::text(&folder().join(&named.value));
    Texts {
        aircraft: beside(&turnaround.aircraft),
        strip: beside(&turnaround.strip),
        legs: turnaround.legs.iter().map(|leg| leg.strip.as_ref().map(beside)).collect(),
        turnaround: text,
    }
}

/// From texts to checked documents: all that a program does between disk and rules.
pub(crate) fn documents(texts: &Texts) -> Documents {
    let turnaround = read_turnaround(&texts.turnaround).expect("a turnaround");
    let aircraft = read_aircraft(&texts.aircraft).expect("an aircraft");
    let strip = read_strip(&texts.strip).expect("a strip");
    let leg = |text: &Option<String>| text.as_ref().map(|text| read_strip(text).expect("a strip"));
    let legs: Vec<_> = texts.legs.iter().map(leg).collect();
    assert_eq!(check_against(&turnaround, &aircraft, &strip, &legs), []);
    Documents { turnaround, aircraft, strip, legs, yard: None }
}

/// A turnaround, prepared.
pub(crate) fn stage(name: &str) -> (Stage, Choice) {
    let documents = documents(&texts(name));
    let rules = builtin::rules(&documents.turnaround.pack.value).expect("the pack is built in");
    prepare(documents, &rules)
}

/// The same from documents whose texts were changed: turnaround, aircraft and strips, in that order.
/// `None` where they are no documents any more, or do not fit each other.
#[allow(dead_code, reason = "not every test changes them")]
pub(crate) fn changed(
    name: &str,
    pack: &str,
    change: &mut impl FnMut(usize, &str) -> String,
) -> Option<(Stage, Choice)> {
    let texts = texts(name);
    let turnaround = read_turnaround(&change(0, &texts.turnaround)).ok()?;
    let aircraft = read_aircraft(&change(1, &texts.aircraft)).ok()?;
    let strip = read_strip(&change(2, &texts.strip)).ok()?;
    let mut leg = |text: &Option<String>| match text {
        None => Some(None),
        Some(text) => read_strip(&change(2, text)).ok().map(Some),
    };
    let legs: Vec<_> = texts.legs.iter().map(&mut leg).collect::<Option<_>>()?;
    if !check_against(&turnaround, &aircraft, &strip, &legs).is_empty() {
        return None;
    }
    let rules = builtin::rules(pack).ok()?;
    Some(prepare(Documents { turnaround, aircraft, strip, legs, yard: None }, &rules))
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/turnarounds")
}

fn text(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}
