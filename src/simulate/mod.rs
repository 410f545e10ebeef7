//! The boat in time, wave by wave: what she does in a drawn sea moment by moment, which the polars know only in the mean.

mod boat;
mod linear_motions;
mod outcome;
mod run;
mod sea;
mod trace;

pub use outcome::Simulated;
pub use run::{Setting, simulate};
pub use sea::SimulatedSea;
pub use trace::{TRACE_COLUMNS, TraceRow};
