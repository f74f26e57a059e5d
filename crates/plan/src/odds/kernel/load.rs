//! Masses: places, the whole aeroplane, each landing.

use stillprop_calc::quantity::{FromAmount, Mass};
use stillprop_turnaround::{
    limits::{Family, Id, load::seat_of},
    stage::{Choice, Setting, Stage},
};

use super::super::{
    lanes::{Row, greater},
    spread::Subject,
};
use super::{Book, Work, draws::Draws};

/// A mass limit with the row of its margins.
type Limit = Option<(usize, f64)>;

#[derive(Clone, Debug, Default)]
pub(super) struct Load {
    /// Every mass without fuel is known.
    pub(super) dry: bool,
    /// And that of the fuel.
    pub(super) ramp: bool,
    /// Density of the fuel; 0 when it is not known.
    pub(super) density: f64,
    /// Fuel for start and taxi, as mass.
    pub(super) taxi: f64,
    /// Empty aeroplane: mass, moment, lateral moment.
    empty: [f64; 3],
    places: Vec<Place>,
    zero_fuel: Limit,
    at_ramp: Limit,
    take_off: Limit,
    landing: Vec<Limit>,
    /// The legs are reckoned.
    flown: bool,
}

#[derive(Clone, Debug)]
struct Place {
    arm: f64,
    lateral: f64,
    /// Who and what is there, with the mass that is typed.
    loads: Vec<(Subject, f64)>,
    limit: Limit,
}

impl Load {
    /// What is known of the masses.
    pub(super) fn of(stage: &Stage, choice: &Choice, flown: bool) -> Self {
        let seated = (0..stage.people.len()).all(|person| seat_of(stage, choice, person).is_some());
        let dry = seated
            && stage.people.iter().all(|person| person.mass.is_ok())
            && stage.items.iter().all(|item| item.mass.is_ok());
        let density = stage.density.as_ref().map_or(0.0, |density| density.value.si());
        let fuel = stage.density.is_ok() && choice.fuel.iter().all(Option::is_some);
        let taxi = stage.documents.aircraft.burn.start_and_taxi.value.si() * density;
        let empty = stage.empty;
        Self {
            dry,
            ramp: dry && fuel,
            density,
            taxi,
            empty: [empty.mass.value, empty.moment.value, empty.lateral_moment.value],
            flown,
            ..Self::default()
        }
    }

    /// The legs are reckoned.
    pub(super) const fn flown(&self) -> bool {
        self.flown
    }

    /// The limits on whole masses and landings.
    pub(super) fn listed(mut self, stage: &Stage, book: &mut Book) -> Self {
        let whole = |book: &mut Book, name, limit: Setting<Mass>, known| {
            let id = Id::new(Family::Load, name);
            book.take(id, known).and_then(|row| Some((row, is(limit)?)))
        };
        let limits = &stage.limits;
        self.zero_fuel = whole(
            book,
            "zero-fuel-mass",
            limits.zero_fuel,
            self.dry && is(limits.zero_fuel).is_some(),
        );
        self.at_ramp =
            whole(book, "ramp-mass", limits.ramp, self.ramp && is(limits.ramp).is_some());
        self.take_off = whole(book, "take-off-mass", Setting::Is(limits.take_off), self.ramp);
        for leg in &stage.documents.turnaround.legs {
            let id = Id::of(Family::Load, "landing-mass", &leg.name.value);
            let known = self.ramp && self.flown && is(limits.landing).is_some();
            let row = book.take(id, known);
            self.landing.push(row.and_then(|row| Some((row, is(limits.landing)?))));
        }
        self
    }

    /// What is where, and the limits on it.
    pub(super) fn places(mut self, stage: &Stage, choice: &Choice, book: &mut Book) -> Self {
        for (index, place) in stage.places.iter().enumerate() {
            let people = (0..stage.people.len())
                .filter(|person| seat_of(stage, choice, *person) == Some(index))
                .map(|person| (Subject::Person(person), stage.people[person].mass.as_ref().ok()));
            let items = (0..stage.items.len())
                .filter(|item| choice.place_of[*item] == index)
                .map(|item| (Subject::Item(item), stage.items[item].mass.as_ref().ok()));
            let there: Vec<_> = people.chain(items).collect();
            let known = there.iter().all(|(_, mass)| mass.is_some());
            let loads: Vec<_> = there
                .into_iter()
                .filter_map(|(subject, mass)| Some((subject, mass?.value)))
                .collect();
            let name = if place.seat.is_some() { "seat" } else { "locker" };
            let id = Id::of(Family::Load, name, &place.label);
            let varies = known && !loads.is_empty() && is(place.max_mass).is_some();
            let row = book.take(id, varies);
            let limit = row.and_then(|row| Some((row, is(place.max_mass)?)));
            let (arm, lateral) = (place.arm.value, place.lateral.value);
            if !loads.is_empty() {
                self.places.push(Place { arm, lateral, loads, limit });
            }
        }
        self
    }

    /// Adds everything up, and judges what needs no flight.
    #[inline(always)]
    pub(super) fn judge(&self, draws: &Draws, normals: &[Row], work: &mut Work) {
        let Work { margins, dry, place, fuel, ramp, .. } = work;
        for (row, empty) in dry.iter_mut().zip(self.empty) {
            row.set(|_| empty);
        }
        let [mass, moment, side] = dry;
        for each in &self.places {
            each.draw(draws, normals, place);
            mass.change(|lane, sum| sum + place[lane]);
            moment.change(|lane, sum| sum + place[lane] * each.arm);
            side.change(|lane, sum| sum + place[lane] * each.lateral);
            at_most(each.limit, place, margins);
        }
        at_most(self.zero_fuel, mass, margins);
        ramp.set(|lane| mass[lane]);
        for volume in fuel.iter() {
            ramp.change(|lane, sum| sum + volume[lane] * self.density);
        }
        at_most(self.at_ramp, ramp, margins);
        if let Some((row, limit)) = self.take_off {
            let one = 1.0 / limit;
            margins[row].set(|lane| (limit - (ramp[lane] - self.taxi)) * one);
        }
    }

    /// Each landing.
    #[inline(always)]
    pub(super) fn judge_flight(&self, work: &mut Work) {
        let Work { margins, flight, ramp, .. } = work;
        for (limit, leg) in self.landing.iter().zip(&flight.legs) {
            if let Some((row, limit)) = *limit {
                let one = 1.0 / limit;
                margins[row]
                    .set(|lane| (limit - (ramp[lane] - leg.used[lane] * self.density)) * one);
            }
        }
    }
}

impl Place {
    #[inline(always)]
    fn draw(&self, draws: &Draws, normals: &[Row], sum: &mut Row) {
        sum.set(|_| 0.0);
        for (subject, typed) in &self.loads {
            match draws.get(*subject) {
                None => sum.change(|_, sum| sum + typed),
                Some(draw) => {
                    let z = &normals[draw.row];
                    sum.change(|lane, sum| sum + greater(typed + draw.deviation * z[lane], 0.0));
                }
            }
        }
    }
}

#[inline(always)]
fn at_most(limit: Limit, mass: &Row, margins: &mut [Row]) {
    if let Some((row, limit)) = limit {
        let one = 1.0 / greater(limit, f64::MIN_POSITIVE);
        margins[row].set(|lane| (limit - mass[lane]) * one);
    }
}

fn is(limit: Setting<Mass>) -> Option<f64> {
    if let Setting::Is(limit) = limit { Some(limit.value) } else { None }
}
