use jiff::SignedDuration;
use proptest::prelude::*;

use super::*;
use crate::serve::access::phrase;

fn memory() -> Store {
    Store::of(Connection::open_in_memory().unwrap()).unwrap()
}

fn at(seconds: i64) -> Timestamp {
    Timestamp::from_second(1_700_000_000 + seconds).unwrap()
}

fn token(number: u8) -> TokenHash {
    Token::new([number; LENGTH]).hash()
}

const ANSA: &str = "Ansa Verrel";

/// A store with one pilot in it.
fn with_ansa() -> Store {
    let store = memory();
    assert!(store.add(ANSA, Role::Pilot, at(0)).unwrap());
    store
}

fn name_of(store: &Store, number: u8, now: Timestamp) -> Option<String> {
    store.session(token(number), now).unwrap().map(|person| person.name)
}

#[test]
fn two_people_never_differ_in_case_alone() {
    let store = with_ansa();
    assert!(!store.add("ANSA  verrel", Role::Viewer, at(0)).unwrap());
    assert!(store.set_role("ansa verrel", Role::Keeper).unwrap());
    let people = store.people().unwrap();
    let wanted = Person { name: ANSA.into(), role: Role::Keeper, has_phrase: false };
    assert_eq!(people, [wanted]);
}

#[test]
fn a_session_stands_until_it_is_ended_and_no_other_with_it() {
    let mut store = with_ansa();
    for number in [1, 2] {
        store.came_in(ANSA, token(number), at(0)).unwrap().unwrap();
    }
    assert_eq!(name_of(&store, 1, at(1)).as_deref(), Some(ANSA));
    store.end(token(1)).unwrap();
    assert_eq!(name_of(&store, 1, at(1)), None);
    assert_eq!(name_of(&store, 2, at(1)).as_deref(), Some(ANSA));
    assert_eq!(name_of(&store, 3, at(1)), None);
}

#[test]
fn a_session_that_has_ended_is_gone_also_when_the_clock_goes_back() {
    let mut store = with_ansa();
    store.came_in(ANSA, token(1), at(0)).unwrap();
    assert_eq!(name_of(&store, 1, at(13 * 3600)), None);
    assert_eq!(name_of(&store, 1, at(1)), None);
}

#[test]
fn use_keeps_a_session_and_a_week_ends_it() {
    let mut store = with_ansa();
    store.came_in(ANSA, token(1), at(0)).unwrap();
    for hour in (10..168).step_by(10) {
        assert!(name_of(&store, 1, at(hour * 3600)).is_some(), "{hour}");
    }
    assert_eq!(name_of(&store, 1, at(168 * 3600)), None);
}

#[test]
fn who_is_removed_or_has_a_new_passphrase_is_out_and_a_new_role_holds_at_once() {
    let mut store = with_ansa();
    store.add("Odrin Kestow", Role::Viewer, at(0)).unwrap();
    store.came_in(ANSA, token(1), at(0)).unwrap();
    store.came_in("Odrin Kestow", token(2), at(0)).unwrap();
    store.set_role("Odrin Kestow", Role::Refueller).unwrap();
    assert_eq!(store.session(token(2), at(1)).unwrap().unwrap().role, Role::Refueller);
    assert!(store.set_phrase(ANSA, &Kept::nobody()).unwrap());
    assert_eq!(name_of(&store, 1, at(1)), None);
    assert_eq!(name_of(&store, 2, at(1)).as_deref(), Some("Odrin Kestow"));
    assert!(store.remove("odrin kestow").unwrap());
    assert_eq!(name_of(&store, 2, at(1)), None);
    assert!(!store.remove("Odrin Kestow").unwrap());
    assert!(store.came_in("Odrin Kestow", token(3), at(1)).unwrap().is_none());
}

#[test]
fn a_code_works_once_and_for_ten_minutes_and_a_new_one_ends_the_old() {
    let store = with_ansa();
    let taken = |hash, now| store.take_code(hash, now).unwrap();
    assert!(store.give_code(ANSA, [1; 32], at(0)).unwrap());
    assert_eq!(taken([9; 32], at(1)), None);
    assert_eq!(taken([1; 32], at(599)).as_deref(), Some("ansa verrel"));
    assert_eq!(taken([1; 32], at(599)), None);
    assert!(store.give_code(ANSA, [2; 32], at(0)).unwrap());
    assert_eq!(taken([2; 32], at(600)), None);
    assert_eq!(taken([2; 32], at(1)), None);
    assert!(store.give_code(ANSA, [3; 32], at(0)).unwrap());
    assert!(store.give_code(ANSA, [4; 32], at(0)).unwrap());
    assert_eq!(taken([3; 32], at(1)), None);
    assert!(taken([4; 32], at(1)).is_some());
    assert!(!store.give_code("Nobody", [5; 32], at(0)).unwrap());
    assert_eq!(taken([5; 32], at(1)), None);
}

#[test]
fn after_too_many_failures_the_passphrase_is_none_until_a_code_was_used() {
    let mut store = with_ansa();
    assert_eq!(store.try_phrase(ANSA).unwrap(), None);
    let kept = phrase::take("kestrel over nine grey stones", ANSA, [1; 16]).unwrap();
    store.set_phrase(ANSA, &kept).unwrap();
    for _ in 0..limiter::FAILURES_MOST {
        assert_eq!(store.try_phrase("ansa verrel").unwrap().as_ref(), Some(&kept));
    }
    assert_eq!(store.try_phrase(ANSA).unwrap(), None);
    store.came_in(ANSA, token(1), at(0)).unwrap().unwrap();
    assert_eq!(store.try_phrase(ANSA).unwrap(), Some(kept));
    assert_eq!(store.try_phrase("Nobody").unwrap(), None);
}

#[test]
fn a_try_with_an_unknown_name_costs_the_disk_as_much() {
    let mut store = with_ansa();
    store.set_phrase(ANSA, &Kept::nobody()).unwrap();
    let changes = |store: &Store| store.connection.total_changes();
    for name in [ANSA, "Nobody"] {
        let before = changes(&store);
        store.try_phrase(name).unwrap();
        assert!(changes(&store) > before, "{name}");
    }
}

#[test]
fn the_own_token_is_made_once() {
    let store = memory();
    let first = store.own_token([1; LENGTH]).unwrap();
    assert!(first == Token::new([1; LENGTH]));
    assert!(store.own_token([2; LENGTH]).unwrap() == first);
}

#[test]
fn a_certificate_comes_back_as_it_was_kept() {
    let store = memory();
    assert_eq!(store.certificate().unwrap(), None);
    for number in [1, 2] {
        let made =
            Made { certificate: vec![number; 3], pem: "p".into(), key: vec![9], ends: at(7) };
        store.keep_certificate(&made).unwrap();
        assert_eq!(store.certificate().unwrap(), Some(made));
    }
}

#[cfg(unix)]
#[test]
fn the_file_is_for_its_owner_alone_and_so_are_those_beside_it() {
    use std::{fs, os::unix::fs::PermissionsExt as _};
    let folder = std::env::temp_dir().join(format!("stillprop-access-{}", std::process::id()));
    let path = folder.join("yard.ledger.access");
    let rights = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    for _ in 0..2 {
        let store = Store::open(&path).unwrap();
        store.add(ANSA, Role::Pilot, at(0)).unwrap();
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            assert_eq!(rights(&path), 0o600, "{}", path.display());
        }
        drop(store);
        fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).unwrap();
    }
    fs::write(&path, "no database").unwrap();
    assert!(Store::open(&path).is_err());
    fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn a_file_of_another_version_is_not_touched() {
    let connection = Connection::open_in_memory().unwrap();
    connection.pragma_update(None, "user_version", 7).unwrap();
    assert!(Store::of(connection).err().unwrap().0.contains("another version"));
}

/// What may happen to a store.
#[derive(Clone, Debug)]
enum Step {
    ComesIn(u8),
    GoesOut(u8),
    Removed(bool),
    Later(i64),
}

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        (0..4_u8).prop_map(Step::ComesIn),
        (0..4_u8).prop_map(Step::GoesOut),
        any::<bool>().prop_map(Step::Removed),
        (0..20 * 3600_i64).prop_map(Step::Later),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    // Against the plainest account of it: a list of who came in and when.
    #[test]
    fn a_session_lets_in_only_who_came_in_and_did_not_leave(steps in prop::collection::vec(step(), 1..40)) {
        let mut store = with_ansa();
        let (mut now, mut known) = (at(0), true);
        let mut inside: [Option<(Timestamp, Timestamp)>; 4] = [None; 4];
        for step in steps {
            match step {
                Step::ComesIn(number) => {
                    let place = &mut inside[usize::from(number)];
                    store.end(token(number)).unwrap();
                    let came = store.came_in(ANSA, token(number), now).unwrap();
                    prop_assert_eq!(came.is_some(), known);
                    *place = known.then_some((now, now));
                }
                Step::GoesOut(number) => {
                    store.end(token(number)).unwrap();
                    inside[usize::from(number)] = None;
                }
                Step::Removed(true) => {
                    prop_assert_eq!(store.remove(ANSA).unwrap(), known);
                    (inside, known) = ([None; 4], false);
                }
                Step::Removed(false) => {
                    prop_assert_eq!(store.add(ANSA, Role::Pilot, now).unwrap(), !known);
                    known = true;
                }
                Step::Later(seconds) => now += SignedDuration::from_secs(seconds),
            }
            for (number, place) in inside.iter_mut().enumerate() {
                let hours = |then: Timestamp| now.duration_since(then).as_hours();
                *place = place.filter(|(begun, used)| hours(*begun) < 168 && hours(*used) < 12);
                let stands = name_of(&store, u8::try_from(number).unwrap(), now).is_some();
                prop_assert_eq!(stands, place.is_some());
                *place = place.map(|(begun, used)| {
                    let noted = now.duration_since(used) >= SignedDuration::from_mins(5);
                    (begun, if noted { now } else { used })
                });
            }
        }
    }
}
