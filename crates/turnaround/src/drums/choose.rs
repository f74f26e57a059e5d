//! Which drums to draw from.
//!
//! Of the containers that are fit for use and not empty, in this order:
//!
//! 1. those that will have settled by the time fuelling begins, before those that will not;
//! 2. part-used drums, oldest first: what is open is used up before more is opened;
//! 3. as few whole drums as will do;
//! 4. of all ways with so few, the one with the oldest drums.
//!
//! Each is drawn down to what the pump leaves before the next is opened, so at most one new
//! part-drum is left behind. Volumes are whole millilitres here, what is needed rounded up and
//! what can be drawn rounded down, so that sums are exact.

use jiff::{Timestamp, civil::Date};
use stillprop_calc::{
    bounds::OutOfRange,
    fuel,
    quantity::{FromAmount, Volume},
    trace::Silent,
    unit,
};

use super::{
    Container, Kind, Occasion,
    fitness::{fitness, verdict},
    ranks::Ranks,
    settle::{self, Unsettled},
};
use crate::{
    limits::{Verdict, drum::span, light::after, sample},
    stage::{Stage, later},
    units::{Round, Units},
};

/// Which drums to draw from, in order.
#[derive(Clone, Debug)]
pub struct Drawing<'a> {
    /// What to draw, in order.
    pub picks: Vec<Pick<'a>>,
    /// What cannot be used.
    pub refused: Vec<Refused<'a>>,
    /// What is still missing when all is drawn that can be.
    pub short: Volume,
}

/// A container to draw from.
#[derive(Clone, Debug, PartialEq)]
pub struct Pick<'a> {
    /// The container.
    pub container: &'a Container,
    /// How much.
    pub draw: Volume,
    /// What is left in it by the book afterwards.
    pub leaves: Volume,
    /// More is left than the pump leaves, so it must be marked as part-used.
    pub leaves_part: bool,
    /// It must be stood up first.
    pub stand: bool,
    /// When it will have settled; when it must be stood up first, as if that were done at once.
    pub settled: Timestamp,
    /// A sample must be drawn first.
    pub sample: bool,
    /// Why it was chosen.
    pub why: Why,
}

/// Why a container was chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// It is open already.
    Open,
    /// No older one is fit.
    Oldest,
    /// So many older ones hold too little: with them one drum more must be opened.
    Fewer(usize),
}

/// A container that cannot be used.
#[derive(Clone, Debug, PartialEq)]
pub struct Refused<'a> {
    /// The container.
    pub container: &'a Container,
    /// Why not.
    pub cause: Cause<'a>,
}

/// Why a container cannot be used.
#[derive(Clone, Debug, PartialEq)]
pub enum Cause<'a> {
    /// It is not fit for use, or not known to be.
    Unfit(Verdict),
    /// It is not known what can be drawn: the pack does not say what the pump leaves.
    Remainder(&'a str),
    /// Nothing can be drawn.
    Empty,
    /// It is not known when it will have settled.
    Unsettled(Unsettled<'a>),
}

/// A container that can be used.
struct Candidate<'a> {
    container: &'a Container,
    filled: Option<Date>,
    usable: i64,
    part_used: bool,
    stand: bool,
    settled: Timestamp,
}

/// Chooses for a volume. `now` is when the question is asked: a drum that still lies on its side
/// can be stood up no sooner.
///
/// # Errors
///
/// [`OutOfRange`] when `needed` is no volume of fuel.
pub fn choose<'a>(
    containers: impl IntoIterator<Item = &'a Container>,
    needed: Volume,
    now: Timestamp,
    occasion: &Occasion<'a>,
) -> Result<Drawing<'a>, OutOfRange> {
    let mut need = millilitres(fuel::VOLUME.check(needed)?, Round::Up);
    let (mut candidates, mut refused) = (Vec::new(), Vec::new());
    for container in containers {
        match candidate(container, now, occasion) {
            Ok(candidate) => candidates.push(candidate),
            Err(cause) => refused.push(Refused { container, cause }),
        }
    }
    candidates.sort_unstable_by(|a, b| {
        let key = |c: &Candidate<'a>| (c.filled, &c.container.label, &c.container.id);
        key(a).cmp(&key(b))
    });
    let begins = occasion.time();
    let (in_time, late): (Vec<_>, Vec<_>) =
        candidates.into_iter().partition(|candidate| candidate.settled <= begins);
    let mut picks = Vec::new();
    for class in [in_time, late] {
        fill(&class, &mut need, occasion, &mut picks);
    }
    Ok(Drawing { picks, refused, short: volume(need) })
}

fn candidate<'a>(
    container: &'a Container,
    now: Timestamp,
    occasion: &Occasion<'a>,
) -> Result<Candidate<'a>, Cause<'a>> {
    let verdict = verdict(container, occasion);
    if verdict != Verdict::Holds {
        return Err(Cause::Unfit(verdict));
    }
    let figures = occasion.figures;
    if let Err(why) = &figures.unpumped_remainder {
        return Err(Cause::Remainder(why));
    }
    let usable = container.usable(figures).map_or(0, |usable| millilitres(usable, Round::Down));
    if usable <= 0 {
        return Err(Cause::Empty);
    }
    let time = settle::time(container, figures, &mut Silent).map_err(Cause::Unsettled)?;
    let stood = settle::standing(container);
    if let (Err(gap), Kind::Tank | Kind::Bowser) = (stood, container.kind) {
        return Err(Cause::Unsettled(gap));
    }
    Ok(Candidate {
        container,
        filled: container.filled,
        usable,
        part_used: container.part_used(occasion),
        stand: stood.is_err(),
        settled: later(stood.unwrap_or(now), time),
    })
}

fn millilitres(volume: Volume, round: Round) -> i64 {
    let count = volume.count(unit::ML);
    // A thousandth forgives the rounding of units.
    let whole = if round == Round::Up { (count - 1e-3).ceil() } else { (count + 1e-3).floor() };
    #[expect(clippy::cast_possible_truncation, reason = "a saturating cast; bounded above")]
    let whole = whole as i64;
    whole.max(0)
}

fn volume(millilitres: i64) -> Volume {
    #[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
    Volume::of(millilitres as f64, unit::ML)
}

/// Draws from candidates of one class, oldest first, until nothing more is needed.
fn fill<'a>(
    class: &[Candidate<'a>],
    need: &mut i64,
    occasion: &Occasion<'a>,
    picks: &mut Vec<Pick<'a>>,
) {
    let mut draw = |candidate: &Candidate<'a>, why: Why, need: &mut i64| {
        let taken = candidate.usable.min(*need);
        if taken > 0 {
            *need -= taken;
            picks.push(pick(candidate, taken, why, occasion));
        }
    };
    for open in class.iter().filter(|candidate| candidate.part_used) {
        draw(open, Why::Open, need);
    }
    let whole: Vec<&Candidate<'a>> = class.iter().filter(|c| !c.part_used).collect();
    let usable: Vec<i64> = whole.iter().map(|candidate| candidate.usable).collect();
    for (picked, index) in fewest_then_oldest(&usable, *need).into_iter().enumerate() {
        let why = if index == picked { Why::Oldest } else { Why::Fewer(index - picked) };
        if let Some(candidate) = whole.get(index) {
            draw(candidate, why, need);
        }
    }
}

/// Which of `usable`, sorted oldest first, cover `need` with as few as possible, and of all
/// such the oldest; all of them where even all do not.
fn fewest_then_oldest(usable: &[i64], need: i64) -> Vec<usize> {
    if need <= 0 {
        return Vec::new();
    }
    let mut rest = Ranks::of(usable);
    let Some(mut left) = rest.fewest(need) else { return (0..usable.len()).collect() };
    let (mut have, mut picked) = (0, Vec::with_capacity(left));
    for (index, one) in usable.iter().enumerate() {
        if left == 0 {
            break;
        }
        rest.remove(index);
        if have + one + rest.greatest(left - 1) >= need {
            have += one;
            left -= 1;
            picked.push(index);
        }
    }
    picked
}

fn pick<'a>(candidate: &Candidate<'a>, taken: i64, why: Why, occasion: &Occasion<'a>) -> Pick<'a> {
    let container = candidate.container;
    let draw = volume(taken);
    Pick {
        container,
        draw,
        leaves: Volume::from_si((container.left - draw).value.max(0.0)),
        leaves_part: taken < candidate.usable,
        stand: candidate.stand,
        settled: candidate.settled,
        sample: candidate.stand || !sample::counts(container, occasion),
        why,
    }
}

impl Drawing<'_> {
    /// When the last of the picks will have settled.
    #[must_use]
    pub fn settled(&self) -> Option<Timestamp> {
        self.picks.iter().map(|pick| pick.settled).max()
    }

    /// What is drawn in all.
    #[must_use]
    pub fn drawn(&self) -> Volume {
        self.picks.iter().fold(Volume::from_si(0.0), |sum, pick| sum + pick.draw)
    }

    /// `short by 12 L`, when all that can be drawn is not enough.
    #[must_use]
    pub fn short_words(&self, units: &Units) -> Option<String> {
        (self.short.value > 0.0).then(|| format!("short by {}", units.fuel(self.short, Round::Up)))
    }
}

impl Pick<'_> {
    /// `105 L from N-014`.
    #[must_use]
    pub fn what(&self, units: &Units) -> String {
        format!("{} from {}", units.fuel(self.draw, Round::Up), self.container.label)
    }

    /// Why this one, what to do before, and what is left after, in order.
    #[must_use]
    pub fn reasons(&self, occasion: &Occasion<'_>, units: &Units) -> Vec<String> {
        let filled =
            self.container.filled.map_or_else(String::new, |day| format!(", filled {day}"));
        let mut said = vec![match self.why {
            Why::Open => format!("open already: use it up before another is opened{filled}"),
            Why::Oldest => format!("the oldest that is fit{filled}"),
            Why::Fewer(1) => {
                format!("with the older one one drum more would have to be opened{filled}")
            }
            Why::Fewer(older) => {
                format!("with the {older} older ones one drum more would have to be opened{filled}")
            }
        }];
        let (at, late) = (occasion.clock_up(self.settled), after(self.settled, occasion.time()));
        let late = if late.value > 0.0 {
            format!(", {} after fuelling begins", span(late))
        } else {
            String::new()
        };
        said.push(if self.stand {
            format!("stand it up now: settled at {at}{late}")
        } else {
            format!("settled at {at}{late}")
        });
        if self.sample {
            said.push("sample it once it has settled".into());
        }
        let leaves = units.fuel(self.leaves, Round::Down);
        said.push(if self.leaves_part {
            format!("{leaves} left: mark it with date, aircraft and litres")
        } else {
            format!("{leaves} left that the pump does not reach")
        });
        said
    }
}

impl Refused<'_> {
    /// Why it cannot be used, for a person.
    #[must_use]
    pub fn reasons(&self, occasion: &Occasion<'_>, units: &Units) -> Vec<String> {
        match &self.cause {
            Cause::Unfit(_) => fitness(self.container, occasion, units)
                .into_iter()
                .filter(|limit| limit.verdict != Verdict::Holds)
                .map(|limit| match limit.words.act {
                    Some(act) if limit.verdict == Verdict::Breaks => {
                        format!("{}: {act}", limit.words.stands)
                    }
                    Some(act) => act,
                    None => limit.words.stands,
                })
                .collect(),
            Cause::Remainder(why) => vec![(*why).to_owned()],
            Cause::Empty => vec!["nothing left but what the pump does not reach".into()],
            Cause::Unsettled(gap) => vec![gap.words()],
        }
    }
}

/// What the yard would give a document that names no drum; `None` where no yard is known.
pub(crate) fn suggestion(stage: &Stage, occasion: &Occasion<'_>, units: &Units) -> Option<String> {
    let yard = stage.documents.yard.as_ref()?;
    let named = stage.documents.turnaround.fuel.yard.as_ref();
    let place = named.map_or(&stage.here.name, |named| &named.value);
    let here = yard.iter().filter(|container| container.place == *place);
    let drawing = choose(here, stage.drums.planned(), occasion.time(), occasion).ok()?;
    let picks = drawing.picks.iter().map(|pick| pick.what(units));
    let said: Vec<String> = picks.chain(drawing.short_words(units)).collect();
    (!said.is_empty()).then(|| format!("at {place}: {}", said.join(", ")))
}

#[cfg(test)]
mod tests {
    use jiff::{ToSpan, civil::date};
    use proptest::prelude::*;

    use super::*;
    use crate::drums::{
        Paste, Posture, Sample,
        figures::DrumFigures,
        fixture::{drum, figures, instant, litres, occasion, sample},
    };

    /// Upright, settled and sampled; filled so many days after 21 December 2025.
    fn filled(label: &str, day: i32, left: f64) -> Container {
        let filled = date(2025, 12, 21).checked_add(day.days()).ok();
        Container { filled, left: litres(left), ..drum(label) }
    }

    fn opened(container: Container) -> Container {
        Container { opened: "2026-06-10T12:00:00+10:00".parse().ok(), ..container }
    }

    fn drawing<'a>(yard: &'a [Container], need: f64, figures: &'a DrumFigures) -> Drawing<'a> {
        choose(yard, litres(need), instant("13:30"), &occasion(figures)).unwrap()
    }

    /// `N-001 190, N-002 10, short 5`, in whole litres.
    fn said(drawing: &Drawing<'_>) -> String {
        let whole = |volume: Volume| format!("{:.0}", volume.count(unit::L));
        let picks = drawing
            .picks
            .iter()
            .map(|pick| format!("{} {}", pick.container.label, whole(pick.draw)));
        let short = (drawing.short.value > 0.0).then(|| format!("short {}", whole(drawing.short)));
        picks.chain(short).collect::<Vec<_>>().join(", ")
    }

    #[test]
    fn the_oldest_fit_drum_comes_first_and_the_last_one_is_left_in_part() {
        let figures = figures();
        let yard =
            [filled("N-003", 2, 200.0), filled("N-001", 0, 200.0), filled("N-002", 1, 200.0)];
        let drawing = drawing(&yard, 250.0, &figures);
        assert_eq!(said(&drawing), "N-001 190, N-002 60");
        let [first, last] = drawing.picks.as_slice() else { panic!("{drawing:?}") };
        assert_eq!((first.leaves_part, last.leaves_part), (false, true));
        assert!((last.leaves - litres(140.0)).abs() < litres(1e-6));
        let all = occasion(&figures);
        let reasons = last.reasons(&all, &Units::METRIC).join("; ");
        assert!(reasons.contains("140 L left: mark it"), "{reasons}");
        let reasons = first.reasons(&all, &Units::METRIC).join("; ");
        assert_eq!(
            reasons,
            "the oldest that is fit, filled 2025-12-21; settled at 09:49; 10 L left that the \
             pump does not reach"
        );
    }

    #[test]
    fn a_part_used_drum_goes_before_an_older_whole_one_unless_the_pack_forbids_it() {
        let figures = figures();
        let yard = [filled("N-001", 0, 200.0), opened(filled("N-002", 5, 60.0))];
        assert_eq!(said(&drawing(&yard, 80.0, &figures)), "N-002 50, N-001 30");
        let never = DrumFigures { part_used_allowed: Ok((false, "x".into())), ..figures.clone() };
        let without = drawing(&yard, 80.0, &never);
        assert_eq!(said(&without), "N-001 80");
        assert_eq!(without.refused.len(), 1);
        let why = without.refused[0].reasons(&occasion(&never), &Units::METRIC).join("; ");
        assert!(why.contains("opened for an earlier fuelling"), "{why}");
    }

    #[test]
    fn a_newer_drum_is_taken_where_an_older_one_would_mean_opening_one_more() {
        let figures = figures();
        let yard = [filled("N-001", 0, 60.0), filled("N-002", 1, 200.0), filled("N-003", 2, 200.0)];
        let one = drawing(&yard, 150.0, &figures);
        assert_eq!(said(&one), "N-002 150");
        assert_eq!(one.picks[0].why, Why::Fewer(1));
        assert_eq!(said(&drawing(&yard, 50.0, &figures)), "N-001 50");
        assert_eq!(said(&drawing(&yard, 200.0, &figures)), "N-001 50, N-002 150");
        assert_eq!(said(&drawing(&yard, 430.0, &figures)), "N-001 50, N-002 190, N-003 190");
        assert_eq!(
            said(&drawing(&yard, 435.0, &figures)),
            "N-001 50, N-002 190, N-003 190, short 5"
        );
    }

    #[test]
    fn a_drum_that_will_not_have_settled_comes_last_and_says_when_it_will() {
        let figures = figures();
        let late = Container { stands_since: Some(instant("13:20")), ..filled("N-001", 0, 200.0) };
        let yard = [late, filled("N-002", 5, 200.0)];
        assert_eq!(said(&drawing(&yard, 100.0, &figures)), "N-002 100");
        let both = drawing(&yard, 300.0, &figures);
        assert_eq!(said(&both), "N-002 190, N-001 110");
        let reasons = both.picks[1].reasons(&occasion(&figures), &Units::METRIC).join("; ");
        // 13:20 and 48 min 22.4 s.
        assert!(reasons.contains("settled at 14:09, 9 min after fuelling begins"), "{reasons}");
        assert!(reasons.contains("sample it once it has settled"), "{reasons}");
        assert_eq!(
            both.settled(),
            Some(later(instant("13:20"), stillprop_calc::quantity::Time::of(2903.0, unit::S)))
        );
    }

    #[test]
    fn a_drum_on_its_side_is_stood_up_when_the_question_is_asked() {
        let figures = figures();
        let lying = Container { posture: Some(Posture::OnSide), ..filled("N-001", 0, 200.0) };
        let yard = [lying];
        let at =
            |now: &str| choose(&yard, litres(50.0), instant(now), &occasion(&figures)).unwrap();
        let early = at("13:00");
        assert!(early.picks[0].stand && early.picks[0].sample);
        assert!(early.picks[0].settled < instant("14:00"));
        assert!(at("13:30").picks[0].settled > instant("14:00"));
    }

    #[test]
    fn what_cannot_be_used_is_refused_with_its_reason() {
        let figures = figures();
        let wet = Sample { paste: Paste::Wet, ..sample() };
        let yard = [
            Container { sample: Some(wet), ..drum("N-001") },
            Container { left: litres(10.0), ..drum("N-002") },
            Container { kind: Kind::Tank, posture: None, ..drum("T-1") },
            Container { filled: None, ..drum("N-004") },
        ];
        let found = drawing(&yard, 50.0, &figures);
        assert_eq!(said(&found), "short 50");
        let reasons: Vec<String> = found
            .refused
            .iter()
            .map(|refused| refused.reasons(&occasion(&figures), &Units::METRIC).join("; "))
            .collect();
        for (reason, words) in
            reasons.iter().zip(["paste wet", "does not reach", "dip it", "read it off the drum"])
        {
            assert!(reason.contains(words), "{reason}");
        }
        assert_eq!(found.short_words(&Units::METRIC).as_deref(), Some("short by 50 L"));
        let silent =
            DrumFigures { unpumped_remainder: Err("no remainder".into()), ..figures.clone() };
        let refused = drawing(&yard[1..2], 50.0, &silent).refused;
        assert_eq!(refused[0].cause, Cause::Remainder("no remainder"));
    }

    #[test]
    fn a_volume_that_is_none_is_refused_and_nothing_needed_is_nothing_drawn() {
        let (figures, yard) = (figures(), [drum("N-001")]);
        for bad in [f64::NAN, f64::INFINITY, -1.0, 50_001.0] {
            assert!(choose(&yard, litres(bad), instant("13:30"), &occasion(&figures)).is_err());
        }
        assert_eq!(said(&drawing(&yard, 0.0, &figures)), "");
    }

    /// Whole litres left, days after the first, whether open, and whether it has a fault.
    fn yards() -> impl Strategy<Value = Vec<Container>> {
        let one = (0..230_u8, 0..6_i32, prop::bool::weighted(0.3), prop::bool::weighted(0.2));
        prop::collection::vec(one, 0..9).prop_map(|all| {
            let container = |(n, (left, day, open, fault)): (usize, (u8, i32, bool, bool))| {
                let container = filled(&format!("N-{n:03}"), day, f64::from(left));
                let container = if open { opened(container) } else { container };
                Container { condemned: fault.then(|| "dropped".into()), ..container }
            };
            all.into_iter().enumerate().map(container).collect()
        })
    }

    /// Litres of the fit containers that can be drawn: open, and whole sorted by age.
    fn fit(yard: &[Container]) -> (i64, Vec<i64>) {
        let mut fit: Vec<&Container> = yard.iter().filter(|c| c.condemned.is_none()).collect();
        fit.sort_by_key(|c| (c.filled, c.label.clone()));
        let usable =
            |c: &Container| millilitres((c.left - litres(10.0)).max(litres(0.0)), Round::Down);
        let open = fit.iter().filter(|c| c.opened.is_some()).map(|c| usable(c)).sum();
        let whole = fit.iter().filter(|c| c.opened.is_none()).map(|c| usable(c));
        (open, whole.filter(|usable| *usable > 0).collect())
    }

    /// Of all ways to cover `need` with whole drums, those that open the fewest, and of them
    /// the one with the oldest; by trying every set.
    fn brute(whole: &[i64], need: i64) -> Option<Vec<usize>> {
        let set = |bits: u32| (0..whole.len()).filter(move |n| bits >> n & 1 == 1);
        (0..1_u32 << whole.len())
            .filter(|bits| set(*bits).map(|n| whole[n]).sum::<i64>() >= need)
            .map(|bits| set(bits).collect::<Vec<_>>())
            .min_by_key(|set| (set.len(), set.clone()))
    }

    proptest! {
        #[test]
        fn it_opens_as_few_as_every_set_tried_and_of_those_the_oldest(
            yard in yards(), need in 0..900_i32,
        ) {
            let figures = figures();
            let found = drawing(&yard, f64::from(need), &figures);
            let (open, whole) = fit(&yard);
            let need = i64::from(need) * 1000;
            let picked: Vec<&Pick<'_>> =
                found.picks.iter().filter(|pick| pick.why != Why::Open).collect();
            match brute(&whole, need - open) {
                Some(best) => {
                    prop_assert_eq!(found.short, litres(0.0));
                    prop_assert_eq!(picked.len(), best.len());
                    // Usable litres tell which drums were taken, oldest first.
                    let usable = |pick: &&Pick<'_>| millilitres(pick.container.usable(&figures).unwrap(), Round::Down);
                    prop_assert_eq!(
                        picked.iter().map(usable).collect::<Vec<_>>(),
                        best.iter().map(|n| whole[*n]).collect::<Vec<_>>()
                    );
                }
                None => {
                    let all = open + whole.iter().sum::<i64>();
                    prop_assert_eq!(millilitres(found.short, Round::Up), need - all);
                }
            }
        }

        #[test]
        fn it_never_draws_from_an_unfit_drum_nor_more_than_there_is(
            yard in yards(), need in 0..900_i32,
        ) {
            let figures = figures();
            let found = drawing(&yard, f64::from(need), &figures);
            let mut seen = std::collections::BTreeSet::new();
            for pick in &found.picks {
                prop_assert!(pick.container.condemned.is_none());
                prop_assert!(pick.draw > litres(0.0));
                prop_assert!(pick.draw <= pick.container.usable(&figures).unwrap() + litres(1e-6));
                prop_assert!(seen.insert(&pick.container.id), "drawn from twice");
            }
            let sum = found.drawn() + found.short;
            prop_assert!((sum - litres(f64::from(need))).abs() < litres(1e-6));
            let new_parts = found.picks.iter().filter(|p| p.why != Why::Open && p.leaves_part);
            prop_assert!(new_parts.count() <= 1, "one new part-drum at most");
            prop_assert!(found.picks.len() + found.refused.len() <= yard.len());
        }

        #[test]
        fn of_equal_drums_the_oldest_are_taken(days in prop::collection::vec(0..90_i32, 1..12), need in 1..1500_i32) {
            let figures = figures();
            let yard: Vec<Container> =
                days.iter().enumerate().map(|(n, day)| filled(&format!("N-{n:03}"), *day, 200.0)).collect();
            let found = drawing(&yard, f64::from(need), &figures);
            let taken: Vec<_> = found.picks.iter().map(|pick| pick.container.filled).collect();
            let mut ages: Vec<_> = yard.iter().map(|container| container.filled).collect();
            ages.sort();
            prop_assert_eq!(&taken[..], &ages[..taken.len()]);
        }

        #[test]
        fn one_more_fit_drum_never_makes_it_shorter(
            yard in yards(), need in 0..900_i32, left in 0..230_u8, day in -9..6_i32,
        ) {
            let figures = figures();
            let before = drawing(&yard, f64::from(need), &figures).short;
            let mut more = yard.clone();
            more.push(filled("N-999", day, f64::from(left)));
            prop_assert!(drawing(&more, f64::from(need), &figures).short <= before);
        }

        #[test]
        fn the_order_of_the_yard_does_not_matter(yard in yards(), need in 0..900_i32, turn in 0..9_usize) {
            let figures = figures();
            let mut turned = yard.clone();
            turned.rotate_left(turn % yard.len().max(1));
            prop_assert_eq!(
                said(&drawing(&yard, f64::from(need), &figures)),
                said(&drawing(&turned, f64::from(need), &figures))
            );
        }
    }
}
