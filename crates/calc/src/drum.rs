//! How much is in a drum, from a dip: on its side or upright, level or leaning.
//!
//! # Formula
//!
//! The drum is a right circular cylinder with flat ends, inside radius `r`, inside length `l`.
//! The surface cuts each slice across the axis in a chord. Let `u` be the distance of that chord
//! from the axis as a part of `r`, positive when less than half of the slice is wet. The
//! wet part of a slice, over `r^2`, and its integral over `u` are
//!
//! ```text
//! S(u) = acos u - u sqrt(1 - u^2)                                  from -1 to 1
//! K(u) = u acos u - sqrt(1 - u^2) + (1 - u^2)^(3/2) / 3            K' = S
//!        pi u below -1, 0 above 1
//! ```
//!
//! A level surface is a plane, so `u` changes evenly from `u0` at one end to `u1` at the other:
//!
//! ```text
//! V = r^2 l (K(u1) - K(u0)) / (u1 - u0)        r^2 l S(u) when u1 = u0
//! ```
//!
//! One closed form for every case; only `u` differs:
//!
//! ```text
//! on its side, axis `tilt` from level, dip h at s from the low end, square to the axis
//!     u(x) = 1 - (h - (x - s) tan tilt) / r          x = 0 at the low end, l at the high end
//! upright, axis `lean` from plumb, dip h along the axis, at b from it towards the low side
//!     u(z) = (z - h + b tan lean) / (r tan lean)     z = 0 at the bottom, l at the top
//! ```
//!
//! The dip for a volume is halved out of these. A stand-pipe whose mouth is kept `h` off the
//! bottom at `b` stops when the surface reaches it: it leaves what a dip of `h` there reads.
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted (ours) |
//! |---|---|---|---|
//! | `2 r` | inside diameter | mm | 100 to 4 000 |
//! | `l` | inside length | mm | 100 to 12 000 |
//! | `h` | dip | m | 0 to `2 r` on its side, 0 to `l` upright |
//! | `tilt`, `lean` | deg | 0 to 80 |
//! | `s`, `b` | place of the dip | m | 0 to `l`; `-r` to `r` |
//!
//! The level of a leaning drum on its axis may also be given as such, -5 to 20 m: where the
//! surface, carried on, meets the axis below the bottom or above the top.
//!
//! # Accuracy
//!
//! The geometry is exact but for rounding; the tests compare it with adaptive quadrature. A real
//! drum has rolling hoops, bulged ends and dents: a few per cent.
//!
//! # Left out on purpose
//!
//! Those shapes; the stick's own volume; the whirl that lets a pipe draw air early; tanks that
//! are not round.
//!
//! # Sources
//!
//! `solid-geometry`.

use std::f64::consts::PI;

use crate::{
    bounds::{Bounds, OutOfRange},
    quantity::{Angle, FromAmount, Length, Volume},
    root, source,
    trace::{Step, Trace},
    unit::{DEG, L, M, MM},
};

/// Accepted inside diameters.
pub const DIAMETER: Bounds = Bounds::new("inside diameter", 100.0, 4_000.0, MM);
/// Accepted inside lengths: the height of an upright drum.
pub const LENGTH: Bounds = Bounds::new("inside length", 100.0, 12_000.0, MM);
/// Accepted angles of the axis, from level or from plumb.
pub const SLANT: Bounds = Bounds::new("slant of the drum", 0.0, 80.0, DEG);
/// Accepted levels on the axis of an upright drum.
pub const AXIS_LEVEL: Bounds = Bounds::new("level on the axis", -5.0, 20.0, M);

/// Ends of the surface nearer than this, as a part of the radius, count as level: there the
/// difference of two integrals would lose more digits than the mean slice does.
const LEVEL: f64 = 1e-6;
/// A lean that raises the surface by less than this across the radius is none. \[m\]
const PLUMB: f64 = 1e-12;
/// Past the end of the stick by less than this is its end: rounding, not fuel. \[m\]
const STICK_SLACK: f64 = 1e-9;

/// The inside of a drum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drum {
    radius: f64,
    length: f64,
}

/// How a drum stands, and where along it the stick goes in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pose {
    /// On its side.
    OnSide {
        /// Angle of the axis from level.
        tilt: Angle,
        /// Distance of the stick from the low end, along the axis.
        at: Length,
    },
    /// On its end.
    Upright {
        /// Angle of the axis from plumb.
        lean: Angle,
        /// Distance of the stick from the axis towards the low side; negative to the high side.
        at: Length,
    },
}

/// What the stick says at a surface.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stick {
    /// The surface is on it.
    Reads,
    /// The fuel lies elsewhere and the stick stays dry.
    Dry,
    /// The stick is wet to its end.
    Covered,
}

impl Stick {
    /// The case as words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Reads => "reads",
            Self::Dry => "stays dry",
            Self::Covered => "is covered",
        }
    }
}

/// The dip that belongs to a volume.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DipFor {
    /// Where the surface, carried on if need be, meets the line of the stick.
    pub dip: Length,
    /// Whether a stick would show it.
    pub stick: Stick,
}

/// What a stand-pipe leaves behind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Remainder {
    /// As the drum leans.
    pub left: Volume,
    /// If the drum were turned about its axis so that the pipe stood on the other side.
    pub turned: Volume,
    /// If it stood plumb.
    pub plumb: Volume,
}

impl Drum {
    /// A drum of these inside measures.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] for [`DIAMETER`] or [`LENGTH`].
    pub fn new(diameter: Length, length: Length) -> Result<Self, OutOfRange> {
        let radius = DIAMETER.check(diameter)?.si() / 2.0;
        Ok(Self { radius, length: LENGTH.check(length)?.si() })
    }

    /// What it holds to the brim.
    #[must_use]
    pub fn capacity(&self) -> Volume {
        Volume::from_si(PI * self.radius * self.radius * self.length)
    }

    /// The contents that a dip means.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] for [`SLANT`], a dip outside the drum or a place outside it.
    pub fn contents(
        &self,
        pose: Pose,
        dip: Length,
        trace: &mut impl Trace,
    ) -> Result<Volume, OutOfRange> {
        let surface = self.surface(pose)?;
        let dip = Bounds::new("dip", 0.0, surface.most, M).check(dip)?;
        let volume = Volume::from_si(surface.volume(dip.si()));
        self.tell(pose, dip, volume, trace);
        Ok(volume)
    }

    /// The contents of an upright drum by the level on its axis.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] for [`SLANT`] or [`AXIS_LEVEL`].
    pub fn contents_at_level(
        &self,
        lean: Angle,
        level: Length,
        trace: &mut impl Trace,
    ) -> Result<Volume, OutOfRange> {
        let level = AXIS_LEVEL.check(level)?;
        let pose = Pose::Upright { lean, at: Length::from_si(0.0) };
        let volume = Volume::from_si(self.surface(pose)?.volume(level.si()));
        self.tell(pose, level, volume, trace);
        Ok(volume)
    }

    /// The dip that a volume gives, the least one where the surface does not change it.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] for [`SLANT`], a place outside the drum, or more than it holds.
    pub fn dip_for(
        &self,
        pose: Pose,
        volume: Volume,
        trace: &mut impl Trace,
    ) -> Result<DipFor, OutOfRange> {
        let surface = self.surface(pose)?;
        // Rounded up to the millilitre: brimful must not be refused for the last digit.
        let brim = (self.capacity().count(L) * 1e3).ceil() / 1e3;
        let volume = Bounds::new("contents", 0.0, brim, L).check(volume)?;
        let found =
            root::reaches(surface.empty, surface.full, volume.si(), |dip| surface.volume(dip));
        let (stick, found) = if found < -STICK_SLACK {
            (Stick::Dry, found)
        } else if found > surface.most + STICK_SLACK {
            (Stick::Covered, found)
        } else {
            (Stick::Reads, found.clamp(0.0, surface.most))
        };
        let dip = Length::from_si(found);
        trace.step(|| {
            Step::new("dip for the contents", "h such that V(h) = V, by halving")
                .with("V", volume)
                .gives("h", dip)
                .from(source::SOLID_GEOMETRY)
                .remark(format!("the stick {}", stick.words()))
        });
        Ok(DipFor { dip, stick })
    }

    /// What a stand-pipe leaves in an upright drum, its mouth `clearance` off the bottom at `at`.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] as for [`Self::contents`].
    pub fn left_by_pipe(
        &self,
        clearance: Length,
        lean: Angle,
        at: Length,
        trace: &mut impl Trace,
    ) -> Result<Remainder, OutOfRange> {
        let plumb = Angle::from_si(0.0);
        let mut left = |lean, at| self.contents(Pose::Upright { lean, at }, clearance, trace);
        Ok(Remainder { left: left(lean, at)?, turned: left(lean, -at)?, plumb: left(plumb, at)? })
    }

    /// The drum as a family of level surfaces, ordered by their dip.
    fn surface(&self, pose: Pose) -> Result<Surface, OutOfRange> {
        let (r, l) = (self.radius, self.length);
        match pose {
            Pose::OnSide { tilt, at } => {
                let slope = SLANT.check(tilt)?.si().tan();
                let at = Bounds::new("place of the dip", 0.0, l, M).check(at)?.si();
                let (empty, full) = (-at * slope, 2.0 * r + (l - at) * slope);
                // u falls by 1/r for each metre of dip, and rises by slope/r along the drum.
                let (start, rise) = (1.0 - at * slope / r, l * slope / r);
                Ok(Surface { drum: *self, start, rise, per_dip: r, empty, full, most: 2.0 * r })
            }
            Pose::Upright { lean, at } => {
                let slope = SLANT.check(lean)?.si().tan();
                let at = Bounds::new("place of the dip", -r, r, M).check(at)?.si();
                let reach = (r * slope).max(PLUMB);
                let (empty, full) = (at * slope - reach, l + at * slope + reach);
                let (start, rise) = (at * slope / reach, l / reach);
                Ok(Surface { drum: *self, start, rise, per_dip: reach, empty, full, most: l })
            }
        }
    }

    fn tell(&self, pose: Pose, dip: Length, volume: Volume, trace: &mut impl Trace) {
        trace.step(|| {
            let (what, symbols, slant, at) = match pose {
                Pose::OnSide { tilt, at } => ("contents on its side", ["tilt", "s"], tilt, at),
                Pose::Upright { lean, at } => ("contents upright", ["lean", "b"], lean, at),
            };
            Step::new(what, "V = r^2 l (K(u1) - K(u0)) / (u1 - u0)")
                .with("r", Length::from_si(self.radius))
                .with("l", Length::from_si(self.length))
                .with(symbols[0], slant)
                .with(symbols[1], at)
                .with("h", dip)
                .gives("V", volume)
                .from(source::SOLID_GEOMETRY)
        });
    }
}

/// A drum in its pose: `u0 = start - dip / per_dip`, `u1 = u0 + rise`. \[SI\]
struct Surface {
    drum: Drum,
    start: f64,
    rise: f64,
    per_dip: f64,
    /// The dip of the highest surface that leaves the drum empty.
    empty: f64,
    /// The dip of the lowest surface that fills it.
    full: f64,
    /// The longest dip that a stick inside the drum can show.
    most: f64,
}

impl Surface {
    /// Contents below the surface of a dip. \[m3\]
    fn volume(&self, dip: f64) -> f64 {
        let u0 = self.start - dip / self.per_dip;
        let mean = if self.rise < LEVEL {
            segment(u0 + self.rise / 2.0)
        } else {
            (segments(u0 + self.rise) - segments(u0)) / self.rise
        };
        self.drum.radius * self.drum.radius * self.drum.length * mean
    }
}

/// `S(u)`.
fn segment(u: f64) -> f64 {
    let u = u.clamp(-1.0, 1.0);
    u.acos() - u * (1.0 - u * u).sqrt()
}

/// `K(u)`.
fn segments(u: f64) -> f64 {
    if u <= -1.0 {
        return PI * u;
    }
    if u >= 1.0 {
        return 0.0;
    }
    let half_chord = (1.0 - u * u).sqrt();
    u * u.acos() - half_chord + half_chord * half_chord * half_chord / 3.0
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::trace::{Silent, Working};

    fn mm(length: f64) -> Length {
        Length::of(length, MM)
    }

    fn deg(angle: f64) -> Angle {
        Angle::of(angle, DEG)
    }

    /// The usual drum of 216.5 L and more.
    fn usual() -> Drum {
        Drum::new(mm(571.5), mm(851.0)).unwrap()
    }

    fn side(tilt: f64, at: f64) -> Pose {
        Pose::OnSide { tilt: deg(tilt), at: mm(at) }
    }

    fn upright(lean: f64, at: f64) -> Pose {
        Pose::Upright { lean: deg(lean), at: mm(at) }
    }

    fn litres(pose: Pose, dip: f64) -> Result<f64, OutOfRange> {
        usual().contents(pose, mm(dip), &mut Silent).map(|volume| volume.count(L))
    }

    /// Adaptive Simpson's rule: an answer that owes nothing to the closed form.
    fn simpson(f: &impl Fn(f64) -> f64, a: f64, b: f64, depth: u32) -> f64 {
        let rule = |a: f64, b: f64| (b - a) / 6.0 * (f(a) + 4.0 * f(f64::midpoint(a, b)) + f(b));
        let middle = f64::midpoint(a, b);
        let (left, right) = (rule(a, middle), rule(middle, b));
        if depth == 0 || (depth < 40 && (left + right - rule(a, b)).abs() < 1e-12) {
            return left + right;
        }
        simpson(f, a, middle, depth - 1) + simpson(f, middle, b, depth - 1)
    }

    /// Sheets along the axis instead of slices across it. \[L\]
    fn upright_by_sheets(lean: f64, at: f64, dip: f64) -> f64 {
        let (r, l, slope) = (285.75, 851.0, lean.to_radians().tan());
        let sheet = |p: f64| {
            let (y, half) = (r * p.sin(), r * p.cos());
            2.0 * half * half * (dip + (y - at) * slope).clamp(0.0, l) / 1e6
        };
        simpson(&sheet, -PI / 2.0, PI / 2.0, 44)
    }

    /// 50-digit quadrature by sheets.
    #[test]
    fn contents_equal_exact_arithmetic_in_every_pose() {
        for (pose, dip, exact) in [
            (side(0.0, 0.0), 123.4, 34.673_120_121_195_767),
            (side(4.5, 40.0), 210.0, 58.891_962_422_012_04),
            (upright(7.0, 230.0), 64.0, 9.173_063_668_097_615),
        ] {
            let got = litres(pose, dip).unwrap();
            assert!((got - exact).abs() < 1e-9, "{pose:?}: {got}, exact {exact}");
        }
    }

    /// The hoof of Archimedes: a plane through a diameter of the bottom cuts off 2/3 r^3 tan.
    #[test]
    fn the_hoof_is_that_of_archimedes() {
        let level = Length::from_si(0.0);
        let got = usual().contents_at_level(deg(30.0), level, &mut Silent).unwrap().count(L);
        let exact = 2.0 / 3.0 * 2.8575_f64.powi(3) * 30.0_f64.to_radians().tan();
        assert!((got - exact).abs() < 1e-12 && (got - 8.9806).abs() < 5e-5, "{got}, {exact}");
    }

    #[test]
    fn a_level_drum_on_its_side_has_half_its_contents_at_half_its_height() {
        let half = usual().capacity().count(L) / 2.0;
        assert!((litres(side(0.0, 0.0), 285.75).unwrap() - half).abs() < 1e-12);
        assert!((litres(side(9.0, 425.5), 285.75).unwrap() - half).abs() < 1e-9);
        assert!((litres(upright(9.0, 0.0), 425.5).unwrap() - half).abs() < 1e-9);
    }

    #[test]
    fn both_sides_of_every_bound() {
        for (pose, dip, ok) in [
            (side(0.0, 0.0), 0.0, true),
            (side(0.0, 0.0), 571.5, true),
            (side(0.0, 0.0), 571.6, false),
            (side(0.0, 0.0), -0.1, false),
            (side(80.0, 851.0), 100.0, true),
            (side(80.1, 10.0), 100.0, false),
            (side(-0.1, 10.0), 100.0, false),
            (side(5.0, 851.1), 100.0, false),
            (side(5.0, -0.1), 100.0, false),
            (upright(0.0, 0.0), 851.0, true),
            (upright(0.0, 0.0), 851.1, false),
            (upright(5.0, 285.75), 100.0, true),
            (upright(5.0, 285.76), 100.0, false),
            (upright(5.0, -285.75), 100.0, true),
            (upright(5.0, -285.76), 100.0, false),
            (upright(f64::NAN, 0.0), 100.0, false),
            (upright(5.0, f64::NAN), 100.0, false),
            (side(5.0, 10.0), f64::NAN, false),
            (side(5.0, 10.0), f64::INFINITY, false),
        ] {
            assert_eq!(litres(pose, dip).is_ok(), ok, "{pose:?} {dip}");
        }
        for (diameter, length, ok) in [
            (100.0, 100.0, true),
            (99.0, 851.0, false),
            (4_000.0, 12_000.0, true),
            (4_001.0, 851.0, false),
            (571.5, 99.0, false),
            (571.5, 12_001.0, false),
            (f64::NAN, 851.0, false),
        ] {
            assert_eq!(Drum::new(mm(diameter), mm(length)).is_ok(), ok, "{diameter} {length}");
        }
        for (level, ok) in [(-5.0, true), (-5.01, false), (20.0, true), (20.01, false)] {
            let found = usual().contents_at_level(deg(10.0), Length::of(level, M), &mut Silent);
            assert_eq!(found.is_ok(), ok, "{level}");
        }
    }

    #[test]
    fn the_brim_and_nothing_have_a_dip_and_more_has_none() {
        for (pose, most) in [(side(0.0, 0.0), 571.5), (upright(0.0, 0.0), 851.0)] {
            let of = |volume| usual().dip_for(pose, volume, &mut Silent);
            let brim = of(usual().capacity()).unwrap();
            assert_eq!(brim.stick, Stick::Reads);
            // Close to the brim of a drum on its side a whole millimetre holds a few millilitres.
            assert!((brim.dip.count(MM) - most).abs() < 1e-3, "{pose:?}: {brim:?}");
            let none = of(Volume::from_si(0.0)).unwrap();
            assert!(none.stick == Stick::Reads && none.dip.si().abs() < 1e-15, "{none:?}");
            assert!(of(Volume::of(218.31, L)).is_err());
            assert!(of(Volume::from_si(f64::NAN)).is_err());
        }
    }

    #[test]
    fn a_stick_away_from_the_fuel_says_so() {
        let of = |pose, volume| usual().dip_for(pose, Volume::of(volume, L), &mut Silent).unwrap();
        assert_eq!(of(side(12.0, 800.0), 9.0).stick, Stick::Dry);
        assert_eq!(of(side(12.0, 50.0), 9.0).stick, Stick::Reads);
        assert_eq!(of(upright(30.0, 250.0), 205.0).stick, Stick::Covered);
    }

    #[test]
    fn a_pipe_on_the_low_side_leaves_least() {
        let mut working = Working::default();
        let left = usual().left_by_pipe(mm(50.0), deg(4.0), mm(230.0), &mut working).unwrap();
        assert!(left.left < left.plumb && left.plumb < left.turned, "{left:?}");
        let plumb = PI * 0.285_75_f64.powi(2) * 50.0;
        assert!((left.plumb.count(L) - plumb).abs() < 1e-9, "{left:?}");
        assert_eq!(working.steps.len(), 3);
    }

    proptest! {
        #[test]
        fn the_closed_form_agrees_with_quadrature(
            lean in 0.0..60.0_f64, at in -285.0..285.0_f64, dip in 0.0..851.0_f64,
        ) {
            let got = litres(upright(lean, at), dip).unwrap();
            let sheets = upright_by_sheets(lean, at, dip);
            prop_assert!((got - sheets).abs() < 1e-6, "{} against {}", got, sheets);
        }

        /// A drum leaning 90 degrees less its tilt is the same drum: two poses, one volume.
        #[test]
        fn on_its_side_and_upright_are_one_geometry(
            tilt in 10.5..79.5_f64, at in 0.0..851.0_f64, dip in 0.0..571.5_f64,
        ) {
            let lying = litres(side(tilt, at), dip).unwrap();
            // The surface meets the axis at x = s + (h - r) / tan tilt.
            let level = (at + (dip - 285.75) / tilt.to_radians().tan()) / 1e3;
            prop_assume!((-5.0..=20.0).contains(&level));
            let standing = usual()
                .contents_at_level(deg(90.0 - tilt), Length::of(level, M), &mut Silent)
                .unwrap();
            prop_assert!((lying - standing.count(L)).abs() < 1e-9);
        }

        #[test]
        fn a_dip_and_its_volume_undo_each_other(
            slant in 0.0..45.0_f64, place in -1.0..1.0_f64, share in 0.0..1.0_f64, lies: bool,
        ) {
            let pose = if lies {
                side(slant, 851.0 * place.abs())
            } else {
                upright(slant, 285.0 * place)
            };
            let volume = usual().capacity() * share;
            let found = usual().dip_for(pose, volume, &mut Silent).unwrap();
            if found.stick == Stick::Reads {
                let back = usual().contents(pose, found.dip, &mut Silent).unwrap();
                prop_assert!((back - volume).count(L).abs() < 1e-6, "{:?}", found);
            }
        }

        #[test]
        fn a_longer_dip_never_means_less(
            slant in 0.0..80.0_f64, place in 0.0..1.0_f64, dip in 0.0..571.0_f64, more in 0.0..0.5_f64,
        ) {
            for pose in [side(slant, 851.0 * place), upright(slant, 285.0 * place)] {
                prop_assert!(litres(pose, dip + more).unwrap() >= litres(pose, dip).unwrap() - 1e-9);
            }
        }
    }
}
