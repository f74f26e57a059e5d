//! The sums of [`crate::table`] and [`crate::strip`] by name.

use super::{Args, Input, Output, Outs, Shape, Sum, SumError};
use crate::{
    air,
    bounds::Bounds,
    load,
    quantity::{FromAmount, Length, Mass, Ratio, ThermodynamicTemperature},
    source,
    strip::{self, GradedFactor},
    table::{self, Axis, Chart, ChartError, Conditions, GreatestMass, Sense},
    trace::Working,
    unit::{KG, KT, M, ONE},
};

impl From<ChartError> for SumError {
    fn from(error: ChartError) -> Self {
        Self::NoAnswer(error.to_string())
    }
}

const PRESSURE_ALTITUDE_BOUNDS: Bounds = Bounds { quantity: "pressure altitude", ..air::HEIGHT };
/// Signed: a tailwind is negative. Ours, as wide as the accepted wind speeds.
const HEADWIND_BOUNDS: Bounds = Bounds::new("headwind", -250.0, 250.0, KT);

const PRESSURE_ALTITUDE: Input = Input::quantity(
    "pressure_altitude",
    PRESSURE_ALTITUDE_BOUNDS,
    "of the strip; when the chart has lines of it",
)
.optional();
const TEMPERATURE: Input =
    Input::quantity("temperature", air::TEMPERATURE, "of the air; when the chart has lines of it")
        .optional();
const MASSES: Input = lines("masses", load::MASS, "lines of mass, rising").optional();
const PRESSURE_ALTITUDES: Input =
    lines("pressure_altitudes", PRESSURE_ALTITUDE_BOUNDS, "lines of pressure altitude, rising")
        .optional();
const TEMPERATURES: Input =
    lines("temperatures", air::TEMPERATURE, "lines of temperature, rising").optional();
const VALUES: Input = lines(
    "values",
    strip::DISTANCE,
    "distances of the chart, by mass, then pressure altitude, then temperature",
);
const CHANGE: Input =
    Input::quantity("change", strip::CHANGE, "change of distance for one step, shorter negative");
const STEPS: Input =
    Input::quantity("steps", strip::STEPS, "how many steps: 6 kt per 12 kt is 0.5");
const FACTOR: Input = Input::quantity("factor", strip::FACTOR, "factor on the distance");

/// Several quantities of the kind of `bounds`, each inside it.
const fn lines(key: &'static str, bounds: Bounds, says: &'static str) -> Input {
    let shape = Shape::Quantities(bounds.unit.kind);
    Input { key, shape, bounds: Some(bounds), required: true, says }
}

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "chart-reading",
        answers: "A distance from the flight manual's grid, interpolated and never extrapolated.",
        inputs: &[
            MASSES,
            PRESSURE_ALTITUDES,
            TEMPERATURES,
            VALUES,
            Input::quantity("mass", load::MASS, "of the aeroplane; when the chart has lines of it")
                .optional(),
            PRESSURE_ALTITUDE,
            TEMPERATURE,
        ],
        outputs: &[
            Output::new("value", M, "the distance; none beyond the chart"),
            Output::other("reading", "inside, held (below a first line) or beyond (no value)"),
            Output::other("remark", "what was held, ignored or is beyond; when anything was"),
        ],
        sources: &[source::PHAK_PERFORMANCE],
        run: chart_reading,
    },
    Sum {
        name: "greatest-mass-for-strip",
        answers: "The greatest mass whose factored distance fits the distance available.",
        inputs: &[
            MASSES,
            PRESSURE_ALTITUDES,
            TEMPERATURES,
            VALUES,
            PRESSURE_ALTITUDE,
            TEMPERATURE,
            Input { says: "all factors together; \"1 1\" without any", ..FACTOR },
            Input::quantity("available", strip::DISTANCE, "distance available"),
        ],
        outputs: &[
            Output::new("mass", KG, "greatest mass; none when the outcome has none"),
            Output::other("outcome", "mass, none, whole chart, any mass or beyond"),
            Output::other("remark", "what was held, ignored or is beyond; when anything was"),
        ],
        sources: &[source::PHAK_PERFORMANCE],
        run: greatest_mass_for_strip,
    },
    Sum {
        name: "correction",
        answers: "The factor of a manual's correction, such as 10 % for each 12 kt.",
        inputs: &[CHANGE, STEPS],
        outputs: &[Output::new("factor", ONE, "factor on the distance")],
        sources: &[source::PHAK_PERFORMANCE],
        run: correction,
    },
    Sum {
        name: "graded-factor",
        answers: "A factor that changes with mass: linear between its points, held at both ends.",
        inputs: &[
            Input::shaped(
                "points",
                Shape::Rows(&[Input::quantity("mass", load::MASS, "mass of the point"), FACTOR]),
                "points, rising in mass",
            ),
            Input::quantity("mass", load::MASS, "mass the rule goes by"),
        ],
        outputs: &[Output::new("factor", ONE, "factor on the distance")],
        sources: &[source::PLANE_GEOMETRY],
        run: graded_factor,
    },
    Sum {
        name: "strip-distance",
        answers: "The distance required: the chart's distance times every factor.",
        inputs: &[
            Input::quantity("chart", strip::DISTANCE, "distance of the chart"),
            Input::shaped(
                "factors",
                Shape::Rows(&[FACTOR.optional(), CHANGE.optional(), STEPS.optional()]),
                "each a factor, or a change with its steps",
            ),
        ],
        outputs: &[
            Output::new("required", M, "distance required"),
            Output::new("factor", ONE, "all factors together"),
        ],
        sources: &[source::PHAK_PERFORMANCE],
        run: strip_distance,
    },
    Sum {
        name: "counted-wind",
        answers: "The wind along the strip that a rule lets count.",
        inputs: &[
            Input::quantity("headwind", HEADWIND_BOUNDS, "along the strip, a tailwind negative"),
            Input::quantity("credit", strip::WIND_SHARE, "share of a headwind that counts"),
            Input::quantity("charge", strip::WIND_SHARE, "share of a tailwind that counts"),
        ],
        outputs: &[Output::new("counted", KT, "headwind that counts, a tailwind negative")],
        sources: &[source::CAT_POL_A_400],
        run: counted_wind,
    },
];

/// The chart, and the axes it has no lines for.
fn chart(args: &Args) -> Result<(Chart<Length>, [bool; 3]), SumError> {
    let masses: Vec<Mass> = args.quantities("masses");
    let altitudes: Vec<Length> = args.quantities("pressure_altitudes");
    let temperatures: Vec<ThermodynamicTemperature> = args.quantities("temperatures");
    let absent = [masses.is_empty(), altitudes.is_empty(), temperatures.is_empty()];
    let chart = Chart::new(&masses, &altitudes, &temperatures, &args.quantities("values"))?;
    Ok((chart, absent))
}

/// A condition the chart has lines for is needed; one it has none for may be given, and is
/// then said to be ignored.
fn condition<Q: FromAmount>(
    args: &Args,
    axis: Axis,
    absent: bool,
    remarks: &mut Vec<String>,
) -> Result<Q, SumError> {
    let key = match axis {
        Axis::Mass => "mass",
        Axis::PressureAltitude => "pressure_altitude",
        Axis::Temperature => "temperature",
    };
    if !absent {
        return args.quantity(key);
    }
    if args.has(key) {
        remarks.push(format!("the chart has no lines of {}: it is ignored", axis.words()));
    }
    Ok(Q::from_si(0.0))
}

fn chart_reading(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (chart, [no_mass, no_altitude, no_temperature]) = chart(args)?;
    let mut remarks = Vec::new();
    let at = Conditions {
        mass: condition(args, Axis::Mass, no_mass, &mut remarks)?,
        pressure_altitude: condition(args, Axis::PressureAltitude, no_altitude, &mut remarks)?,
        temperature: condition(args, Axis::Temperature, no_temperature, &mut remarks)?,
    };
    let (outs, reading) = match chart.read(&at, "distance of the chart", working) {
        Ok(reading) => {
            let outs = Outs::default().put("value", M, reading.value);
            match reading.held.remark() {
                Some(held) => {
                    remarks.push(held);
                    (outs, "held")
                }
                None => (outs, "inside"),
            }
        }
        Err(beyond) => {
            remarks.push(beyond.to_string());
            (Outs::default(), "beyond")
        }
    };
    Ok(put_remarks(outs.word("reading", reading), &remarks))
}

fn greatest_mass_for_strip(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (chart, [_, no_altitude, no_temperature]) = chart(args)?;
    let mut remarks = Vec::new();
    let at = Conditions {
        // No mass is below the chart: the mass is what is asked for.
        mass: chart.heaviest().unwrap_or(Mass::from_si(0.0)),
        pressure_altitude: condition(args, Axis::PressureAltitude, no_altitude, &mut remarks)?,
        temperature: condition(args, Axis::Temperature, no_temperature, &mut remarks)?,
    };
    remarks.extend(chart.held(&at).remark());
    let found = table::greatest_mass(
        &chart,
        at.pressure_altitude,
        at.temperature,
        args.quantity("factor")?,
        Sense::AtMost,
        args.quantity("available")?,
        working,
    );
    let outs = Outs::default();
    let outs = match found {
        Ok(GreatestMass::Some(mass)) => outs.put("mass", KG, mass).word("outcome", "mass"),
        Ok(GreatestMass::WholeChart(mass)) => {
            outs.put("mass", KG, mass).word("outcome", "whole chart")
        }
        Ok(GreatestMass::None) => outs.word("outcome", "none"),
        Ok(GreatestMass::AnyMass) => outs.word("outcome", "any mass"),
        Err(beyond) => {
            remarks.push(beyond.to_string());
            outs.word("outcome", "beyond")
        }
    };
    Ok(put_remarks(outs, &remarks))
}

fn put_remarks(outs: Outs, remarks: &[String]) -> Outs {
    if remarks.is_empty() { outs } else { outs.word("remark", remarks.join("; ")) }
}

fn correction(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (change, steps) = (args.quantity("change")?, args.quantity("steps")?);
    let factor = strip::correction("correction", change, steps, working)?;
    Ok(Outs::default().put("factor", ONE, factor))
}

fn graded_factor(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let points = args
        .rows("points")
        .iter()
        .map(|row| Ok((row.quantity("mass")?, row.quantity("factor")?)))
        .collect::<Result<_, SumError>>()?;
    let graded = GradedFactor::new(points).map_err(|place| SumError::WrongShape {
        key: format!("points[{place}]"),
        wanted: "a point whose mass is above the one before it".into(),
    })?;
    let factor = graded.at(args.quantity("mass")?, working);
    Ok(Outs::default().put("factor", ONE, factor))
}

fn strip_distance(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let mut required: Length = args.quantity("chart")?;
    let mut all = Ratio::from_si(1.0);
    for (place, row) in args.rows("factors").iter().enumerate() {
        let given = (row.optional("factor"), row.optional("change"), row.optional("steps"));
        let factor = match given {
            (Some(factor), None, None) => factor,
            (None, Some(change), Some(steps)) => {
                strip::correction("correction", change, steps, working)?
            }
            _ => {
                let wanted = "either a factor, or a change with its steps".into();
                return Err(SumError::WrongShape { key: format!("factors[{place}]"), wanted });
            }
        };
        required = strip::factored(required, factor, working)?;
        all = all * factor;
    }
    Ok(Outs::default().put("required", M, required).put("factor", ONE, all))
}

fn counted_wind(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (credit, charge) = (args.quantity("credit")?, args.quantity("charge")?);
    let counted = strip::counted_wind(args.quantity("headwind")?, credit, charge, working)?;
    Ok(Outs::default().put("counted", KT, counted))
}
