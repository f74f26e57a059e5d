//! How well a tyre grips the ground it stands on.
//!
//! Friction of car tyres as R. Noon, Engineering Analysis of Vehicular Accidents (CRC Press,
//! 1994), gives it, read second hand: dry concrete 0.75, wet 0.60; gravel and dirt roads 0.35;
//! wet grass 0.20. No figure was found for an aeroplane's tyre standing on dry grass; the one
//! for wet grass stands in for it, because it holds less. For coral and metalled ground none
//! was found, and the answer is unknown.

use stillprop_calc::quantity::{FromAmount, Ratio};
use stillprop_rules::situation::Surface;

use crate::stage::Unknown;

/// Where the figures come from.
pub const SOURCE: &str =
    "R. Noon, Engineering Analysis of Vehicular Accidents, 1994, read second hand";

/// Friction of a braked tyre on a surface.
///
/// # Errors
///
/// Why it is not known.
pub fn grip(surface: Option<Surface>, wet: Option<bool>) -> Result<Ratio, Unknown> {
    let surface = surface.ok_or("what the ground of the apron is, is not given")?;
    let of = |friction: f64| Ok(Ratio::from_si(friction));
    match (surface, wet) {
        (Surface::Paved, Some(false)) => of(0.75),
        // Where nobody said that it is dry, the wet figure is the cautious one.
        (Surface::Paved, _) => of(0.60),
        (Surface::Gravel | Surface::Dirt, Some(false)) => of(0.35),
        (Surface::Gravel, _) => of(0.35),
        (Surface::ShortGrass | Surface::LongGrass, _) => of(0.20),
        (Surface::Dirt, _) => Err("no figure was found for the grip on wet dirt".into()),
        (Surface::Coral | Surface::Metalled, _) => {
            Err(format!("no figure was found for the grip on {}", surface.word()))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wet_never_grips_better_than_dry_and_what_nobody_measured_is_unknown() {
        for surface in Surface::ALL {
            let dry = grip(Some(*surface), Some(false));
            let wet = grip(Some(*surface), Some(true));
            match (dry, wet) {
                (Ok(dry), Ok(wet)) => assert!(wet <= dry, "{surface}"),
                (_, Err(why)) => assert!(!why.is_empty()),
                (Err(_), Ok(_)) => panic!("{surface}: known wet and not dry"),
            }
        }
        assert_eq!(grip(Some(Surface::Paved), None), grip(Some(Surface::Paved), Some(true)));
        assert!(grip(None, Some(false)).is_err());
    }
}
