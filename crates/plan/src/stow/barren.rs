//! States of a search from which nothing came out.
//!
//! What can still come out of a partial arrangement depends on its *state* alone: what is left to be
//! placed, which places are free and how much is in them, and both moments. Who sits where does not
//! matter beyond that, and many orders lead to one state. A state is kept when everything below it
//! was looked at and no arrangement came out; met again with no more to spend, it is left at once. A
//! frame only ever becomes narrower during a search, so what was barren stays so.
//!
//! A moment counts only while it can still miss its window, and places are told apart only as far as
//! what is left can tell them apart: not left from right when the lateral balance cannot miss.
//!
//! Sums are compared in steps of 10^-8, a tenth of the slack that every window has. States are kept as
//! 128 bits of a hash; two of ten million states share them once in 10^24 searches.

use super::{Frame, Hunt, MOST_PLACES, SUMMED, Stowage, Window};

/// Steps after which a search is long: most end before, and need no memory.
const LONG: u32 = 2000;

/// States that are kept; a new one takes the place of an old one. A power of two.
const KEPT: usize = 1 << 17;

/// A state, with what may still be spent in it.
#[derive(Clone, Copy, Debug)]
pub(super) struct State {
    hash: [u64; 2],
    spare: u64,
}

/// The states that are kept.
pub(super) struct Barren {
    kept: Vec<State>,
    /// For each point of the order, the first place that nothing left can tell from each place but
    /// by its arm across and its cost.
    like: Vec<[u8; MOST_PLACES]>,
}

impl Barren {
    fn of(stowage: &Stowage, frame: &Frame) -> Self {
        let none = State { hash: [0; 2], spare: 0 };
        let like = |at: usize| {
            let mut like = [0; MOST_PLACES];
            for (p, like) in like.iter_mut().enumerate().take(stowage.places.len()) {
                let first = (0..p).find(|q| alike(stowage, frame, at, *q, p)).unwrap_or(p);
                #[expect(clippy::cast_possible_truncation, reason = "at most 64 places")]
                {
                    *like = first as u8;
                }
            }
            like
        };
        Self { kept: vec![none; KEPT], like: (0..=stowage.order.len()).map(like).collect() }
    }

    pub(super) fn keep(&mut self, state: State) {
        self.kept[slot(&state)] = state;
    }
}

fn slot(state: &State) -> usize {
    #[expect(clippy::cast_possible_truncation, reason = "its last bits are meant")]
    let low = state.hash[0] as usize;
    low & (KEPT - 1)
}

/// True when what is left from `at` on cannot tell two places apart but by arm across and cost.
fn alike(stowage: &Stowage, frame: &Frame, at: usize, a: usize, b: usize) -> bool {
    let (p, q) = (stowage.places[a], stowage.places[b]);
    p.arm.total_cmp(&q.arm).is_eq()
        && p.seats == q.seats
        && (stowage.pairs.is_empty() || p.row == q.row)
        && frame.loads[a] == frame.loads[b]
        && stowage.order[at..].iter().all(|thing| {
            let places = stowage.things[*thing].places;
            (places >> a) & 1 == (places >> b) & 1
        })
}

/// Two hashes of what was mixed in, in any order.
#[derive(Default)]
struct Hash([u64; 2]);

impl Hash {
    fn mix(&mut self, values: [u64; 3]) {
        for (lane, seed) in self.0.iter_mut().zip([0x9E37_79B9_7F4A_7C15, 0xD1B5_4A32_D192_ED03]) {
            let hash = values.iter().fold(seed, |hash: u64, value| scatter(hash ^ value));
            *lane = lane.wrapping_add(hash);
        }
    }
}

/// The last part of SplitMix64 (Steele, Lea and Flood, OOPSLA 2014, from memory).
const fn scatter(value: u64) -> u64 {
    let mut z = value.wrapping_add(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// A sum in whole steps of 10^-8.
fn steps(sum: f64) -> u64 {
    #[expect(clippy::cast_possible_truncation, reason = "far below the greatest of its kind")]
    let steps = (sum * 1e8).round() as i64;
    steps.cast_unsigned()
}

impl Hunt<'_, '_, '_> {
    /// The state before the thing at `at` is placed; `None` where states are not kept.
    pub(super) fn state(&mut self, at: usize, frame: &Frame) -> Option<State> {
        self.steps = self.steps.saturating_add(1);
        // A twin goes no further forward than the one before it, which no state knows.
        if self.steps < LONG || self.stowage.twin[at] {
            return None;
        }
        let stowage = self.stowage;
        let barren = self.barren.get_or_insert_with(|| Barren::of(stowage, frame));
        let rest = &stowage.rest[at];
        // A window that can no more be missed tells no states apart.
        let any = |window: Window, now: f64, reach: (f64, f64)| {
            window.least <= now + reach.0 - SUMMED && now + reach.1 + SUMMED <= window.most
        };
        let any_side = any(frame.lateral, self.now.lateral, rest.across)
            && any(self.sure.1, self.now.lateral, rest.across);
        let lateral = if any_side { u64::MAX } else { steps(self.now.lateral) };
        let any_moment = any(frame.moment, self.now.moment, rest.along)
            && any(self.sure.0, self.now.moment, rest.along);
        let moment = if any_moment { u64::MAX } else { steps(self.now.moment) };
        let mut hash = Hash::default();
        hash.mix([at as u64, moment, lateral]);
        for p in 0..stowage.places.len() {
            let wanted = frame.loads[p].least > 0.0;
            if (rest.anywhere >> p) & 1 == 0 && !wanted {
                continue;
            }
            let seats = stowage.places[p].seats;
            let full = seats > 0 && self.taken[p] >= seats && (rest.places >> p) & 1 == 0;
            let load = if full && !wanted { u64::MAX } else { steps(self.now.loads[p]) };
            let like = any_side && frame.cost == u64::MAX;
            let place = if like { usize::from(barren.like[at][p]) } else { p };
            hash.mix([place as u64 + 1000, u64::from(self.taken[p]), load]);
        }
        for (n, (a, b)) in stowage.pairs.iter().enumerate() {
            let row = |thing: usize| stowage.places.get(self.now.place_of[thing]).map(|p| p.row);
            if let (Some(row), None) | (None, Some(row)) = (row(*a), row(*b)) {
                hash.mix([n as u64 + 2000, u64::from(row), 0]);
            }
        }
        let spare = match frame.cost {
            u64::MAX => u64::MAX,
            cost => cost.checked_sub(self.now.cost)?,
        };
        Some(State { hash: hash.0, spare })
    }

    /// True when nothing came out of a state before.
    pub(super) fn is_barren(&self, state: State) -> bool {
        self.barren.as_ref().is_some_and(|barren| {
            let kept = barren.kept[slot(&state)];
            kept.hash == state.hash && state.spare <= kept.spare
        })
    }
}
