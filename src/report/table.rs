//! A CSV table of a result, whose columns are found by name.

use crate::base::{Error, Result};
use csv::StringRecord;
use serde::{Serialize, Serializer};
use serde_json::{Value, json};
use std::fs::File;
use std::io::BufReader;
use std::path::{Path, PathBuf};

/// A table being read.
pub(super) struct Table {
    path: PathBuf,
    reader: csv::Reader<BufReader<File>>,
    columns: Vec<String>,
}

impl Table {
    /// Opens a table.
    ///
    /// # Errors
    /// A file that cannot be read; a first line that is not CSV.
    pub(super) fn open(path: &Path) -> Result<Self> {
        let file = File::open(path).map_err(|error| Error::io("read the file", path, &error))?;
        let mut reader = csv::Reader::from_reader(BufReader::new(file));
        let columns = reader.headers().map_err(|error| not_csv(path, &error))?;
        let columns = columns.iter().map(str::to_owned).collect();
        Ok(Self { path: path.to_owned(), reader, columns })
    }

    /// The names of the columns.
    pub(super) fn columns(&self) -> &[String] {
        &self.columns
    }

    /// Where a column stands.
    ///
    /// # Errors
    /// No such column.
    pub(super) fn place(&self, column: &str) -> Result<usize> {
        self.columns.iter().position(|name| name == column).ok_or_else(|| {
            Error::new("the table lacks a column")
                .file(&self.path)
                .at("line 1")
                .expected(column)
                .remedy("make the result again with derate")
        })
    }

    /// The next row, if there is one.
    ///
    /// # Errors
    /// A row that is not CSV or has another number of fields.
    pub(super) fn next(&mut self) -> Result<Option<StringRecord>> {
        let mut record = StringRecord::new();
        let more = self.reader.read_record(&mut record).map_err(|error| not_csv(&self.path, &error))?;
        Ok(more.then_some(record))
    }

    /// A field as a value, or none where it is empty.
    ///
    /// # Errors
    /// A field that is no such value; names line and column.
    pub(super) fn value<T: std::str::FromStr>(&self, row: &StringRecord, place: usize) -> Result<Option<T>> {
        let text = &row[place];
        if text.is_empty() {
            return Ok(None);
        }
        text.parse().map(Some).map_err(|_| self.unreadable(row, place))
    }

    /// A finite number, or none where the field is empty.
    ///
    /// # Errors
    /// As [`Table::value`].
    pub(super) fn number(&self, row: &StringRecord, place: usize) -> Result<Option<f64>> {
        let number: Option<f64> = self.value(row, place)?;
        if number.is_none_or(f64::is_finite) { Ok(number) } else { Err(self.unreadable(row, place)) }
    }

    /// The error of a field that cannot be read.
    pub(super) fn unreadable(&self, row: &StringRecord, place: usize) -> Error {
        let record = row.position().map_or(0, |position| position.record() + 1);
        Error::new("a field of the result cannot be read")
            .file(&self.path)
            .at(format!("line {record}, column {}", self.columns[place]))
            .found(format!("\"{}\"", &row[place]))
            .expected("what derate writes there")
            .remedy("make the result again with derate; a spreadsheet may have changed the file")
    }
}

fn not_csv(path: &Path, error: &csv::Error) -> Error {
    Error::new("the file cannot be read as CSV")
        .file(path)
        .found(error)
        .expected("rows of equal length, in UTF-8")
        .remedy("make the result again with derate")
}

/// A number that is written without a decimal point where it is whole.
#[derive(Debug, Clone, Copy)]
pub(super) struct Short(pub f64);

impl Serialize for Short {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        if self.0.fract() == 0.0 && self.0.abs() < 1e15 {
            serializer.serialize_i64(self.0 as i64)
        } else {
            serializer.serialize_f64(self.0)
        }
    }
}

/// A number as JSON, rounded to decimals.
pub(super) fn rounded(number: f64, decimals: i32) -> Value {
    let scale = 10_f64.powi(decimals);
    json!(Short((number * scale).round() / scale))
}
