//! Invented aprons. No place or aeroplane here exists.

use stillprop_draw::{
    Verdict,
    apron::{
        Aeroplane, ApronPicture, Clearance, Door, Extent, Hose, Outline, Propeller, Spill, Spot,
        Thing, ThingKind, Walk, Wind, Zone,
    },
};

fn spots(points: &[(f64, f64)]) -> Vec<Spot> {
    points.iter().map(|(east, north)| Spot::new(*east, *north)).collect()
}

fn thing(kind: ThingKind, name: &str, extent: Extent) -> Thing {
    Thing { kind, name: name.into(), extent }
}

fn area(kind: ThingKind, name: &str, points: &[(f64, f64)]) -> Thing {
    thing(kind, name, Extent::Area(Outline::of(&spots(points))))
}

fn block(
    kind: ThingKind,
    name: &str,
    (west, south): (f64, f64),
    (wide, deep): (f64, f64),
) -> Thing {
    let (east, north) = (west + wide, south + deep);
    area(kind, name, &[(west, south), (east, south), (east, north), (west, north)])
}

fn sign(kind: ThingKind, name: &str, east: f64, north: f64) -> Thing {
    thing(kind, name, Extent::Spot(Spot::new(east, north)))
}

/// A high wing with one engine, as seen from above: ahead and to the right of its datum.
struct Stand {
    at: (f64, f64),
    heading: f64,
}

impl Stand {
    fn spot(&self, ahead: f64, right: f64) -> Spot {
        let (sin, cos) = self.heading.to_radians().sin_cos();
        Spot::new(self.at.0 + ahead * sin + right * cos, self.at.1 + ahead * cos - right * sin)
    }

    fn outline(&self, points: &[(f64, f64)]) -> Outline {
        let points: Vec<_> =
            points.iter().map(|(ahead, right)| self.spot(*ahead, *right)).collect();
        Outline::of(&points)
    }

    /// Both sides from one.
    fn mirrored(&self, right: &[(f64, f64)]) -> Outline {
        let left = right.iter().rev().map(|(ahead, right)| (*ahead, -right));
        let all: Vec<_> = right.iter().copied().chain(left).collect();
        self.outline(&all)
    }

    fn shape(&self) -> Vec<Outline> {
        vec![
            self.mirrored(&[(-5.0, 0.1), (-4.9, 1.9), (-5.9, 2.0), (-6.1, 0.1)]),
            self.mirrored(&[(2.3, 0.25), (1.9, 0.55), (0.6, 0.62), (-1.4, 0.55), (-6.2, 0.12)]),
            self.mirrored(&[
                (0.9, 0.0),
                (0.9, 5.0),
                (0.6, 5.5),
                (-0.5, 5.5),
                (-0.7, 5.0),
                (-0.7, 0.0),
            ]),
        ]
    }

    fn aeroplane(&self, name: &str) -> Aeroplane {
        let disc = [(2.28, -1.0), (2.46, -1.0), (2.46, 1.0), (2.28, 1.0)];
        Aeroplane {
            name: name.into(),
            heading: Some(self.heading),
            outlines: self.shape(),
            propellers: vec![Propeller {
                disc: self.outline(&disc),
                margin: Some(Outline::circle(self.spot(2.4, 0.0), 2.0)),
            }],
            wheels: vec![self.spot(1.4, 0.0), self.spot(-0.6, 1.2), self.spot(-0.6, -1.2)],
            fillers: vec![self.spot(0.2, 2.4), self.spot(0.2, -2.4)],
            vents: vec![self.spot(-0.4, 4.6), self.spot(-0.4, -4.6)],
            doors: vec![Door {
                name: "left door, step below it".into(),
                at: self.spot(-0.1, -0.6),
                step: Some(self.spot(-0.5, -1.0)),
            }],
        }
    }
}

fn clearance((what, rule): (&str, &str), (from, to): (Spot, (f64, f64)), bound: f64) -> Clearance {
    let to = Spot::new(to.0, to.1);
    let measured = f64::hypot(to.east - from.east, to.north - from.north);
    Clearance {
        what: what.into(),
        between: Some((from, to)),
        measured: Some(measured),
        bound: Some(bound),
        rule: rule.into(),
        verdict: if measured >= bound { Verdict::Holds } else { Verdict::Breaks },
    }
}

const FUELLING: &str = "au: CAO 20.9 4.1.1, superseded";
const STARTING: &str = "au: CAO 20.9, superseded";

fn zone(stand: &Stand, radius: f64) -> Vec<Zone> {
    let words = format!("fuelling zone, {radius} m around fillers, own rule of the operator");
    let circle = |side: f64| Zone {
        words: words.clone(),
        outline: Outline::circle(stand.spot(0.2, side), radius),
    };
    vec![circle(2.4), circle(-2.4)]
}

/// Room everywhere.
pub(crate) fn calm() -> ApronPicture {
    let stand = Stand { at: (0.0, 0.0), heading: 60.0 };
    ApronPicture {
        place: "Nessow Top (invented)".into(),
        day: "fuelling from a drum, 14 March 2026".into(),
        ground: Some(Outline::of(&spots(&[
            (-24.0, -18.0),
            (26.0, -18.0),
            (26.0, 16.0),
            (-10.0, 20.0),
            (-24.0, 16.0),
        ]))),
        things: vec![
            block(ThingKind::SealedBuilding, "Store", (-22.0, 8.0), (9.0, 6.0)),
            thing(ThingKind::Drain, "", Extent::Line(spots(&[(-24.0, -16.5), (80.0, -16.5)]))),
            sign(ThingKind::Gate, "Gate", -20.0, -6.0),
            sign(ThingKind::Drum, "SP-0112", -2.6, 6.2),
            sign(ThingKind::Pump, "", -1.4, 5.4),
            sign(ThingKind::Extinguisher, "", -4.6, 4.6),
            sign(ThingKind::Extinguisher, "", 3.6, 6.4),
            sign(ThingKind::SpillKit, "", -5.4, 6.6),
            sign(ThingKind::Person, "nozzle", 0.2, 3.4),
        ],
        aeroplane: Some(stand.aeroplane("ZZ-KEA, Fennel Four")),
        zones: zone(&stand, 3.0),
        spills: Vec::new(),
        hose: Some(Hose {
            points: spots(&[(-1.4, 5.4), (-1.6, 3.6), (-0.9, 2.5)])
                .into_iter()
                .chain([stand.spot(0.2, -2.4)])
                .collect(),
            words: "hose 6 m, 4.2 m to the far filler, 1.8 m slack".into(),
            verdict: Verdict::Holds,
        }),
        walk: Some(Walk::Path {
            points: vec![
                Spot::new(-20.0, -6.0),
                Spot::new(-8.0, -1.4),
                Spot::new(-4.0, 1.2),
                stand.spot(-0.5, -1.0),
            ],
            words: "walking path 21.3 m from the gate to the left door, nowhere nearer than \
                    2.4 m to the propeller"
                .into(),
        }),
        clearances: vec![
            clearance(
                ("left filler to Store, sealed building", FUELLING),
                (stand.spot(0.2, -2.4), (-13.0, 8.0)),
                5.0,
            ),
            clearance(
                ("drain to right filler", "operator manual 4.2"),
                (stand.spot(0.2, 2.4), (1.4, -16.5)),
                9.0,
            ),
        ],
        wind: Some(Wind { from: Some(40.0), words: "from 040 degT, 8 kt gusting 14".into() }),
        notes: Vec::new(),
    }
}

fn crowd() -> Vec<Thing> {
    let other = |name: &str, at: (f64, f64), heading: f64| {
        let stand = Stand { at, heading };
        let all = [
            (2.3, 0.3),
            (0.9, 0.6),
            (0.9, 5.4),
            (-0.6, 5.4),
            (-0.6, 0.6),
            (-5.0, 0.2),
            (-4.9, 1.9),
            (-6.1, 1.9),
        ];
        thing(ThingKind::Aircraft, name, Extent::Area(stand.mirrored(&all)))
    };
    vec![
        block(ThingKind::UnsealedBuilding, "Hangar 1", (-22.0, 9.5), (17.0, 12.0)),
        block(ThingKind::SealedBuilding, "Terminal", (14.0, 11.0), (16.0, 10.0)),
        block(ThingKind::PublicArea, "Terrace", (14.0, 4.5), (16.0, 6.5)),
        other("ZZ-TUI", (16.5, -4.0), 340.0),
        other("ZZ-OLM", (-17.0, -7.5), 20.0),
        thing(
            ThingKind::Road,
            "Perimeter road",
            Extent::Line(spots(&[(-60.0, -17.0), (60.0, -19.5)])),
        ),
        area(
            ThingKind::Water,
            "Settling pond",
            &[(-34.0, -8.0), (-27.0, -3.0), (-26.0, 6.0), (-33.0, 9.0)],
        ),
        thing(
            ThingKind::Drain,
            "",
            Extent::Line(spots(&[(-26.0, 4.0), (-12.0, 6.0), (4.0, 8.5), (12.0, 8.0)])),
        ),
        block(ThingKind::Obstacle, "Boulder", (7.0, -13.5), (2.0, 1.6)),
        thing(
            ThingKind::Bowser,
            "Bowser 2",
            Extent::Area(Outline::of(&spots(&[
                (-10.6, -3.4),
                (-8.4, -3.8),
                (-7.4, 1.8),
                (-9.6, 2.2),
            ]))),
        ),
        sign(ThingKind::Gate, "Gate", 14.0, 8.0),
        sign(ThingKind::Extinguisher, "", -3.6, -4.0),
        sign(ThingKind::Extinguisher, "", -3.2, 4.4),
        sign(ThingKind::SpillKit, "", -6.4, 3.8),
        sign(ThingKind::EmergencyStop, "", -7.4, -2.4),
        sign(ThingKind::Person, "refueller", -2.4, 3.4),
        sign(ThingKind::Person, "pilot", 0.6, 4.0),
        sign(ThingKind::Ignition, "generator", -4.0, 10.5),
        sign(ThingKind::Drum, "SP-0110", -14.6, 3.6),
        sign(ThingKind::Drum, "SP-0111", -14.0, 3.6),
        sign(ThingKind::Trolley, "", -14.2, 4.6),
    ]
}

/// As full as an apron gets; two clearances break and one is unknown.
pub(crate) fn crowded() -> ApronPicture {
    let stand = Stand { at: (1.0, 0.0), heading: 15.0 };
    let left = stand.spot(0.2, -2.4);
    let vent = stand.spot(-0.4, 4.6);
    let tip = stand.spot(0.6, 5.5);
    let engine = stand.spot(2.4, 0.0);
    let mut clearances = vec![
        clearance(
            ("left filler to generator, ignition source", "au: CAO 20.9 4.4.3, superseded"),
            (left, (-4.0, 10.5)),
            15.0,
        ),
        clearance(("right vent to Terrace, public area", FUELLING), (vent, (14.0, 4.5)), 15.0),
        clearance(
            ("left filler to Hangar 1, unsealed building", FUELLING),
            (left, (-5.0, 9.5)),
            9.0,
        ),
        clearance(("right vent to ZZ-TUI, aircraft", FUELLING), (vent, (11.9, -2.9)), 6.0),
        clearance(
            ("wing tip to ZZ-TUI on the way out", "operator manual 4.6"),
            (tip, (11.5, -2.2)),
            3.0,
        ),
        clearance(("engine to Terminal, sealed building", STARTING), (engine, (14.0, 11.0)), 5.0),
        clearance(("left filler to drain", "operator manual 4.2"), (left, (-1.6, 7.6)), 3.0),
        clearance(("engine to Hangar 1, unsealed building", STARTING), (engine, (-5.0, 9.5)), 8.0),
        clearance(
            ("left filler to Settling pond, water", "operator manual 4.2"),
            (left, (-26.4, 2.0)),
            15.0,
        ),
    ];
    clearances.push(Clearance {
        what: "left filler to power line".into(),
        between: None,
        measured: None,
        bound: Some(10.0),
        rule: "operator manual 4.3".into(),
        verdict: Verdict::Unknown,
    });
    clearances.push(Clearance {
        verdict: Verdict::Unknown,
        bound: None,
        ..clearance(
            ("bowser to drain", "no figure in this pack"),
            (Spot::new(-9.6, 2.2), (-10.2, 6.3)),
            1.0,
        )
    });
    ApronPicture {
        place: "Oumbrel (invented)".into(),
        day: "fuelling from a bowser, 14 March 2026".into(),
        ground: Some(Outline::of(&spots(&[
            (-26.0, -15.5),
            (26.0, -17.5),
            (26.0, 4.5),
            (14.0, 4.5),
            (14.0, 9.0),
            (-26.0, 9.0),
        ]))),
        things: crowd(),
        aeroplane: Some(stand.aeroplane("ZZ-KEA, Fennel Four")),
        zones: zone(&stand, 6.0),
        spills: Vec::new(),
        hose: Some(Hose {
            points: vec![Spot::new(-8.0, -1.2), Spot::new(-6.0, 1.9), Spot::new(-4.0, 2.4), left],
            words: "hose 7 m, 7.4 m to the left filler: 0.4 m short".into(),
            verdict: Verdict::Breaks,
        }),
        walk: Some(Walk::Path {
            points: vec![
                Spot::new(14.0, 8.0),
                Spot::new(8.5, 3.0),
                Spot::new(6.0, -6.5),
                Spot::new(-1.4, -6.8),
                stand.spot(-0.5, -1.0),
            ],
            words: "walking path 30.9 m from the gate to the left door, nowhere nearer than \
                    2.9 m to the propeller"
                .into(),
        }),
        clearances,
        wind: Some(Wind { from: Some(290.0), words: "from 290 degT, 6 kt".into() }),
        notes: vec!["The generator runs until noon: ask for it to be stopped first.".into()],
    }
}

/// Fuel on the ground, on a slope that nobody measured.
pub(crate) fn spilt() -> ApronPicture {
    let stand = Stand { at: (0.0, 0.0), heading: 60.0 };
    let left = stand.spot(0.2, -2.4);
    let shape: Vec<_> = [0.9, 1.3, 1.8, 2.4, 2.2, 1.5, 1.0, 0.8]
        .iter()
        .zip(0..)
        .map(|(reach, place)| {
            let (sin, cos) = (f64::from(place) * std::f64::consts::FRAC_PI_4).sin_cos();
            Spot::new(left.east + reach * sin, left.north + 0.6 + reach * cos)
        })
        .collect();
    ApronPicture {
        day: "spill while fuelling, 14 March 2026".into(),
        spills: vec![Spill {
            words:
                "spill of about 20 L of avgas, 11 m2 after one minute on level concrete; slope, \
                    drains and grass are not known"
                    .into(),
            outline: Outline::of(&shape),
            ring: Some(Outline::circle(Spot::new(left.east, left.north), 15.0)),
            ring_words: "no engine is started or run within 15 m, au: CAO 20.9, superseded".into(),
        }],
        hose: None,
        zones: Vec::new(),
        walk: Some(Walk::Unknown { words: "not looked for while fuel lies on the ground".into() }),
        clearances: vec![clearance(
            ("spill to drain", "operator manual 4.2"),
            (Spot::new(left.east + 0.2, left.north - 1.8), (left.east + 0.2, -16.5)),
            15.0,
        )],
        wind: None,
        notes: vec!["Control, contain, clean up, in this order.".into()],
        ..calm()
    }
}

/// The zone lies between gate and door.
pub(crate) fn blocked() -> ApronPicture {
    let stand = Stand { at: (0.0, 0.0), heading: 60.0 };
    let mut picture = calm();
    picture.day = "fuelling from a drum, passengers at the gate, 14 March 2026".into();
    picture.zones = vec![Zone {
        words: "fuelling zone, 6 m around fillers and vents, own rule of the operator".into(),
        outline: Outline::circle(stand.spot(0.0, 0.0), 6.5),
    }];
    picture.walk = Some(Walk::Blocked {
        from: Some(Spot::new(-20.0, -6.0)),
        to: Some(stand.spot(-0.5, -1.0)),
        by: Some(Outline::circle(stand.spot(0.0, 0.0), 6.5)),
        words: "the fuelling zone lies around the left door; wait until the caps are on".into(),
    });
    picture.things.push(thing(ThingKind::SealedBuilding, "Hut", Extent::Area(Outline::default())));
    picture.things.push(block(ThingKind::UnsealedBuilding, "School", (300.0, 80.0), (20.0, 9.0)));
    picture.aeroplane.iter_mut().for_each(|one| one.propellers[0].margin = None);
    picture.hose = Some(Hose {
        points: Vec::new(),
        words: "length of the hose not given".into(),
        verdict: Verdict::Unknown,
    });
    picture.wind = Some(Wind { from: None, words: "calm".into() });
    picture
}
