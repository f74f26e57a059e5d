//! `site.*`: room around the aeroplane to fuel, to run the engine, to roll away and to walk.

use stillprop_calc::{
    plane::Extent,
    quantity::{FromAmount, Length, Ratio},
    unit,
};

use super::{Family, Found, Id, Measure, Sink, Words};
use crate::{
    document::{
        ground::{EquipmentKind, ThingKind},
        turnaround::Method,
    },
    site::{Closest, GroundFigures, Parked, Site, Spilt, Thing, closest, walk},
    stage::{Choice, Figure, Stage},
    units::{Round, Units},
};

/// Computes the family.
pub fn limits<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let id = Id::new(Family::Site, "parking");
    let site = match (&stage.site, &choice.parked) {
        (Ok(site), Some(parked)) => Here { site, parked, figures: &stage.ground },
        (Err(why), _) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        (Ok(_), None) => {
            return sink.limit(id, Found::Unknown, |_| Words::missing("no place is chosen"));
        }
    };
    let fuelling = stage.method != Some(Method::None);
    for thing in &site.site.things {
        if fuelling {
            site.fuelling(thing, sink);
        }
        site.running(thing, sink);
        site.room(thing, sink);
    }
    for spilt in &site.site.spills {
        site.spill(spilt, sink);
    }
    site.way_out(sink);
    if fuelling {
        hose(stage, choice, site, sink);
        extinguishers(stage, choice, site, sink);
        site.spill_kit(sink);
        site.clears_away(sink);
        site.wind_side(sink);
    }
    site.walks(stage, sink);
}

/// The aeroplane where it stands.
#[derive(Clone, Copy)]
struct Here<'a> {
    site: &'a Site,
    parked: &'a Parked,
    figures: &'a GroundFigures,
}

/// A distance against a figure, with the two nearest points in words.
fn distance<S: Sink>(
    id: Id<'_>,
    closest: Option<Closest<'_>>,
    room: &Figure<Length>,
    what: impl FnOnce() -> String,
    act: &'static str,
    sink: &mut S,
) {
    match (closest, room) {
        (None, _) => sink.limit(id, Found::Unknown, |_| {
            Words::missing("fillers, vents and outline of the aeroplane are not described")
        }),
        (Some(_), Err(why)) => sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        (Some(closest), Ok(room)) => {
            let found = closest.nearest.distance;
            let measure = Measure::at_least(found, room.value);
            sink.limit(id, Found::Measured(measure), |units| {
                let (has, needs) =
                    (units.apron(found, Round::Down), units.apron(room.value, Round::Up));
                let short = units.apron(room.value - found, Round::Up);
                Words::stands(format!("{has} of {needs}: {} to {}", closest.from, what()))
                    .act(format!("{short} too near: {act}"))
                    .remark(Some(between(&closest, units, &room.citation)))
            });
        }
    }
}

fn between(closest: &Closest<'_>, units: &Units, citation: &str) -> String {
    let place = |point: stillprop_calc::plane::Point| {
        let (east, north) = (point.east().count(units.strip), point.north().count(units.strip));
        format!("[{east:.1}, {north:.1}]")
    };
    let nearest = &closest.nearest;
    if nearest.overlaps {
        return format!("they meet at {} {}; {citation}", place(nearest.from), units.strip.symbol);
    }
    let (from, to) = (place(nearest.from), place(nearest.to));
    format!("from {from} to {to} {}; {citation}", units.strip.symbol)
}

impl Here<'_> {
    fn fuelling<S: Sink>(&self, thing: &Thing, sink: &mut S) {
        let Some(room) = self.figures.fuelling_from(thing.kind) else { return };
        let id = Id::of(Family::Site, "fuel", &thing.what);
        let found = closest(self.site.outlets(self.parked), thing.body.extent());
        let act = "move the aeroplane, or what the fuel comes from";
        distance(id, found, room, || named(thing), act, sink);
    }

    fn running<S: Sink>(&self, thing: &Thing, sink: &mut S) {
        let Some(room) = self.figures.running_from(thing.kind) else { return };
        let id = Id::of(Family::Site, "run", &thing.what);
        let found = self.from_outline(thing.body.extent());
        distance(id, found, room, || named(thing), "pull it clear before the start", sink);
    }

    /// Solid things and the wings.
    fn room<S: Sink>(&self, thing: &Thing, sink: &mut S) {
        if !thing.kind.solid() {
            return;
        }
        let id = Id::of(Family::Site, "room", &thing.what);
        let room = &self.figures.moving_room.wingtip_room;
        let found = self.from_outline(thing.body.extent());
        distance(id, found, room, || named(thing), "move the aeroplane", sink);
    }

    fn from_outline(&self, to: Extent<'_>) -> Option<Closest<'_>> {
        closest(self.parked.outline(&self.site.airframe), to)
    }

    fn spill<S: Sink>(&self, spilt: &Spilt, sink: &mut S) {
        let id = Id::of(Family::Site, "spill", &spilt.what);
        match &spilt.pool {
            Err(why) => sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
            Ok(pool) => {
                let room = &self.figures.running_room.spill;
                let found = self.from_outline(Extent::from(*pool));
                let act = "start nothing: clean it up, or push the aeroplane away";
                distance(id, found, room, || format!("spilt fuel ({})", spilt.what), act, sink);
            }
        }
    }

    /// The wings along the line to the strip. A tail that swings out in a turn is not reckoned.
    fn way_out<S: Sink>(&self, sink: &mut S) {
        let id = Id::new(Family::Site, "way-out");
        let Some(way) = &self.site.way_out else {
            return sink.limit(id, Found::Unknown, |_| {
                Words::missing("the way out to the strip is not described")
            });
        };
        let room = match &self.figures.moving_room.wingtip_room {
            Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
            Ok(room) => room,
        };
        let solid = self.site.things.iter().filter(|thing| thing.kind.solid());
        let froms = solid.map(|thing| (thing.what.as_str(), thing.body.extent()));
        let Some(found) = closest(froms, Extent::from(way)) else {
            return sink.limit(id, Found::Condition(true), |_| {
                Words::stands("nothing solid stands by the way out")
            });
        };
        let half = self.site.airframe.half_width();
        let left = found.nearest.distance - half;
        let measure = Measure::at_least(left, room.value);
        sink.limit(id, Found::Measured(measure), |units| {
            let (has, needs) = (units.apron(left, Round::Down), units.apron(room.value, Round::Up));
            let short = units.apron(room.value - left, Round::Up);
            Words::stands(format!("{has} of {needs} beside the wingtip: {}", found.from))
                .act(format!("{short} too little: roll another way, or push it by hand"))
                .remark(Some(format!(
                    "a tail that swings out in a turn is not reckoned; {}",
                    room.citation
                )))
        });
    }

    fn spill_kit<S: Sink>(&self, sink: &mut S) {
        let there = self.site.equipment.iter().any(|(kind, _)| *kind == EquipmentKind::SpillKit);
        let id = Id::new(Family::Site, "spill-kit");
        sink.limit(id, Found::Condition(there), |_| {
            Words::stands(if there { "there is one" } else { "none is described" })
                .act("bring something that soaks fuel up before a cap is opened")
                .remark(Some("common practice, no source".into()))
        });
    }

    fn clears_away<S: Sink>(&self, sink: &mut S) {
        let id = Id::new(Family::Site, "clears-away");
        let source = self.site.source.as_ref();
        let Some((source, clears)) = source.and_then(|s| Some((s, s.clears_away?))) else {
            return sink.limit(id, Found::Unknown, |_| {
                Words::missing(
                    "whether the fuel can be moved away or shut off at once is not given",
                )
            });
        };
        sink.limit(id, Found::Condition(clears), |_| {
            let what = &source.what;
            Words::stands(if clears {
                format!("{what} can be moved away or shut off at once")
            } else {
                format!("{what} cannot be moved away")
            })
            .act("clear a way for it, or fuel elsewhere")
            .remark(Some("common practice, no source".into()))
        });
    }

    /// What the fuel comes from stands where the wind brings no vapour to it.
    fn wind_side<S: Sink>(&self, sink: &mut S) {
        let id = Id::new(Family::Site, "wind-side");
        let found = walk::wind_side(self.site, self.parked);
        match found {
            Err(why) => sink.limit(id, Found::Unknown, |_| Words::missing(why)),
            Ok(side) => sink.limit(id, Found::Condition(side.holds), |_| {
                Words::stands(side.words())
                    .act("put it upwind or abeam of the fillers, or turn the aeroplane")
                    .remark(Some("common practice, no source".into()))
            }),
        }
    }

    fn walks<S: Sink>(&self, stage: &Stage, sink: &mut S) {
        // A search moves the aeroplane; only where it stands in the document is the path known
        // already.
        let known = stage.parked.as_ref() == Some(self.parked);
        for (index, door) in self.site.airframe.doors.iter().enumerate() {
            let id = Id::of(Family::Site, "walk", &door.what);
            let fresh =
                (!known).then(|| walk::to_door(self.site, self.figures, self.parked, index));
            let walk = fresh.as_ref().or_else(|| stage.walks.get(index));
            match walk {
                None => sink.limit(id, Found::Unknown, |_| Words::missing("no path was sought")),
                Some(Err(why)) => {
                    sink.limit(id, Found::Unknown, |_| Words::missing(why.clone()));
                }
                Some(Ok(way)) => sink
                    .limit(id, Found::Condition(way.open()), |units| way.words(self.site, units)),
            }
        }
    }
}

fn named(thing: &Thing) -> String {
    if thing.what == thing.kind.word() || thing.kind == ThingKind::Obstacle {
        thing.what.clone()
    } else {
        format!("{} ({})", thing.what, thing.kind.word())
    }
}

/// Fillers that take fuel, all of them where that is not known.
fn used_fillers<'a>(
    stage: &'a Stage,
    choice: &'a Choice,
    here: Here<'a>,
) -> impl Iterator<Item = (&'a str, stillprop_calc::plane::Point)> + Clone {
    let names = here.site.airframe.fillers.iter();
    names.zip(&here.parked.fillers).filter_map(move |(filler, at)| {
        let tank = stage.tanks.iter().position(|tank| tank.label == filler.what);
        let taken = tank.and_then(|tank| stage.uplift(choice, tank));
        taken.is_none_or(|taken| taken.si() > 0.0).then_some((filler.what.as_str(), *at))
    })
}

fn hose<S: Sink>(stage: &Stage, choice: &Choice, here: Here<'_>, sink: &mut S) {
    let id = Id::new(Family::Site, "hose");
    let source = here.site.source.as_ref();
    let Some((at, hose)) = source.and_then(|source| Some((source.at, source.hose?))) else {
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing("where the fuel comes from and how long its hose is, is not given")
        });
    };
    let slack = match &here.figures.fuelling.hose_slack {
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(slack) => slack,
    };
    let far = used_fillers(stage, choice, here)
        .map(|(what, filler)| (what, at.distance(filler)))
        .max_by(|a, b| a.1.si().total_cmp(&b.1.si()));
    let Some((filler, far)) = far else {
        return sink.limit(id, Found::Condition(true), |_| Words::stands("no fuel is taken"));
    };
    let reach = hose * (Ratio::from_si(1.0) - slack.value);
    sink.limit(id, Found::Measured(Measure::at_most(far, reach)), |units| {
        let (far_words, reach_words) =
            (units.apron(far, Round::Up), units.apron(reach, Round::Down));
        let short = units.apron(far - reach, Round::Up);
        Words::stands(format!("{far_words} of {reach_words} to the filler of {filler}"))
            .act(format!("{short} too short: move the aeroplane, or what the fuel comes from"))
            .remark(Some(format!(
                "over the ground: height and what lies between are not reckoned; {}",
                slack.citation
            )))
    });
}

/// Extinguishers that stand neither too near to the fuelling nor too far from it.
fn extinguishers<S: Sink>(stage: &Stage, choice: &Choice, here: Here<'_>, sink: &mut S) {
    let id = Id::new(Family::Site, "extinguishers");
    let figures = &here.figures.fuelling;
    let (count, near, far) =
        match (&figures.extinguishers, &figures.extinguisher_near, &figures.extinguisher_far) {
            (Ok(count), Ok(near), Ok(far)) => (count, near.value, far.value),
            (Err(why), _, _) | (_, Err(why), _) | (_, _, Err(why)) => {
                return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone()));
            }
        };
    let fillers = used_fillers(stage, choice, here);
    let ready = |at: &stillprop_calc::plane::Point| {
        fillers.clone().all(|(_, filler)| {
            let away = at.distance(filler);
            near <= away && away <= far
        })
    };
    let all = here.site.equipment.iter().filter(|(kind, _)| *kind == EquipmentKind::Extinguisher);
    let (there, good) =
        all.fold((0_u32, 0_u32), |(there, good), (_, at)| (there + 1, good + u32::from(ready(at))));
    // A count that is just met is no narrow margin, so it is a condition.
    let holds = f64::from(good) >= count.value.si();
    sink.limit(id, Found::Condition(holds), |units| {
        let (from, to) = (units.apron(near, Round::Up), units.apron(far, Round::Down));
        let needs = count.value.count(unit::ONE);
        Words::stands(format!(
            "{good} of {needs:.0} between {from} and {to} of every filler in use"
        ))
        .act(format!("{there} described: put {needs:.0} where they can be reached and not burn"))
        .remark(Some(count.citation.clone()))
    });
}
