//! x
#[path = "../bad/mod.rs"]
mod bad;
use stillprop_turnaround::{assess::assess, units::Units};
#[test]
fn dump() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/turnarounds");
    for name in ["base", "crowded-apron", "hand-start", "spill", "ready", "over-mass"] {
        let texts = if name == "base" {
            bad::base()
        } else {
            bad::beside(&folder.join(name).with_extension("toml"))
        };
        let (stage, choice) = bad::stage(bad::read(&texts).unwrap()).unwrap();
        println!("== {name}");
        for l in assess(&stage, &choice, &Units::METRIC).limits {
            if ["site", "static", "start"].contains(&l.family.word()) {
                println!(
                    "{} {} | {} | {} | {}",
                    l.verdict.word(),
                    l.id,
                    l.words.stands,
                    l.words.act.unwrap_or_default(),
                    l.words.remark.unwrap_or_default().chars().take(80).collect::<String>()
                );
            }
        }
    }
}
