//! Mean added resistance in waves, one method a file.

pub mod radiated_energy;
pub mod snnm;
