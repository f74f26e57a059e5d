//! The fuel yard of the demo, as an export of records. Everything in it is invented.
//!
//! ```text
//! cargo run -p stillprop-ledger --example demo_yard > demo/yard.jsonl
//! ```
//!
//! Forty drums and a trolley at two places, on the day of `demo/turnarounds/ready.toml`. The
//! same bytes come out every time; a test compares them with the file. What is in it is told
//! in `docs/yard.md`.

use std::{
    error::Error,
    io::{self, Write},
};

use jiff::{Timestamp, civil::date};
use stillprop_ledger::{
    event::{Day, Event, v1::*},
    record::{DeviceId, Draft, RecordId},
    store::{Memory, Store},
    transfer,
};
use uuid::Uuid;

const HILL: &str = "Nessow Top";
const RIVER: &str = "Taskel Bend";
const GRADE: &str = "avgas 100LL";
/// A tablet that stays at the base, and a phone that flies along.
const TABLET: DeviceId = DeviceId(Uuid::from_u128(0x5107_ab1e_0000_4000_8000_0000_0000_0001));
const PHONE: DeviceId = DeviceId(Uuid::from_u128(0x5107_ab1e_0000_4000_8000_0000_0000_0002));

type Outcome<T> = Result<T, Box<dyn Error>>;

#[allow(dead_code, reason = "a test takes the bytes without it")]
fn main() -> Outcome<()> {
    io::stdout().write_all(&export()?)?;
    Ok(())
}

/// The bytes of `demo/yard.jsonl`.
pub(crate) fn export() -> Outcome<Vec<u8>> {
    let mut story = Story::default();
    deliveries(&mut story)?;
    rounds(&mut story)?;
    flights(&mut story)?;
    troubles(&mut story)?;
    this_morning(&mut story)?;
    let mut bytes = Vec::new();
    transfer::export(&story.told()?, &mut bytes)?;
    Ok(bytes)
}

/// What was said, by whom and when, before it is put in order.
#[derive(Default)]
struct Story {
    said: Vec<(DeviceId, Draft)>,
}

impl Story {
    /// `when` is local time: `12-03 13:20`. All of it is in one year.
    fn say(&mut self, on: DeviceId, when: &str, author: &str, event: Event) -> Outcome<Uuid> {
        let (day, time) = when.split_once(' ').ok_or("no time of day")?;
        let at: Timestamp = format!("2026-{day}T{time}:00+05:30").parse()?;
        let number = self.said.len() as u64;
        let high = (at.as_millisecond().cast_unsigned() << 16) | 0x7000;
        let id = Uuid::from_u64_pair(high, (1 << 63) | number);
        let author = author.to_owned();
        self.said.push((on, Draft { id: RecordId(id), at, author, event: event.into() }));
        Ok(id)
    }

    /// The records, each device's in the order of time.
    fn told(mut self) -> Outcome<Memory> {
        self.said.sort_by_key(|(_, draft)| (draft.at, draft.id));
        let mut store = Memory::default();
        for (device, draft) in self.said {
            store.append(device, vec![draft])?;
        }
        Ok(store)
    }
}

/// A lot of drums delivered together.
struct Delivery {
    batch: &'static str,
    supplier: &'static str,
    filled: (i16, i8, i8),
    arrived: &'static str,
    place: &'static str,
    drums: std::ops::RangeInclusive<u8>,
}

const VESSARY: &str = "Vessary Fuels (invented)";
const CARRIERS: &str = "Oumbrel Carriers (invented)";

/// Drums 1 to 24 came to the hill, 25 to 40 to the river.
const DELIVERIES: &[Delivery] = &[
    // Older than twelve months on the day of the demo.
    Delivery {
        batch: "VF-25-102",
        supplier: VESSARY,
        filled: (2025, 10, 14),
        arrived: "01-12 10:05",
        place: HILL,
        drums: 1..=4,
    },
    // As old, but tested again.
    Delivery {
        batch: "OC-1093",
        supplier: CARRIERS,
        filled: (2025, 11, 20),
        arrived: "01-30 09:40",
        place: HILL,
        drums: 5..=8,
    },
    Delivery {
        batch: "VF-26-031",
        supplier: VESSARY,
        filled: (2026, 5, 12),
        arrived: "06-03 11:20",
        place: HILL,
        drums: 9..=16,
    },
    Delivery {
        batch: "VF-26-058",
        supplier: VESSARY,
        filled: (2026, 8, 20),
        arrived: "09-08 10:30",
        place: HILL,
        drums: 17..=22,
    },
    // Recalled.
    Delivery {
        batch: "OC-1180",
        supplier: CARRIERS,
        filled: (2026, 7, 3),
        arrived: "07-28 15:10",
        place: HILL,
        drums: 23..=24,
    },
    Delivery {
        batch: "OC-1180",
        supplier: CARRIERS,
        filled: (2026, 7, 3),
        arrived: "07-29 09:15",
        place: RIVER,
        drums: 25..=28,
    },
    Delivery {
        batch: "VF-26-031",
        supplier: VESSARY,
        filled: (2026, 5, 12),
        arrived: "06-05 10:00",
        place: RIVER,
        drums: 29..=34,
    },
    Delivery {
        batch: "VF-26-058",
        supplier: VESSARY,
        filled: (2026, 8, 20),
        arrived: "09-10 14:45",
        place: RIVER,
        drums: 35..=40,
    },
];

fn drum(number: u8) -> Uuid {
    Uuid::from_u64_pair(0x0198_0000_0000_7000, (1 << 63) | (u64::from(number) << 40) | 0x57_11)
}

/// A trolley with a pump, filled from drums.
fn trolley() -> Uuid {
    drum(99)
}

fn label(place: &str, number: u8) -> String {
    if place == HILL { format!("NT-{number:02}") } else { format!("TB-{:02}", number - 24) }
}

fn deliveries(story: &mut Story) -> Outcome<()> {
    for it in DELIVERIES {
        let (year, month, day) = it.filled;
        for number in it.drums.clone() {
            let received = Received {
                container: drum(number),
                kind: ContainerKind::Drum,
                label: label(it.place, number),
                place: it.place.into(),
                grade: GRADE.into(),
                batch: it.batch.into(),
                supplier: it.supplier.into(),
                filled: Day(date(year, month, day)),
                contents_ml: 200_000,
                temperature_mdegc: None,
                capacity_ml: 216_500,
                seals: vec![format!("{}/{number}a", it.batch), format!("{}/{number}b", it.batch)],
                maker_number: Some(format!("Q{:05}", 40_321 + u32::from(number) * 17)),
            };
            story.say(TABLET, it.arrived, "Odrin Kestow", Event::Received(received))?;
            let rack = format!("row {}", 1 + number % 4);
            story.say(TABLET, it.arrived, "Odrin Kestow", lie(number, it.place, &rack))?;
        }
    }
    let received = Received {
        container: trolley(),
        kind: ContainerKind::Bowser,
        label: "TB trolley".into(),
        place: RIVER.into(),
        grade: GRADE.into(),
        batch: "VF-26-031".into(),
        supplier: VESSARY.into(),
        filled: Day(date(2026, 5, 12)),
        contents_ml: 20_000,
        temperature_mdegc: None,
        capacity_ml: 110_000,
        seals: vec![],
        maker_number: None,
    };
    story.say(TABLET, "06-05 10:30", "Odrin Kestow", Event::Received(received))?;
    Ok(())
}

fn lie(number: u8, place: &str, rack: &str) -> Event {
    Event::Stored(Stored {
        container: drum(number),
        place: place.into(),
        rack: Some(rack.into()),
        posture: Posture::OnSide,
        bungs: Some([3, 9]),
        chocked: true,
        off_ground: true,
        shaded: !number.is_multiple_of(3),
    })
}

fn look(number: u8, rust: Severity, seals: Seals, note: Option<&str>) -> Event {
    Event::Inspected(Inspected {
        container: drum(number),
        dents: Severity::None,
        rust,
        lining_sound: None,
        label_legible: true,
        seals,
        note: note.map(str::to_owned),
    })
}

/// The look over the yard at the end of each month, and the batch that was tested again.
fn rounds(story: &mut Story) -> Outcome<()> {
    for number in (1..=40).filter(|number| ![15, 31].contains(number)) {
        let (when, who) = if number <= 24 {
            ("11-26 08:20", "Hesper Quillane")
        } else {
            ("11-25 16:10", "Ulla Vennet")
        };
        let rust = if number % 5 == 0 { Severity::Slight } else { Severity::None };
        story.say(PHONE, when, who, look(number, rust, Seals::Intact, None))?;
    }
    let note = Some("one seal cut, bung hand tight; nobody says that they opened it");
    story.say(
        PHONE,
        "11-26 08:40",
        "Hesper Quillane",
        look(15, Severity::None, Seals::Broken, note),
    )?;
    let note = Some("paint blistered along the lower seam");
    story.say(
        PHONE,
        "11-25 16:20",
        "Ulla Vennet",
        look(31, Severity::Severe, Seals::Intact, note),
    )?;
    let retested =
        BatchRetested { batch: "OC-1093".into(), on: Day(date(2026, 11, 16)), passed: true };
    story.say(TABLET, "11-19 11:00", "Odrin Kestow", Event::BatchRetested(retested))?;
    // Two drums went up the hill by cart.
    for number in [33, 34] {
        story.say(TABLET, "11-28 12:30", "Odrin Kestow", lie(number, HILL, "row 5"))?;
    }
    Ok(())
}

fn tilt(number: u8) -> Event {
    Event::Stood(Stood { container: drum(number), posture: Posture::Tilted })
}

fn sample(container: Uuid, paste: Paste, density_g_m3: i64, temperature_mdegc: i32) -> Event {
    let wet = paste == Paste::Wet;
    Event::Sampled(Sampled {
        container,
        low_point: true,
        appearance: if wet { Appearance::Haze } else { Appearance::ClearAndBright },
        colour: "blue".into(),
        paste,
        density_g_m3: Some(density_g_m3),
        temperature_mdegc: Some(temperature_mdegc),
    })
}

fn open(number: u8) -> Event {
    Event::Opened(Opened { container: drum(number), seals: Seals::Intact })
}

fn draw(container: Uuid, litres: i64, aircraft: &str, tank: &str, flight: &str) -> Event {
    Event::Drawn(Drawn {
        container,
        volume_ml: litres * 1000,
        into: Into::Aircraft { registration: aircraft.into(), tank: tank.into() },
        flight: Some(flight.into()),
    })
}

fn pour(number: u8, litres: i64) -> Event {
    let (volume_ml, into) = (litres * 1000, Into::Container(trolley()));
    Event::Drawn(Drawn { container: drum(number), volume_ml, into, flight: None })
}

fn mark(number: u8, left_ml: i64) -> Event {
    Event::PartMarked(PartMarked { container: drum(number), left_ml })
}

/// What was flown before the day of the demo.
fn flights(story: &mut Story) -> Outcome<()> {
    let six = "QK-CSX";
    let mut hill = |when: &str, event| story.say(PHONE, when, "Marro Teel", event);
    // Two drums for one round; what is left of the second is written on it.
    hill("11-12 07:10", tilt(5))?;
    hill("11-12 07:15", tilt(6))?;
    hill("11-12 10:20", sample(drum(5), Paste::Dry, 709_500, 22_500))?;
    hill("11-12 10:25", sample(drum(6), Paste::Dry, 709_000, 22_500))?;
    hill("11-12 10:35", open(5))?;
    hill("11-12 10:50", draw(drum(5), 198, six, "left wing", "school round 11-12"))?;
    hill("11-12 10:55", Event::Emptied(Emptied { container: drum(5) }))?;
    hill("11-12 11:00", open(6))?;
    hill("11-12 11:10", draw(drum(6), 105, six, "right wing", "school round 11-12"))?;
    hill("11-12 11:15", mark(6, 95_000))?;
    let counted = Counted { container: drum(6), contents_ml: 93_500 };
    hill("11-26 08:50", Event::Counted(counted))?;

    let mut river = |when: &str, event| story.say(PHONE, when, "Ulla Vennet", event);
    river("11-20 07:00", tilt(29))?;
    river("11-20 10:10", sample(drum(29), Paste::Dry, 708_000, 24_000))?;
    river("11-20 10:20", open(29))?;
    let wrong = river("11-20 10:35", draw(drum(29), 150, six, "left wing", "river count 11-20"))?;
    river("11-20 10:40", mark(29, 60_000))?;
    let instead = Some(Box::new(draw(drum(29), 140, six, "left wing", "river count 11-20")));
    let reason = "ticket says 140 L".into();
    river("11-20 18:05", Event::Corrected(Corrected { of: wrong, instead, reason }))?;

    // Recalled a week later: out of the drum into the trolley, and from there into two flights.
    river("11-22 06:40", tilt(25))?;
    river("11-22 09:30", sample(drum(25), Paste::Dry, 707_500, 24_500))?;
    river("11-22 09:35", open(25))?;
    river("11-22 09:50", pour(25, 80))?;
    river("11-22 10:05", sample(trolley(), Paste::Dry, 707_500, 25_000))?;
    river("11-22 10:15", draw(trolley(), 70, six, "right wing", "river count 11-22"))?;
    river("11-23 08:10", draw(trolley(), 20, "QK-TTW", "fuselage", "mail 11-23"))?;
    let recall = BatchRecalled {
        batch: "OC-1180".into(),
        reason: "the supplier found water in the tank these drums were filled from".into(),
    };
    story.say(TABLET, "11-27 09:00", "Odrin Kestow", Event::BatchRecalled(recall))?;
    Ok(())
}

/// Drums that must not be used, and a sum that does not add up.
fn troubles(story: &mut Story) -> Outcome<()> {
    let condemned = Condemned { container: drum(31), reason: "lower seam weeps".into() };
    story.say(PHONE, "11-25 16:30", "Ulla Vennet", Event::Condemned(condemned))?;

    // The paste says water.
    story.say(PHONE, "12-01 07:30", "Ulla Vennet", tilt(36))?;
    let wet = sample(drum(36), Paste::Wet, 708_500, 23_500);
    story.say(PHONE, "12-01 11:00", "Ulla Vennet", wet)?;

    // Clear and dry, and far too dense for its grade.
    story.say(PHONE, "12-02 07:05", "Marro Teel", tilt(14))?;
    let dense = Event::Sampled(Sampled {
        container: drum(14),
        low_point: true,
        appearance: Appearance::ClearAndBright,
        colour: "pale blue".into(),
        paste: Paste::Dry,
        density_g_m3: Some(733_500),
        temperature_mdegc: Some(25_000),
    });
    story.say(PHONE, "12-02 10:20", "Marro Teel", dense)?;

    // Two people drew from one drum, each on a device that did not know of the other.
    story.say(TABLET, "11-24 06:50", "Brask Oddery", tilt(30))?;
    let dry = sample(drum(30), Paste::Dry, 708_000, 24_000);
    story.say(TABLET, "11-24 09:50", "Brask Oddery", dry)?;
    story.say(TABLET, "11-24 09:55", "Brask Oddery", open(30))?;
    let first = draw(drum(30), 120, "QK-CSX", "left wing", "river count 11-24");
    story.say(TABLET, "11-24 10:10", "Brask Oddery", first)?;
    let second = draw(drum(30), 90, "QK-FFR", "right", "teachers 11-24");
    story.say(PHONE, "11-24 15:20", "Hesper Quillane", second)?;
    let emptied = Event::Emptied(Emptied { container: drum(30) });
    story.say(PHONE, "11-24 15:35", "Hesper Quillane", emptied)?;
    Ok(())
}

/// The hill on the day of the demo, up to twenty minutes before chocks off at 13:40.
fn this_morning(story: &mut Story) -> Outcome<()> {
    let mut say = |when: &str, event| story.say(PHONE, when, "Marro Teel", event);
    // The rest of the part drum and a whole one were stood in time and sampled.
    for (number, stood, sampled) in
        [(6, "12-03 06:40", "12-03 12:50"), (9, "12-03 06:45", "12-03 12:55")]
    {
        say(stood, tilt(number))?;
        say(sampled, sample(drum(number), Paste::Dry, 706_500, 26_000))?;
    }
    // These two were stood up only now.
    say("12-03 13:15", tilt(10))?;
    say("12-03 13:20", tilt(17))?;
    Ok(())
}
