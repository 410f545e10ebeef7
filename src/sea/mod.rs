//! The sea at one place and time: wind, wave systems (partitions), and its directional spectrum where there is one.

mod partition;
mod spectrum;
mod state;

pub use partition::{MAX_PARTITIONS, Partition, PartitionKind, Partitions, Period, PeriodKind, Wind};
pub use spectrum::{LEAST_HS_M, Spectrum2d, WIND_SEA_FACTOR};
pub use state::SeaState;
