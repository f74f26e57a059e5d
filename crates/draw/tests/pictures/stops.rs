//! Invented turnarounds: loads, fuel and days. No aeroplane or place here exists.

use stillprop_draw::{
    Limit, Verdict,
    balance::{BalancePicture, Ceiling, Edge, Point, Stage},
    day::{Buffer, DayPicture, Hop, Moment, MomentKind, Ribbon, Sky, Stretch, Window},
    ladder::{Amount, LadderPicture, Rung},
    loading::{Balance, LoadingPicture, Most, Place, PlaceKind, Station},
    odds::OddsPicture,
};

fn limit(name: &str, stands: &str, verdict: Verdict) -> Limit {
    Limit { name: name.into(), stands: stands.into(), verdict }
}

fn place(
    (kind, name): (PlaceKind, &str),
    (arm, lateral): (f64, f64),
    (load, most): (f64, f64),
    inside: &str,
) -> Place {
    Place {
        kind,
        name: name.into(),
        at: Some(Station { arm, lateral }),
        load: Some(load),
        most: Most::Is(most),
        figure: format!("{load}"),
        stands: format!("{load} kg of {most} kg"),
        inside: inside.into(),
        verdict: if load <= most { Verdict::Holds } else { Verdict::Breaks },
    }
}

fn outlines() -> Vec<Vec<Station>> {
    let both = |half: &[(f64, f64)]| -> Vec<Station> {
        let right = half.iter().map(|(arm, lateral)| Station { arm: *arm, lateral: *lateral });
        let left = half.iter().rev().map(|(arm, side)| Station { arm: *arm, lateral: -side });
        right.chain(left).collect()
    };
    vec![
        both(&[(-0.7, 0.3), (0.2, 0.58), (2.6, 0.58), (6.4, 0.1)]),
        both(&[(0.5, 0.6), (0.6, 5.2), (2.0, 5.2), (2.1, 0.6)]),
        both(&[(5.5, 0.1), (5.7, 1.8), (6.4, 1.8)]),
    ]
}

/// Four up; one locker carries too much.
pub(crate) fn loaded() -> LoadingPicture {
    use PlaceKind::{Locker, Seat, Tank};
    LoadingPicture {
        place: "ZZ-KEA Sorrel Four (invented)".into(),
        day: "Oumbrel to Taskel Bend, 14 March 2026".into(),
        arm_unit: "m".into(),
        mass_unit: "kg".into(),
        outlines: outlines(),
        places: vec![
            place((Seat, "front left"), (0.95, -0.3), (84.0, 120.0), "Orla Kestow"),
            place((Seat, "front right"), (0.95, 0.3), (61.0, 120.0), "Teb Arrand"),
            place((Seat, "rear left"), (1.9, -0.3), (55.0, 110.0), "Mirre Arrand"),
            place((Seat, "rear right"), (1.9, 0.3), (0.0, 110.0), ""),
            place((Locker, "baggage"), (2.7, 0.0), (66.0, 54.0), "tents 41 kg, rope 25 kg"),
            place((Tank, "left"), (1.2, -2.2), (58.0, 76.0), "80 L of 105 L"),
            place((Tank, "right"), (1.2, 2.2), (58.0, 76.0), "80 L of 105 L"),
        ],
        balance: Balance {
            arm: Some(1.39),
            allowed: Some((1.02, 1.36)),
            words: "take-off 1112 kg at 1.390 m, allowed 1.020 m to 1.360 m".into(),
            verdict: Verdict::Breaks,
        },
        notes: vec!["The rear right seat folds; nothing is tied to it.".into()],
    }
}

/// Nobody said how the outline lies, what one weighs, or what the shelf may carry.
pub(crate) fn half_known() -> LoadingPicture {
    let mut picture = loaded();
    picture.outlines.clear();
    picture.places[1].load = None;
    picture.places[1].stands = "mass unknown, greatest 120 kg".into();
    picture.places[2].most = Most::None;
    picture.places[2].stands = "55 kg, no greatest mass is set".into();
    picture.places[4].most = Most::Unknown;
    picture.places[4].stands = "66 kg, greatest mass unknown".into();
    picture.places[4].verdict = Verdict::Unknown;
    picture.places[5].at = None;
    picture.balance = Balance {
        arm: None,
        allowed: None,
        words: "where it balances is unknown: the mass of Teb Arrand is not given".into(),
        verdict: Verdict::Unknown,
    };
    picture
}

/// A burn that leaves the envelope on its way and comes back.
pub(crate) fn mid_burn() -> BalancePicture {
    let point = |arm, mass| Point { arm, mass };
    let stage = |name: &str, (arm, mass): (f64, f64), fuel: &str| Stage {
        name: name.into(),
        at: Some(point(arm, mass)),
        words: format!("{mass} kg at {arm:.3} m, {fuel} of fuel"),
        verdict: Verdict::Holds,
    };
    let edge = |name: &str, from, to, stands: &str, verdict| Edge {
        from: Some(from),
        to: Some(to),
        limit: limit(name, stands, verdict),
    };
    let ceiling = |name: &str, mass: f64, stands: &str, verdict| Ceiling {
        name: format!("{name} {mass}"),
        mass: Some(mass),
        limit: limit(&format!("{name} mass"), stands, verdict),
    };
    BalancePicture {
        place: "ZZ-KEA Sorrel Four (invented)".into(),
        day: "Oumbrel to Taskel Bend, 14 March 2026".into(),
        arm_unit: "m".into(),
        mass_unit: "kg".into(),
        envelope: vec![
            point(0.94, 700.0),
            point(0.94, 900.0),
            point(1.06, 1150.0),
            point(1.36, 1150.0),
            point(1.36, 700.0),
        ],
        path: vec![
            point(1.330, 1108.0),
            point(1.344, 1080.0),
            point(1.358, 1055.0),
            point(1.371, 1035.0),
            point(1.351, 1015.0),
            point(1.329, 996.0),
        ],
        stages: vec![
            stage("ramp", (1.329, 1112.0), "160 L"),
            stage("take-off", (1.330, 1108.0), "155 L"),
            stage("landing", (1.351, 1015.0), "27 L"),
            stage("zero fuel", (1.329, 996.0), "0 L"),
        ],
        edges: vec![
            edge(
                "forward edge",
                point(1.330, 1108.0),
                point(1.040, 1108.0),
                "290 mm inside at take-off",
                Verdict::Holds,
            ),
            edge(
                "aft edge",
                point(1.371, 1035.0),
                point(1.360, 1035.0),
                "11 mm outside with 54 L left",
                Verdict::Breaks,
            ),
            edge("top", point(1.330, 1108.0), point(1.330, 1150.0), "42 kg inside", Verdict::Holds),
            edge(
                "bottom",
                point(1.351, 1015.0),
                point(1.351, 700.0),
                "315 kg inside",
                Verdict::Holds,
            ),
        ],
        ceilings: vec![
            ceiling("ramp", 1152.0, "1112 kg of 1152 kg", Verdict::Holds),
            ceiling("take-off", 1150.0, "1108 kg of 1150 kg", Verdict::Holds),
            ceiling("landing", 1000.0, "1015 kg of 1000 kg, 15 kg over", Verdict::Breaks),
        ],
        notes: Vec::new(),
    }
}

/// No envelope for the category, and a mass that nobody knows.
pub(crate) fn no_balance() -> BalancePicture {
    let whole = mid_burn();
    let unknown = "the mass of Teb Arrand is not given";
    let stage = |stage: Stage| Stage { at: None, verdict: Verdict::Unknown, ..stage };
    let edge = |edge: Edge| Edge {
        from: None,
        to: None,
        limit: limit(&edge.limit.name, unknown, Verdict::Unknown),
    };
    let ceiling = |ceiling: Ceiling| Ceiling {
        limit: limit(&ceiling.limit.name, unknown, Verdict::Unknown),
        ..ceiling
    };
    BalancePicture {
        envelope: Vec::new(),
        path: Vec::new(),
        stages: whole.stages.into_iter().map(stage).collect(),
        edges: whole.edges.into_iter().map(edge).collect(),
        ceilings: whole.ceilings.into_iter().map(ceiling).collect(),
        notes: vec!["The manual has no envelope for the utility category.".into()],
        ..mid_burn()
    }
}

fn amount(value: f64) -> Amount {
    Amount { value: Some(value), words: format!("{value} L") }
}

fn rungs() -> Vec<Rung> {
    let rung = |name: &str, value, kept| Rung { name: name.into(), amount: amount(value), kept };
    vec![
        rung("start and taxi", 5.0, false),
        rung("trip", 74.0, false),
        rung("contingency", 8.0, false),
        rung("alternate", 26.0, false),
        rung("holding", 0.0, false),
        rung("final reserve", 30.0, true),
        rung("extra", 10.0, false),
    ]
}

/// Enough, with a little to spare.
pub(crate) fn enough() -> LadderPicture {
    LadderPicture {
        place: "ZZ-KEA Sorrel Four (invented)".into(),
        day: "Oumbrel to Taskel Bend, 14 March 2026".into(),
        unusable: amount(8.0),
        rungs: rungs(),
        required: amount(153.0),
        aboard: amount(160.0),
        capacity: amount(210.0),
        enough: limit("enough aboard", "160 L aboard, 153 L required", Verdict::Holds),
        limits: vec![
            limit("reserve at Taskel Bend", "73 L left, 30 L must be", Verdict::Holds),
            limit("tank left", "80 L of 105 L", Verdict::Holds),
            limit("tank right", "80 L of 105 L", Verdict::Holds),
        ],
        notes: Vec::new(),
    }
}

/// Short by more than the extra, with one tank fuller than it can be.
pub(crate) fn short() -> LadderPicture {
    LadderPicture {
        aboard: amount(131.0),
        capacity: amount(120.0),
        enough: limit("enough aboard", "22 L short: take 22 L more", Verdict::Breaks),
        limits: vec![limit("tank left", "11 L more than the tank holds", Verdict::Breaks)],
        ..enough()
    }
}

/// The wind on the way is not known, so no trip is.
pub(crate) fn no_trip() -> LadderPicture {
    let unknown = || Amount { value: None, words: "unknown".into() };
    let mut picture = enough();
    picture.rungs[1].amount = unknown();
    picture.rungs[2].amount = unknown();
    picture.required = unknown();
    picture.enough = limit("enough aboard", "the wind on the way is not known", Verdict::Unknown);
    picture.notes = vec!["The ladder is unknown: the wind on the way is not known.".into()];
    picture
}

fn ribbon(place: &str, shift: f64, moments: Vec<Moment>) -> Ribbon {
    let sky = |from: f64, to: f64, sky| Stretch { from: from + shift, to: to + shift, sky };
    Ribbon {
        place: place.into(),
        words: "first light 05:06, sunrise 05:29, sunset 18:00, last light 18:23".into(),
        sky: vec![
            sky(-5.5, 5.1, Sky::Night),
            sky(5.1, 5.48, Sky::Twilight),
            sky(5.48, 18.0, Sky::Day),
            sky(18.0, 18.38, Sky::Twilight),
            sky(18.38, 29.1, Sky::Night),
        ],
        buffers: vec![Buffer {
            from: 18.05 + shift,
            to: 18.38 + shift,
            words: "20 min before last light kept free".into(),
        }],
        moments,
    }
}

fn moment(kind: MomentKind, at: f64, words: &str, verdict: Option<Verdict>) -> Moment {
    Moment { kind, at: Some(at), words: words.into(), verdict }
}

/// Two legs; the second lands in the buffer.
pub(crate) fn late_day() -> DayPicture {
    use MomentKind::{Landing, TakeOff, Weather};
    let (holds, breaks) = (Some(Verdict::Holds), Some(Verdict::Breaks));
    DayPicture {
        place: "ZZ-KEA Sorrel Four (invented)".into(),
        day: "14 March 2026, Nessow Top to Oumbrel and Taskel Bend".into(),
        clock: "the clock of Nessow Top, UTC+05:30".into(),
        ribbons: vec![
            ribbon(
                "Nessow Top",
                0.0,
                vec![
                    moment(Weather, 15.5, "METAR 15:30", None),
                    moment(TakeOff, 16.1, "take-off 16:06", holds),
                ],
            ),
            ribbon(
                "Oumbrel",
                -0.05,
                vec![
                    moment(Landing, 16.7, "lands 16:42", holds),
                    moment(TakeOff, 17.4, "take-off 17:24", None),
                    moment(Weather, 16.0, "METAR 16:00", None),
                ],
            ),
            ribbon("Taskel Bend", -0.1, vec![moment(Landing, 18.12, "lands 18:07", breaks)]),
        ],
        hops: vec![Hop { from: (0, 16.1), to: (1, 16.7) }, Hop { from: (1, 17.4), to: (2, 18.12) }],
        windows: Some(vec![
            Window { from: 6.3, to: 9.5, words: "06:18 to 09:30".into() },
            Window { from: 12.0, to: 15.87, words: "12:00 to 15:52".into() },
        ]),
        limits: vec![
            limit("departure", "take-off 16:06, first light 05:06", Verdict::Holds),
            limit("arrival Oumbrel", "lands 16:42, last light 18:20 less 20 min", Verdict::Holds),
            limit("arrival Taskel Bend", "9 min after the buffer", Verdict::Breaks),
        ],
        notes: vec!["Terrain is not reckoned: a valley darkens earlier.".into()],
    }
}

/// A destination without a position, and no time that would do.
pub(crate) fn no_light() -> DayPicture {
    let mut picture = late_day();
    picture.ribbons.truncate(2);
    picture.ribbons[1] = Ribbon {
        words: "light unknown: the position is not given".into(),
        sky: Vec::new(),
        buffers: Vec::new(),
        moments: vec![moment(MomentKind::Landing, 16.7, "lands 16:42", Some(Verdict::Unknown))],
        ..picture.ribbons[1].clone()
    };
    picture.hops.truncate(1);
    picture.windows = Some(Vec::new());
    picture.limits.truncate(1);
    let missing = "the position of the end of `Oumbrel` is not given";
    picture.limits.push(limit("arrival Oumbrel", missing, Verdict::Unknown));
    picture
}

/// A flight on which a limit breaks 13 times in a hundred.
pub(crate) fn thirteen() -> OddsPicture {
    OddsPicture {
        place: "ZZ-KEA Reed Six".into(),
        day: "2026-12-03, over the saddle and back".into(),
        breaks: Some(13),
        words: "about 13 in 100".into(),
        limits: vec![
            limit("all together", "as typed; breaks in about 13 in 100", Verdict::Holds),
            limit("strip.landing-back-here", "as typed; breaks in about 7 in 100", Verdict::Holds),
            limit("fuel.required", "as typed; breaks in about 5 in 100", Verdict::Holds),
        ],
        notes: vec!["Read the wind where the aeroplane will lift off: about 13 in 100 becomes about 6 in 100.".into()],
    }
}
