//! `cargo xtask tidy`: the house rules that a compiler does not know.
//!
//! Each rule is one module: a function from the text of the work tree to findings, with a
//! test that shows it a bad sample. What a rule forbids is spelled here in pieces, so that
//! the rule does not find itself.

mod documents;
mod edges;
mod leftovers;
mod purity;
mod rust;
mod signatures;
mod size;
mod sources;
mod words;

use std::fmt;

use crate::{
    repo::{self, TextFile},
    validation::case_file,
};

/// Something to mend.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Finding {
    /// Path from the root of the work tree.
    path: String,
    /// Line, or 0 for the file as a whole.
    line: usize,
    /// What is wrong.
    what: String,
    /// What to do about it.
    mend: String,
}

impl Finding {
    fn new(path: &str, line: usize, what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { path: path.into(), line, what: what.into(), mend: mend.into() }
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { path, line, what, mend } = self;
        match line {
            0 => write!(f, "{path}: {what}; {mend}"),
            _ => write!(f, "{path}:{line}: {what}; {mend}"),
        }
    }
}

type Rule = fn(&[TextFile]) -> Vec<Finding>;

/// The rules that need nothing but the text.
const RULES: &[Rule] = &[
    purity::check,
    signatures::check,
    sources::check,
    reference_cases,
    size::check,
    leftovers::check,
    documents::check,
    words::check,
];

/// Applies every rule.
pub(crate) fn run() -> Result<String, String> {
    let files = repo::text_files()?;
    let mut findings = edges::check()?;
    findings.extend(RULES.iter().flat_map(|rule| rule(&files)));
    findings.sort();
    if findings.is_empty() {
        return Ok(format!("{} files, {} rules, no finding", files.len(), RULES.len() + 1));
    }
    let lines: Vec<_> = findings.iter().map(Finding::to_string).collect();
    Err(format!("{}\ntidy: {} findings", lines.join("\n"), lines.len()))
}

/// Every file of reference cases has a head that says where its values come from.
fn reference_cases(files: &[TextFile]) -> Vec<Finding> {
    let cases = files.iter().filter(|file| case_file::is_case_file(file));
    cases
        .flat_map(|file| {
            let faults = case_file::read(file).err().unwrap_or_default();
            faults.into_iter().map(|fault| {
                Finding::new(&file.path, 0, fault, "see crates/calc/testdata/README.md")
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A work tree of one file.
    pub(super) fn tree(path: &str, text: &str) -> Vec<TextFile> {
        vec![TextFile { path: path.into(), text: text.into() }]
    }

    /// `path:line` of each finding.
    pub(super) fn places(findings: &[Finding]) -> Vec<String> {
        findings.iter().map(|found| format!("{}:{}", found.path, found.line)).collect()
    }

    #[test]
    fn the_work_tree_is_tidy() {
        if let Err(why) = run() {
            panic!("{why}");
        }
    }

    #[test]
    fn a_table_without_provenance_is_found() {
        let files = tree("crates/calc/testdata/x.csv", "a [ft],=b [ft]\n1,2\n");
        let found = reference_cases(&files);
        assert_eq!(found.len(), 4, "{found:?}");
        assert!(reference_cases(&tree("demo/x.csv", "a,b\n")).is_empty());
    }
}
