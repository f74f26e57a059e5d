//! One stop: the best way to take exactly so many steps from its sources.

use std::collections::VecDeque;

use super::{NONE, Source, Worth, worth};
use crate::budget::Budget;

/// The best way to take each number of steps from the sources of one stop.
pub(super) struct Table {
    /// Without and with a part-drum, by steps.
    worth: [Vec<Worth>; 2],
    /// For each source, for both, by steps: what is taken from it, and whether it is the part.
    took: Vec<[Vec<(u32, bool)>; 2]>,
}

impl Table {
    /// `None` when the budget ends.
    pub(super) fn new(sources: &[Source], most: usize, budget: &mut Budget<'_>) -> Option<Self> {
        let mut first = vec![NONE; most + 1];
        first[0] = 0;
        let mut table = Self { worth: [first, vec![NONE; most + 1]], took: Vec::new() };
        for source in sources {
            if !budget.step() {
                return None;
            }
            let fresh = source.most_age.is_none_or(|most| source.age <= most);
            let mut took = [vec![(0, false); most + 1], vec![(0, false); most + 1]];
            if fresh && source.holds > 0 {
                if source.drum {
                    table.drum(source, &mut took)
                } else {
                    table.pump(source, &mut took)
                }
            }
            table.took.push(took);
        }
        Some(table)
    }

    pub(super) fn worth(&self, steps: usize) -> Worth {
        let of = |layer: usize| self.worth[layer].get(steps).copied().unwrap_or(NONE);
        of(0).min(of(1))
    }

    /// A drum is emptied, or it is the part-drum, or it is left alone.
    fn drum(&mut self, source: &Source, took: &mut [Vec<(u32, bool)>; 2]) {
        let holds = source.holds as usize;
        let of_part = worth(source.to_open.into(), 1, 0);
        let mut part = (!source.whole)
            .then(|| slid(&self.worth[0], per_step(source), holds.saturating_sub(1), of_part));
        let price = u64::from(source.per_step) * u64::from(source.holds);
        let price = u64::from(source.to_open) + price;
        let emptied = worth(price, 0, u64::from(source.age) * u64::from(source.holds));
        for layer in [0, 1] {
            for steps in (holds..self.worth[layer].len()).rev() {
                let with = self.worth[layer][steps - holds] + emptied;
                if self.worth[layer][steps - holds] < NONE && with < self.worth[layer][steps] {
                    self.worth[layer][steps] = with;
                    took[layer][steps] = (source.holds, false);
                }
            }
        }
        for (steps, (with, drawn)) in part.take().into_iter().flatten().enumerate() {
            if with < self.worth[1][steps] {
                self.worth[1][steps] = with;
                took[1][steps] = (drawn, true);
            }
        }
    }

    /// A pump gives any number of steps.
    fn pump(&mut self, source: &Source, took: &mut [Vec<(u32, bool)>; 2]) {
        let opened = worth(source.to_open.into(), 0, 0);
        for layer in [0, 1] {
            let least = if source.whole { source.holds } else { 1 };
            let with = slid(&self.worth[layer], per_step(source), source.holds as usize, opened);
            for (steps, (with, drawn)) in with.into_iter().enumerate() {
                if with < self.worth[layer][steps] && drawn >= least {
                    self.worth[layer][steps] = with;
                    took[layer][steps] = (drawn, false);
                }
            }
        }
    }

    /// What is taken from each source for so many steps in all.
    pub(super) fn draws(&self, mut steps: usize) -> Vec<(usize, u32)> {
        let mut layer = usize::from(self.worth[1][steps] < self.worth[0][steps]);
        let mut draws = Vec::new();
        for (source, took) in self.took.iter().enumerate().rev() {
            let (drawn, part) = took[layer][steps];
            if drawn > 0 {
                draws.push((source, drawn));
                steps -= drawn as usize;
            }
            layer -= usize::from(part);
        }
        draws
    }
}

fn per_step(source: &Source) -> Worth {
    worth(source.per_step.into(), 0, u64::from(source.age))
}

/// For each number of steps the best with one to `most` of them drawn here, and how many: the
/// least of `before[z] - z each` over a window that slides.
fn slid(before: &[Worth], each: Worth, most: usize, opened: Worth) -> Vec<(Worth, u32)> {
    let mut window: VecDeque<(usize, Worth)> = VecDeque::new();
    let mut all = Vec::with_capacity(before.len());
    for (steps, so_far) in before.iter().enumerate() {
        while window.front().is_some_and(|(z, _)| steps - z > most) {
            window.pop_front();
        }
        #[expect(clippy::cast_possible_truncation, reason = "not more than a source holds")]
        all.push(window.front().map_or((NONE, 0), |(z, least)| {
            (least + each * steps as Worth + opened, (steps - z) as u32)
        }));
        if *so_far < NONE {
            let least = so_far - each * steps as Worth;
            while window.back().is_some_and(|(_, other)| *other > least) {
                window.pop_back();
            }
            window.push_back((steps, least));
        }
    }
    all
}
