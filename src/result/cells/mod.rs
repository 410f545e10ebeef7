//! The cell audit: one row a forecast cell and time within a region. CSV (RFC 4180) or Parquet, written as rows come.

mod columns;
mod read;
mod write;

pub use read::{AuditedCell, CellsReader, WorstFactor};
pub use write::CellsWriter;
