//! Input that cannot be read: exit code 2, the place named, a way out, never a panic.

use crate::program::{Folder, demo, documents, file, stillprop, text};

/// A folder with one bad turnaround of each kind, and the bad files.
fn bad() -> Folder {
    let folder = Folder::with_demo();
    folder.write("empty.toml", b"");
    folder.write("latin.toml", b"format = 1\nkind = \"turnaround\"\ntitle = \"Caf\xe9\"\n");
    folder.write("nul.toml", b"format = 1\nkind = \"strip\"\nname = \"a\0b\"\n");
    folder.write("huge.toml", &vec![b'#'; 10 << 20]);
    folder.write("huge-latin.toml", &vec![0xe9; 10 << 20]);
    folder.write("deep-list.toml", format!("kind = {}", "[".repeat(200_000)).as_bytes());
    folder.write("deep-table.toml", format!("kind = {}", "{a=".repeat(100_000)).as_bytes());
    folder.write("deep-key.toml", format!("a{} = 1", ".a".repeat(200_000)).as_bytes());
    folder.write("deep-head.toml", format!("[{}a]", "a.".repeat(200_000)).as_bytes());
    folder.write("no-kind.toml", b"format = 1\n");
    folder.write("ferry.toml", b"format = 1\nkind = \"ferry\"\n");
    folder.write("format.toml", b"format = 2\nkind = \"strip\"\n");
    folder.write("broken.toml", b"format = 1\nkind = \"strip\n");
    folder
}

#[test]
fn bad_files_end_with_2_and_name_file_and_reason_in_text_and_json() {
    let folder = bad();
    for (name, reason) in [
        ("nowhere.toml", "no such file"),
        ("nowhere/at/all.toml", "no such file"),
        ("demo/strips", "folder"),
        (".", "folder"),
        ("", ""),
        ("empty.toml", "kind"),
        ("latin.toml", "line 3 is not UTF-8"),
        ("nul.toml", ""),
        ("huge.toml", "10485760 bytes"),
        ("huge-latin.toml", "10485760 bytes"),
        ("deep-list.toml", ""),
        ("deep-table.toml", ""),
        ("deep-key.toml", ""),
        ("deep-head.toml", ""),
        ("no-kind.toml", "does not say which kind"),
        ("ferry.toml", "`ferry` is not a kind"),
        ("format.toml", "format 2 is not known"),
        ("broken.toml", ""),
    ] {
        for verb in ["ready", "check"] {
            let page = folder.run(&[verb, name]).ends(2);
            assert_eq!(page.out, "", "{verb} {name}");
            assert!(
                page.err.contains(name) && page.err.contains("help: "),
                "{verb} {name}: {}",
                page.err
            );
            // `ready` says of a strip that it is no turnaround before it looks inside.
            if verb == "check" {
                assert!(page.err.contains(reason), "{name}: {}", page.err);
            }

            let answer = folder.run(&[verb, name, "--json"]).ends(2).json();
            let errors = answer["errors"].as_array().unwrap();
            assert!(!errors.is_empty() && answer["caution"].is_string(), "{verb} {name}");
            for error in errors {
                assert_eq!(text(error, "file"), name);
                assert_ne!(text(error, "message"), "");
                assert_ne!(text(error, "help"), "");
                assert!(text(error, "message").len() < 2000, "{verb} {name}");
            }
        }
    }
}

#[test]
fn a_document_of_the_wrong_kind_is_named_as_what_it_is() {
    let page = Folder::with_demo().run(&["ready", "demo/strips/oumbrel.toml"]).ends(2);
    assert!(page.err.contains("of kind `strip`, not `turnaround`"), "{}", page.err);
}

#[test]
fn every_problem_of_a_turnaround_and_what_it_names_is_reported_at_once() {
    let folder = Folder::with_demo();
    let path = file("ready");
    folder.edit(&path, "aircraft = \"../aircraft/comfrey-six.toml\"", "aircraft = \"none.toml\"");
    folder.edit(&path, "pack = \"demo-operator+au\"", "pack = \"demo-operator+atlantis\"");
    folder.edit("demo/strips/nessow-top.toml", "kind = \"strip\"", "kind = \"stripe\"");
    let answer = folder.run(&["ready", &path, "--json"]).ends(2).json();
    let errors = answer["errors"].as_array().unwrap();
    let files: Vec<&str> = errors.iter().map(|error| text(error, "file")).collect();
    assert_eq!(files, [&path, "demo/strips/nessow-top.toml", &path]);
    assert!(errors.iter().all(|error| error["line"].as_u64().is_some_and(|line| line > 1)));
    let said: Vec<&str> = errors.iter().map(|error| text(error, "message")).collect();
    assert!(said[0].contains("none.toml") && said[2].contains("atlantis"), "{said:?}");
}

#[test]
fn a_problem_is_shown_with_line_caret_and_a_way_out() {
    let folder = Folder::with_demo();
    let path = file("ready");
    folder.edit(&path, "stop = \"35 min\"", "stop = 35");
    let page = folder.run(&["ready", &path]).ends(2);
    let text = std::str::from_utf8(page.err.as_bytes()).unwrap();
    assert!(text.contains(&format!("{path}:")) && text.contains("stop = 35"), "{text}");
    assert!(text.contains('^') && text.contains("help: "), "{text}");
}

#[test]
fn what_was_asked_wrongly_ends_with_2_and_names_it() {
    let folder = bad();
    for (args, reason) in [
        (&["fly"][..], "fly"),
        (&["ready"], "FILE"),
        (&["ready", "demo", "--why", "load.take-of-mass"], "did you mean `load.take-off-mass`"),
        (&["ready", "demo", "--pack", "atlantis"], "no pack `atlantis`"),
        (&["ready", "demo", "--pack", "strictest(au"], "strictest(au"),
        (&["ready", "demo", "--pack", "empty.toml"], "empty.toml"),
        (&["ready", "demo", "--units", "cubits"], "cubits"),
        (&["ready", "demo/nothing"], "demo/nothing"),
        (&["schema", "ferry"], "ferry"),
        (&["packs", "atlantis"], "atlantis"),
        (&["completions", "abacus"], "abacus"),
        (&["check"], "FILES"),
        (&["sum"], "NAME"),
        (&["sum", "pressure-altitud"], "did you mean `pressure-altitude`"),
    ] {
        let page = folder.run(args).ends(2);
        assert_eq!(page.out, "", "{args:?}");
        assert!(page.err.contains(reason), "{args:?}: {}", page.err);
    }
}

#[test]
fn a_demo_name_is_taken_however_it_is_written() {
    for name in ["demo/ready", "demo/turnarounds/ready.toml"] {
        assert_eq!(stillprop(&["ready", name]).ends(0).out, stillprop(&["ready", "demo"]).out);
    }
    // Without the word a name is a file, and one that is not there is an error.
    stillprop(&["ready", "ready"]).ends(2);
}

#[test]
fn files_on_disk_do_not_mix_with_the_built_in_demo() {
    let folder = Folder::with_demo();
    for path in documents() {
        folder.write(&path, b"not a document");
    }
    assert_eq!(folder.run(&["ready", "demo"]).ends(0).out, stillprop(&["ready", "demo"]).out);
    assert_eq!(folder.run(&["demo"]).ends(0).out, stillprop(&["demo"]).out);
    folder.run(&["ready", &file("ready")]).ends(2);

    let alone = Folder::new();
    let text = std::fs::read(crate::program::root().join(file("ready"))).unwrap();
    alone.write("demo/turnarounds/own.toml", &text);
    let page = alone.run(&["ready", "demo/turnarounds/own.toml"]).ends(2);
    assert!(page.err.contains("comfrey-six.toml` cannot be opened"), "{}", page.err);
}

#[test]
fn every_line_of_every_demo_document_may_be_lost_without_a_panic() {
    let folder = Folder::with_demo();
    let whole: Vec<_> = documents()
        .into_iter()
        .map(|path| (std::fs::read_to_string(crate::program::root().join(&path)).unwrap(), path))
        .collect();
    let name = demo("ready");
    assert!(whole.iter().any(|(_, path)| path.contains("ready")), "{name}");
    let mut refused = 0;
    // The short ones: a strip and a turnaround, some hundred runs of the program.
    let short =
        whole.iter().filter(|(_, path)| path.contains("nessow") || path.contains("missing"));
    for (text, path) in short {
        for lost in 0..text.lines().count() {
            let rest: Vec<&str> = text
                .lines()
                .enumerate()
                .filter(|(n, _)| *n != lost)
                .map(|(_, line)| line)
                .collect();
            folder.write(path, rest.join("\n").as_bytes());
            // Any end will do but a panic, which `run` looks for.
            refused += usize::from(folder.run(&["check", path]).code == 2);
        }
        folder.write(path, text.as_bytes());
    }
    assert!(refused > 20, "{refused}");
}
