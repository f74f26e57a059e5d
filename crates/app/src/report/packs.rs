//! The rule packs in the program.

use stillprop_rules::{builtin, pack::Pack};

use crate::{load, problem::Failure};

/// The packs in the program.
pub(crate) fn built_in() -> Result<Vec<Pack>, Failure> {
    let mut packs = Vec::new();
    for (id, _) in builtin::builtin() {
        let rules = load::rules(id)?;
        let own = rules.packs().into_iter().find(|pack| pack.id == *id).cloned();
        packs.extend(own);
    }
    Ok(packs)
}
