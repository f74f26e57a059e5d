//! A public function of `calc` takes and returns quantities, not bare numbers.

use super::{Finding, rust};
use crate::repo::TextFile;

/// Where numbers become quantities; here a bare number is the point.
const BORDERS: &[&str] = &["quantity.rs", "bounds.rs", "unit.rs", "constants.rs"];

pub(super) fn check(files: &[TextFile]) -> Vec<Finding> {
    files.iter().filter(|file| is_judged(file)).flat_map(findings).collect()
}

fn is_judged(file: &TextFile) -> bool {
    file.path.strip_prefix("crates/calc/src/").is_some_and(|inside| {
        file.is("rs") && !inside.starts_with("catalogue/") && !BORDERS.contains(&inside)
    })
}

fn findings(file: &TextFile) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut signature: Option<(usize, String)> = None;
    for (number, line) in rust::code(file) {
        let line = rust::without_comment(line);
        let starts = ["pub fn ", "pub const fn "].iter().any(|head| line.trim().starts_with(head));
        if starts {
            signature = Some((number, String::new()));
        }
        let Some((start, text)) = &mut signature else { continue };
        text.push_str(line.split('{').next().unwrap_or_default());
        if line.contains(['{', ';']) {
            if rust::has_word(text, "f64") {
                let what = "a bare f64 in a public signature";
                found.push(Finding::new(&file.path, *start, what, "use a type of quantity.rs"));
            }
            signature = None;
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::tests::{places, tree};
    use super::*;

    const BAD: &str = concat!(
        "/// f64\npub fn a(\n    x: f64,\n) -> Mass {\n    1.0_f64\n}\n",
        "fn b(x: f64) {}\npub(crate) fn c(x: f64) {}\n",
        "pub fn d(x: Mass) -> Mass {\n    let y: f64;\n}\n",
    );

    #[test]
    fn a_bare_number_is_found_even_over_lines() {
        let found = check(&tree("crates/calc/src/air.rs", BAD));
        assert_eq!(places(&found), ["crates/calc/src/air.rs:2"]);
    }

    #[test]
    fn borders_and_other_crates_are_not_judged() {
        for path in
            ["crates/calc/src/unit.rs", "crates/calc/src/catalogue/air.rs", "xtask/src/a.rs"]
        {
            assert!(check(&tree(path, BAD)).is_empty(), "{path}");
        }
    }
}
