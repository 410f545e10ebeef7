//! A long table of a result, written to its file row by row.

use crate::base::{Error, Result};
use crate::files::{Column, TableFormat, parquet_table};
use std::fs::File;
use std::io::{BufWriter, Write};

/// A table on its way into a file. Both formats hold the same numbers, digit for digit.
pub struct Table {
    columns: &'static [Column],
    rows: u64,
    writer: Writer,
}

enum Writer {
    Csv(Box<csv::Writer<BufWriter<File>>>),
    Parquet(Box<parquet_table::Writer<BufWriter<File>>>),
}

impl Table {
    /// Begins a table.
    ///
    /// # Errors
    /// What the operating system reports.
    pub fn new(format: TableFormat, file: File, columns: &'static [Column]) -> Result<Self> {
        let file = BufWriter::new(file);
        let writer = match format {
            TableFormat::Csv => {
                let mut writer =
                    csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(file);
                writer.write_record(columns.iter().map(|(name, _)| name)).map_err(failed)?;
                Writer::Csv(Box::new(writer))
            }
            TableFormat::Parquet => {
                Writer::Parquet(Box::new(parquet_table::Writer::new(file, columns).map_err(failed)?))
            }
        };
        Ok(Self { columns, rows: 0, writer })
    }

    /// Adds a record; fields beyond the table's columns are left out.
    ///
    /// # Errors
    /// What the operating system reports.
    pub fn write(&mut self, mut record: Vec<String>) -> Result<()> {
        record.truncate(self.columns.len());
        self.rows += 1;
        match &mut self.writer {
            Writer::Csv(writer) => writer.write_record(&record).map_err(failed),
            Writer::Parquet(writer) => writer.write(record).map_err(failed),
        }
    }

    /// Ends the table; returns its number of rows.
    ///
    /// # Errors
    /// What the operating system reports.
    pub fn finish(self) -> Result<u64> {
        match self.writer {
            Writer::Csv(mut writer) => writer.flush().map_err(failed)?,
            Writer::Parquet(writer) => writer.finish().map_err(failed)?.flush().map_err(failed)?,
        }
        Ok(self.rows)
    }
}

fn failed(error: impl std::fmt::Display) -> Error {
    Error::new(format!("cannot write a table of the result: {error}"))
        .remedy("check that the disk of the output folder can be used and has space")
}
