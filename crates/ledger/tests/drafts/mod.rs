//! Invented events for the tests, the same on every run.

#![allow(dead_code, reason = "each test uses its own part")]

use std::ops::ControlFlow;

use jiff::Timestamp;
use stillprop_ledger::{
    event::{
        Body, Day, Event,
        v1::{
            Appearance, BatchRecalled, BatchRetested, Condemned, ContainerKind, Corrected, Counted,
            Drawn, Emptied, Inspected, Into, Opened, PartMarked, Paste, Posture, Received, Sampled,
            Seals, Severity, Stood, Stored,
        },
    },
    record::{DeviceId, Draft, Record, RecordId},
    store::{Store, StoreError},
};
use uuid::Uuid;

/// 2026-06-21T00:00:00Z. \[ms\]
pub(crate) const START_MS: i64 = 1_782_000_000_000;

pub(crate) fn device(n: u8) -> DeviceId {
    DeviceId(Uuid::from_u128(0xd0_0000 + u128::from(n)))
}

pub(crate) fn id(n: u64) -> RecordId {
    RecordId(Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0000 + u128::from(n)))
}

pub(crate) fn container(n: u64) -> Uuid {
    Uuid::from_u128(0x0180_0000_0000_7000_8000_0000_0000_0000 + u128::from(n))
}

/// Draft `n`, a second after the one before it.
pub(crate) fn draft(n: u64) -> Draft {
    draft_of(n, event(n))
}

pub(crate) fn draft_of(n: u64, event: impl std::convert::Into<Body>) -> Draft {
    let at = Timestamp::from_millisecond(START_MS + 1000 * n.cast_signed()).unwrap();
    Draft { id: id(n), at, author: "Ansa Verrel".into(), event: event.into() }
}

/// Any event but a correction; every kind within a few.
pub(crate) fn event(n: u64) -> Event {
    let container = container(n / 8 % 5);
    let batch = format!("HW-{}", n % 3);
    match n % 16 {
        0 | 8 => Event::Received(Received {
            container,
            kind: ContainerKind::Drum,
            label: format!("drum {n}"),
            place: "Nessow Top".into(),
            grade: "avgas 100LL".into(),
            batch,
            supplier: "Hollin Fuels (invented)".into(),
            filled: Day(jiff::civil::date(2026, 3, 9)),
            contents_ml: 199_500,
            temperature_mdegc: Some(-1_250),
            capacity_ml: 216_500,
            seals: vec!["A-1".into(), "A-2".into()],
            maker_number: Some("44-1207".into()),
        }),
        1 => stored(container, "Taskel Bend"),
        2 => Event::Inspected(Inspected {
            container,
            dents: Severity::Slight,
            rust: Severity::None,
            lining_sound: None,
            label_legible: true,
            seals: Seals::Intact,
            note: Some("paint gone \u{2013} \"sun\" side".into()),
        }),
        3 => Event::Stood(Stood { container, posture: Posture::Tilted }),
        4 => Event::Sampled(Sampled {
            container,
            low_point: true,
            appearance: Appearance::ClearAndBright,
            colour: "blue".into(),
            paste: Paste::Dry,
            density_g_m3: Some(712_400),
            temperature_mdegc: Some(18_500),
        }),
        5 => Event::Opened(Opened { container, seals: Seals::Intact }),
        6 | 9 | 10 => drawn(container, n),
        7 => Event::PartMarked(PartMarked { container, left_ml: 90_000 }),
        11 => Event::Emptied(Emptied { container }),
        12 => Event::Condemned(Condemned { container, reason: "water again".into() }),
        13 => Event::Counted(Counted { container, contents_ml: 88_250 }),
        14 => Event::BatchRecalled(BatchRecalled { batch, reason: "dye".into() }),
        _ => Event::BatchRetested(BatchRetested {
            batch,
            on: Day(jiff::civil::date(2026, 12, 31)),
            passed: false,
        }),
    }
}

pub(crate) fn stored(container: Uuid, place: &str) -> Event {
    Event::Stored(Stored {
        container,
        place: place.into(),
        rack: Some("row 2".into()),
        posture: Posture::OnSide,
        bungs: Some([3, 9]),
        chocked: true,
        off_ground: true,
        shaded: false,
    })
}

pub(crate) fn drawn(from: Uuid, n: u64) -> Event {
    let into = match n % 3 {
        0 => Into::Aircraft { registration: "X-HIL".into(), tank: "left".into() },
        1 => Into::Container(container(4)),
        _ => Into::Waste,
    };
    let flight = n.is_multiple_of(3).then(|| format!("F{}", n % 7));
    Event::Drawn(Drawn { container: from, volume_ml: 1_000 + n.cast_signed(), into, flight })
}

pub(crate) fn corrected(of: RecordId, instead: Option<Event>) -> Event {
    let instead = instead.map(Box::new);
    Event::Corrected(Corrected { of: of.0, instead, reason: "misread".into() })
}

/// What a `read_*` hands over.
pub(crate) fn collect(
    read: impl FnOnce(
        &mut dyn FnMut(stillprop_ledger::record::RecordRef<'_>) -> ControlFlow<()>,
    ) -> Result<(), StoreError>,
) -> Vec<Record> {
    let mut records = Vec::new();
    read(&mut |record| {
        records.push(record.to_record());
        ControlFlow::Continue(())
    })
    .unwrap();
    records
}

pub(crate) fn all(store: &dyn Store) -> Vec<Record> {
    collect(|take| store.read_all(take))
}

/// A folder of its own that is gone when the test is over.
pub(crate) struct Folder(pub(crate) std::path::PathBuf);

impl Folder {
    pub(crate) fn new(name: &str) -> Self {
        let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"))
            .join(format!("{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    pub(crate) fn file(&self, name: &str) -> std::path::PathBuf {
        self.0.join(name)
    }

    /// Every file with its bytes.
    pub(crate) fn content(&self) -> Vec<(String, Vec<u8>)> {
        let entries = std::fs::read_dir(&self.0).unwrap().map(Result::unwrap);
        let mut content: Vec<_> = entries
            .filter(|entry| entry.path().is_file())
            .map(|e| (e.file_name().into_string().unwrap(), std::fs::read(e.path()).unwrap()))
            .collect();
        content.sort();
        content
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Numbers that only look random (xorshift, Marsaglia 2003): the same on every run.
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn below(&mut self, bound: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % bound as u64).unwrap()
    }
}
