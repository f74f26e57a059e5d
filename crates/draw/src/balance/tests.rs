//! Envelopes and burns nobody would fly.

use proptest::prelude::*;

use super::*;
use crate::check::readable;

fn limit(name: &str, verdict: Verdict) -> Limit {
    Limit { name: name.into(), stands: "10 mm inside".into(), verdict }
}

const fn point(arm: f64, mass: f64) -> Point {
    Point { arm, mass }
}

fn small() -> BalancePicture {
    BalancePicture {
        place: "ZZ-KEA".into(),
        day: "a day".into(),
        arm_unit: "m".into(),
        mass_unit: "kg".into(),
        envelope: vec![
            point(0.9, 900.0),
            point(0.9, 1200.0),
            point(1.1, 1600.0),
            point(1.4, 1600.0),
            point(1.4, 900.0),
        ],
        path: vec![point(1.2, 1500.0), point(1.3, 1300.0)],
        stages: vec![Stage {
            name: "take-off".into(),
            at: Some(point(1.2, 1500.0)),
            words: "1500 kg at 1.2 m".into(),
            verdict: Verdict::Holds,
        }],
        edges: vec![Edge {
            from: Some(point(1.3, 1300.0)),
            to: Some(point(1.4, 1300.0)),
            limit: limit("aft edge", Verdict::Holds),
        }],
        ceilings: vec![Ceiling {
            name: "take-off 1550".into(),
            mass: Some(1550.0),
            limit: limit("take-off mass", Verdict::Holds),
        }],
        notes: Vec::new(),
    }
}

const WRONG: [f64; 5] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -5.0, 1e300];

fn number(range: std::ops::Range<f64>) -> impl Strategy<Value = f64> {
    prop_oneof![20 => range, 1 => prop::sample::select(WRONG.to_vec())]
}

fn any_point() -> impl Strategy<Value = Point> {
    (number(0.5..2.0), number(600.0..2000.0)).prop_map(|(arm, mass)| point(arm, mass))
}

fn some_point() -> impl Strategy<Value = Option<Point>> {
    proptest::option::weighted(0.9, any_point())
}

fn any_limit() -> impl Strategy<Value = Limit> {
    let verdict = prop::sample::select(Verdict::ALL.to_vec());
    ("[b-e ]{0,40}", "[b-e ]{0,120}", verdict).prop_map(|(name, stands, verdict)| Limit {
        name,
        stands,
        verdict,
    })
}

fn any_balance() -> impl Strategy<Value = BalancePicture> {
    let stage = ("[b-e ]{0,30}", some_point(), prop::sample::select(Verdict::ALL.to_vec()));
    let stage =
        stage.prop_map(|(name, at, verdict)| Stage { words: name.clone(), name, at, verdict });
    let edge = (some_point(), some_point(), any::<bool>(), any_limit()).prop_map(
        |(from, to, level, limit)| {
            // As edges are: level with the point or straight above it.
            let to = from.zip(to).map(|(from, to)| match level {
                true => point(to.arm, from.mass),
                false => point(from.arm, to.mass),
            });
            Edge { from, to, limit }
        },
    );
    let ceiling = ("[b-e ]{0,20}", proptest::option::of(number(800.0..1700.0)), any_limit())
        .prop_map(|(name, mass, limit)| Ceiling { name, mass, limit });
    (
        proptest::collection::vec(any_point(), 0..8),
        proptest::collection::vec(any_point(), 0..20),
        proptest::collection::vec(stage, 0..10),
        proptest::collection::vec(edge, 0..6),
        proptest::collection::vec(ceiling, 0..6),
    )
        .prop_map(|(envelope, path, stages, edges, ceilings)| BalancePicture {
            envelope,
            path,
            stages,
            edges,
            ceilings,
            notes: vec!["A note.".into()],
            ..small()
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]
    #[test]
    fn nothing_lies_over_a_word_or_off_the_sheet(picture in any_balance(), pixels in 320_u16..1600) {
        for width in [Width::PHONE, Width::LAPTOP, Width::of(pixels)] {
            let drawn = balance(&picture, width);
            readable(&drawn);
            prop_assert!(!drawn.contains("NaN") && !drawn.contains("inf"));
        }
    }
}

#[test]
fn an_edge_or_a_stage_without_a_place_is_unknown_and_said_so() {
    let said = |picture: &BalancePicture| balance(picture, Width::PHONE);
    let whole = said(&small());
    assert!(whole.contains("Aft edge holds") && whole.contains("inside the envelope"));
    for wrong in [None, Some(point(f64::NAN, 1300.0)), Some(point(1.3, -1.0))] {
        let mut picture = small();
        picture.edges[0].from = wrong;
        picture.stages[0].at = wrong;
        let drawn = said(&picture);
        assert!(drawn.contains("Aft edge unknown") && drawn.contains("Not drawn."), "{wrong:?}");
        assert!(drawn.contains("Take-off: not known, unknown whether inside"), "{wrong:?}");
    }
    let mut picture = small();
    picture.ceilings[0].mass = None;
    assert!(said(&picture).contains("Take-off mass unknown"));
}

#[test]
fn an_envelope_or_a_burn_that_is_not_known_is_said() {
    let picture = BalancePicture { envelope: Vec::new(), path: Vec::new(), ..small() };
    let drawn = balance(&picture, Width::LAPTOP);
    assert!(
        drawn.contains("The envelope is unknown.") && drawn.contains("envelope unknown</text>")
    );
    assert!(drawn.contains("The burn is not drawn."));
    let mut bad = small();
    bad.envelope[0].mass = f64::NAN;
    let drawn = balance(&bad, Width::LAPTOP);
    assert!(
        drawn.contains("The envelope is unknown.") && drawn.contains("envelope unknown</text>")
    );
}

#[test]
fn the_part_of_the_burn_that_lies_outside_is_heavy() {
    let heavy = |picture: &BalancePicture| {
        let line = format!("stroke=\"{}\" stroke-width=\"5\"", Verdict::Breaks.colour());
        balance(picture, Width::PHONE).matches(&line).count()
    };
    assert_eq!(heavy(&small()), 0);
    let out =
        vec![point(1.2, 1500.0), point(1.39, 1400.0), point(1.45, 1350.0), point(1.3, 1300.0)];
    assert!(heavy(&BalancePicture { path: out, ..small() }) >= 1);
}
