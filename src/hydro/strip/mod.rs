//! Heave and pitch in regular waves by strip theory (Salvesen, Tuck & Faltinsen 1970), any speed and wave angle.
//!
//! A hull is prepared once: each section becomes a Lewis form whose surface potential is tabulated over
//! encounter frequency. [`StripHull::motions`] then only interpolates, sums over sections and solves 2 x 2.

mod diffraction;
mod loads;
mod motions;
mod prepared;
mod radiation;
mod strips;
mod table;

pub use motions::{Lift, MotionCoefficients, Motions};
pub use prepared::StripHull;
pub use radiation::RadiationSums;
pub(crate) use strips::Strip;
