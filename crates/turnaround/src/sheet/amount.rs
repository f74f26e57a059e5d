//! Litres and dips against what was planned, what was aboard and what a tank holds.
//!
//! A counter that was misread, a pump that ran on, fuel that went elsewhere and a tank that was
//! not as full as thought look alike here: two numbers that do not agree. Which of them is wrong
//! a person finds out; until then they are in doubt, and no engine is started on them.

use stillprop_calc::{
    quantity::{FromAmount, Ratio, Volume},
    unit,
};

use super::facts::litres;
use crate::stage::Figure;

/// A tank as far as its fuel is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Holds {
    /// Its name.
    pub label: String,
    /// What it can hold for use; `None` when nobody has said.
    pub usable: Option<Volume>,
    /// What stays in it beside that, and may show on a dipstick.
    pub unusable: Option<Volume>,
    /// Usable fuel in it before any was taken; `None` when not known.
    pub aboard: Option<Volume>,
}

/// One filling of one tank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Filling {
    /// The tank, by its place in [`Amounts::tanks`].
    pub tank: usize,
    /// How much is to go in.
    pub planned: Volume,
}

/// What amounts are held against.
#[derive(Clone, Debug)]
pub struct Amounts {
    /// Tanks.
    pub tanks: Vec<Holds>,
    /// Fillings, by the run of their tasks.
    pub fillings: Vec<Filling>,
    /// How far two ways to know the fuel may differ, as part of the higher.
    pub limit: Figure<Ratio>,
}

/// What is said of one filling.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Taken {
    /// Litres by the counter, parts before a break with it.
    pub counted: Volume,
    /// The pump was stopped without anybody reading its counter.
    pub unread: bool,
    /// It is over: the counter was read at its end.
    pub over: bool,
    /// Dipped afterwards.
    pub dipped: Option<Volume>,
}

impl Amounts {
    /// What does not agree, each in words.
    #[must_use]
    pub fn doubts(&self, taken: &[Taken]) -> Vec<String> {
        let mut doubts = Vec::new();
        for (filling, taken) in self.fillings.iter().zip(taken) {
            if let Some(words) = self.against_plan(filling, *taken) {
                doubts.push(words);
            }
        }
        for tank in 0..self.tanks.len() {
            doubts.extend(self.against_tank(tank, taken));
        }
        doubts
    }

    fn apart(&self, a: Volume, b: Volume) -> bool {
        let higher = a.value.max(b.value);
        let share = if higher > 0.0 { (a - b).value.abs() / higher } else { 0.0 };
        // Where no pack says how far they may differ, nothing is said: the note at the dip does.
        self.limit.as_ref().is_ok_and(|limit| share > limit.value.count(unit::ONE) + 1e-9)
    }

    fn against_plan(&self, filling: &Filling, taken: Taken) -> Option<String> {
        let tank = &self.tanks.get(filling.tank)?.label;
        if taken.unread {
            // Only a dip can tell: see there.
            return None;
        }
        // A counter is read to whole litres.
        let whole = Volume::of(1.0, unit::L);
        let far = (taken.counted - filling.planned).value.abs() > whole.value;
        let apart = taken.over && far && self.apart(taken.counted, filling.planned);
        apart.then(|| {
            let (counted, planned) = (litres(taken.counted), litres(filling.planned));
            format!("{tank}: {counted} went in by the counter, {planned} are planned")
        })
    }

    fn against_tank(&self, place: usize, taken: &[Taken]) -> Vec<String> {
        let Some(tank) = self.tanks.get(place) else { return Vec::new() };
        let label = &tank.label;
        let nothing = Volume::of(0.0, unit::L);
        let (mut sum, mut planned, mut unread, mut dipped) = (nothing, nothing, false, None);
        for (filling, taken) in self.fillings.iter().zip(taken).filter(|(f, _)| f.tank == place) {
            unread |= taken.unread && taken.over;
            // Where the counter was not read, what is planned is what a dip must bear out.
            planned += filling.planned;
            sum = if unread { planned } else { sum + taken.counted };
            // A dip says what is in it then: with all that went in so far.
            dipped = taken.dipped.map(|dip| (dip, sum)).or(dipped);
        }
        let mut doubts = Vec::new();
        let aboard = tank.aboard.unwrap_or(nothing);
        if tank.usable.is_some_and(|usable| (aboard + sum - usable).value > 0.0005) {
            let room = tank.usable.map_or_else(String::new, down);
            let before = match tank.aboard {
                Some(aboard) => format!(" with the {} aboard", litres(aboard)),
                None => String::new(),
            };
            doubts.push(format!(
                "{label}: {} by the counter{before} are more than the {room} it holds",
                litres(sum)
            ));
        }
        if unread && (dipped.is_none() || tank.aboard.is_none()) {
            doubts.push(format!(
                "{label}: the pump was stopped and its counter not read: what went in is unknown; \
                 only a dip as a volume tells"
            ));
        } else if let Some((dip, sum)) = dipped {
            // What cannot be used may show on the stick as well.
            let least = aboard + sum;
            let most = least + tank.unusable.unwrap_or(nothing);
            let low = dip < least && self.apart(dip, least);
            let high = dip > most && tank.aboard.is_some() && self.apart(dip, most);
            if low || high {
                let before = match tank.aboard {
                    Some(aboard) => format!("{} aboard and ", litres(aboard)),
                    None => String::new(),
                };
                let by = if unread { "by the plan" } else { "by the counter" };
                doubts.push(format!(
                    "{label}: {} by the dip, but {before}{} {by}",
                    down(dip),
                    litres(sum)
                ));
            }
        }
        doubts
    }
}

fn down(volume: Volume) -> String {
    format!("{:.0} L", (volume.count(unit::L) + 1e-9).floor())
}
