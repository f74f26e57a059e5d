//! How fast a yard folds, opens and traces: 10,000 drums with 100 events each, in SQLite.
//!
//! ```text
//! cargo run --release -p stillprop-ledger --example yard_speed [EVENTS_PER_DRUM]
//! ```
//!
//! Prints a figure a line beside its target. The ledger is made in the folder for temporary
//! files and removed again.

use std::{error::Error, fs, ops::ControlFlow, time::Duration};

use jiff::Timestamp;
use stillprop_ledger::{
    event::{Day, Event, v1::*},
    record::{DeviceId, Draft, Hash, Order, Record, RecordId, Subject},
    store::{Access, Sqlite, Store},
    yard::Yard,
};
use uuid::Uuid;

const DRUMS: u64 = 10_000;
const BATCHES: u64 = 200;
const BOWSERS: u64 = 20;
const START_MS: i64 = 1_767_225_600_000;
const PEOPLE: [&str; 5] =
    ["Odrin Kestow", "Hesper Quillane", "Lio Marrenk", "Ulla Vennet", "Brask Oddery"];

type Outcome<T> = Result<T, Box<dyn Error>>;

fn main() -> Outcome<()> {
    let each = std::env::args().nth(1).map_or(Ok(100), |text| text.parse())?;
    let folder = std::env::temp_dir().join(format!("stillprop-yard-speed-{}", std::process::id()));
    fs::create_dir(&folder)?;
    let outcome = measure(&folder.join("ledger"), each);
    fs::remove_dir_all(&folder)?;
    outcome
}

fn measure(path: &std::path::Path, each: u64) -> Outcome<()> {
    let mut store = Sqlite::create(path)?;
    let events = write(&mut store, each)?;
    println!("{events} events of {DRUMS} drums");
    drop(store);

    let mut store = Sqlite::open(path, Access::Write)?;
    let (_, took) = timed(|| store.read_all(&mut |_| ControlFlow::Continue(())))?;
    println!("read alone             {:>9.3} s", took.as_secs_f64());
    let (_, took) = timed(|| {
        store.read_all(&mut |record| {
            std::hint::black_box(record.event()).ok();
            ControlFlow::Continue(())
        })
    })?;
    println!("read and decode        {:>9.3} s", took.as_secs_f64());
    let (before, busy) = (resident_kib(), processor_ticks());
    let (yard, took) = timed(|| Yard::open(&store))?;
    println!("fold from nothing      {:>9.3} s    target 3 s", took.as_secs_f64());
    // On a busy machine the wall tells little.
    if let Some((before, after)) = busy.zip(processor_ticks()) {
        println!("  of it the processor  {:>9.2} s", after.saturating_sub(before) as f64 / 100.0);
    }
    memory("yard in memory", before);

    let (encoded, took) = timed(|| Ok::<_, Box<dyn Error>>(yard.encode()))?;
    println!("encode                 {:>9.3} s", took.as_secs_f64());
    println!("snapshot               {:>9.1} MiB", encoded.len() as f64 / f64::from(1 << 20));
    yard.keep(&mut store)?;
    trace(&yard)?;
    drop((yard, store, encoded));

    let store = Sqlite::open(path, Access::Write)?;
    let (mut best, mut yard) = (Duration::MAX, Yard::default());
    for _ in 0..5 {
        // The one before is freed outside the time taken.
        drop(std::mem::take(&mut yard));
        let (opened, took) = timed(|| Yard::open(&store))?;
        best = best.min(took);
        yard = opened;
    }
    println!("open from snapshot     {:>9.3} s    target 0.2 s", best.as_secs_f64());
    trace(&yard)
}

fn trace(yard: &Yard) -> Outcome<()> {
    let (mut draws, mut flights, mut times) = (0, 0, Vec::new());
    for number in 0..BATCHES {
        let (trace, took) = timed(|| yard.trace_batch(&batch(number)).ok_or("no such batch"))?;
        times.push(took.as_secs_f64() * 1e3);
        draws += trace.draws.len();
        flights += trace.flights.len();
    }
    times.sort_by(f64::total_cmp);
    let (median, worst) = (times[times.len() / 2], times[times.len() - 1]);
    println!("trace of a batch       {median:>9.3} ms   target 10 ms, median of {BATCHES}");
    println!("  the slowest          {worst:>9.3} ms   all: {draws} draws, {flights} flights");
    let (trace, took) = timed(|| yard.trace_flight(&flight(9_999)).ok_or("no such flight"))?;
    println!(
        "trace of a flight      {:>9.3} ms   {} draws, {} hands",
        took.as_secs_f64() * 1e3,
        trace.draws.len(),
        trace.hands.len()
    );
    let (findings, took) = timed(|| {
        let all =
            yard.containers().map(|it| yard.findings(it.id).len() + yard.recalls(it.id).len());
        Ok::<_, Box<dyn Error>>(all.sum::<usize>())
    })?;
    println!("findings of all        {:>9.3} ms   {findings}", took.as_secs_f64() * 1e3);
    Ok(())
}

#[expect(clippy::disallowed_methods, reason = "this is what a benchmark does")]
fn timed<T, E>(work: impl FnOnce() -> Result<T, E>) -> Result<(T, Duration), E> {
    let start = std::time::Instant::now();
    let value = work()?;
    Ok((value, start.elapsed()))
}

/// Resident memory, where the system tells.
fn resident_kib() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"))?;
    line.trim().trim_end_matches("kB").trim().parse().ok()
}

/// Hundredths of a second this process kept a processor busy, where the system tells.
fn processor_ticks() -> Option<u64> {
    let stat = fs::read_to_string("/proc/self/stat").ok()?;
    let mut fields = stat.rsplit_once(')')?.1.split_whitespace().skip(11);
    Some(fields.next()?.parse::<u64>().ok()? + fields.next()?.parse::<u64>().ok()?)
}

fn memory(what: &str, before: Option<u64>) {
    if let Some((before, after)) = before.zip(resident_kib()) {
        let mib = after.saturating_sub(before) as f64 / 1024.0;
        println!("{what:<22} {mib:>9.1} MiB");
    }
}

/// Two devices that write in turn.
struct Writer<'a> {
    store: &'a mut Sqlite,
    heads: [(u64, Hash); 2],
    written: u64,
    waiting: Vec<Record>,
}

impl Writer<'_> {
    fn say(&mut self, subject: Subject, event: Event) -> Outcome<Uuid> {
        let number = self.written;
        self.written += 1;
        let on = (mix(number) % 2) as usize;
        let at_ms = START_MS + number as i64 * 500;
        let at = Timestamp::from_millisecond(at_ms)?;
        let id = Uuid::from_u64_pair((at_ms as u64) << 16 | 0x7000, mix(number) | 1 << 63);
        let author = PEOPLE[(mix(number + 7) % 5) as usize].to_owned();
        let device = DeviceId(Uuid::from_u128(0xd0 + on as u128));
        let (seq, previous) = self.heads[on];
        let order = Order { at_ms, device, seq };
        let draft = Draft { id: RecordId(id), at, author, event: event.into() };
        let record = Record::make(draft, order, subject, previous)?;
        self.heads[on] = (seq + 1, record.hash);
        self.waiting.push(record);
        if self.waiting.len() == 50_000 {
            self.flush()?;
        }
        Ok(id)
    }

    fn flush(&mut self) -> Outcome<()> {
        self.store.insert_foreign(&self.waiting)?;
        self.waiting.clear();
        Ok(())
    }
}

/// Fills the store, and gives how many events there are.
fn write(store: &mut Sqlite, each: u64) -> Outcome<u64> {
    let heads = [(0, Hash::NONE); 2];
    let mut writer = Writer { store, heads, written: 0, waiting: Vec::new() };
    for step in 0..each {
        for number in 0..DRUMS {
            let container = drum(number);
            let subject = Subject::container(container);
            let of = writer.say(subject.clone(), event(container, number, step))?;
            // One record in 2,000 was wrong.
            if mix(number * 100 + step).is_multiple_of(2_000) {
                let instead = Some(Box::new(event(container, number, step)));
                let reason = "typed wrongly".into();
                let event = Event::Corrected(Corrected { of, instead, reason });
                writer.say(subject, event)?;
            }
        }
    }
    for name in [batch(3), batch(77)] {
        let event = BatchRecalled { batch: name.clone(), reason: "water found".into() };
        writer.say(Subject::batch(&name), Event::BatchRecalled(event))?;
    }
    writer.flush()?;
    Ok(writer.written)
}

/// What happens to a drum: filled every fiftieth time, in between looked at, stood, sampled,
/// drawn from and marked.
fn event(container: Uuid, number: u64, step: u64) -> Event {
    let chance = mix(number << 20 | step);
    match step % 50 {
        0 => received(container, number),
        1 => Event::Stored(Stored {
            container,
            place: format!("place {}", number % 12),
            rack: Some(format!("row {}", chance % 9)),
            posture: Posture::OnSide,
            bungs: Some([3, 9]),
            chocked: true,
            off_ground: true,
            shaded: !chance.is_multiple_of(3),
        }),
        2 => Event::Opened(Opened { container, seals: Seals::Intact }),
        49 => Event::Emptied(Emptied { container }),
        later => match later % 6 {
            3 => Event::Inspected(Inspected {
                container,
                dents: Severity::None,
                rust: Severity::Slight,
                lining_sound: None,
                label_legible: true,
                seals: Seals::Intact,
                note: None,
            }),
            4 => Event::Stood(Stood { container, posture: Posture::Tilted }),
            5 => Event::Sampled(Sampled {
                container,
                low_point: true,
                appearance: Appearance::ClearAndBright,
                colour: "blue".into(),
                paste: Paste::Dry,
                density_g_m3: Some(716_000 + (chance % 4_000) as i64),
                temperature_mdegc: Some(24_000),
            }),
            0 | 1 => drawn(container, number, step, chance),
            _ => Event::PartMarked(PartMarked { container, left_ml: 90_000 }),
        },
    }
}

fn received(container: Uuid, number: u64) -> Event {
    Event::Received(Received {
        container,
        kind: ContainerKind::Drum,
        label: format!("D-{number:05}"),
        place: format!("place {}", number % 12),
        grade: "avgas 100LL".into(),
        batch: batch(number % BATCHES),
        supplier: "Vessary Fuels".into(),
        filled: Day(jiff::civil::date(2026, 1, 1)),
        contents_ml: 200_000,
        temperature_mdegc: Some(21_500),
        capacity_ml: 208_000,
        seals: vec![format!("S-{number}-1"), format!("S-{number}-2")],
        maker_number: Some(format!("M-{number}")),
    })
}

/// One draw in a hundred goes into a bowser.
fn drawn(container: Uuid, number: u64, step: u64, chance: u64) -> Event {
    let (into, flight) = if chance.is_multiple_of(100) {
        (Into::Container(drum(DRUMS + chance % BOWSERS)), None)
    } else {
        let registration = format!("QK-{:03}", chance % 40);
        let into = Into::Aircraft { registration, tank: "left wing".into() };
        (into, Some(flight((number / 4) * 50 + step / 2)))
    };
    Event::Drawn(Drawn { container, volume_ml: 12_000, into, flight })
}

fn drum(number: u64) -> Uuid {
    Uuid::from_u64_pair(0x0197_0000_0000_7000, 1 << 63 | mix(number) >> 2)
}

fn batch(number: u64) -> String {
    format!("VF-{number:04}")
}

fn flight(number: u64) -> String {
    format!("flight {number}")
}

/// A number that looks random and is the same every time: the finaliser of SplitMix64
/// (Steele, Lea and Flood, OOPSLA 2014; from memory).
fn mix(number: u64) -> u64 {
    let mut z = number.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ z >> 30).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ z >> 27).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ z >> 31
}
