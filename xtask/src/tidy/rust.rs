//! Rust source as the rules read it: line by line, with the tests told apart.

use crate::repo::TextFile;

/// True for a file that is all test, benchmark or example.
pub(super) fn is_test_file(path: &str) -> bool {
    path.ends_with("tests.rs")
        || path.split('/').any(|part| matches!(part, "tests" | "benches" | "examples" | "fuzz"))
}

/// The crate folder under `crates/` that `path` belongs to.
pub(super) fn crate_of(path: &str) -> Option<&str> {
    path.strip_prefix("crates/")?.split('/').next()
}

/// The numbered lines outside test modules; nothing of a file that is all test.
///
/// A test module starts at the margin and ends with a brace at the margin: rustfmt sees to
/// that, so no parser is needed.
pub(super) fn code(file: &TextFile) -> impl Iterator<Item = (usize, &str)> {
    let all_test = is_test_file(&file.path);
    let mut attribute = false;
    let mut inside = false;
    file.text.lines().enumerate().filter_map(move |(place, line)| {
        if all_test {
            return None;
        }
        if inside {
            inside = line != "}";
            return None;
        }
        if attribute && !line.starts_with('#') {
            attribute = false;
            inside = line.ends_with('{');
            return None;
        }
        attribute = attribute || line == "#[cfg(test)]";
        if attribute { None } else { Some((place + 1, line)) }
    })
}

/// The line without its comment: good enough to look for words of code.
pub(super) fn without_comment(line: &str) -> &str {
    match line.find("//") {
        // `://` is an address inside a string.
        Some(at) if !line[..at].ends_with(':') => &line[..at],
        _ => line,
    }
}

/// True when `word` stands in `line` and is not part of a longer name.
pub(super) fn has_word(line: &str, word: &str) -> bool {
    let part = |letter: char| letter.is_alphanumeric() || letter == '_';
    line.match_indices(word).any(|(at, _)| {
        let before = line[..at].chars().next_back();
        let after = line[at + word.len()..].chars().next();
        !before.is_some_and(part) && !after.is_some_and(part)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(path: &str, text: &str) -> Vec<usize> {
        code(&TextFile { path: path.into(), text: text.into() }).map(|(line, _)| line).collect()
    }

    #[test]
    fn test_modules_are_left_out_and_what_follows_is_not() {
        let text =
            "fn a() {}\n#[cfg(test)]\n#[allow(x)]\nmod tests {\n    fn b() {}\n}\nfn c() {}\n";
        assert_eq!(numbers("src/a.rs", text), [1, 7]);
        assert_eq!(numbers("src/a.rs", "#[cfg(test)]\nmod tests;\nfn c() {}\n"), [3]);
        assert_eq!(numbers("crates/calc/tests/a.rs", "fn a() {}\n"), [0; 0]);
    }

    #[test]
    fn words_are_whole_words() {
        assert!(has_word("x: f64)", "f64"));
        assert!(!has_word("to_f64()", "f64"));
        assert!(!has_word("f64x2", "f64"));
        assert_eq!(without_comment("let a = 1; // why"), "let a = 1; ");
        assert_eq!(without_comment("let a = \"http://x\";"), "let a = \"http://x\";");
    }
}
