//! From the records of one sheet to its entries as they are now told: a corrected record speaks
//! its replacement, at its own place, and corrections themselves are silent.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::{Finding, Line, Oddity};
use crate::{
    event::{Body, Event, v1, v2},
    record::{Record, RecordId, RecordRef},
};

/// A correction, of whatever version.
struct Fix {
    of: Uuid,
    instead: Option<Box<v2::Entry>>,
}

/// What a record says by itself.
enum Own {
    Entry(v2::Entry),
    Fix(Fix),
}

/// Works the corrections of one sheet into its records, given in any order.
pub(super) fn resolve(records: &[&Record]) -> (Vec<Line>, Vec<Finding>) {
    let mut records: Vec<RecordRef<'_>> = records.iter().map(|it| it.as_ref()).collect();
    records.sort_by_key(|it| (it.order, it.id, it.hash));
    records.dedup();
    let mut findings = Vec::new();
    let mut told = Vec::new();
    let mut places: BTreeMap<Uuid, usize> = BTreeMap::new();
    let mut slots = BTreeSet::new();
    for record in &records {
        let new_slot = slots.insert((record.order.device, record.order.seq));
        let new_id = !places.contains_key(&record.id.0);
        if !(new_slot && new_id) {
            findings.push(Finding::of(record, Oddity::SamePlace));
        }
        // Of two records with one id the first speaks: a correction could not tell them apart.
        if !new_id {
            continue;
        }
        if let Some(own) = own(record) {
            places.insert(record.id.0, told.len());
            told.push((*record, own));
        } else {
            findings.push(Finding::of(record, Oddity::Unreadable));
        }
    }
    let spoken = settle(&told, &places, &mut findings);
    let lines = told.into_iter().zip(spoken).filter_map(|((record, own), spoken)| {
        let what = match (spoken, own) {
            (Some(instead), _) => *instead?,
            (None, Own::Entry(entry)) => entry,
            (None, Own::Fix(_)) => return None,
        };
        let (at_ms, author) = (record.order.at_ms, record.author.to_owned());
        Some(Line { record: record.id, at_ms, author, what })
    });
    (lines.collect(), findings)
}

fn own(record: &RecordRef<'_>) -> Option<Own> {
    Some(match record.event().ok()? {
        Body::V2(event) => match event.into_entry() {
            Ok(entry) => Own::Entry(entry),
            Err(v2::Corrected { of, instead, .. }) => Own::Fix(Fix { of, instead }),
        },
        // A program that knew no sheets could still state that a record of one was wrong.
        Body::V1(Event::Corrected(v1::Corrected { of, instead: None, .. })) => {
            Own::Fix(Fix { of, instead: None })
        }
        Body::V1(_) => return None,
    })
}

/// What each record was made to say by the correction that counts: nothing, an entry, or
/// nothing at all.
///
/// A record is settled once all that correct it are; the latest of them counts. Clocks may
/// disagree, so a correction can stand before what it corrects: what corrects what gives the
/// order, not time. Where corrections go in a circle, the latest of it counts first.
fn settle(
    told: &[(RecordRef<'_>, Own)],
    places: &BTreeMap<Uuid, usize>,
    findings: &mut Vec<Finding>,
) -> Vec<Option<Option<Box<v2::Entry>>>> {
    let fix = |place: usize| match told.get(place) {
        Some((record, Own::Fix(fix))) => Some((record, fix)),
        _ => None,
    };
    let mut waiting = vec![0_usize; told.len()];
    for place in 0..told.len() {
        let Some((record, fix)) = fix(place) else { continue };
        match places.get(&fix.of).and_then(|of| waiting.get_mut(*of)) {
            Some(waiting) => *waiting += 1,
            None => {
                let what = Oddity::CorrectsNothing { of: RecordId(fix.of) };
                findings.push(Finding::of(record, what));
            }
        }
    }
    // By place: the correction that counts so far.
    let mut by: Vec<Option<usize>> = vec![None; told.len()];
    let mut open: Vec<bool> = vec![true; told.len()];
    let mut free: Vec<usize> = (0..told.len()).filter(|place| waiting[*place] == 0).collect();
    loop {
        let cut = || open.iter().rposition(|open| *open);
        let Some(place) = free.pop().or_else(|| {
            let place = cut()?;
            findings.extend(told.get(place).map(|it| Finding::of(&it.0, Oddity::CorrectionLoop)));
            Some(place)
        }) else {
            break;
        };
        if !std::mem::replace(&mut open[place], false) {
            continue;
        }
        let Some(of) = fix(place).and_then(|(_, fix)| places.get(&fix.of).copied()) else {
            continue;
        };
        if by[place].is_none() && open[of] {
            by[of] = by[of].max(Some(place));
        }
        waiting[of] = waiting[of].saturating_sub(1);
        if waiting[of] == 0 {
            free.push(of);
        }
    }
    let spoken = by.into_iter().map(|by| Some(fix(by?)?.1.instead.clone()));
    spoken.collect()
}
