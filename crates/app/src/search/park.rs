//! Where the aeroplane stands with the most room.

use stillprop_plan::park::{Place, Search};
use stillprop_turnaround::stage::{Choice, Stage};

use crate::problem::Failure;

/// Boxes between two looks at whether somebody wants it to stop.
const BETWEEN: usize = 2000;
/// Boxes after which the best so far is the answer. Ours: some seconds on a slow machine.
pub(crate) const MOST: usize = 2_000_000;

/// What was found.
#[derive(Clone, Debug)]
pub(crate) struct Parking {
    /// The best place; `None` where none fits.
    pub(crate) place: Option<Place>,
    /// Somebody asked to stop.
    pub(crate) stopped: bool,
    /// Not everything was looked at.
    pub(crate) cut: bool,
}

/// Looks at no more than `most` boxes.
pub(crate) fn run(
    stage: &Stage,
    choice: &Choice,
    most: usize,
    mut stop: impl FnMut() -> bool,
) -> Result<Parking, Failure> {
    let missing = |why: String| Failure::asked(why, "describe it, then ask again");
    let mut search = Search::new(stage, choice).map_err(missing)?;
    let (mut boxes, mut done, mut stopped) = (0, false, false);
    while !done && !stopped && boxes < most {
        let step = BETWEEN.min(most - boxes);
        done = search.step(step);
        boxes += step;
        stopped = stop();
    }
    Ok(Parking { place: search.place(), stopped: stopped && !done, cut: !done })
}
