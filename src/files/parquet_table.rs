//! Tables in Apache Parquet: how all of them are written, and a writer for tables that have a CSV form as well.

use crate::base::guarded;
use jiff::Timestamp;
use parquet::basic::Compression;
use parquet::column::writer::ColumnWriter;
use parquet::data_type::ByteArray;
use parquet::errors::{ParquetError, Result};
use parquet::file::properties::WriterProperties;
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::parser::parse_message_type;
use std::fs::File;
use std::io::Write;
use std::path::Path;
use std::sync::Arc;

/// What the files of this program say they were made by, before the version.
pub const PROGRAM: &str = "roughwater";

/// Rows held back until they are written together.
const ROWS_PER_GROUP: usize = 1 << 16;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Text.
    Text,
    /// A time: RFC 3339 in CSV, UTC microseconds in Parquet.
    Time,
    /// A number with decimals.
    Real,
    /// A whole number.
    Count,
}

/// A column's name and what it holds.
pub type Column = (&'static str, Kind);

/// A writer of a table with a schema, compressed with snappy, which most engines read.
///
/// # Errors
/// A schema that does not parse; what the sink reports.
pub fn file_writer<W: Write + Send>(sink: W, schema: &str) -> Result<SerializedFileWriter<W>> {
    let properties = WriterProperties::builder()
        .set_compression(Compression::SNAPPY)
        .set_created_by(format!("{PROGRAM} {}", env!("CARGO_PKG_VERSION")))
        .build();
    SerializedFileWriter::new(sink, Arc::new(parse_message_type(schema)?), Arc::new(properties))
}

/// Writes records as they stand in CSV, a group of rows at a time: numbers are those of the CSV, an empty field is null.
pub struct Writer<W: Write + Send> {
    inner: SerializedFileWriter<W>,
    columns: Vec<Column>,
    rows: Vec<Vec<String>>,
}

impl<W: Write + Send> Writer<W> {
    /// Begins a table.
    ///
    /// # Errors
    /// As [`file_writer`].
    pub fn new(sink: W, columns: &[Column]) -> Result<Self> {
        let field = |(name, kind): &Column| match kind {
            Kind::Text => format!("optional binary {name} (string);"),
            Kind::Time => format!("optional int64 {name} (timestamp(micros,true));"),
            Kind::Real => format!("optional double {name};"),
            Kind::Count => format!("optional int64 {name};"),
        };
        let fields: String = columns.iter().map(field).collect();
        let inner = file_writer(sink, &format!("message table {{ {fields} }}"))?;
        Ok(Self { inner, columns: columns.to_vec(), rows: Vec::new() })
    }

    /// Adds a record with a field for every column.
    ///
    /// # Errors
    /// A field that is not what its column holds; what the sink reports.
    pub fn write(&mut self, record: Vec<String>) -> Result<()> {
        self.rows.push(record);
        if self.rows.len() >= ROWS_PER_GROUP { self.flush() } else { Ok(()) }
    }

    /// Ends the table and gives back the sink.
    ///
    /// # Errors
    /// As [`Writer::write`].
    pub fn finish(mut self) -> Result<W> {
        self.flush()?;
        self.inner.into_inner()
    }

    fn flush(&mut self) -> Result<()> {
        if self.rows.is_empty() {
            return Ok(());
        }
        let mut group = self.inner.next_row_group()?;
        let mut index = 0;
        while let Some(mut column) = group.next_column()? {
            let fields = self.rows.iter().map(|row| row.get(index).map_or("", String::as_str));
            write_column(column.untyped(), self.columns[index], fields)?;
            column.close()?;
            index += 1;
        }
        group.close()?;
        self.rows.clear();
        Ok(())
    }
}

/// The names of a table's columns, and the number of its rows; none for a file that is no Parquet table.
pub fn outline(path: &Path) -> Option<(Vec<String>, usize)> {
    let file = File::open(path).ok()?;
    // the library takes damaged lengths at their word
    let reader = guarded(|| SerializedFileReader::new(file).ok()).flatten()?;
    let metadata = reader.metadata().file_metadata();
    let columns = metadata.schema_descr().columns().iter().map(|column| column.name().to_owned()).collect();
    Some((columns, usize::try_from(metadata.num_rows()).ok()?))
}

fn write_column<'a>(
    column: &mut ColumnWriter,
    (name, kind): Column,
    fields: impl Iterator<Item = &'a str> + Clone,
) -> Result<()> {
    let there: Vec<i16> = fields.clone().map(|field| i16::from(!field.is_empty())).collect();
    let values = fields.filter(|field| !field.is_empty());
    let wrong = |field: &str| ParquetError::General(format!("column {name}: \"{field}\" is not a {kind:?}"));
    match column {
        ColumnWriter::ByteArrayColumnWriter(column) => {
            column.write_batch(&values.map(ByteArray::from).collect::<Vec<_>>(), Some(&there), None)?;
        }
        ColumnWriter::Int64ColumnWriter(column) => {
            let whole = |field: &str| match kind {
                Kind::Time => {
                    field.parse::<Timestamp>().map(|time| time.as_microsecond()).map_err(|_| wrong(field))
                }
                _ => field.parse::<i64>().map_err(|_| wrong(field)),
            };
            column.write_batch(&values.map(whole).collect::<Result<Vec<_>>>()?, Some(&there), None)?;
        }
        ColumnWriter::DoubleColumnWriter(column) => {
            let real = |field: &str| field.parse::<f64>().map_err(|_| wrong(field));
            column.write_batch(&values.map(real).collect::<Result<Vec<_>>>()?, Some(&there), None)?;
        }
        _ => {}
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use parquet::record::Field;

    const COLUMNS: &[Column] =
        &[("name", Kind::Text), ("at", Kind::Time), ("x", Kind::Real), ("n", Kind::Count)];

    fn record(fields: [&str; 4]) -> Vec<String> {
        fields.map(str::to_owned).to_vec()
    }

    /// 2030-03-01T00:00:00Z is 1 898 553 600 s after 1970 (`date -u -d 2030-03-01 +%s`).
    #[test]
    fn records_come_back_as_they_went_in() {
        let mut writer = Writer::new(Vec::new(), COLUMNS).unwrap();
        writer.write(record(["a;b", "2030-03-01T00:00:00Z", "-1.25", "7"])).unwrap();
        writer.write(record(["", "", "", ""])).unwrap();
        let bytes = writer.finish().unwrap();
        let file = tempfile::NamedTempFile::new().unwrap();
        std::fs::write(file.path(), bytes).unwrap();
        let reader = SerializedFileReader::new(std::fs::File::open(file.path()).unwrap()).unwrap();
        let rows: Vec<Vec<Field>> = reader
            .get_row_iter(None)
            .unwrap()
            .map(|row| row.unwrap().into_columns().into_iter().map(|(_, field)| field).collect())
            .collect();
        let first = [
            Field::Str("a;b".into()),
            Field::TimestampMicros(1_898_553_600_000_000),
            Field::Double(-1.25),
            Field::Long(7),
        ];
        assert_eq!(rows, [first.to_vec(), vec![Field::Null; 4]]);
    }

    #[test]
    fn a_field_of_another_kind_is_refused() {
        let mut writer = Writer::new(Vec::new(), COLUMNS).unwrap();
        writer.write(record(["a", "2030-03-01T00:00:00Z", "1,25", "7"])).unwrap();
        assert!(writer.finish().unwrap_err().to_string().contains("column x"));
    }
}
