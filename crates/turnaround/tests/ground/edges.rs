//! Both sides of every bound, and the published check values of the Australian distances.
//!
//! The aeroplane of `bad/base` stands at the origin, nose to true north, what the fuel comes from
//! 5 m south of it. From its own figures, by
//! hand: filler 6 ft = 1.8288 m to the east, wingtip 16 ft = 4.8768 m.

use super::*;
use Verdict::{Breaks, Holds};

const FILLER: f64 = 1.8288;
const WINGTIP: f64 = 4.8768;
/// A millimetre to either side: far more than rounding, far less than anybody measures.
const STEP: f64 = 0.001;
const STOVE: &str = "things = [{ what = \"stove\", is = \"flame\", corners = [[-40, -10]] }]";

/// The aeroplane at the origin with a thing to the east of it, from a distance outwards.
fn beside(kind: &str, east: f64) -> Vec<Edit> {
    let far = east + 5.0;
    vec![
        day("at = [5, 2]", "at = [0, 0]"),
        day("at = [4, -5]", "at = [0, -5]"),
        day("heading = \"90 degM\"", "heading = \"0 degT\""),
        day(
            STOVE,
            format!(
                "things = [{{ what = \"it\", is = \"{kind}\", corners = \
                 [[{east}, -30], [{far}, -30], [{far}, 30], [{east}, 30]] }}]"
            ),
        ),
        day("pack = \"demo-operator+au\"", "pack = \"au\""),
    ]
}

/// The same of a heavier class.
fn of_mass(mass: &str, mut edits: Vec<Edit>) -> Vec<Edit> {
    edits.push(craft("ramp_mass = \"2310 lb\"", "ramp_mass = \"none\""));
    edits.push(craft("take_off_mass = \"2300 lb\"", format!("take_off_mass = \"{mass}\"")));
    edits
}

/// Just inside breaks, just outside holds, and on the distance itself holds.
fn both_sides(id: &str, from: f64, metres: f64, at: impl Fn(f64) -> Vec<Edit>) {
    for (off, verdict) in [(-STEP, Breaks), (0.0, Holds), (STEP, Holds)] {
        let judged = Judged::after("base", &at(from + metres + off));
        assert_eq!(judged.verdict(id), verdict, "{id} at {metres} {off:+}: {}", judged.said(id));
        let measure = judged.measure(id);
        assert!((measure.bound.si - metres).abs() < 1e-9, "{id}: {measure:?}");
        assert!((measure.value.si - metres - off).abs() < 1e-9, "{id}: {measure:?}");
    }
}

/// CASA AC 91-25 as restated in the Visual Flight Guide of about 2010, page 17, read second hand.
#[test]
fn fuelling_keeps_the_published_distances() {
    for (kind, metres) in [
        ("sealed-building", 5.0),
        ("unsealed-building", 9.0),
        ("aircraft", 6.0),
        ("public-area", 15.0),
        ("person", 15.0),
    ] {
        both_sides("site.fuel.it", FILLER, metres, |east| beside(kind, east));
    }
    let shed = |east| beside("unsealed-building", east);
    both_sides("site.fuel.it", FILLER, 9.0, |east| of_mass("5700 kg", shed(east)));
    both_sides("site.fuel.it", FILLER, 15.0, |east| of_mass("5701 kg", shed(east)));
    both_sides("site.fuel.it", FILLER, 5.0, |east| {
        of_mass("5701 kg", beside("sealed-building", east))
    });
}

/// The same guide as a web page, engine ground operations, which was read.
#[test]
fn a_running_engine_keeps_the_published_distances() {
    for (kind, metres) in [
        ("sealed-building", 5.0),
        ("unsealed-building", 8.0),
        ("aircraft", 8.0),
        ("public-area", 15.0),
        ("person", 15.0),
    ] {
        both_sides("site.run.it", WINGTIP, metres, |east| beside(kind, east));
    }
}

#[test]
fn nothing_is_started_within_fifteen_metres_of_the_edge_of_a_spill() {
    let radius = 1.25;
    both_sides("site.spill.drips", WINGTIP, 15.0, |edge| {
        let mut edits = beside("obstacle", 500.0);
        edits.push(day(
            "at = [28, -4], across = \"1 m\", cleaned = true",
            format!("at = [{}, 0], across = \"{} m\"", edge + radius, 2.0 * radius),
        ));
        edits
    });
}

/// An aeroplane fuelled at six metres from another one is moved before it is started.
#[test]
fn far_enough_to_fuel_is_not_far_enough_to_start() {
    let judged = Judged::after("base", &beside("aircraft", WINGTIP + 6.5));
    assert_eq!(judged.verdict("site.fuel.it"), Holds);
    assert_eq!(judged.verdict("site.run.it"), Breaks);
}

/// Finds where a limit turns: `edit` writes a value, which is moved a millionth to either side of
/// where value and bound would meet.
fn turns(id: &str, at: f64, better: f64, edit: impl Fn(f64) -> Vec<Edit>) {
    for (side, verdict) in [(-1.0, Breaks), (1.0, Holds)] {
        let judged = Judged::after("base", &edit(at * (1.0 + side * better * 1e-6)));
        assert_eq!(judged.verdict(id), verdict, "{id} {side}: {}", judged.said(id));
    }
}

#[test]
fn the_hose_reaches_with_its_slack_or_not() {
    let far = Judged::after("base", &[]).measure("site.hose").value.si;
    // By hand: the filler of the left tank is 6 ft left of an aeroplane at (5, 2) that points to
    // 96.5 degrees, the trolley stands at (4, -5).
    let (sin, cos) = 96.5_f64.to_radians().sin_cos();
    let (east, north) = (5.0 - FILLER * cos - 4.0, 2.0 + FILLER * sin + 5.0);
    assert!((far - east.hypot(north)).abs() < 1e-9, "{far}");
    // A tenth stays slack.
    turns("site.hose", far / 0.9, 1.0, |hose| {
        vec![day("hose = \"10 m\"", format!("hose = \"{hose:.9} m\""))]
    });
}

#[test]
fn extinguishers_stand_from_six_to_fifteen_metres_from_each_filler() {
    let put = |away: f64| {
        // As far from both fillers, which lie 6 ft to either side.
        let north = (away * away - FILLER * FILLER).sqrt();
        let mut edits = beside("obstacle", 500.0);
        edits.push(day("at = [12, -3]", format!("at = [0, {north:.9}]")));
        edits.push(day("at = [-3, 4]", format!("at = [0, -{north:.9}]")));
        edits
    };
    turns("site.extinguishers", 6.0, 1.0, put);
    turns("site.extinguishers", 15.0, -1.0, put);
}

#[test]
fn the_wind_side_turns_three_knots_and_forty_five_degrees_from_straight_downwind() {
    let wind = |from: f64, speed: f64| {
        let mut edits = beside("obstacle", 500.0);
        // Due south of the left filler.
        edits.push(day("at = [0, -5]", format!("at = [{}, -5]", -FILLER)));
        edits.push(day(
            "wind = { from = \"120 degT\", speed = \"8 kt\", gust = \"14 kt\" }",
            format!("wind = {{ from = \"{from} degT\", speed = \"{speed} kt\" }}"),
        ));
        // Only that filler is upwind of it at these angles.
        edits.push(craft(
            "vents = [{ what = \"left vent\", at = [-1, -12] }]",
            "vents = [{ what = \"left vent\", at = [0, -6] }]",
        ));
        edits
            .push(craft("{ what = \"right\", at = [0, 6] }", "{ what = \"right\", at = [0, -6] }"));
        Judged::after("base", &edits).verdict("site.wind-side")
    };
    for (from, speed, verdict) in [
        (0.0, 8.0, Breaks),
        (44.999, 8.0, Breaks),
        (45.001, 8.0, Holds),
        (315.001, 8.0, Breaks),
        (314.999, 8.0, Holds),
        (0.0, 3.0001, Breaks),
        (0.0, 2.9999, Holds),
    ] {
        assert_eq!(wind(from, speed), verdict, "from {from} at {speed} kt");
    }
}

#[test]
fn wingtips_on_the_way_out_have_room_or_not() {
    // 3 m beside a wing that reaches 16 ft from the middle line. The visitor begins at 30 m east
    // and 20 m north, and the way leads past it to the north.
    turns("site.way-out", 20.0 - 3.0 - WINGTIP, -1.0, |north| {
        vec![strip("[[8, 0], [40, -10]]", format!("[[25, {north:.9}], [60, {north:.9}]]"))]
    });
}

#[test]
fn flow_is_neither_too_fast_for_the_hose_nor_for_its_bore() {
    let area = |bore: f64| std::f64::consts::PI * bore * bore / 4.0;
    let flow = |litres: f64, bore: &str| {
        vec![day(
            "rate = \"40 L/min\", bore = \"25 mm\"",
            format!("rate = \"{litres:.9} L/min\", bore = \"{bore}\""),
        )]
    };
    turns("static.velocity", 7.0 * area(0.025) * 60_000.0, -1.0, |rate| flow(rate, "25 mm"));
    // 0.5 m2/s through 100 mm is 5 m/s.
    turns("static.velocity-bore", 5.0 * area(0.1) * 60_000.0, -1.0, |rate| flow(rate, "100 mm"));
}

#[test]
fn fuel_rests_half_a_minute_unless_it_conducts_more_than_the_pack_says() {
    let conducts = |ps: f64| day("\"120 pS/m\"", format!("\"{ps:.9} pS/m\""));
    turns("static.residence", 50.0, 1.0, |ps| vec![conducts(ps)]);
    // At the bound itself it does not conduct more.
    assert_eq!(Judged::after("base", &[conducts(50.0)]).verdict("static.residence"), Breaks);
    let litres = 8.0 * std::f64::consts::PI * 0.025 * 0.025 / 4.0 * 1000.0;
    turns("static.residence", litres / 0.5, -1.0, |rate| {
        vec![conducts(20.0), day("40 L/min", format!("{rate:.9} L/min"))]
    });
}

#[test]
fn a_battery_lasts_half_an_hour_or_not() {
    // t = H (s C / (I H))^k with 4 A, 20 h, k = 1.2, eight tenths of C left: C for half an hour.
    let capacity = 4.0 * 20.0 / 0.8 * (0.5_f64 / 20.0).powf(1.0 / 1.2);
    // Above the rated current the law is the lesser of the two.
    assert!(0.8 * capacity / 4.0 > 0.5);
    turns("start.battery", capacity, 1.0, |ah| {
        vec![craft("capacity = \"35 Ah\"", format!("capacity = \"{ah:.9} Ah\""))]
    });
}

#[test]
fn a_generator_carries_four_fifths_of_its_rating() {
    // 4 A for the radio; 80 % of 60 A are 48 A.
    turns("start.generator-load", 44.0, -1.0, |light| {
        vec![craft("\"8 A\"", format!("\"{light:.9} A\""))]
    });
}

#[test]
fn what_holds_is_one_and_a_half_times_the_thrust_at_full_throttle() {
    let held = |newton: f64| {
        vec![day(
            "tail_tie = { strength = \"6 kN\", slope = \"10 deg\" }",
            format!("tail_tie = {{ strength = \"{newton:.6} N\", slope = \"0 deg\" }}"),
        )]
    };
    let none = Judged::after("base", &held(0.0)).measure("start.hold");
    assert!((0.0..none.bound.si).contains(&none.value.si), "{none:?}");
    turns("start.hold", none.bound.si - none.value.si, 1.0, held);
    // Momentum theory: T^3 = 2 rho A (FM P)^2, with the density of dry air at 1012.4 hPa on
    // 1150 ft and 27.5 degC, 76 in and 160 hp of 745.7 W.
    let pressure = 101_240.0_f64 * (1.0_f64 - 6.875_58e-6 * 1150.0).powf(5.2559);
    let density = pressure / (287.05 * 300.65);
    let area = std::f64::consts::PI * (76.0 * 0.0254_f64).powi(2) / 4.0;
    let thrust = (2.0 * density * area * (0.7_f64 * 160.0 * 745.7).powi(2)).cbrt();
    let full = none.bound.si / 1.5;
    // Three parts in ten thousand: the QNH is not reduced by the same formula.
    assert!((full / thrust - 1.0).abs() < 3e-4, "{full} and {thrust}");
}
