//! Files that are none of ours, damaged, on a full disk, on one that cannot be written to.

#![cfg(feature = "sqlite")]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod drafts;

use std::{fs, path::Path};

use drafts::{Folder, all, device, draft};
use stillprop_ledger::{
    chain,
    store::{Access, Sqlite, Store, StoreError, restore},
};

fn ledger(path: &Path, records: u64) -> Sqlite {
    let mut store = Sqlite::create(path).unwrap();
    store.append(device(1), (0..records).map(draft).collect()).unwrap();
    store
}

/// A file that must not open, and why.
fn refuse(name: &str, bytes: &[u8], wanted: impl Fn(&StoreError) -> bool) {
    for access in [Access::Write, Access::Read] {
        let folder = Folder::new(&format!("disk-{name}-{access:?}"));
        let path = folder.file("yard.ledger");
        fs::write(&path, bytes).unwrap();
        let before = folder.content();
        let error = Sqlite::open(&path, access).map(drop).unwrap_err();
        assert!(wanted(&error), "{name}: {error:?}");
        assert_eq!(folder.content(), before, "{name} was touched");
    }
}

/// The bytes of a ledger, and of another file of SQLite.
fn examples() -> (Vec<u8>, Vec<u8>) {
    let folder = Folder::new("disk-examples");
    drop(ledger(&folder.file("ours"), 40));
    let other = rusqlite::Connection::open(folder.file("other")).unwrap();
    other.execute_batch("CREATE TABLE song (title TEXT)").unwrap();
    other.close().unwrap();
    (fs::read(folder.file("ours")).unwrap(), fs::read(folder.file("other")).unwrap())
}

#[test]
fn a_file_that_is_no_ledger_is_named_and_not_touched() {
    let (ours, other) = examples();
    let foreign = |error: &StoreError| matches!(error, StoreError::NotALedger(_));
    refuse("empty", b"", foreign);
    refuse("text", &b"drums of the north yard\n".repeat(50), foreign);
    refuse("other", &other, foreign);
    refuse("half-a-header", &ours[..99], foreign);
    let mut unversioned = ours.clone();
    unversioned[60..64].fill(0);
    refuse("unversioned", &unversioned, foreign);
    let mut newer = ours;
    newer[63] += 1;
    refuse("newer", &newer, |error| matches!(error, StoreError::Newer(_)));
}

#[test]
fn a_damaged_ledger_is_named_and_not_touched() {
    let (ours, _) = examples();
    let damaged = |error: &StoreError| matches!(error, StoreError::Damaged(_));
    refuse("cut-off", &ours[..ours.len() - 1], damaged);
    refuse("cut-in-half", &ours[..ours.len() / 2], damaged);
    refuse("header-alone", &ours[..100], damaged);
    let mut tables = ours.clone();
    tables[100..4096].fill(0x5a);
    refuse("no-tables", &tables, damaged);
    let at = ours.windows(12).position(|window| window == b"subject TEXT").unwrap();
    let mut renamed = ours;
    renamed[at] = b'z';
    refuse("renamed", &renamed, damaged);
}

#[test]
fn what_is_missing_or_a_folder_is_named_and_nothing_is_made() {
    let folder = Folder::new("disk-missing");
    let path = folder.file("yard.ledger");
    let error = Sqlite::open(&path, Access::Write).map(drop).unwrap_err();
    assert_eq!(error, StoreError::Missing(path.display().to_string()));
    assert_eq!(folder.content(), []);
    let error = Sqlite::open(&folder.0, Access::Write).map(drop).unwrap_err();
    assert_eq!(error, StoreError::NotALedger(folder.0.display().to_string()));
}

#[test]
fn a_name_that_is_taken_is_left_alone() {
    let folder = Folder::new("disk-taken");
    let path = folder.file("yard.ledger");
    fs::write(&path, b"mine").unwrap();
    let exists = StoreError::Exists(path.display().to_string());
    assert_eq!(Sqlite::create(&path).map(drop).unwrap_err(), exists);
    let store = ledger(&folder.file("other.ledger"), 3);
    assert_eq!(store.backup(&path).unwrap_err(), exists);
    drop(store);
    assert_eq!(fs::read(&path).unwrap(), b"mine");
    let names: Vec<_> = folder.content().into_iter().map(|(name, _)| name).collect();
    assert_eq!(names, ["other.ledger", "yard.ledger"]);
}

#[test]
fn names_with_odd_letters_are_opened() {
    let folder = Folder::new("disk-odd");
    for name in ["a b.ledger", "50%?#mode=x&.ledger", "Höhe.ledger"] {
        drop(ledger(&folder.file(name), 2));
        for access in [Access::Read, Access::Write] {
            assert_eq!(all(&Sqlite::open(&folder.file(name), access).unwrap()).len(), 2);
        }
    }
    assert_eq!(folder.content().len(), 3);
}

/// Appends until the disk is full; then nothing is lost, and with room it goes on.
fn fill(mut store: Sqlite, more_room: impl FnOnce(&mut Sqlite)) {
    let mut acknowledged = all(&store);
    let error = loop {
        let from = acknowledged.len() as u64;
        match store.append(device(1), vec![draft(from), draft(from + 1)]) {
            Ok(records) => acknowledged.extend(records),
            Err(error) => break error,
        }
        assert!(acknowledged.len() < 100_000, "never full");
    };
    assert_eq!(error, StoreError::Full);
    assert!(acknowledged.len() > 20);
    assert_eq!(all(&store), acknowledged);
    assert!(chain::verify(&store).unwrap().is_sound());
    more_room(&mut store);
    let from = acknowledged.len() as u64;
    acknowledged.extend(store.append(device(1), vec![draft(from), draft(from + 1)]).unwrap());
    assert_eq!(all(&store), acknowledged);
    let report = chain::verify(&store).unwrap();
    assert_eq!((report.is_sound(), report.records), (true, acknowledged.len() as u64));
}

#[test]
fn a_full_disk_is_named_and_loses_nothing() {
    let folder = Folder::new("disk-full");
    let mut store = ledger(&folder.file("yard.ledger"), 10);
    store.cap(64).unwrap();
    fill(store, |store| store.cap(u32::MAX - 1).unwrap());
}

/// The same on a real disk of one megabyte. `sudo mount -t tmpfs -o size=1m none FOLDER`, then
/// `STILLPROP_SMALL_DISK=FOLDER cargo test -p stillprop-ledger --test disk -- --ignored`.
#[test]
#[ignore = "needs a small disk: see the comment"]
fn a_disk_that_is_really_full_is_named_and_loses_nothing() {
    let folder = std::env::var("STILLPROP_SMALL_DISK").expect("STILLPROP_SMALL_DISK");
    let ballast = Path::new(&folder).join("ballast");
    fs::write(&ballast, vec![0; 300_000]).unwrap();
    let path = Path::new(&folder).join("yard.ledger");
    fill(ledger(&path, 10), |_| fs::remove_file(&ballast).unwrap());
}

#[test]
fn a_ledger_opened_for_reading_cannot_be_written_to() {
    let folder = Folder::new("disk-reading");
    let path = folder.file("yard.ledger");
    drop(ledger(&path, 5));
    let before = folder.content();
    let mut store = Sqlite::open(&path, Access::Read).unwrap();
    assert_eq!(store.append(device(1), vec![draft(5)]).unwrap_err(), StoreError::ReadOnly);
    assert_eq!(store.keep("yard", b"state").unwrap_err(), StoreError::ReadOnly);
    assert_eq!(all(&store).len(), 5);
    drop(store);
    assert_eq!(folder.content(), before);
}

#[test]
fn another_program_that_does_not_stop_writing_is_named_and_nothing_is_lost() {
    let folder = Folder::new("disk-busy");
    let path = folder.file("yard.ledger");
    let mut store = ledger(&path, 5);
    let other = rusqlite::Connection::open(&path).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    assert_eq!(store.append(device(1), vec![draft(5)]).unwrap_err(), StoreError::Busy);
    assert_eq!(all(&store).len(), 5, "reading goes on");
    other.execute_batch("COMMIT").unwrap();
    store.append(device(1), vec![draft(5)]).unwrap();
    assert_eq!(chain::verify(&store).unwrap().records, 6);
}

/// What a crash left behind is read, too, where nothing can be written.
#[test]
fn unfinished_work_is_read_without_finishing_it() {
    let folder = Folder::new("disk-unfinished");
    let store = ledger(&folder.file("yard.ledger"), 5);
    let copy = Folder::new("disk-unfinished-copy");
    for name in ["yard.ledger", "yard.ledger-wal"] {
        fs::copy(folder.file(name), copy.file(name)).unwrap();
    }
    drop(store);
    assert!(fs::metadata(copy.file("yard.ledger-wal")).unwrap().len() > 0);
    let read = Sqlite::open(&copy.file("yard.ledger"), Access::Read).unwrap();
    assert_eq!(all(&read).len(), 5);
    drop(read);
    let mut write = Sqlite::open(&copy.file("yard.ledger"), Access::Write).unwrap();
    write.append(device(1), vec![draft(5)]).unwrap();
    assert_eq!(chain::verify(&write).unwrap().records, 6);
}

/// Run by the test below as a user who may not write.
#[cfg(unix)]
#[test]
#[ignore = "run by a_disk_that_cannot_be_written_to_is_named_and_nothing_is_lost"]
fn as_a_user_who_may_not_write() {
    let path = std::env::var("STILLPROP_READ_ONLY").expect("STILLPROP_READ_ONLY");
    let path = Path::new(&path);
    assert!(fs::write(path.with_extension("probe"), b"").is_err(), "this user may write");
    let error = Sqlite::open(path, Access::Write).map(drop).unwrap_err();
    assert_eq!(error, StoreError::ReadOnly);
    let error = Sqlite::create(&path.with_extension("new")).map(drop).unwrap_err();
    assert_eq!(error, StoreError::ReadOnly);
    let mut store = Sqlite::open(path, Access::Read).unwrap();
    assert_eq!(store.append(device(1), vec![draft(5)]).unwrap_err(), StoreError::ReadOnly);
    assert_eq!(all(&store).len(), 5);
    assert!(chain::verify(&store).unwrap().is_sound());
}

#[cfg(unix)]
#[test]
fn a_disk_that_cannot_be_written_to_is_named_and_nothing_is_lost() {
    use std::os::unix::{fs::PermissionsExt as _, process::CommandExt as _};

    // Below the system's own folder for such things: a user without rights must get there.
    let folder = Folder(std::env::temp_dir().join(format!("stillprop-{}", std::process::id())));
    fs::create_dir_all(&folder.0).unwrap();
    let path = folder.file("yard.ledger");
    drop(ledger(&path, 5));
    let program = folder.file("program");
    fs::copy(std::env::current_exe().unwrap(), &program).unwrap();
    let mode = |path: &Path, mode| {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    };
    mode(&path, 0o444);
    mode(&folder.0, 0o555);
    let before = fs::read(&path).unwrap();
    let child = || {
        let mut child = std::process::Command::new(&program);
        child.args(["--exact", "as_a_user_who_may_not_write", "--ignored"]);
        child.env("STILLPROP_READ_ONLY", &path);
        child
    };
    // Rights do not bind the super-user, who alone may become another; they bind all others.
    let output = child().uid(65_534).output().or_else(|_| child().output()).unwrap();
    mode(&folder.0, 0o755);
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success() && said.contains("1 passed"), "{said}");
    assert_eq!(fs::read(&path).unwrap(), before);
    assert_eq!(folder.content().len(), 2);
}

#[test]
fn a_backup_made_while_writing_is_whole_and_is_restored() {
    let folder = Folder::new("disk-backup");
    let mut store = ledger(&folder.file("yard.ledger"), 30);
    store.keep("yard", b"state").unwrap();
    let backup = folder.file("yard.backup");
    let report = store.backup(&backup).unwrap();
    assert_eq!((report.records, report.is_sound()), (30, true));
    let told = all(&store);
    store.append(device(1), vec![draft(30)]).unwrap();
    let restored = folder.file("restored.ledger");
    let bytes = fs::read(&backup).unwrap();
    assert_eq!(restore(&backup, &restored).unwrap(), report);
    assert_eq!(fs::read(&backup).unwrap(), bytes);
    let mut again = Sqlite::open(&restored, Access::Write).unwrap();
    assert_eq!((all(&again), again.kept("yard").unwrap()), (told, Some(b"state".to_vec())));
    again.append(device(2), vec![draft(31)]).unwrap();
    assert!(chain::verify(&again).unwrap().is_sound());
}

#[test]
fn a_damaged_ledger_gives_no_backup() {
    let folder = Folder::new("disk-bad-backup");
    let path = folder.file("yard.ledger");
    drop(ledger(&path, 30));
    let connection = rusqlite::Connection::open(&path).unwrap();
    connection.execute_batch("UPDATE record SET author = 'X' WHERE slot % 8 = 7").unwrap();
    connection.close().unwrap();
    let before = folder.content();
    let error = restore(&path, &folder.file("restored.ledger")).unwrap_err();
    let StoreError::Damaged(words) = error else { panic!("{error}") };
    assert!(words.contains("record 7 of device"), "{words}");
    assert_eq!(folder.content(), before);
}
