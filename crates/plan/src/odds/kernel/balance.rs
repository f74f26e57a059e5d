//! Balance along the burn: bounds that prove a path inside or outside, and the path itself where they
//! do not.
//!
//! # Formula
//!
//! Between two moments at which a tank runs dry, the same tanks feed. There, with `M` the moment and `m`
//! the mass, the path keeps aft of the line `x = a m + b` as long as `h = M - a m^2 - b m` is not
//! negative. At both ends `h` is exact. Between them `M` lies below its chord by no more than `D`, which
//! is reckoned once from the arm of each tank, and `-a m^2` by no more than `max(0, -a) (dm / 2)^2`; so
//!
//! ```text
//! h >= min(h at both ends) - D - max(0, -a) dm^2 / 4
//! ```
//!
//! A path that this does not prove inside, and of which no end lies outside, is followed by
//! [`stillprop_calc::burn::worst`] as the limit does it. The aft boundary is the same with its sign
//! turned. Plain algebra of parabolas.
//!
//! `D` of a tank: with `f(q) = q a(q)` its moment, from nothing to the most it may hold, and `L` the
//! straight line between those two, no chord of `f` lies farther from it than `2 max |f - L|`; where `f`
//! bends upwards all along, `f` lies below every chord by no more than `max(L - f)`, and never above.

use stillprop_calc::{
    burn::{MOST_TANKS, Tank, worst},
    envelope::{Corner, Envelope},
    load::Loading,
    quantity::{FromAmount, Length, Mass, Moment},
    trace::Silent,
};
use stillprop_turnaround::{
    limits::{Family, Id, load::balances},
    stage::{Choice, Setting, Stage},
};

use super::super::lanes::{LANES, Row, greater, lesser};
use super::super::ramps::Line;
use super::{Book, SHY, Work, load::Load};

/// Which tanks feed together, first those that feed first.
pub(super) fn groups(stage: &Stage) -> Vec<Vec<usize>> {
    let mut orders: Vec<u8> = stage.burn_tanks.iter().map(|tank| tank.order).collect();
    orders.sort_unstable();
    orders.dedup();
    let of = |order: u8| {
        let all = stage.burn_tanks.iter().enumerate();
        all.filter(|(_, tank)| tank.order == order).map(|(index, _)| index).collect()
    };
    orders.into_iter().map(of).collect()
}

/// Burns equal shares from the tanks of a group until the one with least runs dry.
#[inline(always)]
pub(super) fn spend_least(group: &[usize], left: &mut [Row]) {
    if let [only] = group {
        left[*only].set(|_| 0.0);
        return;
    }
    let mut least = Row::all(f64::INFINITY);
    for tank in group {
        let fuel = &left[*tank];
        least.change(|lane, least| {
            let fuel = if fuel[lane] > 0.0 { fuel[lane] } else { f64::INFINITY };
            lesser(fuel, least)
        });
    }
    for tank in group {
        left[*tank].change(|lane, fuel| if fuel > 0.0 { fuel - least[lane] } else { fuel });
    }
}

/// Burns a mass, equal shares from the tanks that feed.
#[inline(always)]
fn spend(groups: &[Vec<usize>], left: &mut [Row], mass: f64) {
    let mut rest = Row::all(mass);
    for group in groups {
        for _ in group {
            let (mut least, mut feeders) = (Row::all(f64::INFINITY), Row::all(0.0));
            for tank in group {
                let fuel = &left[*tank];
                for lane in 0..LANES {
                    let feeds = fuel[lane] > 0.0;
                    let here = if feeds { fuel[lane] } else { f64::INFINITY };
                    least.0[lane] = lesser(here, least.0[lane]);
                    feeders.0[lane] += if feeds { 1.0 } else { 0.0 };
                }
            }
            let mut each = Row::all(0.0);
            each.set(|lane| {
                let share = rest[lane] / greater(feeders[lane], 1.0);
                if feeders[lane] > 0.0 { lesser(least[lane], share) } else { 0.0 }
            });
            for tank in group {
                left[*tank].change(
                    |lane, fuel| {
                        if fuel > 0.0 { greater(fuel - each[lane], 0.0) } else { fuel }
                    },
                );
            }
            rest.change(|lane, rest| greater(rest - each[lane] * feeders[lane], 0.0));
        }
    }
}

#[derive(Clone, Debug)]
pub(super) struct Balance {
    /// Forward and aft, top and bottom of the envelope; `None` where nothing of it is known.
    envelope: Option<Edges>,
    /// Row and limit of the lateral arm.
    lateral: Option<(usize, f64)>,
    groups: Vec<Vec<usize>>,
    tanks: Vec<Feed>,
    /// The tanks as the limit sees them.
    burn_tanks: Vec<Tank>,
    density: f64,
    taxi: f64,
    /// The greatest mass there may be, to measure lateral margins by.
    most: f64,
}

#[derive(Clone, Debug)]
struct Edges {
    envelope: Envelope,
    forward: usize,
    aft: usize,
    top: (usize, f64),
    bottom: Option<(usize, f64)>,
    /// Forward lines, then aft ones.
    lines: Vec<Edge>,
    /// What lies within this of a boundary is left to the limit. \[m\]
    near: f64,
    /// A level edge between two sides: bounds do not see it.
    stepped: bool,
    /// How far the moment of each group may lie below and above its chord.
    bends: Vec<[f64; 2]>,
}

/// A straight side of a boundary, `x = a m + b` between two masses.
#[derive(Clone, Copy, Debug)]
struct Edge {
    /// 1 forward, -1 aft.
    sign: f64,
    a: f64,
    b: f64,
    low: f64,
    high: f64,
}

/// A tank with the line of its arm.
#[derive(Clone, Debug)]
struct Feed {
    arm: Line,
    lateral: f64,
}

#[derive(Clone, Debug)]
pub(super) struct Rows {
    moments: [Row; MOST_TANKS],
    /// Mass, moment, lateral moment.
    state: [Row; 3],
    /// Mass where the stretch began.
    before: Row,
    /// `h` of each line there.
    heights: Vec<Row>,
    /// The least that `h` may be, and the least at an end, of the forward and of the aft boundary.
    bounds: [[Row; 2]; 2],
    lateral: Row,
    start: Row,
    /// Fuel in each tank at take-off.
    take_off: [Row; MOST_TANKS],
}

impl Rows {
    pub(super) fn with_room(balance: Option<&Balance>) -> Self {
        let none = Row::all(0.0);
        let edges = balance.and_then(|balance| balance.envelope.as_ref());
        Self {
            moments: [none; MOST_TANKS],
            state: [none; 3],
            before: none,
            heights: vec![none; edges.map_or(0, |edges| edges.lines.len())],
            bounds: [[none; 2]; 2],
            lateral: none,
            start: none,
            take_off: [none; MOST_TANKS],
        }
    }
}

impl Balance {
    /// `None` where it cannot be said; `Some(None)` where no draw has a balance.
    pub(super) fn of(
        stage: &Stage,
        choice: &Choice,
        load: &Load,
        book: &mut Book,
    ) -> Option<Option<Self>> {
        let id = |name| Id::new(Family::Load, name);
        let complete = stage.burn_tanks.len() == stage.tanks.len();
        let envelope = stage.envelope.as_ref().ok().filter(|_| load.ramp && complete);
        let [forward, aft, top] = ["cg-forward", "cg-aft", "envelope-mass"]
            .map(|name| book.take(id(name), envelope.is_some()));
        let flown = envelope.is_some() && load.flown();
        let bottom = book.take(id("envelope-least-mass"), flown);
        let limit = match stage.limits.lateral {
            Setting::Is(limit) => Some(limit.si()),
            Setting::Missing | Setting::None => None,
        };
        let lateral = book.take(id("cg-lateral"), load.ramp && limit.is_some()).zip(limit);
        if !load.ramp || envelope.is_none() && lateral.is_none() {
            return Some(None);
        }
        if stage.empty.mass.value <= 0.0 || !complete {
            return None;
        }
        let groups = groups(stage);
        let most = |tank: usize| {
            let typed = choice.fuel[tank].map_or(0.0, FromAmount::si);
            stage.tanks[tank].usable.si().max(typed) * load.density
        };
        let fuel: f64 = (0..stage.tanks.len()).map(most).sum();
        let people = stage.people.iter().filter_map(|person| person.mass.as_ref().ok());
        let items = stage.items.iter().filter_map(|item| item.mass.as_ref().ok());
        let aboard: f64 = people.chain(items).map(|mass| mass.value).sum();
        let edges = match envelope {
            None => None,
            Some(envelope) => {
                let bend = |group: &Vec<usize>| {
                    let bends =
                        group.iter().map(|tank| bend(&stage.burn_tanks[*tank], most(*tank)));
                    bends.fold([0.0; 2], |sum, bend| [sum[0] + bend[0], sum[1] + bend[1]])
                };
                let bends = groups.iter().map(bend).collect();
                let rows = (forward?, aft?, top?);
                Some(Edges::of(envelope, rows, bottom, bends)?)
            }
        };
        let feed = |tank: &Tank| {
            let corners: Vec<_> =
                tank.arm.corners().map(|(fuel, arm)| (fuel.value, arm.value)).collect();
            Some(Feed { arm: Line::through(&corners)?, lateral: tank.lateral.value })
        };
        let tanks: Option<Vec<_>> = stage.burn_tanks.iter().map(feed).collect();
        Some(Some(Self {
            envelope: edges,
            lateral,
            groups,
            tanks: tanks?,
            burn_tanks: stage.burn_tanks.clone(),
            density: load.density,
            taxi: load.taxi,
            most: stage.empty.mass.value + aboard + fuel,
        }))
    }

    /// Follows the burn from take-off to dry tanks.
    #[inline(always)]
    pub(super) fn judge(&self, work: &mut Work) {
        let Work { fuel, left, balance: rows, dry, margins, .. } = work;
        for (left, fuel) in left.iter_mut().zip(fuel.iter()) {
            left.set(|lane| fuel[lane] * self.density);
        }
        spend(&self.groups, left, self.taxi);
        for ((take_off, left), _) in rows.take_off.iter_mut().zip(left.iter()).zip(&self.tanks) {
            *take_off = *left;
        }
        rows.lateral.set(|_| f64::INFINITY);
        rows.bounds = [[Row::all(f64::INFINITY); 2]; 2];
        for tank in 0..self.tanks.len() {
            self.tanks[tank].moment(&left[tank], &mut rows.moments[tank]);
        }
        self.at(dry, left, rows);
        rows.start = rows.state[0];
        if let Some(edges) = &self.envelope {
            edges.begin(rows);
        }
        for (index, group) in self.groups.iter().enumerate() {
            for _ in group {
                spend_least(group, left);
                for tank in group {
                    self.tanks[*tank].moment(&left[*tank], &mut rows.moments[*tank]);
                }
                rows.before = rows.state[0];
                self.at(dry, left, rows);
                if let Some(edges) = &self.envelope {
                    edges.stretch(edges.bends[index], rows);
                }
            }
        }
        if let Some((row, limit)) = self.lateral {
            let one = 1.0 / greater(limit * self.most, f64::MIN_POSITIVE);
            let lateral = &rows.lateral;
            margins[row].set(|lane| lateral[lane] * one - SHY);
        }
        if let Some(edges) = &self.envelope {
            edges.judge(self, work);
        }
    }

    /// Mass and moments with what is left, and the lateral margin there.
    #[inline(always)]
    fn at(&self, dry: &[Row; 3], left: &[Row], rows: &mut Rows) {
        let [mass, moment, side] = &mut rows.state;
        (*mass, *moment, *side) = (dry[0], dry[1], dry[2]);
        for ((tank, left), turns) in self.tanks.iter().zip(left).zip(&rows.moments) {
            mass.change(|lane, sum| sum + left[lane]);
            moment.change(|lane, sum| sum + turns[lane]);
            if tank.lateral.abs() > 0.0 {
                side.change(|lane, sum| sum + left[lane] * tank.lateral);
            }
        }
        if let Some((_, limit)) = self.lateral {
            rows.lateral.least(|lane| limit * mass[lane] - side[lane].abs());
        }
    }
}

impl Feed {
    /// `q a(q)`.
    #[inline(always)]
    fn moment(&self, fuel: &Row, moment: &mut Row) {
        if self.arm.rises.is_empty() {
            moment.set(|lane| fuel[lane] * self.arm.first);
            return;
        }
        moment.set(|_| self.arm.first);
        for (ramp, rise) in &self.arm.rises {
            moment.change(|lane, sum| sum + rise * ramp.share(fuel[lane]));
        }
        moment.change(|lane, arm| arm * fuel[lane]);
    }
}

impl Edges {
    fn of(
        envelope: &Envelope,
        (forward, aft, top): (usize, usize, usize),
        bottom: Option<usize>,
        bends: Vec<[f64; 2]>,
    ) -> Option<Self> {
        let (mut lines, mut stepped) = (Vec::new(), false);
        for (sides, sign) in envelope.sides().iter().zip([1.0, -1.0]) {
            stepped |= sides.windows(2).any(|pair| pair[0].1 != pair[1].0);
            edges(sides, sign, &mut lines)?;
        }
        let arms = envelope.corners().iter().map(|corner| corner.arm.value.abs());
        Some(Self {
            envelope: envelope.clone(),
            forward,
            aft,
            top: (top, envelope.top().value),
            bottom: bottom.map(|row| (row, envelope.bottom().value)),
            lines,
            near: 1e-8 * arms.fold(1.0, f64::max),
            stepped,
            bends,
        })
    }

    /// At take-off.
    #[inline(always)]
    fn begin(&self, rows: &mut Rows) {
        let Rows { state: [mass, moment, _], heights, bounds, .. } = rows;
        for (edge, height) in self.lines.iter().zip(heights) {
            height.set(|lane| edge.height(mass[lane], moment[lane]));
            for bound in &mut bounds[edge.which()] {
                bound.least(|lane| edge.within(mass[lane], mass[lane], height[lane]));
            }
        }
    }

    /// Along one stretch.
    #[inline(always)]
    fn stretch(&self, bends: [f64; 2], rows: &mut Rows) {
        let Rows { state: [mass, moment, _], before, heights, bounds, .. } = rows;
        for (edge, height) in self.lines.iter().zip(heights) {
            let bend = bends[edge.which()];
            let curve = 0.25 * greater(-edge.sign * edge.a, 0.0);
            let [least, end] = &mut bounds[edge.which()];
            for lane in 0..LANES {
                let (heavy, light) = (before[lane], mass[lane]);
                let here = edge.height(light, moment[lane]);
                let burnt = heavy - light;
                let lowest = lesser(here, height[lane]) - bend - curve * burnt * burnt;
                least.0[lane] = lesser(edge.within(light, heavy, lowest), least.0[lane]);
                end.0[lane] = lesser(edge.within(light, light, here), end.0[lane]);
                height.0[lane] = here;
            }
        }
    }

    /// Margins of the envelope.
    #[inline(always)]
    fn judge(&self, balance: &Balance, work: &mut Work) {
        let Work { margins, balance: rows, ramp, flight, .. } = work;
        let start = &rows.start;
        let (row, top) = self.top;
        let one = 1.0 / top;
        margins[row].set(|lane| (top - start[lane]) * one);
        if let (Some((row, bottom)), Some(leg)) = (self.bottom, flight.legs.last()) {
            let (density, one) = (balance.density, 1.0 / bottom);
            margins[row].set(|lane| (ramp[lane] - leg.used[lane] * density - bottom) * one);
        }
        let mut open = false;
        for (row, [least, end]) in [self.forward, self.aft].into_iter().zip(&rows.bounds) {
            let margin = &mut margins[row];
            let stepped = self.stepped;
            margin.set(|lane| {
                let near = self.near * start[lane];
                let proved = if least[lane] >= near && !stepped { 1.0 } else { f64::NAN };
                if end[lane] <= -near && !stepped { -1.0 } else { proved }
            });
            let mut count = 0;
            for lane in 0..LANES {
                count += u64::from(margin[lane].is_nan());
            }
            open |= count > 0;
        }
        if open {
            self.follow(balance, work);
        }
    }

    /// The path itself, where bounds do not decide.
    #[inline(never)]
    fn follow(&self, balance: &Balance, work: &mut Work) {
        for lane in 0..LANES {
            let (forward, aft) = (&work.margins[self.forward], &work.margins[self.aft]);
            if !(forward[lane].is_nan() || aft[lane].is_nan()) {
                continue;
            }
            let loading = Loading {
                mass: Mass::from_si(work.dry[0][lane]),
                moment: Moment::from_si(work.dry[1][lane]),
                lateral_moment: Moment::from_si(work.dry[2][lane]),
            };
            let fuel = work.balance.take_off.each_ref().map(|row| Mass::from_si(row[lane]));
            let tanks = &balance.burn_tanks;
            let fuel = &fuel[..tanks.len()];
            let none = Mass::from_si(0.0);
            let found = worst(loading, tanks, fuel, none, &self.envelope, &mut Silent);
            if let Some(found) = found {
                let measures = balances(&self.envelope, &found);
                for (row, measure) in [self.forward, self.aft].into_iter().zip(measures) {
                    let whole = measure.whole.max(measure.bound.si.abs());
                    work.margins[row].0[lane] = measure.margin() / whole - SHY;
                }
            }
        }
    }
}

impl Edge {
    /// `h`, its sign turned for the aft boundary.
    #[inline(always)]
    fn height(&self, mass: f64, moment: f64) -> f64 {
        self.sign * (moment - (self.a * mass + self.b) * mass)
    }

    /// A height where the masses meet those of the edge.
    #[inline(always)]
    fn within(&self, light: f64, heavy: f64, height: f64) -> f64 {
        if (heavy >= self.low) & (light <= self.high) { height } else { f64::INFINITY }
    }

    const fn which(&self) -> usize {
        if self.sign > 0.0 { 0 } else { 1 }
    }
}

/// The lines of a boundary, upright below its lowest and above its highest mass.
fn edges(sides: &[(Corner, Corner)], sign: f64, lines: &mut Vec<Edge>) -> Option<()> {
    let upright = |arm: Length, low, high| Edge { sign, a: 0.0, b: arm.value, low, high };
    let (first, last) = (sides.first()?.0, sides.last()?.1);
    let below = upright(first.arm, f64::NEG_INFINITY, first.mass.value);
    let above = upright(last.arm, last.mass.value, f64::INFINITY);
    let side = |(low, high): &(Corner, Corner)| {
        let a = ((high.arm - low.arm) / (high.mass - low.mass)).value;
        let b = low.arm.value - a * low.mass.value;
        Edge { sign, a, b, low: low.mass.value, high: high.mass.value }
    };
    let all = std::iter::once(below).chain(sides.iter().map(side)).chain([above]);
    for edge in all {
        match lines.last_mut() {
            // The same line goes on.
            Some(before)
                if before.which() == edge.which()
                    && before.a.total_cmp(&edge.a).is_eq()
                    && before.b.total_cmp(&edge.b).is_eq() =>
            {
                before.high = edge.high;
            }
            _ => lines.push(edge),
        }
    }
    Some(())
}

/// How far the moment of a tank may lie below and above a chord of it.
fn bend(tank: &Tank, most: f64) -> [f64; 2] {
    let mut corners: Vec<(f64, f64)> =
        tank.arm.corners().map(|(fuel, arm)| (fuel.value, arm.value)).collect();
    let Some(last) = corners.last().copied() else { return [0.0; 2] };
    corners.push((f64::INFINITY, last.1));
    let moment = |fuel: f64| tank.arm.moment(Mass::from_si(fuel)).value;
    let chord = if most > 0.0 { moment(most) / most } else { 0.0 };
    let (mut bends_up, mut least, mut greatest, mut before) = (true, 0.0_f64, 0.0_f64, 0.0);
    for pair in corners.windows(2) {
        let ((low, arm), (high, to)) = (pair[0], pair[1]);
        if low >= most {
            break;
        }
        let slope = if high.is_finite() { (to - arm) / (high - low) } else { 0.0 };
        bends_up &= slope >= before && slope >= 0.0;
        before = slope;
        // f - L = q (arm + slope (q - low) - chord) turns where its slope is none.
        let turns = (chord - arm + slope * low) / (2.0 * slope);
        let ends =
            [low.max(0.0), high.min(most), if turns.is_finite() { turns } else { low.max(0.0) }];
        for fuel in ends.into_iter().filter(|fuel| (low.max(0.0)..=high.min(most)).contains(fuel)) {
            let off = moment(fuel) - chord * fuel;
            (least, greatest) = (least.min(off), greatest.max(off));
        }
    }
    if bends_up { [-least, 0.0] } else { [2.0 * greatest.max(-least); 2] }
}
