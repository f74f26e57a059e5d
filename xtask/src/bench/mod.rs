//! `cargo xtask bench`: how long everything takes, with what may be asked of it.
//!
//! Times mean little on a machine one does not know, so what can be is measured against
//! something everybody has, run by run in turn, and the answer is a ratio.
//!
//! `cargo xtask load` is the same for the pages under load.

mod load;
mod odds;
pub(crate) mod planners;
mod printed;
mod programs;
mod shapes;

use std::fmt::Write;

use crate::repo;

/// Something that was measured.
#[derive(Clone, Debug, PartialEq)]
struct Figure {
    /// `margins / ready`.
    name: String,
    value: f64,
    kind: Kind,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    /// In microseconds.
    Time,
    /// One time or rate as part of another.
    Share,
    /// A number of things.
    Count,
    /// In bytes.
    Size,
}

/// What may be asked of a figure.
#[derive(Clone, Copy, Debug)]
enum Target {
    AtMost(f64),
    AtLeast(f64),
}
use Target::{AtLeast, AtMost};

/// Figures that belong together, from one program.
struct Section {
    title: &'static str,
    measure: fn() -> Result<Vec<Figure>, String>,
    /// Names of figures, or of groups of them. Each must be measured.
    targets: &'static [(&'static str, Target)],
}

/// Times in microseconds.
const SECTIONS: [Section; 12] = [
    Section {
        title: "one turnaround",
        measure: || bench("stillprop-turnaround", "turnaround").map(|text| printed::tree(&text)),
        targets: &[("margins", AtMost(5.0)), ("assess", AtMost(200.0))],
    },
    Section {
        title: "which drums",
        measure: || bench("stillprop-turnaround", "drums").map(|text| printed::tree(&text)),
        targets: &[("choose_among_10_000", AtMost(5e3))],
    },
    Section {
        title: "papers",
        measure: || bench("stillprop-papers", "papers").map(|text| printed::tree(&text)),
        targets: &[("record_of_a_turnaround", AtMost(150e3))],
    },
    Section {
        title: "papers by the whole program, medians; each twice the same, byte for byte",
        measure: programs::papers,
        targets: &[("print", AtMost(150e3))],
    },
    Section {
        title: "shapes on an apron",
        measure: || bench("stillprop-calc", "plane").map(|text| printed::tree(&text)),
        targets: &[("one_position", AtMost(20.0))],
    },
    Section {
        title: "shapes beside shapely, medians of runs in turn",
        measure: shapes::figures,
        targets: &[("ours as part of shapely's", AtMost(0.1))],
    },
    Section {
        title: "searches",
        measure: || bench("stillprop-plan", "plan").map(|text| printed::tree(&text)),
        targets: &[
            ("window_of_a_day", AtMost(20e3)),
            ("park", AtMost(200e3)),
            ("fit_of_nine_seats", AtMost(2e3)),
        ],
    },
    Section {
        title: "searches beside HiGHS, medians of 200 cases each",
        measure: planners::figures,
        targets: &[
            ("fit, median of 200", AtMost(2e3)),
            ("fit, ours as part of HiGHS", AtMost(0.02)),
            ("uplift, ours as part of HiGHS", AtMost(0.05)),
        ],
    },
    Section {
        title: "odds beside NumPy, medians of runs in turn",
        measure: odds::figures,
        targets: &[("NumPy's time by ours", AtLeast(8.0))],
    },
    Section {
        title: "ledger, a million events",
        measure: || bench("stillprop-ledger", "store").map(|text| printed::table(&text)),
        targets: &[("the first as part of the second", AtLeast(0.8))],
    },
    Section {
        title: "yard, a million events of 10,000 drums",
        measure: || {
            let args = ["run", "--quiet", "--release", "--package", "stillprop-ledger"];
            let mut run = repo::cargo(&args);
            repo::output(run.args(["--example", "yard_speed"])).map(|text| printed::lines(&text))
        },
        targets: &[
            ("fold from nothing", AtMost(3e6)),
            ("open from snapshot", AtMost(0.2e6)),
            ("trace of a batch", AtMost(10e3)),
        ],
    },
    Section {
        title: "whole program, medians of runs in turn",
        measure: programs::figures,
        targets: &[("the first as part of the second", AtMost(0.5))],
    },
];

/// The pages, asked 300 times a second. Of the rate a little may be missing: a tick is lost where
/// an answer took longer than the time to the next.
const LOAD: Section = Section {
    title: "the pages of the demonstration under load",
    measure: load::figures,
    targets: &[
        ("requests a second", AtLeast(295.0)),
        ("requests a second of the file", AtLeast(295.0)),
        ("page, 99 of 100 requests", AtMost(25e3)),
        ("cold start to the first page, median", AtMost(150e3)),
        ("page with pictures, style and script, packed", AtMost(80e3)),
        ("memory after the load", AtMost(60e6)),
    ],
};

/// Measures the pages under load; fails where a target is missed.
pub(crate) fn load() -> Result<String, String> {
    let (table, missed) = judged(&LOAD, &(LOAD.measure)()?)?;
    if missed > 0 {
        return Err(format!("{table}load: {missed} missed; is the machine busy?"));
    }
    Ok(table)
}

/// Runs everything and prints a table each; fails where a target is missed.
pub(crate) fn run() -> Result<String, String> {
    let (mut out, mut missed) = (String::new(), 0);
    for section in &SECTIONS {
        let figures = (section.measure)()?;
        let (table, those) = judged(section, &figures)?;
        out.push_str(&table);
        missed += those;
    }
    if missed > 0 {
        return Err(format!("{out}bench: {missed} missed; is the machine busy?"));
    }
    Ok(format!("{out}{} runs of each program in turn", programs::RUNS))
}

fn bench(package: &str, name: &str) -> Result<String, String> {
    repo::output(&mut repo::cargo(&["bench", "--package", package, "--bench", name]))
}

/// The table of a section, and how many targets it misses.
fn judged(section: &Section, figures: &[Figure]) -> Result<(String, usize), String> {
    let unmeasured = |(name, _): &&(&str, Target)| !figures.iter().any(|figure| figure.is_of(name));
    if let Some((name, _)) = section.targets.iter().find(unmeasured) {
        return Err(format!("{}: nothing is called `{name}`", section.title));
    }
    let mut table = format!("| {} | found | target | |\n|---|---|---|---|\n", section.title);
    let mut missed = 0;
    for figure in figures {
        let target = section.targets.iter().find(|(name, _)| figure.is_of(name));
        let (asked, verdict) = match target {
            None => (String::new(), ""),
            Some((_, target)) => {
                let met = target.is_met(figure.value);
                missed += usize::from(!met);
                (target.words(figure.kind), if met { "met" } else { "MISSED" })
            }
        };
        let found = figure.kind.words(figure.value);
        let _ = writeln!(table, "| {} | {found} | {asked} | {verdict} |", figure.name);
    }
    table.push('\n');
    Ok((table, missed))
}

impl Figure {
    /// A time in microseconds.
    fn time(name: impl Into<String>, us: f64) -> Self {
        Self { name: name.into(), value: us, kind: Kind::Time }
    }

    fn share(name: impl Into<String>, share: f64) -> Self {
        Self { name: name.into(), value: share, kind: Kind::Share }
    }

    fn is_of(&self, name: &str) -> bool {
        self.name.split(" / ").next() == Some(name)
    }
}

impl Kind {
    fn words(self, value: f64) -> String {
        match self {
            Self::Share => format!("{value:.2}"),
            Self::Count => format!("{value:.0}"),
            Self::Size if value < 1e6 => format!("{:.1} kB", value / 1e3),
            Self::Size => format!("{:.1} MB", value / 1e6),
            Self::Time if value < 1e3 => format!("{value:.2} us"),
            Self::Time if value < 1e6 => format!("{:.2} ms", value / 1e3),
            Self::Time => format!("{:.2} s", value / 1e6),
        }
    }
}

impl Target {
    /// Never when the figure is no number.
    fn is_met(self, value: f64) -> bool {
        match self {
            AtMost(most) => value <= most,
            AtLeast(least) => value >= least,
        }
    }

    fn words(self, kind: Kind) -> String {
        match self {
            AtMost(most) => format!("at most {}", kind.words(most)),
            AtLeast(least) => format!("at least {}", kind.words(least)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_sides_of_a_target() {
        for (target, value, met) in [
            (AtMost(5.0), 5.0, true),
            (AtMost(5.0), 5.1, false),
            (AtLeast(0.8), 0.8, true),
            (AtLeast(0.8), 0.79, false),
            (AtMost(5.0), f64::NAN, false),
            (AtLeast(0.8), f64::NAN, false),
        ] {
            assert_eq!(target.is_met(value), met, "{target:?} {value}");
        }
    }

    #[test]
    fn a_missed_target_is_counted_and_what_is_not_measured_is_an_error() {
        let targets = &[("margins", AtMost(5.0))];
        let section = Section { title: "sums", measure: || Ok(Vec::new()), targets };
        let figures = [
            Figure::time("margins / ready", 4.0),
            Figure::time("margins / mid-burn", 6.0),
            Figure::time("rules", 2_130.0),
        ];
        let (table, missed) = judged(&section, &figures).unwrap();
        assert_eq!(missed, 1);
        for row in [
            "| margins / ready | 4.00 us | at most 5.00 us | met |",
            "| margins / mid-burn | 6.00 us | at most 5.00 us | MISSED |",
            "| rules | 2.13 ms |  |  |",
        ] {
            assert!(table.contains(row), "{row}: {table}");
        }
        assert!(judged(&section, &figures[2..]).unwrap_err().contains("`margins`"));
    }
}
