//! Another direction, another time, other drums.

use stillprop_calc::quantity::{FromAmount, Volume};
use stillprop_turnaround::{
    document::turnaround::Method, drums::choose::choose, limits::light::clock, units::Round,
};

use super::{Burden, Case, Edit, Kind, Way};
use crate::window::window;

/// Another direction of take-off, of coming back, of landing: the fewest changes that mend.
pub(super) fn direction(case: &mut Case<'_>) -> Option<Way> {
    if !case.is_of(&["strip.", "load."]) {
        return None;
    }
    let stage = &case.stage;
    // Take-off, coming back, then each landing: how many ways there are, and the one of now.
    let mut parts = vec![
        (stage.here.ways.len(), Some(case.choice.take_off)),
        (stage.here.ways.len(), stage.back_here),
    ];
    parts.extend(
        stage
            .there
            .iter()
            .zip(&stage.landing_way)
            .map(|(spot, now)| (spot.as_ref().map_or(0, |spot| spot.ways.len()), *now)),
    );
    let mut turned = Vec::new();
    (1..=MOST_TURNED).find_map(|count| turn(case, &parts, 0, count, &mut turned))
}

/// Directions that change at once. Ours: nobody flies a fourth.
const MOST_TURNED: usize = 3;

/// Changes exactly `left` of the parts from `from` on, beside those that are turned.
fn turn(
    case: &mut Case<'_>,
    parts: &[(usize, Option<usize>)],
    from: usize,
    left: usize,
    turned: &mut Vec<(usize, usize)>,
) -> Option<Way> {
    if left == 0 {
        return turned_ways(case, turned);
    }
    for (part, (ways, now)) in parts.iter().enumerate().skip(from) {
        for to in (0..*ways).filter(|to| Some(*to) != *now) {
            turned.push((part, to));
            let found = turn(case, parts, part + 1, left - 1, turned);
            turned.pop();
            if found.is_some() {
                return found;
            }
        }
    }
    None
}

/// The way out when these changes mend.
fn turned_ways(case: &mut Case<'_>, turned: &[(usize, usize)]) -> Option<Way> {
    let (mut stage, mut choice) = (case.stage.clone(), case.choice.clone());
    let (mut edits, mut said) = (Vec::new(), Vec::new());
    for (part, to) in turned.iter().copied() {
        let here = |way: usize| stage.here.ways[way].name.clone();
        match part.checked_sub(2) {
            None if part == 0 => {
                edits.push(Edit::TakeOff(here(to)));
                said.push(format!("take off on {} instead of {}", here(to), here(choice.take_off)));
                choice.take_off = to;
            }
            None => {
                edits.push(Edit::BackHere(here(to)));
                said.push(format!("plan to come straight back on {}", here(to)));
                stage.back_here = Some(to);
            }
            Some(leg) => {
                let spot = stage.there[leg].as_ref()?;
                let name = spot.ways[to].name.clone();
                said.push(format!("land on {name} at {}", spot.name));
                edits.push(Edit::Landing(leg, name));
                stage.landing_way[leg] = Some(to);
            }
        }
    }
    case.bar.mends(&stage, &choice)?;
    Some(way(said.join(", and "), edits))
}

fn way(words: String, edits: Vec<Edit>) -> Way {
    #[expect(clippy::cast_precision_loss, reason = "three at most")]
    let directions = edits.len() as f64;
    let burden = Burden { directions, ..Burden::default() };
    Way { kind: Kind::Direction, words, remark: None, edits, burden, tightest: None }
}

/// The nearest time of the day that mends.
pub(super) fn time(case: &mut Case<'_>) -> Option<Way> {
    if !case.is_of(&["strip.", "light.", "drum.", "sample.", "start.", "site.wind"]) {
        return None;
    }
    let found = window(&case.stage, &case.choice, case.units);
    let departs = case.choice.departs;
    let at = found.nearest(departs)?;
    let offset = case.stage.here.offset;
    let minutes = at.duration_since(departs).as_secs_f64() / 60.0;
    let (at_clock, whole) = (clock(at, offset), minutes.abs().ceil());
    let words = if minutes < 0.0 {
        format!("have chocks off by {at_clock}, {whole:.0} min earlier")
    } else {
        format!("wait: chocks off at {at_clock} or later, {whole:.0} min later")
    };
    let typed = found.weather.iter().any(|(_, basis)| *basis == crate::forecast::Basis::Typed);
    let remark = typed.then(|| "in the weather as typed for the planned time".to_owned());
    Some(Way {
        kind: Kind::Time,
        words,
        remark,
        edits: vec![Edit::Depart(at)],
        burden: Burden { minutes: minutes.abs(), ..Burden::default() },
        tightest: None,
    })
}

/// The drums that the yard offers instead.
pub(super) fn drum(case: &Case<'_>) -> Option<Way> {
    if !case.is_of(&["drum.", "sample."]) || case.stage.method != Some(Method::Drum) {
        return None;
    }
    let stage = &case.stage;
    let yard = stage.documents.yard.as_ref()?;
    let named = stage.documents.turnaround.fuel.yard.as_ref();
    let place = named.map_or(&stage.here.name, |named| &named.value);
    let here = yard.iter().filter(|container| container.place == *place);
    let occasion = stage.occasion(&case.choice);
    let wanted: Vec<(String, Volume)> = (0..stage.tanks.len())
        .filter_map(|tank| {
            Some((stage.tanks[tank].label.clone(), stage.uplift(&case.choice, tank)?))
        })
        .filter(|(_, up)| up.si() > 0.0)
        .collect();
    let needed: Volume = wanted.iter().map(|(_, up)| *up).sum();
    let drawing =
        choose(here, needed, occasion.begins.unwrap_or(occasion.latest), &occasion).ok()?;
    if drawing.short.si() > 1e-9 {
        return None;
    }
    let mut draws = Vec::new();
    let mut picks = drawing.picks.iter().map(|pick| (pick.container, pick.draw));
    let mut open = picks.next();
    for (tank, mut up) in wanted {
        while up.si() > 1e-9 {
            let (container, left) = open?;
            let draw = if left < up { left } else { up };
            draws.push((container.label.clone(), draw, tank.clone()));
            up -= draw;
            open = if left - draw > Volume::from_si(1e-9) {
                Some((container, left - draw))
            } else {
                picks.next()
            };
        }
    }
    let said = drawing.picks.iter().map(|pick| {
        format!("{} from {}", case.units.fuel(pick.draw, Round::Up), pick.container.label)
    });
    #[expect(clippy::cast_precision_loss, reason = "a handful of drums")]
    let moves = drawing.picks.len() as f64;
    Some(Way {
        kind: Kind::Drum,
        words: format!("draw {}", said.collect::<Vec<_>>().join(", ")),
        remark: None,
        edits: vec![Edit::Drums(draws)],
        burden: Burden { moves, ..Burden::default() },
        tightest: None,
    })
}
