//! A stage and a choice as a strip profile.

use stillprop_calc::{
    quantity::{FromAmount, Length},
    unit,
};
use stillprop_draw::profile::{
    Against, AlongWind, Climb, Declared, Need, Obstacle, ProfilePicture,
};
use stillprop_turnaround::{
    document::aircraft::Distance,
    limits::{
        Verdict,
        strip::{Reach, gradients, reaches},
    },
    stage::{Choice, Setting, Stage, runway::Way},
    units::{Round, Units},
};

use super::verdict;

/// The height that a take-off distance ends at: 50 ft.
const SCREEN_FT: f64 = 50.0;

/// The profile of the take-off direction; the landing bar is that of coming straight back.
pub(crate) fn picture(stage: &Stage, choice: &Choice, units: &Units) -> ProfilePicture {
    let way = &stage.here.ways[choice.take_off];
    let reaches = reaches(stage, choice);
    let aircraft = &stage.documents.aircraft;
    ProfilePicture {
        place: format!("{} {}", stage.here.name, way.name),
        day: format!("{} {}", aircraft.registration, aircraft.type_name),
        slope: way.slope.map(|slope| slope.value),
        tora: declared(way.tora),
        toda: declared(way.toda),
        lda: back(stage).map_or(Declared::Unknown, |way| declared(way.lda)),
        needs: reaches.iter().map(|reach| need(reach, units)).collect(),
        climb: Some(climb(stage, choice, &reaches)),
        obstacles: way
            .obstacles
            .iter()
            .map(|each| obstacle(stage, choice, &reaches, each))
            .collect(),
        wind: wind(way, units),
        notes: notes(stage, way),
    }
}

fn declared(length: Setting<Length>) -> Declared {
    match length {
        Setting::Is(length) => Declared::Length(length.count(unit::M)),
        Setting::None => Declared::NotUsed,
        Setting::Missing => Declared::Unknown,
    }
}

fn need(reach: &Reach, units: &Units) -> Need {
    let (name, against) = match reach.on {
        Distance::TakeOffRun => ("take-off run", Against::Tora),
        Distance::LandingDistance => ("landing straight back", Against::Lda),
        Distance::TakeOffDistance | Distance::AccelerateStop => {
            ("take-off distance", Against::Toda)
        }
    };
    let metres = |length: Length| length.count(unit::M);
    let needed = reach.needed.as_ref();
    let (margin, found) = match (needed, reach.available) {
        (Err(why), _) => (why.clone(), Verdict::Unknown),
        (Ok(_), Setting::Missing) => ("what there is, is not given".into(), Verdict::Unknown),
        (Ok(_), Setting::None) => ("not used that way".into(), Verdict::Breaks),
        (Ok((_, needed)), Setting::Is(there)) if *needed <= there => {
            (format!("{} left", units.strip(there - *needed, Round::Down)), Verdict::Holds)
        }
        (Ok((_, needed)), Setting::Is(there)) => {
            (format!("{} short", units.strip(*needed - there, Round::Up)), Verdict::Breaks)
        }
    };
    Need {
        name: name.into(),
        against,
        manual: needed.ok().map(|(manual, _)| metres(*manual)),
        factored: needed.ok().map(|(_, needed)| metres(*needed)),
        factors: needed.ok().map_or_else(String::new, |(manual, needed)| {
            format!("manual x {:.2}", needed.si() / manual.si())
        }),
        margin,
        verdict: verdict(found),
    }
}

fn climb(stage: &Stage, choice: &Choice, reaches: &[Reach]) -> Climb {
    let factored = |on: Distance| {
        let reach = reaches.iter().find(|reach| reach.on == on)?;
        reach.needed.as_ref().ok().map(|(_, needed)| needed.count(unit::M))
    };
    let found = gradients(stage, choice);
    let percent = |ratio: stillprop_calc::quantity::Ratio| ratio.count(unit::PERCENT);
    Climb {
        lift_off: factored(Distance::TakeOffRun),
        screen_at: factored(Distance::TakeOffDistance),
        screen: Length::of(SCREEN_FT, unit::FT).count(unit::M),
        screen_words: "50 ft".into(),
        gradient: found.as_ref().ok().map(|(has, _)| has.value),
        words: match &found {
            Ok((_, asked)) => format!("{:.1} % asked", percent(*asked)),
            Err(why) => format!("climb unknown: {why}"),
        },
    }
}

/// Height above the start of the run against an obstacle, along the line of climb.
fn obstacle(
    stage: &Stage,
    choice: &Choice,
    reaches: &[Reach],
    (what, distance, height): &(String, Length, Length),
) -> Obstacle {
    let climb = climb(stage, choice, reaches);
    let slope = stage.here.ways[choice.take_off].slope.map(|slope| slope.value);
    let over = || {
        let (at, gradient, slope) = (climb.screen_at?, climb.gradient?, slope?);
        let from_screen = distance.count(unit::M) - at;
        // Before the screen height is reached nothing is said of the height.
        let above =
            (from_screen >= 0.0).then_some(slope * at + climb.screen + gradient * from_screen)?;
        Some(above - height.count(unit::M))
    };
    let over = over();
    let found = match over {
        None => Verdict::Unknown,
        Some(over) if over >= 0.0 => Verdict::Holds,
        Some(_) => Verdict::Breaks,
    };
    Obstacle {
        name: what.clone(),
        distance: Some(distance.count(unit::M)),
        height: Some(height.count(unit::M)),
        margin: match over {
            None => "height over it unknown".into(),
            Some(over) if over >= 0.0 => format!("passed {:.0} m above", over.floor()),
            Some(over) => format!("{:.0} m too low", (-over).ceil()),
        },
        verdict: verdict(found),
    }
}

fn wind(way: &Way, units: &Units) -> Option<AlongWind> {
    let wind = way.wind.as_ref().ok()?;
    let head = wind.head.count(unit::KT);
    let along = if head < 0.0 {
        format!("tailwind {}", units.speed(-wind.head, Round::Up))
    } else {
        format!("headwind {}", units.speed(wind.head, Round::Down))
    };
    let words = format!("{along}, across {}", units.speed(wind.cross, Round::Up));
    Some(AlongWind { head: Some(head), words })
}

/// The direction of a landing straight back.
fn back(stage: &Stage) -> Option<&Way> {
    stage.here.ways.get(stage.back_here?)
}

fn notes(stage: &Stage, way: &Way) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(back) = back(stage).filter(|back| back.name != way.name) {
        let lda = "its LDA is shown from the same end";
        notes.push(format!("The landing straight back is on {}, the other way; {lda}.", back.name));
    }
    notes.push("The climb is that of still air.".into());
    notes
}
