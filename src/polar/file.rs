//! Reading a polar file in either of its forms.

use crate::base::Result;
use crate::files::text_file;
use crate::polar::flat::Polar;
use crate::polar::text_table::TextTable;
use crate::polar::{long, matrix};
use std::path::Path;

impl Polar {
    /// Reads a polar file; see [`Polar::parse`].
    ///
    /// # Errors
    /// A file that cannot be read; as [`Polar::parse`].
    pub fn read(path: &Path) -> Result<Self> {
        text_file::read(path).and_then(|text| Self::parse(&text)).map_err(|error| error.file(path))
    }

    /// Reads a polar from text with `\n` line endings.
    ///
    /// A matrix has TWS in its first row and TWA in its first column, with any text in the corner; the long form
    /// has a header with `tws_kn`, `twa_deg` and `speed_kn` in any order, and one row a cell in any order.
    /// Fields are separated by commas, semicolons or tabs, with the decimal comma allowed beside the last two;
    /// lines that start with `#` are comments.
    ///
    /// # Errors
    /// A table that breaks what [`Polar`] promises, with line and column.
    pub fn parse(text: &str) -> Result<Self> {
        let table = TextTable::parse(text)?;
        if table.has_long_header() { long::read(&table) } else { matrix::read(&table) }
    }
}
