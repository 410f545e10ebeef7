//! Roughwater: from a boat's flat-water speed polar and a sea forecast to the speeds she will really make.

pub mod advisory;
pub mod balance;
pub mod bearing;
pub mod boat;
mod boat_check;
pub mod derate;
pub mod error;
pub mod export;
pub mod flags;
pub mod forecast;
pub mod hull;
pub mod hydro;
pub mod job;
pub mod model;
pub mod polar;
pub mod region;
mod root;
pub mod sea;
pub mod strict_toml;
pub mod tally;
pub mod text_file;
pub mod units;
pub mod wind_frame;
pub mod window;
