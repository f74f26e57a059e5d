//! Named constants, each with its source. Derived ones are computed, never typed twice.

/// Standard acceleration of free fall. \[m/s2\] `[icao-7488]`
pub const G0: f64 = 9.806_65;
/// Specific gas constant of dry air. \[J/(kg K)\] `[icao-7488]`
pub const R_AIR: f64 = 287.052_87;
/// Sea-level temperature of the standard atmosphere. \[K\] `[icao-7488]`
pub const T0: f64 = 288.15;
/// Sea-level pressure of the standard atmosphere. \[Pa\] `[icao-7488]`
pub const P0: f64 = 101_325.0;
/// Fall of temperature with geopotential height below the tropopause. \[K/m\] `[icao-7488]`
pub const LAPSE: f64 = 0.006_5;
/// Height of the tropopause. \[m, geopotential\] `[icao-7488]`
pub const TROPOPAUSE: f64 = 11_000.0;
/// Sea-level density of the standard atmosphere. \[kg/m3\]
pub const RHO0: f64 = P0 / (R_AIR * T0);
/// Permittivity of free space. \[F/m\] `[codata-2018]`
pub const EPSILON0: f64 = 8.854_187_812_8e-12;
/// Exponent of temperature ratio to pressure ratio: `g0 / (L R)`.
pub const PRESSURE_EXPONENT: f64 = G0 / (LAPSE * R_AIR);
