//! The page and the JSON of `ground`.

use std::fmt::Write;

use stillprop_calc::{
    charge,
    quantity::{Capacitance, ElectricPotential, FromAmount, Length, Time},
    spill::UNKNOWN,
    trace::Silent,
    unit,
    walk::Walk,
};
use stillprop_turnaround::{
    assess::{
        Assessment, Limit,
        ground::{BatteryView, GroundView, HoldView, PumpView, SpillView, StartView},
    },
    document::ground::StartBy,
    limits::{Family, Verdict},
    site::walk::Way,
    units::{Round, Units, show, text as number},
};

use super::text::{WIDTH, head, line, list, section, standing_in_the_way, wrapped};

const FAMILIES: [Family; 3] = [Family::Site, Family::Static, Family::Start];

/// The limits of the ground.
pub(super) fn ours(a: &Assessment) -> impl Iterator<Item = &Limit> + Clone {
    a.limits.iter().filter(|limit| FAMILIES.contains(&limit.family))
}

/// True when every limit of the ground holds.
pub(crate) fn stands(a: &Assessment) -> bool {
    ours(a).all(|limit| limit.verdict == Verdict::Holds)
}

/// The whole page.
pub(crate) fn page(a: &Assessment, units: &Units, drawn: &[String]) -> String {
    let count = |verdict| ours(a).filter(|limit| limit.verdict == verdict).count();
    let (breaks, unknown) = (count(Verdict::Breaks), count(Verdict::Unknown));
    let word =
        if stands(a) { "THE GROUND HOLDS on what is assessed" } else { "THE GROUND DOES NOT HOLD" };
    let counts = format!("breaks {breaks}, unknown {unknown}, holds {}", count(Verdict::Holds));
    let mut out = head(a, word, &counts);
    place(&mut out, a, units);
    section(&mut out, "LIMITS OF THE GROUND");
    standing_in_the_way(&mut out, ours(a));
    for limit in ours(a).filter(|limit| limit.verdict == Verdict::Holds) {
        brief(&mut out, limit);
    }
    if let Ok(view) = &a.ground {
        walks(&mut out, view, units);
        if a.limits.iter().any(|limit| limit.family == Family::Static) {
            pumping(&mut out, view);
        }
        for spill in &view.spills {
            self::spill(&mut out, spill, units);
        }
    }
    start(&mut out, &a.start, units);
    if !drawn.is_empty() {
        list(&mut out, "DRAWN", drawn.iter().map(String::as_str));
    }
    list(&mut out, "CAUTIONS", a.cautions.iter().copied());
    out
}

/// A limit that holds, in one line.
fn brief(out: &mut String, limit: &Limit) {
    let mut limit = limit.clone();
    limit.words.remark = None;
    line(out, &limit);
}

fn place(out: &mut String, a: &Assessment, units: &Units) {
    let Ok(view) = &a.ground else { return };
    let at = |length: Length| number(length.count(units.strip), 1, Round::Near, units.strip);
    let _ = writeln!(
        out,
        "stands {} east and {} north of the mark, nose {:03.0} true",
        at(view.at.east()),
        at(view.at.north()),
        view.heading.count(unit::DEG).round().rem_euclid(360.0)
    );
}

fn walks(out: &mut String, view: &GroundView, units: &Units) {
    section(out, "ON FOOT, FROM THE GATE AND BACK");
    if view.walks.is_empty() {
        let _ = writeln!(out, "  unknown: no door is described");
    }
    for (door, way) in &view.walks {
        match way {
            Err(why) => {
                let _ = writeln!(out, "  {door}: unknown, {why}");
            }
            Ok(way) => walk(out, door, way, units),
        }
    }
}

fn walk(out: &mut String, door: &str, way: &Way, units: &Units) {
    let Walk::Path { points, length, .. } = &way.walk else {
        let by: Vec<&str> = way.closed_by().collect();
        let _ = writeln!(out, "  {door}: NO SAFE PATH, closed by {}", by.join(", "));
        return;
    };
    let near = way.propeller.map_or_else(String::new, |nearest| {
        let room = units.apron(nearest.distance, Round::Down);
        format!(", nowhere nearer than {room} to the propeller")
    });
    let _ = writeln!(out, "  {door}: {}{near}", units.apron(*length, Round::Up));
    let places = points.iter().map(|point| {
        let (east, north) = (point.east().count(units.strip), point.north().count(units.strip));
        format!("[{east:.1}, {north:.1}]")
    });
    let places: Vec<String> = places.collect();
    for row in wrapped(&format!("by {}", places.join(" ")), WIDTH - 4) {
        let _ = writeln!(out, "    {row}");
    }
}

fn pumping(out: &mut String, view: &GroundView) {
    section(out, "PUMPING");
    match &view.pumping {
        Err(why) => {
            let _ = writeln!(out, "  unknown: {why}");
        }
        Ok(pump) => rates(out, pump),
    }
}

fn rates(out: &mut String, pump: &PumpView) {
    let flow = |flow: Option<_>| match flow {
        None => "unknown".to_owned(),
        Some(flow) => rate(flow),
    };
    let _ = writeln!(out, "  until the outlet is covered   no more than {}", flow(pump.first));
    let _ = writeln!(out, "  after that                    no more than {}", flow(pump.most));
    if let Some(slow) = pump.for_rest {
        let _ = writeln!(out, "  for the rest after the filter no more than {}", rate(slow));
    }
    if let Some(tau) = pump.relaxation {
        let seconds = number(tau.count(unit::S), 2, Round::Up, unit::S);
        let _ = writeln!(out, "  its charge falls to 37 % in   {seconds}");
    }
    for row in wrapped(&why_bonded(), WIDTH - 4) {
        let _ = writeln!(out, "  {row}");
    }
}

/// Why all is bonded before a cap comes off: what a person carries against what lights vapour.
///
/// 100 pF and 5 kV, and 0.2 to 2 mJ for hydrocarbon vapours: electrostatics pages, second hand.
fn why_bonded() -> String {
    let (capacity, voltage) =
        (Capacitance::of(100.0, unit::PF), ElectricPotential::of(5.0, unit::KV));
    let spark = charge::spark(capacity, voltage, &mut Silent).map_or_else(
        |_| "unknown".to_owned(),
        |spark| number(spark.energy.count(unit::MILLIJ), 2, Round::Up, unit::MILLIJ),
    );
    format!(
        "why all is bonded first: somebody charged to 5 kV gives a spark of {spark}, and 0.2 mJ \
         may light vapour (second hand)"
    )
}

fn rate(flow: stillprop_calc::quantity::VolumeRate) -> String {
    number(flow.count(unit::L_MIN), 0, Round::Down, unit::L_MIN)
}

fn spill(out: &mut String, spill: &SpillView, units: &Units) {
    section(out, &format!("SPILL: {}", spill.what));
    let _ = writeln!(
        out,
        "  1 CONTROL   stop the pump, shut what leaks, nothing is switched, everyone upwind"
    );
    let _ = writeln!(
        out,
        "  2 CONTAIN   sorbent around it first, then on it; keep it from drains and water"
    );
    let _ =
        writeln!(out, "  3 CLEAN UP  take it up, bag it, let the ground dry; look under the wing");
    let litres = units.fuel(spill.volume, Round::Up);
    let area = spill.area.map_or("width not measured".into(), |area| {
        format!("{} wet as measured", number(area.count(unit::M2), 1, Round::Up, unit::M2))
    });
    let _ = writeln!(out, "  {litres} spilt, {area}; the sorbent must take up {litres}");
    match &spill.nothing_starts {
        Ok(room) => {
            let _ = writeln!(
                out,
                "  nothing is started within {} of its edge",
                units.apron(*room, Round::Up)
            );
        }
        Err(why) => {
            let _ = writeln!(out, "  how far nothing is started: unknown, {why}");
        }
    }
    let call = match spill.call {
        None => {
            "fire service: no pack says from what size; call when it grows, runs away or frightens you"
        }
        Some(true) => "fire service: CALL, it is larger than the pack's bound",
        Some(false) => {
            "fire service: below the pack's bound; call all the same when it grows or runs away"
        }
    };
    let from = spill.call_from.iter().map(|from| format!("called from {from}"));
    for line in std::iter::once(call.to_owned()).chain(from) {
        for row in wrapped(&line, WIDTH - 4) {
            let _ = writeln!(out, "  {row}");
        }
    }
    let spread = spill.spread.iter().map(|(time, spread)| {
        let minutes = number(time.count(unit::MIN), 0, Round::Near, unit::MIN);
        let across = units.apron(spread.radius * 2.0, Round::Up);
        format!("{across} across after {minutes}")
    });
    let spread: Vec<String> = spread.collect();
    let _ = writeln!(out, "  on flat, tight ground it spreads to {}", spread.join(", "));
    let _ = match &spill.drying {
        Err(why) => writeln!(out, "  how fast it dries up: unknown, {why}"),
        Ok((rate, time)) => writeln!(
            out,
            "  it gives off {} of vapour, {} at that rate (EPA 550-B-99-009, from memory); dry is when \
             nobody smells it",
            number(rate.count(unit::G_S), 1, Round::Down, unit::G_S),
            number(time.count(unit::MIN), 0, Round::Up, unit::MIN)
        ),
    };
    let _ = writeln!(out, "  {UNKNOWN}");
}

fn start(out: &mut String, view: &StartView, units: &Units) {
    if let (StartBy::Hand, Some(hold)) = (view.by, &view.hold) {
        section(out, "BY HAND: DO NOT, UNLESS EVERY GATE HOLDS");
        for row in ALTERNATIVES {
            let _ = writeln!(out, "  first {row}");
        }
        match hold {
            Err(why) => {
                let _ = writeln!(out, "  would it hold at full throttle? unknown: {why}");
            }
            Ok(hold) => self::hold(out, hold, units),
        }
    }
    if let Some(battery) = &view.battery {
        self::battery(out, battery);
    }
}

/// What to try before a hand touches the propeller; common practice, no source.
pub(crate) const ALTERNATIVES: [&str; 3] = [
    "charge the battery or put in another, and use a starter where one is fitted",
    "have a mechanic look at why it will not start",
    "wait for a second person who was trained to do this",
];

fn hold(out: &mut String, hold: &HoldView, units: &Units) {
    let newton = |force, round| show(force, unit::N, round);
    let held = &hold.held;
    let word = match held.measure().verdict() {
        Verdict::Holds => "it would hold",
        _ => "IT WOULD NOT HOLD",
    };
    let _ = writeln!(
        out,
        "  would it hold at full throttle? {word}: {} of thrust, {} needed, {} holds",
        newton(held.full, Round::Up),
        newton(held.needed, Round::Up),
        newton(held.holds, Round::Down)
    );
    let r = &held.parts;
    let _ = writeln!(
        out,
        "    left wheels {}, right wheels {}, third wheel {}, tie {}; before the tie is tight {}",
        newton(r.left, Round::Down),
        newton(r.right, Round::Down),
        newton(r.middle, Round::Down),
        newton(r.tie, Round::Down),
        newton(r.without_tie, Round::Down)
    );
    if let Some(tail) = r.tail {
        let word = if tail.si() < 0.0 { "THE TAIL LIFTS" } else { "the tail stays down" };
        let _ = writeln!(out, "    {word}");
    }
    if let Some(set) = hold.set {
        let _ = writeln!(out, "    as the throttle is set it pulls {}", newton(set, Round::Up));
    }
    let loose = hold.loose.iter().map(|at| {
        let seconds = number(at.time.count(unit::S), 0, Round::Near, unit::S);
        let far = units.apron(at.distance, Round::Up);
        format!("{seconds}: {far} at {}", units.speed(at.velocity, Round::Up))
    });
    let loose: Vec<String> = loose.collect();
    let _ = writeln!(out, "    loose at full throttle, at most: {}", loose.join("; "));
}

fn battery(out: &mut String, view: &BatteryView) {
    section(out, "BATTERY WITHOUT A GENERATOR");
    let lasts = |name: &str, found: &Result<_, String>, out: &mut String| {
        let _ = match found {
            Err(why) => writeln!(out, "  {name}  unknown, {why}"),
            Ok((current, time)) => writeln!(
                out,
                "  {name}  {}, lasts {}",
                show::<stillprop_calc::quantity::ElectricCurrent>(*current, unit::A, Round::Up),
                minutes(*time)
            ),
        };
    };
    lasts("everything on ", &view.all, out);
    lasts("essential only", &view.essential, out);
    if !view.shed.is_empty() {
        let _ = writeln!(out, "  switch off first: {}", view.shed.join(", "));
    }
    let field = match view.field_from_battery {
        None => "whether the generator begins with a flat battery is unknown".to_owned(),
        Some(false) => "the generator needs no battery to begin".to_owned(),
        Some(true) => format!(
            "with a flat battery the generator may not come on line: then {} {} lost",
            view.lost.join(", "),
            if view.lost.len() == 1 { "is" } else { "are" }
        ),
    };
    for row in wrapped(&field, WIDTH - 4) {
        let _ = writeln!(out, "  {row}");
    }
}

fn minutes(time: Time) -> String {
    number(time.count(unit::MIN), 0, Round::Down, unit::MIN)
}
