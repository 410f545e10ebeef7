//! Tally x boat x flat polar: the corrected polar of one region and window, and an account of every cell.

mod cells;
mod column;
pub mod column_use;
pub mod compare;
pub mod corrected;
mod performance;
pub mod smoothing;
pub mod wind_match;

pub(crate) use cells::stage_factors;
pub use cells::{BAND_LN, PolarCell, Tack, derate, derate_seas, dominant, seen};
pub use compare::Pair;
pub use performance::{Balances, Performance};
pub use wind_match::{ColumnSeas, SeaChoice, SeaWind};
