//! The worked answers of `packs/goods/cases.toml`: every row of every table, every limit from
//! both sides; and sums over the things of one person.

use serde::Deserialize;
use stillprop_rules::{
    builtin, document,
    goods::{Measured, Place, Row, measured},
    pack::Read,
};

use super::{Answer, Goods, Thing, screen};

#[derive(Deserialize)]
struct Cases {
    #[serde(rename = "format")]
    _format: u32,
    #[serde(rename = "kind")]
    _kind: String,
    lines: Vec<String>,
}

struct Case {
    table: String,
    thing: Thing,
    answer: Answer,
    line: String,
}

fn case(line: &str) -> Case {
    let (question, answer) = line.split_once(" = ").unwrap();
    let mut words = question.split(' ');
    let (table, item) = (words.next().unwrap(), words.next().unwrap());
    let mut thing = thing(item);
    for word in words {
        match word {
            "approved" => thing.approved = true,
            "person" => thing.place = Some(Place::Person),
            "cabin" => thing.place = Some(Place::Cabin),
            "reach" => thing.place = Some(Place::Reachable),
            "hold" => thing.place = Some(Place::Hold),
            "anywhere" => thing.place = None,
            "x?" => thing.count = None,
            word => match word.strip_prefix('x') {
                Some(count) => thing.count = Some(count.parse().unwrap()),
                None => thing.each = Some(measured(word).unwrap()),
            },
        }
    }
    let answer = match answer {
        "allowed" => Answer::Allowed,
        "conditions" => Answer::Conditions,
        "approval" => Answer::Approval,
        "unknown" => Answer::Unknown,
        "forbidden" => Answer::Forbidden,
        other => panic!("{line}: {other}"),
    };
    Case { table: table.into(), thing, answer, line: line.into() }
}

fn thing(item: &str) -> Thing {
    Thing {
        said: item.into(),
        item: Ok(item.into()),
        each: None,
        count: Some(1),
        place: None,
        of: None,
        approved: false,
    }
}

fn cases() -> Vec<Case> {
    let cases: Cases = document::read(include_str!("../../../../packs/goods/cases.toml")).unwrap();
    cases.lines.iter().map(|line| case(line)).collect()
}

/// The goods of one table alone.
fn only(table: &str) -> Goods {
    let rules = if table == "us" { "us" } else { "au" };
    Goods::of(&builtin::rules(rules).unwrap()).unwrap()
}

fn answer(goods: &Goods, things: &[Thing]) -> Vec<Answer> {
    screen(goods, things).into_iter().map(|judged| judged.answer).collect()
}

#[test]
fn every_worked_answer_holds_and_says_where_it_comes_from() {
    for case in cases() {
        let goods = only(&case.table);
        let judged = screen(&goods, std::slice::from_ref(&case.thing)).remove(0);
        assert_eq!(judged.answer, case.answer, "{}: {:?}", case.line, judged.reasons);
        assert!(!judged.reasons.is_empty(), "{}", case.line);
        let has_row = goods.tables[0].rows_of(case.thing.item.as_ref().unwrap()).count() > 0;
        assert_eq!(judged.grounds.is_empty(), !has_row, "{}", case.line);
        if judged.answer == Answer::Conditions {
            assert!(!judged.conditions.is_empty(), "{}", case.line);
        }
    }
}

/// The case's piece falls into a row.
fn reaches(row: &Row, case: &Case) -> bool {
    let item = case.thing.item.as_ref().unwrap() == &row.item;
    let over = |measured: &Measured| match (&row.over, case.thing.each) {
        (Some(over), Some(each)) => each.amount.si > over.amount.si,
        (Some(_), None) => false,
        (None, _) => measured.amount.si > 0.0,
    };
    let up_to = match case.thing.each {
        None => row.over.is_none(),
        Some(each) => {
            row.each.is_empty()
                || row.each.iter().any(|limit| {
                    limit.amount.kind == each.amount.kind
                        && each.amount.si <= limit.amount.si * (1.0 + 1e-9)
                        && over(&each)
                })
        }
    };
    item && up_to
}

#[test]
fn every_row_of_every_table_is_reached_and_every_limit_is_tried_from_both_sides() {
    let cases = cases();
    for table in ["icao", "us"] {
        let goods = only(table);
        for row in &goods.tables[0].rows {
            let of_table = || cases.iter().filter(|case| case.table == table);
            let mine: Vec<_> = of_table().filter(|case| reaches(row, case)).collect();
            assert!(!mine.is_empty(), "{table}: no case reaches {} over {:?}", row.item, row.over);
            let near = |value: f64, limit: f64| (value / limit - 1.0).abs() < 0.06;
            for limit in &row.each {
                let at = |case: &&Case| {
                    case.thing.each.is_some_and(|each| {
                        each.amount.kind == limit.amount.kind
                            && near(each.amount.si, limit.amount.si)
                    })
                };
                let below =
                    mine.iter().copied().filter(at).any(|case| case.answer < Answer::Forbidden);
                let above = of_table().filter(|case| case.thing.item.as_ref() == Ok(&row.item));
                let above = above.filter(at).any(|case| {
                    case.thing.each.unwrap().amount.si > limit.amount.si
                        && case.answer >= Answer::Approval
                });
                assert!(below && above, "{table}: {} at {limit}: {below} {above}", row.item);
            }
            if let Some(count) = row.count {
                let said = |n| {
                    mine.iter().any(|case| {
                        case.thing.count == Some(n)
                            && match n {
                                n if n > count => case.answer == Answer::Forbidden,
                                _ => case.answer < Answer::Unknown,
                            }
                    })
                };
                assert!(said(count) && said(count + 1), "{table}: {} count {count}", row.item);
            }
        }
    }
}

#[test]
fn what_was_remembered_says_so() {
    for table in ["icao", "us"] {
        for row in &only(table).tables[0].rows {
            if row.read == Read::Memory {
                let note = row.note.as_deref().unwrap_or("").to_lowercase();
                assert!(note.contains("memory"), "{table}: {}: {note}", row.item);
            }
        }
    }
}

fn of(person: &str, item: &str, each: &str, count: u32, place: Place) -> Thing {
    Thing {
        of: Some(person.into()),
        each: Some(measured(each).unwrap()),
        count: Some(count),
        place: Some(place),
        ..thing(item)
    }
}

#[test]
fn sums_of_one_person_run_over_items_and_places() {
    let goods = only("us");
    let ane = |item, each, count, place| of("Ane", item, each, count, place);
    // 1 L + 0.5 L + 0.5 kg are just 2; another drop is too much.
    let mut things = vec![
        ane("toiletry", "500 mL", 2, Place::Cabin),
        ane("repellent-skin", "250 mL", 2, Place::Hold),
        ane("aerosol-plain", "0.5 kg", 1, Place::Hold),
    ];
    assert_eq!(answer(&goods, &things), [Answer::Conditions; 3]);
    things.push(ane("toiletry", "1 mL", 1, Place::Person));
    assert_eq!(answer(&goods, &things), [Answer::Forbidden; 4]);
    // Somebody else's does not count.
    things[3].of = Some("Isko".into());
    assert_eq!(answer(&goods, &things), [Answer::Conditions; 4]);
    // Nobody's counts with everybody's.
    things[3].of = None;
    assert_eq!(answer(&goods, &things)[0], Answer::Forbidden);
    assert_eq!(answer(&goods, &things)[3], Answer::Forbidden);
}

#[test]
fn matches_and_a_lighter_are_one_too_many() {
    for table in ["icao", "us"] {
        let goods = only(table);
        let mut things = vec![thing("lighter"), thing("matches-safety")];
        for one in &mut things {
            one.place = Some(Place::Person);
            one.of = Some("Ane".into());
        }
        assert_eq!(answer(&goods, &things), [Answer::Forbidden; 2], "{table}");
        things[1].of = Some("Isko".into());
        assert_eq!(answer(&goods, &things), [Answer::Conditions; 2], "{table}");
    }
}

#[test]
fn batteries_of_one_band_are_counted_over_things_and_small_ones_are_not() {
    let goods = only("us");
    let spare = |each, count| Thing {
        approved: true,
        ..of("Ane", "lithium-spare", each, count, Place::Cabin)
    };
    let things = [spare("120 Wh", 1), spare("160 Wh", 1), spare("50 Wh", 9)];
    assert_eq!(answer(&goods, &things), [Answer::Conditions; 3]);
    let things = [spare("120 Wh", 2), spare("160 Wh", 1), spare("50 Wh", 9)];
    let got = answer(&goods, &things);
    assert_eq!(got, [Answer::Forbidden, Answer::Forbidden, Answer::Conditions]);
}

#[test]
fn one_open_size_leaves_the_sum_of_its_pool_open() {
    let goods = only("us");
    let open = Thing { each: None, ..of("Ane", "toiletry", "1 mL", 1, Place::Cabin) };
    let things = [of("Ane", "repellent-skin", "100 mL", 1, Place::Cabin), open];
    assert_eq!(answer(&goods, &things), [Answer::Unknown; 2]);
}

#[test]
fn the_strictest_of_two_tables_counts_and_no_table_means_unknown() {
    let both = Goods::of(&builtin::rules("strictest(au,us)").unwrap()).unwrap();
    let hold = |item: &str| Thing { place: Some(Place::Hold), ..thing(item) };
    assert_eq!(answer(&both, &[hold("engine-tool")]), [Answer::Forbidden]);
    assert_eq!(answer(&only("us"), &[hold("engine-tool")]), [Answer::Conditions]);
    let mut none = only("us");
    none.without = vec!["river-air".into()];
    assert_eq!(answer(&none, &[hold("engine-tool")]), [Answer::Unknown]);
    assert_eq!(answer(&none, &[hold("fuel")]), [Answer::Forbidden]);
    none.tables.clear();
    assert_eq!(answer(&none, &[hold("drink-weak")]), [Answer::Unknown]);
}

#[test]
fn only_two_answers_let_a_thing_come() {
    let come: Vec<_> = Answer::ALL.into_iter().filter(|answer| answer.may_come()).collect();
    assert_eq!(come, [Answer::Allowed, Answer::Conditions]);
}
