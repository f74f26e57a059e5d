//! `site.*`: room around the aeroplane to fuel, to run the engine, to roll away and to walk.

use stillprop_calc::{
    plane::{Extent, Point},
    quantity::{FromAmount, Length, Ratio},
    source,
    trace::{Step, Trace},
    unit,
};

use super::{Family, Found, Id, Measure, Sink, Words};
use crate::{
    document::{
        ground::{EquipmentKind, ThingKind},
        turnaround::Method,
    },
    site::{Closest, End, GroundFigures, NO_SOURCE, Parked, Site, closest, walk},
    stage::{Choice, Figure, Stage},
    units::{Round, Units},
};

/// Computes the family.
pub fn limits<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    place(stage, choice, sink);
    if let (Ok(site), Some(parked)) = (&stage.site, &choice.parked) {
        Here { site, parked, figures: &stage.ground }.walks(stage, sink);
    }
}

/// The family without the ways on foot, which take longest where the aeroplane is moved.
pub fn place<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let id = Id::new(Family::Site, "parking");
    let site = match (&stage.site, &choice.parked) {
        (Ok(site), Some(parked)) => Here { site, parked, figures: &stage.ground },
        (Err(why), _) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        (Ok(_), None) => {
            return sink.limit(id, Found::Unknown, |_| Words::missing("no place is chosen"));
        }
    };
    let fuelling = stage.method != Some(Method::None);
    site.clearances(fuelling, |clearance| clearance.limit(sink));
    site.way_out(sink);
    if fuelling {
        hose(stage, choice, site, sink);
        extinguishers(stage, choice, site, sink);
        site.spill_kit(sink);
        site.clears_away(sink);
        site.wind_side(sink);
    }
}

/// The aeroplane where it stands.
#[derive(Clone, Copy)]
struct Here<'a> {
    site: &'a Site,
    parked: &'a Parked,
    figures: &'a GroundFigures,
}

const NO_OUTLINE: &str = "the outline of the aeroplane is not described: add parts to [shape]";

/// Why a distance is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Fuel or its vapour comes out here.
    Fuel,
    /// The engine will run.
    Run,
    /// The wings need room.
    Room,
    /// Fuel lies on the ground.
    Spill,
}

/// A distance that somebody demands, measured.
#[derive(Clone, Copy, Debug)]
pub struct Clearance<'a> {
    /// Why.
    pub need: Need,
    /// To what.
    pub what: &'a str,
    /// What that is to the rules; `None` for spilt fuel.
    pub kind: Option<ThingKind>,
    /// From what, and where; or what is not known.
    pub closest: Result<Closest<'a>, &'a str>,
    /// How far it must be.
    pub room: &'a Figure<Length>,
}

impl<'a> Clearance<'a> {
    /// The name of its limit.
    #[must_use]
    pub const fn id(&self) -> Id<'a> {
        let name = match self.need {
            Need::Fuel => "fuel",
            Need::Run => "run",
            Need::Room => "room",
            Need::Spill => "spill",
        };
        Id::of(Family::Site, name, self.what)
    }

    /// Holds, breaks or unknown.
    #[must_use]
    pub fn found(&self) -> Found {
        match (self.closest, self.room) {
            (Ok(closest), Ok(room)) => {
                Found::Measured(Measure::at_least(closest.nearest.distance, room.value))
            }
            _ => Found::Unknown,
        }
    }

    /// What lies at its far end, in words.
    #[must_use]
    pub fn to(&self) -> String {
        match self.kind {
            None => format!("spilt fuel ({})", self.what),
            Some(ThingKind::Obstacle) => self.what.to_owned(),
            Some(kind) if self.what == kind.word() => self.what.to_owned(),
            Some(kind) => format!("{} ({})", self.what, kind.word()),
        }
    }

    fn limit<S: Sink>(&self, sink: &mut S) {
        if let (Ok(closest), Ok(room)) = (&self.closest, self.room) {
            sink.trace().step(|| apart(closest, &self.to()));
            sink.trace().step(|| room.step("distance that is asked", "asked"));
        }
        sink.limit(self.id(), self.found(), |units| match (self.closest, self.room) {
            (Err(why), _) => Words::missing(why),
            (_, Err(why)) => Words::missing(why.clone()),
            (Ok(closest), Ok(room)) => {
                let found = closest.nearest.distance;
                let (has, needs) = units.apron_pair(found, room.value);
                let short = units.apron(room.value - found, Round::Up);
                Words::stands(format!("{has} of {needs}: {} to {}", closest.from, self.to()))
                    .act(format!("{short} too near: {}", self.act()))
                    .remark(Some(between(&closest, units, &room.citation)))
            }
        });
    }

    const fn act(&self) -> &'static str {
        match self.need {
            Need::Fuel => "move the aeroplane, or what the fuel comes from",
            Need::Run => "pull it clear before the start",
            Need::Room => "move the aeroplane",
            Need::Spill => "start nothing: clean it up, or push the aeroplane away",
        }
    }
}

/// The two nearest points and how far apart they are.
fn apart(closest: &Closest<'_>, to: &str) -> Step {
    let (from, nearest) = (closest.from, &closest.nearest);
    let step = Step::new(
        format!("nearest points of {from} and {to}"),
        "apart = sqrt((e2 - e1)^2 + (n2 - n1)^2), east and north of the mark",
    )
    .with("e1", nearest.from.east())
    .with("n1", nearest.from.north())
    .with("e2", nearest.to.east())
    .with("n2", nearest.to.north())
    .gives("apart", nearest.distance)
    .from(source::PLANE_GEOMETRY);
    if nearest.overlaps { step.remark("they meet") } else { step }
}

fn between(closest: &Closest<'_>, units: &Units, citation: &str) -> String {
    let place = |point: Point| {
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

impl<'a> Here<'a> {
    /// Every distance that somebody demands, in one order.
    fn clearances(&self, fuelling: bool, mut each: impl FnMut(Clearance<'a>)) {
        let moving = &self.figures.moving_room;
        for thing in &self.site.things {
            let (what, to) = (thing.what.as_str(), thing.body.extent());
            let mut demand = |need, closest, room| {
                each(Clearance { need, what, kind: Some(thing.kind), closest, room });
            };
            if let (true, Some(room)) = (fuelling, self.figures.fuelling_from(thing.kind)) {
                demand(Need::Fuel, self.outlets_near(to), room);
            }
            let running = self.figures.running_from(thing.kind);
            if running.is_none() && !thing.kind.solid() {
                continue;
            }
            let outline = self.outline_near(to);
            if let Some(room) = running {
                demand(Need::Run, outline, room);
            }
            if thing.kind.solid() {
                demand(Need::Room, outline, &moving.wingtip_room);
            }
        }
        for spilt in &self.site.spills {
            let closest = match &spilt.pool {
                Ok(pool) => self.outline_near(Extent::from(*pool)),
                Err(why) => Err(why.as_str()),
            };
            let room = &self.figures.running_room.spill;
            each(Clearance { need: Need::Spill, what: &spilt.what, kind: None, closest, room });
        }
    }

    fn outline_near(&self, to: Extent<'_>) -> Result<Closest<'a>, &'a str> {
        closest(self.parked.outline(&self.site.airframe), to).ok_or(NO_OUTLINE)
    }

    /// What the fuel comes from does not stand in for fillers and vents that nobody described.
    fn outlets_near(&self, to: Extent<'_>) -> Result<Closest<'a>, &'a str> {
        self.site.airframe.has_openings()?;
        closest(self.site.outlets(self.parked), to).ok_or(NO_OUTLINE)
    }

    /// The wings along the line to the strip. A tail that swings out in a turn is not reckoned.
    fn way_out<S: Sink>(&self, sink: &mut S) {
        let id = Id::new(Family::Site, "way-out");
        let Some(way) = &self.site.way_out else {
            return sink.limit(id, Found::Unknown, |_| {
                Words::missing("the way out to the strip is not described: add way_out to [apron]")
            });
        };
        let room = match &self.figures.moving_room.wingtip_room {
            Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
            Ok(room) => room,
        };
        let solid = self.site.things.iter().filter(|thing| thing.kind.solid());
        let froms = || solid.clone().map(|thing| (End::Named(&thing.what), thing.body.extent()));
        // From where it stands to the line, and along the line.
        let onto = way.points().next().map(|first| Extent::Way(self.parked.at, first));
        let along = closest(froms(), Extent::from(way));
        let onto = onto.and_then(|onto| closest(froms(), onto));
        let nearer = |a: Closest<'a>, b: Closest<'a>| {
            if b.nearest.distance < a.nearest.distance { b } else { a }
        };
        let Some(found) = along.into_iter().chain(onto).reduce(nearer) else {
            return sink.limit(id, Found::Condition(true), |_| {
                Words::stands("nothing solid stands by the way out")
            });
        };
        let half = self.site.airframe.half_width();
        let left = found.nearest.distance - half;
        sink.trace().step(|| apart(&found, "the way out"));
        sink.trace().step(|| {
            Step::new("room beside the wingtip", "room = apart - half the span")
                .with("apart", found.nearest.distance)
                .with("half the span", half)
                .gives("room", left)
        });
        sink.trace().step(|| room.step("room that is asked", "asked"));
        let measure = Measure::at_least(left, room.value);
        sink.limit(id, Found::Measured(measure), |units| {
            let (has, needs) = units.apron_pair(left, room.value);
            let short = units.apron(room.value - left, Round::Up);
            Words::stands(format!("{has} of {needs} beside the wingtip: {}", found.from))
                .act(format!("{short} too little: roll another way, or push it by hand"))
                .remark(Some(format!(
                    "from where it stands to the line of the strip document and along it; a tail \
                     that swings out in a turn is not reckoned; {}",
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
                    "whether the fuel can be moved away or shut off at once is not given: add \
                     clears_away to the source in [ground]",
                )
            });
        };
        sink.limit(id, Found::Condition(clears), |_| {
            let what = &source.what;
            Words::stands(if clears {
                format!("{what} can be moved away or shut off at once")
            } else {
                format!("{what} cannot be moved away or shut off at once")
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

/// Every distance that somebody demands of a choice, in the order of the limits; none when the
/// place is not known.
pub fn clearances<'a>(stage: &'a Stage, choice: &'a Choice, each: impl FnMut(Clearance<'a>)) {
    if let (Ok(site), Some(parked)) = (&stage.site, &choice.parked) {
        let here = Here { site, parked, figures: &stage.ground };
        here.clearances(stage.method != Some(Method::None), each);
    }
}

/// The filler in use that lies farthest from what the fuel comes from.
#[must_use]
pub fn farthest_filler<'a>(
    stage: &'a Stage,
    choice: &'a Choice,
    site: &'a Site,
    parked: &'a Parked,
) -> Option<(&'a str, Point)> {
    let source = site.source.as_ref()?.at;
    used_fillers(stage, choice, site, parked)
        .max_by(|a, b| source.distance(a.1).si().total_cmp(&source.distance(b.1).si()))
}

/// Tanks that take fuel, all of them where that is not known.
fn used_tanks<'a>(stage: &'a Stage, choice: &'a Choice) -> impl Iterator<Item = &'a str> + Clone {
    let tanks = stage.tanks.iter().enumerate();
    tanks.filter_map(move |(index, tank)| {
        let taken = stage.uplift(choice, index);
        taken.is_none_or(|taken| taken.si() > 0.0).then_some(tank.label.as_str())
    })
}

/// A tank that takes fuel through a filler that is not described.
fn without_filler<'a>(stage: &'a Stage, choice: &'a Choice, site: &Site) -> Option<&'a str> {
    let fillers = &site.airframe.fillers;
    used_tanks(stage, choice).find(|tank| fillers.iter().all(|filler| filler.what != *tank))
}

fn no_filler(tank: &str) -> Words {
    Words::missing(format!("where the filler of {tank} is, is not given: add it to [shape]"))
}

/// Fillers that take fuel, all of them where that is not known.
fn used_fillers<'a>(
    stage: &'a Stage,
    choice: &'a Choice,
    site: &'a Site,
    parked: &'a Parked,
) -> impl Iterator<Item = (&'a str, Point)> + Clone {
    let names = site.airframe.fillers.iter();
    let used = used_tanks(stage, choice);
    names.zip(&parked.fillers).filter_map(move |(filler, at)| {
        used.clone().find(|tank| **tank == filler.what).map(|tank| (tank, *at))
    })
}

fn hose<S: Sink>(stage: &Stage, choice: &Choice, here: Here<'_>, sink: &mut S) {
    let id = Id::new(Family::Site, "hose");
    let Some(source) = &here.site.source else {
        return sink.limit(id, Found::Unknown, |_| Words::missing(NO_SOURCE));
    };
    let Some(hose) = source.hose else {
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing(format!("how long the hose of {} is, is not given", source.what))
        });
    };
    if let Some(tank) = without_filler(stage, choice, here.site) {
        return sink.limit(id, Found::Unknown, |_| no_filler(tank));
    }
    let slack = match &here.figures.fuelling.hose_slack {
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(slack) => slack,
    };
    let Some((filler, place)) = farthest_filler(stage, choice, here.site, here.parked) else {
        return sink.limit(id, Found::Condition(true), |_| Words::stands("no fuel is taken"));
    };
    let far = source.at.distance(place);
    let reach = hose * (Ratio::from_si(1.0) - slack.value);
    sink.trace().step(|| {
        Step::new(format!("from {} to the filler of {filler}", source.what), "over the ground")
            .with("e1", source.at.east())
            .with("n1", source.at.north())
            .with("e2", place.east())
            .with("n2", place.north())
            .gives("far", far)
            .from(stillprop_calc::source::PLANE_GEOMETRY)
    });
    sink.trace().step(|| slack.step("slack that is asked", "slack"));
    sink.trace().step(|| {
        Step::new("what the hose reaches", "reach = hose (1 - slack)")
            .with("hose", hose)
            .with("slack", slack.value)
            .gives("reach", reach)
    });
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
    let (count, near, far, note) =
        match (&figures.extinguishers, &figures.extinguisher_near, &figures.extinguisher_far) {
            (Ok(count), Ok(near), Ok(far)) => (count, near.value, far.value, &near.remark),
            (Err(why), _, _) | (_, Err(why), _) | (_, _, Err(why)) => {
                return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone()));
            }
        };
    if let Some(tank) = without_filler(stage, choice, here.site) {
        return sink.limit(id, Found::Unknown, |_| no_filler(tank));
    }
    let fillers = used_fillers(stage, choice, here.site, here.parked);
    let ready = |at: &Point| {
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
        .remark(Some(match note {
            Some(note) => format!("{note}; {}", count.citation),
            None => count.citation.clone(),
        }))
    });
}
