//! One draw worked into a stage and a choice, so that the limits themselves can judge it.

use stillprop_calc::{
    quantity::{Angle, FromAmount, Mass, ThermodynamicTemperature, Velocity, Volume},
    trace::Silent,
};
use stillprop_turnaround::{
    stage::{Air, Choice, Stage, flight},
    weather::SurfaceWind,
};

use super::{Model, spread, spread::Subject};

/// A wind towards east and north; `None` when it has no direction.
pub(super) fn components(wind: SurfaceWind) -> Option<[f64; 2]> {
    let from = wind.from?.si();
    Some([-wind.speed.si() * from.sin(), -wind.speed.si() * from.cos()])
}

/// A stage and a choice that change with every draw.
pub(super) struct Trial<'a> {
    model: &'a Model,
    pub(super) stage: Stage,
    pub(super) choice: Choice,
    burn: stillprop_turnaround::document::aircraft::Burn,
}

impl<'a> Trial<'a> {
    pub(super) fn of(model: &'a Model) -> Self {
        Self {
            model,
            stage: model.stage.clone(),
            choice: model.choice.clone(),
            burn: model.stage.documents.aircraft.burn.clone(),
        }
    }

    /// Draws every input, in their order, and reckons what follows from them.
    pub(super) fn draw(&mut self, normal: &mut impl FnMut() -> f64) {
        let typed = &self.model.typed;
        let (mut replan, mut aired) = (false, [false; 16]);
        for input in &self.model.inputs {
            let by = input.deviation * normal();
            match input.subject {
                Subject::Person(index) => {
                    if let Some(mass) = typed.people[index] {
                        self.stage.people[index].mass = Ok(positive(mass.si() + by));
                    }
                }
                Subject::Item(index) => {
                    if let Some(mass) = typed.items[index] {
                        self.stage.items[index].mass = Ok(positive(mass.si() + by));
                    }
                }
                Subject::Tank(index) => {
                    let usable = self.stage.tanks[index].usable;
                    self.choice.fuel[index] = typed.fuel[index].map(|fuel| {
                        // What does not go in is not in; too much typed stays too much.
                        let most = usable.si().max(fuel.si());
                        Volume::from_si((fuel.si() + by).clamp(0.0, most))
                    });
                }
                Subject::Burn => {
                    let factor = (1.0 + by).max(0.1);
                    self.burn.hold.value = typed.hold * factor;
                    if let (Some(climb), Some(fuel)) = (&mut self.burn.climb, typed.climb) {
                        climb.fuel.value = fuel * factor;
                    }
                    for (leg, burn) in self.stage.onward.legs.iter_mut().zip(&typed.burns) {
                        leg.burn = *burn * factor;
                    }
                    replan = true;
                }
                Subject::WindAloft(leg) => {
                    let north = input.deviation * normal();
                    if let Some([east_typed, north_typed]) = typed.winds[leg] {
                        let (east, north) = (east_typed + by, north_typed + north);
                        self.stage.onward.legs[leg].wind = Some(SurfaceWind {
                            from: Some(full(-east, -north)),
                            speed: Velocity::from_si(east.hypot(north)),
                            gust: None,
                        });
                    }
                    replan = true;
                }
                Subject::Temperature(spot) => {
                    let air = typed.airs[spot];
                    if let (Some(now), Some(degc)) =
                        (self.air(spot), air.and_then(|a| a.temperature))
                    {
                        let temperature = ThermodynamicTemperature::from_si(degc.value + by);
                        self.set_air(spot, Air { temperature: Some(temperature), ..now });
                    }
                    aired[spot.min(15)] = true;
                }
                Subject::SurfaceWind(spot) => {
                    let turn = spread::WIND_DIRECTION.0 * normal() * input.share();
                    let wind = typed.airs[spot].and_then(|air| air.wind);
                    if let (Some(now), Some(wind)) = (self.air(spot), wind) {
                        let wind = blown(wind, by, turn);
                        self.set_air(spot, Air { wind: Some(wind), ..now });
                    }
                    aired[spot.min(15)] = true;
                }
            }
        }
        for (spot, _) in aired.iter().enumerate().filter(|(_, aired)| **aired) {
            if let Some(air) = self.air(spot) {
                self.stage.drift(spot.checked_sub(1), &self.choice, air);
            }
        }
        if replan {
            self.replan();
        }
    }

    fn replan(&mut self) {
        let Stage { plan, onward, figures, .. } = &mut self.stage;
        if let Ok(known) = plan
            && let Err(why) = flight::replan(known, onward, &self.burn, figures, &mut Silent)
        {
            *plan = Err(why);
        } else if plan.is_err() {
            *plan = flight::plan(onward, &self.burn, figures, &mut Silent);
        }
    }

    fn air(&self, spot: usize) -> Option<Air> {
        let spot = match spot.checked_sub(1) {
            None => Some(&self.stage.here),
            Some(leg) => self.stage.there.get(leg)?.as_ref(),
        };
        spot.map(|spot| Air { temperature: spot.weather.temperature, wind: spot.weather.wind })
    }

    /// Puts it there; the factors follow when every input was drawn.
    fn set_air(&mut self, spot: usize, air: Air) {
        let spot = match spot.checked_sub(1) {
            None => Some(&mut self.stage.here),
            Some(leg) => self.stage.there.get_mut(leg).and_then(Option::as_mut),
        };
        if let Some(spot) = spot {
            (spot.weather.temperature, spot.weather.wind) = (air.temperature, air.wind);
        }
    }
}

fn positive(mass: f64) -> Mass {
    Mass::from_si(mass.max(0.0))
}

/// The direction from which something comes that goes so far east and north.
fn full(east: f64, north: f64) -> Angle {
    Angle::from_si(east.atan2(north).rem_euclid(std::f64::consts::TAU))
}

/// A wind that turned and grew; a gust keeps its distance.
fn blown(wind: SurfaceWind, by: f64, turn: f64) -> SurfaceWind {
    let grown = |speed: Velocity| Velocity::from_si((speed.si() + by).max(0.0));
    let turned = |from: Angle| Angle::from_si((from.si() + turn).rem_euclid(std::f64::consts::TAU));
    SurfaceWind {
        from: wind.from.map(turned),
        speed: grown(wind.speed),
        gust: wind.gust.map(grown),
    }
}
