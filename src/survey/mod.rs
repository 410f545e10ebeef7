//! Forecast x regions x windows: the tallies that polars are made from.

pub mod cells;
mod kept;
mod tallies;

pub use cells::{AuditedRegion, CellRow};
pub use kept::{KeptSteps, Reused, StepCache};
pub use tallies::{LeftOut, Surveyed, check_covered, leave_out_empty, station_notes, survey, survey_keeping};
