//! Forecast x regions x windows: the tallies that polars are made from.

pub mod cells;
mod tallies;

pub use cells::{AuditedRegion, CellRow};
pub use tallies::{LeftOut, Surveyed, check_covered, leave_out_empty, station_notes, survey};
