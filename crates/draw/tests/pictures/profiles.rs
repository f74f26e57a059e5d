//! Invented strips. No place or aeroplane here exists.

use stillprop_draw::{
    Verdict,
    profile::{Against, AlongWind, Climb, Declared, Need, Obstacle, ProfilePicture},
};

fn need(
    (name, against): (&str, Against),
    (manual, factored, available): (f64, f64, f64),
    factors: &str,
) -> Need {
    let left = available - factored;
    let margin = if left >= 0.0 {
        format!("{:.0} m left", left.floor())
    } else {
        format!("{:.0} m too short", left.abs().ceil())
    };
    Need {
        name: name.into(),
        against,
        manual: Some(manual),
        factored: Some(factored),
        factors: factors.into(),
        margin,
        verdict: if left >= 0.0 { Verdict::Holds } else { Verdict::Breaks },
    }
}

fn obstacle(
    name: &str,
    (distance, height): (f64, f64),
    margin: &str,
    verdict: Verdict,
) -> Obstacle {
    Obstacle {
        name: name.into(),
        distance: Some(distance),
        height: Some(height),
        margin: margin.into(),
        verdict,
    }
}

/// Paved and long.
pub(crate) fn long() -> ProfilePicture {
    ProfilePicture {
        place: "Oumbrel 34 (invented)".into(),
        day: "ZZ-KEA, 1088 kg, 24 degC, QNH 1016 hPa, 14 March 2026 09:10".into(),
        slope: Some(0.004),
        tora: Declared::Length(1240.0),
        toda: Declared::Length(1300.0),
        lda: Declared::Length(1180.0),
        needs: vec![
            need(
                ("take-off run", Against::Tora),
                (352.0, 405.0, 1240.0),
                "x 1.15 own margin (operator manual 3.2)",
            ),
            need(
                ("take-off distance to 50 ft", Against::Toda),
                (655.0, 820.0, 1300.0),
                "x 1.25 (operator manual 3.2)",
            ),
            need(
                ("landing distance from 50 ft", Against::Lda),
                (430.0, 615.0, 1180.0),
                "x 1.43 (operator manual 3.2)",
            ),
        ],
        climb: Some(Climb {
            lift_off: Some(352.0),
            screen_at: Some(655.0),
            screen: 15.24,
            screen_words: "50 ft".into(),
            gradient: Some(0.071),
            words: "flaps up, by the manual".into(),
        }),
        obstacles: vec![obstacle(
            "mast",
            (1750.0, 31.0),
            "passed 64 m above, 15 m wanted",
            Verdict::Holds,
        )],
        wind: Some(AlongWind {
            head: Some(6.0),
            words: "headwind 6 kt, crosswind 4 kt from the right".into(),
        }),
        notes: Vec::new(),
    }
}

/// Short, uphill, with trees that are not passed.
pub(crate) fn short() -> ProfilePicture {
    ProfilePicture {
        place: "Taskel Bend 22 (invented)".into(),
        day: "ZZ-KEA, 1142 kg, 31 degC, QNH 1009 hPa, 14 March 2026 13:40".into(),
        slope: Some(0.02),
        tora: Declared::Length(520.0),
        toda: Declared::Length(560.0),
        lda: Declared::Length(500.0),
        needs: vec![
            need(
                ("take-off run", Against::Tora),
                (438.0, 504.0, 520.0),
                "x 1.15 wet gravel (manual 5.3)",
            ),
            need(
                ("take-off distance to 50 ft", Against::Toda),
                (612.0, 765.0, 560.0),
                "x 1.25 (operator manual 3.2)",
            ),
            need(
                ("landing distance from 50 ft", Against::Lda),
                (345.0, 494.0, 500.0),
                "x 1.43 (operator manual 3.2)",
            ),
        ],
        climb: Some(Climb {
            lift_off: Some(438.0),
            screen_at: Some(612.0),
            screen: 15.24,
            screen_words: "50 ft".into(),
            gradient: Some(0.048),
            words: "flaps 20, by the manual".into(),
        }),
        obstacles: vec![
            obstacle("shed", (655.0, 17.0), "passed 12 m above, 10 m wanted", Verdict::Holds),
            obstacle("trees by the river", (840.0, 41.0), "2 m too low", Verdict::Breaks),
            Obstacle {
                name: "power line".into(),
                distance: Some(1100.0),
                height: None,
                margin: "height of the wires unknown".into(),
                verdict: Verdict::Unknown,
            },
            obstacle("ridge", (4200.0, 160.0), "passed 36 m above", Verdict::Holds),
        ],
        wind: Some(AlongWind {
            head: Some(-3.0),
            words: "tailwind 3 kt, crosswind 9 kt from the left, gusting 14".into(),
        }),
        notes: vec!["The gravel was rolled in January; no run has been timed since.".into()],
    }
}

/// A strip of which hardly anything is known, for one way only.
pub(crate) fn unknown() -> ProfilePicture {
    ProfilePicture {
        place: "Nessow Top 15 (invented)".into(),
        day: "ZZ-KEA, mass unknown, 14 March 2026".into(),
        slope: None,
        tora: Declared::Length(610.0),
        toda: Declared::Unknown,
        lda: Declared::NotUsed,
        needs: vec![
            Need {
                name: "take-off run".into(),
                against: Against::Tora,
                manual: Some(455.0),
                factored: None,
                factors: "no factor for short wet grass in this pack".into(),
                margin: "the factor for the surface is missing".into(),
                verdict: Verdict::Unknown,
            },
            Need {
                name: "take-off distance to 50 ft".into(),
                against: Against::Toda,
                manual: None,
                factored: None,
                factors: String::new(),
                margin: "the table ends below this density altitude".into(),
                verdict: Verdict::Unknown,
            },
        ],
        climb: Some(Climb {
            lift_off: Some(455.0),
            screen_at: None,
            screen: 15.24,
            screen_words: "50 ft".into(),
            gradient: None,
            words: "no table in the manual".into(),
        }),
        obstacles: vec![Obstacle {
            name: "rising ground".into(),
            distance: Some(900.0),
            height: Some(20.0),
            margin: "the climb is unknown".into(),
            verdict: Verdict::Unknown,
        }],
        wind: None,
        notes: Vec::new(),
    }
}
