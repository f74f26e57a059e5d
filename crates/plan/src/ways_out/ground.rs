//! Another place on the apron, something carried away, a tail tied, a spill taken up.

use stillprop_calc::{
    quantity::{Angle, Force, FromAmount},
    unit,
};
use stillprop_turnaround::{
    document::ground::{EquipmentKind, StartBy, ThingKind},
    limits::{Verdict, site},
    units::Round,
};

use super::{Burden, Case, Edit, Kind, Way, edit::length};
use crate::park::{Mover, Pose};

/// Steps in which an aeroplane is pushed, in metres: as near as people push one to a place they paced
/// out. Common practice, no source.
const PACE: f64 = 0.5;
/// As far as is looked, in paces each way.
const PACES: i32 = 60;
/// Turns that are tried, in degrees.
const TURNS: [f64; 12] =
    [0.0, 15.0, -15.0, 30.0, -30.0, 45.0, -45.0, 60.0, -60.0, 90.0, -90.0, 180.0];
/// Poses that may be measured.
const MOST_POSES: u64 = 400_000;

/// The nearest place at which every limit of the ground holds.
pub(super) fn park(case: &mut Case<'_>) -> Option<Way> {
    if !case.is_of(&["site."]) {
        return None;
    }
    let mut mover = Mover::new(&case.stage, &case.choice).ok()?;
    let present = mover.present()?;
    let mut tries: Vec<(f64, i32, i32, f64)> = Vec::new();
    for east in -PACES..=PACES {
        for north in -PACES..=PACES {
            let far = f64::from(east).hypot(f64::from(north)) * PACE;
            let turns = if far <= 12.0 { &TURNS[..] } else { &TURNS[..1] };
            tries.extend(turns.iter().map(|turn| (far + turn.abs() * 0.05, east, north, *turn)));
        }
    }
    tries.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (_, east, north, turn) in tries {
        if mover.poses > MOST_POSES {
            return None;
        }
        let pose = Pose {
            east: present.east + f64::from(east) * PACE,
            north: present.north + f64::from(north) * PACE,
            heading: present.heading + turn.to_radians(),
        };
        if mover.worth(pose).is_some_and(|worth| worth.holds) && mover.walkable() {
            case.bar.judged += mover.poses;
            return Some(said(case, present, pose, turn));
        }
    }
    None
}

fn said(case: &Case<'_>, from: Pose, to: Pose, turn: f64) -> Way {
    let (east, north) = (to.east - from.east, to.north - from.north);
    let axis = |metres: f64, plus: &str, minus: &str| {
        let word = if metres < 0.0 { minus } else { plus };
        (metres.abs() > 0.01)
            .then(|| format!("{} {word}", case.units.apron(length(metres.abs()), Round::Near)))
    };
    let way: Vec<String> =
        [axis(north, "north", "south"), axis(east, "east", "west")].into_iter().flatten().collect();
    let nose = to.heading().count(unit::DEG);
    let push =
        if way.is_empty() { "turn it".into() } else { format!("push it {}", way.join(" and ")) };
    let nose = if turn == 0.0 {
        "the nose as it is".into()
    } else {
        format!("the nose to {nose:03.0} true")
    };
    let ground = case.stage.documents.turnaround.ground.as_ref();
    let carried = ground.is_some_and(|ground| {
        ground.equipment.iter().any(|each| each.what == EquipmentKind::Extinguisher)
    });
    Way {
        kind: Kind::Park,
        words: format!("{push}, {nose}"),
        remark: carried.then(|| "put the extinguishers out anew, as they stand to it now".into()),
        edits: vec![Edit::Park(to)],
        burden: Burden { metres: east.hypot(north), degrees: turn.abs(), ..Burden::default() },
        tightest: None,
    }
}

/// A device or a person of today that is carried far enough away.
pub(super) fn carry(case: &mut Case<'_>) -> Option<Way> {
    if !case.is_of(&["site.fuel.", "site.run."]) {
        return None;
    }
    let ground = case.stage.documents.turnaround.ground.clone()?;
    for (index, thing) in ground.things.iter().enumerate() {
        if !matches!(thing.is, ThingKind::Device | ThingKind::Person | ThingKind::Flame) {
            continue;
        }
        // Straight away from what it is too near to.
        let mut away: Option<(f64, [f64; 2])> = None;
        site::clearances(&case.stage, &case.choice, |each| {
            let (Ok(closest), Ok(room)) = (each.closest, each.room) else { return };
            let short = room.value.si() - closest.nearest.distance.si();
            let of = each.what == thing.what.value && each.found().verdict() == Verdict::Breaks;
            if of && away.is_none_or(|(most, _)| short > most) {
                let (from, to) = (closest.nearest.from, closest.nearest.to);
                let line = [to.east().si() - from.east().si(), to.north().si() - from.north().si()];
                let long = line[0].hypot(line[1]);
                if long > 0.0 {
                    away = Some((short, line.map(|axis| axis / long)));
                }
            }
        });
        let Some((short, line)) = away else { continue };
        for paces in 0..20 {
            let metres = ((short / PACE).ceil() + f64::from(paces)) * PACE;
            let by = line.map(|axis| axis * metres);
            let edits = vec![Edit::Carry(index, by)];
            if !case.mended_by(&edits) {
                continue;
            }
            return Some(Way {
                kind: Kind::Carry,
                words: format!(
                    "take the {} {} further away",
                    thing.what.value,
                    case.units.apron(length(metres), Round::Up)
                ),
                remark: None,
                edits,
                burden: Burden { metres, moves: 1.0, ..Burden::default() },
                tightest: None,
            });
        }
    }
    None
}

/// The tail tied to something strong enough.
pub(super) fn tie(case: &mut Case<'_>) -> Option<Way> {
    let start = case.stage.documents.turnaround.start.as_ref()?;
    if !case.is_of(&["start.hold"]) || start.by.value != StartBy::Hand {
        return None;
    }
    let slope = start.tail_tie.as_ref().map_or(Angle::of(LEVEL, unit::DEG), |tie| tie.slope.value);
    let tied =
        |hundreds: u32| vec![Edit::TieTail(Force::of(f64::from(hundreds) * 100.0, unit::N), slope)];
    // A stronger tie never holds less.
    let (mut weak, mut strong) = (0, STRONGEST);
    if !case.mended_by(&tied(strong)) {
        return None;
    }
    while strong - weak > 1 {
        let between = weak.midpoint(strong);
        if case.mended_by(&tied(between)) {
            strong = between;
        } else {
            weak = between;
        }
    }
    let hundreds = strong;
    let newton = f64::from(hundreds) * 100.0;
    // What hangs from it says more to a pilot than newtons do.
    let hangs = stillprop_calc::quantity::Mass::of((newton / 9.806_65).ceil(), unit::KG);
    Some(Way {
        kind: Kind::Tie,
        words: format!(
            "tie the tail to something that holds {:.1} kN: as if {} hung from it",
            newton / 1000.0,
            case.units.mass(hangs, Round::Up)
        ),
        remark: Some(format!(
            "rope, fitting and anchor each; led down no more than {:.0} degrees",
            slope.count(unit::DEG)
        )),
        edits: vec![Edit::TieTail(Force::of(newton, unit::N), slope)],
        burden: Burden { jobs: 1.0, ..Burden::default() },
        tightest: None,
    })
}

/// The strongest tie that is tried, in hundreds of newtons. Ours: what holds a car.
const STRONGEST: u32 = 300;
/// How far a rope leads down where nothing is said, in degrees. Common practice, no source.
const LEVEL: f64 = 10.0;

/// Every spill that breaks a limit, taken up.
pub(super) fn take_up(case: &Case<'_>) -> Option<Way> {
    if !case.is_of(&["site.spill.", "site.walk."]) {
        return None;
    }
    let ground = case.stage.documents.turnaround.ground.as_ref()?;
    let wet: Vec<usize> =
        (0..ground.spills.len()).filter(|at| !ground.spills[*at].cleaned).collect();
    if wet.is_empty() {
        return None;
    }
    let said = wet.iter().map(|at| {
        let spill = &ground.spills[*at];
        format!("{} of {}", case.units.fuel(spill.volume.value, Round::Up), spill.what.value)
    });
    #[expect(clippy::cast_precision_loss, reason = "a handful of spills")]
    let jobs = wet.len() as f64;
    Some(Way {
        kind: Kind::TakeUp,
        words: format!(
            "take up the {} and see the ground dry",
            said.collect::<Vec<_>>().join(", and the ")
        ),
        remark: Some("what soaks it up is carried away too: it burns as well".into()),
        edits: wet.into_iter().map(Edit::TakeUp).collect(),
        burden: Burden { jobs, ..Burden::default() },
        tightest: None,
    })
}
