//! Odds as dots.

use stillprop_draw::{Limit, Verdict, odds::OddsPicture};
use stillprop_turnaround::{assess::Assessment, stage::Stage};

use super::{aeroplane, turnaround};
use crate::{ground::verdict, report::search::odds::in_words, search::odds::Drawn};

/// Limits shown below the dots.
const SHOWN: usize = 6;

/// The dots of an answer.
pub(crate) fn picture(answer: &Drawn, stage: &Stage, assessment: &Assessment) -> OddsPicture {
    let breaks = answer.breaks();
    // The verdict is that of what is typed; the words say how often it turns out otherwise.
    let row = |name: String, verdict, chance| Limit {
        name,
        stands: format!("as typed; breaks in {}", in_words(chance)),
        verdict,
    };
    let all = if assessment.ready() { Verdict::Holds } else { Verdict::Breaks };
    let mut limits = vec![row("all together".into(), all, breaks)];
    let broken = answer.broken();
    let shown = broken.iter().take(SHOWN);
    limits.extend(
        shown.map(|(limit, chance)| row(limit.id.clone(), verdict(limit.verdict), *chance)),
    );
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
