//! Bars drawn with characters, and the words that go with them. Colour only repeats what
//! word and shape already say.

use anstyle::{AnsiColor, Style};
use stillprop_turnaround::limits::Verdict;

/// Cells of a bar.
const CELLS: usize = 10;

/// How much of the room is used: `[=========-----]`; beyond the bound the end is broken open.
pub(crate) fn used(share_left: f64) -> String {
    if share_left < 0.0 {
        return format!("[{}>>", "=".repeat(CELLS));
    }
    let used = (1.0 - share_left.clamp(0.0, 1.0)) * CELLS as f64;
    // A bar looks full only when nothing is left.
    let cells = if share_left > 0.0 { (used.ceil() as usize).min(CELLS - 1) } else { CELLS };
    format!("[{}{}]", "=".repeat(cells), ".".repeat(CELLS - cells))
}

/// A length of a stack: `value` of `whole`, over `cells`.
pub(crate) fn stack(value: f64, whole: f64, cells: usize) -> String {
    if whole <= 0.0 || value <= 0.0 {
        return String::new();
    }
    let count = (value / whole * cells as f64).round() as usize;
    "=".repeat(count.clamp(1, cells))
}

/// The share left, in words: `6 % left`, `2 % beyond`.
pub(crate) fn share(share: f64) -> String {
    let percent = share.abs() * 100.0;
    let number = if percent < 10.0 {
        format!(
            "{:.1}",
            if share < 0.0 { (percent * 10.0).ceil() } else { (percent * 10.0).floor() } / 10.0
        )
    } else if percent > 999.0 {
        "over 999".to_owned()
    } else {
        let whole = if share < 0.0 { percent.ceil() } else { percent.floor() };
        format!("{whole:.0}")
    };
    if share < 0.0 { format!("{number} % beyond") } else { format!("{number} % left") }
}

/// Mark and word of a verdict, in eight columns, coloured.
pub(crate) fn verdict(verdict: Verdict) -> String {
    let (mark, colour) = match verdict {
        Verdict::Breaks => ('X', AnsiColor::Red),
        Verdict::Unknown => ('?', AnsiColor::Yellow),
        Verdict::Holds => ('o', AnsiColor::Green),
    };
    let style = Style::new().bold().fg_color(Some(colour.into()));
    format!("{style}{mark} {:<7}{style:#}", verdict.word())
}

/// A heading.
pub(crate) fn heading(text: &str) -> String {
    let style = Style::new().bold();
    format!("{style}{text}{style:#}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_is_full_only_when_nothing_is_left() {
        assert_eq!(used(0.0), "[==========]");
        assert_eq!(used(0.001), "[=========.]");
        assert_eq!(used(1.0), "[..........]");
        assert_eq!(used(-0.02), "[==========>>");
    }

    #[test]
    fn shares_round_against_the_user() {
        assert_eq!(share(0.0569), "5.6 % left");
        assert_eq!(share(-0.0204), "2.1 % beyond");
        assert_eq!(share(0.42), "42 % left");
    }
}
