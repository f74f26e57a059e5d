//! Whether a container is fit for use: the limits of drums and samples, asked of one
//! container without a turnaround.

use stillprop_calc::trace::Silent;

use super::{Container, Occasion};
use crate::{
    assess::{Limit, Report},
    limits::{Found, Id, Sink, Verdict, Words, drum, sample},
    units::Units,
};

/// Every limit that says whether a container is fit for use, wherever it stands: grade, age,
/// test, seals or part use, recall, condition, and what its last sample showed.
///
/// Fit means that each holds. How much is in it, whether it has settled and whether its sample
/// still counts are questions of the fuelling, see [`super::choose`].
#[must_use]
pub fn fitness(container: &Container, occasion: &Occasion<'_>, units: &Units) -> Vec<Limit> {
    let mut report = Report::new(units);
    ask(container, occasion, &mut report);
    report.limits
}

/// Runs the limits into any sink.
pub(super) fn ask<S: Sink>(container: &Container, occasion: &Occasion<'_>, sink: &mut S) {
    drum::fit(container, occasion, sink);
    sample::quality(container, occasion, sink);
}

/// The worst verdict without any words, for a whole yard.
pub(super) fn verdict(container: &Container, occasion: &Occasion<'_>) -> Verdict {
    let mut worst = Worst { verdict: Verdict::Holds, silent: Silent };
    ask(container, occasion, &mut worst);
    worst.verdict
}

/// Keeps the worst verdict.
struct Worst {
    verdict: Verdict,
    silent: Silent,
}

impl Sink for Worst {
    type Trace = Silent;

    fn trace(&mut self) -> &mut Silent {
        &mut self.silent
    }

    fn limit(&mut self, _: Id<'_>, found: Found, _: impl FnOnce(&Units) -> Words) {
        self.verdict = self.verdict.min(found.verdict());
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;
    use crate::drums::{
        Appearance, Kind, Paste, Reading, Sample, Seals,
        figures::DrumFigures,
        fixture::{drum, figures, instant, occasion, reading, sample},
    };

    /// The limits that do not hold, with what they say to do.
    fn faults(container: &Container, figures: &DrumFigures) -> Vec<(String, Verdict, String)> {
        let limits = fitness(container, &occasion(figures), &Units::METRIC);
        let worst = limits.iter().map(|limit| limit.verdict).min().unwrap();
        assert_eq!(verdict(container, &occasion(figures)), worst, "one answer without words");
        limits
            .into_iter()
            .filter(|limit| limit.verdict != Verdict::Holds)
            .map(|limit| (limit.id, limit.verdict, limit.words.act.unwrap_or_default()))
            .collect()
    }

    /// Fails unless the container has exactly this fault.
    #[track_caller]
    fn fault(container: &Container, id: &str, verdict: Verdict, words: &str) {
        let found = faults(container, &figures());
        let [(found_id, found_verdict, act)] = found.as_slice() else { panic!("{found:?}") };
        assert_eq!((found_id.as_str(), *found_verdict), (id, verdict));
        assert!(act.contains(words), "{act}");
    }

    #[track_caller]
    fn fit(container: &Container) {
        assert_eq!(faults(container, &figures()), []);
    }

    #[test]
    fn the_drum_without_a_fault_is_fit() {
        fit(&drum("N-001"));
    }

    #[test]
    fn fuel_is_used_to_the_last_day_of_its_age_and_no_longer() {
        let filled = |day| Container { filled: Some(day), ..drum("N-001") };
        fit(&filled(date(2025, 6, 21)));
        fault(&filled(date(2025, 6, 20)), "drum.age.N-001", Verdict::Breaks, "1 d too old");
        fit(&filled(date(2026, 6, 21)));
        fault(&filled(date(2026, 6, 22)), "drum.age.N-001", Verdict::Unknown, "check the date");
        let unknown = Container { filled: None, ..drum("N-001") };
        fault(&unknown, "drum.age.N-001", Verdict::Unknown, "read it off the drum");
    }

    #[test]
    fn a_test_starts_the_interval_anew_and_is_asked_only_by_a_pack_that_gives_one() {
        // 181 days before 21 June 2026 is 22 December 2025.
        let asks = DrumFigures {
            retest_interval: figures().max_age.map(|figure| crate::stage::Cited {
                value: stillprop_calc::quantity::FromAmount::of(181.0, stillprop_calc::unit::D),
                ..figure
            }),
            ..figures()
        };
        let of = |filled, retested| Container { filled: Some(filled), retested, ..drum("N-001") };
        assert_eq!(faults(&of(date(2025, 12, 22), None), &asks), []);
        let overdue = faults(&of(date(2025, 12, 21), None), &asks);
        assert_eq!(overdue[0].0, "drum.retest.N-001");
        assert!(overdue[0].2.contains("1 d too old: have the batch tested"), "{overdue:?}");
        assert_eq!(faults(&of(date(2025, 9, 1), Some(date(2025, 12, 22))), &asks), []);
        let before = faults(&of(date(2025, 12, 21), Some(date(2025, 1, 1))), &asks);
        assert_eq!(before.len(), 1, "a test before the filling counts for nothing: {before:?}");
        fit(&of(date(2025, 7, 1), None));
    }

    #[test]
    fn a_seal_must_be_seen_whole_unless_the_pack_says_otherwise() {
        let seals = |seals| Container { seals, ..drum("N-001") };
        fault(&seals(Some(Seals::Broken)), "drum.seal.N-001", Verdict::Breaks, "do not use it");
        fault(&seals(None), "drum.seal.N-001", Verdict::Unknown, "look before");
        let lax = DrumFigures { broken_seal_allowed: Ok((true, "x".into())), ..figures() };
        assert_eq!(faults(&seals(Some(Seals::Broken)), &lax), []);
        let silent = DrumFigures { broken_seal_allowed: Err("no figure".into()), ..figures() };
        assert_eq!(faults(&seals(Some(Seals::Broken)), &silent)[0].1, Verdict::Unknown);
        fit(&Container { kind: Kind::Bowser, ..seals(None) });
    }

    #[test]
    fn a_part_used_drum_goes_by_the_packs_rule_and_one_opened_now_is_not_part_used() {
        let opened = |at: &str| Container { opened: at.parse().ok(), ..drum("N-001") };
        let (id, old) = ("drum.part-used.N-001", "2026-05-21T12:00:00+10:00");
        fit(&opened("2026-05-22T12:00:00+10:00"));
        fault(&opened(old), id, Verdict::Breaks, "1 d too old");
        fit(&Container { opened: Some(instant("14:00")), ..drum("N-001") });
        let never = DrumFigures { part_used_allowed: Ok((false, "x".into())), ..figures() };
        let yesterday = opened("2026-06-20T12:00:00+10:00");
        assert_eq!(faults(&yesterday, &never)[0].0, id);
        let now = Container { opened: Some(instant("14:00")), ..drum("N-001") };
        assert_eq!(faults(&now, &never), []);
        let silent = DrumFigures { part_used_allowed: Err("none".into()), ..figures() };
        assert_eq!(faults(&yesterday, &silent)[0].1, Verdict::Unknown);
    }

    #[test]
    fn grade_recall_and_condition_each_make_a_drum_unfit() {
        let why = || Some("lining seen in the filter".to_owned());
        let other = Container { grade: "avgas 100".into(), ..drum("N-001") };
        fault(&other, "drum.grade.N-001", Verdict::Breaks, "not avgas 100LL");
        fit(&Container { grade: " Avgas 100ll".into(), ..drum("N-001") });
        let recalled = Container { recalled: why(), ..drum("N-001") };
        fault(&recalled, "drum.recall.N-001", Verdict::Breaks, "lining seen");
        let condemned = Container { condemned: why(), ..drum("N-001") };
        fault(&condemned, "drum.condition.N-001", Verdict::Breaks, "lining seen");
        let dented = Container { severe_damage: why(), ..drum("N-001") };
        fault(&dented, "drum.condition.N-001", Verdict::Breaks, "block the filter");
        let unseen = Container { inspected: None, ..drum("N-001") };
        fault(&unseen, "drum.condition.N-001", Verdict::Unknown, "looked it over");
        let unseen_and_condemned = Container { condemned: why(), ..unseen };
        fault(&unseen_and_condemned, "drum.condition.N-001", Verdict::Breaks, "lining seen");
    }

    #[test]
    fn what_a_sample_showed_makes_a_drum_unfit_and_no_sample_does_not() {
        let of = |sample| Container { sample: Some(sample), ..drum("N-001") };
        fit(&Container { sample: None, ..drum("N-001") });
        let (looks, water) = ("sample.appearance.N-001", "sample.water.N-001");
        for bad in [Appearance::Haze, Appearance::Sediment, Appearance::Water] {
            let bad = of(Sample { appearance: bad, ..sample() });
            fault(&bad, looks, Verdict::Breaks, "sample again");
        }
        let green = of(Sample { colour: "green".into(), ..sample() });
        fault(&green, looks, Verdict::Breaks, "avgas 100LL is blue");
        let fine = of(Sample { colour: "nice".into(), ..sample() });
        fault(&fine, looks, Verdict::Unknown, "say the colour");
        let wet = of(Sample { paste: Paste::Wet, ..sample() });
        fault(&wet, water, Verdict::Breaks, "water");
        let untried = of(Sample { paste: Paste::NotUsed, ..sample() });
        fault(&untried, water, Verdict::Unknown, "use the water paste");
    }

    #[test]
    fn the_density_at_15_degrees_must_lie_in_the_band_of_the_grade() {
        let id = "sample.density.N-001";
        let of =
            |density| Container { sample: Some(Sample { density, ..sample() }), ..drum("N-001") };
        for (kg_m3, fits) in [(695.0, true), (694.9, false), (725.0, true), (725.1, false)] {
            let read = of(Some(reading(kg_m3, 15.0)));
            assert_eq!(faults(&read, &figures()).is_empty(), fits, "{kg_m3}");
        }
        // Warm avgas reads light: 0.690 at 35 degC is 0.709 at 15 degC by table 53B.
        fit(&of(Some(reading(690.0, 35.0))));
        fault(&of(Some(reading(760.0, 15.0))), id, Verdict::Breaks, "% of it were jet fuel");
        fault(&of(Some(reading(800.0, 15.0))), id, Verdict::Breaks, "consistent with Jet A-1");
        let cold = Reading::of(reading(715.0, 15.0).density(), None);
        fault(&of(Some(cold)), id, Verdict::Unknown, "temperature of the sample");
        fault(&of(Some(reading(f64::NAN, 15.0))), id, Verdict::Unknown, "density as read");
        fit(&of(None));
    }

    #[test]
    fn jet_fuel_has_its_own_band_and_mogas_none() {
        let figures = figures();
        let of = |grade: &str, kg_m3: f64, colour: &str| {
            let sample =
                Sample { density: Some(reading(kg_m3, 15.0)), colour: colour.into(), ..sample() };
            let drum = Container { grade: grade.into(), sample: Some(sample), ..drum("N-001") };
            verdict(&drum, &Occasion { grade, ..occasion(&figures) })
        };
        assert_eq!(of("jet A-1", 800.0, "straw"), Verdict::Holds);
        assert_eq!(of("jet A-1", 774.9, "straw"), Verdict::Breaks);
        assert_eq!(of("jet A-1", 800.0, "blue"), Verdict::Breaks);
        assert_eq!(of("mogas 95", 740.0, "yellow"), Verdict::Holds);
    }
}
