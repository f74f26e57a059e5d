//! Records as JSON lines: out and in without a byte changed, in any number of times, and every
//! mistake named with its line.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod drafts;

use drafts::{all, corrected, device, draft, draft_of, event, id};
use stillprop_ledger::{
    chain,
    record::{BODY_MAX, Flaw},
    store::{Inserted, Memory, Refusal, Store, StoreError},
    transfer::{Reason, TransferError, export, import},
};

/// Two devices, a correction, a record beside the log, one of a newer program.
fn ledger() -> Memory {
    let mut store = Memory::new();
    store.append(device(1), [0, 2, 4].map(draft).to_vec()).unwrap();
    let correction = draft_of(7, corrected(id(2), Some(event(2))));
    store.append(device(2), vec![draft(1), draft(3), correction]).unwrap();
    let fork = Memory::new().append(device(2), vec![draft(9)]).unwrap();
    store.insert_foreign(&fork).unwrap();
    let mut newer = Memory::new().append(device(3), vec![draft(5)]).unwrap().remove(0);
    newer.body = r#"{ "v3" : {"weighed":{"kg":1.50,"kg2":1e2}} }"#.into();
    newer.hash = newer.as_ref().digest();
    store.insert_foreign(&[newer]).unwrap();
    store
}

fn text_of(store: &dyn Store) -> String {
    let mut text = Vec::new();
    let count = export(store, &mut text).unwrap();
    let text = String::from_utf8(text).unwrap();
    assert_eq!(text.lines().count() as u64, count + 2);
    text
}

fn bring_in(store: &mut dyn Store, text: &str) -> Result<Inserted, (u64, Reason)> {
    import(store, &mut text.as_bytes()).map_err(|error| match error {
        TransferError::Line(line, reason) => (line, reason),
        other => panic!("{other}"),
    })
}

#[test]
fn what_goes_out_comes_in_without_a_byte_changed() {
    let store = ledger();
    let text = text_of(&store);
    let mut again = Memory::new();
    let inserted = bring_in(&mut again, &text).unwrap();
    assert_eq!((inserted.new, inserted.repeats, inserted.forks.len()), (7, 0, 1));
    assert_eq!(all(&again), all(&store));
    assert_eq!(again.forks().unwrap(), store.forks().unwrap());
    assert_eq!(text_of(&again), text);
    assert!(chain::verify(&again).unwrap().is_sound());
}

#[cfg(feature = "sqlite")]
#[test]
fn a_file_takes_and_gives_the_same_text() {
    let folder = drafts::Folder::new("transfer-file");
    let path = folder.file("yard.ledger");
    let mut file = stillprop_ledger::store::Sqlite::create(&path).unwrap();
    let text = text_of(&ledger());
    bring_in(&mut file, &text).unwrap();
    assert_eq!(text_of(&file), text);
}

#[test]
fn the_same_text_may_come_in_any_number_of_times() {
    let mut store = ledger();
    let text = text_of(&store);
    for _ in 0..2 {
        let inserted = bring_in(&mut store, &text).unwrap();
        assert_eq!(inserted, Inserted { new: 0, repeats: 8, forks: Vec::new() });
        assert_eq!(text_of(&store), text);
    }
}

#[test]
fn logs_of_two_ledgers_become_one() {
    let (mut one, mut two) = (Memory::new(), Memory::new());
    one.append(device(1), [0, 2, 4].map(draft).to_vec()).unwrap();
    two.append(device(2), [1, 3, 5].map(draft).to_vec()).unwrap();
    bring_in(&mut one, &text_of(&two)).unwrap();
    bring_in(&mut two, &text_of(&one)).unwrap();
    assert_eq!(text_of(&one), text_of(&two));
    assert_eq!(all(&one).len(), 6);
}

#[test]
fn a_text_cut_off_anywhere_is_noticed_and_what_came_in_is_whole() {
    let store = ledger();
    let (text, records) = (text_of(&store), all(&store));
    // Without its last line break the text still says everything.
    for end in 0..text.len() - 1 {
        let Some(cut) = text.get(..end) else { continue };
        let mut again = Memory::new();
        let (line, _) = bring_in(&mut again, cut).unwrap_err();
        let lines = cut.lines().count().max(1) as u64;
        assert!(line == lines || line == lines + 1, "cut at {end}: line {line} of {lines}");
        let taken = all(&again);
        assert_eq!(taken, records[..taken.len()]);
        assert!(chain::verify(&again).unwrap().is_sound());
        bring_in(&mut again, &text).unwrap();
        assert_eq!(text_of(&again), text);
    }
    bring_in(&mut Memory::new(), text.trim_end()).unwrap();
}

#[test]
fn every_mistake_is_named_with_its_line() {
    let text = text_of(&ledger());
    let lines: Vec<&str> = text.lines().collect();
    let with = |line: usize, new: &str| {
        let mut lines = lines.clone();
        lines[line - 1] = new;
        lines.join("\n")
    };
    let without = |line: usize| {
        let mut lines = lines.clone();
        lines.remove(line - 1);
        lines.join("\n")
    };
    let refused = |reason: &Reason, wanted: &Refusal| match reason {
        Reason::Refused(StoreError::Refused { why, .. }) => why == wanted,
        _ => false,
    };
    let no_record = |reason: &Reason| matches!(reason, Reason::NotARecord(_));
    let altered = lines[3].replace("Ansa Verrel", "Ansa Verral");
    let flawed = Refusal::Flawed(Flaw::Hash);
    let gap = Refusal::Gap { device: device(1), missing: 1 };
    let short = lines[3].replace(",\"seq\":1", "");
    let extra = lines[3].replace("{\"id\"", "{\"note\":\"\",\"id\"");
    let shouted = lines[3].replace("\"hash\":\"", "\"hash\":\"A");
    assert!(lines[3] != altered && lines[3] != short && lines[3] != extra && lines[3] != shouted);
    type Case<'a> = (&'a str, String, u64, Box<dyn Fn(&Reason) -> bool + 'a>);
    let cases: Vec<Case<'_>> = vec![
        ("empty", String::new(), 1, Box::new(|r| *r == Reason::NotAnExport)),
        ("no head", without(1), 1, Box::new(|r| *r == Reason::NotAnExport)),
        ("other", "name,litres\nA,3\n".into(), 1, Box::new(|r| *r == Reason::NotAnExport)),
        ("newer", with(1, r#"{"ledger":{"format":2}}"#), 1, Box::new(|r| *r == Reason::Newer(2))),
        ("altered", with(4, &altered), 4, Box::new(|r| refused(r, &flawed))),
        ("missing", without(4), 5, Box::new(|r| refused(r, &gap))),
        ("no seq", with(4, &short), 4, Box::new(no_record)),
        ("unknown key", with(4, &extra), 4, Box::new(no_record)),
        ("hash too long", with(4, &shouted), 4, Box::new(no_record)),
        ("blank line", with(4, ""), 4, Box::new(no_record)),
        ("head again", with(4, lines[0]), 4, Box::new(no_record)),
        ("no end", without(10), 10, Box::new(|r| *r == Reason::Ends)),
        ("last one missing", without(9), 9, Box::new(|r| *r == Reason::Count(8))),
        ("more", format!("{text}more"), 11, Box::new(|r| *r == Reason::AfterEnd)),
    ];
    assert_eq!(lines.len(), 10);
    for (name, text, line, is) in cases {
        let mut store = Memory::new();
        let (found, reason) = bring_in(&mut store, &text).unwrap_err();
        assert!(found == line && is(&reason), "{name}: line {found}: {reason:?}");
        assert!(chain::verify(&store).unwrap().is_sound(), "{name}");
    }
}

#[test]
fn a_line_without_end_is_not_read_to_its_end() {
    let text = format!("{{\"ledger\":{{\"format\":1}}}}\n{}", " ".repeat(2 * BODY_MAX));
    assert_eq!(bring_in(&mut Memory::new(), &text).unwrap_err(), (2, Reason::TooLong));
}

#[test]
fn what_is_not_utf_8_is_no_record() {
    let mut text = text_of(&ledger()).into_bytes();
    let at = text.windows(4).position(|window| window == b"Ansa").unwrap();
    text[at] = 0xff;
    let error = import(&mut Memory::new(), &mut text.as_slice()).unwrap_err();
    assert!(matches!(error, TransferError::Line(2, Reason::NotARecord(_))), "{error}");
}

/// A file to write to that has no room.
struct Full;

impl std::io::Write for Full {
    fn write(&mut self, _: &[u8]) -> std::io::Result<usize> {
        Err(std::io::ErrorKind::StorageFull.into())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

#[test]
fn an_export_that_cannot_be_written_says_so() {
    let error = export(&ledger(), &mut Full).unwrap_err();
    let TransferError::File(error) = error else { panic!("{error}") };
    assert_eq!(error.kind(), std::io::ErrorKind::StorageFull);
}
