//! What is generated from the one description of the command line, and the demonstration
//! word for word.

use std::{env, fs, path::Path};

use crate::program::stillprop;

const VERBS: [&str; 12] = [
    "ready",
    "demo",
    "ground",
    "sheet",
    "serve",
    "sum",
    "check",
    "schema",
    "packs",
    "people",
    "completions",
    "man",
];

#[test]
fn completions_of_every_shell_know_every_verb_and_option() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = stillprop(&["completions", shell]).ends(0).out;
        for word in VERBS.iter().chain(&["why", "pack", "units", "input", "list", "json"]) {
            assert!(script.contains(word), "{shell}: {word}");
        }
    }
}

#[test]
fn help_names_every_verb_and_each_verb_has_an_example() {
    let help = stillprop(&["--help"]).ends(0).out;
    assert!(help.contains("Exit codes: 0 ready or done, 1 not ready, 2"), "{help}");
    for verb in VERBS {
        assert!(help.contains(&format!("\n  {verb} ")), "{verb}: {help}");
        let own = stillprop(&[verb, "--help"]).ends(0).out;
        assert!(own.contains(&format!("Example: stillprop {verb}")), "{own}");
    }
}

#[test]
fn the_manual_names_every_verb_and_the_exit_codes() {
    let page = stillprop(&["man"]).ends(0).out.replace("\\-", "-");
    assert!(page.contains(".TH stillprop 1"), "{page}");
    assert!(page.contains("Exit codes: 0 ready or done, 1 not ready, 2"), "{page}");
    for verb in VERBS {
        assert!(page.contains(&format!("stillprop-{verb}(1)")), "{verb}: {page}");
    }
}

#[test]
fn the_demonstration_says_what_it_said() {
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/demo.txt");
    let said = stillprop(&["demo"]).ends(0).out;
    if env::var_os("UPDATE").is_some() {
        fs::create_dir_all(golden.parent().unwrap()).unwrap();
        fs::write(&golden, &said).unwrap();
    }
    let wanted = fs::read_to_string(&golden).unwrap();
    for (number, (said, wanted)) in said.lines().zip(wanted.lines()).enumerate() {
        assert_eq!(said, wanted, "line {}; mend: UPDATE=1", number + 1);
    }
    assert_eq!(said.lines().count(), wanted.lines().count(), "more or fewer lines; mend: UPDATE=1");
}

#[test]
fn no_line_is_wider_than_a_page_but_those_with_a_bar() {
    let demo = stillprop(&["demo"]).ends(0).out;
    let lacking = stillprop(&["ready", "demo", "--pack", "nz"]).ends(1).out;
    for line in demo.lines().chain(lacking.lines()) {
        assert!(line.chars().count() <= 100 || line.contains('['), "{line}");
    }
}

#[test]
fn text_for_a_file_has_no_colour() {
    for args in [&["demo"][..], &["ready", "nowhere.toml"], &["--help"]] {
        let answer = stillprop(args);
        assert!(!format!("{}{}", answer.out, answer.err).contains('\u{1b}'), "{args:?}");
    }
}
