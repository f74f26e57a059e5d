//! Loads nobody would carry.

use proptest::prelude::*;

use super::*;
use crate::check::readable;

/// Two seats, a locker and a tank.
fn small() -> LoadingPicture {
    let place = |kind, name: &str, (arm, lateral): (f64, f64), load: f64| Place {
        kind,
        name: name.into(),
        at: Some(Station { arm, lateral }),
        load: Some(load),
        most: Most::Is(100.0),
        figure: format!("{load}"),
        stands: format!("{load} kg of 100 kg"),
        inside: String::new(),
        verdict: Verdict::Holds,
    };
    let corner = |arm, lateral| Station { arm, lateral };
    LoadingPicture {
        place: "ZZ-KEA".into(),
        day: "a day".into(),
        arm_unit: "m".into(),
        mass_unit: "kg".into(),
        outlines: vec![vec![
            corner(-1.0, -0.5),
            corner(-1.0, 0.5),
            corner(6.0, 0.1),
            corner(6.0, -0.1),
        ]],
        places: vec![
            place(PlaceKind::Seat, "1L", (0.9, -0.3), 79.0),
            place(PlaceKind::Seat, "1R", (0.9, 0.3), 60.0),
            place(PlaceKind::Locker, "aft locker", (2.6, 0.0), 20.0),
            place(PlaceKind::Tank, "left", (1.1, -2.4), 50.0),
        ],
        balance: Balance {
            arm: Some(1.2),
            allowed: Some((1.0, 1.4)),
            words: "take-off 1521 kg at 1.2 m".into(),
            verdict: Verdict::Holds,
        },
        notes: Vec::new(),
    }
}

const WRONG: [f64; 6] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -5.0, 1e300, 1e5];

fn number(range: std::ops::Range<f64>) -> impl Strategy<Value = f64> {
    prop_oneof![12 => range, 1 => prop::sample::select(WRONG.to_vec())]
}

fn station() -> impl Strategy<Value = Station> {
    (number(-2.0..9.0), number(-6.0..6.0)).prop_map(|(arm, lateral)| Station { arm, lateral })
}

fn any_place() -> impl Strategy<Value = Place> {
    let kind = prop::sample::select(vec![PlaceKind::Seat, PlaceKind::Locker, PlaceKind::Tank]);
    let most = prop_oneof![
        6 => number(0.0..120.0).prop_map(Most::Is),
        1 => Just(Most::None),
        1 => Just(Most::Unknown),
    ];
    let at = proptest::option::weighted(0.9, station());
    let load = proptest::option::weighted(0.9, number(0.0..150.0));
    let verdict = prop::sample::select(Verdict::ALL.to_vec());
    (kind, "[b-e ]{0,30}", at, load, most, "[0-9]{0,9}", "[b-e ]{0,90}", verdict).prop_map(
        |(kind, name, at, load, most, figure, words, verdict)| Place {
            kind,
            name,
            at,
            load,
            most,
            figure,
            stands: words.clone(),
            inside: words,
            verdict,
        },
    )
}

fn any_loading() -> impl Strategy<Value = LoadingPicture> {
    let outline = proptest::collection::vec(station(), 0..8);
    let allowed = proptest::option::weighted(0.8, (number(0.5..1.2), number(1.0..2.0)));
    (
        proptest::collection::vec(outline, 0..4),
        proptest::collection::vec(any_place(), 0..16),
        proptest::option::weighted(0.8, number(0.0..2.0)),
        allowed,
        "[b-e ]{0,90}",
    )
        .prop_map(|(outlines, places, arm, allowed, words)| LoadingPicture {
            outlines,
            places,
            balance: Balance { arm, allowed, words: words.clone(), verdict: Verdict::Holds },
            notes: vec![words],
            ..small()
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]
    #[test]
    fn nothing_lies_over_a_word_or_off_the_sheet(picture in any_loading(), pixels in 320_u16..1600) {
        for width in [Width::PHONE, Width::LAPTOP, Width::of(pixels)] {
            let drawn = loading(&picture, width);
            readable(&drawn);
            prop_assert!(!drawn.contains("NaN") && !drawn.contains("inf"));
        }
    }
}

#[test]
fn nothing_is_within_its_bound_without_a_number_on_both_sides() {
    let said = |picture: &LoadingPicture| loading(picture, Width::PHONE);
    assert!(said(&small()).contains("Seat 1L holds"));
    for wrong in [None, Some(f64::NAN), Some(-1.0), Some(f64::INFINITY)] {
        let mut picture = small();
        picture.places[0].load = wrong;
        assert!(said(&picture).contains("Seat 1L unknown"), "{wrong:?}");
    }
    for wrong in [Most::Unknown, Most::Is(f64::NAN), Most::Is(0.0)] {
        let mut picture = small();
        picture.places[0].most = wrong;
        assert!(said(&picture).contains("Seat 1L unknown"), "{wrong:?}");
    }
    let mut picture = small();
    picture.places[0].most = Most::None;
    assert!(said(&picture).contains("Seat 1L holds"));
    picture.places[0].verdict = Verdict::Breaks;
    assert!(said(&picture).contains("Seat 1L breaks"));
}

#[test]
fn a_balance_without_its_arm_or_its_bounds_is_unknown() {
    let said = |balance: Balance| loading(&LoadingPicture { balance, ..small() }, Width::PHONE);
    assert!(said(small().balance).contains("Balance holds"));
    for arm in [None, Some(f64::NAN)] {
        assert!(said(Balance { arm, ..small().balance }).contains("Balance unknown"));
    }
    for allowed in [None, Some((1.4, 1.0)), Some((f64::NAN, 1.0))] {
        assert!(said(Balance { allowed, ..small().balance }).contains("Balance unknown"));
    }
}

#[test]
fn a_place_without_an_arm_and_an_outline_that_nobody_placed_are_said() {
    let mut picture = small();
    picture.places[2].at = None;
    picture.outlines.clear();
    let drawn = loading(&picture, Width::PHONE);
    assert!(drawn.contains("arm unknown") && drawn.contains("The outline is not drawn"));
    let whole = loading(&small(), Width::PHONE);
    assert!(!whole.contains("arm unknown") && !whole.contains("The outline is not drawn"));
}

#[test]
fn stations_lie_at_their_arms_on_the_scale_below() {
    let picture = small();
    let view = figure::View::new(&picture, 0.0, (10.0, 380.0), 300.0);
    let scale = view.scale();
    for arm in [-1.0, 0.9, 6.0] {
        let at = view.at(Station { arm, lateral: 0.3 });
        assert!((at.0 - scale.at(arm)).abs() < 1e-9);
    }
    // To scale: as many pixels across as up, and the right side is up.
    let (zero, one) =
        (view.at(Station { arm: 0.0, lateral: 0.0 }), view.at(Station { arm: 1.0, lateral: 1.0 }));
    assert!((one.0 - zero.0 - (zero.1 - one.1)).abs() < 1e-9 && one.1 < zero.1);
}
