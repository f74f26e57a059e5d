//! Who may depend on whom. The arrows of ARCHITECTURE.md, enforced.

use serde_json::Value;

use super::Finding;
use crate::repo;

/// A package of ours and those of ours it may use.
const MAP: &[(&str, &[&str])] = &[
    ("stillprop-calc", &[]),
    ("stillprop-rules", &["stillprop-calc"]),
    ("stillprop-turnaround", &["stillprop-rules", "stillprop-calc"]),
    ("stillprop-plan", &["stillprop-turnaround", "stillprop-rules", "stillprop-calc"]),
    (
        "stillprop-draw",
        &["stillprop-plan", "stillprop-turnaround", "stillprop-rules", "stillprop-calc"],
    ),
    ("stillprop-ledger", &["stillprop-calc"]),
    ("stillprop-papers", &["stillprop-draw"]),
    (
        "stillprop",
        &[
            "stillprop-ledger",
            "stillprop-papers",
            "stillprop-draw",
            "stillprop-plan",
            "stillprop-turnaround",
            "stillprop-rules",
            "stillprop-calc",
        ],
    ),
    ("xtask", &["stillprop-calc"]),
];

/// What `calc` may use of others. Nothing here reads files, clocks or formats.
const OF_CALC: &[&str] =
    &["uom", "solar-positioning", "geographiclib-rs", "geo-types", "robust", "jiff"];

/// Never anywhere below `calc`, however far down.
const NEVER_BELOW_CALC: &[&str] =
    &["serde", "serde_core", "serde_json", "toml", "log", "tracing", "rand", "getrandom", "tokio"];

pub(super) fn check() -> Result<Vec<Finding>, String> {
    let args = ["metadata", "--format-version", "1", "--no-deps", "--offline"];
    let metadata = serde_json::from_str(&repo::output(&mut repo::cargo(&args))?)
        .map_err(|error| format!("cargo metadata: {error}"))?;
    let args = ["tree", "--package", "stillprop-calc", "--edges", "normal", "--prefix", "none"];
    let tree = repo::output(repo::cargo(&args).args(["--format", "{p}", "--offline"]))?;
    let mut found = forbidden_edges(&metadata);
    found.extend(below_calc(&tree));
    Ok(found)
}

fn forbidden_edges(metadata: &Value) -> Vec<Finding> {
    let packages = list(metadata, "packages");
    let ours: Vec<&str> = packages.iter().filter_map(|package| text(package, "name")).collect();
    let mut found = Vec::new();
    for package in packages {
        let Some(name) = text(package, "name") else { continue };
        let place = format!("{name} (Cargo.toml)");
        let Some((_, allowed)) = MAP.iter().find(|(known, _)| *known == name) else {
            let what = "a package that is not on the map";
            found.push(Finding::new(&place, 0, what, "add it to tidy/edges.rs, with its arrows"));
            continue;
        };
        // Tests may use anything; what ships may not.
        let shipped = list(package, "dependencies")
            .iter()
            .filter(|edge| text(edge, "kind") != Some("dev"))
            .filter_map(|edge| text(edge, "name"));
        for edge in shipped {
            let inner = ours.contains(&edge) || MAP.iter().any(|(known, _)| *known == edge);
            let forbidden = inner && !allowed.contains(&edge)
                || name == "stillprop-calc" && !inner && !OF_CALC.contains(&edge);
            if forbidden {
                let what = format!("depends on {edge}");
                found.push(Finding::new(&place, 0, what, "move the code to where it may"));
            }
        }
    }
    found
}

fn below_calc(tree: &str) -> Vec<Finding> {
    let names = tree.lines().filter_map(|line| line.split_whitespace().next());
    let mut found: Vec<_> = names
        .filter(|name| NEVER_BELOW_CALC.contains(name))
        .map(|name| {
            let what = format!("{name} lies below calc");
            Finding::new("crates/calc/Cargo.toml", 0, what, "turn the feature off that pulls it in")
        })
        .collect();
    found.dedup();
    found
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value.get(key).and_then(Value::as_array).map_or(&[], Vec::as_slice)
}

fn text<'a>(value: &'a Value, key: &str) -> Option<&'a str> {
    value.get(key).and_then(Value::as_str)
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn found(name: &str, edge: &str, kind: Option<&str>) -> usize {
        let edges = json!([{ "name": edge, "kind": kind }]);
        let packages = json!([{ "name": name, "dependencies": edges }]);
        forbidden_edges(&json!({ "packages": packages })).len()
    }

    #[test]
    fn arrows_against_the_map_are_found() {
        for (name, edge, count) in [
            ("stillprop-rules", "stillprop-calc", 0),
            ("stillprop-rules", "stillprop-turnaround", 1),
            ("stillprop-calc", "stillprop-rules", 1),
            ("stillprop-calc", "uom", 0),
            ("stillprop-calc", "serde", 1),
            ("stillprop-turnaround", "serde", 0),
            ("stillprop-stray", "uom", 1),
        ] {
            assert_eq!(found(name, edge, None), count, "{name} -> {edge}");
        }
        assert_eq!(found("stillprop-calc", "proptest", Some("dev")), 0);
        assert_eq!(found("stillprop-calc", "cc", Some("build")), 1);
    }

    #[test]
    fn what_lies_deep_below_calc_is_found() {
        assert!(below_calc("stillprop-calc v0.1.0\njiff v0.2.1\nuom v0.38.0\n").is_empty());
        assert_eq!(below_calc("stillprop-calc v0.1.0\nserde v1.0.0\nserde v1.0.0 (*)\n").len(), 1);
    }
}
