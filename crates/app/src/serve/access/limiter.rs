//! How often somebody may try to come in: counted by person and by address, each failure
//! longer to wait than the last.
//!
//! A try counts as failed from its beginning, and is forgiven when it succeeds: so many tries
//! at the same moment count as many. What is counted is kept in memory. A person's failures in
//! a row are kept on disk beside it (see [`FAILURES_MOST`]), because a restart forgets what is here.
//!
//! Sources: a wait that grows, and at most 100 failures in a row for one person: NIST SP 800-63B-4
//! (draft text of its public repository), section 3.2.2, read at source. The lengths of the waits:
//! common practice, no source.

use std::{
    collections::HashMap,
    hash::Hash,
    net::{IpAddr, Ipv6Addr},
};

use jiff::{SignedDuration, Timestamp};

use super::secret::tagged;

/// Failures that cost nothing: anybody mistypes.
const FREE: u32 = 3;

/// The longest wait.
const LONGEST: SignedDuration = SignedDuration::from_mins(15);

/// After so long without a try, an address or person starts afresh here.
const FORGET: SignedDuration = SignedDuration::from_hours(24);

/// Passphrases wrong in a row after which only a code from the laptop helps.
pub(crate) const FAILURES_MOST: u32 = 100;

/// How many are remembered of each kind.
const REMEMBERED: usize = 4096;

/// The wait after so many failures: none, then 1 s, 2 s, 4 s and on to a quarter of an hour.
pub(crate) fn wait(failures: u32) -> SignedDuration {
    let Some(doublings) = failures.checked_sub(FREE) else { return SignedDuration::ZERO };
    let seconds = 1_i64.checked_shl(doublings.min(32)).unwrap_or(i64::MAX);
    SignedDuration::from_secs(seconds).min(LONGEST)
}

/// A person as counted: also one that does not exist, and without keeping what was typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Named([u8; 32]);

impl Named {
    /// The name as it was typed, with case and outer spaces out of the way.
    pub(crate) fn of(name: &str) -> Self {
        Self(tagged("stillprop name 1", super::people::fold(name).as_bytes()))
    }
}

/// An address as counted. One machine may use every IPv6 address of a network of 64 bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Net(IpAddr);

impl Net {
    /// The address of the other end.
    pub(crate) fn of(address: IpAddr) -> Self {
        match address.to_canonical() {
            IpAddr::V4(four) => Self(IpAddr::V4(four)),
            IpAddr::V6(six) => {
                let network = u128::from(six) & !u128::from(u64::MAX);
                Self(IpAddr::V6(Ipv6Addr::from(network)))
            }
        }
    }
}

/// Failures of one.
#[derive(Clone, Copy, Debug)]
struct Count {
    failures: u32,
    last: Timestamp,
}

impl Count {
    /// What is still to wait.
    fn left(self, now: Timestamp) -> SignedDuration {
        // A clock that went back must not make anybody wait longer than the longest wait.
        let past = now.duration_since(self.last).max(SignedDuration::ZERO);
        (wait(self.failures) - past).max(SignedDuration::ZERO)
    }
}

/// Failures of many, the oldest forgotten first.
#[derive(Debug)]
struct Counts<K>(HashMap<K, Count>);

impl<K: Copy + Eq + Hash> Counts<K> {
    fn left(&self, key: K, now: Timestamp) -> SignedDuration {
        self.0.get(&key).map_or(SignedDuration::ZERO, |count| count.left(now))
    }

    fn fail(&mut self, key: K, now: Timestamp) {
        self.make_room(key, now);
        let count = self.0.entry(key).or_insert(Count { failures: 0, last: now });
        count.failures = count.failures.saturating_add(1);
        count.last = now;
    }

    fn make_room(&mut self, key: K, now: Timestamp) {
        if self.0.get(&key).is_some_and(|count| now.duration_since(count.last) > FORGET) {
            self.0.remove(&key);
        }
        if self.0.len() < REMEMBERED || self.0.contains_key(&key) {
            return;
        }
        self.0.retain(|_, count| now.duration_since(count.last) <= FORGET);
        if self.0.len() < REMEMBERED {
            return;
        }
        // Those with fewest failures first: a flood of new names must not wash away who is being
        // slowed down.
        let least = self.0.iter().min_by_key(|(_, count)| (count.failures, count.last));
        if let Some(key) = least.map(|(key, _)| *key) {
            self.0.remove(&key);
        }
    }
}

/// Counts tries, and says how long to wait.
#[derive(Debug)]
pub(crate) struct Limiter {
    people: Counts<Named>,
    addresses: Counts<Net>,
}

impl Limiter {
    /// Nobody has tried yet.
    pub(crate) fn new() -> Self {
        Self { people: Counts(HashMap::new()), addresses: Counts(HashMap::new()) }
    }

    /// Begins a try from an address, with a name where one was typed.
    ///
    /// # Errors
    /// How long to wait. Such a try is not counted: who waits as told is not made to wait more.
    pub(crate) fn begin(
        &mut self,
        from: Net,
        named: Option<Named>,
        now: Timestamp,
    ) -> Result<(), SignedDuration> {
        let by_name = named.map_or(SignedDuration::ZERO, |named| self.people.left(named, now));
        let left = self.addresses.left(from, now).max(by_name);
        if left > SignedDuration::ZERO {
            return Err(left);
        }
        self.addresses.fail(from, now);
        if let Some(named) = named {
            self.people.fail(named, now);
        }
        Ok(())
    }

    /// The try that was begun has succeeded.
    pub(crate) fn forgive(&mut self, from: Net, named: Option<Named>) {
        self.addresses.0.remove(&from);
        if let Some(named) = named {
            self.people.0.remove(&named);
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const HERE: IpAddr = IpAddr::V4(std::net::Ipv4Addr::new(192, 0, 2, 7));

    fn at(seconds: i64) -> Timestamp {
        Timestamp::from_second(1_700_000_000 + seconds).unwrap()
    }

    fn from(last: u8) -> Net {
        Net::of(IpAddr::from([192, 0, 2, last]))
    }

    #[test]
    fn the_wait_is_none_then_doubles_then_stays() {
        let seconds = [0, 1, 2, 3, 4, 5, 12, 13, 40, u32::MAX].map(|it| wait(it).as_secs());
        assert_eq!(seconds, [0, 0, 0, 1, 2, 4, 512, 900, 900, 900]);
    }

    #[test]
    fn three_tries_are_free_and_the_fourth_waits() {
        let mut limiter = Limiter::new();
        let named = Some(Named::of("Ansa Verrel"));
        for _ in 0..3 {
            assert_eq!(limiter.begin(from(1), named, at(0)), Ok(()));
        }
        assert_eq!(limiter.begin(from(1), named, at(0)), Err(SignedDuration::from_secs(1)));
        assert_eq!(limiter.begin(from(1), named, at(1)), Ok(()));
        assert_eq!(limiter.begin(from(1), named, at(2)), Err(SignedDuration::from_secs(1)));
    }

    #[test]
    fn a_person_is_slowed_down_from_every_address_and_an_address_for_every_person() {
        let mut limiter = Limiter::new();
        for last in 1..=3 {
            limiter.begin(from(last), Some(Named::of("Ansa Verrel")), at(0)).unwrap();
        }
        limiter.begin(from(9), Some(Named::of(" ANSA verrel ")), at(0)).unwrap_err();
        limiter.begin(from(9), Some(Named::of("Odrin Kestow")), at(0)).unwrap();
        for name in ["a", "b"] {
            limiter.begin(from(9), Some(Named::of(name)), at(0)).unwrap();
        }
        limiter.begin(from(9), Some(Named::of("c")), at(0)).unwrap_err();
        limiter.begin(from(9), None, at(0)).unwrap_err();
    }

    #[test]
    fn success_is_forgiven_and_a_day_forgets() {
        let mut limiter = Limiter::new();
        let named = Some(Named::of("Ansa Verrel"));
        for _ in 0..3 {
            limiter.begin(from(1), named, at(0)).unwrap();
        }
        limiter.forgive(from(1), named);
        limiter.begin(from(1), named, at(0)).unwrap();
        for step in 0..10 {
            limiter.begin(from(1), named, at(1000 * (step + 1))).unwrap();
        }
        limiter.begin(from(1), named, at(10_200)).unwrap_err();
        limiter.begin(from(1), named, at(10_000 + 90_000)).unwrap();
        limiter.begin(from(1), named, at(10_000 + 90_000)).unwrap();
    }

    #[test]
    fn one_network_of_sixty_four_bits_is_one_address() {
        let of = |text: &str| Net::of(text.parse().unwrap());
        assert_eq!(of("2001:db8::1"), of("2001:db8::ffff:2"));
        assert_ne!(of("2001:db8::1"), of("2001:db8:0:1::1"));
        assert_eq!(of("::ffff:192.0.2.7"), Net::of(HERE));
        assert_ne!(of("192.0.2.8"), Net::of(HERE));
    }

    #[test]
    fn a_flood_of_addresses_does_not_wash_away_who_is_being_slowed_down() {
        let mut limiter = Limiter::new();
        for step in 0..6 {
            limiter.begin(from(1), None, at(step * 10)).unwrap();
        }
        for number in 0..(2 * REMEMBERED as u32) {
            let flood = Net::of(IpAddr::from((0x0a00_0000 + number).to_be_bytes()));
            let _ = limiter.begin(flood, None, at(51));
        }
        assert_eq!(limiter.addresses.0.len(), REMEMBERED);
        assert_eq!(limiter.begin(from(1), None, at(51)), Err(SignedDuration::from_secs(7)));
    }

    #[test]
    fn a_clock_that_goes_back_makes_nobody_wait_longer() {
        let mut limiter = Limiter::new();
        for _ in 0..3 {
            limiter.begin(from(1), None, at(100_000)).unwrap();
        }
        assert_eq!(limiter.begin(from(1), None, at(0)), Err(SignedDuration::from_secs(1)));
    }

    proptest! {
        // Whoever tries at any moments gets through no more often than the waits allow.
        #[test]
        fn no_rhythm_of_tries_beats_the_waits(steps in prop::collection::vec(0_i64..400, 1..80)) {
            let mut limiter = Limiter::new();
            let named = Some(Named::of("Ansa Verrel"));
            let (mut now, mut passed, mut last) = (0, 0_u32, None::<i64>);
            for (number, step) in steps.iter().enumerate() {
                now += step;
                let address = from(u8::try_from(number % 200).unwrap());
                if limiter.begin(address, named, at(now)).is_ok() {
                    let gap = last.map_or(i64::MAX, |last| now - last);
                    prop_assert!(gap >= wait(passed).as_secs());
                    passed += 1;
                    last = Some(now);
                }
            }
            prop_assert!(passed > 0);
        }
    }
}
