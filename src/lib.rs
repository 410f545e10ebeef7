//! Roughwater: from a boat's flat-water speed polar and a sea forecast to the speeds she will really make.
//!
//! The rooms, from the top down; each uses only rooms below it (`tests/house/layers.rs`).

// the command line speaks of the library as any other program does
extern crate self as roughwater;

pub mod atlas;
pub mod balance;
pub mod base;
pub mod boat;
pub mod cli;
pub mod derate;
pub mod examine;
pub mod explain;
pub mod files;
pub mod forecast;
pub mod hull;
pub mod hydro;
pub mod job;
pub mod maths;
pub mod passage;
pub mod polar;
pub mod region;
pub mod report;
pub mod result;
pub mod run;
pub mod sea;
pub mod simulate;
pub mod split;
pub mod survey;
pub mod tally;

/// What every output says about its use.
pub const CAUTION: &str = "A planning aid, not a safety limit: speeds in waves are estimates from a model with \
known gaps. The skipper, official forecasts and the rules decide.";
