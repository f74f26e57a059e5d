//! Words that never appear: a promise the program does not make, and places outside the tree.

use super::{Finding, rust};
use crate::repo::TextFile;

/// The program advises; it never says that a flight may go.
const PROMISES: &[&str] = &[concat!("clea", "red"), concat!("safe to", " fly")];

/// Sentences that forbid those words may use them.
const FORBIDDING: &[&str] = &["never ", "never says ", "not ", "nothing is "];

/// Hosts of package registries; the package tools know them, our text need not.
const HOSTS: &[&str] = &[concat!("crates", ".io"), concat!("pypi", ".org"), concat!("npm", "js")];

/// The start of paths that exist on one machine only.
const ROOTS: &[&str] = &["work", "root", "home", "tmp"];

/// Written by the package tool, not by us.
const GENERATED: &[&str] = &["Cargo.lock"];

pub(super) fn check(files: &[TextFile]) -> Vec<Finding> {
    let ours = files.iter().filter(|file| !GENERATED.contains(&file.name()));
    ours.flat_map(|file| {
        let mut found = everywhere(file);
        found.extend(outside_tests(file));
        found
    })
    .collect()
}

fn everywhere(file: &TextFile) -> Vec<Finding> {
    let mut found = Vec::new();
    for (place, line) in file.text.lines().enumerate() {
        let line = line.to_lowercase();
        for word in PROMISES.iter().filter(|word| promises(&line, word)) {
            let what = format!("\"{word}\": the program advises only");
            found.push(Finding::new(&file.path, place + 1, what, "name the limit and its margin"));
        }
        for host in HOSTS.iter().filter(|host| line.contains(**host)) {
            let what = format!("the registry host {host}");
            found.push(Finding::new(&file.path, place + 1, what, "name the package alone"));
        }
    }
    found
}

/// True when `line` uses `word` and no forbidding word stands right before it.
fn promises(line: &str, word: &str) -> bool {
    line.match_indices(word).any(|(at, _)| {
        let before = line[..at].trim_end_matches(['"', '\'', '`', '*']);
        let longer = before.ends_with(char::is_alphanumeric);
        let forbids = FORBIDDING.iter().any(|forbidding| before.ends_with(forbidding));
        !longer && !forbids
    })
}

fn outside_tests(file: &TextFile) -> Vec<Finding> {
    let lines: Vec<_> = if file.is("rs") {
        rust::code(file).collect()
    } else {
        file.text.lines().enumerate().map(|(place, line)| (place + 1, line)).collect()
    };
    let mut found = Vec::new();
    for (number, line) in lines {
        for root in ROOTS.iter().filter(|root| names_machine(line, root)) {
            let what = format!("a path below /{root} of one machine");
            found.push(Finding::new(&file.path, number, what, "use a path inside the tree"));
        }
    }
    found
}

/// True when `line` holds `/root_name/` as the start of a path.
fn names_machine(line: &str, root: &str) -> bool {
    line.match_indices(&format!("/{root}/")).any(|(at, _)| {
        // After a letter, a dot or a brace it is the middle of a longer path.
        !line[..at].ends_with(|letter: char| letter.is_alphanumeric() || "._-})~".contains(letter))
    })
}

#[cfg(test)]
mod tests {
    use super::super::tests::{places, tree};
    use super::*;

    #[test]
    fn promises_are_found_and_their_denial_is_not() {
        let (first, second) = (PROMISES[0], PROMISES[1]);
        let text = format!(
            "The flight is {first}.\nIt is never {first}.\nIt never says \"{first}\".\n\
             Un{first}.\n{} to go.\nYou are {second}.\nIt is not {second}.\n",
            first.to_uppercase()
        );
        let found = places(&check(&tree("docs/a.md", &text)));
        assert_eq!(found, ["docs/a.md:1", "docs/a.md:5", "docs/a.md:6"]);
    }

    #[test]
    fn registry_hosts_are_found_except_where_the_tool_writes_them() {
        for host in HOSTS {
            assert_eq!(check(&tree("docs/a.md", &format!("see https://{host}/x"))).len(), 1);
            assert!(check(&tree("fuzz/Cargo.lock", host)).is_empty());
        }
    }

    #[test]
    fn machine_paths_are_found_outside_tests() {
        for root in ROOTS {
            let text = format!("let a = \"/{root}/x\";\n");
            assert_eq!(check(&tree("crates/app/src/a.rs", &text)).len(), 1, "{root}");
            assert!(check(&tree("crates/app/tests/a.rs", &text)).is_empty());
            assert!(check(&tree("docs/a.md", &format!("docs/{root}/x"))).is_empty());
        }
    }
}
