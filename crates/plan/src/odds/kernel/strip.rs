//! The strip: charts at the pressure altitude of the day, wind on each direction, what wind makes of a
//! distance.
//!
//! Slope, surface and the pack's safety factor do not change with a draw: [`runway::factor`] reckons
//! them, in calm. A chart is cut to the part that draws reach, as [`ramps`].

use stillprop_calc::{
    quantity::{FromAmount, Length, Velocity},
    strip::{CHANGE, DISTANCE, FACTOR, STEPS, WIND_SHARE},
    table::Chart,
    trace::Silent,
    unit,
    wind::WIND_SPEED,
};
use stillprop_turnaround::{
    document::aircraft::{Cause, Distance},
    limits::{Family, Id, load::masses},
    stage::{
        Choice, Setting, Spot, Stage,
        runway::{self, Components, Way},
    },
    weather::SurfaceWind,
};

use super::super::{
    lanes::{LANES, Row, greater, lesser, sin_cos_turns},
    ramps::{self, Grid, Ramp},
    spread::Subject,
};
use super::{
    Book, NEAR, SHY, Work,
    draws::{Draws, Spread},
    flight::Flight,
    guard,
    load::Load,
};

/// Wind from ahead or behind that is taken for calm within this, far more than the limits do. \[m/s\]
const CALM: f64 = 1e-8;
/// So many deviations of a draw a chart reaches.
const REACH: f64 = 6.0;

#[derive(Clone, Debug, Default)]
pub(super) struct Strip {
    spots: Vec<Air>,
    ways: Vec<OnWay>,
    /// What each landing burns before it; the first is the take-off.
    masses: Vec<Heavy>,
    axes: Vec<Axis>,
    distances: Vec<Needed>,
    climb: Option<Climb>,
    density: f64,
    taxi: f64,
}

/// Air at a place.
#[derive(Clone, Debug)]
struct Air {
    /// Number of the place: 0 here, then one for each leg.
    spot: usize,
    temperature: Option<f64>,
    wind: Option<SurfaceWind>,
}

/// Wind on a direction.
#[derive(Clone, Debug)]
struct OnWay {
    air: usize,
    /// Cosine and sine of the direction; `None` when the wind may blow from anywhere.
    along: Option<[f64; 2]>,
    cross: Option<(usize, f64)>,
    tail: Option<(usize, f64)>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Heavy {
    TakeOff,
    Landing(usize),
}

/// One direction of a chart.
#[derive(Clone, Debug, PartialEq)]
struct Axis {
    of: Of,
    ramps: Vec<Ramp>,
    /// Where its rows of shares begin.
    begins: usize,
    /// What a draw must lie in to be read here.
    within: [f64; 2],
    /// The end of the chart, where a draw may pass it.
    end: Option<f64>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Of {
    Mass(usize),
    Temperature(usize),
}

/// A chart to be read.
#[derive(Clone, Debug)]
struct Read {
    mass: usize,
    temperature: usize,
    differences: Vec<f64>,
}

#[derive(Clone, Debug)]
struct Needed {
    row: Option<usize>,
    available: f64,
    read: Read,
    way: usize,
    /// Everything but wind.
    factor: f64,
    wind: WindFactor,
}

/// What wind makes of a distance: `1 + ahead min(head, up_to)`, or `1 + behind tail`.
#[derive(Clone, Copy, Debug)]
struct WindFactor {
    ahead: f64,
    up_to: f64,
    /// Infinite where a wind from behind makes it unknown.
    behind: f64,
    /// The tailwind beyond which it is unknown.
    most: f64,
    /// The wind beyond which a step of it would not be accepted.
    accepted: f64,
}

#[derive(Clone, Debug)]
struct Climb {
    row: usize,
    read: Read,
    speed: f64,
    asked: f64,
    /// Index of the take-off distance.
    distance: usize,
    slope: f64,
    /// Distance and height of each that is in the way.
    obstacles: Vec<[f64; 2]>,
}

/// Air of each place, drawn.
#[derive(Clone, Debug)]
struct AirRows {
    temperature: Row,
    mean: Row,
    strongest: Row,
    sin: Row,
    cos: Row,
}

#[derive(Clone, Debug)]
pub(super) struct Rows {
    air: Vec<AirRows>,
    heads: Vec<Row>,
    masses: Vec<Row>,
    shares: Vec<Row>,
    /// Infinite where a draw lies beyond the end of the direction of a chart.
    beyond: Vec<Row>,
    needed: Vec<Row>,
    value: Row,
    steepest: Row,
}

impl Rows {
    pub(super) fn with_room(strip: &Strip) -> Self {
        let none = Row::all(0.0);
        let air = AirRows { temperature: none, mean: none, strongest: none, sin: none, cos: none };
        let shares = strip.axes.iter().map(|axis| axis.ramps.len()).sum();
        Self {
            air: vec![air; strip.spots.len()],
            heads: vec![none; strip.ways.len()],
            masses: vec![none; strip.masses.len()],
            shares: vec![none; shares],
            beyond: vec![none; strip.axes.len()],
            needed: vec![none; strip.distances.len()],
            value: none,
            steepest: none,
        }
    }
}

/// What is being built, and from what.
struct Builder<'a> {
    strip: Strip,
    stage: &'a Stage,
    spread: &'a Spread,
    /// Mass at take-off and at each landing, as typed.
    typed: Vec<f64>,
    book: &'a mut Book,
}

/// A distance to be judged.
struct Ask<'a> {
    on: Distance,
    chart: Option<&'a Chart<Length>>,
    available: Setting<Length>,
    spot: &'a Spot,
    air: Option<usize>,
    way: &'a Way,
    wind: Option<usize>,
    heavy: Option<Heavy>,
}

impl Strip {
    pub(super) fn of(
        stage: &Stage,
        choice: &Choice,
        (load, flight): (&Load, Option<&Flight>),
        spread: &Spread,
        book: &mut Book,
    ) -> Option<Self> {
        let typed = masses(stage, choice, &mut Silent);
        let take_off = typed.take_off.map_or(0.0, |mass| mass.value);
        let ramp = typed.ramp.map_or(0.0, |mass| mass.value);
        let landings = flight.iter().flat_map(|flight| &flight.legs);
        let typed = std::iter::once(take_off)
            .chain(landings.map(|leg| ramp - leg.used * load.density))
            .collect();
        let strip = Self { density: load.density, taxi: load.taxi, ..Self::default() };
        let mut builder = Builder { strip, stage, spread, typed, book };
        builder.take_off(choice, load.ramp)?;
        let legs = &stage.documents.turnaround.legs;
        for (index, leg) in legs.iter().enumerate() {
            let heavy = (load.ramp && flight.is_some()).then_some(Heavy::Landing(index));
            builder.destination(index, &leg.name.value, heavy)?;
        }
        Some(builder.strip)
    }

    #[inline(always)]
    pub(super) fn judge(&self, draws: &Draws, normals: &[Row], work: &mut Work) {
        let Work { margins, ramp, flight, strip: rows, guard: least, .. } = work;
        for (air, rows) in self.spots.iter().zip(&mut rows.air) {
            air.draw(draws, normals, rows, least);
        }
        for (way, head) in self.ways.iter().zip(&mut rows.heads) {
            way.blow(&rows.air[way.air], head, (margins, least));
        }
        for (heavy, mass) in self.masses.iter().zip(&mut rows.masses) {
            match heavy {
                Heavy::TakeOff => mass.set(|lane| ramp[lane] - self.taxi),
                Heavy::Landing(leg) => {
                    let used = &flight.legs[*leg].used;
                    mass.set(|lane| ramp[lane] - used[lane] * self.density);
                }
            }
        }
        for (index, axis) in self.axes.iter().enumerate() {
            let value = match axis.of {
                Of::Mass(mass) => &rows.masses[mass],
                Of::Temperature(air) => &rows.air[air].temperature,
            };
            axis.share(value, (&mut rows.shares, &mut rows.beyond[index]), least);
        }
        for (index, needed) in self.distances.iter().enumerate() {
            needed.judge(self, index, rows, (margins, least));
        }
        if let Some(climb) = &self.climb {
            climb.judge(self, rows, (margins, least));
        }
    }

    /// Reads a chart; infinite beyond its ends.
    #[inline(always)]
    fn read(&self, read: &Read, (shares, beyond): (&[Row], &[Row]), value: &mut Row) {
        let (mass, temperature) = (&self.axes[read.mass], &self.axes[read.temperature]);
        let (x, y) = (mass.rows(shares), temperature.rows(shares));
        let width = y.len() + 1;
        for (index, line) in read.differences.chunks_exact(width).enumerate() {
            let weight = index.checked_sub(1).map(|at| &x[at]);
            match (line, y) {
                ([d], []) => add(value, weight, |_| *d),
                ([d, e], [s]) => add(value, weight, |lane| d + e * s[lane]),
                ([d, e, f], [s, t]) => add(value, weight, |lane| d + e * s[lane] + f * t[lane]),
                _ => add(value, weight, |lane| {
                    let terms = line[1..].iter().zip(y);
                    line[0] + terms.map(|(d, s)| d * s[lane]).sum::<f64>()
                }),
            }
        }
        for (axis, at) in [(mass, read.mass), (temperature, read.temperature)] {
            if axis.end.is_some() {
                value.change(|lane, value| value + beyond[at][lane]);
            }
        }
    }
}

/// Adds a weighted line of a chart; the first has no weight and begins anew.
#[inline(always)]
fn add(value: &mut Row, weight: Option<&Row>, line: impl Fn(usize) -> f64) {
    match weight {
        None => value.set(line),
        Some(weight) => value.change(|lane, sum| sum + weight[lane] * line(lane)),
    }
}

impl<'a> Builder<'a> {
    /// Take-off, and the landing straight back.
    fn take_off(&mut self, choice: &Choice, ramp: bool) -> Option<()> {
        let stage = self.stage;
        let (spot, p) = (&stage.here, &stage.performance);
        let way = &spot.ways[choice.take_off];
        let air = Some(self.air(0, spot));
        let wind = self.way(air, spot, way);
        let heavy = ramp.then_some(Heavy::TakeOff);
        let ask = |on, chart, available| Ask { on, chart, available, spot, air, way, wind, heavy };
        let run = ask(Distance::TakeOffRun, p.take_off_run.as_ref(), way.tora);
        self.distance(Id::new(Family::Strip, "take-off-run"), run)?;
        let distance = ask(Distance::TakeOffDistance, p.take_off_distance.as_ref(), way.toda);
        let distance = self.distance(Id::new(Family::Strip, "take-off-distance"), distance)?;
        if p.accelerate_stop.is_some() {
            let stop = ask(Distance::AccelerateStop, p.accelerate_stop.as_ref(), way.asda);
            self.distance(Id::new(Family::Strip, "accelerate-stop"), stop)?;
        }
        self.climb(spot, way, distance, (air, heavy))?;
        self.winds(wind, "take-off");
        let id = Id::new(Family::Strip, "landing-back-here");
        match stage.back_here.and_then(|index| spot.ways.get(index)) {
            None => {
                self.book.take(id, false);
            }
            Some(back) => {
                let wind = self.way(air, spot, back);
                let (on, chart) = (Distance::LandingDistance, p.landing_distance.as_ref());
                let ask = Ask { on, chart, available: back.lda, spot, air, way: back, wind, heavy };
                self.distance(id, ask)?;
            }
        }
        Some(())
    }

    fn destination(&mut self, leg: usize, name: &str, heavy: Option<Heavy>) -> Option<()> {
        let stage = self.stage;
        let id = Id::of(Family::Strip, "landing-distance", name);
        let spot = stage.there.get(leg)?.as_ref();
        let way = stage.landing_way[leg].zip(spot).and_then(|(way, spot)| spot.ways.get(way));
        let (Some(spot), Some(way)) = (spot, way) else {
            self.book.take(id, false);
            return Some(());
        };
        let air = Some(self.air(leg + 1, spot));
        let wind = self.way(air, spot, way);
        let (on, chart) = (Distance::LandingDistance, stage.performance.landing_distance.as_ref());
        self.distance(id, Ask { on, chart, available: way.lda, spot, air, way, wind, heavy })?;
        self.winds(wind, name);
        Some(())
    }

    fn air(&mut self, spot: usize, of: &Spot) -> usize {
        let temperature = of.weather.temperature.map(|temperature| temperature.value);
        self.strip.spots.push(Air { spot, temperature, wind: of.weather.wind });
        self.strip.spots.len() - 1
    }

    /// Wind on a direction; `None` when it is not known, which no draw changes.
    fn way(&mut self, air: Option<usize>, spot: &Spot, way: &Way) -> Option<usize> {
        let wind = spot.weather.wind?;
        let along = match wind.from {
            None => None,
            Some(_) => {
                let (sin, cos) = way.bearing.as_ref().ok()?.si().sin_cos();
                Some([cos, sin])
            }
        };
        way.wind.as_ref().ok()?;
        self.strip.ways.push(OnWay { air: air?, along, cross: None, tail: None });
        Some(self.strip.ways.len() - 1)
    }

    fn winds(&mut self, wind: Option<usize>, of: &str) {
        let p = &self.stage.performance;
        let both = [("crosswind", p.crosswind), ("tailwind", p.tailwind)];
        let [cross, tail] = both.map(|(name, limit)| {
            let limit = if let Setting::Is(limit) = limit { Some(limit.si()) } else { None };
            let varies = wind.is_some() && limit.is_some();
            self.book.take(Id::of(Family::Strip, name, of), varies).zip(limit)
        });
        if let Some(way) = wind.and_then(|wind| self.strip.ways.get_mut(wind)) {
            (way.cross, way.tail) = (cross, tail);
        }
    }

    /// A distance with its limit. `None` where it cannot be said what a draw makes of it, `Some(None)`
    /// where no draw makes it known.
    fn distance(&mut self, id: Id<'_>, ask: Ask<'_>) -> Option<Option<usize>> {
        let Setting::Is(available) = ask.available else {
            self.book.take(id, false);
            return self.needed(&ask, None, f64::NAN);
        };
        let known = self.needed(&ask, None, available.si())?;
        let row = self.book.take(id, known.is_some());
        if let Some(needed) = known.and_then(|at| self.strip.distances.get_mut(at)) {
            needed.row = row;
        }
        Some(known)
    }

    fn needed(
        &mut self,
        ask: &Ask<'_>,
        row: Option<usize>,
        available: f64,
    ) -> Option<Option<usize>> {
        let Some(read) = ask.chart.map(|chart| self.read(chart, ask.spot, (ask.air, ask.heavy)))
        else {
            return Some(None);
        };
        let (Some((read, grid)), Some(way)) = (read?, ask.wind) else { return Some(None) };
        let (performance, figures) = (&self.stage.performance, &self.stage.figures);
        let none = Velocity::from_si(0.0);
        let calm = Way { wind: Ok(Components { head: none, cross: none }), ..ask.way.clone() };
        let weather = &ask.spot.weather;
        let Ok(factor) = runway::factor(ask.on, &calm, weather, performance, figures, &mut Silent)
        else {
            return Some(None);
        };
        // Beyond what a distance may be, the limits say so.
        let [least, most] = [DISTANCE.min, DISTANCE.max].map(|m| DISTANCE.unit.si_of(m));
        if !grid.values.iter().all(|value| (least..=0.999 * most).contains(value)) {
            return None;
        }
        let (factor, wind) = (factor.value, WindFactor::of(ask.on, self.stage)?);
        self.strip.distances.push(Needed { row, available, read, way, factor, wind });
        Some(Some(self.strip.distances.len() - 1))
    }

    fn climb(
        &mut self,
        spot: &Spot,
        way: &Way,
        distance: Option<usize>,
        (air, heavy): (Option<usize>, Option<Heavy>),
    ) -> Option<()> {
        let id = Id::new(Family::Strip, "climb");
        let p = &self.stage.performance;
        let asked =
            self.stage.figures.climb_take_off.as_ref().ok().map(|figure| figure.value.value);
        let read = match &p.climb {
            None => None,
            Some(chart) => self.read(chart, spot, (air, heavy))?,
        };
        let all = (read, p.climb_speed, asked, distance);
        let (Some((read, _)), Some(speed), Some(asked), Some(distance)) = all else {
            self.book.take(id, false);
            return Some(());
        };
        let slope = way.slope.map_or(0.0, |slope| slope.value);
        let stands = |(_, _, height): &&(String, Length, Length)| height.value > 0.0 || slope < 0.0;
        // What does not stand up and is passed before the end of the distance is no obstacle; whether it
        // is passed changes with the draw.
        if !way.obstacles.iter().all(|obstacle| stands(&obstacle)) {
            return None;
        }
        let obstacles =
            way.obstacles.iter().map(|(_, at, height)| [at.value, height.value]).collect();
        if let Some(row) = self.book.take(id, true) {
            let speed = speed.si();
            self.strip.climb = Some(Climb { row, read, speed, asked, distance, slope, obstacles });
        }
        Some(())
    }

    /// A chart at the altitude of a place. `Some(None)` where no draw can be read from it.
    fn read<Q: FromAmount>(
        &mut self,
        chart: &Chart<Q>,
        spot: &Spot,
        (air, heavy): (Option<usize>, Option<Heavy>),
    ) -> Option<Option<(Read, Grid)>> {
        let (Some(air), Some(heavy)) = (air, heavy) else { return Some(None) };
        let Some(temperature) = spot.weather.temperature else { return Some(None) };
        let Ok(altitude) = &spot.pressure_altitude else { return Some(None) };
        let Ok(level) = chart.at_altitude(*altitude) else { return Some(None) };
        let grid = Grid {
            x: level.masses.iter().map(|mass| mass.value).collect(),
            y: level.temperatures.iter().map(|temperature| temperature.value).collect(),
            values: level.values.iter().map(|value| value.si()).collect(),
        };
        let mass = self.heavy(heavy);
        let typed = match heavy {
            Heavy::TakeOff => self.typed[0],
            Heavy::Landing(leg) => *self.typed.get(leg + 1)?,
        };
        let burnt = (self.typed[0] - typed).abs();
        let wide = REACH * self.spread.mass.hypot(self.spread.burn * burnt) + 0.2 * burnt + 1.0;
        let warm = REACH * self.spread.temperature + 0.1;
        let around = |middle: f64, wide: f64| (middle - wide, middle + wide);
        let (x, y) = (around(typed, wide), around(temperature.value, warm));
        let cut = grid.around(x, y);
        let mass = self.axis(Of::Mass(mass), (&grid.x, &cut.x), x);
        let temperature = self.axis(Of::Temperature(air), (&grid.y, &cut.y), y);
        Some(Some((Read { mass, temperature, differences: cut.differences() }, cut)))
    }

    fn heavy(&mut self, heavy: Heavy) -> usize {
        let known = self.strip.masses.iter().position(|known| *known == heavy);
        known.unwrap_or_else(|| {
            self.strip.masses.push(heavy);
            self.strip.masses.len() - 1
        })
    }

    /// A direction of a chart, cut to a range; the same one once.
    fn axis(&mut self, of: Of, (whole, cut): (&[f64], &[f64]), (low, high): (f64, f64)) -> usize {
        let ramps = ramps::between(cut);
        let at_start = whole.first() == cut.first();
        let at_end = whole.last() == cut.last();
        let end = whole.last().copied().filter(|end| at_end && *end < high);
        let within = [
            if at_start { f64::NEG_INFINITY } else { low },
            if at_end { f64::INFINITY } else { high },
        ];
        // Where the chart does not end within reach, a draw past the range is left to the limits.
        let within = match (whole.last(), end) {
            (Some(_), None) => [within[0], high],
            _ => within,
        };
        let begins = self.strip.axes.iter().map(|axis| axis.ramps.len()).sum();
        let new = Axis { of, ramps, begins, within, end };
        let same = |axis: &Axis| Axis { begins, ..axis.clone() } == new;
        self.strip.axes.iter().position(same).unwrap_or_else(|| {
            self.strip.axes.push(new);
            self.strip.axes.len() - 1
        })
    }
}

impl WindFactor {
    /// `None` where a figure is not accepted.
    fn of(on: Distance, stage: &Stage) -> Option<Self> {
        let (p, figures) = (&stage.performance, &stage.figures);
        let manual = |cause: Cause| {
            p.corrections.iter().find(|found| found.cause == cause && found.on.contains(&on))
        };
        let steps = 0.99 * STEPS.max;
        let mut found = Self {
            ahead: 0.0,
            up_to: f64::INFINITY,
            behind: f64::INFINITY,
            most: f64::INFINITY,
            accepted: 0.99 * WIND_SPEED.unit.si_of(WIND_SPEED.max),
        };
        if let (Ok(credit), Some(manual)) = (&figures.headwind_credit, manual(Cause::Headwind)) {
            WIND_SHARE.check(credit.value).ok()?;
            CHANGE.check(manual.change).ok()?;
            let credit = credit.value.value;
            found.ahead = manual.change.value * credit / manual.per;
            if let Some(most) = manual.up_to.filter(|_| credit > 0.0) {
                found.up_to = most / credit;
            }
            let counted = (found.accepted * credit).min(manual.up_to.unwrap_or(f64::INFINITY));
            if counted / manual.per > steps {
                found.accepted = found.accepted.min(steps * manual.per / credit);
            }
        }
        let Ok(charge) = &figures.tailwind_charge else { return Some(found) };
        WIND_SHARE.check(charge.value).ok()?;
        let charge = charge.value.value;
        let (change, per) = if let Some(manual) = manual(Cause::Tailwind) {
            found.most = manual.up_to.unwrap_or(f64::INFINITY);
            (manual.change, manual.per)
        } else {
            let landing = on == Distance::LandingDistance;
            let (figure, speed) = if landing {
                (&figures.tailwind_landing, p.landing_speed)
            } else {
                (&figures.tailwind_take_off, p.lift_off_speed)
            };
            let (Ok(figure), Some(speed)) = (figure, speed) else { return Some(found) };
            (figure.value, speed.si() * 0.1)
        };
        CHANGE.check(change).ok()?;
        found.behind = change.value * charge / per;
        found.accepted = found.accepted.min(steps * per / charge.max(f64::MIN_POSITIVE));
        (found.ahead.is_finite() && !found.behind.is_nan()).then_some(found)
    }
}

impl Air {
    #[inline(always)]
    fn draw(&self, draws: &Draws, normals: &[Row], rows: &mut AirRows, least: &mut Row) {
        if let Some(typed) = self.temperature {
            let subject = Subject::Temperature(self.spot);
            draws.around(subject, normals, typed, &mut rows.temperature, |degrees| degrees);
        }
        let Some(wind) = self.wind else { return };
        let (z, turn, by, second) = match draws.get(Subject::SurfaceWind(self.spot)) {
            Some(draw) => (&normals[draw.row], &normals[draw.row + 1], draw.deviation, draw.second),
            None => (&Row::ZERO, &Row::ZERO, 0.0, 0.0),
        };
        let speed = wind.speed.si();
        // A gust that is none stays below the wind.
        let gust = wind.gust.map_or(f64::NEG_INFINITY, FromAmount::si);
        let AirRows { mean, strongest, sin, cos, .. } = rows;
        mean.set(|lane| greater(speed + by * z[lane], 0.0));
        strongest.set(|lane| greater(greater(gust + by * z[lane], 0.0), mean[lane]));
        let gale = 0.99 * WIND_SPEED.unit.si_of(WIND_SPEED.max);
        guard(least, |lane| 1.0 - strongest[lane] / gale);
        if let Some(from) = wind.from {
            let (from, second) =
                (from.si() / std::f64::consts::TAU, second / std::f64::consts::TAU);
            for lane in 0..LANES {
                (sin.0[lane], cos.0[lane]) = sin_cos_turns(from + second * turn[lane]);
            }
        }
    }
}

impl OnWay {
    /// The headwind, with the gust when it is none, and the limits of wind.
    #[inline(always)]
    fn blow(&self, air: &AirRows, head: &mut Row, (margins, least): (&mut [Row], &mut Row)) {
        let AirRows { mean, strongest, sin, cos, .. } = air;
        let mut cross = Row::all(0.0);
        match self.along {
            None => {
                head.set(|lane| -strongest[lane]);
                cross = *strongest;
                guard(least, |lane| if strongest[lane] > 0.0 { strongest[lane] } else { 1.0 });
            }
            Some([c, s]) => {
                for lane in 0..LANES {
                    let along = cos[lane] * c + sin[lane] * s;
                    let steady = mean[lane] * along;
                    head.0[lane] = if steady < 0.0 { strongest[lane] * along } else { steady };
                    cross.0[lane] = (strongest[lane] * (sin[lane] * c - cos[lane] * s)).abs();
                    // Which side it blows from must be certain.
                    let side = if mean[lane] > 0.0 { steady.abs() * (NEAR / CALM) } else { 1.0 };
                    least.0[lane] = lesser(side, least.0[lane]);
                }
            }
        }
        if let Some((row, limit)) = self.cross {
            let one = 1.0 / greater(limit, f64::MIN_POSITIVE);
            margins[row].set(|lane| (limit - cross[lane]) * one);
        }
        if let Some((row, limit)) = self.tail {
            let one = 1.0 / greater(limit, f64::MIN_POSITIVE);
            margins[row].set(|lane| (limit - greater(-head[lane], 0.0)) * one);
        }
    }
}

impl Axis {
    #[inline(always)]
    fn rows<'a>(&self, shares: &'a [Row]) -> &'a [Row] {
        &shares[self.begins..self.begins + self.ramps.len()]
    }

    #[inline(always)]
    fn share(&self, value: &Row, (shares, beyond): (&mut [Row], &mut Row), least: &mut Row) {
        let rows = &mut shares[self.begins..self.begins + self.ramps.len()];
        for (ramp, row) in self.ramps.iter().zip(rows) {
            row.set(|lane| ramp.share(value[lane]));
        }
        let [low, high] = self.within;
        if low > f64::NEG_INFINITY {
            guard(least, |lane| value[lane] - low);
        }
        if high < f64::INFINITY {
            guard(least, |lane| high - value[lane]);
        }
        if let Some(end) = self.end {
            beyond.set(|lane| if value[lane] > end { f64::INFINITY } else { 0.0 });
            let one = 1.0 / greater(end.abs(), 1.0);
            guard(least, |lane| (value[lane] - end).abs() * one);
        }
    }
}

impl Needed {
    #[inline(always)]
    fn judge(
        &self,
        strip: &Strip,
        index: usize,
        rows: &mut Rows,
        (margins, least): (&mut [Row], &mut Row),
    ) {
        let Rows { heads, shares, beyond, needed, value, .. } = rows;
        strip.read(&self.read, (shares, beyond), value);
        let (head, wind, needed) = (&heads[self.way], self.wind, &mut needed[index]);
        let [low, high] = [FACTOR.min, FACTOR.max];
        for lane in 0..LANES {
            let head = head[lane];
            let tail = greater(-head, 0.0);
            let ahead = 1.0 + wind.ahead * lesser(greater(head, 0.0), wind.up_to);
            let behind = 1.0 + lesser(wind.behind, f64::MAX.sqrt()) * tail;
            let blown = if head < 0.0 { behind } else { ahead };
            let whole = self.factor * blown;
            // Where a tailwind makes it unknown nothing else matters.
            let lost = (head < 0.0) & ((wind.behind == f64::INFINITY) | (tail > wind.most));
            let accepted =
                lesser(lesser(blown, whole) / low - 1.0, 1.0 - greater(blown, whole) / high);
            let accepted = lesser(accepted, 1.0 - head.abs() / wind.accepted);
            let accepted = if lost { 1.0 } else { accepted };
            let edge = (tail - wind.most).abs();
            least.0[lane] = lesser(lesser(accepted, edge), least.0[lane]);
            needed.0[lane] = if lost { f64::INFINITY } else { value[lane] * whole };
        }
        if let Some(row) = self.row {
            let one = 1.0 / greater(self.available, f64::MIN_POSITIVE);
            margins[row].set(|lane| (self.available - needed[lane]) * one);
        }
    }
}

impl Climb {
    #[inline(always)]
    fn judge(&self, strip: &Strip, rows: &mut Rows, (margins, least): (&mut [Row], &mut Row)) {
        let Rows { shares, beyond, needed, value, steepest, .. } = rows;
        strip.read(&self.read, (shares, beyond), value);
        let needed = &needed[self.distance];
        let screen = unit::FT.si_of(50.0);
        steepest.set(|_| self.asked);
        for [along, height] in &self.obstacles {
            for lane in 0..LANES {
                let used = needed[lane];
                let ahead = along - used;
                let over = (height - (screen + used * self.slope)) / ahead;
                let over = if ahead > 0.0 { over } else { f64::INFINITY };
                steepest.0[lane] = greater(over, steepest[lane]);
                least.0[lane] = lesser(ahead.abs() / along, least.0[lane]);
            }
        }
        let (speed, margin) = (1.0 / self.speed, &mut margins[self.row]);
        margin.set(|lane| {
            let climbs = value[lane] * speed;
            let margin = (climbs - steepest[lane]) / greater(steepest[lane].abs(), 1e-3);
            // Beyond a chart, or with a distance or an obstacle that is not passed, it is not known.
            let lost = (climbs == f64::INFINITY)
                | (needed[lane] == f64::INFINITY)
                | (steepest[lane] == f64::INFINITY);
            if lost { -1.0 } else { margin - SHY }
        });
    }
}
