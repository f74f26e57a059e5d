//! The page that `ready` prints: tightest first, then what is behind it.

use std::fmt::Write;

use jiff::tz::Offset;
use stillprop_turnaround::{
    assess::{Assessment, CAUTIONS, Limit, single, table},
    limits::{Family, Verdict, light::clock},
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
pub(crate) fn page(a: &Assessment, all: bool) -> String {
    let mut out = ready_or_not(a);
    limits(&mut out, a, all);
    strip(&mut out, a);
    fuel(&mut out, a);
    load(&mut out, a);
    flight(&mut out, a);
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

fn strip(out: &mut String, a: &Assessment) {
    section(out, "STRIP NOW");
    let _ = writeln!(
        out,
        "  take-off {}   pressure altitude {}   density altitude {}",
        a.here.direction,
        a.says("strip.pressure-altitude"),
        a.says("strip.density-altitude")
    );
    let (wind, allows) = (a.says("strip.wind"), a.says("strip.mass-allowed"));
    let _ = writeln!(out, "  wind: {wind}; mass it allows for take-off: {allows}");
}

fn fuel(out: &mut String, a: &Assessment) {
    section(out, "FUEL LADDER");
    let ladder = match &a.ladder {
        Ok(ladder) => ladder,
        Err(why) => {
            let _ = writeln!(out, "  unknown: {why}");
            return;
        }
    };
    let whole = ladder.capacity.value.max(ladder.required.value);
    for rung in single(&a.numbers, Family::Fuel) {
        let bar = rung.amount.map_or(String::new(), |fuel| bars::stack(fuel.si, whole, 40));
        let line = format!("  {:<16} {:>12}  {bar}", rung.label(), rung.says);
        let _ = writeln!(out, "{}", line.trim_end());
    }
}

fn load(out: &mut String, a: &Assessment) {
    section(out, "LOAD");
    if let Err(why) = &a.states {
        let _ = writeln!(out, "  unknown: {why}");
        return;
    }
    let table = table(&a.numbers, Family::Load);
    let width = table.rows.iter().map(|(name, _)| name.chars().count()).max().unwrap_or(0).max(9);
    let mut line = |name: &str, cells: Vec<String>| {
        let cells = cells.iter().map(|cell| format!(" {cell:>10}")).collect::<String>();
        let _ = writeln!(out, "  {name:<width$}{cells}");
    };
    line("", table.columns.iter().map(|column| column.label()).collect());
    for (name, cells) in &table.rows {
        line(name, cells.iter().map(|cell| cell.says.clone()).collect());
    }
}

fn flight(out: &mut String, a: &Assessment) {
    section(out, "FLIGHT AND LIGHT");
    match &a.flight {
        Ok(view) => {
            let here = a.light.first().map_or(Offset::UTC, |light| light.offset);
            let _ = writeln!(out, "  chocks off {}", clock(view.departs, here));
            legs(out, a);
        }
        Err(why) => {
            let _ = writeln!(out, "  flight unknown: {why}");
        }
    }
    for light in &a.light {
        let _ = writeln!(out, "  {}: {}", light.place, light.words());
    }
}

fn legs(out: &mut String, a: &Assessment) {
    for (leg, cells) in table(&a.numbers, Family::Flight).rows {
        let cells = cells.iter().map(|cell| match cell.name {
            "groundspeed" => format!("{} over the ground", cell.says),
            "lands" => format!("lands {}", cell.says),
            _ => cell.says.clone(),
        });
        let _ = writeln!(out, "  {leg}: {}", cells.collect::<Vec<_>>().join(", "));
    }
    let rest = single(&a.numbers, Family::Flight);
    let rest: Vec<String> = rest.map(|each| format!("{} {}", each.label(), each.says)).collect();
    for row in wrapped(&rest.join("; "), WIDTH - 2).iter().filter(|row| !row.is_empty()) {
        let _ = writeln!(out, "  {row}");
    }
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
