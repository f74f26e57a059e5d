//! The same stage in other weather: what a forecast changes is reckoned anew, by the functions
//! that reckoned it first; all else stays.

use stillprop_calc::{air, quantity::ThermodynamicTemperature, trace::Silent};

use super::{
    Choice, Documents, Figures, Spot, Stage,
    runway::{DISTANCES, Performance},
};
use crate::{
    document::aircraft::Distance,
    site::Basis,
    weather::{SurfaceWind, Weather},
};

impl Stage {
    /// Puts other weather on this strip and on the destination of each leg; `None` leaves what is
    /// there. Whether a strip is wet does not change here, nor do the winds at cruise.
    pub fn set_weather(&mut self, here: Weather, there: impl Fn(usize) -> Option<Weather>) {
        let Self { performance, figures, documents, ground, .. } = self;
        if self.here.weather != here {
            self.here.take(here, performance, figures);
            if let Ok(site) = &mut self.site {
                site.set_wind(here.wind);
            }
            let Documents { turnaround, aircraft, strip, .. } = documents;
            let weather = &self.here.weather;
            let basis = Basis { turnaround, aircraft, strip, weather, figures: ground };
            self.start.set_air(basis, &self.here);
        }
        for (index, spot) in self.there.iter_mut().enumerate() {
            if let (Some(spot), Some(weather)) = (spot, there(index))
                && spot.weather != weather
            {
                spot.take(weather, performance, figures);
            }
        }
    }
}

impl Stage {
    /// Another temperature and wind on this strip (`None`) or at the end of a leg, for the directions
    /// that a choice uses. Density altitude, site and start stay as they were: no limit of load, fuel,
    /// strip or light looks at them.
    pub fn drift(&mut self, leg: Option<usize>, choice: &Choice, air: Air) {
        let Self { performance, figures, here, there, landing_way, back_here, .. } = self;
        let (leaving, landing) = DISTANCES.split_at(3);
        let mut used: [Option<(usize, &[Distance])>; 2] = [None; 2];
        let spot = match leg {
            None => {
                used = [Some((choice.take_off, leaving)), back_here.map(|way| (way, landing))];
                Some(here)
            }
            Some(leg) => {
                used[1] = landing_way.get(leg).copied().flatten().map(|way| (way, landing));
                there.get_mut(leg).and_then(Option::as_mut)
            }
        };
        let Some(spot) = spot else { return };
        (spot.weather.temperature, spot.weather.wind) = (air.temperature, air.wind);
        let weather = spot.weather;
        for (way, on) in used.into_iter().flatten() {
            if let Some(way) = spot.ways.get_mut(way) {
                way.blow_on(on, &weather, performance, figures);
            }
        }
    }
}

/// Temperature and wind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Temperature.
    pub temperature: Option<ThermodynamicTemperature>,
    /// Wind.
    pub wind: Option<SurfaceWind>,
}

impl Spot {
    /// Other weather, and what follows from it.
    fn take(&mut self, weather: Weather, performance: &Performance, figures: &Figures) {
        let weather = Weather { wet: self.weather.wet, ..weather };
        self.weather = weather;
        self.pressure_altitude = weather
            .qnh
            .ok_or_else(|| format!("the QNH at {} is not given", self.name))
            .and_then(|qnh| {
                air::pressure_altitude_at(self.elevation, qnh, &mut Silent)
                    .map_err(|error| error.to_string())
            });
        self.density_altitude =
            super::prepare::density_altitude(&weather, self.elevation, &self.name, &mut Silent);
        for way in &mut self.ways {
            way.blow(&weather, performance, figures);
        }
    }
}
