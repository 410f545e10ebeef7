//! What the boat does per metre of sea: in a regular wave, in a spectrum, and tabulated.

mod direct;
mod directional;
mod extent;
mod felt;
mod grid;
mod quantities;
mod regular;
mod sea;
mod spectral;
mod speeds;
mod table;

pub use direct::{DirectIntegral, direct};
pub use directional::{DirectionalSpectrum, SpectrumBand};
pub use felt::Felt;
pub use quantities::{QUANTITIES, Response};
pub(crate) use regular::BEAM_SECTOR_RAD;
pub use regular::{BoatInWaves, FoilInWaves, Method};
pub use sea::SeaResponses;
pub(crate) use speeds::SpeedPlace;
pub use table::ResponseTable;
