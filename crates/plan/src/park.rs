//! Park: where the aeroplane stands with the greatest smallest clearance ratio.
//!
//! # What is sought
//!
//! A place and a heading at which the smallest ratio of a distance to what the rules ask of it is
//! greatest: `max over poses of min over i of d_i / room_i`. Asked besides: the hose reaches every
//! filler in use, the wingtips pass along the way out, what the fuel comes from stands clear of
//! drifting vapour, and people can walk from the gate to every door. Extinguishers and the like are
//! carried along and not asked.
//!
//! # How, and how sure
//!
//! Branch and bound over boxes of east, north and heading. Moving by `s` changes no distance by more
//! than `s`; turning by `t` about the wheels moves no point by more than `r t`, where `r` is how far
//! the openings (for fuelling) or the outline (for all else) reach from the wheels. So in a box with
//! half sides `a`, `b`, `t` no ratio is greater than `(d_i + hypot(a, b) + r t) / room_i`, found at
//! its middle. What the fuel comes from does not move: its own distances bound every ratio. The box
//! with the greatest bound is halved next. The answer states its bound: no pose in the searched
//! ground has a ratio above it.
//!
//! The searched ground reaches as far as the hose from what the fuel comes from, or [`AROUND`] from
//! where the aeroplane stands where there is no hose. An apron has no edge in the documents: whether
//! the ground bears a wheel is for the pilot to see.

use std::{cmp::Ordering, collections::BinaryHeap, f64::consts::PI};

use stillprop_calc::{
    plane::{Extent, Point, nearest},
    quantity::{Angle, FromAmount, Length},
    trace::Silent,
    unit,
};
use stillprop_turnaround::{
    document::turnaround::Method,
    limits::{Found, Id, Measure, Sink, Verdict, Words, site},
    site::{Parked, walk},
    stage::{Choice, Stage, Unknown},
    units::Units,
};

/// Metres around the present place that are searched without a hose.
pub const AROUND: f64 = 30.0;
/// A bound closer to the best than this is proof enough.
pub const GAP: f64 = 0.004;
/// Metres below which a box is not halved where the way on foot alone is missing.
pub const STRIDE: f64 = 0.4;
/// Metres below which no box is halved: people do not park to the centimetre.
const GRAIN: f64 = 0.01;

/// A place and a heading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// Metres east of the mark.
    pub east: f64,
    /// Metres north.
    pub north: f64,
    /// Radians from true north, clockwise.
    pub heading: f64,
}

impl Pose {
    /// Where an aeroplane stands.
    #[must_use]
    pub fn of(parked: &Parked) -> Self {
        let (east, north) = (parked.at.east().si(), parked.at.north().si());
        Self { east, north, heading: parked.heading.si() }
    }

    /// The place.
    #[must_use]
    pub fn at(&self) -> Option<Point> {
        Point::new(Length::from_si(self.east), Length::from_si(self.north)).ok()
    }

    /// The heading within a full turn.
    #[must_use]
    pub fn heading(&self) -> Angle {
        Angle::from_si(self.heading.rem_euclid(2.0 * PI))
    }
}

/// What a place is worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worth {
    /// Smallest clearance ratio.
    pub ratio: f64,
    /// Hose, way out and wind side hold. The ways on foot are asked apart.
    pub fits: bool,
    /// Every limit of the place but extinguishers and ways on foot holds.
    pub holds: bool,
    /// The extinguishers stand where they should.
    pub extinguishers: bool,
    /// Smallest ratio of the distances for a running engine.
    pub running: f64,
}

/// The best place found.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Where.
    pub pose: Pose,
    /// Its smallest clearance ratio.
    pub ratio: f64,
    /// It can roll out with its engine running: the distances for that hold too.
    pub under_power: bool,
    /// No place in the searched ground has a ratio above this.
    pub bound: f64,
    /// The bound lies within [`GAP`] of the best.
    pub proven: bool,
    /// Somewhere better only the way on foot was missing, and it was sought there no finer than
    /// [`STRIDE`].
    pub grainy: bool,
    /// Poses measured.
    pub poses: u64,
}

/// Moves the aeroplane about and measures.
#[derive(Clone, Debug)]
pub struct Mover<'a> {
    stage: &'a Stage,
    choice: Choice,
    /// How far openings and outline reach from the wheels, in metres.
    reach: [f64; 2],
    /// Ratio that no pose passes, for what the fuel comes from does not move.
    most: f64,
    /// Poses measured.
    pub poses: u64,
}

/// Reads the limits of a place as bounds over a box.
struct Look {
    /// For openings and for the outline, how far a distance may change.
    slack: [f64; 2],
    /// How far the wheels may move.
    moved: f64,
    worth: Worth,
    upper: f64,
    hopeless: bool,
    silent: Silent,
}

impl Sink for Look {
    type Trace = Silent;

    fn trace(&mut self) -> &mut Silent {
        &mut self.silent
    }

    fn limit(&mut self, id: Id<'_>, found: Found, _: impl FnOnce(&Units) -> Words) {
        let holds = found.verdict() == Verdict::Holds;
        let ratio = |measure: Measure, slack: f64| (measure.value.si + slack) / measure.bound.si;
        match (id.name, found) {
            ("fuel" | "run" | "room" | "spill", Found::Measured(measure)) => {
                let slack = self.slack[usize::from(id.name != "fuel")];
                let here = ratio(measure, 0.0);
                self.worth.ratio = self.worth.ratio.min(here);
                if id.name == "run" || id.name == "spill" {
                    self.worth.running = self.worth.running.min(here);
                }
                self.upper = self.upper.min(ratio(measure, slack));
            }
            ("hose", Found::Measured(measure)) => {
                self.worth.fits &= holds;
                self.hopeless |= measure.value.si - self.slack[0] > measure.bound.si;
            }
            ("way-out", Found::Measured(measure)) => {
                self.worth.fits &= holds;
                self.hopeless |= measure.value.si + self.moved < measure.bound.si;
            }
            ("wind-side", found) => self.worth.fits &= found != Found::Condition(false),
            ("extinguishers", _) => {
                self.worth.extinguishers = holds;
                return;
            }
            _ => {}
        }
        self.worth.holds &= holds;
    }
}

impl<'a> Mover<'a> {
    /// Takes hold of the aeroplane.
    ///
    /// # Errors
    ///
    /// Why its place or what stands around it is not known.
    pub fn new(stage: &'a Stage, choice: &Choice) -> Result<Self, Unknown> {
        let site = stage.site.as_ref().map_err(Clone::clone)?;
        if choice.parked.is_none() {
            return Err("where the aeroplane stands is not known".into());
        }
        let frame = &site.airframe;
        let origin = |point: Point| point.east().si().hypot(point.north().si());
        let openings = frame.fillers.iter().chain(&frame.vents).map(|named| origin(named.at));
        let corners = frame.parts.iter().flat_map(|(_, shape)| shape.corners()).map(origin);
        let discs = frame.propellers.iter().map(|disc| origin(disc.centre()) + disc.radius().si());
        let reach = [openings.fold(0.0, f64::max), corners.chain(discs).fold(0.0, f64::max)];
        let fuelling = stage.method != Some(Method::None);
        let most = site.source.as_ref().filter(|_| fuelling).map_or(f64::INFINITY, |source| {
            let ratio = |thing: &stillprop_turnaround::site::Thing| {
                let room = stage.ground.fuelling_from(thing.kind)?.as_ref().ok()?.value;
                let near = nearest(Extent::from(source.at), thing.body.extent()).distance;
                Some(near.si() / room.si())
            };
            site.things.iter().filter_map(ratio).fold(f64::INFINITY, f64::min)
        });
        Ok(Self { stage, choice: choice.clone(), reach, most, poses: 0 })
    }

    /// Where the aeroplane stands in the documents.
    #[must_use]
    pub fn present(&self) -> Option<Pose> {
        self.stage.parked.as_ref().map(Pose::of)
    }

    /// Measures one pose.
    pub fn worth(&mut self, pose: Pose) -> Option<Worth> {
        self.look(pose, [0.0; 2], 0.0).map(|look| look.worth)
    }

    /// Measures the middle of a box.
    fn look(&mut self, pose: Pose, slack: [f64; 2], moved: f64) -> Option<Look> {
        let site = self.stage.site.as_ref().ok()?;
        self.choice.parked.as_mut()?.put(&site.airframe, pose.at()?, pose.heading()).ok()?;
        self.poses += 1;
        let worth = Worth {
            ratio: f64::INFINITY,
            fits: true,
            holds: true,
            extinguishers: true,
            running: f64::INFINITY,
        };
        let mut look =
            Look { slack, moved, worth, upper: f64::INFINITY, hopeless: false, silent: Silent };
        site::place(self.stage, &self.choice, &mut look);
        Some(look)
    }

    /// True when every door of the aeroplane, put there last, can be walked to.
    pub fn walkable(&self) -> bool {
        let (Ok(site), Some(parked)) = (&self.stage.site, &self.choice.parked) else {
            return false;
        };
        let doors = 0..site.airframe.doors.len();
        let open = |door| walk::to_door(site, &self.stage.ground, parked, door);
        doors.map(open).all(|way| way.is_ok_and(|way| way.open()))
    }

    /// True when, wherever the openings move within `slack`, one of them lies straight upwind of what
    /// the fuel comes from.
    fn downwind(&self, slack: f64) -> bool {
        let (Ok(site), Some(parked)) = (&self.stage.site, &self.choice.parked) else {
            return false;
        };
        let (Some(source), Ok((Some(from), speed))) = (&site.source, &site.wind) else {
            return false;
        };
        if self.stage.method == Some(Method::None) || speed.count(unit::KT) < walk::CALM {
            return false;
        }
        let mut openings = parked.openings(&site.airframe);
        openings.any(|(_, at)| {
            let east = source.at.east().si() - at.east().si();
            let north = source.at.north().si() - at.north().si();
            let off = (east.atan2(north) - from.si() - PI).rem_euclid(2.0 * PI);
            let off = off.min(2.0 * PI - off);
            let far = east.hypot(north);
            far > slack && off + (slack / far).asin() < walk::DOWNWIND.to_radians()
        })
    }

    /// The ground that is searched: middle and half width.
    fn ground(&self) -> Option<(Pose, f64)> {
        let present = self.present()?;
        let source = self.stage.site.as_ref().ok()?.source.as_ref();
        let hose = source.and_then(|source| Some((source.at, source.hose?.si())));
        Some(match hose {
            Some((at, hose)) => {
                let (east, north) = (at.east().si(), at.north().si());
                (Pose { east, north, ..present }, hose + self.reach[0])
            }
            None => (present, AROUND),
        })
    }
}

/// A box of poses.
#[derive(Clone, Copy, Debug)]
struct Cell {
    middle: Pose,
    /// Half sides: metres, metres, radians.
    half: [f64; 3],
    upper: f64,
}

impl PartialEq for Cell {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Cell {}

impl PartialOrd for Cell {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Cell {
    fn cmp(&self, other: &Self) -> Ordering {
        let key =
            |cell: &Self| [cell.upper, cell.middle.east, cell.middle.north, cell.middle.heading];
        let pairs = key(self).into_iter().zip(key(other));
        pairs.map(|(a, b)| a.total_cmp(&b)).find(|order| order.is_ne()).unwrap_or(Ordering::Equal)
    }
}

/// The search, which may be left between two steps.
#[derive(Clone, Debug)]
pub struct Search<'a> {
    mover: Mover<'a>,
    cells: BinaryHeap<Cell>,
    best: Option<(Pose, Worth)>,
    /// Somewhere only the way on foot was missing.
    grainy: bool,
    /// The searched ground: middle and half width.
    ground: (Pose, f64),
}

impl<'a> Search<'a> {
    /// Begins.
    ///
    /// # Errors
    ///
    /// As [`Mover::new`].
    pub fn new(stage: &'a Stage, choice: &Choice) -> Result<Self, Unknown> {
        let mover = Mover::new(stage, choice)?;
        let ground = mover.ground().ok_or("no place is known")?;
        let cells = BinaryHeap::new();
        let mut search = Self { mover, cells, best: None, grainy: false, ground };
        let (middle, half) = ground;
        if let Some(present) = search.mover.present() {
            search.try_out(present);
        }
        search.add(Cell { middle, half: [half, half, PI], upper: f64::INFINITY });
        Ok(search)
    }

    /// Takes a pose when it lies on the searched ground and is better than the best. Beyond that ground
    /// it may become better without end: the farther from everything, the more room.
    fn try_out(&mut self, pose: Pose) {
        let (middle, half) = self.ground;
        let off = (pose.east - middle.east).abs().max((pose.north - middle.north).abs());
        if off > half {
            return;
        }
        if let Some(worth) = self.mover.worth(pose) {
            self.take(pose, worth);
        }
    }

    fn take(&mut self, pose: Pose, worth: Worth) -> bool {
        let better = worth.fits && self.best.is_none_or(|(_, best)| worth.ratio > best.ratio);
        let taken = better && self.mover.walkable();
        if taken {
            self.best = Some((pose, worth));
        }
        taken
    }

    /// Measures a box and keeps it while it may hold something better.
    ///
    /// Whether people can walk to a door has no bound over a box: where that alone is missing at the
    /// middle, boxes are not halved below [`STRIDE`].
    fn add(&mut self, cell: Cell) {
        let [a, b, turn] = cell.half;
        let moved = a.hypot(b);
        let slack = self.mover.reach.map(|reach| moved + reach * turn);
        let Some(look) = self.mover.look(cell.middle, slack, moved) else { return };
        let upper = look.upper.min(self.mover.most).min(cell.upper);
        if look.hopeless || upper <= self.enough() || self.mover.downwind(slack[0]) {
            return;
        }
        let better = look.worth.fits && look.worth.ratio > self.ratio();
        if self.take(cell.middle, look.worth) {
            self.polish();
        } else if better && slack[1] < STRIDE {
            self.grainy = true;
            return;
        }
        if slack[1] < GRAIN {
            return;
        }
        if upper > self.enough() {
            self.cells.push(Cell { upper, ..cell });
        }
    }

    fn ratio(&self) -> f64 {
        self.best.map_or(0.0, |(_, best)| best.ratio)
    }

    /// What is not worth looking for.
    fn enough(&self) -> f64 {
        self.ratio() * (1.0 + GAP)
    }

    /// Climbs from the best in ever smaller steps.
    fn polish(&mut self) {
        let mut step = 0.5;
        while step > 0.004 {
            let Some((at, before)) = self.best else { return };
            let turn = step / self.mover.reach[1].max(1.0);
            for (east, north, heading) in STEPS {
                self.try_out(Pose {
                    east: at.east + east * step,
                    north: at.north + north * step,
                    heading: at.heading + heading * turn,
                });
            }
            if self.best.is_none_or(|(_, best)| best.ratio <= before.ratio) {
                step *= 0.5;
            }
        }
    }

    /// Goes on for so many boxes; true when there is nothing left to look at.
    pub fn step(&mut self, boxes: usize) -> bool {
        for _ in 0..boxes {
            let Some(cell) = self.cells.pop() else { return true };
            if cell.upper <= self.enough() {
                self.cells.clear();
                return true;
            }
            let reach = self.mover.reach[1];
            let sides = [cell.half[0], cell.half[1], cell.half[2] * reach];
            let widest = (0..3).max_by(|a, b| sides[*a].total_cmp(&sides[*b])).unwrap_or(0);
            let mut half = cell.half;
            half[widest] /= 2.0;
            for sign in [-1.0, 1.0] {
                let mut middle = cell.middle;
                match widest {
                    0 => middle.east += sign * half[0],
                    1 => middle.north += sign * half[1],
                    _ => middle.heading += sign * half[2],
                }
                self.add(Cell { middle, half, ..cell });
            }
        }
        false
    }

    /// The best so far; `None` when no place fits.
    #[must_use]
    pub fn place(&self) -> Option<Place> {
        let (pose, worth) = self.best?;
        let open = self.cells.peek().map_or(0.0, |cell| cell.upper);
        let bound = open.max(self.enough()).min(self.mover.most.max(worth.ratio));
        Some(Place {
            pose,
            ratio: worth.ratio,
            under_power: worth.running >= 1.0,
            bound,
            proven: bound <= self.enough(),
            grainy: self.grainy,
            poses: self.mover.poses,
        })
    }
}

/// Steps along each axis and across.
const STEPS: [(f64, f64, f64); 14] = [
    (1.0, 0.0, 0.0),
    (-1.0, 0.0, 0.0),
    (0.0, 1.0, 0.0),
    (0.0, -1.0, 0.0),
    (0.0, 0.0, 1.0),
    (0.0, 0.0, -1.0),
    (0.7, 0.7, 0.0),
    (-0.7, 0.7, 0.0),
    (0.7, -0.7, 0.0),
    (-0.7, -0.7, 0.0),
    (0.6, 0.6, 0.6),
    (-0.6, -0.6, -0.6),
    (0.6, -0.6, 0.6),
    (-0.6, 0.6, -0.6),
];
