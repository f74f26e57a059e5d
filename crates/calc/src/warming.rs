//! What happens in a full drum that warms in the sun: the fuel grows, the space above it shrinks.
//!
//! # Formula
//!
//! ```text
//! V2 = V1 * VCF(rho15, t1) / VCF(rho15, t2)
//! C2 = C1 * (1 + shell (t2 - t1))
//! ullage = C - V          overflow = what V2 has above C2
//! ```
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted | whose limit |
//! |---|---|---|---|---|
//! | `C1` | what the drum holds to the brim, at `t1` | L | 1 to 50 000 | ours |
//! | `V1` | fuel in it, at `t1` | L | 0 to `C1` | |
//! | `rho15`, `t1`, `t2` | as [`crate::density`] | | | |
//! | `shell` | growth of the drum's volume per degree | 1/K | 0 to 0.0003 | ours |
//!
//! For mild steel `shell` is three times 12e-6 per degree (from memory). Zero leaves the least
//! room to a fuel that warms.
//!
//! # Left out on purpose
//!
//! Pressure: a closed drum bulges and the fuel does not. Vapour. What a brimful closed drum
//! does is not reckoned; `overflow` says that it has no room.
//!
//! # Sources
//!
//! `mpms-11-1-1980`, `fuel-arithmetic`.

use crate::{
    bounds::{Bounds, OutOfRange},
    density,
    quantity::{FromAmount, MassDensity, TemperatureCoefficient, ThermodynamicTemperature, Volume},
    source,
    trace::{Step, Trace},
    unit::{L, PER_K},
};

/// Accepted capacities.
pub const CAPACITY: Bounds = Bounds::new("capacity to the brim", 1.0, 50_000.0, L);
/// Accepted growth of the drum itself.
pub const SHELL: Bounds = Bounds::new("expansion of the drum", 0.0, 0.000_3, PER_K);

/// A drum with fuel in it, at one temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Filled {
    /// What the drum holds to the brim.
    pub capacity: Volume,
    /// The fuel in it.
    pub volume: Volume,
    /// The temperature of both.
    pub temperature: ThermodynamicTemperature,
    /// Density of the fuel at 15 degC.
    pub density_15: MassDensity,
}

/// The same drum at another temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warmed {
    /// The fuel, as if it had room.
    pub volume: Volume,
    /// How much it has grown.
    pub growth: Volume,
    /// Space left above it; none when it overflows.
    pub ullage: Volume,
    /// What has no room.
    pub overflow: Volume,
}

/// What a drum's fuel and the space above it become at another temperature.
///
/// # Errors
///
/// [`OutOfRange`] for [`CAPACITY`] or [`SHELL`], for more fuel than the drum holds, or as for
/// [`density::volume_correction`].
pub fn warm(
    filled: &Filled,
    temperature: ThermodynamicTemperature,
    shell: TemperatureCoefficient,
    trace: &mut impl Trace,
) -> Result<Warmed, OutOfRange> {
    let capacity = CAPACITY.check(filled.capacity)?;
    let before = contents_up_to(capacity).check(filled.volume)?;
    let shell = SHELL.check(shell)?;
    let first = density::volume_correction(filled.density_15, filled.temperature, trace)?.factor;
    let second = density::volume_correction(filled.density_15, temperature, trace)?.factor;
    let volume = before * first / second;
    let step = temperature.si() - filled.temperature.si();
    let grown = capacity * (1.0 + shell.si() * step);
    let none = Volume::from_si(0.0);
    let warmed = Warmed {
        volume,
        growth: volume - before,
        ullage: (grown - volume).max(none),
        overflow: (volume - grown).max(none),
    };
    trace.step(|| {
        Step::new("fuel after warming", "V2 = V1 * VCF(t1) / VCF(t2)")
            .with("V1", before)
            .with("VCF(t1)", first)
            .with("VCF(t2)", second)
            .gives("V2", volume)
            .from(source::MPMS_11_1)
    });
    trace.step(|| {
        Step::new("space above it", "ullage = C1 (1 + shell (t2 - t1)) - V2")
            .with("C1", capacity)
            .with("shell", shell)
            .with("V2", volume)
            .gives("ullage", warmed.ullage)
            .gives("overflow", warmed.overflow)
            .from(source::FUEL_ARITHMETIC)
    });
    Ok(warmed)
}

/// Contents that a vessel of this capacity can have.
fn contents_up_to(capacity: Volume) -> Bounds {
    // In cubic metres, the unit of the value itself, so that brimful is not refused for rounding.
    Bounds::new("fuel in the drum", 0.0, capacity.si(), crate::unit::M3)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{
        trace::Silent,
        unit::{DEGC, KG_M3},
    };

    fn warmed(
        capacity: f64,
        volume: f64,
        from: f64,
        to: f64,
        shell: f64,
    ) -> Result<Warmed, OutOfRange> {
        let filled = Filled {
            capacity: Volume::of(capacity, L),
            volume: Volume::of(volume, L),
            temperature: ThermodynamicTemperature::of(from, DEGC),
            density_15: MassDensity::of(712.0, KG_M3),
        };
        let shell = TemperatureCoefficient::of(shell, PER_K);
        warm(&filled, ThermodynamicTemperature::of(to, DEGC), shell, &mut Silent)
    }

    /// 50-digit arithmetic on the tables.
    #[test]
    fn growth_and_ullage_equal_exact_arithmetic() {
        let found = warmed(216.5, 205.0, 12.0, 48.0, 0.0).unwrap();
        assert!((found.volume.count(L) - 215.133_044_780_917_55).abs() < 1e-9, "{found:?}");
        assert!((found.ullage.count(L) - 1.366_955_219_082_45).abs() < 1e-9, "{found:?}");
        let grown = warmed(216.5, 205.0, 12.0, 48.0, 3.6e-5).unwrap();
        let room = 216.5 * 3.6e-5 * 36.0;
        assert!((grown.ullage.count(L) - 1.366_955_219_082_45 - room).abs() < 1e-9, "{grown:?}");
    }

    /// Factors printed by Measurement Canada for avgas of 710 kg/m3, second hand: 1.0450 at -20
    /// and 1.0700 at -40 degC, so that 200 L at -40 become 204.78 L at -20.
    #[test]
    fn printed_factors_give_the_same_growth() {
        let filled = Filled {
            capacity: Volume::of(210.0, L),
            volume: Volume::of(200.0, L),
            temperature: ThermodynamicTemperature::of(-40.0, DEGC),
            density_15: MassDensity::of(710.0, KG_M3),
        };
        let none = TemperatureCoefficient::from_si(0.0);
        let to = ThermodynamicTemperature::of(-20.0, DEGC);
        let found = warm(&filled, to, none, &mut Silent).unwrap();
        let printed = 200.0 * 1.0700 / 1.0450;
        assert!((found.volume.count(L) - printed).abs() < 0.03, "{found:?}, printed {printed}");
    }

    #[test]
    fn a_drum_has_ullage_or_overflows_never_both() {
        for (volume, overflows) in [(205.0, false), (208.0, true), (216.5, true)] {
            let found = warmed(216.5, volume, 12.0, 48.0, 0.0).unwrap();
            assert_eq!(found.overflow.si() > 0.0, overflows, "{volume}: {found:?}");
            assert_eq!(found.ullage.si() > 0.0, !overflows, "{volume}: {found:?}");
        }
    }

    #[test]
    fn both_sides_of_every_bound() {
        for (capacity, volume, shell, ok) in [
            (216.5, 216.5, 0.0, true),
            (216.5, 216.51, 0.0, false),
            (216.5, 0.0, 0.0, true),
            (216.5, -0.1, 0.0, false),
            (1.0, 1.0, 0.0, true),
            (0.9, 0.5, 0.0, false),
            (50_000.0, 10.0, 3e-4, true),
            (50_001.0, 10.0, 0.0, false),
            (216.5, 200.0, 3.1e-4, false),
            (216.5, 200.0, -1e-6, false),
            (f64::NAN, 200.0, 0.0, false),
            (216.5, f64::INFINITY, 0.0, false),
        ] {
            let found = warmed(capacity, volume, 12.0, 30.0, shell);
            assert_eq!(found.is_ok(), ok, "{capacity} {volume} {shell}");
        }
    }

    proptest! {
        #[test]
        fn a_warmer_drum_never_has_more_room(
            volume in 1.0..216.5_f64, from in -20.0..30.0_f64, step in 0.0..60.0_f64,
        ) {
            let (same, warmer) =
                (warmed(216.5, volume, from, from, 0.0)?, warmed(216.5, volume, from, from + step, 0.0)?);
            prop_assert!(warmer.ullage <= same.ullage && warmer.overflow >= same.overflow);
            let back = warmed(50_000.0, warmer.volume.count(L), from + step, from, 0.0)?;
            prop_assert!((back.volume.count(L) - volume).abs() < 1e-9);
        }
    }
}
