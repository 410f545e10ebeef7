//! Tally x boat x flat polar: the corrected polar of one region and window, and an account of every cell.

mod cell_sum;
mod cells;
pub mod column_use;
pub mod compare;
pub mod corrected;
mod fair_mean;
mod performance;
mod polar_cell;
mod rides;
pub mod smoothing;
mod stand_in;
mod tack;
pub mod wind_match;

pub use cell_sum::{BAND_LN, compared};
pub use cells::{derate, derate_point, derate_seas, seen};
pub use compare::Pair;
pub use performance::{Balances, Performance};
pub(crate) use polar_cell::stage_factors;
pub use polar_cell::{PolarCell, dominant};
pub use rides::surge_in;
pub use tack::Tack;
pub use wind_match::{ColumnSeas, SeaChoice, SeaWind};
