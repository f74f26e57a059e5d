//! A flight under VFR day never leaves or lands in the dark, however late it lands.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod demo;

use jiff::Timestamp;
use stillprop_turnaround::{assess::assess, limits::Verdict, units::Units};

#[test]
fn take_off_after_last_light_breaks_and_so_does_the_landing() {
    let (stage, mut choice) = demo::stage("ready");
    for departs in ["2026-12-03T13:30:00Z", "2026-12-03T18:05:00Z", "2026-12-03T21:00:00Z"] {
        choice.departs = departs.parse::<Timestamp>().unwrap();
        let answer = assess(&stage, &choice, &Units::METRIC);
        let light: Vec<_> =
            answer.limits.iter().filter(|limit| limit.id.starts_with("light.")).collect();
        assert_eq!(light.len(), 3);
        let broken = light.iter().filter(|limit| limit.verdict == Verdict::Breaks).count();
        assert!(broken >= 1, "{departs}: {light:?}");
        assert!(!answer.ready());
    }
}
