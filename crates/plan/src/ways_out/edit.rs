//! One change of a turnaround's documents.

use jiff::Timestamp;
use stillprop_calc::{
    quantity::{Angle, Force, FromAmount, Length, Mass, Volume},
    unit,
};
use stillprop_rules::document::{At, Bearing, Given, North};
use stillprop_turnaround::{
    document::{
        ground::{Ground, TailTie},
        turnaround::{Draw, TankFuel, Weather, Wind},
    },
    stage::Documents,
    weather,
};

use crate::{park::Pose, window::Day};

/// One change of a turnaround's documents.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// An item keeps this mass; the rest stays behind.
    Lighten(usize, Mass),
    /// An item stays behind.
    LeaveItem(usize),
    /// A person stays behind.
    LeavePerson(usize),
    /// A tank takes this much.
    Uplift(String, Volume),
    /// Chocks off at another time, in the weather forecast for it.
    Depart(Timestamp),
    /// Another direction of take-off.
    TakeOff(String),
    /// Another direction for coming straight back.
    BackHere(String),
    /// Another direction of landing at the end of a leg.
    Landing(usize, String),
    /// A person sits elsewhere.
    Sit(usize, String),
    /// An item lies elsewhere.
    Stow(usize, String),
    /// The aeroplane stands elsewhere; what was put out for it today is carried along.
    Park(Pose),
    /// Something of today stands so far east and north of where it did, in metres.
    Carry(usize, [f64; 2]),
    /// A spill is taken up and the ground is dry.
    TakeUp(usize),
    /// The tail is tied to something that holds so much.
    TieTail(Force, Angle),
    /// Other drums.
    Drums(Vec<(String, Volume, String)>),
    /// The flight is planned to its first landing only; the rest is another stop's.
    EndAt(usize),
}

/// A quantity made here has no place in a text.
fn given<Q: FromAmount>(value: Q, unit: unit::Unit) -> Given<Q> {
    Given { value, unit, at: 0..0 }
}

fn named(value: &str) -> At<String> {
    At { value: value.to_owned(), at: 0..0 }
}

impl Edit {
    /// Works the change into documents. What it names is there: it was found in them. Another time of
    /// chocks off brings another weather with it, which needs the prepared day: see
    /// [`changed`](super::changed), which works in every change.
    pub(super) fn apply(&self, documents: &mut Documents) {
        let turnaround = &mut documents.turnaround;
        match self {
            Self::Lighten(item, mass) => {
                if let Some(item) = turnaround.items.get_mut(*item) {
                    item.mass = Some(given(*mass, unit::KG));
                }
            }
            Self::LeaveItem(item) => {
                turnaround.items.remove(*item);
            }
            Self::LeavePerson(person) => turnaround.leave_person(*person),
            Self::Uplift(tank, volume) => uplift(documents, tank, *volume),
            Self::Depart(departs) => turnaround.departs.instant = *departs,
            Self::TakeOff(way) => turnaround.take_off = named(way),
            Self::BackHere(way) => turnaround.back_here = Some(named(way)),
            Self::Landing(leg, way) => {
                if let Some(leg) = turnaround.legs.get_mut(*leg) {
                    leg.landing = Some(named(way));
                }
            }
            Self::Sit(person, seat) => {
                if let Some(person) = turnaround.people.get_mut(*person) {
                    person.seat = Some(named(seat));
                }
            }
            Self::Stow(item, place) => {
                if let Some(item) = turnaround.items.get_mut(*item) {
                    item.place = named(place);
                }
            }
            Self::Park(pose) => {
                if let Some(ground) = &mut turnaround.ground {
                    park(ground, *pose);
                }
            }
            Self::Carry(thing, by) => {
                if let Some(ground) = &mut turnaround.ground {
                    carry(ground, *thing, *by);
                }
            }
            Self::TakeUp(spill) => {
                let ground = turnaround.ground.as_mut();
                if let Some(spill) = ground.and_then(|ground| ground.spills.get_mut(*spill)) {
                    spill.cleaned = true;
                }
            }
            Self::TieTail(strength, slope) => {
                if let Some(start) = &mut turnaround.start {
                    start.tail_tie = Some(TailTie {
                        strength: given(*strength, unit::N),
                        slope: given(*slope, unit::DEG),
                    });
                }
            }
            Self::Drums(draws) => {
                let draw = |(drum, draw, tank): &(String, Volume, String)| Draw {
                    drum: named(drum),
                    draw: given(*draw, unit::L),
                    tank: named(tank),
                };
                turnaround.fuel.drums = draws.iter().map(draw).collect();
            }
            Self::EndAt(leg) => {
                turnaround.legs.truncate(leg + 1);
                documents.legs.truncate(leg + 1);
                turnaround.alternate = None;
            }
        }
    }
}

/// Another uplift, drawn from the same drums: what is less is drawn less from the last ones.
fn uplift(documents: &mut Documents, tank: &str, volume: Volume) {
    let fuel = &mut documents.turnaround.fuel;
    match fuel.tanks.iter_mut().find(|fuel| fuel.tank.value == tank) {
        Some(found) => found.uplift = Some(given(volume, unit::L)),
        None => fuel.tanks.push(TankFuel {
            tank: named(tank),
            on_board: None,
            known: None,
            uplift: Some(given(volume, unit::L)),
            dip: None,
            gauge: None,
            reckoned: None,
        }),
    }
    let drawn: Volume =
        fuel.drums.iter().filter(|d| d.tank.value == tank).map(|d| d.draw.value).sum();
    let none = Volume::from_si(0.0);
    let mut less = drawn - volume;
    for draw in fuel.drums.iter_mut().rev().filter(|draw| draw.tank.value == tank) {
        let cut = less.max(none).min(draw.draw.value);
        draw.draw.value -= cut;
        less -= cut;
    }
    fuel.drums.retain(|draw| draw.draw.value > none);
}

/// Another time of chocks off: fuelling begins as long before it, and the weather is that of the
/// time.
pub(super) fn depart(documents: &mut Documents, day: &mut Day, departs: Timestamp) {
    let turnaround = &mut documents.turnaround;
    let earlier = turnaround.departs.instant.duration_since(departs);
    turnaround.departs.instant = departs;
    if let Some(begins) = &mut turnaround.fuel.begins {
        begins.value.instant = begins.value.instant.saturating_sub(earlier).unwrap_or(departs);
    }
    day.set(departs);
    let stage = day.stage();
    typed(&mut turnaround.weather, &stage.here.weather);
    for (leg, spot) in turnaround.legs.iter_mut().zip(&stage.there) {
        if let Some(spot) = spot {
            typed(&mut leg.weather, &spot.weather);
        }
    }
}

/// Weather as a person would have typed it.
fn typed(document: &mut Weather, found: &weather::Weather) {
    fn value<Q: FromAmount>(value: Option<Q>, unit: unit::Unit) -> Option<Given<Q>> {
        value.map(|value| given(value, unit))
    }
    document.metar = None;
    document.hours = Vec::new();
    document.qnh = value(found.qnh, unit::HPA);
    document.temperature = value(found.temperature, unit::DEGC);
    document.dew_point = value(found.dew_point, unit::DEGC);
    document.wind = found.wind.map(|wind| Wind {
        from: wind.from.map(|angle| Bearing { angle, north: North::True, at: 0..0 }),
        speed: given(wind.speed, unit::KT),
        gust: value(wind.gust, unit::KT),
    });
}

fn metres(ground: &Ground) -> f64 {
    unit::Unit::named(&ground.unit.value).map_or(1.0, |unit| unit.scale)
}

/// Moves the aeroplane, and today's equipment with it as if it were fixed to it.
fn park(ground: &mut Ground, pose: Pose) {
    let scale = metres(ground);
    let Some(old) = ground.heading.to_true(None).or(Some(ground.heading.angle)) else { return };
    let turn = pose.heading - old.si();
    let (sin, cos) = turn.sin_cos();
    let from = ground.at.value.map(|axis| axis * scale);
    for each in &mut ground.equipment {
        let (east, north) =
            (each.at.value[0] * scale - from[0], each.at.value[1] * scale - from[1]);
        // Headings go clockwise from north.
        let turned = [east * cos + north * sin, north * cos - east * sin];
        each.at.value = [(pose.east + turned[0]) / scale, (pose.north + turned[1]) / scale];
    }
    ground.at.value = [pose.east / scale, pose.north / scale];
    ground.heading = Bearing { angle: pose.heading(), north: North::True, at: 0..0 };
}

fn carry(ground: &mut Ground, thing: usize, by: [f64; 2]) {
    let scale = metres(ground);
    if let Some(thing) = ground.things.get_mut(thing) {
        for corner in &mut thing.corners.value {
            *corner = [corner[0] + by[0] / scale, corner[1] + by[1] / scale];
        }
    }
}

/// A length from metres.
pub(super) fn length(metres: f64) -> Length {
    Length::from_si(metres)
}
