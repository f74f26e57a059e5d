//! Lists the demonstration documents, so that a new one is built in without a second edit.

use std::{env, fmt::Write, fs, path::Path};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let root = Path::new(&env::var("CARGO_MANIFEST_DIR")?).join("../..");
    let mut list = String::from("&[\n");
    for folder in ["aircraft", "strips", "turnarounds", "days", "stops"] {
        let folder = format!("demo/{folder}");
        println!("cargo::rerun-if-changed=../../{folder}");
        let mut names: Vec<String> = fs::read_dir(root.join(&folder))?
            .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
            .filter(|name| name.ends_with(".toml"))
            .collect();
        names.sort();
        for name in names {
            let path = fs::canonicalize(root.join(&folder).join(&name))?;
            writeln!(list, "({:?}, include_str!({:?})),", format!("{folder}/{name}"), path)?;
        }
    }
    list.push_str("]\n");
    fs::write(Path::new(&env::var("OUT_DIR")?).join("demo.rs"), list)?;
    Ok(())
}
