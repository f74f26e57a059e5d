//! `serve`: the local pages.

use std::{
    net::IpAddr,
    path::{Path, PathBuf},
};

use clap::Args;

use super::Answer;
use crate::{
    problem::Failure,
    serve::{self, access::gate::Opening, demo, folder::Folder, shop::Shop},
    world,
};

/// Options of `serve`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// The folder of documents; else this one if it has any, else the data folder
    folder: Option<PathBuf>,
    /// Port to serve at; 0 for any that is free
    #[arg(long, default_value_t = serve::PORT)]
    port: u16,
    /// Let people in from other devices, encrypted; see `stillprop people`
    #[arg(long, conflicts_with = "by")]
    lan: bool,
    /// An address of this machine that it does not find by itself
    #[arg(long, value_name = "ADDRESS", requires = "lan")]
    address: Vec<IpAddr>,
    /// Who records when a page does not say; else `STILLPROP_BY`
    #[arg(long, value_name = "NAME")]
    by: Option<String>,
    /// The ledger; else `STILLPROP_LEDGER`, else `yard.ledger` in the folder
    #[arg(long, value_name = "FILE")]
    ledger: Option<PathBuf>,
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let root = match &options.folder {
        Some(folder) if !folder.is_dir() => {
            let name = folder.to_string_lossy();
            return Err(Failure::file(&name, "there is no such folder", "make it first"));
        }
        Some(folder) => folder.clone(),
        None => usual()?,
    };
    let named = options.ledger.clone().or_else(|| world::ledger_named().map(PathBuf::from));
    let ledger = named.unwrap_or_else(|| root.join(demo::LEDGER));
    let opening = opening(options.port, options.lan, &options.address);
    serve(root, ledger, options.by.clone(), false, &opening)
}

/// The demonstration, in a folder of its own.
pub(super) fn demo(
    folder: Option<&Path>,
    by: Option<String>,
    opening: &Opening,
) -> Result<Answer, Failure> {
    let root = folder.map(Path::to_owned).or_else(demo::usual).ok_or_else(|| {
        Failure::asked("it is not said where the demonstration may lie", "add --folder FOLDER")
    })?;
    demo::lay_out(&root)?;
    let ledger = root.join(demo::LEDGER);
    serve(root, ledger, by, true, opening)
}

/// Where the pages are to be open.
pub(super) fn opening(port: u16, lan: bool, addresses: &[IpAddr]) -> Opening {
    let mut own = addresses.to_vec();
    own.extend(world::addresses().into_iter().filter(|found| !addresses.contains(found)));
    Opening { port, lan, own }
}

fn serve(
    root: PathBuf,
    ledger: PathBuf,
    by: Option<String>,
    demo: bool,
    opening: &Opening,
) -> Result<Answer, Failure> {
    let by = by.or_else(world::author);
    let root = root.canonicalize().unwrap_or(root);
    serve::run(Shop::of(Folder::of(root), ledger, by, demo), opening)?;
    Ok(Answer::text(String::new()))
}

/// This folder if a document lies in it, else the data folder, made where there is none.
fn usual() -> Result<PathBuf, Failure> {
    let here = PathBuf::from(".");
    if Folder::of(here.clone()).list().iter().any(|entry| !entry.kind.is_empty()) {
        return Ok(here);
    }
    let data = world::data_folder()
        .ok_or_else(|| Failure::asked("it is not said where the documents lie", "name a folder"))?;
    let folder = data.join("documents");
    std::fs::create_dir_all(&folder).map_err(|error| {
        Failure::file(&folder.to_string_lossy(), error.to_string(), "name another folder")
    })?;
    Ok(folder)
}
