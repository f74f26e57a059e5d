//! What may go into which slot. A slot is a device's sequence number; one record holds it.
//!
//! Pure rules over the few things a store is asked; every store applies these and has none of
//! its own.

use super::{Head, Refusal, StoreError};
use crate::{
    event::{Body, Event, v1, v2},
    record::{DeviceId, Draft, Hash, Order, Record, RecordId, Subject},
};

/// The last record of a device, with its time.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tip {
    pub(super) head: Head,
    pub(super) at_ms: i64,
}

/// What the rules ask of a store.
pub(super) trait Slots {
    fn tip(&self, device: DeviceId) -> Result<Option<Tip>, StoreError>;
    fn hash_in(&self, device: DeviceId, seq: u64) -> Result<Option<Hash>, StoreError>;
    fn is_fork(&self, hash: Hash) -> Result<bool, StoreError>;
    fn subject_of(&self, id: RecordId) -> Result<Option<Subject>, StoreError>;
}

/// Where a record belongs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// In its slot, which is free and next.
    Log,
    /// Nowhere: it is there already.
    Repeat,
    /// Beside the log.
    Fork,
}

/// The record that a draft becomes as the next of its device.
pub(super) fn next(
    slots: &impl Slots,
    device: DeviceId,
    index: usize,
    draft: Draft,
) -> Result<Record, StoreError> {
    let id = draft.id;
    let refused = |why| StoreError::refused(index, id, why);
    if slots.subject_of(id)?.is_some() {
        return Err(refused(Refusal::IdTaken));
    }
    let subject = subject_of(slots, &draft.event)?.map_err(refused)?;
    let tip = slots.tip(device)?;
    let at_ms = draft.at.as_millisecond();
    let order = Order {
        at_ms: tip.map_or(at_ms, |tip| tip.at_ms.max(at_ms)),
        device,
        seq: tip.map_or(0, |tip| tip.head.seq + 1),
    };
    let previous = tip.map_or(Hash::NONE, |tip| tip.head.hash);
    Record::make(draft, order, subject, previous).map_err(|flaw| refused(Refusal::Flawed(flaw)))
}

/// What a draft is about; a correction stays with what it corrects, in the same version.
fn subject_of(slots: &impl Slots, event: &Body) -> Result<Result<Subject, Refusal>, StoreError> {
    let corrected = |of| Ok::<_, StoreError>(slots.subject_of(RecordId(of))?.ok_or(RecordId(of)));
    Ok(match event {
        Body::V1(Event::Corrected(v1::Corrected { of, instead, .. })) => match corrected(*of)? {
            Err(of) => Err(Refusal::CorrectsUnknown(of)),
            Ok(subject) => {
                let instead = instead.as_deref().and_then(Subject::of);
                let other = instead.is_some_and(|instead| instead != subject);
                if other || subject.is_sheet() {
                    Err(Refusal::CorrectsToOther)
                } else {
                    Ok(subject)
                }
            }
        },
        Body::V2(v2::Event::Corrected(v2::Corrected { sheet, of, instead, .. })) => {
            let own = Subject::sheet(*sheet);
            let other = instead.as_ref().is_some_and(|instead| instead.sheet() != *sheet);
            match corrected(*of)? {
                Err(of) => Err(Refusal::CorrectsUnknown(of)),
                Ok(subject) if other || subject != own => Err(Refusal::CorrectsToOther),
                Ok(_) => Ok(own),
            }
        }
        event => Subject::of_body(event).ok_or(Refusal::CorrectsToOther),
    })
}

/// Where a record from elsewhere belongs.
///
/// Same slot and same hash is a repeat. Another record in a slot that is held, or one that
/// follows such a record, is a fork: kept, never in place of the first.
pub(super) fn place(
    slots: &impl Slots,
    index: usize,
    record: &Record,
) -> Result<Place, StoreError> {
    let refused = |why| Err(StoreError::refused(index, record.id, why));
    if let Err(flaw) = record.as_ref().check() {
        return refused(Refusal::Flawed(flaw));
    }
    let Order { at_ms, device, seq } = record.order;
    if let Some(held) = slots.hash_in(device, seq)? {
        let same = held == record.hash || slots.is_fork(record.hash)?;
        return Ok(if same { Place::Repeat } else { Place::Fork });
    }
    if slots.is_fork(record.hash)? {
        return Ok(Place::Repeat);
    }
    let tip = slots.tip(device)?;
    let (next, previous) = tip.map_or((0, Hash::NONE), |tip| (tip.head.seq + 1, tip.head.hash));
    if seq != next || record.previous != previous {
        let follows_fork = seq > 0 && slots.is_fork(record.previous)?;
        return match (follows_fork, seq == next) {
            (true, _) | (false, true) => Ok(Place::Fork),
            (false, false) => refused(Refusal::Gap { device, missing: next }),
        };
    }
    if tip.is_some_and(|tip| tip.at_ms > at_ms) {
        return refused(Refusal::TimeFell);
    }
    if slots.subject_of(record.id)?.is_some() {
        return refused(Refusal::IdTaken);
    }
    Ok(Place::Log)
}
