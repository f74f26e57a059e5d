//! The aeroplane on a strip: charts of the manual, and the factor that strip, wind and pack
//! put on each distance.

use stillprop_calc::{
    quantity::{Angle, FromAmount, Length, Ratio, Velocity},
    strip::{correction, counted_wind},
    table::Chart,
    trace::{Step, Trace},
    unit,
    wind::{Wind, runway_wind},
};
use stillprop_rules::situation::Surface;

use super::{Figure, Figures, Setting, Unknown, words};
use crate::{
    document::aircraft::{Cause, Distance},
    weather::{SurfaceWind, Weather},
};

/// Charts and corrections of the manual.
#[derive(Clone, Debug)]
pub struct Performance {
    /// Ground run.
    pub take_off_run: Option<Chart<Length>>,
    /// To 50 ft.
    pub take_off_distance: Option<Chart<Length>>,
    /// Accelerate and stop.
    pub accelerate_stop: Option<Chart<Length>>,
    /// From 50 ft.
    pub landing_distance: Option<Chart<Length>>,
    /// Rate of climb.
    pub climb: Option<Chart<Velocity>>,
    /// Speed of that climb.
    pub climb_speed: Option<Velocity>,
    /// Speed at lift-off.
    pub lift_off_speed: Option<Velocity>,
    /// Speed at touch-down.
    pub landing_speed: Option<Velocity>,
    /// Surface of the charts.
    pub surface: Option<Surface>,
    /// Corrections of the manual.
    pub corrections: Vec<Correction>,
    /// Greatest crosswind.
    pub crosswind: Setting<Velocity>,
    /// Greatest tailwind.
    pub tailwind: Setting<Velocity>,
}

/// A correction of the manual, its amounts read.
#[derive(Clone, Debug)]
pub struct Correction {
    /// Distances it applies to.
    pub on: Vec<Distance>,
    /// What it is for.
    pub cause: Cause,
    /// Change of the distance.
    pub change: Ratio,
    /// For each so much, in SI; 1 for a surface.
    pub per: f64,
    /// The most it is used for, in SI.
    pub up_to: Option<f64>,
    /// The surface.
    pub surface: Option<Surface>,
    /// For a wet one.
    pub wet: bool,
}

/// A direction of a strip on the day.
#[derive(Clone, Debug)]
pub struct Way {
    /// Name.
    pub name: String,
    /// True direction; unknown when magnetic without variation.
    pub bearing: Result<Angle, Unknown>,
    /// Take-off run available.
    pub tora: Setting<Length>,
    /// Take-off distance available.
    pub toda: Setting<Length>,
    /// Accelerate-stop distance available.
    pub asda: Setting<Length>,
    /// Landing distance available.
    pub lda: Setting<Length>,
    /// Slope, rising positive.
    pub slope: Option<Ratio>,
    /// Surface.
    pub surface: Option<Surface>,
    /// Obstacles: name, distance from the start, height above it.
    pub obstacles: Vec<(String, Length, Length)>,
    /// Wind on the day.
    pub wind: Result<Components, Unknown>,
    /// The pack's factors for this surface on the day: take-off, landing.
    pub surface_figures: [Figure<Ratio>; 2],
    /// Factor on each distance on the day, in the order of [`DISTANCES`].
    pub factors: [Result<Ratio, Unknown>; 4],
}

/// The distances in the order of [`Way::factors`].
pub const DISTANCES: [Distance; 4] = [
    Distance::TakeOffRun,
    Distance::TakeOffDistance,
    Distance::AccelerateStop,
    Distance::LandingDistance,
];

impl Way {
    /// The prepared factor on a distance.
    pub fn factor(&self, on: Distance) -> &Result<Ratio, Unknown> {
        &self.factors[on as usize]
    }

    /// Wind and factors of other weather on the same surface.
    pub(super) fn blow(&mut self, weather: &Weather, performance: &Performance, figures: &Figures) {
        self.wind = components(&self.bearing, weather.wind, &mut stillprop_calc::trace::Silent);
        self.factors = DISTANCES.map(|on| {
            factor(on, self, weather, performance, figures, &mut stillprop_calc::trace::Silent)
        });
    }

    /// The same for some distances only; the others keep the factor of the weather before.
    pub(super) fn blow_on(
        &mut self,
        on: &[Distance],
        weather: &Weather,
        performance: &Performance,
        figures: &Figures,
    ) {
        self.wind = components(&self.bearing, weather.wind, &mut stillprop_calc::trace::Silent);
        for on in on {
            let silent = &mut stillprop_calc::trace::Silent;
            self.factors[*on as usize] = factor(*on, self, weather, performance, figures, silent);
        }
    }
}

/// The wind along and across a direction, each at its worst.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Components {
    /// Mean headwind; negative is a tailwind, then with the gust.
    pub head: Velocity,
    /// Crosswind with the gust, whichever side.
    pub cross: Velocity,
}

/// Wind on a direction: gusts count across and from behind, never from ahead; a variable
/// wind may blow from anywhere.
///
/// # Errors
///
/// What is missing, in words.
pub fn components(
    bearing: &Result<Angle, Unknown>,
    wind: Option<SurfaceWind>,
    trace: &mut impl Trace,
) -> Result<Components, Unknown> {
    let wind = wind.ok_or("the surface wind is not given")?;
    let strongest = wind.strongest();
    let Some(from) = wind.from else {
        return Ok(Components { head: -strongest, cross: strongest });
    };
    let runway = bearing.clone()?;
    let across =
        |speed| runway_wind(runway, Wind { from, speed }, &mut stillprop_calc::trace::Silent);
    let mean = runway_wind(runway, Wind { from, speed: wind.speed }, trace)
        .map_err(|error| error.to_string())?;
    let gusty = across(strongest).map_err(|error| error.to_string())?;
    let head = if mean.head.value < 0.0 { gusty.head } else { mean.head };
    Ok(Components { head, cross: gusty.cross.abs() })
}

/// The manual and the pack, as a factor needs them.
#[derive(Clone, Copy)]
struct Books<'a> {
    performance: &'a Performance,
    figures: &'a Figures,
}

/// The product of all factors on a distance: corrections of the manual first, figures of the
/// pack where the manual is silent, then the pack's safety factor.
///
/// # Errors
///
/// The first thing that is not known, in words. A missing credit is no credit; a missing
/// charge is unknown.
pub fn factor(
    on: Distance,
    way: &Way,
    weather: &Weather,
    performance: &Performance,
    figures: &Figures,
    trace: &mut impl Trace,
) -> Result<Ratio, Unknown> {
    let books = Books { performance, figures };
    let landing = on == Distance::LandingDistance;
    let product = Ratio::from_si(1.0)
        * wind_factor(on, way, books, trace)?
        * slope_factor(on, way, books, trace)?
        * surface_factor(on, way, weather, books, trace)?;
    let safety =
        if landing { &books.figures.landing_factor } else { &books.figures.take_off_factor };
    let safety = safety.as_ref().map_err(Clone::clone)?;
    trace.step(|| safety.step("safety factor of the pack", "f"));
    Ok(product * safety.value)
}

fn manual<'a>(
    books: Books<'a>,
    on: Distance,
    cause: Cause,
) -> impl Iterator<Item = &'a Correction> {
    let fits = move |c: &&Correction| c.cause == cause && c.on.contains(&on);
    books.performance.corrections.iter().filter(fits)
}

const ONE: fn() -> Ratio = || Ratio::from_si(1.0);

fn wind_factor(
    on: Distance,
    way: &Way,
    books: Books<'_>,
    trace: &mut impl Trace,
) -> Result<Ratio, Unknown> {
    let head = way.wind.clone()?.head;
    let calm = head.value.abs() < 1e-9;
    if calm {
        return Ok(ONE());
    }
    if head.value > 0.0 {
        // No credit without a rule that gives one, nor without a correction in the manual.
        let Ok(credit) = &books.figures.headwind_credit else { return Ok(ONE()) };
        let Some(found) = manual(books, on, Cause::Headwind).next() else { return Ok(ONE()) };
        trace.step(|| credit.step("headwind credit of the pack", "credit"));
        let counted = counted_wind(head, credit.value, ONE(), trace).map_err(words)?;
        let used = found.up_to.map_or(counted.value, |most| counted.value.min(most));
        return correction(
            "headwind, manual",
            found.change,
            Ratio::from_si(used / found.per),
            trace,
        )
        .map_err(words);
    }
    let charge = books.figures.tailwind_charge.as_ref().map_err(Clone::clone)?;
    trace.step(|| charge.step("tailwind charge of the pack", "charge"));
    let tail = -counted_wind(head, ONE(), charge.value, trace).map_err(words)?;
    if let Some(found) = manual(books, on, Cause::Tailwind).next() {
        // The manual's bound is on the wind there is, not on the wind that is charged.
        if found.up_to.is_some_and(|most| -head.value > most) {
            return Err("the tailwind is beyond what the manual corrects for".into());
        }
        let steps = Ratio::from_si(tail.value / found.per);
        return correction("tailwind, manual", found.change, steps, trace).map_err(words);
    }
    tailwind_of_pack(on, tail, books, trace)
}

/// The pack's figure is for each 10 % of the speed at lift-off or touch-down.
fn tailwind_of_pack(
    on: Distance,
    tail: Velocity,
    books: Books<'_>,
    trace: &mut impl Trace,
) -> Result<Ratio, Unknown> {
    let p = books.performance;
    let (figure, speed) = if on == Distance::LandingDistance {
        (&books.figures.tailwind_landing, p.landing_speed)
    } else {
        (&books.figures.tailwind_take_off, p.lift_off_speed)
    };
    let figure = figure
        .as_ref()
        .map_err(|why| format!("the manual has no tailwind correction, and {why}"))?;
    let speed = speed.ok_or("the manual's lift-off or landing speed is not given")?;
    trace.step(|| figure.step("tailwind figure of the pack", "change"));
    correction("tailwind, pack", figure.value, tail / (speed * 0.1), trace).map_err(words)
}

fn slope_factor(
    on: Distance,
    way: &Way,
    books: Books<'_>,
    trace: &mut impl Trace,
) -> Result<Ratio, Unknown> {
    let slope = way.slope.ok_or_else(|| format!("the slope of {} is not given", way.name))?;
    let landing = on == Distance::LandingDistance;
    let cause = if slope.value >= 0.0 { Cause::Upslope } else { Cause::Downslope };
    let grade = Ratio::from_si(slope.value.abs());
    if grade.value < 1e-12 {
        return Ok(ONE());
    }
    if let Some(found) = manual(books, on, cause).next() {
        let beyond = found.up_to.filter(|most| grade.value > *most);
        // Help is counted as far as the manual goes; hindrance beyond it is not known.
        let counted = match beyond {
            Some(_) if found.change.value > 0.0 => {
                return Err("the slope is beyond what the manual corrects for".into());
            }
            Some(most) => most,
            None => grade.value,
        };
        let steps = Ratio::from_si(counted / found.per);
        return correction("slope, manual", found.change, steps, trace).map_err(words);
    }
    // Uphill on landing and downhill on take-off help; without the manual nothing is counted.
    let hinders = landing == (slope.value < 0.0);
    if !hinders {
        return Ok(ONE());
    }
    let figure =
        if landing { &books.figures.downslope_landing } else { &books.figures.upslope_take_off };
    let figure =
        figure.as_ref().map_err(|why| format!("the manual has no slope correction, and {why}"))?;
    trace.step(|| figure.step("slope figure of the pack, for each 1 %", "change"));
    let steps = Ratio::from_si(grade.count(unit::PERCENT));
    correction("slope, pack", figure.value, steps, trace).map_err(words)
}

fn surface_factor(
    on: Distance,
    way: &Way,
    weather: &Weather,
    books: Books<'_>,
    trace: &mut impl Trace,
) -> Result<Ratio, Unknown> {
    let surface = way.surface.ok_or_else(|| format!("the surface of {} is not given", way.name))?;
    let wet = weather.wet.ok_or("it is not said whether the strip is wet")?;
    let measured_on =
        books.performance.surface.ok_or("the surface of the manual's charts is not given")?;
    if surface == measured_on && !wet {
        return Ok(ONE());
    }
    let exact = manual(books, on, Cause::Surface)
        .find(|c| c.wet == wet && c.surface.is_none_or(|s| s == surface));
    if let Some(found) = exact {
        return correction("surface, manual", found.change, ONE(), trace).map_err(words);
    }
    let figure = way.surface_figures[usize::from(on == Distance::LandingDistance)]
        .as_ref()
        .map_err(|why| format!("the manual has no correction for this surface, and {why}"))?;
    trace.step(|| figure.step("surface factor of the pack", "k"));
    Ok(figure.value)
}

/// The gradient that clears every obstacle from 50 ft above the ground at the end of the
/// take-off distance `used`; none when an obstacle stands inside it.
///
/// Formula: `(h - 50 ft - slope used) / (d - used)`, plain geometry. Heights are above the
/// start of the run, and on a strip that falls the end of the take-off distance lies lower.
/// The slope is taken to go on that far.
///
/// # Errors
///
/// The name of the obstacle that stands inside the take-off distance.
pub fn obstacle_gradient<'a>(
    way: &'a Way,
    used: Length,
    trace: &mut impl Trace,
) -> Result<Ratio, &'a str> {
    let slope = way.slope.unwrap_or_else(|| Ratio::from_si(0.0));
    let screen = Length::of(50.0, unit::FT) + used * slope;
    let mut steepest = Ratio::from_si(0.0);
    for (what, distance, height) in &way.obstacles {
        let stands_up = height.value > 0.0 || slope.value < 0.0;
        if *distance <= used && stands_up {
            return Err(what);
        }
        if *distance <= used {
            continue;
        }
        let gradient = (*height - screen) / (*distance - used);
        trace.step(|| {
            Step::new(
                format!("gradient over {what}"),
                "(h - 50 ft - slope * take-off distance) / (d - take-off distance)",
            )
            .with("h", *height)
            .with("slope", slope)
            .with("along", *distance)
            .with("take-off distance", used)
            .gives("gradient", gradient)
            .from(stillprop_calc::source::PLANE_GEOMETRY)
        });
        steepest = if gradient > steepest { gradient } else { steepest };
    }
    Ok(steepest)
}

#[cfg(test)]
mod tests {
    use stillprop_calc::trace::Silent;

    use super::*;

    fn way(slope: f64, obstacles: &[(&str, f64, f64)]) -> Way {
        let none = || Err(Unknown::new());
        Way {
            name: "15".into(),
            bearing: Err(Unknown::new()),
            tora: Setting::Missing,
            toda: Setting::Missing,
            asda: Setting::Missing,
            lda: Setting::Missing,
            slope: Some(Ratio::from_si(slope)),
            surface: None,
            obstacles: obstacles
                .iter()
                .map(|(what, distance, height)| {
                    ((*what).into(), Length::from_si(*distance), Length::from_si(*height))
                })
                .collect(),
            wind: Err(Unknown::new()),
            surface_figures: [none(), none()],
            factors: std::array::from_fn(|_| Err(Unknown::new())),
        }
    }

    /// Exact: (60 - 15.24) / (1000 - 600) = 0.1119 on the level.
    #[test]
    fn gradient_over_an_obstacle_equals_exact_arithmetic() {
        let used = Length::from_si(600.0);
        let level = way(0.0, &[("ridge", 1000.0, 60.0)]);
        let gradient = obstacle_gradient(&level, used, &mut Silent).unwrap();
        assert!((gradient.value - 0.1119).abs() < 1e-12);
        // The ground falls 10 %: at 600 m it lies 60 m lower, so the ridge stands that much up.
        let falling = way(-0.1, &[("ridge", 1000.0, 60.0)]);
        let gradient = obstacle_gradient(&falling, used, &mut Silent).unwrap();
        assert!((gradient.value - 0.2619).abs() < 1e-12);
    }

    #[test]
    fn a_low_obstacle_inside_the_take_off_distance_is_named() {
        let used = Length::from_si(600.0);
        let wires = way(0.0, &[("wires", 350.0, 15.0)]);
        assert_eq!(obstacle_gradient(&wires, used, &mut Silent), Err("wires"));
    }
}
