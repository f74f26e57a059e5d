//! The ground of a turnaround: what `draw` takes, made from a prepared stage.

pub(crate) mod apron;
pub(crate) mod profile;

use stillprop_draw::Verdict;
use stillprop_turnaround::limits::Verdict as Judged;

/// The verdict of a limit as a picture shows it.
pub(crate) const fn verdict(verdict: Judged) -> Verdict {
    match verdict {
        Judged::Breaks => Verdict::Breaks,
        Judged::Unknown => Verdict::Unknown,
        Judged::Holds => Verdict::Holds,
    }
}
