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
//! | [`density`] | density at 15 degC and at a temperature, volume at 15 degC |
//! | [`grade`] | what a density says about the grade, jet fuel in avgas |
//! | [`warming`] | a full drum in the sun: growth, ullage, overflow |
//! | [`drum`] | contents from a dip, on its side or upright, and what a stand-pipe leaves |
//! | [`settle`] | how long water takes to settle |
//! | [`water`] | water given up on cooling, water breathed in overnight |
//! | [`reconcile`] | dip, gauge and reckoning against each other |
//! | [`strip`] | factors on a distance, and the greatest mass a strip allows |
//! | [`plane`] | shapes on the apron: nearest points, area, offset, overlap |
//! | [`walk`] | the shortest way on foot around what is forbidden |
//! | [`charge`] | static electricity: relaxation, speed in a hose, rest after a filter, sparks |
//! | [`spill`] | spread, pool, evaporation, sorbent |
//! | [`propeller`] | how hard a propeller pulls at a standstill |
//! | [`restraint`] | what chocks, brakes and a tie hold against it |
//! | [`runaway`] | how fast and how far, if it breaks loose |
//! | [`battery`] | how long a battery lasts without charging |

pub mod air;
pub mod battery;
pub mod bounds;
pub mod burn;
pub mod catalogue;
pub mod charge;
pub mod constants;
pub mod density;
pub mod drum;
pub mod envelope;
pub mod fuel;
pub mod geodesy;
pub mod grade;
pub mod humid;
pub mod load;
pub mod plane;
pub mod propeller;
pub mod quantity;
pub mod reconcile;
pub mod restraint;
mod root;
pub mod runaway;
pub mod settle;
pub mod source;
pub mod spill;
pub mod strip;
pub mod sun;
pub mod table;
pub mod trace;
pub mod unit;
pub mod walk;
pub mod warming;
pub mod water;
pub mod wind;
