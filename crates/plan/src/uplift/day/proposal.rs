//! A stop's documents with what the day says of its fuel.

use stillprop_calc::{
    quantity::{FromAmount, Volume},
    unit,
};
use stillprop_rules::document::{At, Given};
use stillprop_turnaround::{
    document::{
        day as document,
        turnaround::{Draw, Fuel, FuelKnown, Method, TankFuel},
    },
    stage::{Choice, Documents, Stage, prepare},
};

use super::Stop;

/// A stop as proposed, prepared again from its documents.
#[derive(Debug)]
pub struct Proposal {
    /// The stage.
    pub stage: Stage,
    /// The choice its document makes.
    pub choice: Choice,
    /// Usable fuel in each tank before any is taken.
    pub arrives: Vec<Volume>,
    /// Usable fuel in each tank at chocks off.
    pub leaves: Vec<Volume>,
    /// What is drawn: index of the offer, how much.
    pub draws: Vec<(usize, Volume)>,
}

impl Proposal {
    /// What is taken in all.
    #[must_use]
    pub fn taken(&self) -> Volume {
        self.draws.iter().map(|(_, volume)| *volume).sum()
    }
}

fn litres(value: Volume) -> Given<Volume> {
    Given { value, unit: unit::L, at: 0..0 }
}

fn named(value: &str) -> At<String> {
    At { value: value.to_owned(), at: 0..0 }
}

/// Where fuel is taken: the document's method, without the draws that it names.
pub(super) fn taking(mut documents: Documents, of: &document::Stop, flown_in: bool) -> Documents {
    let fuel = &mut documents.turnaround.fuel;
    fuel.drums.clear();
    fuel.method = Some(match (&of.yard, &of.pump, fuel.method) {
        (Some(_), ..) => Method::Drum,
        (None, Some(_), Some(Method::Tanker)) => Method::Tanker,
        (None, Some(_), _) => Method::SelfServe,
        (None, None, _) => Method::None,
    });
    if let Some(yard) = &of.yard {
        fuel.yard = Some(yard.place.clone());
    }
    if flown_in {
        reckoned(fuel);
    }
    documents
}

/// Where none is taken.
pub(super) fn resting(mut documents: Documents, flown_in: bool) -> Documents {
    let fuel = &mut documents.turnaround.fuel;
    fuel.method = Some(Method::None);
    fuel.drums.clear();
    fuel.tanks.iter_mut().for_each(|tank| tank.uplift = None);
    if flown_in {
        reckoned(fuel);
    }
    documents
}

/// What is in the tanks after a flight that is still to come is no reading.
fn reckoned(fuel: &mut Fuel) {
    for tank in &mut fuel.tanks {
        (tank.dip, tank.gauge, tank.reckoned) = (None, None, None);
        tank.known = Some(FuelKnown::Reckoned);
    }
}

/// Works a proposal into the documents of a stop and prepares them.
pub(super) fn proposal(
    stop: &Stop<'_>,
    arrives: &[Volume],
    leaves: &[Volume],
    draws: &[(usize, u32)],
    step: Volume,
) -> Proposal {
    let draws: Vec<(usize, Volume)> =
        draws.iter().map(|(offer, steps)| (*offer, step * f64::from(*steps))).collect();
    let stage = if draws.is_empty() { &stop.resting } else { &stop.stage };
    let mut documents = stage.documents.clone();
    let fuel = &mut documents.turnaround.fuel;
    for (tank, (before, after)) in stage.tanks.iter().zip(arrives.iter().zip(leaves)) {
        let taken = *after - *before;
        let taken = (taken.value > 1e-12).then(|| litres(taken));
        match fuel.tanks.iter_mut().find(|fuel| fuel.tank.value == tank.label) {
            Some(found) => (found.on_board, found.uplift) = (Some(litres(*before)), taken),
            None => fuel.tanks.push(TankFuel {
                tank: named(&tank.label),
                on_board: Some(litres(*before)),
                known: Some(FuelKnown::Reckoned),
                uplift: taken,
                dip: None,
                gauge: None,
                reckoned: None,
            }),
        }
    }
    if fuel.method == Some(Method::Drum) {
        let tanks: Vec<(String, Volume)> = (fuel.tanks.iter())
            .filter_map(|fuel| Some((fuel.tank.value.clone(), fuel.uplift.as_ref()?.value)))
            .collect();
        let drums =
            draws.iter().map(|(offer, volume)| (stop.offers[*offer].name.as_str(), *volume));
        fuel.drums = split(drums, &tanks);
    }
    let (stage, choice) = prepare(documents, stop.rules);
    Proposal { stage, choice, arrives: arrives.to_vec(), leaves: leaves.to_vec(), draws }
}

/// Drums one after the other into tanks one after the other.
fn split<'a>(
    drums: impl Iterator<Item = (&'a str, Volume)>,
    tanks: &[(String, Volume)],
) -> Vec<Draw> {
    let none = Volume::from_si(1e-12);
    let mut tanks = tanks.iter().map(|(tank, volume)| (tank.as_str(), *volume));
    let mut filling = tanks.next();
    let mut all = Vec::new();
    for (drum, mut left) in drums {
        while let Some((tank, room)) = &mut filling
            && left > none
        {
            let drawn = left.min(*room);
            all.push(Draw { drum: named(drum), draw: litres(drawn), tank: named(tank) });
            left -= drawn;
            *room -= drawn;
            if *room <= none {
                filling = tanks.next();
            }
        }
    }
    all
}
