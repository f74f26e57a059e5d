//! What touched what: fuel goes from container to container, and its batch goes with it.
//!
//! The life of a container falls into periods, each ended by an event that emptied it. Fuel
//! that came in during a period is in every later draw of that period.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::{Cause, Container, Destination, Draw, Inflow, Name, Stamp, Yard, rows::Row};

/// A part of the life of a container, by the numbers of its events.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// The container.
    pub container: Uuid,
    /// First event.
    pub from: u32,
    /// First event after it.
    pub until: u32,
}

impl Span {
    /// Those of `rows`, of its container, that lie in it.
    pub(super) fn of<T: Row>(self, rows: &[T]) -> &[T] {
        let first = rows.partition_point(|row| row.stamp().nth < self.from);
        let end = rows.partition_point(|row| row.stamp().nth < self.until);
        rows.get(first..end).unwrap_or_default()
    }
}

/// A batch that came into a container.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Touch {
    /// The batch.
    pub batch: Name,
    /// The grade it was received as.
    pub grade: Name,
    /// The event of the container with which it came in.
    pub entered: Stamp,
    /// The event with which the container was emptied after that.
    pub left: Option<Stamp>,
}

impl Touch {
    /// True when the batch was in what the event of `stamp` took out.
    #[must_use]
    pub fn is_in(&self, stamp: &Stamp) -> bool {
        self.entered.nth < stamp.nth && self.left.is_none_or(|left| stamp.nth < left.nth)
    }
}

impl Container {
    fn emptyings(&self) -> impl DoubleEndedIterator<Item = Stamp> {
        let emptied = self.differences.iter().filter(|it| it.cause == Cause::Emptied);
        emptied.map(|it| it.stamp)
    }

    /// When it was emptied next after event `nth`.
    fn emptied_after(&self, nth: u32) -> Option<Stamp> {
        self.emptyings().find(|emptied| emptied.nth > nth)
    }

    /// The first event of the period in which event `nth` falls.
    fn period_of(&self, nth: u32) -> u32 {
        let before = self.emptyings().rev().find(|emptied| emptied.nth < nth);
        before.map_or(0, |emptied| emptied.nth.saturating_add(1))
    }
}

impl Yard {
    /// The same pouring, as the other container has it.
    fn draw_of(&self, inflow: &Inflow) -> Option<&Draw> {
        let source = self.containers.get(&inflow.from)?;
        Draw::of_record(&source.draws, &inflow.stamp)
    }

    /// The spans whose fills are behind what `container` held just before its event `until`.
    pub(super) fn behind(&self, container: Uuid, until: u32) -> Vec<Span> {
        // By container and start of the period: the longest span of it that is behind.
        let mut spans: BTreeMap<(Uuid, u32), u32> = BTreeMap::new();
        let mut open = vec![(container, until)];
        while let Some((id, until)) = open.pop() {
            let Some(container) = self.containers.get(&id) else { continue };
            let from = container.period_of(until);
            let known = spans.get(&(id, from)).copied();
            if known.is_some_and(|known| known >= until) {
                continue;
            }
            spans.insert((id, from), until);
            let new = Span { container: id, from: known.unwrap_or(from), until };
            let inflows = new.of(&container.inflows).iter();
            open.extend(inflows.filter_map(|inflow| {
                self.draw_of(inflow).map(|draw| (inflow.from, draw.stamp.nth))
            }));
        }
        spans
            .into_iter()
            .map(|((container, from), until)| Span { container, from, until })
            .collect()
    }

    /// The spans during which fuel of `batch` was in a container, wherever it was poured.
    pub(super) fn ahead(&self, batch: Name) -> Vec<Span> {
        let mut spans: BTreeMap<(Uuid, u32), Span> = BTreeMap::new();
        let mut open: Vec<(Uuid, Stamp)> = Vec::new();
        for container in self.filled_from(batch) {
            let fills = container.fills.iter().filter(|fill| fill.batch == batch);
            open.extend(fills.map(|fill| (container.id, fill.stamp)));
        }
        while let Some((id, entered)) = open.pop() {
            let Some(container) = self.containers.get(&id) else { continue };
            let period = (id, container.period_of(entered.nth));
            let from = entered.nth;
            let known = spans.get(&period).copied();
            if known.is_some_and(|known| known.from <= from) {
                continue;
            }
            let end = container.emptied_after(from).map_or(u32::MAX, |emptied| emptied.nth);
            spans.insert(period, Span { container: id, from, until: end });
            let new = Span { container: id, from, until: known.map_or(end, |known| known.from) };
            for draw in new.of(&container.draws) {
                let Destination::Container(into) = draw.into else { continue };
                let inflows = self.containers.get(&into).map_or(&[][..], |it| &it.inflows);
                let inflow = Inflow::of_record(inflows, &draw.stamp);
                open.extend(inflow.map(|inflow| (into, inflow.stamp)));
            }
        }
        spans.into_values().collect()
    }

    /// Every batch that ever came into a container, in the order in which they came.
    #[must_use]
    pub fn touches(&self, id: Uuid) -> Vec<Touch> {
        let Some(container) = self.containers.get(&id) else { return Vec::new() };
        let mut touches = Vec::new();
        let mut add = |batch, grade, entered: Stamp| {
            let left = container.emptied_after(entered.nth);
            touches.push(Touch { batch, grade, entered, left });
        };
        for fill in &container.fills {
            add(fill.batch, fill.grade, fill.stamp);
        }
        for inflow in &container.inflows {
            let draw = self.draw_of(inflow);
            for span in draw.map_or(Vec::new(), |it| self.behind(inflow.from, it.stamp.nth)) {
                let behind = self.containers.get(&span.container);
                for fill in span.of(behind.map_or(&[], |it| &it.fills)) {
                    add(fill.batch, fill.grade, inflow.stamp);
                }
            }
        }
        touches.sort_by_key(|touch| touch.entered.nth);
        let mut known = BTreeSet::new();
        touches.retain(|it| known.insert((it.batch, it.grade, it.left.map(|left| left.nth))));
        touches
    }
}
