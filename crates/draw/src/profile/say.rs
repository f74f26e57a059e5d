//! The profile in words.

use super::{
    Against, Climb, Declared, Need, Obstacle, ProfilePicture, length,
    track::{Track, shown},
};
use crate::{
    ADVICE, Verdict,
    words::{metres_up, whole_down, whole_up},
};

/// `TORA 610 m`.
pub(super) fn declared(against: Against, given: Declared) -> String {
    let word = against.word();
    match given {
        Declared::NotUsed => format!("{word}: not used in this direction"),
        _ => match whole_down(given.metres()) {
            Some(metres) => format!("{word} {metres}"),
            None => format!("{word} unknown"),
        },
    }
}

/// `manual 412 m, with factors 515 m, of TORA 610 m`.
pub(super) fn need(picture: &ProfilePicture, need: &Need) -> String {
    let words = |metres| whole_up(length(metres)).unwrap_or_else(|| "unknown".into());
    format!(
        "manual {}, with factors {}, of {}",
        words(need.manual),
        words(need.factored),
        declared(need.against, picture.declared(need.against))
    )
}

/// `11.5 m above the start at 820 m`.
pub(super) fn obstacle(obstacle: &Obstacle) -> String {
    let distance =
        whole_down(length(obstacle.distance)).unwrap_or_else(|| "unknown distance".into());
    let height = obstacle.height.filter(|height| height.is_finite());
    let height = match height {
        Some(height) if height < 0.0 => {
            // Rounded towards the start: never lower than it is.
            let below = crate::words::metres_down(Some(-height)).unwrap_or_default();
            format!("{below} below the start")
        }
        _ => metres_up(height).map_or_else(
            || "unknown height".to_owned(),
            |metres| format!("{metres} above the start"),
        ),
    };
    format!("{height}, at {distance}")
}

/// `slope 2 % up`.
pub(super) fn slope(picture: &ProfilePicture) -> String {
    let Some(slope) = picture.sound_slope() else { return "slope unknown".into() };
    let percent = (slope * 1000.0).round() / 10.0;
    if percent == 0.0 {
        "level".into()
    } else {
        let way = if percent > 0.0 { "up" } else { "down" };
        format!("slope {} % {way}", percent.abs())
    }
}

/// `heights drawn 8 times larger than lengths`.
pub(super) fn times(track: &Track) -> String {
    let times = track.times();
    if (times - 1.0).abs() < 1e-9 {
        "heights and lengths to one scale".into()
    } else if times > 1.0 {
        format!("heights drawn {times:.0} times larger than lengths")
    } else {
        format!("heights drawn {:.1} times smaller than lengths", 1.0 / times)
    }
}

/// `climb 6.0 %: ...`.
pub(super) fn climb(climb: &Climb) -> String {
    let percent = climb.sound_gradient().map(|gradient| (gradient * 1000.0).floor() / 10.0);
    let percent = percent.map_or_else(|| "unknown".to_owned(), |percent| format!("{percent:.1} %"));
    if climb.words.is_empty() {
        format!("climb {percent}")
    } else {
        format!("climb {percent}, {}", climb.words)
    }
}

/// How many verdicts of each kind the profile shows, worst first.
pub(super) fn tallied(picture: &ProfilePicture) -> [(Verdict, usize); 3] {
    let mut verdicts: Vec<_> = picture.needs.iter().map(|need| picture.verdict(need)).collect();
    verdicts.extend(picture.obstacles.iter().map(Obstacle::shown_verdict));
    Verdict::ALL.map(|of| (of, verdicts.iter().filter(|verdict| **verdict == of).count()))
}

/// All that the profile shows.
pub(super) fn in_words(picture: &ProfilePicture, track: &Track) -> String {
    let mut said = Vec::new();
    for against in Against::ALL {
        let words = declared(against, picture.declared(against));
        said.push(format!("{words} ({}).", against.in_full()));
    }
    said.push(format!("{}; {}.", sentence(&slope(picture)), times(track)));
    for one in &picture.needs {
        let word = picture.verdict(one).word();
        let factors =
            if one.factors.is_empty() { String::new() } else { format!(" ({})", one.factors) };
        let words = need(picture, one);
        said.push(format!("{} {word}: {}; {words}{factors}.", sentence(&one.name), one.margin));
    }
    if let Some(one) = &picture.climb {
        let metres = |metres| whole_up(length(metres)).unwrap_or_else(|| "an unknown place".into());
        said.push(format!(
            "Lift-off at {}, {} at {}, {}.",
            metres(one.lift_off),
            one.screen_words,
            metres(one.screen_at),
            climb(one)
        ));
    }
    for (place, one) in picture.obstacles.iter().enumerate() {
        let (number, word) = (place + 1, one.shown_verdict().word());
        let drawn = if shown(picture, one) { "" } else { ", not drawn" };
        let words = obstacle(one);
        said.push(format!(
            "Obstacle {number} {word}: {}, {words}; {}{drawn}.",
            one.name, one.margin
        ));
    }
    let wind = picture.wind.as_ref().map_or("unknown", |wind| wind.words.as_str());
    said.push(format!("Wind: {wind}."));
    said.extend(picture.notes.iter().cloned());
    said.push(ADVICE.into());
    said.join(" ")
}

/// With a capital at its start.
fn sentence(words: &str) -> String {
    let mut signs = words.chars();
    signs.next().map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

#[cfg(test)]
mod tests {
    use super::super::tests::short;
    use super::*;

    #[test]
    fn what_is_needed_rounds_up_and_what_there_is_down() {
        let mut picture = short();
        picture.tora = Declared::Length(609.9);
        picture.needs[0].manual = Some(411.2);
        picture.needs[0].factored = Some(514.1);
        let said = need(&picture, &picture.needs[0]);
        assert_eq!(said, "manual 412 m, with factors 515 m, of TORA 609 m");
    }

    #[test]
    fn an_obstacle_never_sounds_lower_or_further_than_it_is() {
        let told = |height, distance| {
            let one = Obstacle { height, distance, ..short().obstacles[0].clone() };
            obstacle(&one)
        };
        assert_eq!(told(Some(11.41), Some(820.9)), "11.5 m above the start, at 820 m");
        assert_eq!(told(Some(-3.29), Some(820.0)), "3.2 m below the start, at 820 m");
        assert_eq!(told(Some(f64::NAN), None), "unknown height, at unknown distance");
    }

    #[test]
    fn the_slope_has_a_direction_or_is_unknown() {
        let told = |slope| slope_of(slope);
        assert_eq!(told(Some(0.02)), "slope 2 % up");
        assert_eq!(told(Some(-0.004)), "slope 0.4 % down");
        assert_eq!(told(Some(0.0)), "level");
        for wrong in [None, Some(f64::NAN), Some(f64::INFINITY), Some(0.51)] {
            assert_eq!(told(wrong), "slope unknown");
        }
    }

    fn slope_of(given: Option<f64>) -> String {
        slope(&ProfilePicture { slope: given, ..short() })
    }
}
