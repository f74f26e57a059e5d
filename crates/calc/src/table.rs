//! The flight manual's grids: interpolated inside, never extrapolated.
//!
//! # Formula
//!
//! Multilinear interpolation on any grid of mass x pressure altitude x temperature: linear
//! along each axis in turn between the two lines around the point. A table may lack an
//! axis; it then does not depend on it.
//!
//! # Edges
//!
//! Below the lightest, lowest or coldest line the value of that line is used, because the
//! aeroplane does no worse there, and the reading says so ([`Reading::held`]). Beyond the
//! heaviest, highest or hottest line there is no value at all ([`Beyond`]).
//!
//! # Accepted range
//!
//! Axes strictly rising and finite, one value for each crossing of lines, all finite.
//!
//! # Sources
//!
//! - `[phak-performance]` FAA-H-8083-25, performance chapter: interpolation between lines.
//! - The edge rule is ours, promise 5 of the design: outside the chart is outside.

use std::fmt;

use crate::{
    quantity::{FromAmount, Length, Mass, Ratio, ThermodynamicTemperature},
    source,
    trace::{Step, Trace},
};

/// What a line of the grid stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// Mass of the aeroplane.
    Mass,
    /// Pressure altitude.
    PressureAltitude,
    /// Outside air temperature.
    Temperature,
}

impl Axis {
    const ALL: [Self; 3] = [Self::Mass, Self::PressureAltitude, Self::Temperature];

    /// The name of the axis.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Mass => "mass",
            Self::PressureAltitude => "pressure altitude",
            Self::Temperature => "temperature",
        }
    }

    /// What lies beyond its last line.
    #[must_use]
    pub const fn beyond(self) -> &'static str {
        match self {
            Self::Mass => "heavier than the chart",
            Self::PressureAltitude => "higher than the chart",
            Self::Temperature => "hotter than the chart",
        }
    }
}

/// The conditions a chart is read at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Mass of the aeroplane.
    pub mass: Mass,
    /// Pressure altitude of the strip.
    pub pressure_altitude: Length,
    /// Outside air temperature.
    pub temperature: ThermodynamicTemperature,
}

impl Conditions {
    fn on(&self, axis: Axis) -> f64 {
        match axis {
            Axis::Mass => self.mass.value,
            Axis::PressureAltitude => self.pressure_altitude.value,
            Axis::Temperature => self.temperature.value,
        }
    }
}

/// A checked grid of values of one quantity.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart<Q> {
    /// Lines of each axis in SI, in the order of [`Axis`]; empty when the axis is absent.
    lines: [Vec<f64>; 3],
    /// Values in the order mass, altitude, temperature, the last running fastest. \[SI\]
    values: Vec<f64>,
    _quantity: std::marker::PhantomData<Q>,
}

/// A chart at one pressure altitude: its lines, and the values where they cross, temperature running
/// fastest. A direction that the chart does not depend on has no line and one value.
#[derive(Clone, Debug, PartialEq)]
pub struct Level<Q> {
    /// Lines of mass.
    pub masses: Vec<Mass>,
    /// Lines of temperature.
    pub temperatures: Vec<ThermodynamicTemperature>,
    /// Values.
    pub values: Vec<Q>,
}

/// Why a grid is not a chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChartError {
    /// A line does not rise above the one before it, or is not finite.
    NotRising(Axis, usize),
    /// There are more or fewer values than crossings of lines.
    WrongCount {
        /// Crossings of the lines.
        wanted: usize,
        /// Values given.
        found: usize,
    },
    /// A value is not finite.
    BadValue(usize),
}

impl fmt::Display for ChartError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotRising(axis, at) => {
                write!(f, "line {} of {} does not rise above the one before", at + 1, axis.words())
            }
            Self::WrongCount { wanted, found } => {
                write!(f, "the lines cross {wanted} times but there are {found} values")
            }
            Self::BadValue(at) => write!(f, "value {} is not a finite number", at + 1),
        }
    }
}

impl std::error::Error for ChartError {}

/// A value read from a chart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading<Q> {
    /// The value.
    pub value: Q,
    /// Axes on which the nearest line was held because the point lies below the chart.
    pub held: Held,
}

/// Axes on which a reading was held at the first line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Held {
    /// Lighter than the lightest line.
    pub mass: bool,
    /// Lower than the lowest line.
    pub pressure_altitude: bool,
    /// Colder than the coldest line.
    pub temperature: bool,
}

impl Held {
    fn set(&mut self, axis: Axis) {
        match axis {
            Axis::Mass => self.mass = true,
            Axis::PressureAltitude => self.pressure_altitude = true,
            Axis::Temperature => self.temperature = true,
        }
    }

    /// What to tell the reader; `None` when the point lies inside the chart.
    #[must_use]
    pub fn remark(self) -> Option<String> {
        let parts = [
            (self.mass, "lighter than the chart: its lightest line is used"),
            (self.pressure_altitude, "lower than the chart: its lowest line is used"),
            (self.temperature, "colder than the chart: its coldest line is used"),
        ];
        let said: Vec<_> = parts.iter().filter(|part| part.0).map(|part| part.1).collect();
        (!said.is_empty()).then(|| said.join("; "))
    }
}

/// The point lies beyond the heavy, high or hot end: the chart has no value there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Beyond(pub Axis);

impl fmt::Display for Beyond {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0.beyond())
    }
}

impl std::error::Error for Beyond {}

/// Where a point lies between two lines: the lower line and the share of the way up.
#[derive(Clone, Copy, Default)]
struct Between {
    low: usize,
    share: f64,
}

impl<Q: FromAmount> Chart<Q> {
    /// Checks lines and values; an empty axis is one the table does not depend on.
    ///
    /// # Errors
    ///
    /// [`ChartError`] names the first line or value that is wrong.
    pub fn new(
        masses: &[Mass],
        pressure_altitudes: &[Length],
        temperatures: &[ThermodynamicTemperature],
        values: &[Q],
    ) -> Result<Self, ChartError> {
        let lines = [
            masses.iter().map(|m| m.value).collect::<Vec<_>>(),
            pressure_altitudes.iter().map(|h| h.value).collect(),
            temperatures.iter().map(|t| t.value).collect(),
        ];
        for (axis, lines) in Axis::ALL.into_iter().zip(&lines) {
            let rises = |at: usize| at == 0 || lines[at] > lines[at - 1];
            let bad = (0..lines.len()).find(|at| !(lines[*at].is_finite() && rises(*at)));
            if let Some(at) = bad {
                return Err(ChartError::NotRising(axis, at));
            }
        }
        let wanted: usize = lines.iter().map(|lines| lines.len().max(1)).product();
        if wanted != values.len() {
            return Err(ChartError::WrongCount { wanted, found: values.len() });
        }
        let values: Vec<f64> = values.iter().map(|value| value.si()).collect();
        match values.iter().position(|value| !value.is_finite()) {
            Some(at) => Err(ChartError::BadValue(at)),
            None => Ok(Self { lines, values, _quantity: std::marker::PhantomData }),
        }
    }

    /// The heaviest line; `None` when the chart does not depend on mass.
    #[must_use]
    pub fn heaviest(&self) -> Option<Mass> {
        self.lines[0].last().copied().map(Mass::from_si)
    }

    /// The axis and last line that `at` lies beyond, if any.
    #[must_use]
    pub fn beyond(&self, at: &Conditions) -> Option<Beyond> {
        let past = |axis: &Axis| {
            self.lines[*axis as usize].last().is_some_and(|last| {
                // NaN is beyond everything.
                let within = at.on(*axis) <= *last;
                !within
            })
        };
        Axis::ALL.into_iter().find(past).map(Beyond)
    }

    /// The axes on which `at` lies below the first line, so that a reading holds it.
    #[must_use]
    pub fn held(&self, at: &Conditions) -> Held {
        let mut held = Held::default();
        for axis in Axis::ALL {
            if self.lines[axis as usize].first().is_some_and(|first| at.on(axis) < *first) {
                held.set(axis);
            }
        }
        held
    }

    /// The last line of an axis, in SI; `None` when the axis is absent.
    #[must_use]
    pub fn end_of(&self, axis: Axis) -> Option<crate::quantity::Amount> {
        let last = self.lines[axis as usize].last().copied()?;
        Some(match axis {
            Axis::Mass => Mass::from_si(last).into(),
            Axis::PressureAltitude => Length::from_si(last).into(),
            Axis::Temperature => ThermodynamicTemperature::from_si(last).into(),
        })
    }

    /// Reads the chart.
    ///
    /// # Errors
    ///
    /// [`Beyond`] when the conditions lie past the heavy, high or hot end.
    pub fn read(
        &self,
        at: &Conditions,
        what: &'static str,
        trace: &mut impl Trace,
    ) -> Result<Reading<Q>, Beyond> {
        let mut held = Held::default();
        let mut place = [Between::default(); 3];
        for axis in Axis::ALL {
            place[axis as usize] = self.between(axis, at.on(axis), &mut held)?;
        }
        let value = Q::from_si(self.blend(&place));
        trace.step(|| {
            let step = Step::new(what, "linear between the lines of the chart");
            let step = self.conditions(step, at, &Axis::ALL).gives("chart", value);
            match held.remark() {
                Some(remark) => step.from(source::PHAK_PERFORMANCE).remark(remark),
                None => step.from(source::PHAK_PERFORMANCE),
            }
        });
        Ok(Reading { value, held })
    }

    /// The conditions on those of `axes` that the chart has, as inputs of a step.
    fn conditions(&self, step: Step, at: &Conditions, axes: &[Axis]) -> Step {
        let present = axes.iter().filter(|axis| !self.lines[**axis as usize].is_empty());
        present.fold(step, |step, axis| match axis {
            Axis::Mass => step.with(axis.words(), at.mass),
            Axis::PressureAltitude => step.with(axis.words(), at.pressure_altitude),
            Axis::Temperature => step.with(axis.words(), at.temperature),
        })
    }

    fn between(&self, axis: Axis, value: f64, held: &mut Held) -> Result<Between, Beyond> {
        let lines = &self.lines[axis as usize];
        let (Some(first), Some(last)) = (lines.first(), lines.last()) else {
            return Ok(Between::default());
        };
        // NaN is beyond everything.
        let within = value <= *last;
        if !within {
            return Err(Beyond(axis));
        }
        if value < *first {
            held.set(axis);
            return Ok(Between::default());
        }
        let above = lines.partition_point(|line| *line <= value);
        let low = above.saturating_sub(1);
        let share = match lines.get(low + 1) {
            Some(high) => (value - lines[low]) / (high - lines[low]),
            None => 0.0,
        };
        Ok(Between { low, share })
    }

    /// The chart at one pressure altitude.
    ///
    /// # Errors
    ///
    /// [`Beyond`] when the altitude lies past the high end.
    pub fn at_altitude(&self, pressure_altitude: Length) -> Result<Level<Q>, Beyond> {
        let altitude = Axis::PressureAltitude;
        let between = self.between(altitude, pressure_altitude.value, &mut Held::default())?;
        let [masses, _, temperatures] = &self.lines;
        let mut values = Vec::new();
        for mass in 0..masses.len().max(1) {
            for temperature in 0..temperatures.len().max(1) {
                let line = |low| Between { low, share: 0.0 };
                values.push(Q::from_si(self.blend(&[line(mass), between, line(temperature)])));
            }
        }
        let masses = masses.iter().copied().map(Mass::from_si).collect();
        let temperatures =
            temperatures.iter().copied().map(ThermodynamicTemperature::from_si).collect();
        Ok(Level { masses, temperatures, values })
    }

    /// Blends the corners around a place; an axis without lines has one plane.
    fn blend(&self, place: &[Between; 3]) -> f64 {
        let size = |axis: usize| self.lines[axis].len().max(1);
        let mut sum = 0.0;
        for corner in 0..8_usize {
            let (mut weight, mut index) = (1.0, 0);
            for (axis, between) in place.iter().enumerate() {
                let high = corner >> axis & 1;
                weight *= if high == 1 { between.share } else { 1.0 - between.share };
                index = index * size(axis) + (between.low + high).min(size(axis) - 1);
            }
            if weight > 0.0 {
                sum += weight * self.values[index];
            }
        }
        sum
    }
}

/// Which way a bound lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// The value must not be more than the bound: a distance.
    AtMost,
    /// The value must not be less than the bound: a climb gradient.
    AtLeast,
}

/// The greatest mass that meets a bound.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum GreatestMass {
    /// Not even the lightest line of the chart meets it.
    None,
    /// This mass does, and every lighter one.
    Some(Mass),
    /// Every mass of the chart does; this is its heaviest line.
    WholeChart(Mass),
    /// The chart does not depend on mass and the bound is met.
    AnyMass,
}

/// The greatest mass for which `factor` times the chart meets `bound`, and all lighter
/// masses with it. Exact: between two lines the chart is a straight line in mass.
///
/// # Errors
///
/// [`Beyond`] when pressure altitude or temperature lie past the chart.
pub fn greatest_mass<Q: FromAmount>(
    chart: &Chart<Q>,
    pressure_altitude: Length,
    temperature: ThermodynamicTemperature,
    factor: Ratio,
    sense: Sense,
    bound: Q,
    trace: &mut impl Trace,
) -> Result<GreatestMass, Beyond> {
    let at = Conditions { mass: Mass::from_si(0.0), pressure_altitude, temperature };
    let mut place = [Between::default(); 3];
    let mut held = Held::default();
    for axis in [Axis::PressureAltitude, Axis::Temperature] {
        place[axis as usize] = chart.between(axis, at.on(axis), &mut held)?;
    }
    let meets = |value: f64| match sense {
        Sense::AtMost => value <= bound.si(),
        Sense::AtLeast => value >= bound.si(),
    };
    let lines = &chart.lines[Axis::Mass as usize];
    let mut value_on = |line: usize| {
        place[Axis::Mass as usize] = Between { low: line, share: 0.0 };
        chart.blend(&place) * factor.value
    };
    let mut before = value_on(0);
    let found = if !meets(before) {
        GreatestMass::None
    } else if lines.is_empty() {
        GreatestMass::AnyMass
    } else {
        let mut found = GreatestMass::WholeChart(Mass::from_si(lines[lines.len() - 1]));
        for line in 1..lines.len() {
            let value = value_on(line);
            if !meets(value) {
                let share = (bound.si() - before) / (value - before);
                let mass = lines[line - 1] + share * (lines[line] - lines[line - 1]);
                found = GreatestMass::Some(Mass::from_si(mass));
                break;
            }
            before = value;
        }
        found
    };
    trace.step(|| greatest_mass_step(chart, &at, factor, bound, found, held));
    Ok(found)
}

fn greatest_mass_step<Q: FromAmount>(
    chart: &Chart<Q>,
    at: &Conditions,
    factor: Ratio,
    bound: Q,
    found: GreatestMass,
    held: Held,
) -> Step {
    let step = Step::new("greatest mass", "chart(m) * factor meets the bound");
    let axes = [Axis::PressureAltitude, Axis::Temperature];
    let step = chart
        .conditions(step, at, &axes)
        .with("factor", factor)
        .with("bound", bound)
        .from(source::PHAK_PERFORMANCE);
    let (step, outcome) = match found {
        GreatestMass::Some(mass) => (step.gives("m", mass), None),
        GreatestMass::WholeChart(mass) => {
            (step.gives("m", mass), Some("the whole chart meets the bound; its heaviest line"))
        }
        GreatestMass::None => (step, Some("not even the lightest line meets the bound")),
        GreatestMass::AnyMass => (step, Some("the chart does not depend on mass")),
    };
    let said: Vec<_> = outcome.map(str::to_owned).into_iter().chain(held.remark()).collect();
    if said.is_empty() { step } else { step.remark(said.join("; ")) }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{trace::Silent, unit};

    fn m(value: f64) -> Length {
        Length::from_si(value)
    }

    fn kg(value: f64) -> Mass {
        Mass::from_si(value)
    }

    fn degc(value: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::of(value, unit::DEGC)
    }

    fn at(mass: f64, altitude: f64, temperature: f64) -> Conditions {
        Conditions {
            mass: kg(mass),
            pressure_altitude: m(altitude),
            temperature: degc(temperature),
        }
    }

    #[test]
    fn a_level_reads_as_the_chart_at_its_altitude() {
        let chart = cube();
        let level = chart.at_altitude(m(300.0)).unwrap();
        let level = Chart::new(&level.masses, &[], &level.temperatures, &level.values).unwrap();
        for (mass, temperature) in [(850.0, 5.0), (900.0, 0.0), (1010.0, 17.0), (1100.0, 20.0)] {
            let at = at(mass, 300.0, temperature);
            let wanted = chart.read(&at, "", &mut Silent).unwrap();
            let found = level.read(&at, "", &mut Silent).unwrap();
            assert!((found.value - wanted.value).value.abs() < 1e-9, "{mass}");
        }
        assert!(chart.at_altitude(m(1e5)).is_err());
    }

    fn cube() -> Chart<Length> {
        let values = [300.0, 330.0, 360.0, 400.0, 420.0, 460.0, 510.0, 570.0].map(m);
        Chart::new(
            &[kg(900.0), kg(1100.0)],
            &[m(0.0), m(1000.0)],
            &[degc(0.0), degc(20.0)],
            &values,
        )
        .unwrap()
    }

    /// PHAK: 1 115 ft at 2 000 ft and 1 230 ft at 3 000 ft give 1 172.5 ft at 2 500 ft.
    #[test]
    fn phak_ground_roll_between_two_altitudes() {
        let ft = |value| Length::of(value, unit::FT);
        let chart =
            Chart::new(&[], &[ft(2000.0), ft(3000.0)], &[], &[ft(1115.0), ft(1230.0)]).unwrap();
        let point = Conditions { pressure_altitude: ft(2500.0), ..at(1000.0, 0.0, 20.0) };
        let read = chart.read(&point, "ground roll", &mut Silent).unwrap();
        assert!((read.value.count(unit::FT) - 1172.5).abs() < 1e-9);
    }

    /// Exact: with shares 1/4, 1/2 and 3/4 the eight weights are n/32.
    #[test]
    fn three_axes_equal_exact_arithmetic() {
        let read = cube().read(&at(950.0, 500.0, 15.0), "run", &mut Silent).unwrap();
        let exact = (3.0 * (300.0 + 3.0 * 330.0)
            + 3.0 * (360.0 + 3.0 * 400.0)
            + (420.0 + 3.0 * 460.0)
            + (510.0 + 3.0 * 570.0))
            / 32.0;
        assert!((read.value.value - exact).abs() < 1e-9, "{} {exact}", read.value.value);
    }

    #[test]
    fn below_the_chart_holds_its_first_line_and_says_so() {
        let read = cube().read(&at(800.0, -50.0, -10.0), "run", &mut Silent).unwrap();
        assert!((read.value.value - 300.0).abs() < 1e-9);
        assert_eq!(read.held, Held { mass: true, pressure_altitude: true, temperature: true });
        assert!(read.held.remark().unwrap().contains("coldest"));
    }

    #[test]
    fn working_names_only_the_axes_of_the_chart_and_what_was_held() {
        let chart = Chart::new(&[], &[], &[degc(0.0), degc(20.0)], &[m(300.0), m(340.0)]).unwrap();
        let mut working = crate::trace::Working::default();
        chart.read(&at(0.0, 0.0, -5.0), "run", &mut working).unwrap();
        let symbols: Vec<_> = working.steps[0].with.iter().map(|named| named.symbol).collect();
        assert_eq!(symbols, ["temperature"]);
        let cold = at(1000.0, 0.0, -5.0);
        assert_eq!(cube().held(&cold), Held { temperature: true, ..Held::default() });
        let mut working = crate::trace::Working::default();
        let (one, most) = (Ratio::from_si(1.0), m(360.0));
        greatest_mass(&cube(), m(0.0), degc(-5.0), one, Sense::AtMost, most, &mut working).unwrap();
        assert!(working.steps[0].remark.as_ref().unwrap().contains("coldest"));
    }

    #[test]
    fn beyond_the_chart_has_no_value() {
        let chart = cube();
        for (point, axis) in [
            (at(1100.1, 0.0, 0.0), Axis::Mass),
            (at(1000.0, 1000.1, 0.0), Axis::PressureAltitude),
            (at(1000.0, 0.0, 20.1), Axis::Temperature),
            (at(f64::NAN, 0.0, 0.0), Axis::Mass),
            (at(1000.0, f64::INFINITY, 0.0), Axis::PressureAltitude),
        ] {
            assert_eq!(chart.read(&point, "run", &mut Silent).unwrap_err(), Beyond(axis));
            assert_eq!(chart.beyond(&point), Some(Beyond(axis)));
        }
        assert!(chart.read(&at(1100.0, 1000.0, 20.0), "run", &mut Silent).is_ok());
    }

    #[test]
    fn grids_that_are_no_chart_are_named() {
        let two = [kg(900.0), kg(1100.0)];
        for (masses, values, error) in [
            (
                &[kg(1100.0), kg(900.0)][..],
                &[m(1.0), m(2.0)][..],
                ChartError::NotRising(Axis::Mass, 1),
            ),
            (&[kg(900.0), kg(900.0)], &[m(1.0), m(2.0)], ChartError::NotRising(Axis::Mass, 1)),
            (&[kg(f64::NAN)], &[m(1.0)], ChartError::NotRising(Axis::Mass, 0)),
            (&two, &[m(1.0)], ChartError::WrongCount { wanted: 2, found: 1 }),
            (&two, &[m(1.0), m(f64::NAN)], ChartError::BadValue(1)),
        ] {
            assert_eq!(Chart::new(masses, &[], &[], values), Err(error));
        }
    }

    #[test]
    fn greatest_mass_names_every_outcome() {
        let chart = cube();
        let ask = |bound| {
            greatest_mass(
                &chart,
                m(0.0),
                degc(0.0),
                Ratio::from_si(1.0),
                Sense::AtMost,
                m(bound),
                &mut Silent,
            )
            .unwrap()
        };
        assert_eq!(ask(299.0), GreatestMass::None);
        assert_eq!(ask(420.0), GreatestMass::WholeChart(kg(1100.0)));
        // Exact: 300 to 420 m over 200 kg; 360 m is half way.
        assert_eq!(ask(360.0), GreatestMass::Some(kg(1000.0)));
    }

    prop_compose! {
        /// A chart that rises along every axis, as distances do.
        fn rising_chart()(
            masses in prop::collection::vec(20.0..200.0f64, 1..6),
            altitudes in prop::collection::vec(100.0..900.0f64, 1..5),
            temperatures in prop::collection::vec(5.0..20.0f64, 1..5),
            steps in prop::collection::vec(1.0..80.0f64, 150),
        ) -> (Chart<Length>, f64) {
            let run = |start: f64, steps: &[f64]| -> Vec<f64> {
                steps.iter().scan(start, |sum, step| { *sum += step; Some(*sum) }).collect()
            };
            let (a, b, c) = (run(700.0, &masses), run(-100.0, &altitudes), run(-20.0, &temperatures));
            let mut values = vec![0.0; a.len() * b.len() * c.len()];
            let index = |i: usize, j: usize, k: usize| (i * b.len() + j) * c.len() + k;
            for i in 0..a.len() {
                for j in 0..b.len() {
                    for k in 0..c.len() {
                        let mut below: f64 = 200.0;
                        if i > 0 { below = below.max(values[index(i - 1, j, k)]); }
                        if j > 0 { below = below.max(values[index(i, j - 1, k)]); }
                        if k > 0 { below = below.max(values[index(i, j, k - 1)]); }
                        values[index(i, j, k)] = below + steps[index(i, j, k) % steps.len()];
                    }
                }
            }
            let middle = values[values.len() / 2];
            let chart = Chart::new(
                &a.iter().map(|v| kg(*v)).collect::<Vec<_>>(),
                &b.iter().map(|v| m(*v)).collect::<Vec<_>>(),
                &c.iter().map(|v| degc(*v)).collect::<Vec<_>>(),
                &values.iter().map(|v| m(*v)).collect::<Vec<_>>(),
            ).unwrap();
            (chart, middle)
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1000))]

        /// The exact inverse against bisection on the forward reading.
        #[test]
        fn greatest_mass_agrees_with_bisection(
            (chart, middle) in rising_chart(), altitude in -300.0..2000.0f64,
            temperature in -30.0..45.0f64, factor in 1.0..2.0f64, room in 0.6..1.8f64,
        ) {
            let bound = middle * room;
            let forward = |mass: f64| {
                chart.read(&at(mass, altitude, temperature), "run", &mut Silent)
                    .map(|read| read.value.value * factor)
            };
            let answer = greatest_mass(
                &chart, m(altitude), degc(temperature), Ratio::from_si(factor), Sense::AtMost,
                m(bound), &mut Silent,
            );
            let heaviest = chart.heaviest().unwrap().value;
            match (answer, forward(heaviest)) {
                (Err(beyond), Err(same)) => prop_assert_eq!(beyond, same),
                (Ok(answer), Ok(at_heaviest)) => {
                    if at_heaviest <= bound {
                        prop_assert_eq!(answer, GreatestMass::WholeChart(kg(heaviest)));
                        return Ok(());
                    }
                    if forward(0.0).unwrap() > bound {
                        prop_assert_eq!(answer, GreatestMass::None);
                        return Ok(());
                    }
                    let (mut low, mut high) = (0.0, heaviest);
                    while high - low > 1e-4 {
                        let mid = f64::midpoint(low, high);
                        if forward(mid).unwrap() <= bound { low = mid } else { high = mid }
                    }
                    let GreatestMass::Some(mass) = answer else {
                        return Err(TestCaseError::fail(format!("{answer:?}, bisection {low}")));
                    };
                    prop_assert!((mass.value - low).abs() < 0.1, "{} {}", mass.value, low);
                }
                (answer, forward) => prop_assert!(false, "{answer:?} {forward:?}"),
            }
        }

        /// More mass, height or heat never shortens a run on a rising chart.
        #[test]
        fn more_of_anything_never_shortens_a_run(
            (chart, _) in rising_chart(), mass in 600.0..1300.0f64, altitude in -300.0..2000.0f64,
            temperature in -30.0..45.0f64, more in 0.0..100.0f64, axis in 0usize..3,
        ) {
            let step = |on: usize| if on == axis { more } else { 0.0 };
            let less = at(mass, altitude, temperature);
            let greater = at(mass + step(0), altitude + step(1), temperature + step(2));
            if let (Ok(less), Ok(greater)) = (
                chart.read(&less, "run", &mut Silent), chart.read(&greater, "run", &mut Silent),
            ) {
                prop_assert!(greater.value.value >= less.value.value - 1e-9);
            }
        }
    }
}
