//! Roughwater: from a boat's flat-water speed polar and a sea forecast to the speeds she will really make.

pub mod advisory;
pub mod audit_query;
pub mod balance;
pub mod bearing;
pub mod boat;
pub mod cache;
pub mod cell_audit;
pub mod column_use;
pub mod compare;
pub mod corrected;
pub mod derate;
pub mod error;
pub mod examine;
pub mod explain;
pub mod export;
pub mod flags;
pub mod forecast;
pub mod gather;
pub mod hull;
pub mod hydro;
pub mod index_query;
pub mod job;
pub mod model;
pub mod one_sea;
pub mod own_table_file;
pub mod parquet_table;
pub mod passage;
pub mod polar;
pub mod region;
mod root;
pub mod run;
pub mod sea;
pub mod smoothing;
pub mod split;
pub mod strict_toml;
pub mod survey;
pub mod tally;
pub mod text_file;
pub mod units;
pub mod whole_file;
pub mod wind_frame;
pub mod wind_match;
pub mod window;

/// What every output says about its use.
pub const CAUTION: &str = "A planning aid, not a safety limit: speeds in waves are estimates from a model with \
known gaps. The skipper, official forecasts and the rules decide.";
