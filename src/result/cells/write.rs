//! Writes the cell audit.

use crate::base::Result;
use crate::files::{Column, TableFormat};
use crate::result::cells::columns::{COLUMNS, CellColumn, MEMBER};
use crate::result::table::write::TableWriter;
use crate::survey::CellRow;
use std::fs::File;
use std::io::BufWriter;

/// A cell audit on its way into a file.
pub struct CellsWriter {
    columns: Vec<CellColumn>,
    table: TableWriter<BufWriter<File>>,
}

impl CellsWriter {
    /// Begins a cell audit; that of an ensemble names members.
    ///
    /// # Errors
    /// What the operating system reports.
    pub fn new(format: TableFormat, file: File, ensemble: bool) -> Result<Self> {
        let member = ensemble.then_some(MEMBER);
        let columns: Vec<CellColumn> = COLUMNS.iter().copied().chain(member).collect();
        let heads: Vec<Column> = columns.iter().map(CellColumn::head).collect();
        Ok(Self { columns, table: TableWriter::new(format, BufWriter::new(file), &heads)? })
    }

    /// Adds a row. Fields without a value are empty: a wind outside the flat polar has no factor, a flat sea no period.
    ///
    /// # Errors
    /// What the operating system reports.
    pub fn write(&mut self, row: &CellRow) -> Result<()> {
        self.table.write(self.columns.iter().map(|column| (column.field)(row)).collect())
    }

    /// Ends the cell audit; returns its number of rows.
    ///
    /// # Errors
    /// What the operating system reports.
    pub fn finish(self) -> Result<u64> {
        let rows = self.table.rows();
        self.table.finish()?;
        Ok(rows)
    }
}
