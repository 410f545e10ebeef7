//! Boat speed through water by true wind speed (TWS) and true wind angle (TWA), and where it is known.

mod file;
mod flat;
mod long;
mod matrix;
mod text_table;

pub use flat::{Lookup, MAX_SPEED_KN, Outside, Polar, Tacks};
