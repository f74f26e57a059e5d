//! Invented yards, traces and tags. No place, firm, drum or flight here exists.

use stillprop_draw::{
    State,
    rack::{Age, Container, Form, RackPicture, Row},
    tag::{RackLabel, Tag},
    trace::{Flow, Stop, StopKind, TracePicture},
};
use uuid::Uuid;

const SIDE: Form =
    Form::OnSide { bungs: Some([3, 9]), chocked: Some(true), off_ground: Some(true) };

fn lying(bungs: [u8; 2], chocked: bool, off_ground: bool) -> Form {
    Form::OnSide { bungs: Some(bungs), chocked: Some(chocked), off_ground: Some(off_ground) }
}

fn drum(
    label: &str,
    form: Form,
    (state, reason): (State, &str),
    litres: f64,
    months: u8,
) -> Container {
    Container {
        label: label.into(),
        form,
        state,
        reason: reason.into(),
        grade: "Avgas 100LL".into(),
        batch: "OLM-0417".into(),
        litres: Some(litres),
        fill: Some(litres / 208.0),
        age: Some(Age { share: f64::from(months) / 12.0, words: format!("{months} of 12 months") }),
    }
}

fn rack_a() -> Row {
    let fit = (State::Fit, "");
    Row {
        name: "Rack A, lower row".into(),
        containers: vec![
            drum("SP-0101", SIDE, fit, 200.0, 3),
            drum("SP-0102", SIDE, fit, 200.0, 3),
            drum("SP-0103", SIDE, (State::Recalled, "batch OLM-0417 called back"), 200.0, 7),
            drum("SP-0104", SIDE, (State::NotFit, "1 month over age"), 198.0, 13),
            drum("SP-0105", lying([12, 6], false, true), (State::NotFit, "seal broken"), 199.0, 5),
            drum("SP-0106", SIDE, (State::Condemned, "jet fuel in avgas"), 150.0, 6),
            drum(
                "SP-0107",
                lying([2, 8], true, true),
                (State::Fit, "part-used, use first"),
                62.0,
                4,
            ),
            drum("SP-0108", SIDE, (State::Empty, ""), 0.0, 9),
        ],
    }
}

fn ground_row() -> Row {
    let unknown = Container {
        label: "SP-0111".into(),
        form: Form::OnSide { bungs: None, chocked: None, off_ground: None },
        state: State::Unknown,
        reason: "never inspected".into(),
        grade: "Avgas 100LL".into(),
        batch: "unknown".into(),
        litres: None,
        fill: None,
        age: None,
    };
    let wet = (State::NotFit, "water paste wet on 3 March");
    Row {
        name: "By the fence".into(),
        containers: vec![
            drum("SP-0110", lying([4, 10], true, false), wet, 190.0, 11),
            unknown,
            drum("SP-0112", Form::Upright, (State::Fit, "settled 1 h 40 min"), 104.0, 2),
            drum("SP-0113", Form::Tilted, (State::Unknown, "no sample yet"), 200.0, 2),
        ],
    }
}

fn tanks() -> Row {
    let jet = |label: &str, form, litres: f64, holds: f64, state| Container {
        grade: "Jet A-1".into(),
        litres: Some(litres),
        fill: Some(litres / holds),
        ..drum(label, form, state, 0.0, 1)
    };
    let stale = (State::Unknown, "filter date missing");
    Row {
        name: "Tanks and bowsers".into(),
        containers: vec![
            jet("Tank 1", Form::Tank, 6400.0, 10_000.0, (State::Fit, "")),
            jet("Bowser 2", Form::Bowser, 310.0, 1200.0, stale),
        ],
    }
}

pub(crate) fn yard() -> RackPicture {
    RackPicture {
        place: "Umbrake Ridge (invented)".into(),
        day: "14 March 2026".into(),
        rows: vec![rack_a(), ground_row(), tanks()],
    }
}

/// Forty drums, for its size.
pub(crate) fn large_yard() -> RackPicture {
    let row = |letter: char| Row {
        name: format!("Rack {letter}"),
        containers: (0..10)
            .map(|place| {
                let label = format!("{letter}-{place:02}");
                let months = u8::try_from(place + 4).unwrap_or(0);
                let (state, reason, litres) = match place {
                    3 => (State::Unknown, "seals not looked at", 200.0),
                    5 => (State::Recalled, "", 200.0),
                    6 => (State::Fit, "part-used", 85.0),
                    7 => (State::Empty, "", 0.0),
                    8 => (State::Condemned, "lining loose", 140.0),
                    9 => (State::NotFit, "1 month over age", 200.0),
                    _ => (State::Fit, "", 200.0),
                };
                drum(&label, SIDE, (state, reason), litres, months)
            })
            .collect(),
    };
    RackPicture {
        place: "Olmeth Basin (invented)".into(),
        day: "14 March 2026".into(),
        rows: ['A', 'B', 'C', 'D'].map(row).into(),
    }
}

fn stop(kind: StopKind, name: &str, note: &str) -> Stop {
    Stop { kind, name: name.into(), note: note.into(), recalled: false }
}

fn flow(from: usize, into: usize, litres: f64) -> Flow {
    Flow { from, into, litres: Some(litres) }
}

/// Two batches, one recalled; a drum poured into a bowser; one amount nobody wrote down.
pub(crate) fn small_trace() -> TracePicture {
    use StopKind::{Batch, Container, Flight, Supplier};
    let mut stops = vec![
        stop(Supplier, "Olmeth Fuels", "invented"),
        stop(Batch, "OLM-0417", "filled 8 Aug 2025"),
        stop(Batch, "OLM-0433", "filled 2 Dec 2025"),
        stop(Container, "SP-0103", "drum"),
        stop(Container, "SP-0106", "drum"),
        stop(Container, "SP-0112", "drum"),
        stop(Container, "Bowser 2", ""),
        stop(Flight, "SP-F104", "2 Feb, ZZ-KEA"),
        stop(Flight, "SP-F105", "3 Feb, ZZ-KEA"),
        stop(Flight, "SP-F109", "9 Feb, ZZ-TUI"),
        stop(Flight, "samples and waste", ""),
    ];
    stops[1].recalled = true;
    let mut flows = vec![
        flow(0, 1, 400.0),
        flow(0, 2, 200.0),
        flow(1, 3, 200.0),
        flow(1, 4, 200.0),
        flow(2, 5, 200.0),
        flow(4, 6, 120.0),
        flow(3, 7, 96.0),
        flow(3, 8, 61.5),
        flow(6, 8, 40.0),
        flow(5, 9, 104.0),
        flow(3, 10, 2.0),
    ];
    flows.push(Flow { from: 6, into: 9, litres: None });
    TracePicture { subject: "batch OLM-0417".into(), day: "14 March 2026".into(), stops, flows }
}

/// One recalled batch in 30 drums that fed 45 flights.
pub(crate) fn large_trace() -> TracePicture {
    let mut stops = vec![
        stop(StopKind::Supplier, "Olmeth Fuels", "invented"),
        stop(StopKind::Batch, "OLM-0417", "filled 8 Aug 2025"),
    ];
    stops[1].recalled = true;
    let mut flows = vec![flow(0, 1, 6000.0)];
    for drum in 0..30 {
        stops.push(stop(StopKind::Container, &format!("SP-{:04}", 200 + drum), "drum"));
        flows.push(flow(1, 2 + drum, 200.0));
    }
    for number in 0..45 {
        stops.push(stop(StopKind::Flight, &format!("SP-F{}", 300 + number), "ZZ-KEA"));
        let drum = number * 2 / 3;
        flows.push(flow(2 + drum, 32 + number, 80.0 + number as f64));
        if number % 5 == 0 && drum + 1 < 30 {
            flows.push(flow(3 + drum, 32 + number, 12.5));
        }
    }
    TracePicture { subject: "batch OLM-0417".into(), day: "14 March 2026".into(), stops, flows }
}

pub(crate) const DRUM: Uuid = Uuid::from_u128(0x0195_8d3c_2a40_7b1e_9c55_3f20_6ad1_84e7);

pub(crate) fn tag() -> Tag {
    Tag {
        id: DRUM,
        label: "SP-0103".into(),
        grade: Some("AVGAS 100LL".into()),
        batch: Some("OLM-0417".into()),
        supplier: Some("Olmeth Fuels (invented)".into()),
        filled: Some("8 Aug 2025".into()),
        use_by: Some("7 Aug 2026".into()),
        contents: Some("200 L at 15 degC".into()),
        seals: Some("71204, 71205".into()),
    }
}

/// A tag of which little is known.
pub(crate) fn bare_tag() -> Tag {
    Tag {
        grade: None,
        batch: None,
        supplier: None,
        filled: None,
        use_by: None,
        contents: None,
        seals: None,
        ..tag()
    }
}

pub(crate) fn labels(number: u128) -> Vec<RackLabel> {
    let label = |place: u128| RackLabel {
        id: Uuid::from_u128(DRUM.as_u128() + place),
        label: format!("SP-01{:02}", place + 1),
        grade: (place != 3).then(|| if place % 4 == 2 { "JET A-1" } else { "AVGAS 100LL" }.into()),
        place: Some(format!("Rack A, row 1, place {}", place + 1)),
        use_by: (place != 4).then(|| "7 Aug 2026".into()),
    };
    (0..number).map(label).collect()
}
