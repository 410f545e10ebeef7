//! Forecast files to sea states.
//!
//! A file is told by its first bytes ([`sniff`]) and indexed without decoding ([`message`]); [`steps`] sorts the
//! messages of one or several files into valid times; [`sea`] combines a step's fields into the sea at each cell;
//! [`inspect`] says what is in a file. Codes and names become quantities in [`names`] alone, and each format has a
//! module of its own (`grib2`).

pub mod checks;
pub mod field;
mod grib2;
pub mod grid;
pub mod inspect;
pub mod message;
pub mod names;
pub mod quantity;
pub mod sea;
pub mod sniff;
pub mod steps;

pub use sea::{CellSea, Lack, SeaGrid};
pub use steps::{Forecast, Step};
