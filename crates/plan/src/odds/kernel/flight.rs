//! Legs and ladder: what each draw of wind and burn takes in time and fuel.

use stillprop_calc::{
    fuel::{BURN, DISTANCE, TIME},
    quantity::{FromAmount, Velocity},
    trace::Silent,
    unit,
    wind::{WIND_SPEED, over_ground},
};
use stillprop_turnaround::stage::{Stage, flight};

use super::super::{
    lanes::{LANES, Row, greater, lesser},
    spread::Subject,
    trial::components,
};
use super::{Work, draws::Draws, guard};

#[derive(Clone, Debug)]
pub(super) struct Flight {
    pub(super) legs: Vec<Leg>,
    climb_time: f64,
    climbed: f64,
    climb_fuel: f64,
    taxi_time: f64,
    taxi: f64,
    share: f64,
    /// Fuel to the alternate without its climb, which the burn does not change; and that climb.
    alternate: [f64; 2],
    holding_time: f64,
    holding: f64,
    reserve: f64,
    extra: f64,
    /// Factors on the burn between which every burn is accepted.
    factors: [f64; 2],
}

#[derive(Clone, Debug)]
pub(super) struct Leg {
    distance: f64,
    tas: f64,
    burn: f64,
    stop: f64,
    wind: Aloft,
    /// Fuel used up to its landing, as typed.
    pub(super) used: f64,
}

#[derive(Clone, Copy, Debug)]
enum Aloft {
    /// Towards east and north, and sine and cosine of the track.
    Drawn([f64; 2], [f64; 2]),
    /// From ahead.
    Head(f64),
}

/// What a leg takes in each draw.
#[derive(Clone, Debug)]
pub(super) struct LegRows {
    /// Time in the air.
    pub(super) time: Row,
    /// From chocks off here to its landing.
    pub(super) lands: Row,
    /// Fuel used up to there.
    pub(super) used: Row,
}

#[derive(Clone, Debug)]
pub(super) struct Rows {
    pub(super) legs: Vec<LegRows>,
    factor: Row,
    trip: Row,
    pub(super) required: Row,
    pub(super) reserve: Row,
    pub(super) alternate: Row,
}

impl Rows {
    pub(super) fn with_room(flight: Option<&Flight>) -> Self {
        let none = Row::all(0.0);
        let leg = LegRows { time: none, lands: none, used: none };
        let legs = vec![leg; flight.map_or(0, |flight| flight.legs.len())];
        Self { legs, factor: none, trip: none, required: none, reserve: none, alternate: none }
    }
}

impl Flight {
    /// `None` where it cannot be said whether a draw has a plan; `Some(None)` where none has.
    pub(super) fn of(stage: &Stage) -> Option<Option<Self>> {
        let (onward, figures) = (&stage.onward, &stage.figures);
        let Ok(plan) = &stage.plan else {
            let known = |leg: &flight::Leg| leg.course.is_ok() && leg.wind.is_some();
            let never = onward.legs.is_empty()
                || !onward.legs.iter().all(known)
                || figures.contingency.is_err()
                || figures.final_reserve.is_err();
            return never.then_some(None);
        };
        let burn = &stage.documents.aircraft.burn;
        let hold = burn.hold.value.si();
        let climb = burn.climb.as_ref().map_or([0.0; 3], |climb| {
            [climb.time.value.si(), climb.distance.value.si(), climb.fuel.value.si()]
        });
        let legs: Option<Vec<Leg>> = onward
            .legs
            .iter()
            .zip(&plan.legs)
            .map(|(leg, planned)| Leg::of(leg, planned))
            .collect();
        let legs = legs?;
        let alternate = match &onward.alternate {
            None => [0.0; 2],
            Some(leg) => {
                [flight::takes(leg, burn, &mut Silent).ok()?.fuel.si() - climb[2], climb[2]]
            }
        };
        let burns = || legs.iter().map(|leg| leg.burn);
        let (least, most) = (burns().fold(hold, f64::min), burns().fold(hold, f64::max));
        let litre = |count: f64| unit::L_H.si_of(count);
        Some(Some(Self {
            climb_time: climb[0],
            climbed: climb[1],
            climb_fuel: climb[2],
            taxi_time: burn.taxi_time.value.si(),
            taxi: burn.start_and_taxi.value.si(),
            share: figures.contingency.as_ref().ok()?.value.si(),
            alternate,
            holding_time: onward.holding.si(),
            holding: onward.holding.si() * hold,
            reserve: figures.final_reserve.as_ref().ok()?.value.si() * most,
            extra: onward.extra.si(),
            factors: [litre(BURN.min) / least, litre(BURN.max) / most],
            legs,
        }))
    }

    /// Reckons them.
    #[inline(always)]
    pub(super) fn judge(&self, draws: &Draws, normals: &[Row], work: &mut Work) {
        let Work { flight, guard: least, .. } = work;
        let Rows { legs, factor, trip, required, reserve, alternate } = flight;
        draws.around(Subject::Burn, normals, 1.0, factor, |drawn| greater(drawn, 0.1));
        let [low, high] = self.factors;
        guard(least, |lane| lesser(factor[lane] / low - 1.0, 1.0 - factor[lane] / high));
        trip.set(|_| 0.0);
        let (mut elapsed, mut used) = (Row::all(0.0), Row::all(0.0));
        for (index, (leg, rows)) in self.legs.iter().zip(legs.iter_mut()).enumerate() {
            leg.time(self, (draws, index), normals, (&mut rows.time, least));
            let cruise = |lane: usize| rows.time[lane] - self.climb_time;
            trip.change(|lane, sum| {
                sum + (self.climb_fuel + cruise(lane) * leg.burn) * factor[lane]
            });
            used.change(|lane, sum| {
                sum + self.taxi + (self.climb_fuel + cruise(lane) * leg.burn) * factor[lane]
            });
            elapsed.change(|lane, sum| sum + self.taxi_time + rows.time[lane]);
            rows.lands = elapsed;
            rows.used = used;
            elapsed.change(|_, sum| sum + leg.stop);
        }
        if let Some(last) = legs.last_mut() {
            last.lands.change(|_, lands| lands + self.holding_time);
            last.used.change(|lane, used| used + self.holding * factor[lane]);
        }
        reserve.set(|lane| self.reserve * factor[lane]);
        alternate.set(|lane| self.alternate[0] + self.alternate[1] * factor[lane]);
        #[expect(clippy::cast_precision_loss, reason = "a handful of legs")]
        let taxi = self.taxi * self.legs.len() as f64;
        required.set(|lane| {
            taxi + trip[lane] * (1.0 + self.share)
                + alternate[lane]
                + self.holding * factor[lane]
                + reserve[lane]
                + self.extra
        });
        // Beyond it no share of the trip is reckoned.
        guard(least, |lane| 1.0 - trip[lane] / 49.0);
    }
}

impl Leg {
    fn of(leg: &flight::Leg, planned: &flight::LegPlan) -> Option<Self> {
        let (distance, track) = *leg.course.as_ref().ok()?;
        DISTANCE.check(distance).ok()?;
        let wind = leg.wind?;
        let (sin, cos) = track.si().sin_cos();
        let wind = match components(wind) {
            Some(towards) => Aloft::Drawn(towards, [sin, cos]),
            None => Aloft::Head(wind.speed.si()),
        };
        Some(Self {
            distance: distance.si(),
            tas: leg.tas.si(),
            burn: leg.burn.si(),
            stop: leg.stop.si(),
            wind,
            used: planned.used.si(),
        })
    }

    /// Time in the air.
    #[inline(always)]
    fn time(
        &self,
        flight: &Flight,
        (draws, index): (&Draws, usize),
        normals: &[Row],
        (time, least): (&mut Row, &mut Row),
    ) {
        let knots = |count: f64| Velocity::of(count, unit::KT).si();
        let (slow, fast, gale) = (knots(1.001), knots(599.0), knots(0.99 * WIND_SPEED.max));
        let most = 0.99 * TIME.unit.si_of(TIME.max);
        let mut reckon = |lane: usize, head: f64, cross: f64| {
            let [tas, ahead, across] = [self.tas, head, cross].map(Velocity::from_si);
            let ground = over_ground(tas, ahead, across).value;
            let level = flight::in_cruise([
                self.distance,
                self.tas,
                ground,
                flight.climb_time,
                flight.climbed,
            ]);
            let cruise = level / ground;
            time.0[lane] = flight.climb_time + cruise;
            let steady = lesser(ground / slow - 1.0, 1.0 - ground / fast);
            let flown = lesser(1.0 - cross.abs() / self.tas, 1.0 - cruise / most);
            let wind = 1.0 - (head * head + cross * cross) / (gale * gale);
            least.0[lane] = lesser(lesser(lesser(steady, flown), wind), least.0[lane]);
        };
        match (self.wind, draws.get(Subject::WindAloft(index))) {
            (Aloft::Head(head), _) => (0..LANES).for_each(|lane| reckon(lane, head, 0.0)),
            (Aloft::Drawn([east, north], [sin, cos]), draw) => {
                let (e, n, by) = match draw {
                    Some(draw) => (&normals[draw.row], &normals[draw.row + 1], draw.deviation),
                    None => (&Row::ZERO, &Row::ZERO, 0.0),
                };
                for lane in 0..LANES {
                    let (east, north) = (east + by * e[lane], north + by * n[lane]);
                    reckon(lane, -(east * sin + north * cos), north * sin - east * cos);
                }
            }
        }
    }
}
