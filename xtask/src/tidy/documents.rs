//! No empty pages: a page says something or is not there.

use super::Finding;
use crate::repo::TextFile;

const LEAST_BYTES: usize = 200;

pub(super) fn check(files: &[TextFile]) -> Vec<Finding> {
    files
        .iter()
        .filter(|file| file.is("md"))
        .filter_map(|file| {
            let said = file.text.lines().any(|line| !line.is_empty() && !line.starts_with('#'));
            let what = if !said {
                "nothing but headings".to_owned()
            } else if file.text.len() < LEAST_BYTES {
                format!("{} bytes; a page has at least {LEAST_BYTES}", file.text.len())
            } else {
                return None;
            };
            Some(Finding::new(&file.path, 0, what, "write the page or remove it"))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::tests::tree;
    use super::*;

    #[test]
    fn empty_pages_are_found() {
        let headings = format!("# A\n\n## {}\n", "B".repeat(300));
        assert!(check(&tree("docs/a.md", &headings))[0].what.contains("headings"));
        assert!(check(&tree("docs/a.md", "# A\n\nSoon.\n"))[0].what.contains("bytes"));
        assert!(check(&tree("docs/a.md", &format!("# A\n\n{}\n", "word ".repeat(50)))).is_empty());
        assert!(check(&tree("docs/a.txt", "")).is_empty());
    }
}
