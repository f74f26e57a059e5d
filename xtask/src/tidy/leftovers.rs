//! Nothing is left for later in the text: that is what issues are for.

use super::{Finding, rust};
use crate::repo::TextFile;

const LATER: &[&str] = &[concat!("FIX", "ME"), concat!("TO", "DO"), concat!("XX", "X")];
const HOLES: &[&str] = &[concat!("to", "do!"), concat!("unimpl", "emented!"), concat!("db", "g!")];
const PRINTING: &[&str] = &["println!", "eprintln!", "print!", "eprint!"];

/// The libraries: their words go to the caller, never straight to the screen.
const QUIET: &[&str] = &["calc", "rules", "turnaround", "plan", "ledger", "draw", "papers"];

pub(super) fn check(files: &[TextFile]) -> Vec<Finding> {
    files.iter().flat_map(|file| later(file).chain(code(file)).collect::<Vec<_>>()).collect()
}

fn later(file: &TextFile) -> impl Iterator<Item = Finding> {
    file.text.lines().enumerate().filter_map(|(place, line)| {
        let word = LATER.iter().find(|word| rust::has_word(line, word))?;
        let what = format!("a leftover {word}");
        Some(Finding::new(&file.path, place + 1, what, "do it, or open an issue"))
    })
}

fn code(file: &TextFile) -> impl Iterator<Item = Finding> {
    let quiet = rust::crate_of(&file.path).is_some_and(|name| QUIET.contains(&name));
    let lines = file.is("rs").then(|| rust::code(file)).into_iter().flatten();
    lines.filter_map(move |(number, line)| {
        let line = rust::without_comment(line);
        let printing = PRINTING.iter().filter(|_| quiet);
        let word = HOLES.iter().chain(printing).find(|word| line.contains(**word))?;
        Some(Finding::new(&file.path, number, format!("a leftover {word}"), "remove it"))
    })
}

#[cfg(test)]
mod tests {
    use super::super::tests::{places, tree};
    use super::*;

    #[test]
    fn words_for_later_are_found_in_any_file() {
        let text = format!("a\n# {}: mend\n", LATER[0]);
        assert_eq!(places(&check(&tree("docs/a.md", &text))), ["docs/a.md:2"]);
        assert_eq!(check(&tree("a.toml", LATER[1])).len(), 1);
        assert!(check(&tree("a.toml", "METODO")).is_empty());
    }

    #[test]
    fn holes_are_found_in_code_only() {
        for hole in HOLES {
            let text = format!("fn a() {{\n    {hole}()\n}}\n");
            assert_eq!(
                places(&check(&tree("crates/app/src/a.rs", &text))),
                ["crates/app/src/a.rs:2"]
            );
        }
        assert_eq!(check(&tree("crates/ledger/src/a.rs", "println!(\"x\");")).len(), 1);
        assert!(check(&tree("crates/app/src/a.rs", "println!(\"x\");")).is_empty());
    }
}
