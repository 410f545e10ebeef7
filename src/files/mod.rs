//! Files of any subject: text with its lines, files written whole or not at all, strict TOML, Parquet tables.

pub mod parquet_table;
pub mod strict_toml;
pub mod text_file;
pub mod whole_file;
pub use parquet_table::{Column, Kind};
