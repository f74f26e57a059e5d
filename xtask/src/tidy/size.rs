//! A file fits in a head: at most 800 lines, its test modules not counted.

use super::{Finding, rust};
use crate::repo::TextFile;

const MOST_LINES: usize = 800;

pub(super) fn check(files: &[TextFile]) -> Vec<Finding> {
    files
        .iter()
        .filter_map(|file| {
            let lines = match file.path.rsplit_once('.')?.1 {
                "rs" => rust::code(file).count(),
                "py" => file.text.lines().count(),
                _ => return None,
            };
            (lines > MOST_LINES).then(|| {
                let what = format!("{lines} lines; at most {MOST_LINES} without tests");
                Finding::new(&file.path, 0, what, "split it by noun")
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::tests::tree;
    use super::*;

    #[test]
    fn both_sides_of_the_limit() {
        assert!(check(&tree("a.rs", &"//\n".repeat(800))).is_empty());
        assert_eq!(check(&tree("a.rs", &"//\n".repeat(801))).len(), 1);
        assert_eq!(check(&tree("a.py", &"#\n".repeat(801))).len(), 1);
        assert!(check(&tree("a.csv", &"1\n".repeat(9000))).is_empty());
    }

    #[test]
    fn tests_are_not_counted() {
        let text = format!("//\n#[cfg(test)]\nmod tests {{\n{}}}\n", "    //\n".repeat(2000));
        assert!(check(&tree("a.rs", &text)).is_empty());
    }
}
