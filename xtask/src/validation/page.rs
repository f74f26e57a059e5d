//! What the run of the reference cases looks like: on the screen, and as VALIDATION.md.

use std::fmt::Write;

use stillprop_calc::catalogue;

use super::{FileReport, OutputReport, Report, gap::Gap};

const HEAD: &str = "\
# Validation

Every calculation of the catalogue against values that somebody else published or computed.
This page is written by `cargo xtask validation`; `cargo xtask check` fails when it is stale
or when any value lies outside its tolerance. The values themselves are in
`crates/calc/testdata/`, one file per sum and source.

## How to read it

- *cases* counts the rows that check this output; *worst error* is the largest distance among
  them, in the unit the program shows (`rel`: as a share of the expected value, angles the
  short way round). Less than a trillionth of the value prints as `< 1e-12`, and less than a
  millionth of the tolerance says so, because what is left there is the rounding of the
  machine and not the formula.
- *tolerance* is what the source allows, with the reason. It is never wider than that reason.
- *read* says how the expected values reached us: `source` (read in the document), `second hand`
  (in a copy or quotation), `memory` (not re-read), `computed` (by the library or arithmetic named).
- *exact* marks a word, or a refusal (`error`), that must be the very one.
";

/// The summary line of a run.
pub(super) fn totals(report: &Report) -> String {
    let files = report.files.len();
    let cases: usize = report.files.iter().map(|file| file.file.cases.len()).sum();
    let checked: usize =
        report.files.iter().flat_map(|file| &file.outputs).map(|output| output.checked).sum();
    let sums = catalogue::all().count();
    format!("{cases} cases with {checked} checked values in {files} files for {sums} sums")
}

/// One file, for the screen.
pub(super) fn table(report: &FileReport) -> String {
    let file = &report.file;
    let cases = file.cases.len();
    let mut text = format!("{} ({}, {cases} cases)\n  {}\n", file.path, file.sum, file.source);
    for output in &report.outputs {
        let OutputReport { key, checked, worst, tolerance } = output;
        let verdict = match tolerance {
            Some(tolerance) => format!("worst {:<16} of {}", size(worst), tolerance.limit),
            None => "exact".into(),
        };
        // Writing to a String cannot fail.
        let _ = writeln!(text, "  {key:<28}{checked:>5}  {verdict}");
    }
    text
}

/// VALIDATION.md.
pub(super) fn markdown(report: &Report) -> String {
    let mut text = format!("{HEAD}\nTogether: {}.\n", totals(report));
    text += "\n## What was checked against what\n\n";
    text += "| sum | file | output | cases | worst error | tolerance | source | read |\n";
    text += "|---|---|---|---:|---:|---|---|---|\n";
    for sum in catalogue::all() {
        for FileReport { file, outputs } in report.files_of(sum) {
            let name = file.path.rsplit('/').next().unwrap_or(&file.path);
            for output in outputs {
                let OutputReport { key, checked, worst, tolerance } = output;
                let (error, limit) = match tolerance {
                    Some(found) => (size(worst), format!("{}: {}", found.limit, cell(&found.why))),
                    None => ("exact".into(), "exact".into()),
                };
                let source = cell(&file.source);
                let _ = writeln!(
                    text,
                    "| `{}` | `{name}` | `{key}` | {checked} | {error} | {limit} | {source} | {} |",
                    sum.name, file.read,
                );
            }
        }
    }
    text += "\n## Every sum and its sources\n\n";
    text += "The ids are rows of `crates/calc/sources.toml`.\n\n";
    text += "| sum | answers | sources | cases |\n|---|---|---|---:|\n";
    for sum in catalogue::all() {
        let ids: Vec<_> = sum.sources.iter().map(|source| format!("`{}`", source.0)).collect();
        let (answers, cases) = (cell(sum.answers), report.cases_of(sum));
        let _ = writeln!(text, "| `{}` | {answers} | {} | {cases} |", sum.name, ids.join(", "));
    }
    text
}

/// The distance with three digits, and nothing where only the rounding of the machine is left:
/// the last digits may differ between two machines, and this page must not.
pub(super) fn size(gap: &Gap) -> String {
    if gap.of_value < 1e-12 {
        "< 1e-12".into()
    } else if gap.of_limit < 1e-6 {
        "< 1e-6 of the tolerance".into()
    } else {
        format!("{} {}", digits(gap.size), gap.unit).trim_end().into()
    }
}

/// `value` with three significant digits, as a plain decimal where that is short.
fn digits(value: f64) -> String {
    let rounded: f64 = format!("{value:.2e}").parse().unwrap_or(value);
    if (1e-4..1e6).contains(&rounded) { format!("{rounded}") } else { format!("{value:.2e}") }
}

/// Text as a cell of a Markdown table.
fn cell(text: &str) -> String {
    text.replace('|', "\\|").replace('\n', " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_digits_and_no_more() {
        for (value, text) in [
            (0.051_234, "0.0512"),
            (0.059_96, "0.06"),
            (1234.5, "1230"),
            (1.0, "1"),
            (0.000_123_45, "0.000123"),
            (0.000_012_345, "1.23e-5"),
        ] {
            assert_eq!(digits(value), text);
        }
    }

    #[test]
    fn the_rounding_of_the_machine_is_not_printed() {
        let gap = |of_value: f64, of_limit: f64| Gap { size: 0.25, unit: "ft", of_limit, of_value };
        assert_eq!(size(&gap(9e-13, 0.5)), "< 1e-12");
        assert_eq!(size(&gap(f64::NAN, 9e-7)), "< 1e-6 of the tolerance");
        assert_eq!(size(&gap(2e-12, 0.5)), "0.25 ft");
    }

    #[test]
    fn a_bar_does_not_break_the_table() {
        assert_eq!(cell("a|b\nc"), "a\\|b c");
    }
}
