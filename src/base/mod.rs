//! What every room may use: errors, units, directions, time windows, reservations.

pub mod bearing;
pub mod error;
pub mod flags;
pub mod units;
pub mod window;
