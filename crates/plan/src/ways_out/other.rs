//! Another direction, another time, other drums.

use stillprop_calc::quantity::{FromAmount, Volume};
use stillprop_turnaround::{
    document::turnaround::Method, drums::choose::choose, limits::light::clock, units::Round,
};

use super::{Burden, Case, Edit, Kind, Way};
use crate::window::window;

/// Another direction of take-off, of coming back, of landing; the fewest changes first.
pub(super) fn direction(case: &mut Case<'_>) -> Option<Way> {
    if !case.is_of(&["strip.", "load."]) {
        return None;
    }
    let ways = 0..case.stage.here.ways.len();
    let (take_off, back) = (case.choice.take_off, case.stage.back_here);
    let mut all: Vec<(usize, Option<usize>)> =
        ways.clone().flat_map(|off| ways.clone().map(move |back| (off, Some(back)))).collect();
    let count = |(off, to): &(usize, Option<usize>)| {
        usize::from(*off != take_off) + usize::from(*to != back)
    };
    all.sort_by_key(count);
    let mut stage = case.stage.clone();
    let mut choice = case.choice.clone();
    let here = all.into_iter().filter(|pair| count(pair) > 0).find(|(off, to)| {
        (choice.take_off, stage.back_here) = (*off, *to);
        case.bar.mends(&stage, &choice).is_some()
    });
    let name = |way: usize| case.stage.here.ways[way].name.clone();
    if let Some((off, to)) = here {
        let (mut edits, mut said) = (Vec::new(), Vec::new());
        if off != take_off {
            edits.push(Edit::TakeOff(name(off)));
            said.push(format!("take off on {} instead of {}", name(off), name(take_off)));
        }
        if let Some(to) = to.filter(|_| to != back) {
            edits.push(Edit::BackHere(name(to)));
            said.push(format!("plan to come straight back on {}", name(to)));
        }
        return Some(way(said.join(", and "), edits));
    }
    landing(case)
}

fn landing(case: &mut Case<'_>) -> Option<Way> {
    let mut stage = case.stage.clone();
    for leg in 0..stage.there.len() {
        let Some(spot) = &case.stage.there[leg] else { continue };
        for to in (0..spot.ways.len()).filter(|to| Some(*to) != case.stage.landing_way[leg]) {
            stage.landing_way[leg] = Some(to);
            if case.bar.mends(&stage, &case.choice).is_some() {
                let name = spot.ways[to].name.clone();
                let words = format!("land on {name} at {}", spot.name);
                return Some(way(words, vec![Edit::Landing(leg, name)]));
            }
        }
        stage.landing_way[leg] = case.stage.landing_way[leg];
    }
    None
}

fn way(words: String, edits: Vec<Edit>) -> Way {
    #[expect(clippy::cast_precision_loss, reason = "two at most")]
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
