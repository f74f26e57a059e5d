//! What the pack says about parking, fuelling, starting and reporting, looked up once.

use stillprop_calc::quantity::{
    Area, AreaRate, ElectricalConductivity, FromAmount, Length, Ratio, Time, Velocity,
};
use stillprop_rules::{
    key::Key,
    rules::Rules,
    situation::{Detail, Grade, Situation},
};

use crate::{
    document::ground::ThingKind,
    stage::{Allowed, Figure, allowed, allowed_for, quantity},
};

/// How far filler, vent and fuelling gear stay from what.
#[derive(Clone, Debug)]
pub struct FuellingRoom {
    /// A building with no opening on that side.
    pub sealed_building: Figure<Length>,
    /// A building with an opening on that side.
    pub unsealed_building: Figure<Length>,
    /// Another aircraft that stands.
    pub other_aircraft: Figure<Length>,
    /// Where the public may be.
    pub public_area: Figure<Length>,
    /// Engines, motors, switches, batteries.
    pub ignition: Figure<Length>,
    /// Smoking and open flames.
    pub flame: Figure<Length>,
    /// Telephones, cameras and the like in use.
    pub device: Figure<Length>,
    /// A drain that a spill could run into.
    pub drain: Figure<Length>,
    /// Open water.
    pub water: Figure<Length>,
}

/// How far a running engine stays from what.
#[derive(Clone, Debug)]
pub struct RunningRoom {
    /// A building with no opening on that side.
    pub sealed_building: Figure<Length>,
    /// A building with an opening on that side.
    pub unsealed_building: Figure<Length>,
    /// Another aircraft.
    pub other_aircraft: Figure<Length>,
    /// Where the public may be.
    pub public_area: Figure<Length>,
    /// Spilt fuel.
    pub spill: Figure<Length>,
}

/// Room for people on foot, and for the wings.
#[derive(Clone, Debug)]
pub struct MovingRoom {
    /// Around a propeller disc.
    pub propeller_margin: Figure<Length>,
    /// Behind a running engine.
    pub wake_length: Figure<Length>,
    /// Beside the wingtips on the way out.
    pub wingtip_room: Figure<Length>,
}

/// What stands ready for fuelling, and who may be aboard.
#[derive(Clone, Debug)]
pub struct FuellingFigures {
    /// Part of the hose that stays slack.
    pub hose_slack: Figure<Ratio>,
    /// Number of fire extinguishers.
    pub extinguishers: Figure<Ratio>,
    /// An extinguisher stands no nearer.
    pub extinguisher_near: Figure<Length>,
    /// An extinguisher stands no farther.
    pub extinguisher_far: Figure<Length>,
    /// Whether people may be aboard while fuel flows.
    pub people_aboard_allowed: Allowed,
}

/// Against static.
#[derive(Clone, Debug)]
pub struct StaticFigures {
    /// Time in pipe and hose after the filter.
    pub filter_residence: Figure<Time>,
    /// Conductivity above which no residence is asked.
    pub conductivity_enough: Figure<ElectricalConductivity>,
    /// Greatest velocity until the outlet is covered.
    pub first_velocity: Figure<Velocity>,
    /// Greatest velocity after that.
    pub velocity: Figure<Velocity>,
    /// Greatest velocity times bore.
    pub velocity_bore: Figure<AreaRate>,
}

/// When the fire service is called to a spill.
#[derive(Clone, Debug)]
pub struct SpillFigures {
    /// Above this area.
    pub call_area: Figure<Area>,
    /// Above this width in any direction.
    pub call_width: Figure<Length>,
}

/// Starting by hand, and what a flat battery means.
#[derive(Clone, Debug)]
pub struct StartFigures {
    /// Whether a lone pilot may turn the propeller.
    pub alone_allowed: Allowed,
    /// Whether somebody untrained may.
    pub untrained_allowed: Allowed,
    /// What holds, over the thrust at full throttle.
    pub hold_factor: Figure<Ratio>,
    /// Time for which the battery alone feeds what must stay on.
    pub battery_endurance: Figure<Time>,
    /// Greatest steady load, as part of the rating of the generator.
    pub generator_load_part: Figure<Ratio>,
}

/// Before the aeroplane's own drains are sampled.
#[derive(Clone, Debug)]
pub struct DrainFigures {
    /// Time to stand at least.
    pub settling: Figure<Time>,
    /// Time to stand for each metre of fuel.
    pub settling_rate: Figure<Time>,
}

/// What is reported and kept, and for how long.
#[derive(Clone, Debug)]
pub struct ReportFigures {
    /// Written report of an accident.
    pub accident_form: Figure<Time>,
    /// Written report of an incident.
    pub incident_form: Figure<Time>,
    /// Telephone report of an event with dangerous goods.
    pub dangerous_goods_phone: Figure<Time>,
    /// Written report of an event with dangerous goods.
    pub dangerous_goods_form: Figure<Time>,
    /// Papers of a flight.
    pub records_kept: Figure<Time>,
}

/// Every figure of the ground, for one situation and one grade of fuel.
#[derive(Clone, Debug)]
pub struct GroundFigures {
    /// Distances of fuelling.
    pub fuelling_room: FuellingRoom,
    /// Distances of a running engine.
    pub running_room: RunningRoom,
    /// Room for people and wings.
    pub moving_room: MovingRoom,
    /// Gear and people.
    pub fuelling: FuellingFigures,
    /// Against static.
    pub charge: StaticFigures,
    /// Calls at a spill.
    pub spill: SpillFigures,
    /// Starting.
    pub start: StartFigures,
    /// Samples from the aeroplane's drains.
    pub drain: DrainFigures,
    /// Reports and papers.
    pub report: ReportFigures,
}

impl GroundFigures {
    /// Looks every figure up. Without a grade, what depends on it is not found.
    #[must_use]
    pub fn find(rules: &Rules, situation: &Situation, grade: Option<Grade>) -> Self {
        let ask = Ask { rules, situation, detail: grade.map_or(Detail::NONE, Detail::grade) };
        Self {
            fuelling_room: ask.fuelling_room(),
            running_room: ask.running_room(),
            moving_room: ask.moving_room(),
            fuelling: ask.fuelling(),
            charge: ask.charge(),
            spill: ask.spill(),
            start: ask.start(),
            drain: ask.drain(),
            report: ask.report(),
        }
    }

    /// The distance that fuelling keeps from a thing; `None` when no rule speaks of it.
    #[must_use]
    pub fn fuelling_from(&self, kind: ThingKind) -> Option<&Figure<Length>> {
        let room = &self.fuelling_room;
        Some(match kind {
            ThingKind::SealedBuilding => &room.sealed_building,
            ThingKind::UnsealedBuilding => &room.unsealed_building,
            ThingKind::Aircraft => &room.other_aircraft,
            ThingKind::PublicArea | ThingKind::Person => &room.public_area,
            ThingKind::Road | ThingKind::Engine => &room.ignition,
            ThingKind::Flame => &room.flame,
            ThingKind::Device => &room.device,
            ThingKind::Drain => &room.drain,
            ThingKind::Water => &room.water,
            ThingKind::Obstacle => return None,
        })
    }

    /// The distance that a running engine keeps from a thing; `None` when no rule speaks of it.
    #[must_use]
    pub fn running_from(&self, kind: ThingKind) -> Option<&Figure<Length>> {
        let room = &self.running_room;
        Some(match kind {
            ThingKind::SealedBuilding => &room.sealed_building,
            ThingKind::UnsealedBuilding => &room.unsealed_building,
            ThingKind::Aircraft => &room.other_aircraft,
            ThingKind::PublicArea | ThingKind::Person => &room.public_area,
            _ => return None,
        })
    }
}

/// Of whom what is asked.
struct Ask<'a> {
    rules: &'a Rules,
    situation: &'a Situation,
    detail: Detail,
}

impl Ask<'_> {
    fn figure<Q: FromAmount>(&self, key: Key) -> Figure<Q> {
        quantity(self.rules, key, self.situation, self.detail)
    }

    fn fuelling_room(&self) -> FuellingRoom {
        FuellingRoom {
            sealed_building: self.figure(Key::SiteFuelSealed),
            unsealed_building: self.figure(Key::SiteFuelUnsealed),
            other_aircraft: self.figure(Key::SiteFuelAircraft),
            public_area: self.figure(Key::SiteFuelPublic),
            ignition: self.figure(Key::SiteFuelIgnition),
            flame: self.figure(Key::SiteFuelFlame),
            device: self.figure(Key::SiteFuelDevice),
            drain: self.figure(Key::SiteFuelDrain),
            water: self.figure(Key::SiteFuelWater),
        }
    }

    fn running_room(&self) -> RunningRoom {
        RunningRoom {
            sealed_building: self.figure(Key::SiteRunSealed),
            unsealed_building: self.figure(Key::SiteRunUnsealed),
            other_aircraft: self.figure(Key::SiteRunAircraft),
            public_area: self.figure(Key::SiteRunPublic),
            spill: self.figure(Key::SiteRunSpill),
        }
    }

    fn moving_room(&self) -> MovingRoom {
        MovingRoom {
            propeller_margin: self.figure(Key::SitePropeller),
            wake_length: self.figure(Key::SiteWake),
            wingtip_room: self.figure(Key::SiteWingtip),
        }
    }

    fn fuelling(&self) -> FuellingFigures {
        FuellingFigures {
            hose_slack: self.figure(Key::SiteHoseSlack),
            extinguishers: self.figure(Key::SiteExtinguishers),
            extinguisher_near: self.figure(Key::SiteExtinguisherNear),
            extinguisher_far: self.figure(Key::SiteExtinguisherFar),
            people_aboard_allowed: allowed_for(
                self.rules,
                Key::SitePeopleAboardAllowed,
                self.situation,
                self.detail,
            ),
        }
    }

    fn charge(&self) -> StaticFigures {
        StaticFigures {
            filter_residence: self.figure(Key::StaticResidence),
            conductivity_enough: self.figure(Key::StaticConductive),
            first_velocity: self.figure(Key::StaticFirstVelocity),
            velocity: self.figure(Key::StaticVelocity),
            velocity_bore: self.figure(Key::StaticVelocityBore),
        }
    }

    fn spill(&self) -> SpillFigures {
        SpillFigures {
            call_area: self.figure(Key::SpillCallArea),
            call_width: self.figure(Key::SpillCallWidth),
        }
    }

    fn start(&self) -> StartFigures {
        StartFigures {
            alone_allowed: allowed(self.rules, Key::HandStartAloneAllowed, self.situation),
            untrained_allowed: allowed(self.rules, Key::HandStartUntrainedAllowed, self.situation),
            hold_factor: self.figure(Key::StartHoldFactor),
            battery_endurance: self.figure(Key::BatteryEndurance),
            generator_load_part: self.figure(Key::BatteryLoadPart),
        }
    }

    fn drain(&self) -> DrainFigures {
        DrainFigures {
            settling: self.figure(Key::SampleAircraftSettling),
            settling_rate: self.figure(Key::SampleAircraftSettlingRate),
        }
    }

    fn report(&self) -> ReportFigures {
        ReportFigures {
            accident_form: self.figure(Key::ReportAccidentForm),
            incident_form: self.figure(Key::ReportIncidentForm),
            dangerous_goods_phone: self.figure(Key::ReportDangerousGoodsPhone),
            dangerous_goods_form: self.figure(Key::ReportDangerousGoodsForm),
            records_kept: self.figure(Key::RecordsKept),
        }
    }
}

#[cfg(test)]
mod tests {
    use stillprop_calc::{
        quantity::Mass,
        unit::{D, FT2, H, KG, M, M_S, M2, M2_S, ONE, PERCENT, PS_M, S, Unit},
    };
    use stillprop_rules::{
        builtin,
        pack::Pack,
        situation::{Engine, FlightRules, Operation},
    };

    use super::*;

    fn single() -> Situation {
        Situation {
            operation: Operation::Private,
            flight_rules: FlightRules::VfrDay,
            engine: Engine::Piston,
            mtow: Mass::of(1111.0, KG),
            seats: 3,
        }
    }

    fn found(pack: &str, grade: Option<Grade>) -> GroundFigures {
        GroundFigures::find(&builtin::rules(pack).unwrap(), &single(), grade)
    }

    fn is<Q: FromAmount + Copy>(figure: &Figure<Q>, want: f64, unit: Unit) -> bool {
        figure.as_ref().is_ok_and(|cited| (cited.value.count(unit) - want).abs() < 1e-9)
    }

    /// Whether a key speaks of the ground.
    fn of_the_ground(key: Key) -> bool {
        let families = ["site.", "static.", "spill.", "start.", "sample.aircraft", "report."];
        families.iter().any(|family| key.id().starts_with(family))
    }

    /// A pack that gives every key of the ground, with the key itself as the clause.
    fn each_its_own() -> Rules {
        let mut text = "format = 1\nkind = \"pack\"\nid = \"own\"\ntitle = \"t\"\n\
                        jurisdiction = \"j\"\nedition = \"1\"\nchecked = 2026-11-27\n\
                        [sources.book]\ndocument = \"d\"\nedition = \"1\"\n"
            .to_owned();
        for key in Key::ALL.iter().filter(|key| of_the_ground(**key)) {
            let value = match key.bounds() {
                Some(range) => format!("value = \"{} {}\"", range.max, range.unit.symbol),
                None => "allowed = true".to_owned(),
            };
            text += &format!(
                "[[figure]]\nkey = \"{key}\"\n{value}\nsource = \"book\"\nclause = \"{key}\"\n\
                 status = \"law\"\nread = \"source\"\n"
            );
        }
        Rules::single(Pack::read(&text).unwrap())
    }

    /// Every figure as its citation, which names the key it was found under.
    fn citations(figures: &GroundFigures) -> Vec<&str> {
        fn of<Q>(figure: &Figure<Q>) -> &str {
            figure.as_ref().map_or_else(String::as_str, |cited| &cited.citation)
        }
        fn yes(allowed: &Allowed) -> &str {
            allowed.as_ref().map_or_else(String::as_str, |(_, citation)| citation)
        }
        let GroundFigures {
            fuelling_room: near,
            running_room: run,
            moving_room: room,
            fuelling: gear,
            charge,
            spill,
            start,
            drain,
            report,
        } = figures;
        vec![
            of(&near.sealed_building),
            of(&near.unsealed_building),
            of(&near.other_aircraft),
            of(&near.public_area),
            of(&near.ignition),
            of(&near.flame),
            of(&near.device),
            of(&near.drain),
            of(&near.water),
            of(&run.sealed_building),
            of(&run.unsealed_building),
            of(&run.other_aircraft),
            of(&run.public_area),
            of(&run.spill),
            of(&room.propeller_margin),
            of(&room.wake_length),
            of(&room.wingtip_room),
            of(&gear.hose_slack),
            of(&gear.extinguishers),
            of(&gear.extinguisher_near),
            of(&gear.extinguisher_far),
            yes(&gear.people_aboard_allowed),
            of(&charge.filter_residence),
            of(&charge.conductivity_enough),
            of(&charge.first_velocity),
            of(&charge.velocity),
            of(&charge.velocity_bore),
            of(&spill.call_area),
            of(&spill.call_width),
            yes(&start.alone_allowed),
            yes(&start.untrained_allowed),
            of(&start.hold_factor),
            of(&start.battery_endurance),
            of(&start.generator_load_part),
            of(&drain.settling),
            of(&drain.settling_rate),
            of(&report.accident_form),
            of(&report.incident_form),
            of(&report.dangerous_goods_phone),
            of(&report.dangerous_goods_form),
            of(&report.records_kept),
        ]
    }

    #[test]
    fn every_key_of_the_ground_stands_in_its_own_place() {
        let figures = GroundFigures::find(&each_its_own(), &single(), None);
        let keys: Vec<Key> = Key::ALL.iter().copied().filter(|key| of_the_ground(*key)).collect();
        let said = citations(&figures);
        assert_eq!(said.len(), keys.len());
        for (key, said) in keys.iter().zip(said) {
            assert!(said.contains(&format!(", {key} (law")), "{key}: {said}");
        }
    }

    #[test]
    fn the_check_values_of_the_australian_distances() {
        // Fuelling 5, 9 or 15, 6 and 15 m; running 5, 8, 8 and 15 m, and 15 m from a spill.
        let au = found("au", None);
        assert!(is(&au.fuelling_room.sealed_building, 5.0, M));
        assert!(is(&au.fuelling_room.unsealed_building, 9.0, M));
        assert!(is(&au.fuelling_room.other_aircraft, 6.0, M));
        assert!(is(&au.fuelling_room.public_area, 15.0, M));
        assert!(is(&au.running_room.sealed_building, 5.0, M));
        assert!(is(&au.running_room.unsealed_building, 8.0, M));
        assert!(is(&au.running_room.other_aircraft, 8.0, M));
        assert!(is(&au.running_room.public_area, 15.0, M));
        assert!(is(&au.running_room.spill, 15.0, M));
        assert!(is(&au.fuelling.extinguishers, 2.0, ONE));
        let heavy = Situation { mtow: Mass::of(5701.0, KG), ..single() };
        let heavy = GroundFigures::find(&builtin::rules("au").unwrap(), &heavy, None);
        assert!(is(&heavy.fuelling_room.unsealed_building, 15.0, M));
    }

    #[test]
    fn each_kind_of_figure_arrives_in_its_unit() {
        let us = found("us", None);
        assert!(is(&us.spill.call_area, 50.0, FT2));
        assert!(is(&us.charge.filter_residence, 30.0, S));
        assert!(is(&us.charge.conductivity_enough, 50.0, PS_M));
        assert!(is(&us.charge.velocity, 7.0, M_S));
        assert!(is(&us.charge.velocity_bore, 0.5, M2_S));
        assert!(is(&us.report.dangerous_goods_form, 30.0, D));
        let demo = found("demo-operator", Some(Grade::Avgas));
        assert!(is(&demo.spill.call_area, 2.0, M2));
        assert!(is(&demo.fuelling.hose_slack, 10.0, PERCENT));
        assert!(is(&demo.start.hold_factor, 1.5, ONE));
        assert!(is(&demo.drain.settling, 0.25, H));
    }

    #[test]
    fn what_depends_on_the_grade_is_not_found_without_it() {
        let said = found("demo-operator", None).drain.settling.unwrap_err();
        assert!(said.contains("grade"), "{said}");
        assert!(found("demo-operator", Some(Grade::Jet)).drain.settling.is_ok());
        let aboard = |grade| found("uk", grade).fuelling.people_aboard_allowed;
        assert!(aboard(None).is_err());
        assert!(!aboard(Some(Grade::Avgas)).unwrap().0);
        assert!(aboard(Some(Grade::Jet)).unwrap().0);
    }

    #[test]
    fn what_the_pack_does_not_give_is_not_found() {
        let nz = found("nz", Some(Grade::Avgas));
        assert!(nz.fuelling_room.sealed_building.is_err());
        assert!(nz.start.alone_allowed.is_err());
        assert!(nz.moving_room.propeller_margin.is_err());
    }
}
