//! The figures around the limits: how fast to pump, whom to call, what runs away, what is lost.

use std::f64::consts::PI;

use stillprop_calc::{
    quantity::FromAmount,
    unit::{A, L_MIN, M2, MIN, N, S},
};
use stillprop_turnaround::assess::ground::{self, GroundView, PumpView, StartView};

use super::*;

fn view(name: &str, edits: &[Edit]) -> GroundView {
    let (stage, choice) = stage(read(name, &edited(name, edits)));
    ground::ground(&stage, &choice).unwrap()
}

fn start(name: &str, edits: &[Edit]) -> StartView {
    let (stage, _) = stage(read(name, &edited(name, edits)));
    ground::start(&stage)
}

fn pumping(edits: &[Edit]) -> PumpView {
    view("base", edits).pumping.unwrap()
}

#[test]
fn distances_stand_tightest_first_and_say_what_the_limits_say() {
    for name in PARKED {
        let judged = Judged::after(name, &[]);
        let view = view(name, &[]);
        let mut last = (Verdict::Breaks, f64::NEG_INFINITY);
        for each in &view.clearances {
            assert_eq!(judged.verdict(&each.id), each.verdict, "{name} {}", each.id);
            let measure = judged.measure(&each.id);
            assert!((each.measured.unwrap().value - measure.value.si).abs() < 1e-12);
            let here = (each.verdict, measure.share());
            assert!(here >= last, "{name} {}: {here:?} after {last:?}", each.id);
            last = here;
        }
        assert!(view.clearances.len() >= 5, "{name}");
    }
}

#[test]
fn the_rates_to_pump_at_are_velocity_times_the_area_of_the_bore() {
    let area = PI * 0.025 * 0.025 / 4.0;
    let litres = |velocity: f64| velocity * area * 60_000.0;
    let found = pumping(&[]);
    assert!((found.first.unwrap().count(L_MIN) - litres(1.0)).abs() < 1e-6, "{found:?}");
    assert!((found.most.unwrap().count(L_MIN) - litres(7.0)).abs() < 1e-6, "{found:?}");
    // Fuel that conducts needs no rest. eps0 eps_r / kappa = 8.854e-12 * 2 / 120e-12.
    assert!(found.for_rest.is_none(), "{found:?}");
    let tau = 8.854_187_812_8e-12 * 2.0 / 120e-12;
    assert!((found.relaxation.unwrap().count(S) - tau).abs() < 1e-6, "{found:?}");
    // 8 m of hose in half a minute.
    for (edit, known) in [
        (day("\"120 pS/m\"", "\"50 pS/m\""), true),
        (day(", conductivity = \"120 pS/m\"", ""), false),
    ] {
        let found = pumping(&[edit]);
        assert!((found.for_rest.unwrap().count(L_MIN) - litres(8.0 / 30.0)).abs() < 1e-6);
        // The time to fall is known only where the conductivity is.
        assert_eq!(found.relaxation.is_some(), known, "{found:?}");
    }
    let wide = pumping(&[day("bore = \"25 mm\"", "bore = \"100 mm\"")]);
    // Through 100 mm half a square metre a second is 5 m/s, below the 7 of the velocity.
    let most = 5.0 * PI * 0.01 / 4.0 * 60_000.0;
    assert!((wide.most.unwrap().count(L_MIN) - most).abs() < 1e-6, "{wide:?}");
    let silent = view("base", &[day("bore = \"25 mm\", ", "")]).pumping;
    assert_eq!(silent.unwrap_err(), "the bore of the hose is not given");
}

#[test]
fn the_fire_service_is_called_above_either_bound_and_not_known_without_a_measure() {
    let across = |metres: &str| {
        let spill = view("spill", &[day("across = \"3.4 m\"", format!("across = \"{metres} m\""))]);
        spill.spills[0].clone()
    };
    // The pack calls above 2 m2 or 2 m across; a circle of 2 m2 is 1.5957 m wide.
    for (metres, call) in [("1.595", false), ("1.597", true), ("2.5", true)] {
        let spill = across(metres);
        assert_eq!(spill.call, Some(call), "{metres}");
        let wide: f64 = metres.parse().unwrap();
        assert!((spill.area.unwrap().count(M2) - PI * wide * wide / 4.0).abs() < 1e-9);
    }
    let unmeasured = view("spill", &[day(", across = \"3.4 m\"", "")]);
    assert_eq!((unmeasured.spills[0].call, unmeasured.spills[0].area), (None, None));
    let silent = view("spill", &[day("pack = \"demo-operator+au\"", "pack = \"au\"")]);
    assert_eq!(silent.spills[0].call, None, "no figure is no all-clear");
}

#[test]
fn spilt_fuel_spreads_with_time_and_nothing_starts_near_it() {
    let spill = view("spill", &[]).spills[0].clone();
    assert_eq!(spill.spread.len(), 3);
    for pair in spill.spread.windows(2) {
        assert!(pair[0].0 < pair[1].0 && pair[0].1.radius < pair[1].1.radius, "{pair:?}");
    }
    assert!((spill.nothing_starts.unwrap().value - 15.0).abs() < 1e-9);
    assert!(view("base", &[]).spills.is_empty(), "what was cleaned is no spill any more");
}

#[test]
fn a_start_by_hand_shows_what_pulls_and_where_it_would_be() {
    let view = start("hand-start", &[]);
    let hold = view.hold.unwrap().unwrap();
    assert!(!hold.held.parts.held);
    // A twentieth of the power pulls with that to the two thirds.
    let part = hold.set.unwrap().count(N) / hold.held.full.count(N);
    assert!((part - 0.05_f64.powf(2.0 / 3.0)).abs() < 1e-9, "{part}");
    assert_eq!(hold.loose.len(), 5);
    for pair in hold.loose.windows(2) {
        assert!(pair[0].distance < pair[1].distance && pair[0].velocity < pair[1].velocity);
    }
    assert!(start("crowded-apron", &[]).hold.is_none(), "nothing of that with a starter");
    let silent = start("hand-start", &[craft("power = \"88 hp\"\n", "")]);
    assert_eq!(silent.hold.unwrap().unwrap_err(), "the power at full throttle is not given");
}

#[test]
fn what_hangs_on_the_battery_is_listed_the_largest_first() {
    let view = start("crowded-apron", &[]).battery.unwrap();
    assert_eq!(view.shed, ["landing light", "fuel pump"]);
    let lost = ["landing light", "fuel pump", "radio", "transponder", "engine instruments"];
    assert_eq!(view.lost, lost);
    let ((all, short), (essential, long)) = (view.all.unwrap(), view.essential.unwrap());
    assert!((all.count(A) - 20.5).abs() < 1e-9 && (essential.count(A) - 7.5).abs() < 1e-9);
    assert!(short < long && long.count(MIN) > 30.0);
    let silent = start("crowded-apron", &[craft("exponent = \"1.2 1\"\n", "")]).battery.unwrap();
    assert_eq!(silent.all.unwrap_err(), "battery: Peukert's exponent is not given");
    assert!(start("hand-start", &[]).battery.is_none());
}
