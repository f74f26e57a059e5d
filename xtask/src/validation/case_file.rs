//! A file of reference cases: its head, and what it says about each case.
//!
//! Two spellings, one meaning: tables are CSV, cases whose input is a list are JSON.
//! `crates/calc/testdata/README.md` describes both for the person who writes one.

use stillprop_calc::catalogue::Raw;

use super::{csv, json};
use crate::repo::TextFile;

/// Where the reference cases live.
pub(crate) const FOLDER: &str = "crates/calc/testdata/";

/// How the expected values reached us.
const READ: &[&str] = &["source", "second hand", "memory", "computed"];

/// Reference cases of one sum from one source.
#[derive(Debug, PartialEq)]
pub(crate) struct CaseFile {
    /// Path from the root of the work tree.
    pub(crate) path: String,
    /// Name of the sum in the catalogue.
    pub(crate) sum: String,
    /// Who published or computed the expected values.
    pub(crate) source: String,
    /// One of [`READ`].
    pub(crate) read: String,
    /// One for each output that is measured.
    pub(crate) tolerances: Vec<Tolerance>,
    /// The cases, in the order of the file.
    pub(crate) cases: Vec<Case>,
}

/// One case.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Case {
    /// Line, or place and name, for a person who must find it.
    pub(crate) place: String,
    /// The arguments.
    pub(crate) inputs: Vec<(String, Raw)>,
    /// The outputs that are checked, `load[2].mass` style for records.
    pub(crate) expect: Vec<(String, String)>,
}

/// How far an output may lie from what was expected, and why that far.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tolerance {
    /// The output, without the places of records: `load.mass`.
    pub(crate) key: String,
    /// `0.1 ft`, `2 s` or `rel 1e-6`.
    pub(crate) limit: String,
    /// The reason.
    pub(crate) why: String,
}

/// Head and cases as one of the two readers found them.
#[derive(Debug, Default)]
pub(super) struct Draft {
    pub(super) sum: Option<String>,
    pub(super) source: Option<String>,
    pub(super) read: Option<String>,
    pub(super) count: Option<String>,
    pub(super) tolerances: Vec<Tolerance>,
    pub(super) cases: Vec<Case>,
    pub(super) faults: Vec<String>,
}

/// True when `file` is meant to hold reference cases.
pub(crate) fn is_case_file(file: &TextFile) -> bool {
    file.path.starts_with(FOLDER) && (file.is("csv") || file.is("json"))
}

/// Reads a file of cases; every fault names the place within the file.
pub(crate) fn read(file: &TextFile) -> Result<CaseFile, Vec<String>> {
    let draft = if file.is("csv") { csv::read(&file.text) } else { json::read(&file.text) };
    draft.finish(&file.path)
}

impl Draft {
    fn finish(mut self, path: &str) -> Result<CaseFile, Vec<String>> {
        let mut faults = std::mem::take(&mut self.faults);
        self.check_count(&mut faults);
        self.check_expectations(&mut faults);
        let mut needed = |key: &str, value: Option<String>| {
            value.filter(|text| !text.trim().is_empty()).unwrap_or_else(|| {
                faults.push(format!("the head does not say `{key}`"));
                String::new()
            })
        };
        let sum = needed("sum", self.sum);
        let source = needed("source", self.source);
        let read = needed("read", self.read);
        if !read.is_empty() && !READ.contains(&read.as_str()) {
            faults.push(format!("`read` is \"{read}\"; it must be one of: {}", READ.join(", ")));
        }
        if faults.is_empty() {
            let Self { tolerances, cases, .. } = self;
            Ok(CaseFile { path: path.into(), sum, source, read, tolerances, cases })
        } else {
            Err(faults)
        }
    }

    fn check_count(&self, faults: &mut Vec<String>) {
        let found = self.cases.len();
        match self.count.as_deref().map(|text| text.trim().parse::<usize>()) {
            None => faults.push("the head does not say `count`".into()),
            Some(Err(_)) => faults.push("`count` is not a whole number".into()),
            Some(Ok(count)) if count != found => {
                faults.push(format!("`count` is {count} and {found} cases were read"));
            }
            Some(Ok(_)) if found == 0 => faults.push("no case at all".into()),
            Some(Ok(_)) => {}
        }
    }

    /// A case that checks nothing and a tolerance that nothing uses are both mistakes.
    fn check_expectations(&self, faults: &mut Vec<String>) {
        for case in self.cases.iter().filter(|case| case.expect.is_empty()) {
            faults.push(format!("{}: nothing is expected of this case", case.place));
        }
        for (place, tolerance) in self.tolerances.iter().enumerate() {
            let key = &tolerance.key;
            let mut expected = self.cases.iter().flat_map(|case| &case.expect);
            if !expected.any(|(path, _)| without_places(path) == *key) {
                faults.push(format!("tolerance for `{key}`, which no case expects"));
            }
            if self.tolerances.iter().take(place).any(|other| other.key == *key) {
                faults.push(format!("two tolerances for `{key}`"));
            }
            if tolerance.why.is_empty() {
                faults.push(format!("the tolerance for `{key}` has no reason"));
            }
        }
    }
}

/// `load[2].mass` without the place: `load.mass`.
pub(super) fn without_places(path: &str) -> String {
    let mut plain = String::with_capacity(path.len());
    let mut inside = false;
    for letter in path.chars() {
        match letter {
            '[' => inside = true,
            ']' => inside = false,
            _ if inside => {}
            _ => plain.push(letter),
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;

    const GOOD: &str = "\
# sum: pressure-altitude
# source: a table, 1975, page 3
# read: memory
# tolerance: pressure_altitude = 0.1 ft, print rounding
# count: 1
elevation [ft],=pressure_altitude [ft]
800,986
";

    fn faults(text: &str) -> String {
        let file = TextFile { path: format!("{FOLDER}x.csv"), text: text.into() };
        read(&file).map(|_| String::new()).unwrap_or_else(|faults| faults.join("\n"))
    }

    #[test]
    fn a_complete_file_has_no_fault() {
        assert_eq!(faults(GOOD), "");
    }

    #[test]
    fn each_missing_line_of_the_head_is_named() {
        for (line, says) in [
            ("# sum: pressure-altitude\n", "does not say `sum`"),
            ("# source: a table, 1975, page 3\n", "does not say `source`"),
            ("# read: memory\n", "does not say `read`"),
            ("# count: 1\n", "does not say `count`"),
        ] {
            let found = faults(&GOOD.replace(line, ""));
            assert!(found.contains(says), "{line}: {found}");
        }
    }

    #[test]
    fn counts_words_and_tolerances_are_checked() {
        for (from, to, says) in [
            ("count: 1", "count: 2", "`count` is 2 and 1 cases"),
            ("count: 1", "count: one", "not a whole number"),
            ("read: memory", "read: hearsay", "must be one of"),
            (", print rounding", "", "has no reason"),
            ("# tolerance: pressure", "# tolerance: density", "which no case expects"),
            ("800,986\n", "800,\n", "nothing is expected"),
            ("800,986\n", "", "0 cases"),
        ] {
            let found = faults(&GOOD.replace(from, to));
            assert!(found.contains(says), "{to}: {found}");
        }
        let none = GOOD.replace("800,986\n", "").replace("count: 1", "count: 0");
        assert!(faults(&none).contains("no case at all"));
    }

    #[test]
    fn places_of_records_are_not_part_of_a_key() {
        assert_eq!(without_places("load[12].tank[0].mass"), "load.tank.mass");
        assert_eq!(without_places("mass"), "mass");
    }
}
