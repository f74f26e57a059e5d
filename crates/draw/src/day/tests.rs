//! Days nobody would see.

use proptest::prelude::*;

use super::*;
use crate::check::readable;

fn small() -> DayPicture {
    let sky = |from, to, sky| Stretch { from, to, sky };
    let ribbon = |place: &str, kind, at| Ribbon {
        place: place.into(),
        words: "first light 05:06, last light 18:24".into(),
        sky: vec![
            sky(-6.0, 5.1, Sky::Night),
            sky(5.1, 5.5, Sky::Twilight),
            sky(5.5, 18.0, Sky::Day),
            sky(18.0, 18.4, Sky::Twilight),
            sky(18.4, 29.0, Sky::Night),
        ],
        buffers: vec![Buffer { from: 18.1, to: 18.4, words: "20 min kept free".into() }],
        moments: vec![Moment {
            kind,
            at: Some(at),
            words: "moment".into(),
            verdict: Some(Verdict::Holds),
        }],
    };
    DayPicture {
        place: "ZZ-KEA".into(),
        day: "a day".into(),
        clock: "the clock here".into(),
        ribbons: vec![
            ribbon("Here", MomentKind::TakeOff, 13.8),
            ribbon("There", MomentKind::Landing, 14.3),
        ],
        hops: vec![Hop { from: (0, 13.8), to: (1, 14.3) }],
        windows: None,
        limits: vec![Limit {
            name: "arrival".into(),
            stands: "lands 14:18".into(),
            verdict: Verdict::Holds,
        }],
        notes: Vec::new(),
    }
}

fn hours() -> impl Strategy<Value = Hours> {
    let wrong = vec![f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, -71.0, 71.0];
    prop_oneof![14 => -20.0..44.0_f64, 1 => prop::sample::select(wrong)]
}

fn any_ribbon() -> impl Strategy<Value = Ribbon> {
    let sky = prop::sample::select(vec![Sky::Night, Sky::Twilight, Sky::Day]);
    let stretch = (hours(), hours(), sky).prop_map(|(from, to, sky)| Stretch { from, to, sky });
    let buffer =
        (hours(), hours(), "[b-e ]{0,40}").prop_map(|(from, to, words)| Buffer { from, to, words });
    let kinds = vec![MomentKind::TakeOff, MomentKind::Landing, MomentKind::Weather];
    let verdict = proptest::option::of(prop::sample::select(Verdict::ALL.to_vec()));
    let moment = (
        prop::sample::select(kinds),
        proptest::option::weighted(0.9, hours()),
        "[b-e ]{0,40}",
        verdict,
    )
        .prop_map(|(kind, at, words, verdict)| Moment { kind, at, words, verdict });
    (
        "[b-e ]{0,60}",
        "[b-e ]{0,160}",
        proptest::collection::vec(stretch, 0..7),
        proptest::collection::vec(buffer, 0..3),
        proptest::collection::vec(moment, 0..6),
    )
        .prop_map(|(place, words, sky, buffers, moments)| Ribbon {
            place,
            words,
            sky,
            buffers,
            moments,
        })
}

fn any_day() -> impl Strategy<Value = DayPicture> {
    let hop =
        ((0_usize..5, hours()), (0_usize..5, hours())).prop_map(|(from, to)| Hop { from, to });
    let window =
        (hours(), hours(), "[b-e ]{0,80}").prop_map(|(from, to, words)| Window { from, to, words });
    (
        proptest::collection::vec(any_ribbon(), 0..5),
        proptest::collection::vec(hop, 0..5),
        proptest::option::of(proptest::collection::vec(window, 0..4)),
    )
        .prop_map(|(ribbons, hops, windows)| DayPicture { ribbons, hops, windows, ..small() })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]
    #[test]
    fn nothing_lies_over_a_word_or_off_the_sheet(picture in any_day(), pixels in 320_u16..1600) {
        for width in [Width::PHONE, Width::LAPTOP, Width::of(pixels)] {
            let drawn = day(&picture, width);
            readable(&drawn);
            prop_assert!(!drawn.contains("NaN") && !drawn.contains("inf"));
        }
    }
}

#[test]
fn a_moment_without_a_time_is_unknown_and_said_so() {
    let said = |picture: &DayPicture| day(picture, Width::PHONE);
    assert!(said(&small()).contains("moment (holds)"));
    for wrong in [None, Some(f64::NAN), Some(1e6)] {
        let mut picture = small();
        picture.ribbons[1].moments[0].at = wrong;
        assert!(said(&picture).contains("moment at an unknown time (unknown)"), "{wrong:?}");
    }
}

#[test]
fn light_that_is_not_known_is_dashed_and_said() {
    let dashed = |picture: &DayPicture| {
        day(picture, Width::PHONE).matches("stroke-dasharray=\"5 3\"").count()
    };
    assert_eq!(dashed(&small()), 0);
    let mut picture = small();
    picture.ribbons[1].sky.clear();
    assert_eq!(dashed(&picture), 1);
    assert!(day(&picture, Width::PHONE).contains("light unknown"));
    // A gap is as little known as the whole.
    let mut picture = small();
    picture.ribbons[1].sky.remove(2);
    assert_eq!(dashed(&picture), 1);
}

#[test]
fn windows_are_said_and_none_at_all_is_no_silence() {
    let said = |windows| day(&DayPicture { windows, ..small() }, Width::PHONE);
    let window = Window { from: 12.2, to: 15.0, words: "12:10 to 15:02".into() };
    assert!(said(Some(vec![window])).contains("Every limit holds for a departure 12:10 to 15:02."));
    assert!(said(Some(Vec::new())).contains("No time of departure keeps every limit."));
    assert!(!said(None).contains("departure"));
}
