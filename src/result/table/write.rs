//! A long table of a result, written row by row.

use crate::base::neutral::csv_field;
use crate::base::{Error, Result};
use crate::files::{Column, Kind, TableFormat, parquet_table};
use std::borrow::Cow;
use std::io::Write;

/// A table on its way into a sink. Both formats hold the same numbers, digit for digit.
pub struct TableWriter<W: Write + Send> {
    columns: Vec<Column>,
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
        Ok(Self { columns: columns.to_vec(), rows: 0, writer })
    }

    /// Adds a record with a field for every column.
    ///
    /// # Errors
    /// A number that is none, which is the program's fault; what the operating system reports.
    pub fn write(&mut self, record: Vec<String>) -> Result<()> {
        self.rows += 1;
        check_numbers(&self.columns, &record)?;
        match &mut self.writer {
            Writer::Csv(writer) => {
                let fields = self.columns.iter().zip(&record).map(|((_, kind), field)| match kind {
                    Kind::Text => csv_field(field),
                    Kind::Time | Kind::Real | Kind::Count => Cow::Borrowed(field.as_str()),
                });
                writer.write_record(fields.map(|field| field.into_owned())).map_err(failed)
            }
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

/// The first fields of a row, which tell where it belongs.
const PLACE_FIELDS: usize = 6;

/// A number is finite or its field empty: what is written is never not-a-number.
fn check_numbers(columns: &[Column], record: &[String]) -> Result<()> {
    let fields = || columns.iter().zip(record);
    let wrong = |((_, kind), field): &(&Column, &String)| {
        *kind == Kind::Real && matches!(field.as_str(), "NaN" | "inf" | "-inf")
    };
    let Some(((name, _), field)) = fields().find(wrong) else { return Ok(()) };
    let place: Vec<String> =
        fields().take(PLACE_FIELDS).map(|((name, _), field)| format!("{name} {field}")).collect();
    Err(Error::fault("a number of the result is none").at(place.join(", ")).found(format!("{name} {field}")))
}

fn failed(error: impl std::fmt::Display) -> Error {
    Error::new(format!("cannot write a table of the result: {error}"))
        .remedy("check that the disk of the output folder can be used and has space")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_that_is_none_is_our_fault_and_names_its_row() {
        let columns = [("region", Kind::Text), ("tws_kn", Kind::Real), ("p10_kn", Kind::Real)];
        for format in TableFormat::ALL {
            let mut table = TableWriter::new(format, Vec::new(), &columns).unwrap();
            table.write(["inf", "8", ""].map(str::to_owned).to_vec()).unwrap();
            let told = table.write(["a", "10", "NaN"].map(str::to_owned).to_vec()).unwrap_err().to_string();
            for words in ["region a, tws_kn 10", "p10_kn NaN", "a fault of the program"] {
                assert!(told.contains(words), "{words}: {told}");
            }
        }
    }
}
