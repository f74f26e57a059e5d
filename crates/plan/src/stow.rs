//! Things into places: the search that the fit and the reference cases share.
//!
//! Every thing goes into one of the places it may go. A [`Frame`] says what an arrangement must
//! keep: the load of each place, the moment along and across, and what changes may cost. All of
//! them are sums over things, so for a partial arrangement the reach of each sum is known from
//! bounds on what is still to be placed, and a branch is left as soon as one reach misses its
//! window:
//!
//! - along, people: the heaviest of those left to the foremost (aftmost) free seats, which no
//!   arrangement of them passes (rearrangement inequality, Hardy, Littlewood and Polya,
//!   *Inequalities*, 10.2, from memory);
//! - along, items: all that is left poured into the free room from the front (from the back), as
//!   if it could be split, where at least one of them finds room, which no whole items pass;
//! - along, with few changes: what lies where it lies now, and the few greatest shifts;
//! - cost: the least of each thing, and what must leave a place that is too full.
//!
//! Alike things and alike places are tried in one order only. A long search remembers from which
//! states nothing came out, and does not go there again: see `barren`. Nothing is
//! left out otherwise, so a search that ends by itself has proved its answer.

mod barren;

use self::barren::Barren;
use crate::budget::Budget;

/// A stretch of values, both ends allowed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Least.
    pub least: f64,
    /// Most.
    pub most: f64,
}

impl Window {
    /// Every value.
    pub const ANY: Self = Self { least: f64::NEG_INFINITY, most: f64::INFINITY };

    /// The least window that holds both.
    #[must_use]
    pub fn hull(self, other: Self) -> Self {
        Self { least: self.least.min(other.least), most: self.most.max(other.most) }
    }

    /// True when a value lies inside, but for the order of its sum.
    #[must_use]
    pub fn has(self, value: f64) -> bool {
        self.meets(value - SUMMED, value + SUMMED)
    }

    /// True when the window and the reach have a value in common.
    fn meets(self, least: f64, most: f64) -> bool {
        least <= self.most && self.least <= most
    }
}

/// A place for things.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Arm along. \[m\]
    pub arm: f64,
    /// Arm across. \[m\]
    pub lateral: f64,
    /// How many seated things it takes: 1 for a seat.
    pub seats: u8,
    /// Its row, for those who sit together.
    pub row: u8,
}

/// A thing to be placed.
#[derive(Clone, Debug, PartialEq)]
pub struct Thing {
    /// Mass. \[kg\]
    pub mass: f64,
    /// Takes a seat.
    pub seated: bool,
    /// The places it may go, one bit each.
    pub places: u64,
    /// What each place costs; whole, so that sums are exact.
    pub cost: Vec<u64>,
    /// Things of different kinds are never taken for each other.
    pub kind: usize,
}

/// What an arrangement must keep.
#[derive(Clone, Debug, PartialEq)]
pub struct Frame {
    /// Sum of mass times arm. \[kg m\]
    pub moment: Window,
    /// Sum of mass times lateral arm. \[kg m\]
    pub lateral: Window,
    /// Load of each place. \[kg\]
    pub loads: Vec<Window>,
    /// Most it may cost.
    pub cost: u64,
    /// What is known of the items when they are placed by themselves.
    pub items: Alone,
    /// Windows along and across, of which one pair at least must have both moments; none given
    /// means any.
    pub pairs: Vec<(Window, Window)>,
}

/// What a search of some things alone has proved of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Alone {
    /// Sum of mass times arm lies within this.
    pub moment: Window,
    /// They cost at least this.
    pub cost: u64,
}

impl Alone {
    /// Nothing is known.
    pub const UNKNOWN: Self = Self { moment: Window::ANY, cost: 0 };
}

/// An arrangement that was found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// Place of each thing.
    pub place_of: Vec<usize>,
    /// Load of each place. \[kg\]
    pub loads: Vec<f64>,
    /// Sum of mass times arm. \[kg m\]
    pub moment: f64,
    /// Sum of mass times lateral arm. \[kg m\]
    pub lateral: f64,
    /// What it costs.
    pub cost: u64,
}

/// What to do after an arrangement was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Next {
    /// Look further, within the frame as it is now.
    Go,
    /// This is enough.
    Enough,
}

/// Greatest number of places.
pub const MOST_PLACES: usize = 64;

/// Things and places, prepared for searches.
#[derive(Clone, Debug)]
pub struct Stowage {
    places: Vec<Place>,
    things: Vec<Thing>,
    /// Pairs of things that must be in one row.
    pairs: Vec<(usize, usize)>,
    /// Things in the order they are placed: seated ones first, heavy before light.
    order: Vec<usize>,
    /// How many of them are seated.
    seated: usize,
    /// True where a thing of the order is like the one before it.
    twin: Vec<bool>,
    /// The place before this one that is like it.
    alike: Vec<Option<usize>>,
    /// Places from the greatest arm to the least.
    aft_first: Vec<usize>,
    rest: Vec<Rest>,
}

/// What is left to be placed from one point of the order on.
#[derive(Clone, Debug, Default)]
struct Rest {
    /// Reach along if every thing went to its foremost and aftmost place.
    along: (f64, f64),
    /// The same of items alone.
    items_along: (f64, f64),
    across: (f64, f64),
    /// Mass of items, the greatest of them, and the places any of them may go.
    items: f64,
    heaviest: f64,
    /// The lightest of them.
    lightest: f64,
    /// Mass of everything.
    mass: f64,
    places: u64,
    /// Places that anything left may go.
    anywhere: u64,
    /// Least cost, and that of the items in it.
    cost: u64,
    items_cost: u64,
    /// Reach along with the least cost and so many changes more: forward and aft.
    with_changes: Vec<(f64, f64)>,
    /// Mass that costs nothing where it is, by place.
    at_rest: Vec<f64>,
}

impl Stowage {
    /// Prepares things and places. At most [`MOST_PLACES`] places are used.
    #[must_use]
    pub fn new(places: Vec<Place>, things: Vec<Thing>, pairs: Vec<(usize, usize)>) -> Self {
        let mut order: Vec<usize> = (0..things.len()).collect();
        let key = |i: &usize| {
            let thing = &things[*i];
            (!thing.seated, thing.places.count_ones() > 1)
        };
        order.sort_by(|a, b| {
            key(a).cmp(&key(b)).then(things[*b].mass.total_cmp(&things[*a].mass)).then(a.cmp(b))
        });
        let mut aft_first: Vec<usize> = (0..places.len().min(MOST_PLACES)).collect();
        aft_first.sort_by(|a, b| places[*b].arm.total_cmp(&places[*a].arm));
        let paired = |thing: usize| pairs.iter().any(|(a, b)| *a == thing || *b == thing);
        let twin = (0..order.len())
            .map(|at| {
                at > 0 && {
                    let (a, b) = (order[at - 1], order[at]);
                    things[a] == things[b] && !paired(a) && !paired(b)
                }
            })
            .collect();
        let alike = (0..places.len())
            .map(|p| {
                (0..p).rev().find(|other| are_alike(&places, &things, !pairs.is_empty(), *other, p))
            })
            .collect();
        let seated = things.iter().filter(|thing| thing.seated).count();
        let rest = (0..=order.len()).map(|at| Rest::of(&order[at..], &things, &places)).collect();
        Self { places, things, pairs, order, seated, twin, alike, aft_first, rest }
    }

    /// How far the moment along can reach within the loads of a frame: bounds, not always met.
    #[must_use]
    pub fn reach(&self, frame: &Frame) -> Window {
        let mut idle = || false;
        let mut budget = Budget::new(1, &mut idle);
        let hunt = Hunt::new(self, &mut budget);
        let (least, most) = hunt.along(0, frame, u64::MAX);
        Window { least, most }
    }

    /// How far the moment across can reach: bounds, not always met.
    #[must_use]
    pub fn reach_across(&self) -> Window {
        let (least, most) = self.rest[0].across;
        Window { least, most }
    }

    /// The least cost with which the moment along may come into its window; a bound. `None` when
    /// no cost brings it there.
    #[must_use]
    pub fn least_cost(&self, moment: Window) -> Option<u64> {
        let rest = &self.rest[0];
        let more = rest.with_changes.iter().position(|(low, high)| moment.meets(*low, *high))?;
        Some(rest.cost + more as u64)
    }

    /// Calls `found` for each arrangement inside the frame until it has enough; `found` may make
    /// the frame narrower. Returns false when the budget ended the search.
    pub fn search(
        &self,
        frame: &mut Frame,
        budget: &mut Budget<'_>,
        found: &mut dyn FnMut(&Found, &mut Frame) -> Next,
    ) -> bool {
        let mut hunt = Hunt::new(self, budget);
        let every =
            |a: Window, b: Window| Window { least: a.least.max(b.least), most: a.most.min(b.most) };
        for (along, across) in &frame.pairs {
            hunt.sure = (every(hunt.sure.0, *along), every(hunt.sure.1, *across));
        }
        hunt.place(0, frame, found);
        !hunt.budget.stopped()
    }
}

fn are_alike(places: &[Place], things: &[Thing], rows: bool, a: usize, b: usize) -> bool {
    let (p, q) = (places[a], places[b]);
    p.arm.total_cmp(&q.arm).is_eq()
        && p.lateral.total_cmp(&q.lateral).is_eq()
        && p.seats == q.seats
        && (!rows || p.row == q.row)
        && things.iter().all(|thing| {
            (thing.places >> a) & 1 == (thing.places >> b) & 1 && thing.cost[a] == thing.cost[b]
        })
}

fn bits(mut mask: u64) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let bit = mask.trailing_zeros() as usize;
        mask &= mask.wrapping_sub(1);
        (bit < MOST_PLACES).then_some(bit)
    })
}

fn extremes(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
}

impl Rest {
    fn of(left: &[usize], things: &[Thing], places: &[Place]) -> Self {
        let mut rest =
            Self { at_rest: vec![0.0; places.len()], lightest: f64::INFINITY, ..Self::default() };
        let (mut forward, mut aft) = (Vec::new(), Vec::new());
        let (mut low, mut high) = (0.0, 0.0);
        for thing in left.iter().map(|thing| &things[*thing]) {
            let along = extremes(bits(thing.places).map(|p| thing.mass * places[p].arm));
            let across = extremes(bits(thing.places).map(|p| thing.mass * places[p].lateral));
            rest.along = (rest.along.0 + along.0, rest.along.1 + along.1);
            rest.mass += thing.mass;
            rest.anywhere |= thing.places;
            rest.across = (rest.across.0 + across.0, rest.across.1 + across.1);
            if !thing.seated {
                rest.items_along = (rest.items_along.0 + along.0, rest.items_along.1 + along.1);
                rest.items += thing.mass;
                rest.heaviest = rest.heaviest.max(thing.mass);
                rest.lightest = rest.lightest.min(thing.mass);
                rest.places |= thing.places;
            }
            let least = bits(thing.places).map(|p| thing.cost[p]).min().unwrap_or(0);
            rest.cost += least;
            rest.items_cost += if thing.seated { 0 } else { least };
            let cheap = || bits(thing.places).filter(|p| thing.cost[*p] == least);
            let still = extremes(cheap().map(|p| thing.mass * places[p].arm));
            (low, high) = (low + still.0, high + still.1);
            forward.push(still.0 - along.0);
            aft.push(along.1 - still.1);
            let mut free = cheap();
            if let (0, Some(p), None) = (least, free.next(), free.next()) {
                rest.at_rest[p] += thing.mass;
            }
        }
        forward.sort_by(|a, b| b.total_cmp(a));
        aft.sort_by(|a, b| b.total_cmp(a));
        rest.with_changes.push((low, high));
        for (forward, aft) in forward.iter().zip(&aft) {
            (low, high) = (low - forward, high + aft);
            rest.with_changes.push((low, high));
        }
        rest
    }
}

/// Slack on every reach, so that the order of a sum decides nothing. \[kg m, kg\]
const SUMMED: f64 = 1e-7;

/// One run of a search.
struct Hunt<'s, 'b, 'c> {
    stowage: &'s Stowage,
    budget: &'b mut Budget<'c>,
    now: Found,
    taken: [u8; MOST_PLACES],
    things_in: [u8; MOST_PLACES],
    /// States from which nothing came out; kept once a search is long.
    barren: Option<Barren>,
    steps: u32,
    /// Arrangements handed on so far.
    founds: u64,
    /// What lies in all pairs of windows.
    sure: (Window, Window),
}

impl<'s, 'b, 'c> Hunt<'s, 'b, 'c> {
    fn new(stowage: &'s Stowage, budget: &'b mut Budget<'c>) -> Self {
        let now = Found {
            place_of: vec![usize::MAX; stowage.things.len()],
            loads: vec![0.0; stowage.places.len()],
            ..Found::default()
        };
        Self {
            stowage,
            budget,
            now,
            taken: [0; MOST_PLACES],
            things_in: [0; MOST_PLACES],
            barren: None,
            steps: 0,
            founds: 0,
            sure: (Window::ANY, Window::ANY),
        }
    }

    /// Places the thing at `at` in every way that can still come out; `false` ends the search.
    fn place(
        &mut self,
        at: usize,
        frame: &mut Frame,
        found: &mut dyn FnMut(&Found, &mut Frame) -> Next,
    ) -> bool {
        if !self.budget.step() {
            return false;
        }
        if !self.can_come_out(at, frame) {
            return true;
        }
        let Some(&index) = self.stowage.order.get(at) else {
            self.founds += 1;
            return found(&self.now, frame) == Next::Go;
        };
        let state = self.state(at, frame);
        if state.is_some_and(|state| self.is_barren(state)) {
            return true;
        }
        let founds = self.founds;
        if !self.each_way(at, index, frame, found) {
            return false;
        }
        if let (Some(state), Some(barren)) = (state, &mut self.barren)
            && founds == self.founds
        {
            barren.keep(state);
        }
        true
    }

    fn each_way(
        &mut self,
        at: usize,
        index: usize,
        frame: &mut Frame,
        found: &mut dyn FnMut(&Found, &mut Frame) -> Next,
    ) -> bool {
        let mut ways = [0u8; MOST_PLACES];
        let count = self.ways(at, index, frame, &mut ways);
        for way in &ways[..count] {
            let p = usize::from(*way);
            // The frame may have become narrower since the ways were listed.
            let mass = self.stowage.things[index].mass;
            if self.now.loads[p] + mass > frame.loads[p].most + SUMMED {
                continue;
            }
            let before = (self.now.moment, self.now.lateral, self.now.loads[p]);
            self.put(index, p);
            let go = self.place(at + 1, frame, found);
            self.take(index, p, before);
            if !go {
                return false;
            }
        }
        true
    }

    fn put(&mut self, index: usize, p: usize) {
        let (thing, place) = (&self.stowage.things[index], &self.stowage.places[p]);
        self.now.place_of[index] = p;
        self.now.loads[p] += thing.mass;
        self.now.moment += thing.mass * place.arm;
        self.now.lateral += thing.mass * place.lateral;
        self.now.cost += thing.cost[p];
        self.taken[p] += u8::from(thing.seated);
        self.things_in[p] += 1;
    }

    /// Takes it out again; the sums are what they were to the last digit.
    fn take(&mut self, index: usize, p: usize, before: (f64, f64, f64)) {
        let thing = &self.stowage.things[index];
        self.now.place_of[index] = usize::MAX;
        (self.now.moment, self.now.lateral, self.now.loads[p]) = before;
        self.now.cost -= thing.cost[p];
        self.taken[p] -= u8::from(thing.seated);
        self.things_in[p] -= 1;
    }

    /// The places to try, cheap ones first, then those that bring the moment to the middle of its
    /// window.
    fn ways(&self, at: usize, index: usize, frame: &Frame, ways: &mut [u8; MOST_PLACES]) -> usize {
        let (stowage, thing) = (self.stowage, &self.stowage.things[index]);
        let from = if stowage.twin[at] { self.now.place_of[stowage.order[at - 1]] } else { 0 };
        let mut count = 0;
        let mut keys = [(0u64, 0.0f64); MOST_PLACES];
        let rest = &stowage.rest[at + 1];
        let middle = (frame.moment.least + frame.moment.most) / 2.0;
        let middle = if middle.is_finite() { middle } else { 0.0 };
        let ahead = self.now.moment + (rest.along.0 + rest.along.1) / 2.0 - middle;
        for p in bits(thing.places).filter(|p| *p >= from) {
            let place = &stowage.places[p];
            let full = thing.seated && self.taken[p] >= place.seats
                || self.now.loads[p] + thing.mass > frame.loads[p].most + SUMMED;
            let later = self.things_in[p] == 0
                && stowage.alike[p].is_some_and(|first| {
                    self.things_in[first] == 0 && frame.loads[first] == frame.loads[p]
                });
            let dear = self.now.cost + thing.cost[p] + rest.cost > frame.cost;
            if full || later || dear || !self.in_row(index, place.row) {
                continue;
            }
            let key = (thing.cost[p], (ahead + thing.mass * place.arm).abs());
            let mut slot = count;
            while slot > 0 {
                let before = keys[slot - 1];
                if (before.0, before.1.to_bits()) <= (key.0, key.1.to_bits()) {
                    break;
                }
                keys[slot] = before;
                ways[slot] = ways[slot - 1];
                slot -= 1;
            }
            keys[slot] = key;
            #[expect(clippy::cast_possible_truncation, reason = "at most 64 places")]
            {
                ways[slot] = p as u8;
            }
            count += 1;
        }
        count
    }

    fn in_row(&self, index: usize, row: u8) -> bool {
        self.stowage.pairs.iter().all(|(a, b)| {
            let other = match index {
                i if i == *a => *b,
                i if i == *b => *a,
                _ => return true,
            };
            self.stowage.places.get(self.now.place_of[other]).is_none_or(|place| place.row == row)
        })
    }

    fn can_come_out(&self, at: usize, frame: &Frame) -> bool {
        let rest = &self.stowage.rest[at];
        // Before the first item is placed, what is known of all of them holds.
        let untouched = at <= self.stowage.seated;
        let known = if untouched { frame.items.cost.saturating_sub(rest.items_cost) } else { 0 };
        let Some(spare) = frame.cost.checked_sub(self.now.cost + rest.cost) else { return false };
        if known > spare {
            return false;
        }
        let across = (self.now.lateral + rest.across.0, self.now.lateral + rest.across.1);
        if !frame.lateral.meets(across.0 - SUMMED, across.1 + SUMMED) {
            return false;
        }
        let (least, most) = self.along(at, frame, spare);
        // Items without room have no reach at all.
        let meets = |(along, side): &(Window, Window)| {
            along.meets(least - SUMMED, most + SUMMED)
                && side.meets(across.0 - SUMMED, across.1 + SUMMED)
        };
        least <= most + SUMMED
            && frame.moment.meets(least - SUMMED, most + SUMMED)
            && (frame.pairs.is_empty() || frame.pairs.iter().any(meets))
            && self.loads_can_come_out(rest, frame, spare)
    }

    /// Bounds of the moment along when everything is placed; an empty reach when the items do
    /// not find room.
    fn along(&self, at: usize, frame: &Frame, spare: u64) -> (f64, f64) {
        let rest = &self.stowage.rest[at];
        let few = usize::try_from(spare).unwrap_or(usize::MAX).min(rest.with_changes.len() - 1);
        let changed = rest.with_changes[few];
        let none = (f64::INFINITY, f64::NEG_INFINITY);
        let (Some(aft), Some(forward)) =
            (self.poured(rest, frame, true), self.poured(rest, frame, false))
        else {
            return none;
        };
        let mut items = (forward.max(rest.items_along.0), aft.min(rest.items_along.1));
        if at <= self.stowage.seated {
            items = (items.0.max(frame.items.moment.least), items.1.min(frame.items.moment.most));
        }
        let people = (rest.along.0 - rest.items_along.0, rest.along.1 - rest.items_along.1);
        let seated = self.seated_reach(at);
        let least = (people.0.max(seated.0) + items.0).max(changed.0);
        let most = (people.1.min(seated.1) + items.1).min(changed.1);
        (self.now.moment + least, self.now.moment + most)
    }

    /// The heaviest people to the ends of the free seats.
    fn seated_reach(&self, at: usize) -> (f64, f64) {
        let stowage = self.stowage;
        if at >= stowage.seated {
            return (0.0, 0.0);
        }
        let left = &stowage.order[at..stowage.seated];
        let end = |aft_first: bool| {
            let count = stowage.aft_first.len();
            let mut seats = (0..count)
                .map(|n| stowage.aft_first[if aft_first { n } else { count - 1 - n }])
                .flat_map(|p| {
                    let free = stowage.places[p].seats.saturating_sub(self.taken[p]);
                    std::iter::repeat_n(stowage.places[p].arm, usize::from(free))
                });
            // Fixed ones come first in the order, so masses are put in order here.
            let mut masses = [0.0; MOST_PLACES];
            let count = left.len().min(MOST_PLACES);
            for (mass, index) in masses.iter_mut().zip(left) {
                *mass = stowage.things[*index].mass;
            }
            masses[..count].sort_unstable_by(|a, b| b.total_cmp(a));
            masses[..count]
                .iter()
                .map(|mass| seats.next().map(|arm| mass * arm))
                .sum::<Option<f64>>()
        };
        match (end(false), end(true)) {
            (Some(least), Some(most)) => (least, most),
            _ => (f64::INFINITY, f64::NEG_INFINITY),
        }
    }

    /// Moment of the items left, poured into the free room from one end; `None` without room.
    fn poured(&self, rest: &Rest, frame: &Frame, aft_first: bool) -> Option<f64> {
        let (mut left, mut moment) = (rest.items, 0.0);
        let count = self.stowage.aft_first.len();
        for n in 0..count {
            if left <= 0.0 {
                break;
            }
            let p = self.stowage.aft_first[if aft_first { n } else { count - 1 - n }];
            if (rest.places >> p) & 1 == 1 {
                let room = frame.loads[p].most - self.now.loads[p];
                // Too little for any of them is nothing.
                if room + SUMMED < rest.lightest {
                    continue;
                }
                let room = room.clamp(0.0, left);
                moment += room * self.stowage.places[p].arm;
                left -= room;
            }
        }
        (left <= SUMMED).then_some(moment)
    }

    /// What must come into a place that asks for more, and what must leave one that is too full.
    fn loads_can_come_out(&self, rest: &Rest, frame: &Frame, spare: u64) -> bool {
        let (mut wanted, mut moves) = (0.0, 0.0);
        for (p, window) in frame.loads.iter().enumerate() {
            let load = self.now.loads[p];
            // A frame that became narrower may leave no way but back.
            if load > 0.0 && load > window.most + SUMMED {
                return false;
            }
            wanted += (window.least - load).max(0.0);
            let excess = load + rest.at_rest[p] - window.most - SUMMED;
            if excess > 0.0 && rest.heaviest > 0.0 && self.stowage.places[p].seats == 0 {
                moves += (excess / rest.heaviest).ceil();
            }
        }
        #[expect(clippy::cast_precision_loss, reason = "compared with a handful of moves")]
        let spare = spare as f64;
        wanted <= rest.mass + SUMMED && moves <= spare
    }
}
