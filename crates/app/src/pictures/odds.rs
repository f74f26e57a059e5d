//! Odds as dots.

use stillprop_draw::{Limit, Verdict, odds::OddsPicture};
use stillprop_turnaround::{assess::Assessment, stage::Stage};

use super::{aeroplane, turnaround};
use crate::report::search::odds::{Answer, in_words};

/// Limits shown below the dots.
const SHOWN: usize = 6;

/// The dots of an answer.
pub(crate) fn picture(answer: &Answer<'_>, stage: &Stage, assessment: &Assessment) -> OddsPicture {
    let breaks = answer.breaks();
    let row = |name: String, chance| {
        let words = in_words(chance);
        // A limit that breaks at times does not hold; the words say how often.
        let verdict = if chance.share > 0.0 { Verdict::Breaks } else { Verdict::Holds };
        Limit { name, stands: format!("breaks in {words}"), verdict }
    };
    let mut limits = vec![row("all together".into(), breaks)];
    let broken = answer.broken();
    limits.extend(broken.iter().take(SHOWN).map(|(limit, chance)| row(limit.id.clone(), *chance)));
    let mut notes: Vec<String> = answer.advice(breaks).into_iter().map(|one| one + ".").collect();
    notes.extend(
        answer
            .fixed_broken()
            .map(|limit| format!("{} is no matter of chance: {}.", limit.id, limit.words.stands)),
    );
    notes.push(
        "The spread of each input is mostly common practice: stillprop odds lists them.".into(),
    );
    let date = stage.here.offset.to_datetime(answer.departs).date();
    OddsPicture {
        place: aeroplane(assessment),
        day: format!("{date}, {}", turnaround(assessment)),
        breaks: u8::try_from(answer.dots()).ok(),
        words: in_words(breaks),
        limits,
        notes,
    }
}
