//! Everything that is kept of a folder: documents, records, people. What was refused has changed
//! none of it.

use std::{collections::BTreeMap, fs, path::Path};

use crate::program::Folder;

/// What is kept at a moment.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Kept {
    files: BTreeMap<String, Vec<u8>>,
    records: Vec<String>,
    people: String,
}

/// What is kept now.
pub(crate) fn kept(folder: &Folder) -> Kept {
    let out = folder.path("complaints-records.jsonl");
    let _ = fs::remove_file(&out);
    folder.run(&["yard", "export", &out.to_string_lossy()], "");
    let records = fs::read_to_string(&out).unwrap_or_default().lines().map(str::to_owned).collect();
    let people = folder.run(&["people", "list", "--json"], "").out;
    let mut files = BTreeMap::new();
    look(&folder.path(""), "", &mut files);
    Kept { files, records, people }
}

/// Fails unless all is as it was.
#[track_caller]
pub(crate) fn unchanged(folder: &Folder, before: &Kept, what: &str) {
    let now = kept(folder);
    assert_eq!(now.records.len(), before.records.len(), "{what}");
    let names = |kept: &Kept| kept.files.keys().cloned().collect::<Vec<_>>();
    assert_eq!(names(&now), names(before), "{what}");
    assert!(now == *before, "{what}: something else is kept now");
}

impl Kept {
    /// How many records.
    pub(crate) fn count(&self) -> usize {
        self.records.len()
    }
}

fn look(folder: &Path, prefix: &str, files: &mut BTreeMap<String, Vec<u8>>) {
    for entry in fs::read_dir(folder).unwrap().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        // The ledger and what lies beside it are looked at through its records.
        if name.starts_with("complaints-") || name.starts_with("yard.ledger") {
            continue;
        }
        let path = entry.path();
        if path.is_dir() {
            files.insert(format!("{prefix}{name}/"), Vec::new());
            look(&path, &format!("{prefix}{name}/"), files);
        } else {
            files.insert(format!("{prefix}{name}"), fs::read(&path).unwrap_or_default());
        }
    }
}
