//! What a search found, written into the text of a turnaround: the values that it changes, and
//! nothing else.
//!
//! A search works its changes into documents in memory. Here the same changes become text, each with
//! the values that it has there. Whether the text then says what was promised is for whoever writes:
//! [`kept`] compares the two, limit by limit.

use jiff::{Timestamp, tz::Offset};
use stillprop_calc::{
    quantity::FromAmount,
    unit::{self, Unit},
};
use stillprop_plan::ways_out::{Edit, changed};
use stillprop_rules::rules::Rules;
use stillprop_turnaround::{
    assess::Limit,
    document::{
        ground::Ground,
        turnaround::{Draw, Turnaround, Weather, Wind},
    },
    limits::Verdict,
    stage::{Choice, Documents, Stage},
    units::Units,
};

use super::fit::Fitted;
use crate::edit::{
    Step::{At, Key},
    add, count, quoted, set,
    stop::{left_by, path},
    take_away, take_table, unset, value,
};

/// The text after these changes, and the documents that they make; `None` where the text has no
/// place for one of them.
pub(crate) fn edited(
    text: &str,
    documents: &Documents,
    rules: &Rules,
    units: &Units,
    edits: &[Edit],
) -> Option<(String, Documents)> {
    let (mut text, mut now) = (text.to_owned(), documents.clone());
    for edit in edits {
        let after = changed(&now, std::slice::from_ref(edit), rules);
        text = one(&text, edit, &now.turnaround, &after.turnaround, units)?;
        now = after;
    }
    Some((text, now))
}

/// Limits that do not hold in the text that was written as well as they were promised to.
pub(crate) fn kept<'a>(promised: &[Limit], written: &'a [Limit]) -> Vec<&'a Limit> {
    let promise = |id: &str| promised.iter().find(|limit| limit.id == id);
    let worse = |limit: &&Limit| {
        let least = promise(&limit.id).map_or(Verdict::Unknown, |limit| limit.verdict);
        limit.verdict < least
    };
    written.iter().filter(worse).collect()
}

/// The changes of a document that make an arrangement, and the ballast that it takes aboard.
pub(crate) fn of_fit(fitted: &Fitted, units: &Units) -> (Vec<Edit>, Vec<Ballast>) {
    let Fitted { stage, choice, after: Some(after), .. } = fitted else {
        return (Vec::new(), Vec::new());
    };
    let label = |place: usize| stage.places.get(place).map(|place| place.label.clone());
    let mut edits = Vec::new();
    for (person, (now, then)) in choice.seat_of.iter().zip(&after.seat_of).enumerate() {
        if now != then {
            edits.extend(then.and_then(label).map(|seat| Edit::Sit(person, seat)));
        }
    }
    let aboard = choice.place_of.len();
    for (item, (now, then)) in choice.place_of.iter().zip(&after.place_of).enumerate() {
        if now != then {
            edits.extend(label(*then).map(|place| Edit::Stow(item, place)));
        }
    }
    edits.extend(uplifts(stage, choice, after));
    let pieces = after.place_of.iter().zip(&stage.items).skip(aboard);
    let ballast = pieces.filter_map(|(place, item)| {
        let mass = amount(item.mass.as_ref().ok()?.count(units.mass), 3, units.mass);
        Some(Ballast { what: item.what.clone(), place: label(*place)?, mass })
    });
    (edits, ballast.collect())
}

/// A piece of ballast that comes aboard.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Ballast {
    what: String,
    place: String,
    mass: String,
}

/// The text with these pieces among the items.
pub(crate) fn with_ballast(text: &str, ballast: &[Ballast]) -> String {
    ballast.iter().fold(text.to_owned(), |text, piece| {
        let lines = [
            ("what", quoted(&piece.what)),
            ("in", quoted(&piece.place)),
            ("mass", quoted(&piece.mass)),
            ("known", quoted("weighed")),
            // Ballast is nobody's bag: there is nothing to ask of it.
            ("contains", "[]".to_owned()),
        ];
        add(&text, "items", &lines)
    })
}

fn uplifts<'a>(
    stage: &'a Stage,
    choice: &'a Choice,
    after: &'a Choice,
) -> impl Iterator<Item = Edit> + 'a {
    let rows = choice.fuel.iter().zip(&after.fuel).zip(&stage.tanks);
    rows.filter_map(|((now, then), tank)| {
        let (now, then) = ((*now)?, (*then)?);
        let tanks = &stage.documents.turnaround.fuel.tanks;
        let typed = tanks.iter().find(|typed| typed.tank.value == tank.label);
        let aboard = typed.and_then(|typed| typed.on_board.as_ref())?.value;
        let moved = (then - now).si().abs() > 1e-9;
        moved.then(|| Edit::Uplift(tank.label.clone(), then - aboard))
    })
}

fn one(
    text: &str,
    edit: &Edit,
    before: &Turnaround,
    after: &Turnaround,
    units: &Units,
) -> Option<String> {
    let put = |name: &str, literal: &str| set(text, &path(name), literal);
    match edit {
        Edit::Lighten(item, mass) => {
            let mass = amount(mass.count(units.mass), 3, units.mass);
            put(&format!("items.{item}.mass"), &quoted(&mass))
        }
        Edit::LeaveItem(item) => Some(take_away(text, "items", *item)),
        Edit::LeavePerson(person) => Some(take_away(&left_by(text, *person), "people", *person)),
        Edit::Uplift(tank, volume) => {
            let volume = quoted(&amount(volume.count(units.fuel), 3, units.fuel));
            drums(&uplift(text, tank, &volume)?, &before.fuel.drums, &after.fuel.drums, units)
        }
        Edit::Drums(_) => drums(text, &before.fuel.drums, &after.fuel.drums, units),
        Edit::Depart(departs) => depart(text, *departs, before, after),
        Edit::TakeOff(way) => put("take_off", &quoted(way)),
        Edit::BackHere(way) => put("back_here", &quoted(way)),
        Edit::Landing(leg, way) => put(&format!("legs.{leg}.landing"), &quoted(way)),
        Edit::Sit(person, seat) => put(&format!("people.{person}.seat"), &quoted(seat)),
        Edit::Stow(item, place) => put(&format!("items.{item}.in"), &quoted(place)),
        Edit::Park(_) => park(text, after.ground.as_ref()?),
        Edit::Carry(thing, _) => {
            let corners = &after.ground.as_ref()?.things.get(*thing)?.corners.value;
            let corners: Vec<String> = corners.iter().copied().map(spot).collect();
            put(&format!("ground.things.{thing}.corners"), &format!("[{}]", corners.join(", ")))
        }
        Edit::TakeUp(spill) => put(&format!("ground.spills.{spill}.cleaned"), "true"),
        Edit::TieTail(strength, slope) => {
            let strength = quoted(&amount(strength.count(unit::N), 0, unit::N));
            let slope = quoted(&amount(slope.count(unit::DEG), 1, unit::DEG));
            let text = put("start.tail_tie.strength", &strength)?;
            set(&text, &path("start.tail_tie.slope"), &slope)
        }
        Edit::EndAt(leg) => {
            let legs = count(text, &[Key("legs")]);
            let fewer = (leg + 1..legs).rev();
            let text = fewer.fold(text.to_owned(), |text, leg| take_away(&text, "legs", leg));
            Some(take_table(&text, "alternate"))
        }
    }
}

/// A number without the noughts that say nothing.
fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.'),
        false => text.as_str(),
    };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn amount(value: f64, decimals: usize, unit: Unit) -> String {
    format!("{} {}", number(value, decimals), unit.symbol)
}

/// A place in the unit of its ground, to a millimetre where that is a metre.
fn spot([east, north]: [f64; 2]) -> String {
    format!("[{}, {}]", number(east, 3), number(north, 3))
}

fn uplift(text: &str, tank: &str, volume: &str) -> Option<String> {
    let all = count(text, &path("fuel.tanks"));
    let own = |at: &usize| {
        value(text, &path(&format!("fuel.tanks.{at}.tank"))).is_some_and(|it| it.text == tank)
    };
    match (0..all).find(own) {
        Some(at) => set(text, &path(&format!("fuel.tanks.{at}.uplift")), volume),
        None => {
            let lines = [("tank", quoted(tank)), ("uplift", volume.to_owned())];
            Some(add(text, "fuel.tanks", &lines))
        }
    }
}

/// Draws from drums: those that stay keep their lines; where others come, all are written anew.
fn drums(text: &str, before: &[Draw], after: &[Draw], units: &Units) -> Option<String> {
    let same = |a: &Draw, b: &Draw| a.drum.value == b.drum.value && a.tank.value == b.tank.value;
    let draw = |of: &Draw| quoted(&amount(of.draw.value.count(units.fuel), 3, units.fuel));
    let mut left = after.iter().peekable();
    let mut keeps: Vec<Option<&Draw>> = Vec::new();
    for was in before {
        keeps.push(left.next_if(|now| same(was, now)));
    }
    let mut text = text.to_owned();
    if left.peek().is_none() {
        for (at, (was, keep)) in before.iter().zip(keeps).enumerate().rev() {
            match keep {
                None => text = take_away(&text, "fuel.drums", at),
                Some(now) if (now.draw.value - was.draw.value).si().abs() > 1e-9 => {
                    text = set(&text, &path(&format!("fuel.drums.{at}.draw")), &draw(now))?;
                }
                Some(_) => {}
            }
        }
        return Some(text);
    }
    for at in (0..before.len()).rev() {
        text = take_away(&text, "fuel.drums", at);
    }
    for now in after {
        let lines = [
            ("drum", quoted(&now.drum.value)),
            ("draw", draw(now)),
            ("tank", quoted(&now.tank.value)),
        ];
        text = add(&text, "fuel.drums", &lines);
    }
    Some(text)
}

/// Chocks off at another time: fuelling begins as long before it. Where a forecast goes through the
/// day the weather of that time is typed; it says nothing of a time that has none.
fn depart(
    text: &str,
    departs: Timestamp,
    before: &Turnaround,
    after: &Turnaround,
) -> Option<String> {
    let mut text = set(text, &[Key("departs")], &moment(departs, before.departs.offset))?;
    if let (Some(was), Some(now)) = (&before.fuel.begins, &after.fuel.begins) {
        let literal = moment(now.value.instant, was.value.offset);
        text = set(&text, &path("fuel.begins"), &literal)?;
    }
    text = weather(&text, "weather", &before.weather, &after.weather)?;
    for (leg, (was, now)) in before.legs.iter().zip(&after.legs).enumerate() {
        text = weather(&text, &format!("legs.{leg}.weather"), &was.weather, &now.weather)?;
    }
    Some(text)
}

fn weather(text: &str, prefix: &str, was: &Weather, now: &Weather) -> Option<String> {
    let follows = !was.hours.is_empty() || was.minimum.is_some() || was.maximum.is_some();
    if !follows {
        return Some(text.to_owned());
    }
    let mut text = text.to_owned();
    let mut put = |key: &str, literal: Option<String>| -> Option<()> {
        let name = format!("{prefix}.{key}");
        text = match literal {
            Some(literal) => set(&text, &path(&name), &quoted(&literal))?,
            None => unset(&text, &path(&name)),
        };
        Some(())
    };
    let temperature = now.temperature.as_ref();
    put("temperature", temperature.map(|it| amount(it.value.count(unit::DEGC), 2, unit::DEGC)))?;
    let qnh = now.qnh.as_ref();
    put("qnh", qnh.map(|it| amount(it.value.count(unit::HPA), 2, unit::HPA)))?;
    wind(&text, prefix, now.wind.as_ref())
}

fn wind(text: &str, prefix: &str, wind: Option<&Wind>) -> Option<String> {
    let name = format!("{prefix}.wind");
    let Some(wind) = wind else { return Some(unset(text, &path(&name))) };
    let at = |key: &str| format!("{name}.{key}");
    let knots = |speed| quoted(&amount(speed, 2, unit::KT));
    let mut text = set(text, &path(&at("speed")), &knots(wind.speed.value.count(unit::KT)))?;
    text = match &wind.from {
        Some(from) => set(&text, &path(&at("from")), &quoted(&bearing(from.angle)))?,
        None => unset(&text, &path(&at("from"))),
    };
    Some(match &wind.gust {
        Some(gust) => set(&text, &path(&at("gust")), &knots(gust.value.count(unit::KT)))?,
        None => unset(&text, &path(&at("gust"))),
    })
}

/// A true bearing.
fn bearing(angle: stillprop_calc::quantity::Angle) -> String {
    let text = number(angle.count(unit::DEG), 2);
    let (whole, rest) = text.split_at(text.find('.').unwrap_or(text.len()));
    format!("{whole:0>3}{rest} degT")
}

fn moment(at: Timestamp, offset: Offset) -> String {
    let seconds = offset.seconds();
    let sign = if seconds < 0 { '-' } else { '+' };
    let (hours, minutes) = (seconds.abs() / 3600, seconds.abs() / 60 % 60);
    format!("{}{sign}{hours:02}:{minutes:02}", offset.to_datetime(at).strftime("%Y-%m-%dT%H:%M:%S"))
}

/// The aeroplane, and what was put out for it today.
fn park(text: &str, ground: &Ground) -> Option<String> {
    let mut text = set(text, &path("ground.at"), &spot(ground.at.value))?;
    let heading = quoted(&bearing(ground.heading.angle));
    text = set(&text, &path("ground.heading"), &heading)?;
    for (at, each) in ground.equipment.iter().enumerate() {
        let way = [Key("ground"), Key("equipment"), At(at), Key("at")];
        text = set(&text, &way, &spot(each.at.value))?;
    }
    Some(text)
}

#[cfg(test)]
mod tests {
    use stillprop_plan::{
        fit::Answer,
        ways_out::{WaysOut, ways_out},
    };
    use stillprop_turnaround::{assess::limits, document::read_turnaround};

    use super::*;
    use crate::{
        load,
        search::{
            fit::{self, Wishes},
            park, ways_out as search,
        },
        world::{self, DEMO, Source},
    };

    /// A demonstration as the program has it.
    fn demo(name: &str) -> (Source, Stage, Choice, Rules) {
        let source = world::read(&format!("demo/{name}")).unwrap();
        let (stage, choice) = load::turnaround(&source, None, None).unwrap();
        let rules = search::rules(&source, &stage, None).unwrap();
        (source, stage, choice, rules)
    }

    /// The limits of a text in the place of a document.
    fn judged(source: &Source, text: &str) -> Vec<Limit> {
        let source = Source { text: text.to_owned(), ..source.clone() };
        let (stage, choice) = load::turnaround(&source, None, None).unwrap();
        limits(&stage, &choice, &stage.document_units)
    }

    fn promised(documents: Documents, rules: &Rules, units: &Units) -> Vec<Limit> {
        let (stage, choice) = stillprop_turnaround::stage::prepare(documents, rules);
        limits(&stage, &choice, units)
    }

    fn names() -> impl Iterator<Item = &'static str> {
        let all = DEMO.iter().filter_map(|(name, _)| name.split_once("/turnarounds/"));
        all.filter_map(|(_, file)| file.strip_suffix(".toml"))
    }

    /// Lines that one text has and the other has not.
    fn differing(a: &str, b: &str) -> usize {
        let new =
            |a: &str, b: &str| a.lines().filter(|line| !b.lines().any(|it| it == *line)).count();
        new(a, b) + new(b, a)
    }

    #[test]
    fn every_way_out_of_every_demonstration_holds_when_it_is_written() {
        let mut count = 0;
        for name in names() {
            let (source, stage, _, rules) = demo(name);
            let units = stage.document_units;
            let found: WaysOut = ways_out(&stage.documents, &rules, &units);
            for way in &found.ways {
                let (text, documents) =
                    edited(&source.text, &stage.documents, &rules, &units, &way.edits).unwrap();
                let written = judged(&source, &text);
                let worse = kept(&promised(documents, &rules, &units), &written);
                assert!(worse.is_empty(), "{name}: {}: {worse:#?}\n{text}", way.words);
                assert!(
                    written.iter().all(|limit| limit.verdict != Verdict::Breaks),
                    "{name}: {}",
                    way.words
                );
                // A value or two, and nothing else.
                assert!(differing(&source.text, &text) <= 20, "{name}: {}\n{text}", way.words);
                count += 1;
            }
        }
        assert!(count >= 8, "{count}");
    }

    #[test]
    fn a_fit_is_written_with_its_ballast_and_holds() {
        for (name, wishes) in [
            ("mid-burn", Wishes::default()),
            ("mid-burn", Wishes { ballast: Some("10 kg".into()), ..Wishes::default() }),
            ("over-mass", Wishes::default()),
        ] {
            let (source, stage, choice, rules) = demo(name);
            let units = stage.document_units;
            let fitted = fit::run(&stage, &choice, &wishes, 1_000_000, &mut || false).unwrap();
            assert!(matches!(fitted.answer, Answer::Fits(..)), "{name}");
            let after = fitted.after.clone().unwrap();
            let (edits, ballast) = of_fit(&fitted, &units);
            assert!(!edits.is_empty(), "{name}");
            let (text, _) = edited(&source.text, &stage.documents, &rules, &units, &edits).unwrap();
            let text = with_ballast(&text, &ballast);
            let worse = judged(&source, &text);
            let worse = kept(&limits(&fitted.stage, &after, &units), &worse);
            assert!(worse.is_empty(), "{name}: {worse:#?}\n{text}");
            let items = read_turnaround(&text).unwrap().items.len();
            assert_eq!(items, stage.items.len() + ballast.len(), "{name}");
        }
    }

    #[test]
    fn ballast_comes_aboard_as_an_item_that_holds_nothing_dangerous() {
        let (source, stage, ..) = demo("mid-burn");
        let piece = |number: u8| Ballast {
            what: format!("ballast {number}"),
            place: "pod".into(),
            mass: "10 kg".into(),
        };
        let text = with_ballast(&source.text, &[piece(1), piece(2)]);
        let items = read_turnaround(&text).unwrap().items;
        assert_eq!(items.len(), stage.items.len() + 2, "{text}");
        let last = items.last().unwrap();
        assert_eq!((last.what.value.as_str(), last.place.value.as_str()), ("ballast 2", "pod"));
        assert!(last.contains.as_ref().is_some_and(Vec::is_empty));
        let family = |limit: &&Limit| limit.id.starts_with("people.");
        let judged = judged(&source, &text);
        assert!(judged.iter().filter(family).all(|limit| limit.verdict == Verdict::Holds));
    }

    #[test]
    fn a_parking_place_is_written_with_what_was_put_out_today() {
        let (source, stage, choice, rules) = demo("crowded-apron");
        let units = stage.document_units;
        let place = park::run(&stage, &choice, park::MOST, || false).unwrap().place.unwrap();
        let edits = [Edit::Park(place.pose)];
        let (text, documents) =
            edited(&source.text, &stage.documents, &rules, &units, &edits).unwrap();
        assert!(
            kept(&promised(documents.clone(), &rules, &units), &judged(&source, &text)).is_empty()
        );
        let (now, then) = (read_turnaround(&text).unwrap(), documents.turnaround);
        let (now, then) = (now.ground.unwrap(), then.ground.unwrap());
        for axis in 0..2 {
            assert!((now.at.value[axis] - then.at.value[axis]).abs() < 0.001);
        }
        let moved = now.equipment.iter().zip(&then.equipment);
        assert!(moved.clone().count() > 0);
        assert!(moved.into_iter().all(|(a, b)| (a.at.value[0] - b.at.value[0]).abs() < 0.001));
    }

    #[test]
    fn a_forecast_is_typed_for_another_time_and_a_typed_weather_stays() {
        let (source, stage, choice, rules) = demo("last-light");
        let units = stage.document_units;
        let earlier = choice.departs - jiff::SignedDuration::from_mins(30);
        let edits = [Edit::Depart(earlier)];
        let (text, _) = edited(&source.text, &stage.documents, &rules, &units, &edits).unwrap();
        assert_eq!(read_turnaround(&text).unwrap().departs.instant, earlier);
        assert!(differing(&source.text, &text) <= 4, "{text}");
        let hot = source.text.replacen(
            "[weather]\n",
            "[weather]\nminimum = \"12 degC\"\nmaximum = \"31 degC\"\n",
            1,
        );
        let hot = Source { text: hot, ..source };
        let (stage, _) = load::turnaround(&hot, None, None).unwrap();
        let (text, documents) =
            edited(&hot.text, &stage.documents, &rules, &units, &edits).unwrap();
        let read = read_turnaround(&text).unwrap();
        let degrees = |of: &Turnaround| of.weather.temperature.as_ref().map(|it| it.value.si());
        let (written, wanted) = (degrees(&read).unwrap(), degrees(&documents.turnaround).unwrap());
        assert!((written - wanted).abs() < 0.01, "{written} {wanted}");
        assert!(read.weather.maximum.is_some(), "the forecast stays for other times");
    }

    #[test]
    fn numbers_have_no_noughts_that_say_nothing() {
        for (value, decimals, text) in [
            (10.0, 3, "10"),
            (0.5, 3, "0.5"),
            (-0.0001, 3, "0"),
            (86.0, 0, "86"),
            (-1.25, 2, "-1.25"),
        ] {
            assert_eq!(number(value, decimals), text);
        }
        let angle = |degrees| stillprop_calc::quantity::Angle::of(degrees, unit::DEG);
        assert_eq!(bearing(angle(7.5)), "007.5 degT");
        assert_eq!(bearing(angle(120.0)), "120 degT");
    }

    #[test]
    fn drums_that_stay_keep_their_lines_and_others_come_anew() {
        let (source, stage, _, rules) = demo("ready");
        let units = stage.document_units;
        let litres = |litres: f64| stillprop_calc::quantity::Volume::of(litres, unit::L);
        let edits = [Edit::Uplift("left wing".into(), litres(40.0))];
        let (text, _) = edited(&source.text, &stage.documents, &rules, &units, &edits).unwrap();
        assert!(text.contains("draw = \"40 L\"") && text.contains("draw = \"55 L\""), "{text}");
        let edits = [Edit::Uplift("left wing".into(), litres(0.0))];
        let (text, _) = edited(&source.text, &stage.documents, &rules, &units, &edits).unwrap();
        assert_eq!(read_turnaround(&text).unwrap().fuel.drums.len(), 1, "{text}");
        let other = vec![("NT-11".to_owned(), litres(105.0), "right wing".to_owned())];
        let edits = [Edit::Drums(other)];
        let (text, _) = edited(&source.text, &stage.documents, &rules, &units, &edits).unwrap();
        let drums = read_turnaround(&text).unwrap().fuel.drums;
        assert_eq!(drums.len(), 1, "{text}");
        assert_eq!(drums[0].drum.value, "NT-11");
        assert!(text.contains("[[fuel.drums]]"), "{text}");
    }
}
