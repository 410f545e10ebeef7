//! The long tables of a result: their columns, written as CSV or Parquet and read from CSV.

pub mod column;
pub(in crate::result) mod read;
pub(in crate::result) mod write;

pub use column::TableColumn;
pub use read::TableReader;
pub use write::TableWriter;
