//! The search of the fit: first the margin, then the ballast, then the changes.

mod judge;

use stillprop_calc::burn::MOST_TANKS;

use self::judge::at_most;
use super::{
    Answer, Case, Fit, Proof, Wish,
    fuel::{Filling, Steps, least_width},
    kept::{Kept, piece, things},
};
use crate::{
    budget::Budget,
    conflict,
    stow::{Alone, Found, Frame, Next, Stowage, Thing, Window},
};

/// A margin in whole hundredths of a percent.
pub(super) fn level(share: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "a share of a few units at most")]
    let level = (share * 1e4).round() as i64;
    level.max(0)
}

/// The least share of a level. At level 0 it must hold, within rounding.
fn least(level: i64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a few thousands")]
    let middle = level as f64;
    if level <= 0 { -ROUNDING } else { (middle - 0.5) * 1e-4 }
}

/// The rounding that the verdict of a limit allows.
const ROUNDING: f64 = 1e-9;

pub(super) fn answer(case: &Case, budget: &mut Budget<'_>) -> Answer {
    let kept = vec![true; case.limits().len()];
    let mut solver = Solver::new(case, &kept);
    let mut best = None;
    let bound = solver.margin(&mut best, false, budget);
    let Some(mut best) = best else {
        if budget.stopped() {
            return Answer::NotKnown;
        }
        let set = conflict::minimal(kept.len(), |kept| possible(case, kept, budget));
        let limits = case.limits();
        return set.map_or(Answer::NotKnown, |set| {
            Answer::NothingFits(set.into_iter().map(|at| limits[at]).collect())
        });
    };
    if let Some(bound) = bound {
        return Answer::Fits(solver.fit(&best), Proof::SoFar(bound));
    }
    solver.less_ballast(&mut best, budget);
    if !budget.stopped() {
        solver.fewer_changes(&mut best, budget);
    }
    let proof = if budget.stopped() { Proof::Margin } else { Proof::Best };
    Answer::Fits(solver.fit(&best), proof)
}

pub(super) fn possible(case: &Case, kept: &[bool], budget: &mut Budget<'_>) -> Option<bool> {
    let mut best = None;
    Solver::new(case, kept).margin(&mut best, true, budget);
    match (best, budget.stopped()) {
        (Some(_), _) => Some(true),
        (None, false) => Some(false),
        (None, true) => None,
    }
}

/// The best that was found so far.
#[derive(Clone, Debug)]
struct Best {
    share: f64,
    pieces: usize,
    steps: Steps,
    found: Found,
    changes: u64,
}

/// All fillings with the same total of fuel, and the same ballast.
#[derive(Clone, Copy, Debug)]
struct Group {
    pieces: usize,
    steps: usize,
    /// No arrangement in it has a greater margin.
    cap: f64,
}

/// A filling with a bound of its margin, and how many tanks it changes.
#[derive(Clone, Debug)]
struct Offer {
    filling: Filling,
    cap: f64,
    changed: u64,
}

/// How far the tanks so far lean to one side, and the level that is asked. \[kg\]
#[derive(Clone, Copy, Debug)]
struct Lean {
    from: i64,
    so_far: f64,
}

fn leans(fill: &super::Fill, steps: u32) -> f64 {
    f64::from(fill.side) * (fill.base + fill.step * f64::from(steps))
}

/// A window that holds nothing.
const NO_VALUE: Window = Window { least: f64::INFINITY, most: f64::NEG_INFINITY };

/// Steps that may go into what items do alone.
const LITTLE: u64 = 3000;

/// Room for the order of a sum. \[kg m\]
const SUMMED: f64 = 1e-7;

struct Solver<'c> {
    case: &'c Case,
    kept: Kept,
    /// For each number of pieces of ballast: everything, and items alone.
    stowages: Vec<Stowage>,
    items: Vec<Stowage>,
    people: Stowage,
    /// What was found of the items alone, for each number of pieces.
    alone: Vec<Alone>,
    /// Places whose load some arrangement changes.
    moved: Vec<bool>,
    width: f64,
}

impl<'c> Solver<'c> {
    fn new(case: &'c Case, kept: &[bool]) -> Self {
        let kept = Kept::of(case, kept);
        let things = things(case, &kept);
        let pairs: Vec<(usize, usize)> = case
            .wishes
            .iter()
            .zip(&kept.wishes)
            .filter_map(|(wish, kept)| match wish {
                Wish::Together(a, b) if *kept => Some((*a, *b)),
                _ => None,
            })
            .collect();
        let with = |pieces: usize, seated: bool| {
            let mut things = things.clone();
            things.extend(std::iter::repeat_n(piece(case), pieces));
            things.retain(|thing| seated || !thing.seated);
            let pairs = if seated { pairs.clone() } else { Vec::new() };
            Stowage::new(case.places.clone(), things, pairs)
        };
        let people = things.iter().filter(|thing| thing.seated).cloned().collect();
        let mut solver = Self {
            moved: case.moved_places(),
            stowages: (0..=case.most_pieces()).map(|pieces| with(pieces, true)).collect(),
            items: (0..=case.most_pieces()).map(|pieces| with(pieces, false)).collect(),
            people: Stowage::new(case.places.clone(), people, pairs.clone()),
            alone: vec![Alone::UNKNOWN; case.most_pieces() + 1],
            case,
            kept,
            width: 0.0,
        };
        let fuel: f64 = case.fills.iter().map(|f| f.base + f.step * f64::from(f.most)).sum();
        let heavy = solver.zero_fuel(case.most_pieces()) + fuel;
        // A hair less than the least, so that it stays a bound.
        solver.width = least_width(&case.envelope, solver.zero_fuel(0), heavy) * (1.0 - 1e-9);
        solver
    }

    /// Mass without fuel.
    fn zero_fuel(&self, pieces: usize) -> f64 {
        let things: f64 = self.case.things.iter().map(|thing| thing.mass).sum();
        #[expect(clippy::cast_precision_loss, reason = "a handful of pieces")]
        let pieces = pieces as f64;
        self.case.empty.mass.value
            + things
            + self.case.ballast.map_or(0.0, |ballast| ballast.mass * pieces)
    }

    /// The total's limits: `None` where one of them does not hold, else the least that counts.
    fn total(&self, pieces: usize, steps: usize) -> Option<f64> {
        let at = pieces * (self.case.most_steps() + 1) + steps;
        let mut least = 1.0_f64;
        for (total, _) in self.case.totals.iter().zip(&self.kept.totals).filter(|(_, kept)| **kept)
        {
            let share = total.shares[at];
            if share.is_nan() || share < -ROUNDING {
                return None;
            }
            if total.counted {
                least = least.min(share);
            }
        }
        Some(least)
    }

    /// Every total that holds, the best first.
    fn groups(&self) -> Vec<Group> {
        let mut groups = Vec::new();
        for pieces in 0..=self.case.most_pieces() {
            let rooms = self.rooms(pieces);
            for steps in 0..=self.case.most_steps() {
                if let Some(cap) = self.total(pieces, steps) {
                    groups.push(Group { pieces, steps, cap: cap.min(rooms) });
                }
            }
        }
        let now: u32 = self.case.fills.iter().map(|fill| fill.now.unwrap_or(0)).sum();
        let far = |group: &Group| group.steps.abs_diff(now as usize);
        groups.sort_by(|a, b| {
            b.cap.total_cmp(&a.cap).then(a.pieces.cmp(&b.pieces)).then(far(a).cmp(&far(b)))
        });
        groups
    }

    /// No place limit can have a greater margin than this: each thing in its roomiest place, and
    /// the items together in all their places.
    fn rooms(&self, pieces: usize) -> f64 {
        let room = |p: usize| self.case.most[p].filter(|_| self.kept.places[p] && self.moved[p]);
        let each = |thing: &Thing| {
            let places = (0..self.case.places.len()).filter(|p| (thing.places >> p) & 1 == 1);
            let share = |p: usize| room(p).map_or(1.0, |most| (most - thing.mass) / most);
            places.map(share).fold(f64::NEG_INFINITY, f64::max)
        };
        let things = things(self.case, &self.kept);
        let alone = things.iter().map(each).fold(1.0, f64::min);
        let items = || things.iter().filter(|thing| !thing.seated);
        let union = items().fold(0, |union, thing| union | thing.places);
        let union = if pieces > 0 { union | piece(self.case).places } else { union };
        let all: Option<f64> =
            (0..self.case.places.len()).filter(|p| (union >> p) & 1 == 1).map(room).sum();
        #[expect(clippy::cast_precision_loss, reason = "a handful of pieces")]
        let ballast = piece(self.case).mass * pieces as f64;
        let mass = items().map(|thing| thing.mass).sum::<f64>() + ballast;
        let together = all.filter(|all| *all > 0.0).map_or(1.0, |all| (all - mass) / all);
        alone.min(together)
    }

    /// The rooms that every place must keep for a level.
    fn loads(&self, level: i64) -> Vec<Window> {
        let share = |p: usize| if self.moved[p] { least(level) } else { -ROUNDING };
        let most = |p: usize| match self.case.most[p] {
            Some(most) if self.kept.places[p] => most * (1.0 - share(p)),
            _ => f64::INFINITY,
        };
        (0..self.case.places.len()).map(|p| Window { least: 0.0, most: most(p) }).collect()
    }

    /// A frame that any of some fillings could meet at a level.
    fn frame(&self, pieces: usize, fillings: &[&Offer], level: i64) -> Frame {
        let mut frame = Frame {
            moment: NO_VALUE,
            lateral: NO_VALUE,
            loads: self.loads(level),
            cost: u64::MAX,
            items: self.alone[pieces],
            pairs: fillings.iter().map(|offer| self.windows(&offer.filling, level)).collect(),
        };
        for (along, across) in &frame.pairs {
            frame.moment = frame.moment.hull(*along);
            frame.lateral = frame.lateral.hull(*across);
        }
        frame
    }

    fn windows(&self, filling: &Filling, level: i64) -> (Window, Window) {
        let along = filling.along(least(level), self.width, (self.kept.forward, self.kept.aft));
        let across = match self.case.lateral {
            Some(limit) if self.kept.lateral => filling.across(least(level), limit),
            _ => Window::ANY,
        };
        (along, across)
    }

    /// Finds the greatest margin, or with `any` whatever holds. When the budget ends it, the
    /// answer is a bound of what was not looked at.
    fn margin(
        &mut self,
        best: &mut Option<Best>,
        any: bool,
        budget: &mut Budget<'_>,
    ) -> Option<f64> {
        let mut groups = self.groups();
        let top = groups.first()?.cap;
        let caps: Option<Vec<f64>> = (0..=self.case.most_pieces())
            .map(|pieces| self.alone_cap(pieces, top, budget))
            .collect();
        let Some(caps) = caps else { return Some(top) };
        groups.retain_mut(|group| {
            group.cap = group.cap.min(caps[group.pieces]);
            group.cap >= -ROUNDING
        });
        groups.sort_by(|a, b| b.cap.total_cmp(&a.cap));
        for group in groups {
            let known = best.as_ref().map_or(-1, |best| level(best.share));
            if level(group.cap) <= known {
                return None;
            }
            let Some(offers) = self.offers(group, known + 1, budget) else {
                return Some(group.cap);
            };
            self.improve(group.pieces, &offers, best, any, budget);
            if budget.stopped() {
                return Some(group.cap);
            }
            if any && best.is_some() {
                return None;
            }
        }
        None
    }

    /// The greatest margin of the places when people and items are placed by themselves, as far
    /// as `top` where it ceases to matter; what is not possible at all is below nothing. `None`
    /// when the budget ends.
    fn alone_cap(&self, pieces: usize, top: f64, budget: &mut Budget<'_>) -> Option<f64> {
        let mut cap = top;
        for stowage in [&self.people, &self.items[pieces]] {
            let mut reached = f64::NEG_INFINITY;
            let mut frame = self.open(level(top));
            let whole = |found: &Found, reached: &mut f64| {
                let share = self.rooms_of(found);
                *reached = share.unwrap_or(*reached).max(*reached);
            };
            // Most often the top is met at once.
            stowage.search(&mut frame, budget, &mut |found, _| {
                whole(found, &mut reached);
                Next::Enough
            });
            if level(reached) < level(top) || reached < -ROUNDING {
                frame = self.open(0);
                stowage.search(&mut frame, budget, &mut |found, frame| {
                    whole(found, &mut reached);
                    frame.loads = self.loads(level(reached) + 1);
                    Next::Go
                });
            }
            cap = cap.min(reached);
        }
        (!budget.stopped()).then_some(cap)
    }

    /// A frame without windows.
    fn open(&self, level: i64) -> Frame {
        let loads = self.loads(level);
        Frame {
            moment: Window::ANY,
            lateral: Window::ANY,
            loads,
            cost: u64::MAX,
            items: Alone::UNKNOWN,
            pairs: Vec::new(),
        }
    }

    /// The smallest margin of the places; `None` when one does not hold.
    fn rooms_of(&self, found: &Found) -> Option<f64> {
        let mut least = 1.0_f64;
        for (p, load) in found.loads.iter().enumerate() {
            if let Some(most) = self.case.most[p].filter(|_| self.kept.places[p]) {
                let share = at_most(*load, most)?;
                least = if self.moved[p] { least.min(share) } else { least };
            }
        }
        Some(least)
    }

    /// Looks for a greater margin with some fillings, the best bound first: any at all, then at
    /// the bound, where it most often lies, else by halving what is left between found and impossible.
    fn improve(
        &self,
        pieces: usize,
        offers: &[Offer],
        best: &mut Option<Best>,
        any: bool,
        budget: &mut Budget<'_>,
    ) {
        let Some(mut high) = offers.first().map(|offer| level(offer.cap)) else { return };
        let mut low = best.as_ref().map_or(-1, |best| level(best.share));
        // Something to show comes first, then the bound.
        let (mut goal, mut first) = (low + 1, best.is_none());
        while low < high {
            let can = offers.partition_point(|offer| level(offer.cap) >= goal);
            match self.reaches(pieces, &offers[..can], goal, u64::MAX, budget) {
                Some(found) => {
                    low = level(found.share);
                    *best = Some(found);
                    if any {
                        return;
                    }
                }
                None => high = goal - 1,
            }
            if budget.stopped() {
                return;
            }
            goal = if std::mem::take(&mut first) { high } else { low + (high - low + 1) / 2 };
        }
    }

    /// True when an arrangement lies in the windows of a filling.
    fn meets(&self, filling: &Filling, found: &Found, level: i64) -> bool {
        let (along, across) = self.windows(filling, level);
        along.has(found.moment) && across.has(found.lateral)
    }

    fn best(&self, share: f64, pieces: usize, filling: &Filling, found: &Found) -> Best {
        let changes = found.cost + self.changed(&filling.steps);
        Best { share, pieces, steps: filling.steps, found: found.clone(), changes }
    }

    /// Tanks that hold something else than now.
    fn changed(&self, steps: &Steps) -> u64 {
        let all = self.case.fills.iter().zip(steps);
        all.filter(|(fill, steps)| fill.now != Some(**steps)).count() as u64
    }

    /// Every filling of a group that may reach a level, the best bound first; `None` when the
    /// budget ends.
    fn offers(&mut self, group: Group, from: i64, budget: &mut Budget<'_>) -> Option<Vec<Offer>> {
        let reach = self.reach(group.pieces, from, budget)?;
        let mut all = Vec::new();
        let mut steps = [0; MOST_TANKS];
        let lean = Lean { from, so_far: 0.0 };
        self.each(0, group.steps, lean, &mut steps, &mut |steps| {
            all.extend(self.offer(group.pieces, *steps, reach, from, group.cap));
            budget.step()
        });
        all.sort_by(|a, b| b.cap.total_cmp(&a.cap).then(a.changed.cmp(&b.changed)));
        (!budget.stopped()).then_some(all)
    }

    /// How far people and items can move the balance at a level. What items do alone is found by
    /// a search, and kept for the searches to come.
    fn reach(
        &mut self,
        pieces: usize,
        level: i64,
        budget: &mut Budget<'_>,
    ) -> Option<(Window, Window)> {
        let mut alone = Alone::UNKNOWN;
        for aft in [false, true] {
            let mut frame = self.open(level);
            let mut end = if aft { f64::NEG_INFINITY } else { f64::INFINITY };
            // Worth a little work; without it the bounds of the whole search must do.
            let mut idle = || false;
            let mut little = Budget::new(LITTLE, &mut idle);
            let whole = self.items[pieces].search(&mut frame, &mut little, &mut |found, frame| {
                end = found.moment;
                if aft {
                    frame.moment.least = end + SUMMED;
                } else {
                    frame.moment.most = end - SUMMED;
                }
                Next::Go
            });
            if whole && aft {
                alone.moment.most = end + SUMMED;
            } else if whole {
                alone.moment.least = end - SUMMED;
            }
        }
        if !budget.step() {
            return None;
        }
        self.alone[pieces] = alone;
        let frame = Frame { items: alone, ..self.open(level) };
        let stowage = &self.stowages[pieces];
        Some((stowage.reach(&frame), stowage.reach_across()))
    }

    /// A filling with its bound, when it may reach a level.
    fn offer(
        &self,
        pieces: usize,
        steps: Steps,
        reach: (Window, Window),
        from: i64,
        cap: f64,
    ) -> Option<Offer> {
        let filling = Filling::new(self.case, steps, self.zero_fuel(pieces));
        let tanks = self.tanks(&filling)?.min(cap);
        let sides = (self.kept.forward, self.kept.aft);
        let cap = tanks.min(filling.cap(reach.0, self.width, sides));
        let (_, across) = self.windows(&filling, from);
        let meets = across.least.max(reach.1.least) <= across.most.min(reach.1.most);
        let changed = self.changed(&filling.steps);
        (cap >= least(from) && meets).then_some(Offer { filling, cap, changed })
    }

    /// Calls `each` for every way to spread `left` steps over the tanks from `tank` on; stops when
    /// it says so. Ways that lean too far to one side are left out.
    fn each(
        &self,
        tank: usize,
        left: usize,
        lean: Lean,
        steps: &mut Steps,
        each: &mut dyn FnMut(&Steps) -> bool,
    ) -> bool {
        let fills = &self.case.fills;
        if tank == fills.len() {
            return left > 0 || each(steps);
        }
        if !self.can_level(tank, lean) {
            return true;
        }
        let later: usize = fills[tank + 1..].iter().map(|fill| fill.most as usize).sum();
        let most = self.most_steps(tank, lean.from).min(left);
        for n in left.saturating_sub(later)..=most {
            #[expect(clippy::cast_possible_truncation, reason = "not more than the fill's most")]
            {
                steps[tank] = n as u32;
            }
            let with = Lean { so_far: lean.so_far + leans(&fills[tank], steps[tank]), ..lean };
            if !self.each(tank + 1, left - n, with, steps, each) {
                return false;
            }
        }
        steps[tank] = 0;
        true
    }

    /// True when the tanks from `tank` on can bring the sides level enough at chocks off.
    fn can_level(&self, tank: usize, lean: Lean) -> bool {
        let Some(limit) = self.case.imbalance.filter(|_| self.kept.imbalance) else { return true };
        let (mut low, mut high) = (lean.so_far, lean.so_far);
        for fill in &self.case.fills[tank..] {
            let (none, all) = (leans(fill, 0), leans(fill, fill.most));
            (low, high) = (low + none.min(all), high + none.max(all));
        }
        let fixed = self.case.fills.iter().all(|fill| fill.most == 0);
        let most = limit * (1.0 - if fixed { -ROUNDING } else { least(lean.from) }) + ROUNDING;
        low <= most && -most <= high
    }

    /// The most steps with which a tank keeps the margin of a level.
    fn most_steps(&self, tank: usize, level: i64) -> usize {
        let fill = &self.case.fills[tank];
        if !self.kept.tanks[tank] || fill.most == 0 || fill.step <= 0.0 {
            return fill.most as usize;
        }
        let room = fill.usable * (1.0 - least(level)) + ROUNDING - fill.base;
        #[expect(clippy::cast_possible_truncation, reason = "at most `most`")]
        let fits = (room / fill.step).clamp(-1.0, f64::from(fill.most)).floor() as i64;
        // Not even none: one that fits nowhere is left to the judge.
        usize::try_from(fits).unwrap_or(0)
    }

    /// Looks for the same margin with fewer pieces of ballast.
    fn less_ballast(&mut self, best: &mut Best, budget: &mut Budget<'_>) {
        let goal = level(best.share);
        for pieces in 0..best.pieces {
            let groups = self.groups();
            let may = |group: &&Group| group.pieces == pieces && level(group.cap) >= goal;
            for group in groups.iter().filter(may) {
                let Some(offers) = self.offers(*group, goal, budget) else { return };
                if let Some(found) = self.reaches(pieces, &offers, goal, u64::MAX, budget) {
                    *best = found;
                    return;
                }
                if budget.stopped() {
                    return;
                }
            }
        }
    }

    /// An arrangement that reaches a level within a cost with one of some fillings.
    fn reaches(
        &self,
        pieces: usize,
        offers: &[Offer],
        goal: i64,
        cost: u64,
        budget: &mut Budget<'_>,
    ) -> Option<Best> {
        // At this level a filling may leave no moment at all, or none that can be reached.
        let across = self.stowages[pieces].reach_across();
        let open = |offer: &&Offer| {
            let (along, side) = self.windows(&offer.filling, goal);
            let least = side.least.max(across.least);
            along.least <= along.most + SUMMED && least <= side.most.min(across.most) + SUMMED
        };
        let offers: Vec<&Offer> = offers.iter().filter(open).collect();
        if offers.is_empty() {
            return None;
        }
        let offers = offers.as_slice();
        let mut frame = Frame { cost, ..self.frame(pieces, offers, goal) };
        let mut best = None;
        self.stowages[pieces].search(&mut frame, budget, &mut |found, _| {
            for offer in offers.iter().filter(|offer| self.meets(&offer.filling, found, goal)) {
                let share = self.judge(&offer.filling, pieces, found);
                let share = share.map(|share| share.min(offer.cap));
                if let Some(share) = share.filter(|share| level(*share) >= goal) {
                    best = Some(self.best(share, pieces, &offer.filling, found));
                    return Next::Enough;
                }
            }
            Next::Go
        });
        best
    }

    /// Looks for the same margin and ballast with fewer changes, from the fewest that people and
    /// items need by themselves upwards.
    fn fewer_changes(&mut self, best: &mut Best, budget: &mut Budget<'_>) {
        let (goal, pieces) = (level(best.share), best.pieces);
        let Some(reach) = self.reach(pieces, goal, budget) else { return };
        let least = |stowage: &Stowage, budget: &mut Budget<'_>| {
            let mut least = u64::MAX;
            let mut frame = self.open(goal);
            stowage.search(&mut frame, budget, &mut |found, frame| {
                least = found.cost;
                frame.cost = least.saturating_sub(1);
                if least == 0 { Next::Enough } else { Next::Go }
            });
            (!budget.stopped()).then_some(least)
        };
        let Some(people) = least(&self.people, budget) else { return };
        let Some(items) = least(&self.items[pieces], budget) else { return };
        self.alone[pieces].cost = items;
        // Offers by the number of tanks that hold something else.
        let mut by_tanks: Vec<Vec<Offer>> = Vec::new();
        for changes in people + items..best.changes {
            let tanks = (self.case.fills.len() as u64).min(changes - people - items);
            while by_tanks.len() as u64 <= tanks {
                let count = by_tanks.len();
                let Some(those) = self.with_changed(count, pieces, goal, reach, budget) else {
                    return;
                };
                by_tanks.push(those);
            }
            for (tanks, those) in (0u64..).zip(&by_tanks) {
                let Some(rest) = changes.checked_sub(tanks) else { break };
                if rest < people + items {
                    break;
                }
                if let Some(found) = self.reaches(pieces, those, goal, rest, budget) {
                    *best = found;
                    return;
                }
                if budget.stopped() {
                    return;
                }
            }
        }
    }

    /// Every filling that reaches a level with so many tanks changed; `None` when the budget
    /// ends.
    fn with_changed(
        &self,
        count: usize,
        pieces: usize,
        goal: i64,
        reach: (Window, Window),
        budget: &mut Budget<'_>,
    ) -> Option<Vec<Offer>> {
        let mut all = Vec::new();
        let mut steps = [0; MOST_TANKS];
        self.changing(0, count, goal, &mut steps, &mut |steps| {
            let total: usize = steps.iter().map(|steps| *steps as usize).sum();
            let cap = self.total(pieces, total).filter(|cap| level(*cap) >= goal);
            let offer = cap.and_then(|cap| self.offer(pieces, *steps, reach, goal, cap));
            all.extend(offer.filter(|offer| level(offer.cap) >= goal));
            budget.step()
        });
        (!budget.stopped()).then_some(all)
    }

    /// Calls `each` for every filling in which exactly `left` tanks from `tank` on are changed.
    fn changing(
        &self,
        tank: usize,
        left: usize,
        goal: i64,
        steps: &mut Steps,
        each: &mut dyn FnMut(&Steps) -> bool,
    ) -> bool {
        let fills = &self.case.fills;
        let Some(fill) = fills.get(tank) else { return left > 0 || each(steps) };
        if left > fills.len() - tank {
            return true;
        }
        let most = u32::try_from(self.most_steps(tank, goal)).unwrap_or(fill.most);
        for n in 0..=most {
            let changed = usize::from(fill.now != Some(n));
            if changed > left {
                continue;
            }
            steps[tank] = n;
            if !self.changing(tank + 1, left - changed, goal, steps, each) {
                return false;
            }
        }
        steps[tank] = 0;
        true
    }

    fn fit(&self, best: &Best) -> Fit {
        let things = self.case.things.len();
        let (place_of, ballast) = best.found.place_of.split_at(things);
        Fit {
            place_of: place_of.to_vec(),
            ballast: ballast.to_vec(),
            steps: best.steps[..self.case.fills.len()].to_vec(),
            margin: best.share,
            changes: best.changes,
        }
    }
}
