//! A long table of a result, read from CSV: columns are found by name.

use crate::base::neutral::of_csv_field;
use crate::base::{Error, Result};
use crate::result::table::column::TableColumn;
use csv::StringRecord;
use jiff::Timestamp;
use std::fs::File;
use std::io::BufReader;
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};

/// A table being read.
pub struct TableReader {
    what: &'static str,
    path: PathBuf,
    reader: csv::Reader<BufReader<File>>,
    columns: Vec<String>,
}

impl TableReader {
    /// Opens a table; `what` it is stands in errors.
    ///
    /// # Errors
    /// A file that cannot be read; a first line that is not CSV.
    pub fn open(what: &'static str, path: &Path) -> Result<Self> {
        let file = File::open(path).map_err(|error| Error::io(&format!("read {what}"), path, &error))?;
        let mut reader = csv::Reader::from_reader(BufReader::new(file));
        let columns = reader.headers().map_err(|error| not_csv(what, path, &error))?;
        let columns = columns.iter().map(str::to_owned).collect();
        Ok(Self { what, path: path.to_owned(), reader, columns })
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The names of the columns, in the order of the file.
    pub fn columns(&self) -> &[String] {
        &self.columns
    }

    /// Where a column stands.
    ///
    /// # Errors
    /// As [`TableReader::place_of`].
    pub fn place<F>(&self, column: &TableColumn<F>) -> Result<usize> {
        self.place_of(column.name)
    }

    /// Where the column of a name stands.
    ///
    /// # Errors
    /// No such column.
    pub fn place_of(&self, name: &str) -> Result<usize> {
        self.columns.iter().position(|known| known == name).ok_or_else(|| {
            Error::new(format!("{} lacks a column", self.what))
                .file(&self.path)
                .at("line 1")
                .found(self.columns.join(","))
                .expected(format!("a column \"{name}\""))
                .remedy("make the result again with derate")
        })
    }

    /// The next row, if there is one.
    ///
    /// # Errors
    /// A row that is not CSV or has another number of fields.
    pub fn next_row(&mut self) -> Result<Option<StringRecord>> {
        let mut record = StringRecord::new();
        let more =
            self.reader.read_record(&mut record).map_err(|error| not_csv(self.what, &self.path, &error))?;
        // what was put behind an apostrophe for spreadsheets
        if record.iter().any(|field| of_csv_field(field) != field) {
            let place = record.position().cloned();
            record = record.iter().map(of_csv_field).collect();
            record.set_position(place);
        }
        Ok(more.then_some(record))
    }

    /// A time.
    ///
    /// # Errors
    /// A field that is none; names line and column.
    pub fn time(&self, row: &StringRecord, place: usize) -> Result<Timestamp> {
        row[place].parse().map_err(|_| self.unreadable(row, place, "a time such as 2030-03-01T06:00:00Z"))
    }

    /// A finite number, or none where the field is empty.
    ///
    /// # Errors
    /// A field that is neither; names line and column.
    pub fn optional_number(&self, row: &StringRecord, place: usize) -> Result<Option<f64>> {
        if row[place].is_empty() { Ok(None) } else { self.number(row, place).map(Some) }
    }

    /// A finite number.
    ///
    /// # Errors
    /// As [`TableReader::optional_number`]; an empty field.
    pub fn number(&self, row: &StringRecord, place: usize) -> Result<f64> {
        let number = row[place].parse().ok().filter(|number: &f64| number.is_finite());
        number.ok_or_else(|| self.unreadable(row, place, "a number with a decimal point"))
    }

    /// The number of a field, within a range.
    ///
    /// # Errors
    /// A field that is empty, no number, or outside the range; names line and column.
    pub fn number_within(&self, row: &StringRecord, place: usize, range: RangeInclusive<f64>) -> Result<f64> {
        let number = self.number(row, place)?;
        if range.contains(&number) {
            return Ok(number);
        }
        Err(self.unreadable(row, place, &format!("a number from {} to {}", range.start(), range.end())))
    }

    fn unreadable(&self, row: &StringRecord, place: usize, expected: &str) -> Error {
        // csv counts a CRLF file's line before it has seen the LF; a record is one line, names hold no line ends
        let line = row.position().map_or(0, |position| position.record() + 1);
        Error::new(format!("a field of {} cannot be read", self.what))
            .file(&self.path)
            .at(format!("line {line}, column {}", self.columns[place]))
            .found(format!("\"{}\"", &row[place]))
            .expected(expected)
            .remedy("make the result again with derate; a spreadsheet may have changed the file")
    }
}

fn not_csv(what: &str, path: &Path, error: &csv::Error) -> Error {
    Error::new(format!("{what} cannot be read as CSV"))
        .file(path)
        .found(error)
        .expected("rows of equal length, in UTF-8")
        .remedy("make the result again with derate")
}
