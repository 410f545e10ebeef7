//! Reading a polar file in either of its forms.

use crate::base::Result;
use crate::files::text_file;
use crate::polar::flat::Polar;
use crate::polar::text_table::TextTable;
use crate::polar::{long, matrix};
use std::path::Path;

/// A polar with what was read into its file.
#[derive(Debug, Clone, PartialEq)]
pub struct PolarAsRead {
    /// The polar.
    pub polar: Polar,
    /// What was put in order, in words for the user.
    pub notes: Vec<String>,
}

impl PolarAsRead {
    /// Reads a polar file; see [`PolarAsRead::parse`].
    ///
    /// # Errors
    /// A file that cannot be read; as [`PolarAsRead::parse`].
    pub fn read(path: &Path) -> Result<Self> {
        text_file::read(path).and_then(|text| Self::parse(&text)).map_err(|error| error.file(path))
    }

    /// Reads a polar from text with `\n` line endings.
    ///
    /// A matrix has TWS in its first row and TWA in its first column, with any text in the corner; rows and columns in any
    /// order, which is noted. The long form has a header that names TWS, TWA and boat speed in any order, and one row a cell
    /// in any order. Fields are separated by commas, semicolons, tabs or runs of spaces, with the decimal comma allowed
    /// beside the last three; numbers may have `kn`, `kt`, `kts`, `deg` or a degree sign behind them; lines that start with
    /// `#` are comments.
    ///
    /// # Errors
    /// A table that breaks what [`Polar`] promises, with line and column.
    pub fn parse(text: &str) -> Result<Self> {
        let table = TextTable::parse(text)?;
        if table.has_long_header() {
            return Ok(Self { polar: long::read(&table)?, notes: Vec::new() });
        }
        let (polar, notes) = matrix::read(&table)?;
        Ok(Self { polar, notes })
    }
}

impl Polar {
    /// Reads a polar file; see [`PolarAsRead::parse`].
    ///
    /// # Errors
    /// As [`PolarAsRead::read`].
    pub fn read(path: &Path) -> Result<Self> {
        PolarAsRead::read(path).map(|read| read.polar)
    }

    /// Reads a polar from text with `\n` line endings; see [`PolarAsRead::parse`].
    ///
    /// # Errors
    /// As [`PolarAsRead::parse`].
    pub fn parse(text: &str) -> Result<Self> {
        PolarAsRead::parse(text).map(|read| read.polar)
    }
}
