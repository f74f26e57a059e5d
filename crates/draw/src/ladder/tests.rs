//! Fuel nobody would carry.

use proptest::prelude::*;

use super::*;
use crate::{Verdict, check::readable};

fn amount(value: f64) -> Amount {
    Amount { value: Some(value), words: format!("{value} L") }
}

fn small() -> LadderPicture {
    let rung = |name: &str, value, kept| Rung { name: name.into(), amount: amount(value), kept };
    LadderPicture {
        place: "ZZ-KEA".into(),
        day: "a day".into(),
        unusable: amount(10.0),
        rungs: vec![rung("trip", 70.0, false), rung("final reserve", 30.0, true)],
        required: amount(100.0),
        aboard: amount(120.0),
        capacity: amount(200.0),
        enough: Limit {
            name: "enough aboard".into(),
            stands: "20 L to spare".into(),
            verdict: Verdict::Holds,
        },
        limits: Vec::new(),
        notes: Vec::new(),
    }
}

fn any_amount() -> impl Strategy<Value = Amount> {
    let wrong = vec![f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -5.0, 1e300];
    let value = prop_oneof![
        10 => (0.0..300.0).prop_map(Some),
        2 => Just(Some(0.0)),
        1 => Just(None),
        1 => prop::sample::select(wrong).prop_map(Some),
    ];
    (value, "[b-e ]{0,30}").prop_map(|(value, words)| Amount { value, words })
}

fn any_ladder() -> impl Strategy<Value = LadderPicture> {
    let rung = ("[b-e ]{0,40}", any_amount(), any::<bool>())
        .prop_map(|(name, amount, kept)| Rung { name, amount, kept });
    let verdict = prop::sample::select(Verdict::ALL.to_vec());
    let limit = ("[b-e ]{0,40}", "[b-e ]{0,120}", verdict)
        .prop_map(|(name, stands, verdict)| Limit { name, stands, verdict });
    (
        proptest::collection::vec(rung, 0..9),
        [any_amount(), any_amount(), any_amount(), any_amount()],
        limit.clone(),
        proptest::collection::vec(limit, 0..7),
    )
        .prop_map(|(rungs, [unusable, required, aboard, capacity], enough, limits)| {
            LadderPicture {
                unusable,
                rungs,
                required,
                aboard,
                capacity,
                enough,
                limits,
                notes: vec!["A note.".into()],
                ..small()
            }
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]
    #[test]
    fn nothing_lies_over_a_word_or_off_the_sheet(picture in any_ladder(), pixels in 320_u16..1600) {
        for width in [Width::PHONE, Width::LAPTOP, Width::of(pixels)] {
            let drawn = ladder(&picture, width);
            readable(&drawn);
            prop_assert!(!drawn.contains("NaN") && !drawn.contains("inf"));
        }
    }
}

#[test]
fn nothing_is_enough_without_a_number_on_both_sides() {
    let said = |picture: &LadderPicture| ladder(picture, Width::PHONE);
    assert!(said(&small()).contains("Enough aboard holds"));
    for wrong in [None, Some(f64::NAN), Some(-1.0), Some(f64::INFINITY), Some(1e6)] {
        let bad = Amount { value: wrong, words: "words".into() };
        let required = LadderPicture { required: bad.clone(), ..small() };
        let aboard = LadderPicture { aboard: bad, ..small() };
        for picture in [required, aboard] {
            let drawn = said(&picture);
            assert!(drawn.contains("Enough aboard unknown"), "{wrong:?}");
            assert!(drawn.contains("required against aboard: unknown"), "{wrong:?}");
        }
    }
}

#[test]
fn a_rung_that_is_not_known_says_so_and_what_stands_on_it_is_dashed() {
    let dashed = |picture: &LadderPicture| {
        ladder(picture, Width::PHONE).matches("stroke-dasharray=\"4 3\"").count()
    };
    let mut picture = small();
    picture.rungs.swap(0, 1);
    assert_eq!(dashed(&picture), 0);
    picture.rungs[0].amount.value = None;
    assert_eq!(dashed(&picture), 1);
    assert!(ladder(&picture, Width::PHONE).contains("Final reserve: unknown"));
}

#[test]
fn what_is_short_is_full_and_nothing_else_is() {
    let full = |aboard: f64| {
        let picture = LadderPicture { aboard: amount(aboard), ..small() };
        let paint = format!("fill=\"{}\"", Verdict::Breaks.colour());
        ladder(&picture, Width::PHONE).matches(&paint).count()
    };
    // The last rung and the sum; both rungs and the sum; nothing.
    assert_eq!((full(90.0), full(50.0), full(100.0)), (2, 3, 0));
}
