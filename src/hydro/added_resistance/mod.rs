//! Mean added resistance in waves, one method a file.

mod finite_length;
pub mod radiated_energy;
pub mod short_waves;
pub mod snnm;
