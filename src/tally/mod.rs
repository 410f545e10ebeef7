//! The tally: the weighted distribution of sea states in one region and window, binned in the wind's frame.
//!
//! What a polar feels of a sea is the wind speed and, of each wave system, height, period and angle off the wind.
//! Thousands of cells and hours fall into few bins. A bin keeps sums, not counts, so it yields its own mean state:
//! quantising costs second order only. Seas that come with a directional spectrum are binned by the systems it splits
//! into, and the bin keeps the sum of their spectra about the wind. Sums add, so tallies of different files, days or machines merge.

mod bin_text;
mod bins;
mod checksum;
mod parquet_file;
mod rows;
mod set;
mod step;
pub mod step_tally;
mod sums;

pub use bins::{BinKey, Bins, ShapedBy, SystemKey};
pub use set::{Origin, RegionTallies, TallySet, WindowTally};
pub use step::TalliedStep;
pub use step_tally::StepTally;
pub use sums::{BinSums, Coverage, SeaBin, SystemSums, Tally};
