//! Strips nobody would build.

use proptest::prelude::*;

use super::*;
use crate::check::readable;

/// A short strip with trees at its end.
pub(super) fn short() -> ProfilePicture {
    ProfilePicture {
        place: "Taskel Bend 22".into(),
        day: "a day".into(),
        slope: Some(0.02),
        tora: Declared::Length(610.0),
        toda: Declared::Length(650.0),
        lda: Declared::Unknown,
        needs: vec![Need {
            name: "take-off run".into(),
            against: Against::Tora,
            manual: Some(412.0),
            factored: Some(515.0),
            factors: String::new(),
            margin: "95 m left".into(),
            verdict: Verdict::Holds,
        }],
        climb: Some(Climb {
            lift_off: Some(412.0),
            screen_at: Some(590.0),
            screen: 15.24,
            screen_words: "50 ft".into(),
            gradient: Some(0.06),
            words: String::new(),
        }),
        obstacles: vec![Obstacle {
            name: "trees".into(),
            distance: Some(820.0),
            height: Some(25.0),
            margin: "passed 16 m above".into(),
            verdict: Verdict::Holds,
        }],
        wind: None,
        notes: Vec::new(),
    }
}

/// Mostly a length, now and then none.
fn metres() -> impl Strategy<Value = Option<f64>> {
    prop_oneof![
        20 => (0.0..1500.0).prop_map(Some),
        2 => (0.0..19_000.0).prop_map(Some),
        1 => Just(None),
        1 => prop::sample::select(vec![f64::NAN, f64::INFINITY, -5.0, 1e300]).prop_map(Some),
    ]
}

fn ratio() -> impl Strategy<Value = Option<f64>> {
    prop_oneof![
        12 => (-0.15..0.15).prop_map(Some),
        1 => Just(None),
        1 => prop::sample::select(vec![f64::NAN, f64::INFINITY, -5.0, 1e300]).prop_map(Some),
    ]
}

fn declared() -> impl Strategy<Value = Declared> {
    prop_oneof![
        6 => metres().prop_map(|metres| metres.map_or(Declared::Unknown, Declared::Length)),
        1 => Just(Declared::NotUsed),
    ]
}

fn verdict() -> impl Strategy<Value = Verdict> {
    prop::sample::select(Verdict::ALL.to_vec())
}

fn need() -> impl Strategy<Value = Need> {
    let against = prop::sample::select(Against::ALL.to_vec());
    ("[b-e ]{0,40}", against, metres(), metres(), "[b-e ]{0,120}", verdict()).prop_map(
        |(name, against, manual, factored, words, verdict)| Need {
            name,
            against,
            manual,
            factored,
            factors: words.clone(),
            margin: words,
            verdict,
        },
    )
}

fn obstacle() -> impl Strategy<Value = Obstacle> {
    let height = prop_oneof![(-20.0..80.0).prop_map(Some), metres()];
    ("[b-e ]{0,30}", metres(), height, verdict()).prop_map(|(name, distance, height, verdict)| {
        Obstacle { margin: name.clone(), name, distance, height, verdict }
    })
}

fn climb() -> impl Strategy<Value = Climb> {
    (metres(), metres(), metres(), ratio()).prop_map(|(lift_off, screen_at, screen, gradient)| {
        Climb {
            lift_off,
            screen_at,
            screen: screen.unwrap_or(15.24),
            screen_words: "50 ft".into(),
            gradient,
            words: "words".into(),
        }
    })
}

fn any_profile() -> impl Strategy<Value = ProfilePicture> {
    (
        (declared(), declared(), declared(), ratio()),
        proptest::collection::vec(need(), 0..5),
        proptest::option::weighted(0.8, climb()),
        proptest::collection::vec(obstacle(), 0..9),
        proptest::option::of(ratio()),
    )
        .prop_map(|((tora, toda, lda, slope), needs, climb, obstacles, wind)| ProfilePicture {
            slope,
            tora,
            toda,
            lda,
            needs,
            climb,
            obstacles,
            wind: wind.map(|head| AlongWind { head, words: "wind words".into() }),
            notes: vec!["A note.".into()],
            ..short()
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]
    #[test]
    fn nothing_lies_over_a_word_or_off_the_sheet(picture in any_profile(), pixels in 320_u16..1600) {
        for width in [Width::PHONE, Width::LAPTOP, Width::of(pixels)] {
            let drawn = profile(&picture, width);
            readable(&drawn);
            prop_assert!(!drawn.contains("NaN") && !drawn.contains("inf"));
        }
    }
}

#[test]
fn nothing_fits_without_a_number_on_both_sides() {
    let picture = short();
    let said = |picture: &ProfilePicture| profile(picture, Width::PHONE);
    assert!(said(&picture).contains("Take-off run holds"));
    for wrong in [None, Some(f64::NAN), Some(-1.0), Some(f64::INFINITY)] {
        let mut needs = picture.needs.clone();
        needs[0].factored = wrong;
        let drawn = said(&ProfilePicture { needs, ..picture.clone() });
        assert!(drawn.contains("Take-off run unknown"));
        assert!(drawn.contains("with factors unknown"));
    }
    for wrong in [Declared::Unknown, Declared::NotUsed, Declared::Length(f64::NAN)] {
        let drawn = said(&ProfilePicture { tora: wrong, ..picture.clone() });
        assert!(drawn.contains("Take-off run unknown"), "{wrong:?}");
    }
}

#[test]
fn an_obstacle_without_a_place_is_listed_as_unknown_and_not_drawn() {
    let mut picture = short();
    picture.obstacles[0].distance = None;
    let drawn = profile(&picture, Width::PHONE);
    assert!(drawn.contains("Obstacle 1 unknown: trees") && drawn.contains("not drawn"));
    picture.obstacles[0].distance = Some(9000.0);
    let drawn = profile(&picture, Width::PHONE);
    assert!(drawn.contains("further out than drawn"));
}
