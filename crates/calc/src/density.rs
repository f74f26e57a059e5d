//! How dense a fuel is at 15 degC and at any other temperature, and what its volume would be
//! at 15 degC.
//!
//! # Formula
//!
//! `[mpms-11-1-1980]`, tables 53B and 54B, density `rho15` in kg/m3, `t` in degC, `dt = t - 15`:
//!
//! ```text
//! alpha = K0 / rho15^2 + K1 / rho15 + A
//! VCF   = exp(-alpha dt (1 + 0.8 alpha dt))        V15 = V * VCF        rho = rho15 * VCF
//!
//! group        rho15           K0          K1       A
//! gasoline     653 to 770       346.4228   0.4388   0
//! transition   above 770       2680.3206   0       -0.00336312
//! jet          788 and above    594.5418   0        0
//! fuel oil     839 to 1075      186.9696   0.4862   0
//!
//! glass hydrometer   rho = reading * (1 - 0.000023 dt - 0.00000002 dt^2)
//! ```
//!
//! The density at 15 degC is the `rho15` whose `rho15 * VCF` is the density read. It is halved
//! out of one group after another; within a group the product rises with `rho15` over the whole
//! accepted range, so there is at most one answer in each, and the halving ends at the last
//! digit of `f64`.
//!
//! # At the edges of the groups
//!
//! `alpha` jumps up there by as much as 4.1e-6 per degree. So in the cold a few readings, within
//! 0.3 kg/m3, belong to no density: the edge is answered and said to be one. In the heat as few
//! belong to two densities. The tables print every half kilogram, the transition from 770.5
//! to 787.5 and jet to 838.5: of the two, the gasoline, the fuel oil, then the jet is answered.
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted | whose limit |
//! |---|---|---|---|---|
//! | `rho15` | density at 15 degC | kg/m3 | 653 to 1075 | the source's |
//! | `rho` | density as read | kg/m3 | 550 to 1150 | ours |
//! | `t` | temperature of the fuel | degC | -50 to 95 | ours: inside the -50 to 150 degC of the 2004 edition, from memory |
//!
//! # Accuracy
//!
//! The source states 0.05 % of volume at 95 % confidence up to 50 degC (from memory). Worst
//! difference from 37 printed values of Measurement Canada: 5.1e-5, which is print rounding.
//!
//! # Left out on purpose
//!
//! The stepwise rounding of the source's computing procedure, which moves the fourth decimal
//! now and then. Pressure. Air buoyancy: masses are true masses. Whether the reading was of a
//! glass hydrometer is for the caller to say: [`glass_corrected`] is a function of its own.
//!
//! # Sources
//!
//! `mpms-11-1-1980`.

use crate::{
    bounds::{Bounds, OutOfRange},
    fuel::VOLUME,
    quantity::{
        FromAmount, MassDensity, Ratio, TemperatureCoefficient, ThermodynamicTemperature, Volume,
    },
    root, source,
    trace::{Step, Trace},
    unit::{DEGC, KG_M3},
};

/// Densities at 15 degC that the tables cover.
pub const DENSITY_15: Bounds = Bounds::new("density at 15 degC", 653.0, 1075.0, KG_M3);
/// Accepted densities as read.
pub const READING: Bounds = Bounds::new("density as read", 550.0, 1150.0, KG_M3);
/// Accepted temperatures of the fuel.
pub const TEMPERATURE: Bounds = Bounds::new("temperature of the fuel", -50.0, 95.0, DEGC);

/// The temperature that densities and volumes are stated at. \[degC\] `[mpms-11-1-1980]`
const REFERENCE: f64 = 15.0;
/// Beyond both ends of the tables, so that an answer out of range can be named. \[kg/m3\]
const BEYOND: (f64, f64) = (400.0, 1500.0);
/// A reading this near to an edge is at the edge: no instrument tells them apart. \[kg/m3\]
const EDGE_SLACK: f64 = 1e-3;
const GASOLINE_END: f64 = 770.0;
const JET_START: f64 = 788.0;
const FUEL_OIL_START: f64 = 839.0;

/// A group of products that expand alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// Gasolines, avgas among them.
    Gasoline,
    /// Between gasolines and jet fuels.
    Transition,
    /// Jet fuels, kerosenes and solvents.
    Jet,
    /// Heating oils, diesel and fuel oils.
    FuelOil,
}

impl Group {
    const ALL: [Self; 4] = [Self::Gasoline, Self::Transition, Self::Jet, Self::FuelOil];
    /// Of two groups that both explain a reading, the one whose entries the tables print there.
    const PREFERRED: [Self; 4] = [Self::Gasoline, Self::FuelOil, Self::Jet, Self::Transition];

    /// The group of a density at 15 degC.
    #[must_use]
    pub fn of(density_15: MassDensity) -> Self {
        let rho15 = density_15.si();
        if rho15 <= GASOLINE_END {
            Self::Gasoline
        } else if rho15 < JET_START {
            Self::Transition
        } else if rho15 < FUEL_OIL_START {
            Self::Jet
        } else {
            Self::FuelOil
        }
    }

    /// The group as the tables name it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Gasoline => "gasoline",
            Self::Transition => "transition",
            Self::Jet => "jet",
            Self::FuelOil => "fuel oil",
        }
    }

    /// Where the group starts and ends, the first and the last one widened.
    const fn span(self) -> (f64, f64) {
        match self {
            Self::Gasoline => (BEYOND.0, GASOLINE_END),
            Self::Transition => (GASOLINE_END, JET_START),
            Self::Jet => (JET_START, FUEL_OIL_START),
            Self::FuelOil => (FUEL_OIL_START, BEYOND.1),
        }
    }

    /// `[K0, K1, A]`. `[mpms-11-1-1980]`
    const fn constants(self) -> [f64; 3] {
        match self {
            Self::Gasoline => [346.422_8, 0.438_8, 0.0],
            Self::Transition => [2_680.320_6, 0.0, -0.003_363_12],
            Self::Jet => [594.541_8, 0.0, 0.0],
            Self::FuelOil => [186.969_6, 0.486_2, 0.0],
        }
    }

    /// `alpha`. \[1/K\]
    fn alpha(self, rho15: f64) -> f64 {
        let [k0, k1, a] = self.constants();
        k0 / (rho15 * rho15) + k1 / rho15 + a
    }

    /// `rho15 * d alpha / d rho15`. \[1/K\]
    fn alpha_slope(self, rho15: f64) -> f64 {
        let [k0, k1, _] = self.constants();
        -2.0 * k0 / (rho15 * rho15) - k1 / rho15
    }
}

/// The equation of the tables.
fn vcf(alpha: f64, dt: f64) -> f64 {
    (-alpha * dt * (1.0 + 0.8 * alpha * dt)).exp()
}

/// What a fuel does between its temperature and 15 degC.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VolumeCorrection {
    /// The group whose constants hold.
    pub group: Group,
    /// `alpha`: growth of volume with temperature, at 15 degC.
    pub expansion: TemperatureCoefficient,
    /// `VCF`: volume at 15 degC as a part of the volume at the temperature.
    pub factor: Ratio,
}

/// The factor that turns a volume at a temperature into the volume at 15 degC.
///
/// # Errors
///
/// [`OutOfRange`] for [`DENSITY_15`] or [`TEMPERATURE`].
pub fn volume_correction(
    density_15: MassDensity,
    temperature: ThermodynamicTemperature,
    trace: &mut impl Trace,
) -> Result<VolumeCorrection, OutOfRange> {
    let rho15 = DENSITY_15.check(density_15)?.si();
    let dt = TEMPERATURE.check(temperature)?.count(DEGC) - REFERENCE;
    let group = Group::of(density_15);
    let alpha = group.alpha(rho15);
    let expansion = TemperatureCoefficient::from_si(alpha);
    let factor = Ratio::from_si(vcf(alpha, dt));
    trace.step(|| {
        Step::new("volume correction", "VCF = exp(-alpha (t-15) (1 + 0.8 alpha (t-15)))")
            .with("rho15", density_15)
            .with("t", temperature)
            .with("alpha", expansion)
            .gives("VCF", factor)
            .from(source::MPMS_11_1)
            .remark(format!("{} group", group.words()))
    });
    Ok(VolumeCorrection { group, expansion, factor })
}

/// The volume that a volume at a temperature would be at 15 degC.
///
/// # Errors
///
/// [`OutOfRange`] for [`VOLUME`] or as for [`volume_correction`].
pub fn volume_at_15(
    volume: Volume,
    density_15: MassDensity,
    temperature: ThermodynamicTemperature,
    trace: &mut impl Trace,
) -> Result<Volume, OutOfRange> {
    let volume = VOLUME.check(volume)?;
    let factor = volume_correction(density_15, temperature, trace)?.factor;
    let at_15 = volume * factor;
    trace.step(|| {
        Step::new("volume at 15 degC", "V15 = V * VCF")
            .with("V", volume)
            .with("VCF", factor)
            .gives("V15", at_15)
            .from(source::MPMS_11_1)
    });
    Ok(at_15)
}

/// The density at a temperature of a fuel whose density at 15 degC is known.
///
/// # Errors
///
/// [`OutOfRange`] as for [`volume_correction`].
pub fn density_at(
    density_15: MassDensity,
    temperature: ThermodynamicTemperature,
    trace: &mut impl Trace,
) -> Result<MassDensity, OutOfRange> {
    let factor = volume_correction(density_15, temperature, trace)?.factor;
    let density = density_15 * factor;
    trace.step(|| {
        Step::new("density at the temperature", "rho = rho15 * VCF")
            .with("rho15", density_15)
            .with("VCF", factor)
            .gives("rho", density)
            .from(source::MPMS_11_1)
    });
    Ok(density)
}

/// The density that a glass hydrometer, marked for 15 degC, meant with its reading.
///
/// # Errors
///
/// [`OutOfRange`] for [`READING`] or [`TEMPERATURE`].
pub fn glass_corrected(
    reading: MassDensity,
    temperature: ThermodynamicTemperature,
    trace: &mut impl Trace,
) -> Result<MassDensity, OutOfRange> {
    let dt = TEMPERATURE.check(temperature)?.count(DEGC) - REFERENCE;
    let density = READING.check(reading)? * (1.0 - 0.000_023 * dt - 0.000_000_02 * dt * dt);
    trace.step(|| {
        Step::new(
            "growth of the glass",
            "rho = reading * (1 - 0.000023 (t-15) - 0.00000002 (t-15)^2)",
        )
        .with("reading", reading)
        .with("t", temperature)
        .gives("rho", density)
        .from(source::MPMS_11_1)
    });
    Ok(density)
}

/// A density brought to 15 degC.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct At15 {
    /// `rho15`.
    pub density: MassDensity,
    /// Its group.
    pub group: Group,
    /// True when the reading falls into the jump between two groups, so that their edge was taken.
    pub on_edge: bool,
}

/// The density at 15 degC of a fuel whose density was read at a temperature.
///
/// # Errors
///
/// [`OutOfRange`] for [`READING`] or [`TEMPERATURE`], or when the answer leaves [`DENSITY_15`].
pub fn density_at_15(
    density: MassDensity,
    temperature: ThermodynamicTemperature,
    trace: &mut impl Trace,
) -> Result<At15, OutOfRange> {
    let rho = READING.check(density)?.si();
    let dt = TEMPERATURE.check(temperature)?.count(DEGC) - REFERENCE;
    let (rho15, on_edge) = table_53b(rho, dt);
    let density_15 = DENSITY_15.check(MassDensity::from_si(rho15))?;
    let group = Group::of(density_15);
    trace.step(|| {
        let step = Step::new("density at 15 degC", "rho15 such that rho15 * VCF(rho15, t) = rho")
            .with("rho", density)
            .with("t", temperature)
            .with("alpha", TemperatureCoefficient::from_si(group.alpha(rho15)))
            .gives("rho15", density_15)
            .from(source::MPMS_11_1);
        let group = group.words();
        step.remark(if on_edge {
            format!("the reading falls into the jump at the edge of the {group} group; edge taken")
        } else {
            format!("{group} group")
        })
    });
    Ok(At15 { density: density_15, group, on_edge })
}

/// `rho15` for checked inputs, and whether it is an edge between two groups.
fn table_53b(rho: f64, dt: f64) -> (f64, bool) {
    let read_as = |group: Group| move |rho15: f64| rho15 * vcf(group.alpha(rho15), dt);
    for group in Group::PREFERRED {
        let (at, (low, high)) = (read_as(group), group.span());
        if (at(low) - EDGE_SLACK..=at(high) + EDGE_SLACK).contains(&rho) {
            return (root::reaches(low, high, rho, at), false);
        }
    }
    let above = Group::ALL.into_iter().find(|group| rho < read_as(*group)(group.span().0));
    (above.map_or(BEYOND.1, |group| group.span().0), true)
}

/// How `rho15` answers to errors of the density and the temperature it was found from.
pub(crate) struct Slopes {
    /// `d rho15 / d rho`. \[1\]
    pub(crate) by_density: f64,
    /// `d rho15 / d t`. \[kg/(m3 K)\]
    pub(crate) by_temperature: f64,
}

/// [`Slopes`] at a density that [`density_at_15`] has answered.
///
/// From `G = rho15 * VCF - rho = 0`: `d rho15 = (d rho - dG/dt dt) / (dG/d rho15)`.
pub(crate) fn slopes(at_15: &At15, temperature: ThermodynamicTemperature) -> Slopes {
    let rho15 = at_15.density.si();
    let dt = temperature.count(DEGC) - REFERENCE;
    let (alpha, slope) = (at_15.group.alpha(rho15), at_15.group.alpha_slope(rho15));
    let factor = vcf(alpha, dt);
    let bend = 1.0 + 1.6 * alpha * dt;
    let by_rho15 = factor * (1.0 - slope * dt * bend);
    Slopes { by_density: 1.0 / by_rho15, by_temperature: rho15 * factor * alpha * bend / by_rho15 }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::trace::{Silent, Working};

    fn dense(rho: f64) -> MassDensity {
        MassDensity::of(rho, KG_M3)
    }

    fn celsius(t: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::of(t, DEGC)
    }

    fn factor(rho15: f64, t: f64) -> Result<VolumeCorrection, OutOfRange> {
        volume_correction(dense(rho15), celsius(t), &mut Silent)
    }

    fn back(rho: f64, t: f64) -> Result<At15, OutOfRange> {
        density_at_15(dense(rho), celsius(t), &mut Silent)
    }

    /// One value of each group from 50-digit arithmetic on the constants.
    #[test]
    fn table_54b_equals_exact_arithmetic_in_every_group() {
        for (rho15, t, vcf, alpha) in [
            (712.5, 31.0, 0.979_104_127_648_341_4, 0.001_298_256_054_170_514),
            (780.25, -25.0, 1.041_018_859_601_322_8, 0.001_039_580_972_143_414_4),
            (804.2, 33.0, 0.983_373_437_087_391, 0.000_919_293_641_236_035),
            (873.5, 52.0, 0.970_091_285_418_452_5, 0.000_801_655_958_419_519_7),
        ] {
            let found = factor(rho15, t).unwrap();
            assert!((found.factor.si() - vcf).abs() < 1e-14, "{rho15} {t}: {found:?}");
            assert!((found.expansion.si() - alpha).abs() < 1e-17, "{rho15} {t}: {found:?}");
        }
    }

    /// Cells of the tables of Measurement Canada, four decimals, second hand.
    #[test]
    fn measurement_canada_cells_agree_within_their_rounding() {
        for (rho15, t, printed) in [
            (800.0, -40.0, 1.0502),
            (800.0, -30.0, 1.0412),
            (800.0, -20.0, 1.0322),
            (710.0, -40.0, 1.0700),
            (710.0, -30.0, 1.0576),
            (710.0, -20.0, 1.0450),
        ] {
            let got = factor(rho15, t).unwrap().factor.si();
            assert!((got - printed).abs() < 1e-4, "{rho15} {t}: {got}, printed {printed}");
        }
    }

    /// 50-digit arithmetic: the root by secants, and the growth of the glass.
    #[test]
    fn density_at_15_and_glass_equal_exact_arithmetic() {
        let at_15 = back(701.3, 28.5).unwrap();
        assert!((at_15.density.si() - 713.838_291_171_782_9).abs() < 1e-9, "{at_15:?}");
        let rho = glass_corrected(dense(701.3), celsius(28.5), &mut Silent).unwrap();
        assert!((rho.si() - 701.079_690_111_5).abs() < 1e-9, "{rho:?}");
    }

    #[test]
    fn each_group_starts_and_ends_where_the_tables_say() {
        for (rho15, group, alpha) in [
            (769.9, Group::Gasoline, None),
            (770.0, Group::Gasoline, Some(0.001_154_155_506_830_831_5)),
            (770.1, Group::Transition, None),
            (787.9, Group::Transition, None),
            (788.0, Group::Jet, Some(0.000_957_480_545_749_697_2)),
            (838.9, Group::Jet, None),
            (839.0, Group::FuelOil, Some(0.000_845_111_028_084_117_3)),
        ] {
            let found = factor(rho15, 40.0).unwrap();
            assert_eq!(found.group, group, "{rho15}");
            if let Some(alpha) = alpha {
                assert!((found.expansion.si() - alpha).abs() < 1e-17, "{rho15}: {found:?}");
            }
        }
    }

    #[test]
    fn both_sides_of_every_bound() {
        for (rho15, t, ok) in [
            (653.0, 20.0, true),
            (652.9, 20.0, false),
            (1075.0, 20.0, true),
            (1075.1, 20.0, false),
            (720.0, -50.0, true),
            (720.0, -50.1, false),
            (720.0, 95.0, true),
            (720.0, 95.1, false),
            (f64::NAN, 20.0, false),
            (720.0, f64::NAN, false),
            (f64::INFINITY, 20.0, false),
            (720.0, f64::NEG_INFINITY, false),
        ] {
            assert_eq!(factor(rho15, t).is_ok(), ok, "{rho15} {t}");
        }
        for (rho, t, ok) in [
            (653.0, 15.0, true),
            (652.9, 15.0, false),
            (1075.0, 15.0, true),
            (1075.1, 15.0, false),
            (550.0, 95.0, false),
            (549.9, 95.0, false),
            (1150.1, 15.0, false),
            (f64::NAN, 15.0, false),
        ] {
            assert_eq!(back(rho, t).is_ok(), ok, "{rho} {t}");
        }
        let error = back(600.0, 15.0).unwrap_err().to_string();
        assert_eq!(error, "density at 15 degC is 600 kg/m3; accepted: 653 to 1075 kg/m3");
    }

    /// 788 kg/m3 at -40 degC: 828.598 by the transition, 828.769 by jet; nothing between.
    #[test]
    fn a_reading_in_the_jump_is_answered_with_the_edge_and_says_so() {
        let mut working = Working::default();
        let found = density_at_15(dense(828.68), celsius(-40.0), &mut working).unwrap();
        assert!(found.on_edge && (found.density.si() - 788.0).abs() < 1e-9, "{found:?}");
        assert!(working.steps[0].remark.as_ref().unwrap().contains("edge"));
        for (rho, group) in [(828.59, Group::Transition), (828.78, Group::Jet)] {
            let found = back(rho, -40.0).unwrap();
            assert!(!found.on_edge && found.group == group, "{rho}: {found:?}");
        }
    }

    /// At 50 degC 761.4 kg/m3 is both 788.1 (jet) and 787.9 (transition); the tables print no
    /// transition above 787.5.
    #[test]
    fn of_two_densities_the_one_the_tables_print_is_answered() {
        for (edge, t, group) in [
            (770.0, 50.0, Group::Gasoline),
            (788.0, 50.0, Group::Jet),
            (839.0, 95.0, Group::FuelOil),
        ] {
            let rho = density_at(dense(edge), celsius(t), &mut Silent).unwrap();
            let found = back(rho.si(), t).unwrap();
            assert_eq!(found.group, group, "{edge}");
            assert!((found.density.si() - edge).abs() < 1e-9, "{edge}: {found:?}");
        }
    }

    #[test]
    fn the_slopes_agree_with_differences() {
        for (rho, t) in [(701.3, 28.5), (776.0, 3.0), (793.6, 24.0), (860.0, 40.0)] {
            let slopes = slopes(&back(rho, t).unwrap(), celsius(t));
            let step = 1e-3;
            let of = |rho: f64, t: f64| back(rho, t).unwrap().density.si();
            let by_rho = (of(rho + step, t) - of(rho - step, t)) / (2.0 * step);
            let by_t = (of(rho, t + step) - of(rho, t - step)) / (2.0 * step);
            assert!((slopes.by_density - by_rho).abs() < 1e-6, "{rho} {t}: {by_rho}");
            assert!((slopes.by_temperature - by_t).abs() < 1e-6, "{rho} {t}: {by_t}");
        }
    }

    proptest! {
        /// Half a kilogram clear of the edges, where one reading has one density.
        #[test]
        fn density_there_and_back_is_the_same(rho15 in 653.0..1075.0_f64, t in -50.0..95.0_f64) {
            prop_assume!([770.0, 788.0, 839.0].iter().all(|edge| (rho15 - edge).abs() > 0.5));
            let rho = density_at(dense(rho15), celsius(t), &mut Silent).unwrap();
            let found = back(rho.si(), t).unwrap();
            prop_assert!((found.density.si() - rho15).abs() < 1e-9, "{:?}", found);
        }

        /// At the edges too, what is answered explains the reading to within the jump.
        #[test]
        fn an_answer_near_an_edge_explains_the_reading(rho15 in 769.0..840.0_f64, t in -50.0..95.0_f64) {
            let rho = density_at(dense(rho15), celsius(t), &mut Silent).unwrap();
            let found = back(rho.si(), t).unwrap();
            prop_assert!((found.density.si() - rho15).abs() < 0.3, "{:?}", found);
        }

        #[test]
        fn warmer_fuel_is_lighter_and_its_volume_at_15_smaller(
            rho15 in 653.0..1075.0_f64, t in -50.0..94.0_f64, litres in 1.0..1000.0_f64,
        ) {
            let volume = Volume::of(litres, crate::unit::L);
            let of = |t: f64| volume_at_15(volume, dense(rho15), celsius(t), &mut Silent).unwrap();
            prop_assert!(of(t + 1.0) < of(t));
            let rho = |t: f64| density_at(dense(rho15), celsius(t), &mut Silent).unwrap();
            prop_assert!(rho(t + 1.0) < rho(t));
        }
    }
}
