//! The steps behind a number, with their sources.

use std::{collections::BTreeMap, fmt::Write};

use stillprop_calc::{
    quantity::Amount,
    trace::{Named, Step, Working},
    unit::{self, Kind, Unit},
};
use stillprop_rules::document::did_you_mean;
use stillprop_turnaround::{
    assess::{About, Explained, why},
    stage::{Choice, Stage},
    units::Units,
};

use super::{
    bars,
    sources::{self, Row},
    text::CAUTION,
};
use crate::problem::Failure;

/// The working behind a limit or a number of a turnaround.
pub(crate) fn find(
    stage: &Stage,
    choice: &Choice,
    units: &Units,
    name: &str,
) -> Result<Explained, Failure> {
    why(stage, choice, units, name).map_err(|names| {
        let known: Vec<&str> = names.iter().map(String::as_str).collect();
        let message = format!("there is no limit or number `{name}` here");
        Failure::asked(message, did_you_mean(name, &known))
    })
}

/// The page of `ready --why`.
pub(crate) fn page(explained: &Explained, units: &Units) -> String {
    let mut out = String::new();
    match &explained.about {
        About::Limit(limit) => {
            let stands = &limit.words.stands;
            let _ = writeln!(out, "{} {}: {stands}", bars::verdict(limit.verdict), limit.id);
            for more in [&limit.words.act, &limit.words.remark].into_iter().flatten() {
                let _ = writeln!(out, "  {more}");
            }
            if let Some(measure) = &limit.measure {
                let of = |amount| amount_text(amount, units.unit_for("limit", amount));
                let _ = writeln!(out, "  value {}, bound {}", of(measure.value), of(measure.bound));
                let _ = writeln!(out, "  margin {}", bars::share(measure.share()));
            }
        }
        About::Number(number) => {
            let _ = writeln!(out, "{}: {}", number.id, number.says);
        }
    }
    let _ = write!(out, "\n{}\n{CAUTION}\n", steps(&explained.working, Some(units)));
    out
}

/// The steps, numbered, and the sources they name. Units of the trade when none are given.
pub(crate) fn steps(working: &Working, units: Option<&Units>) -> String {
    let rows = sources::rows();
    let mut out = String::new();
    for (number, step) in working.steps.iter().enumerate() {
        one(&mut out, number + 1, step, units);
    }
    let mut used: Vec<_> = working.steps.iter().filter_map(|step| step.source).collect();
    used.sort_unstable();
    used.dedup();
    for source in used {
        let _ = writeln!(out, "[{}] {}", source.0, citation(&rows, source));
    }
    out
}

fn citation(rows: &BTreeMap<String, Row>, source: stillprop_calc::source::Source) -> String {
    sources::line(rows, source)
}

fn one(out: &mut String, number: usize, step: &Step, units: Option<&Units>) {
    let source = step.source.map_or(String::new(), |source| format!("  [{}]", source.0));
    let formula =
        if step.formula.is_empty() { String::new() } else { format!(": {}", step.formula) };
    let _ = writeln!(out, "{number:>3}. {}{formula}{source}", step.what);
    if !step.with.is_empty() {
        let _ = writeln!(out, "       {}", joined(&step.with, units));
    }
    if !step.gives.is_empty() {
        let _ = writeln!(out, "       -> {}", joined(&step.gives, units));
    }
    if let Some(remark) = &step.remark {
        let _ = writeln!(out, "       {remark}");
    }
}

fn joined(named: &[Named], units: Option<&Units>) -> String {
    let one = |named: &Named| {
        let unit = match units {
            Some(units) => units.unit_for(named.symbol, named.amount),
            None => trade_unit(named.symbol, named.amount),
        };
        format!("{} = {}", named.symbol, amount_text(named.amount, unit))
    };
    named.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// Units the trade reads a lone calculation in.
pub(crate) fn trade_unit(symbol: &str, amount: Amount) -> Unit {
    match amount.kind {
        Kind::Time if !Units::in_seconds(symbol) => unit::MIN,
        _ => Units::METRIC.unit_for(symbol, amount),
    }
}

/// Six significant digits: enough to follow the sum by hand.
pub(crate) fn amount_text(amount: Amount, unit: Unit) -> String {
    let value = amount.in_unit(unit);
    let digits = if value == 0.0 || !value.is_finite() {
        0
    } else {
        #[expect(clippy::cast_possible_truncation, reason = "an exponent of ten")]
        let magnitude = value.abs().log10().floor() as i32;
        usize::try_from((5 - magnitude).clamp(0, 9)).unwrap_or(0)
    };
    let text = format!("{value:.digits$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    };
    let text = if text == "-0" { "0".to_owned() } else { text };
    if unit == unit::ONE { text } else { format!("{text} {}", unit.symbol) }
}
