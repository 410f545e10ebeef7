//! The formats that long tables are written in.

use serde::{Deserialize, Serialize};

/// The format of a long table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TableFormat {
    /// CSV, RFC 4180.
    Csv,
    /// Apache Parquet.
    Parquet,
}

impl TableFormat {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Csv, Self::Parquet];

    /// The name in files, which is also the ending of such a file's name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Csv => "csv",
            Self::Parquet => "parquet",
        }
    }
}
