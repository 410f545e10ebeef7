//! A long table of a result, written row by row.

use crate::base::{Error, Result};
use crate::files::{Column, TableFormat, parquet_table};
use std::io::Write;

/// A table on its way into a sink. Both formats hold the same numbers, digit for digit.
pub struct TableWriter<W: Write + Send> {
    rows: u64,
    writer: Writer<W>,
}

enum Writer<W: Write + Send> {
    Csv(Box<csv::Writer<W>>),
    Parquet(Box<parquet_table::Writer<W>>),
}

impl<W: Write + Send> TableWriter<W> {
    /// Begins a table. CSV is that of RFC 4180.
    ///
    /// # Errors
    /// What the operating system reports.
    pub fn new(format: TableFormat, sink: W, columns: &[Column]) -> Result<Self> {
        let writer = match format {
            TableFormat::Csv => {
                let mut writer =
                    csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(sink);
                writer.write_record(columns.iter().map(|(name, _)| name)).map_err(failed)?;
                Writer::Csv(Box::new(writer))
            }
            TableFormat::Parquet => {
                Writer::Parquet(Box::new(parquet_table::Writer::new(sink, columns).map_err(failed)?))
            }
        };
        Ok(Self { rows: 0, writer })
    }

    /// Adds a record with a field for every column.
    ///
    /// # Errors
    /// What the operating system reports.
    pub fn write(&mut self, record: Vec<String>) -> Result<()> {
        self.rows += 1;
        match &mut self.writer {
            Writer::Csv(writer) => writer.write_record(&record).map_err(failed),
            Writer::Parquet(writer) => writer.write(record).map_err(failed),
        }
    }

    /// Rows added so far.
    pub fn rows(&self) -> u64 {
        self.rows
    }

    /// Ends the table and gives back the sink.
    ///
    /// # Errors
    /// What the operating system reports.
    pub fn finish(self) -> Result<W> {
        let mut sink = match self.writer {
            Writer::Csv(writer) => writer.into_inner().map_err(|error| failed(error.into_error()))?,
            Writer::Parquet(writer) => writer.finish().map_err(failed)?,
        };
        sink.flush().map_err(failed)?;
        Ok(sink)
    }
}

fn failed(error: impl std::fmt::Display) -> Error {
    Error::new(format!("cannot write a table of the result: {error}"))
        .remedy("check that the disk of the output folder can be used and has space")
}
