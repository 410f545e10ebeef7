//! Resistance in flat water, one method a file; [`curve`] joins them into one resistance curve.

pub mod appendages;
pub mod curve;
pub mod delft;
pub mod form;
pub mod ittc57;
pub mod power_law;
pub mod savitsky;
pub mod side_force;
