//! The pure crates touch no file, clock, thread, network or process.
//!
//! They must also work inside a browser with no server; with no such target installed,
//! their sources are read for the words that would break it.

use super::{Finding, rust};
use crate::repo::TextFile;

const PURE: &[&str] = &["calc", "rules", "turnaround", "plan", "draw", "papers"];

/// Modules of the standard library that reach outside.
const OUTSIDE: &[&str] = &["fs", "net", "thread", "time", "process", "env", "io", "os"];

pub(super) fn check(files: &[TextFile]) -> Vec<Finding> {
    files
        .iter()
        .filter(|file| file.is("rs") && rust::crate_of(&file.path).is_some_and(is_pure))
        .flat_map(findings)
        .collect()
}

fn is_pure(name: &str) -> bool {
    PURE.contains(&name)
}

fn findings(file: &TextFile) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut statement = String::new();
    for (number, line) in rust::code(file) {
        let line = rust::without_comment(line);
        // A `use` may run over several lines; it is judged where it ends.
        if !statement.is_empty() || line.trim_start().starts_with("use std::") {
            statement += line.trim();
            if !line.contains(';') {
                continue;
            }
        } else {
            statement = line.to_owned();
        }
        for module in OUTSIDE.iter().filter(|module| reaches(&statement, module)) {
            let what = format!("std::{module} in a pure crate");
            found.push(Finding::new(&file.path, number, what, "let `app` pass the value in"));
        }
        statement.clear();
    }
    found
}

/// True when `text` names `std::module`, also inside braces.
fn reaches(text: &str, module: &str) -> bool {
    let Some(at) = text.find("std::") else { return false };
    rust::has_word(text, &format!("std::{module}"))
        || text[at..].starts_with("std::{")
            && text[at + 6..]
                .split(['{', ',', '}'])
                .any(|part| part.trim().split("::").next() == Some(module))
}

#[cfg(test)]
mod tests {
    use super::super::tests::{places, tree};
    use super::*;

    #[test]
    fn reaching_outside_is_found() {
        let text = "use std::{\n    fmt,\n    fs::File,\n};\nstd::time::now();\n\
                    use std::fmt; // std::net\n";
        let found = check(&tree("crates/calc/src/a.rs", text));
        let path = "crates/calc/src/a.rs";
        assert_eq!(places(&found), [4, 5].map(|line| format!("{path}:{line}")));
    }

    #[test]
    fn the_rim_and_the_tests_may() {
        let text = "use std::fs;\n";
        assert!(check(&tree("crates/app/src/a.rs", text)).is_empty());
        assert!(check(&tree("crates/calc/tests/a.rs", text)).is_empty());
        let text = "#[cfg(test)]\nmod tests {\n    use std::fs;\n}\nuse std::{fmt, iter};\n";
        assert!(check(&tree("crates/rules/src/a.rs", text)).is_empty());
    }
}
