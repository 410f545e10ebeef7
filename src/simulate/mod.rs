//! The boat in time, wave by wave: what she does in a drawn sea moment by moment, which the polars know only in the mean.

mod boat;
mod bow_figures;
mod exact;
mod frames;
mod linear_motions;
mod outcome;
mod run;
mod sea;
mod trace;
mod whole_hull;

pub use crate::boat::BodyChoice;
pub use bow_figures::BowFigures;
pub use exact::{Exact, simulate_exact};
pub use frames::{Frame, Frames};
pub use outcome::Simulated;
pub use run::{Setting, simulate};
pub use sea::SimulatedSea;
pub use trace::{TRACE_COLUMNS, TraceRow};
