//! Fuelling from drums in a whole turnaround: each limit on both sides of its bound, and the
//! words that a pilot acts on.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod bad;

use jiff::Timestamp;
use stillprop_calc::{
    quantity::{FromAmount, Volume},
    trace::Working,
    unit,
};
use stillprop_turnaround::{
    assess::{assess, why},
    drums::{
        Container, Posture, Sample,
        order::{By, order},
    },
    limits::{Margins, Verdict},
    stage::{Choice, Documents, Stage},
    units::Units,
};

fn at(clock: &str) -> Timestamp {
    format!("2026-06-21T{clock}+10:00").parse().unwrap()
}

/// The documents of `bad/base` after edits of the turnaround, each `(from, to)`.
fn documents(edits: &[(&str, &str)]) -> Documents {
    let mut texts = bad::base();
    for (from, to) in edits {
        assert_eq!(texts.turnaround.matches(from).count(), 1, "{from}");
        texts.turnaround = texts.turnaround.replacen(from, to, 1);
    }
    bad::read(&texts).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

/// The same with the drum `B-1` changed.
fn with(edits: &[(&str, &str)], change: impl Fn(&mut Container)) -> (Stage, Choice) {
    let mut documents = documents(edits);
    let drum = documents.yard.iter_mut().flatten().find(|c| c.label == "B-1").unwrap();
    change(drum);
    bad::stage(documents).unwrap()
}

/// Verdict and words of a limit; the words of one that holds say how things stand.
#[track_caller]
fn said((stage, choice): &(Stage, Choice), id: &str) -> (Verdict, String) {
    bad::judge(stage, choice);
    let limits = assess(stage, choice, &Units::METRIC).limits;
    let Some(limit) = limits.iter().find(|limit| limit.id == id) else {
        let known: Vec<_> = limits.iter().map(|limit| &limit.id).collect();
        panic!("no limit {id} in {known:?}")
    };
    let act = limit.words.act.clone().map_or_else(String::new, |act| format!(": {act}"));
    (limit.verdict, format!("{}{act}", limit.words.stands))
}

#[track_caller]
fn expect(judged: &(Stage, Choice), id: &str, verdict: Verdict, words: &str) {
    let found = said(judged, id);
    assert_eq!(found, (verdict, words.to_owned()), "{id}");
}

/// Names of the limits of drums and samples.
fn names((stage, choice): &(Stage, Choice)) -> Vec<String> {
    let all = bad::judge(stage, choice).into_keys();
    all.filter(|id| id.starts_with("drum.") || id.starts_with("sample.")).collect()
}

const BEGINS: &str = "begins = 2026-06-21T13:20:00+10:00\n";

#[test]
fn each_named_drum_and_each_tank_has_its_limits_and_all_hold() {
    let judged = with(&[], |_| ());
    let per_drum = ["age", "condition", "grade", "quantity", "recall", "seal", "settled"];
    let per_sample = ["appearance", "density", "taken", "water"];
    let mut want: Vec<String> = ["B-1", "B-2"]
        .iter()
        .flat_map(|drum| {
            let drums = per_drum.iter().map(move |name| format!("drum.{name}.{drum}"));
            drums.chain(per_sample.iter().map(move |name| format!("sample.{name}.{drum}")))
        })
        .chain(["drum.uplift.left".into(), "drum.uplift.right".into()])
        .collect();
    want.sort();
    assert_eq!(names(&judged), want);
    for id in want {
        assert_eq!(said(&judged, &id).0, Verdict::Holds, "{id}");
    }
}

#[test]
fn without_drum_fuelling_there_is_no_limit_of_drums_or_samples() {
    let text = bad::base().turnaround;
    let start = text.find("yard = ").unwrap();
    let end = start + text[start..].find("]\n").unwrap() + 2;
    let naming = text[start..end].to_owned();
    for method in ["tanker", "self-serve"] {
        let edit = format!("method = \"{method}\"");
        let edits = [(naming.as_str(), ""), ("method = \"drum\"", edit.as_str())];
        assert_eq!(names(&bad::stage(documents(&edits)).unwrap()), Vec::<String>::new());
    }
}

#[test]
fn drum_fuelling_without_names_is_unknown_and_the_yard_says_what_would_do() {
    let text = bad::base().turnaround;
    let start = text.find("drums = [").unwrap();
    let naming = text[start..start + text[start..].find("]\n").unwrap() + 2].to_owned();
    let documents = documents(&[(&naming, "")]);
    let (stage, choice) = bad::stage(documents.clone()).unwrap();
    let limits = assess(&stage, &choice, &Units::METRIC).limits;
    let limit = limits.iter().find(|limit| limit.id == "drum.choice").unwrap();
    assert_eq!(limit.verdict, Verdict::Unknown);
    // 20 L and 5 USgal of 3.785 411 784 L.
    assert_eq!(limit.words.remark.as_deref(), Some("at Base yard: 39 L from B-1"));
    assert!(limit.words.act.as_ref().unwrap().contains("[[fuel.drums]]"));
    let (stage, choice) = bad::stage(Documents { yard: None, ..documents }).unwrap();
    expect(
        &(stage, choice),
        "drum.choice",
        Verdict::Unknown,
        "unknown: name the drums: [[fuel.drums]] with drum, draw and tank",
    );
}

#[test]
fn a_drum_that_is_not_in_the_yard_is_unknown_and_so_is_every_drum_without_a_yard() {
    let judged = with(&[("\"B-1\"", "\"B-11\"")], |_| ());
    let words = "unknown: there is no container `B-11` at Base yard; did you mean `B-1`?";
    expect(&judged, "drum.named.B-11", Verdict::Unknown, words);
    let documents = Documents { yard: None, ..documents(&[]) };
    let judged = bad::stage(documents).unwrap();
    let want = ["drum.named.B-1", "drum.named.B-2", "drum.uplift.left", "drum.uplift.right"];
    assert_eq!(names(&judged), want);
    assert_eq!(said(&judged, "drum.named.B-1").0, Verdict::Unknown);
}

#[test]
fn no_more_is_drawn_than_is_left_above_what_the_pump_leaves() {
    // 20 L are drawn, the demo's pump leaves 10 L.
    let left = |litres| with(&[], move |drum| drum.left = Volume::of(litres, unit::L));
    let words = "20 L of 20 L: 30 L less what the pump leaves";
    expect(&left(30.0), "drum.quantity.B-1", Verdict::Holds, words);
    let words = "20 L of 18 L: 28 L less what the pump leaves: 2 L more than it gives: take 2 L \
                 from another drum";
    expect(&left(28.0), "drum.quantity.B-1", Verdict::Breaks, words);
    assert_eq!(said(&left(0.0), "drum.quantity.B-1").0, Verdict::Breaks);
    let counted = with(&[], |drum| drum.counted_difference = Some(Volume::of(-4.0, unit::L)));
    let explained = why(&counted.0, &counted.1, &Units::METRIC, "drum.quantity.B-1").unwrap();
    let remark = explained.limit().unwrap().words.clone().remark.unwrap();
    assert_eq!(remark, "the last count found 4 L less than the book");
}

#[test]
fn one_drum_into_two_tanks_is_asked_once_for_both() {
    let edits = [("drum = \"B-2\"", "drum = \"B-1\"")];
    let judged = with(&edits, |drum| drum.left = Volume::of(45.0, unit::L));
    let words = "39 L of 35 L: 45 L less what the pump leaves: 4 L more than it gives: take 4 L \
                 from another drum";
    expect(&judged, "drum.quantity.B-1", Verdict::Breaks, words);
    // By its label and by the id on its tag.
    let edits = [("drum = \"B-2\"", "drum = \"tag of B-1\"")];
    let judged = with(&edits, |drum| drum.left = Volume::of(45.0, unit::L));
    expect(&judged, "drum.quantity.B-1", Verdict::Breaks, words);
    let Some(By::Drums(drums)) = order(&judged.0, &Units::METRIC).map(|order| order.by) else {
        panic!("drums")
    };
    assert_eq!((drums.len(), drums[0].into.len()), (1, 2));
}

#[test]
fn drums_give_each_tank_what_was_planned_no_less_and_no_more() {
    let draw = |litres: &str| with(&[("\"20000 mL\"", litres)], |_| ());
    let id = "drum.uplift.left";
    expect(&draw("\"20 L\""), id, Verdict::Holds, "20 L from drums, 20 L planned");
    let words = "18 L from drums, 20 L planned: 2 L short: draw 2 L more into left";
    expect(&draw("\"18 L\""), id, Verdict::Breaks, words);
    let words = "23 L from drums, 20 L planned: 3 L more than the load was reckoned with: draw \
                 3 L less";
    expect(&draw("\"23 L\""), id, Verdict::Breaks, words);
    let (stage, mut choice) = with(&[], |_| ());
    choice.fuel[0] = choice.fuel[0].map(|fuel| fuel + Volume::of(5.0, unit::L));
    let words = "20 L from drums, 25 L planned: 5 L short: draw 5 L more into left";
    expect(&(stage, choice), id, Verdict::Breaks, words);
}

#[test]
fn a_drum_has_settled_before_fuelling_begins_or_says_when_it_will_have() {
    // 60 min/m x 0.88 m x 200 L / 218.3 L = 48 min 22.4 s, so 12:31:37 is the last moment.
    let stands = |clock: &str| {
        let since = at(clock);
        with(&[], move |drum| {
            drum.stands_since = Some(since);
            drum.sample = None;
        })
    };
    let id = "drum.settled.B-1";
    expect(&stands("12:31:37"), id, Verdict::Holds, "settled at 13:20");
    let words = "settled at 13:21, 1 min after fuelling begins: wait until 13:21, then sample";
    expect(&stands("12:31:38"), id, Verdict::Breaks, words);
    let words = "settled at 13:49, 29 min after fuelling begins: wait until 13:49, then sample";
    expect(&stands("13:00:00"), id, Verdict::Breaks, words);
    let lying = with(&[], |drum| drum.posture = Some(Posture::OnSide));
    let words = "it lies on its side: stand it up and let it settle, then sample";
    expect(&lying, id, Verdict::Breaks, words);
    let moved = with(&[], |drum| drum.stands_since = None);
    assert_eq!(said(&moved, id).0, Verdict::Unknown);
}

#[test]
fn without_a_time_of_fuelling_only_what_is_sure_either_way_is_said() {
    let id = "drum.settled.B-1";
    let stands = |clock: &str, sampled: bool| {
        let since = at(clock);
        with(&[(BEGINS, "")], move |drum| {
            drum.stands_since = Some(since);
            drum.sample = drum.sample.take().filter(|_| sampled);
        })
    };
    // Sampled at 12:30, long after it had settled.
    expect(&stands("08:10:00", true), id, Verdict::Holds, "settled at 08:59");
    let words = "unknown: say when fuelling begins: it will have settled at 08:59";
    expect(&stands("08:10:00", false), id, Verdict::Unknown, words);
    // Chocks off are at 14:10: it cannot begin later than that.
    let words = "settled at 14:19, 9 min after chocks off: wait until 14:19, then sample";
    expect(&stands("13:30:00", false), id, Verdict::Breaks, words);
}

#[test]
fn a_sample_counts_that_was_drawn_low_after_settling_and_not_too_long_ago() {
    let id = "sample.taken.B-1";
    let sampled =
        |edit: fn(&mut Sample)| with(&[], move |drum| drum.sample.iter_mut().for_each(edit));
    expect(&sampled(|_| ()), id, Verdict::Holds, "sampled at 12:30, good for 12 h");
    let words = "sampled at 12:30: not drawn from the low point: sample again";
    expect(&sampled(|sample| sample.low_point = false), id, Verdict::Breaks, words);
    let words = "sampled at 08:05: it was moved after the sample: let it settle, sample again";
    expect(&sampled(|sample| sample.at = at("08:05:00")), id, Verdict::Breaks, words);
    // It stands since 08:10 and has settled at 08:58:23.
    let words = "sampled at 08:58: it had not settled before 08:59: sample again then";
    expect(&sampled(|sample| sample.at = at("08:58:22")), id, Verdict::Breaks, words);
    let settled = sampled(|sample| sample.at = at("08:58:23"));
    assert_eq!(said(&settled, id).0, Verdict::Holds);
    let words = "sampled at 13:21: after fuelling begins: sample before the first litre";
    expect(&sampled(|sample| sample.at = at("13:21:00")), id, Verdict::Breaks, words);
    let words = "unknown: no sample: let it settle, then draw one from the low point";
    expect(&with(&[], |drum| drum.sample = None), id, Verdict::Unknown, words);
}

#[test]
fn a_sample_goes_stale() {
    let id = "sample.taken.B-1";
    let on = |day: &str, clock: &str| {
        let at: Timestamp = format!("2026-06-{day}T{clock}+10:00").parse().unwrap();
        with(&[], move |drum| {
            drum.stands_since = "2026-06-19T08:00:00+10:00".parse().ok();
            drum.sample.iter_mut().for_each(|sample| sample.at = at);
        })
    };
    // Twelve hours before 13:20.
    assert_eq!(said(&on("21", "01:20:00"), id).0, Verdict::Holds);
    let words = "sampled at 01:19, good for 12 h: 1 min too long ago: sample again";
    expect(&on("21", "01:19:00"), id, Verdict::Breaks, words);
    let words =
        "sampled at 18:00 on 2026-06-20, good for 12 h: 7 h 20 min too long ago: sample again";
    expect(&on("20", "18:00:00"), id, Verdict::Breaks, words);
}

#[test]
fn the_working_of_a_drum_cites_the_pack_and_shows_the_steps() {
    let (stage, choice) = with(&[], |_| ());
    let working =
        |id: &str| -> Working { why(&stage, &choice, &Units::METRIC, id).unwrap().working };
    let settled = working("drum.settled.B-1");
    let what: Vec<_> = settled.steps.iter().map(|step| step.what.as_str()).collect();
    assert!(what.contains(&"settling by policy"), "{what:?}");
    let cites = |working: &Working, words: &str| {
        working.steps.iter().filter_map(|step| step.remark.as_ref()).any(|r| r.contains(words))
    };
    assert!(cites(&settled, "demo-operator") && cites(&settled, "E 5"), "{settled:?}");
    assert!(cites(&working("drum.age.B-1"), "E 1"));
    assert!(cites(&working("drum.quantity.B-1"), "E 4"));
    assert!(cites(&working("sample.taken.B-1"), "E 6"));
    let density = working("sample.density.B-1");
    assert!(density.steps.iter().any(|step| step.what == "density at 15 degC"), "{density:?}");
}

#[test]
fn two_ways_to_know_a_tank_are_compared_and_one_is_not() {
    let readings = |more: &str| {
        let to = format!("uplift = \"20 L\"{more} }}");
        bad::stage(documents(&[("uplift = \"20 L\" }", &to)])).unwrap()
    };
    let id = "fuel.reconcile.left";
    // The dip of 9 USgal is 34.07 L; 3 % less is 33.05 L.
    let words = "dip 34 L, gauge 33 L";
    expect(&readings(", gauge = \"33.05 L\""), id, Verdict::Holds, words);
    let words = "dip 34 L, gauge 33 L: no two agree: dip again, until then plan with the gauge, \
                 the lowest";
    expect(&readings(", gauge = \"33.04 L\""), id, Verdict::Breaks, words);
    let words = "dip 34 L, gauge 45 L, reckoned 34 L: believe the dip: another agrees with it, \
                 the gauge does not";
    let three = readings(", gauge = \"45 L\", reckoned = \"34 L\"");
    expect(&three, id, Verdict::Breaks, words);
    let (stage, choice) = readings("");
    assert!(!bad::judge(&stage, &choice).contains_key(id));
    let au = [
        ("pack = \"demo-operator+au\"", "pack = \"nz\""),
        ("uplift = \"20 L\" }", "uplift = \"20 L\", gauge = \"34 L\" }"),
    ];
    assert_eq!(said(&bad::stage(documents(&au)).unwrap(), id).0, Verdict::Unknown);
}

#[test]
fn the_order_says_what_to_take_and_what_stays_behind() {
    let (stage, _) = with(&[], |_| ());
    let ordered = order(&stage, &Units::METRIC).unwrap();
    let By::Drums(drums) = &ordered.by else { panic!("{ordered:?}") };
    let left = drums[0].leaves.unwrap().count(unit::L);
    assert!((left - 180.0).abs() < 1e-9, "{left}");
    // 5 USgal are 18.9 L: in whole litres 19.
    assert!((ordered.total.count(unit::L) - 39.0).abs() < 1e-9, "{ordered:?}");

    let text = bad::base().turnaround;
    let start = text.find("yard = ").unwrap();
    let naming = text[start..start + text[start..].find("]\n").unwrap() + 2].to_owned();
    let by = |method: &str| {
        let edit = format!("method = \"{method}\"");
        let edits = [(naming.as_str(), ""), ("method = \"drum\"", edit.as_str())];
        let (stage, _) = bad::stage(documents(&edits)).unwrap();
        order(&stage, &Units::METRIC).map(|order| order.by)
    };
    let Some(By::Tanker { read_back, ticket }) = by("tanker") else { panic!("a tanker") };
    assert_eq!(
        read_back,
        "XX-BAD: avgas 100LL, 39 L in all. left 20 L, right 19 L. Please read it back."
    );
    assert!(ticket.contains("avgas 100LL, 39 L, XX-BAD"), "{ticket}");
    assert!(matches!(by("self-serve"), Some(By::SelfServe { .. })));
}

#[test]
fn the_fast_path_judges_drums_without_taking_memory() {
    let unsettled = with(&[], |drum| drum.stands_since = None);
    let late = with(&[], |drum| drum.stands_since = Some(at("13:00:00")));
    for (stage, choice) in [with(&[], |_| ()), unsettled, late] {
        let mut margins = Margins::default();
        stage.margins(&choice, &mut margins);
        assert!(margins.limits.len() > 40, "{} limits", margins.limits.len());
        let taken = allocation_counter::measure(|| stage.margins(&choice, &mut margins));
        assert_eq!(taken.count_total, 0);
    }
}
