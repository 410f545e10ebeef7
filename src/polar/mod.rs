//! Boat speed through water by true wind speed (TWS) and true wind angle (TWA), and where it is known.

pub mod believable;
mod csv_options;
pub mod csv_write;
mod file;
mod flat;
mod long;
mod matrix;
mod tack_choice;
mod text_table;

pub use csv_options::{CsvOptions, Decimal, Delimiter, Layout, LineEnd, Smoothing};
pub use file::PolarAsRead;
pub use flat::{Lookup, MAX_SPEED_KN, Outside, Polar, Tacks};
pub use tack_choice::TackChoice;
