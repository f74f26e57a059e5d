//! Containers of the ledger as the plain facts that the judgements take.

use jiff::Timestamp;
use stillprop_calc::{
    quantity::{FromAmount, MassDensity, ThermodynamicTemperature, Volume},
    unit,
};
use stillprop_ledger::{
    event::v1,
    yard::{self, Said, Yard},
};
use stillprop_turnaround::drums;

/// A volume of whole millilitres.
#[expect(clippy::cast_precision_loss, reason = "far below 2^53 millilitres")]
pub(crate) fn volume(millilitres: i64) -> Volume {
    Volume::of(millilitres as f64, unit::ML)
}

/// Whole millilitres of a volume; an event holds no fraction.
#[expect(clippy::cast_possible_truncation, reason = "volumes are bounded to a few cubic metres")]
pub(crate) fn millilitres(volume: Volume) -> i64 {
    volume.count(unit::ML).round() as i64
}

/// Litres of a volume, to the whole millilitre that an event holds.
#[expect(clippy::cast_precision_loss, reason = "far below 2^53 millilitres")]
pub(crate) fn litres(volume: Volume) -> f64 {
    millilitres(volume) as f64 / 1000.0
}

/// An instant of whole milliseconds.
pub(crate) fn instant(at_ms: i64) -> Option<Timestamp> {
    Timestamp::from_millisecond(at_ms).ok()
}

/// Every container at a place, or everywhere; those never received have no facts.
pub(crate) fn containers(yard: &Yard, place: Option<&str>) -> Vec<drums::Container> {
    let there = yard.containers().filter(|c| place.is_none_or(|p| c.place.as_deref() == Some(p)));
    let mut found: Vec<drums::Container> = there.filter_map(|c| container(yard, c)).collect();
    found.sort_by(|a, b| (&a.place, &a.rack, &a.label).cmp(&(&b.place, &b.rack, &b.label)));
    found
}

/// The facts of one container; `None` when it was never received.
pub(crate) fn container(yard: &Yard, of: &yard::Container) -> Option<drums::Container> {
    let received = &of.received.as_ref()?.what;
    let batch = yard.batch(&received.batch);
    let passed = batch.and_then(|batch| {
        batch.retests.iter().filter(|said| said.what.passed).map(|said| said.what.on.0).max()
    });
    let failed = batch.and_then(|batch| batch.retests.last()).filter(|said| !said.what.passed);
    // What was emptied out since is no longer in it.
    let within = yard.recalls(of.id).into_iter().find(|recall| recall.touch.left.is_none());
    let recalled =
        within.map(|recall| format!("batch {} was recalled: {}", recall.batch, recall.said.what));
    let recalled = recalled.or_else(|| {
        failed.map(|said| format!("batch {} failed its test on {}", received.batch, said.what.on.0))
    });
    Some(drums::Container {
        id: of.id.to_string(),
        label: received.label.clone(),
        kind: match received.kind {
            v1::ContainerKind::Drum => drums::Kind::Drum,
            v1::ContainerKind::Tank => drums::Kind::Tank,
            v1::ContainerKind::Bowser => drums::Kind::Bowser,
        },
        place: of.place.clone().unwrap_or_default(),
        rack: of.rack.clone(),
        grade: received.grade.clone(),
        batch: received.batch.clone(),
        supplier: received.supplier.clone(),
        filled: Some(received.filled.0),
        retested: passed,
        left: volume(of.contents_ml),
        capacity: volume(received.capacity_ml),
        depth: None,
        opened: of.opened.and_then(|stamp| instant(stamp.at_ms)),
        seals: of.seals.as_ref().map(seals),
        inspected: of.inspected.as_ref().and_then(|said| instant(said.stamp.at_ms)),
        posture: of.posture.map(posture),
        stands_since: of.still_since_ms.and_then(instant),
        sample: of.sample().and_then(|one| sample(yard, one)),
        recalled,
        condemned: of.condemned.as_ref().map(|said| said.what.clone()),
        severe_damage: of.inspected.as_ref().and_then(damage),
        counted_difference: of.differences.last().map(|row| volume(row.change_ml())),
    })
}

/// How a drum lies, when somebody wrote it down.
pub(crate) fn storage(of: &yard::Container) -> Option<drums::storage::Storage> {
    let stored = &of.stored.as_ref()?.what;
    Some(drums::storage::Storage {
        on_side: of.posture == Some(v1::Posture::OnSide),
        bungs: stored.bungs,
        chocked: stored.chocked,
        off_ground: stored.off_ground,
    })
}

fn seals(said: &Said<v1::Seals>) -> drums::Seals {
    match said.what {
        v1::Seals::Intact => drums::Seals::Intact,
        v1::Seals::Broken => drums::Seals::Broken,
    }
}

fn posture(posture: v1::Posture) -> drums::Posture {
    match posture {
        v1::Posture::OnSide => drums::Posture::OnSide,
        v1::Posture::Upright => drums::Posture::Upright,
        v1::Posture::Tilted => drums::Posture::Tilted,
    }
}

fn sample(yard: &Yard, of: &yard::Sample) -> Option<drums::Sample> {
    #[expect(clippy::cast_precision_loss, reason = "densities are below a million g/m3")]
    let density = |g_m3: i64| MassDensity::of(g_m3 as f64 / 1000.0, unit::KG_M3);
    let temperature = of
        .temperature_mdegc
        .map(|mdegc| ThermodynamicTemperature::of(f64::from(mdegc) / 1000.0, unit::DEGC));
    Some(drums::Sample {
        at: instant(of.stamp.at_ms)?,
        low_point: of.low_point,
        appearance: match of.appearance {
            v1::Appearance::ClearAndBright => drums::Appearance::ClearAndBright,
            v1::Appearance::Haze => drums::Appearance::Haze,
            v1::Appearance::Sediment => drums::Appearance::Sediment,
            v1::Appearance::Water => drums::Appearance::Water,
        },
        colour: yard.text(of.colour).to_owned(),
        paste: match of.paste {
            v1::Paste::Dry => drums::Paste::Dry,
            v1::Paste::Wet => drums::Paste::Wet,
            v1::Paste::NotUsed => drums::Paste::NotUsed,
        },
        density: of.density_g_m3.map(|g_m3| drums::Reading::of(density(g_m3), temperature)),
    })
}

/// Damage that may have loosened the lining, in words.
fn damage(said: &Said<v1::Inspected>) -> Option<String> {
    let seen = &said.what;
    let parts = [
        (seen.dents == v1::Severity::Severe, "severe dents"),
        (seen.rust == v1::Severity::Severe, "severe rust"),
        (seen.lining_sound == Some(false), "loose lining"),
        (!seen.label_legible, "a label that cannot be read"),
    ];
    let found: Vec<&str> = parts.into_iter().filter(|part| part.0).map(|part| part.1).collect();
    (!found.is_empty()).then(|| found.join(", "))
}
