//! Mean added resistance in waves, one method a file.

pub mod radiated_energy;
pub mod short_waves;
pub mod snnm;
