//! The boat in time, wave by wave: what she does in a drawn sea moment by moment, which the polars know only in the mean.

mod boat;
mod bow_figures;
mod exact;
mod forefoot;
mod frames;
mod linear_motions;
mod outcome;
mod paired;
mod run;
mod sea;
mod trace;
mod whole_hull;

pub use crate::boat::BodyChoice;
pub use bow_figures::BowFigures;
pub use exact::{Drawings, Exact, drawings, simulate_exact};
pub use frames::{Course, Frame, Frames};
pub use outcome::Simulated;
pub use paired::{Paired, PairedFigure, QUANTITIES, paired};
pub use run::{Setting, simulate};
pub use sea::SimulatedSea;
pub use trace::{TRACE_COLUMNS, TraceRow};
