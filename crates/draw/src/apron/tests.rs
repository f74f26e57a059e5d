//! Aprons nobody would build: everything at once, anywhere, or nowhere.

use proptest::prelude::*;

use super::*;
use crate::check::readable;

/// Mostly on the apron, now and then nowhere.
fn metres() -> impl Strategy<Value = f64> {
    prop_oneof![
        40 => -45.0..45.0,
        3 => -800.0..800.0,
        1 => prop::sample::select(vec![f64::NAN, f64::INFINITY, -1e300, 0.0]),
    ]
}

fn spot() -> impl Strategy<Value = Spot> {
    (metres(), metres()).prop_map(|(east, north)| Spot::new(east, north))
}

fn near() -> impl Strategy<Value = Spot> {
    (-8.0..8.0, -8.0..8.0).prop_map(|(east, north)| Spot::new(east, north))
}

fn outline() -> impl Strategy<Value = Outline> {
    prop_oneof![
        proptest::collection::vec(spot(), 0..7).prop_map(|points| Outline::of(&points)),
        (spot(), metres()).prop_map(|(middle, radius)| Outline::circle(middle, radius)),
    ]
}

fn thing() -> impl Strategy<Value = Thing> {
    let kinds = vec![
        ThingKind::SealedBuilding,
        ThingKind::UnsealedBuilding,
        ThingKind::PublicArea,
        ThingKind::Aircraft,
        ThingKind::Road,
        ThingKind::Drain,
        ThingKind::Water,
        ThingKind::Obstacle,
        ThingKind::Gate,
        ThingKind::Extinguisher,
        ThingKind::SpillKit,
        ThingKind::EmergencyStop,
        ThingKind::Drum,
        ThingKind::Trolley,
        ThingKind::Bowser,
        ThingKind::Pump,
        ThingKind::Person,
        ThingKind::Ignition,
    ];
    let extent = prop_oneof![
        3 => spot().prop_map(Extent::Spot),
        2 => near().prop_map(Extent::Spot),
        1 => proptest::collection::vec(spot(), 0..5).prop_map(Extent::Line),
        2 => outline().prop_map(Extent::Area),
    ];
    (prop::sample::select(kinds), "[b-eB-E0-9 -]{0,22}", extent)
        .prop_map(|(kind, name, extent)| Thing { kind, name, extent })
}

fn verdict() -> impl Strategy<Value = Verdict> {
    prop::sample::select(Verdict::ALL.to_vec())
}

fn clearance() -> impl Strategy<Value = Clearance> {
    let between = proptest::option::weighted(0.9, (near(), spot()));
    let metres = || proptest::option::weighted(0.9, metres());
    ("[b-e ]{0,60}", between, metres(), metres(), "[b-e0-9 .]{0,60}", verdict()).prop_map(
        |(what, between, measured, bound, rule, verdict)| Clearance {
            what,
            between,
            measured,
            bound,
            rule,
            verdict,
        },
    )
}

fn aeroplane() -> impl Strategy<Value = Aeroplane> {
    let near = || proptest::collection::vec(near(), 0..4);
    (outline(), outline(), proptest::option::of(outline()), near(), near(), near(), metres())
        .prop_map(|(body, disc, margin, wheels, fillers, vents, heading)| Aeroplane {
            name: "ZZ-KEA".into(),
            heading: Some(heading),
            outlines: vec![Outline::circle(Spot::new(0.0, 0.0), 5.0), body],
            propellers: vec![Propeller { disc, margin }],
            doors: vents
                .iter()
                .map(|at| Door { name: "door".into(), at: *at, step: None })
                .collect(),
            wheels,
            fillers,
            vents,
        })
}

fn walk() -> impl Strategy<Value = Walk> {
    let words = || "[b-e ]{0,80}";
    prop_oneof![
        (proptest::collection::vec(spot(), 0..6), words())
            .prop_map(|(points, words)| Walk::Path { points, words }),
        (spot(), spot(), outline(), words()).prop_map(|(from, to, by, words)| Walk::Blocked {
            from: Some(from),
            to: Some(to),
            by: Some(by),
            words
        }),
        words().prop_map(|words| Walk::Unknown { words }),
    ]
}

fn any_apron() -> impl Strategy<Value = ApronPicture> {
    let fuel = (
        proptest::collection::vec(outline(), 0..3),
        proptest::collection::vec((outline(), proptest::option::of(outline())), 0..3),
        proptest::option::of((proptest::collection::vec(spot(), 0..5), verdict())),
        proptest::option::of(metres()),
    );
    (
        proptest::option::of(outline()),
        proptest::collection::vec(thing(), 0..22),
        proptest::option::weighted(0.9, aeroplane()),
        fuel,
        proptest::option::of(walk()),
        proptest::collection::vec(clearance(), 0..16),
    )
        .prop_map(
            |(ground, things, aeroplane, (zones, spills, hose, wind), walk, clearances)| {
                ApronPicture {
                    place: "Nessow Top".into(),
                    day: "a day".into(),
                    ground,
                    things,
                    aeroplane,
                    zones: zones
                        .into_iter()
                        .map(|outline| Zone { words: "zone".into(), outline })
                        .collect(),
                    spills: spills
                        .into_iter()
                        .map(|(outline, ring)| Spill {
                            words: "spill".into(),
                            outline,
                            ring,
                            ring_words: "ring".into(),
                        })
                        .collect(),
                    hose: hose.map(|(points, verdict)| Hose {
                        points,
                        words: "hose".into(),
                        verdict,
                    }),
                    walk,
                    clearances,
                    wind: wind.map(|from| Wind { from: Some(from), words: "from there".into() }),
                    notes: Vec::new(),
                }
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    #[test]
    fn nothing_lies_over_a_word_or_off_the_sheet(picture in any_apron(), pixels in 320_u16..1300) {
        for width in [Width::PHONE, Width::LAPTOP, Width::of(pixels)] {
            let drawn = apron(&picture, width);
            readable(&drawn);
            prop_assert!(!drawn.contains("NaN") && !drawn.contains("inf"));
        }
    }

    #[test]
    fn every_clearance_stands_in_the_list_and_in_words(picture in any_apron()) {
        let drawn = apron(&picture, Width::PHONE);
        for (place, clearance) in picture.clearances.iter().enumerate() {
            let said = format!("Clearance {} {}", place + 1, say::verdict(clearance).word());
            prop_assert!(drawn.contains(&said), "{said}");
            let both = say::both(clearance);
            prop_assert!(drawn.matches(&both).count() >= 2, "{both}");
        }
    }
}

/// A crowd that no letter has room in: 300 people on 20 square metres.
#[test]
fn what_has_no_room_is_said_and_not_drawn_over_others() {
    let person = |place: i32| Thing {
        kind: ThingKind::Person,
        name: format!("person {place}"),
        extent: Extent::Spot(Spot::new(f64::from(place % 20) / 4.0, f64::from(place / 20) / 4.0)),
    };
    let picture =
        ApronPicture { things: (0..300).map(person).collect(), ..ApronPicture::default() };
    let drawn = apron(&picture, Width::PHONE);
    readable(&drawn);
    assert!(drawn.contains("no room for its sign"), "all 300 found room");
}

#[test]
fn an_apron_of_nothing_says_that_all_is_unknown() {
    let drawn = apron(&ApronPicture::default(), Width::PHONE);
    readable(&drawn);
    for said in ["no clearances were given", "the aeroplane", "wind unknown", "place unknown"] {
        assert!(drawn.contains(said), "{said}");
    }
}
