//! The sums of Stillprop: pure functions on typed quantities.
//!
//! No input or output, no clock, no randomness, no panic on input. Each module answers one
//! topic and states formula, units, accepted range, accuracy and sources at its head; the
//! [`catalogue`] names every calculation for the command line, the documentation and the
//! validation report.
//!
//! | module | answers |
//! |---|---|
//! | [`air`] | standard atmosphere, pressure altitude, density altitude, air density |
//! | [`humid`] | moist air by CIPM-2007, saturation vapour pressure |
//! | [`wind`] | components on a runway, wind triangle |
//! | [`geodesy`] | distance and bearing on the ellipsoid |
//! | [`sun`] | sunrise, sunset, civil twilight, polar day and night |
//! | [`load`] | mass, centre of gravity, shift, add, remove, ballast |
//! | [`envelope`] | mass and balance polygon, distance to each edge |
//! | [`burn`] | the path of the centre of gravity as fuel burns, worst point exact |
//! | [`fuel`] | trip to final reserve, endurance, point of no return, equal time point |
//! | [`table`] | the manual's grids, interpolated and never extrapolated |
//! | [`strip`] | factors on a distance, and the greatest mass a strip allows |

pub mod air;
pub mod bounds;
pub mod burn;
pub mod catalogue;
pub mod constants;
pub mod envelope;
pub mod fuel;
pub mod geodesy;
pub mod humid;
pub mod load;
pub mod quantity;
pub mod source;
pub mod strip;
pub mod sun;
pub mod table;
pub mod trace;
pub mod unit;
pub mod wind;
