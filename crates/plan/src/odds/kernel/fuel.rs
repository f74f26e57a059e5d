//! Fuel: what is in the tanks, what is required, what is left, how far the sides differ.

use stillprop_calc::quantity::FromAmount;
use stillprop_turnaround::{
    limits::{Family, Id},
    stage::{Choice, Setting, Stage},
};

use super::super::{
    lanes::{Row, greater, lesser},
    spread::Subject,
};
use super::{
    Book, SHY, Work,
    balance::{groups, spend_least},
    draws::Draws,
    flight::Flight,
};

#[derive(Clone, Debug, Default)]
pub(super) struct Fuel {
    pub(super) tanks: Vec<Tank>,
    required: Option<usize>,
    reserve: Vec<Option<usize>>,
    at_alternate: Option<usize>,
    /// Row and limit of the difference, and which tanks burn together.
    imbalance: Option<(usize, f64, Vec<Vec<usize>>)>,
    /// About what is required, to measure margins by.
    about: f64,
}

#[derive(Clone, Debug)]
pub(super) struct Tank {
    /// Fuel as typed; 0 where it is not known, and then nothing asks for it.
    typed: f64,
    usable: f64,
    side: f64,
    limit: Option<usize>,
}

impl Fuel {
    pub(super) fn of(
        stage: &Stage,
        choice: &Choice,
        flight: Option<&Flight>,
        book: &mut Book,
    ) -> Self {
        let known = choice.fuel.iter().all(Option::is_some);
        let flown = known && flight.is_some();
        let required = book.take(Id::new(Family::Fuel, "required"), flown);
        let document = &stage.documents.turnaround;
        let mut reserve = Vec::new();
        for leg in &document.legs {
            let id = Id::of(Family::Fuel, "final-reserve", &leg.name.value);
            reserve.push(book.take(id, flown));
        }
        let mut at_alternate = None;
        if document.alternate.is_some() {
            let id = Id::of(Family::Fuel, "final-reserve", "alternate");
            at_alternate = book.take(id, flown);
        }
        let mut tanks = Vec::new();
        for (tank, fuel) in stage.tanks.iter().zip(&choice.fuel) {
            let limit = book.take(Id::of(Family::Fuel, "tank", &tank.label), fuel.is_some());
            let typed = fuel.map_or(0.0, FromAmount::si);
            let side = f64::from(tank.side);
            tanks.push(Tank { typed, usable: tank.usable.si(), side, limit });
        }
        let limit = match stage.limits.fuel_imbalance {
            Setting::Is(limit) => Some(limit.si()),
            Setting::Missing | Setting::None => None,
        };
        let varies = known && stage.density.is_ok() && limit.is_some();
        let row = book.take(Id::new(Family::Fuel, "imbalance"), varies);
        let imbalance = row.zip(limit).map(|(row, limit)| (row, limit, groups(stage)));
        book.take(Id::new(Family::Fuel, "grade"), false);
        book.take(Id::new(Family::Fuel, "source"), false);
        let most: f64 = tanks.iter().map(|tank| tank.typed.max(tank.usable)).sum();
        let about = stage.plan.as_ref().map_or(most, |plan| plan.required.si().max(most)).max(1e-6);
        Self { tanks, required, reserve, at_alternate, imbalance, about }
    }

    /// Draws what is in the tanks.
    #[inline(always)]
    pub(super) fn draw(&self, draws: &Draws, normals: &[Row], work: &mut Work) {
        work.aboard.set(|_| 0.0);
        for (index, (tank, row)) in self.tanks.iter().zip(&mut work.fuel).enumerate() {
            let most = tank.usable.max(tank.typed);
            let held = |fuel: f64| lesser(greater(fuel, 0.0), most);
            draws.around(Subject::Tank(index), normals, tank.typed, row, held);
            work.aboard.change(|lane, sum| sum + row[lane]);
            if let Some(limit) = tank.limit {
                let one = 1.0 / greater(tank.usable, f64::MIN_POSITIVE);
                work.margins[limit].set(|lane| (tank.usable - row[lane]) * one);
            }
        }
    }

    #[inline(always)]
    pub(super) fn judge(&self, work: &mut Work) {
        let Work { margins, flight, aboard, guard, left, fuel, .. } = work;
        let one = 1.0 / self.about;
        if let Some(row) = self.required {
            let required = &flight.required;
            margins[row].set(|lane| (aboard[lane] - required[lane]) * one - SHY);
            // The slack of a limit grows with its bound; so far it is covered.
            super::guard(guard, |lane| 9.0 - greater(required[lane], aboard[lane]) * one);
        }
        let reserve = &flight.reserve;
        for (row, leg) in self.reserve.iter().zip(&flight.legs) {
            if let Some(row) = *row {
                margins[row]
                    .set(|lane| (aboard[lane] - leg.used[lane] - reserve[lane]) * one - SHY);
            }
        }
        if let (Some(row), Some(leg)) = (self.at_alternate, flight.legs.last()) {
            let away = &flight.alternate;
            margins[row].set(|lane| {
                (aboard[lane] - (leg.used[lane] + away[lane]) - reserve[lane]) * one - SHY
            });
        }
        if let Some((row, limit, groups)) = &self.imbalance {
            for (left, fuel) in left.iter_mut().zip(fuel.iter()) {
                *left = *fuel;
            }
            let mut most = Row::all(0.0);
            self.lean(left, &mut most);
            for group in groups {
                for _ in group {
                    spend_least(group, left);
                    self.lean(left, &mut most);
                }
            }
            let one = 1.0 / greater(*limit, f64::MIN_POSITIVE);
            margins[*row].set(|lane| (limit - most[lane]) * one);
        }
    }

    /// How far the sides differ, if more than before.
    #[inline(always)]
    fn lean(&self, left: &[Row], most: &mut Row) {
        let mut lean = Row::all(0.0);
        for (tank, left) in self.tanks.iter().zip(left) {
            if tank.side.abs() > 0.0 {
                lean.change(|lane, sum| sum + tank.side * left[lane]);
            }
        }
        most.change(|lane, most| greater(lean[lane].abs(), most));
    }
}
