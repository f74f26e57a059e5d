//! The fast path takes no memory: a search may call it a million times.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod demo;

use jiff::SignedDuration;
use stillprop_calc::{
    plane::Point,
    quantity::{Angle, FromAmount, Length, Volume},
    unit,
};
use stillprop_turnaround::{
    limits::{Found, Margins, site::clearances},
    stage::{Choice, Stage},
};

/// Every demonstration turnaround.
const DEMO: [&str; 8] = [
    "ready",
    "over-mass",
    "mid-burn",
    "last-light",
    "missing",
    "crowded-apron",
    "hand-start",
    "spill",
];

/// Other choices of the same stage: people and items moved on, fuel added or not known, up to
/// a day later, the other direction.
fn choices(stage: &Stage, choice: &Choice) -> Vec<Choice> {
    let places = stage.places.len();
    let one = |n: usize| {
        let mut other = choice.clone();
        let moved = |place: &mut usize| *place = (*place + n) % places;
        other.seat_of.iter_mut().flatten().for_each(moved);
        other.place_of.iter_mut().for_each(moved);
        for (tank, fuel) in other.fuel.iter_mut().enumerate() {
            let more = Volume::of(((n + tank) % 7) as f64, unit::L);
            *fuel = if (n + tank) % 13 == 12 { None } else { fuel.map(|fuel| fuel + more) };
        }
        let later = SignedDuration::from_mins(n as i64 * 13);
        other.departs = other.departs.checked_add(later).unwrap();
        other.take_off = (other.take_off + n) % stage.here.ways.len();
        other
    };
    (0..100).map(one).collect()
}

/// Allocations of one call of the fast path.
fn allocations(stage: &Stage, choice: &Choice, margins: &mut Margins) -> u64 {
    allocation_counter::measure(|| stage.margins(choice, margins)).count_total
}

#[test]
fn the_counter_sees_an_allocation() {
    let info = allocation_counter::measure(|| drop(std::hint::black_box(vec![0_u8; 100])));
    assert_eq!(info.count_total, 1);
    let (stage, choice) = demo::stage("ready");
    assert!(allocations(&stage, &choice, &mut Margins::default()) > 0, "a cold buffer must grow");
}

#[test]
fn margins_of_every_demo_turnaround_take_no_memory() {
    for name in DEMO {
        let (stage, choice) = demo::stage(name);
        let mut margins = Margins::default();
        stage.margins(&choice, &mut margins);
        assert!(margins.limits.len() > 20, "{name}: {} limits", margins.limits.len());
        assert_eq!(allocations(&stage, &choice, &mut margins), 0, "{name}");
    }
}

#[test]
fn no_choice_changes_the_number_of_limits_or_takes_memory() {
    for name in DEMO {
        let (stage, choice) = demo::stage(name);
        let mut margins = Margins::default();
        stage.margins(&choice, &mut margins);
        let count = margins.limits.len();
        let mut seen = Vec::new();
        for (n, other) in choices(&stage, &choice).iter().enumerate() {
            assert_eq!(allocations(&stage, other, &mut margins), 0, "{name}, choice {n}");
            assert_eq!(margins.limits.len(), count, "{name}, choice {n}");
            seen.push(format!("{:?}", margins.limits));
        }
        seen.sort();
        seen.dedup();
        assert!(seen.len() > 90, "{name}: only {} different answers", seen.len());
        // The light of a day that was not prepared is looked up, which may take memory.
        let month = SignedDuration::from_hours(24 * 30);
        let departs = choice.departs.checked_add(month).unwrap();
        stage.margins(&Choice { departs, ..choice }, &mut margins);
        assert_eq!(margins.limits.len(), count, "{name}, a month later");
    }
}

/// Distances alone: the way on foot is sought anew for an aeroplane that was moved, and a search
/// for a path takes memory. A search for a place asks the distances first and the path of what
/// is left.
#[test]
fn the_distances_of_an_aeroplane_that_is_moved_take_no_memory() {
    for name in DEMO {
        let (stage, mut choice) = demo::stage(name);
        let (Ok(site), Some(at)) = (&stage.site, choice.parked.as_ref().map(|parked| parked.at))
        else {
            assert_eq!(name, "missing", "only this one leaves the place out");
            continue;
        };
        let mut seen = Vec::new();
        for n in 0..100_i32 {
            let (east, north) = (f64::from(n % 10), f64::from(n / 10));
            let at =
                Point::new(at.east() + Length::from_si(east), at.north() + Length::from_si(north));
            let (at, heading) = (at.unwrap(), Angle::of(f64::from(n * 37 % 360), unit::DEG));
            let (mut count, mut sum) = (0, 0.0);
            let info = allocation_counter::measure(|| {
                let parked = choice.parked.as_mut().unwrap();
                parked.put(&site.airframe, at, heading).unwrap();
                clearances(&stage, &choice, |each| {
                    count += 1;
                    if let Found::Measured(measure) = each.found() {
                        sum += measure.margin();
                    }
                });
            });
            assert_eq!(info.count_total, 0, "{name}, place {n}");
            assert!(count >= 5, "{name}: {count} distances");
            seen.push(sum.to_bits());
        }
        seen.sort_unstable();
        seen.dedup();
        assert!(seen.len() > 90, "{name}: only {} different answers", seen.len());
    }
}
