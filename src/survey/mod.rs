//! Forecast x regions x windows: the tallies that polars are made from.

pub mod cells;
mod tallies;

pub use cells::{AuditedRegion, CellRow};
pub use tallies::{Surveyed, check_covered, leave_out_land, station_notes, survey};
