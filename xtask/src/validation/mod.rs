//! `cargo xtask validation`: every reference case through the catalogue, and VALIDATION.md.

pub(crate) mod case_file;
mod csv;
mod gap;
mod json;
mod page;

use stillprop_calc::catalogue::{self, Sum};

use self::{
    case_file::{Case, CaseFile, Tolerance, without_places},
    gap::Gap,
};
use crate::repo;

/// What to do with VALIDATION.md.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Page {
    /// Write it.
    Write,
    /// Fail when it does not say what a run says.
    Compare,
}

/// Everything one run found.
#[derive(Debug, Default)]
struct Report {
    files: Vec<FileReport>,
    problems: Vec<String>,
}

/// What one file of cases showed.
#[derive(Debug)]
struct FileReport {
    file: CaseFile,
    outputs: Vec<OutputReport>,
}

/// What one output of one file showed.
#[derive(Debug)]
struct OutputReport {
    key: String,
    checked: usize,
    worst: Gap,
    tolerance: Option<Tolerance>,
}

/// Runs every case; then writes VALIDATION.md or compares it.
pub(crate) fn run(page: Page) -> Result<String, String> {
    let report = report()?;
    for file in &report.files {
        println!("{}", page::table(file));
    }
    if !report.problems.is_empty() {
        let count = report.problems.len();
        return Err(format!("{}\nvalidation: {count} problems", report.problems.join("\n")));
    }
    let path = repo::root().join("VALIDATION.md");
    let wanted = page::markdown(&report);
    match page {
        Page::Write => {
            std::fs::write(&path, wanted).map_err(|error| format!("VALIDATION.md: {error}"))?
        }
        Page::Compare if std::fs::read_to_string(&path).ok() != Some(wanted) => {
            return Err("VALIDATION.md is stale; write it with: cargo xtask validation".into());
        }
        Page::Compare => {}
    }
    Ok(page::totals(&report))
}

fn report() -> Result<Report, String> {
    let mut report = Report::default();
    for text in repo::text_files()?.iter().filter(|file| case_file::is_case_file(file)) {
        match case_file::read(text) {
            Ok(file) => {
                let (file, problems) = run_file(file);
                report.files.push(file);
                report.problems.extend(problems);
            }
            Err(faults) => {
                report.problems.extend(faults.iter().map(|fault| format!("{}: {fault}", text.path)))
            }
        }
    }
    if report.files.is_empty() {
        report.problems.push(format!("{}: no reference case was found", case_file::FOLDER));
    }
    let bare: Vec<_> = catalogue::all().filter(|sum| report.cases_of(sum) == 0).collect();
    for sum in bare {
        report.problems.push(format!("{}: no reference case at all", sum.name));
    }
    Ok(report)
}

impl Report {
    fn files_of(&self, sum: &Sum) -> impl Iterator<Item = &FileReport> {
        self.files.iter().filter(|report| report.file.sum == sum.name)
    }

    fn cases_of(&self, sum: &Sum) -> usize {
        self.files_of(sum).map(|report| report.file.cases.len()).sum()
    }
}

fn run_file(file: CaseFile) -> (FileReport, Vec<String>) {
    let mut outputs = Vec::new();
    let mut problems = Vec::new();
    match catalogue::named(&file.sum) {
        None => problems.push(format!("{}: no sum is called {}", file.path, file.sum)),
        Some(sum) => {
            for case in &file.cases {
                for problem in run_case(sum, case, &file.tolerances, &mut outputs) {
                    problems.push(format!("{}: {}: {problem}", file.path, case.place));
                }
            }
        }
    }
    (FileReport { file, outputs }, problems)
}

/// Runs one case, adds what it showed to `outputs`, and returns what is wrong.
fn run_case(
    sum: &Sum,
    case: &Case,
    tolerances: &[Tolerance],
    outputs: &mut Vec<OutputReport>,
) -> Vec<String> {
    let refusal = case.expect.iter().find(|(key, _)| key == "error");
    let answer = match (sum.run(&case.inputs), refusal) {
        (Ok(answer), None) => answer,
        (Ok(_), Some((_, wanted))) => return vec![format!("answered; wanted: {wanted}")],
        (Err(error), None) => return vec![format!("{error}; {}", error.hint())],
        (Err(error), Some((_, wanted))) if error.to_string().contains(wanted.as_str()) => {
            note(outputs, "error".into(), Gap::default(), None);
            return Vec::new();
        }
        (Err(error), Some((_, wanted))) => {
            return vec![format!("refused with \"{error}\"; wanted: {wanted}")];
        }
    };
    let mut problems = Vec::new();
    for (path, wanted) in &case.expect {
        let key = without_places(path);
        let tolerance = tolerances.iter().find(|tolerance| tolerance.key == key);
        let gap = match gap::find(&answer.outs, path) {
            Some((out, shown)) => gap::measure(out, shown, wanted, tolerance),
            None => Err(format!("wanted {wanted}, got no such output")),
        };
        match gap {
            Ok(gap) => {
                if gap.of_limit > 1.0 {
                    let limit = tolerance.map_or("", |tolerance| tolerance.limit.as_str());
                    let off = page::size(&gap);
                    problems.push(format!("{path}: wanted {wanted}, off by {off}, limit {limit}"));
                }
                note(outputs, key, gap, tolerance);
            }
            Err(why) => problems.push(format!("{path}: {why}")),
        }
    }
    problems
}

fn note(outputs: &mut Vec<OutputReport>, key: String, gap: Gap, tolerance: Option<&Tolerance>) {
    match outputs.iter_mut().find(|output| output.key == key) {
        Some(output) => {
            output.checked += 1;
            if gap.of_limit > output.worst.of_limit {
                output.worst = gap;
            }
        }
        None => outputs.push(OutputReport {
            key,
            checked: 1,
            worst: gap,
            tolerance: tolerance.cloned(),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The same run as `cargo xtask validation --check`, so that `cargo test` proves it too.
    #[test]
    fn every_reference_case_holds_and_validation_md_is_current() {
        if let Err(why) = run(Page::Compare) {
            panic!("{why}");
        }
    }

    #[test]
    fn a_file_for_an_unknown_sum_is_a_problem() {
        let file = CaseFile {
            path: "x.csv".into(),
            sum: "no-such-sum".into(),
            source: "a test".into(),
            read: "computed".into(),
            tolerances: Vec::new(),
            cases: vec![Case::default()],
        };
        assert_eq!(run_file(file).1, ["x.csv: no sum is called no-such-sum"]);
    }

    #[test]
    fn the_worst_gap_is_kept() {
        let mut outputs = Vec::new();
        for of_limit in [0.2, 0.9, 0.4] {
            note(&mut outputs, "x".into(), Gap { of_limit, ..Gap::default() }, None);
        }
        assert_eq!(outputs[0].checked, 3);
        assert!((outputs[0].worst.of_limit - 0.9).abs() < f64::EPSILON);
    }
}
