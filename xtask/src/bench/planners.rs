//! The fit and the uplift beside a mixed-integer solver, the same cases in one run.

use std::fs;

use super::{Figure, printed};
use crate::{live, repo};

const THEIRS: &str = "tests/live/planners.py";

/// So many cases of the size that was promised.
pub(crate) const ALL: u32 = 200;

/// What both planners took, and HiGHS.
pub(super) fn figures() -> Result<Vec<Figure>, String> {
    let libraries = live::libraries(&repo::target()?)?;
    compared(&libraries, ALL).map(|said| printed::lines(&said))
}

/// Answers of both on `count` cases each; fails where one differs.
pub(crate) fn compared(libraries: &live::Libraries, count: u32) -> Result<String, String> {
    let mut said = String::new();
    for (kind, size) in [("fit", &["9"][..]), ("uplift", &["8", "30"])] {
        let mut run = repo::cargo(&["run", "--quiet", "--release", "--package", "stillprop-plan"]);
        run.args(["--example", "plan_cases", "--", kind, &count.to_string()]).args(size);
        let file = repo::target()?.join(format!("plan-{kind}.jsonl"));
        fs::write(&file, repo::output(&mut run)?)
            .map_err(|error| format!("{}: {error}", file.display()))?;
        let mut script = libraries.python();
        said.push_str(&repo::output(script.args([THEIRS, kind]).arg(&file))?);
    }
    Ok(said)
}
