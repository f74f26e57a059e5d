//! Our own style sheet and scripts, part of the program.

use std::{
    hash::{DefaultHasher, Hash as _, Hasher as _},
    sync::OnceLock,
};

/// A file that pages ask for.
pub(crate) struct Asset {
    /// Its name: changes with what is in it, so that a browser may keep it for good.
    pub(crate) name: String,
    /// Its type.
    pub(crate) kind: &'static str,
    /// What is in it.
    pub(crate) text: &'static str,
}

const FILES: [(&str, &str, &str, &str); 4] = [
    ("style", "css", "text/css; charset=utf-8", include_str!("../../web/style.css")),
    ("stop", "js", "text/javascript; charset=utf-8", include_str!("../../web/stop.js")),
    ("sheet", "js", "text/javascript; charset=utf-8", include_str!("../../web/sheet.js")),
    ("mark", "svg", "image/svg+xml", include_str!("../../web/mark.svg")),
];

fn all() -> &'static [Asset] {
    static ALL: OnceLock<Vec<Asset>> = OnceLock::new();
    ALL.get_or_init(|| {
        let asset = |(stem, end, kind, text): &(&str, &str, &'static str, &'static str)| {
            let mut hasher = DefaultHasher::new();
            text.hash(&mut hasher);
            let name = format!("{stem}-{:016x}.{end}", hasher.finish());
            Asset { name, kind, text }
        };
        FILES.iter().map(asset).collect()
    })
}

/// The file with this name.
pub(crate) fn find(name: &str) -> Option<&'static Asset> {
    all().iter().find(|asset| asset.name == name)
}

/// The address of a file: `style`, `stop`.
pub(crate) fn address(stem: &str) -> String {
    let of =
        |asset: &&Asset| asset.name.strip_prefix(stem).is_some_and(|rest| rest.starts_with('-'));
    let name = all().iter().find(of).map_or("", |asset| asset.name.as_str());
    format!("/web/{name}")
}
