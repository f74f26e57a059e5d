//! The demonstration in a folder of its own, so that it can be changed and recorded in.

use std::path::{Path, PathBuf};

use stillprop_ledger::transfer;

use super::folder::Folder;
use crate::{
    problem::Failure,
    world::{self, DEMO},
    yard::Ledger,
};

/// The ledger in a folder of documents.
pub(crate) const LEDGER: &str = "yard.ledger";

/// Where the demonstration lies when nobody names a folder.
pub(crate) fn usual() -> Option<PathBuf> {
    Some(world::data_folder()?.join("demo"))
}

/// Writes the demonstration into a folder, unless it is there: documents as they are built in,
/// and a ledger with the invented yard. What somebody changed stays.
pub(crate) fn lay_out(root: &Path) -> Result<(), Failure> {
    let folder = Folder::of(root.to_owned());
    // A day and its stops have no page of their own: there the stops would stand as if each were alone.
    let shown = |name: &str| !name.starts_with("demo/days/") && !name.starts_with("demo/stops/");
    for (name, text) in DEMO.iter().filter(|(name, _)| shown(name)) {
        let name = name.strip_prefix("demo/").unwrap_or(name);
        folder.create(name.trim_end_matches(".toml"), text)?;
    }
    let ledger = root.join(LEDGER);
    if !ledger.exists() {
        let mut ledger = Ledger::write(Some(&ledger.to_string_lossy()))?;
        transfer::import(ledger.store(), &mut world::DEMO_YARD.as_bytes())?;
        ledger.refresh()?;
        ledger.keep_snapshot();
    }
    Ok(())
}
