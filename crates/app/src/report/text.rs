//! The page that `ready` prints: tightest first, then what is behind it.

use std::fmt::Write;

use jiff::{Timestamp, tz::Offset};
use stillprop_calc::{
    quantity::{FromAmount, Length, Time, Volume},
    table::GreatestMass,
    unit,
};
use stillprop_turnaround::{
    assess::{Assessment, CAUTIONS, FlightView, LadderView, Limit, LoadState},
    limits::{Verdict, light::clock},
    stage::runway::Components,
    units::{Round, Units, show},
};

use super::bars;

/// The one line that even the shortest answer carries.
pub(crate) const CAUTION: &str =
    "Advice only: the pilot in command decides; the flight manual and local rules govern.";

/// Columns of the page.
pub(super) const WIDTH: usize = 100;
/// Under a limit, its further words start here.
const INDENT: &str = "            ";

/// Limits that hold shown without `--all`.
const SHOWN: usize = 8;

/// The whole page.
pub(crate) fn page(a: &Assessment, units: &Units, all: bool) -> String {
    let mut out = ready_or_not(a);
    limits(&mut out, a, all);
    strip(&mut out, a, units);
    fuel(&mut out, a, units);
    load(&mut out, a, units);
    flight(&mut out, a, units);
    list(&mut out, "NOTES", a.notes.iter().map(String::as_str));
    list(&mut out, "CAUTIONS", a.cautions.iter().copied());
    out
}

/// Headline, what stands in the way, and the tightest limit that holds.
pub(crate) fn summary(a: &Assessment, name: &str) -> String {
    let mut out = ready_or_not(a);
    standing_in_the_way(&mut out, a.limits.iter());
    if let Some(limit) = a.limits.iter().find(|limit| limit.verdict == Verdict::Holds) {
        line(&mut out, limit);
    }
    // What only some aeroplanes need is not left to the full page.
    let own = a.cautions.iter().filter(|caution| !CAUTIONS.contains(caution));
    for row in own.flat_map(|caution| wrapped(caution, WIDTH - 2)) {
        let _ = writeln!(out, "  {row}");
    }
    let _ = writeln!(out, "  more: stillprop ready {name}");
    out
}

/// What closes the demonstration.
pub(crate) fn demo_footer() -> String {
    format!(
        "\nEverything in the demonstration is invented: service, country, people, strips, aeroplanes.\n\
         Working of any limit: stillprop ready demo --why load.take-off-mass\n{CAUTION}\n"
    )
}

fn ready_or_not(a: &Assessment) -> String {
    let (breaks, unknown, holds) =
        (a.count(Verdict::Breaks), a.count(Verdict::Unknown), a.count(Verdict::Holds));
    let word = if a.ready() { "READY on what is assessed" } else { "NOT READY" };
    head(a, word, &format!("breaks {breaks}, unknown {unknown}, holds {holds}"))
}

pub(super) fn head(a: &Assessment, word: &str, counts: &str) -> String {
    let invented = if a.invented { "  (invented data)" } else { "" };
    let mut out = format!("{}: {counts}\n", bars::heading(word));
    let _ = writeln!(out, "{}{invented}", a.title);
    let _ = writeln!(out, "{} at {}, rules: {}", a.aircraft, a.strip, a.rules);
    out
}

fn limits(out: &mut String, a: &Assessment, all: bool) {
    section(out, "TIGHTEST LIMITS");
    standing_in_the_way(out, a.limits.iter());
    let holds = || a.limits.iter().filter(|limit| limit.verdict == Verdict::Holds);
    let shown = if all { usize::MAX } else { SHOWN };
    let mut printed = 0;
    for limit in holds().filter(|limit| all || limit.measure.is_some()).take(shown) {
        line(out, limit);
        printed += 1;
    }
    let hidden = holds().count() - printed;
    if hidden > 0 {
        let _ = writeln!(out, "  and {hidden} more that hold (--all shows them)");
    }
}

/// Broken limits one by one; unknown ones by what is missing, since one missing value often
/// leaves many unknown.
pub(super) fn standing_in_the_way<'a>(
    out: &mut String,
    limits: impl Iterator<Item = &'a Limit> + Clone,
) {
    for limit in limits.clone().filter(|limit| limit.verdict == Verdict::Breaks) {
        line(out, limit);
    }
    let unknown = || limits.clone().filter(|limit| limit.verdict == Verdict::Unknown);
    let mut reasons: Vec<&str> = Vec::new();
    for reason in unknown().filter_map(|limit| limit.words.act.as_deref()) {
        if !reasons.contains(&reason) {
            reasons.push(reason);
        }
    }
    for reason in reasons {
        let of = unknown().filter(|limit| limit.words.act.as_deref() == Some(reason));
        let ids: Vec<&str> = of.map(|limit| limit.id.as_str()).collect();
        let _ = write!(out, "  {} ", bars::verdict(Verdict::Unknown));
        let mut rows = wrapped(reason, WIDTH - INDENT.len());
        rows.extend(wrapped(&format!("so unknown: {}", ids.join(", ")), WIDTH - INDENT.len()));
        let _ = writeln!(out, "{}", rows.join(&format!("\n{INDENT}")));
    }
}

pub(super) fn line(out: &mut String, limit: &Limit) {
    let (bar, share) = match limit.share() {
        Some(share) => (bars::used(share), bars::share(share)),
        None => (String::new(), String::new()),
    };
    let verdict = bars::verdict(limit.verdict);
    let stands = &limit.words.stands;
    let _ = writeln!(out, "  {verdict} {:<35} {bar:<13}{share:<13} {stands}", limit.id);
    for more in [&limit.words.act, &limit.words.remark].into_iter().flatten() {
        for row in wrapped(more, WIDTH - INDENT.len()) {
            let _ = writeln!(out, "{INDENT}{row}");
        }
    }
}

/// Lines of at most `width` characters, broken at spaces.
pub(super) fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut rows = vec![String::new()];
    for word in text.split_whitespace() {
        let last = rows.last_mut();
        match last {
            Some(row) if row.is_empty() => row.push_str(word),
            Some(row) if row.chars().count() + 1 + word.chars().count() <= width => {
                row.push(' ');
                row.push_str(word);
            }
            _ => rows.push(word.to_owned()),
        }
    }
    rows
}

pub(super) fn section(out: &mut String, title: &str) {
    let _ = writeln!(out, "\n{}", bars::heading(title));
}

/// A height of the strip now, or why it is not known.
pub(crate) fn height(height: &Result<Length, String>, units: &Units) -> String {
    match height {
        Ok(height) => show(*height, units.altitude, Round::Near),
        Err(why) => format!("unknown ({why})"),
    }
}

/// The wind along and across the strip, rounded against the user, or why it is not known.
pub(crate) fn wind(wind: &Result<Components, String>, units: &Units) -> String {
    match wind {
        Ok(wind) if wind.head.value < 0.0 => format!(
            "tailwind {}, across {}",
            units.speed(-wind.head, Round::Up),
            units.speed(wind.cross, Round::Up)
        ),
        Ok(wind) => format!(
            "headwind {}, across {}",
            units.speed(wind.head, Round::Down),
            units.speed(wind.cross, Round::Up)
        ),
        Err(why) => format!("unknown ({why})"),
    }
}

fn strip(out: &mut String, a: &Assessment, units: &Units) {
    section(out, "STRIP NOW");
    let here = &a.here;
    let _ = writeln!(
        out,
        "  take-off {}   pressure altitude {}   density altitude {}",
        here.direction,
        height(&here.pressure_altitude, units),
        height(&here.density_altitude, units)
    );
    let allowed = match &here.mass_allowed {
        Ok(GreatestMass::Some(mass)) => {
            format!("for take-off it allows {} now", units.mass(*mass, Round::Down))
        }
        Ok(GreatestMass::WholeChart(mass)) => {
            format!("for take-off it allows the whole chart, to {}", units.mass(*mass, Round::Down))
        }
        Ok(GreatestMass::AnyMass) => "the charts do not depend on mass".to_owned(),
        Ok(GreatestMass::None) => "for take-off it allows no mass of the chart".to_owned(),
        Err(why) => format!("mass it allows: unknown ({why})"),
    };
    let _ = writeln!(out, "  wind: {}; {allowed}", wind(&here.wind, units));
}

fn fuel(out: &mut String, a: &Assessment, units: &Units) {
    section(out, "FUEL LADDER");
    match &a.ladder {
        Ok(ladder) => rungs(out, ladder, units),
        Err(why) => {
            let _ = writeln!(out, "  unknown: {why}");
        }
    }
}

fn rungs(out: &mut String, ladder: &LadderView, units: &Units) {
    let p = &ladder.parts;
    let whole = ladder.capacity.value.max(ladder.required.value);
    let mut rung = |name: &str, volume: Volume, round: Round| {
        let bar = bars::stack(volume.value, whole, 40);
        let _ = writeln!(out, "  {name:<16} {:>12}  {bar}", units.fuel(volume, round));
    };
    let parts = [
        ("start and taxi", p.start_and_taxi),
        ("trip", p.trip),
        ("contingency", p.contingency),
        ("alternate", p.alternate),
        ("holding", p.holding),
        ("final reserve", p.final_reserve),
        ("extra", p.extra),
    ];
    for (name, volume) in parts.into_iter().filter(|part| part.1.value > 0.0) {
        rung(name, volume, Round::Up);
    }
    rung("required", ladder.required, Round::Up);
    match ladder.aboard {
        Some(aboard) => rung("aboard, usable", aboard, Round::Down),
        None => {
            let _ = writeln!(out, "  {:<16} {:>12}", "aboard", "unknown");
            return;
        }
    }
    rung("tanks hold", ladder.capacity, Round::Down);
    rung("(not usable)", ladder.unusable, Round::Up);
}

fn load(out: &mut String, a: &Assessment, units: &Units) {
    section(out, "LOAD");
    let states = match &a.states {
        Ok(states) => states,
        Err(why) => {
            let _ = writeln!(out, "  unknown: {why}");
            return;
        }
    };
    let (from, to, at) = ("forward", "aft", "balance");
    let width = states.iter().map(|state| state.name.chars().count()).max().unwrap_or(0).max(9);
    let _ = writeln!(
        out,
        "  {:<width$} {:>10} {at:>10} {from:>10} {to:>10} {:>12}",
        "", "mass", "fuel"
    );
    for state in states {
        row(out, state, width, units);
    }
}

fn row(out: &mut String, state: &LoadState, width: usize, units: &Units) {
    let (forward, aft) = state.allowed.map_or_else(
        || ("unknown".to_owned(), "unknown".to_owned()),
        |(forward, aft)| (units.arm(forward), units.arm(aft)),
    );
    let _ = writeln!(
        out,
        "  {:<width$} {:>10} {:>10} {forward:>10} {aft:>10} {:>12}",
        state.name,
        units.mass(state.mass, Round::Up),
        units.arm(state.arm),
        units.fuel(state.fuel, Round::Down)
    );
}

fn flight(out: &mut String, a: &Assessment, units: &Units) {
    section(out, "FLIGHT AND LIGHT");
    match &a.flight {
        Ok(view) => legs(out, view, a.light.first().map_or(Offset::UTC, |l| l.offset), units),
        Err(why) => {
            let _ = writeln!(out, "  flight unknown: {why}");
        }
    }
    for light in &a.light {
        let place = &light.place;
        let _ = match &light.day {
            Ok(day) => {
                let at = |instant: Option<Timestamp>| {
                    instant.map_or("none".to_owned(), |at| clock(at, light.offset))
                };
                match (day.rise(), day.set()) {
                    (None, None) => writeln!(out, "  {place}: the sun is {}", day.words()),
                    (rise, set) => writeln!(
                        out,
                        "  {place}: first light {}, last light {} (UTC{})",
                        at(rise),
                        at(set),
                        light.offset
                    ),
                }
            }
            Err(why) => writeln!(out, "  {place}: light unknown: {why}"),
        };
    }
}

fn legs(out: &mut String, view: &FlightView, here: Offset, units: &Units) {
    let _ = writeln!(out, "  chocks off {}", clock(view.departs, here));
    for arrival in &view.arrivals {
        let leg = &arrival.leg;
        let _ = writeln!(
            out,
            "  {}: {}, {} over the ground, {}, {}, lands {}",
            leg.name,
            show(leg.distance, units.distance, Round::Near),
            units.speed(leg.groundspeed, Round::Down),
            hours(leg.time, Round::Up),
            units.fuel(leg.fuel, Round::Up),
            clock(arrival.at, arrival.offset)
        );
    }
    if let (Some(all), Some(above)) = (view.endurance, view.above_reserve) {
        let _ = writeln!(
            out,
            "  endurance {}, to the final reserve {}",
            hours(all, Round::Down),
            hours(above, Round::Down)
        );
    }
    if let (Some(critical), Some(first)) = (&view.critical, view.arrivals.first()) {
        let far = |length| format!("{} out", show(length, units.distance, Round::Down));
        let no_return = if critical.no_return.distance > first.leg.distance {
            "not before its end".to_owned()
        } else {
            far(critical.no_return.distance)
        };
        let equal = far(critical.equal_time.distance);
        let _ = writeln!(out, "  first leg: point of no return {no_return}; equal time {equal}");
    }
}

/// Hours and minutes, rounded against the user.
pub(crate) fn hours(time: Time, round: Round) -> String {
    let minutes = time.count(unit::MIN);
    let whole = match round {
        Round::Up => (minutes - 1e-6).ceil(),
        Round::Down => (minutes + 1e-6).floor(),
        Round::Near => minutes.round(),
    };
    format!("{} h {:02} min", (whole / 60.0).floor(), whole % 60.0)
}

pub(super) fn list<'a>(out: &mut String, title: &str, lines: impl Iterator<Item = &'a str>) {
    section(out, title);
    for line in lines {
        for (number, row) in wrapped(line, WIDTH - 4).iter().enumerate() {
            let mark = if number == 0 { '-' } else { ' ' };
            let _ = writeln!(out, "  {mark} {row}");
        }
    }
}
