//! Tally x boat x flat polar: the corrected polar of one region and window, and an account of every cell.

mod cell_sum;
mod cells;
pub mod column_use;
pub mod compare;
pub mod corrected;
mod fair_mean;
mod fleet;
mod performance;
pub mod point_of_sailing;
mod polar_cell;
mod rides;
pub mod smoothing;
mod solved_sea;
mod stand_in;
mod tack;
pub mod wind_match;

pub use cell_sum::{BAND_LN, compared};
pub use cells::{derate, derate_columns, derate_on_heading, derate_point, derate_seas, seen};
pub use compare::Pair;
pub use performance::{Balances, KnownCells, KnownSeas, Performance};
pub(crate) use polar_cell::stage_factors;
pub use polar_cell::{PolarCell, dominant};
pub use rides::{CELL_S, surge_in};
pub use solved_sea::SolvedSea;
pub use tack::Tack;
pub use wind_match::{ColumnSeas, SeaChoice, SeaWind};
