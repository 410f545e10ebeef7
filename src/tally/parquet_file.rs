//! Rows of tallies in Apache Parquet.

use crate::base::Window;
use crate::base::{Error, Result, guarded};
use crate::files::parquet_table::{PROGRAM, file_writer};
use crate::sea::MAX_PARTITIONS;
use crate::tally::rows::TallyRow;
use crate::tally::set::{Origin, TallySet};
use crate::tally::sums::SystemSums;
use crate::tally::{checksum, rows};
use jiff::Timestamp;
use parquet::column::writer::ColumnWriter;
use parquet::data_type::ByteArray;
use parquet::file::metadata::{FileMetaData, KeyValue, ParquetMetaData};
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::Field;
use std::collections::BTreeMap;
use std::fs::File;
use std::path::Path;

/// The columns that rows are grouped by.
pub const KEY_COLUMNS: [&str; 5] = ["region", "window_start", "window_end", "kind", "bin"];
/// The first columns that are summed; four for each wave system follow.
const SUM_COLUMNS: [&str; 3] = ["weight", "count", "weight_tws"];
/// The checksum of the rows, among the key-values of the footer. A file that another program wrote has none, whatever it
/// copied from ours: its rows are others.
const CHECKSUM: &str = "roughwater.rows.sha256";
/// The sums of one wave system.
const SYSTEM_COLUMNS: [&str; 4] = ["hs2", "hs2_tp", "hs2_cos", "hs2_sin"];

/// The name of a wave system's column, such as `s1_hs2`.
fn system_column(slot: usize, name: &str) -> String {
    format!("s{}_{name}", slot + 1)
}

impl TallySet {
    /// The set as a Parquet file.
    ///
    /// # Errors
    /// When the file cannot be made.
    pub fn to_parquet(&self) -> Result<Vec<u8>> {
        let rows = rows::of(self)?;
        to_bytes(&rows).map_err(|error| Error::new(format!("cannot write the tally as Parquet: {error}")))
    }

    /// Reads a set from a Parquet file: one written by [`TallySet::to_parquet`], or such files merged by anything that
    /// groups and sums.
    ///
    /// # Errors
    /// A file that is not such a table; tallies that don't belong together.
    pub fn read(path: &Path) -> Result<Self> {
        let file = File::open(path).map_err(|error| Error::io("open the tally", path, &error))?;
        // the crate panics on some damage
        let rows = guarded(|| read_rows(file)).unwrap_or_else(|| Err(unread("data without sense")));
        let read = rows.and_then(|(rows, maker)| {
            let mut set = rows::to_set(&rows)?;
            if let Some(maker) = maker {
                let told = format!(
                    "the tally {} carries no checksum, damage to it may pass unnoticed: it was written by {maker}",
                    path.display()
                );
                set.add_origin(&Origin { warnings: [told].into(), ..Origin::default() });
            }
            Ok(set)
        });
        read.map_err(|error| error.file(path))
    }
}

fn schema_text() -> String {
    let systems = (0..MAX_PARTITIONS).flat_map(|slot| {
        SYSTEM_COLUMNS.map(|name| format!("required double {};", system_column(slot, name)))
    });
    let head = "required binary region (string); required int64 window_start (timestamp(micros,true)); \
        required int64 window_end (timestamp(micros,true)); required binary kind (string); \
        required binary bin (string); required double weight; required int64 count; required double weight_tws;";
    format!("message tally {{ {head} {} }}", systems.collect::<String>())
}

fn to_bytes(rows: &[TallyRow]) -> parquet::errors::Result<Vec<u8>> {
    let mut writer = file_writer(Vec::new(), &schema_text())?;
    writer.append_key_value_metadata(KeyValue::new(CHECKSUM.to_owned(), checksum::of(rows)));
    let mut group = writer.next_row_group()?;
    let mut index = 0;
    while let Some(mut column) = group.next_column()? {
        write_column(column.untyped(), index, rows)?;
        column.close()?;
        index += 1;
    }
    group.close()?;
    writer.into_inner()
}

fn write_column(column: &mut ColumnWriter, index: usize, rows: &[TallyRow]) -> parquet::errors::Result<()> {
    let text = |row: &TallyRow| match index {
        0 => ByteArray::from(row.region.as_str()),
        3 => ByteArray::from(row.kind.as_str()),
        _ => ByteArray::from(row.bin.as_str()),
    };
    let whole = |row: &TallyRow| match index {
        1 => row.window.start.as_microsecond(),
        2 => row.window.end.as_microsecond(),
        _ => i64::try_from(row.count).unwrap_or(i64::MAX),
    };
    let real = |row: &TallyRow| match index.checked_sub(KEY_COLUMNS.len() + SUM_COLUMNS.len()) {
        None if index == KEY_COLUMNS.len() => row.weight,
        None => row.tws,
        Some(at) => system_sums(&row.systems[at / SYSTEM_COLUMNS.len()])[at % SYSTEM_COLUMNS.len()],
    };
    match column {
        ColumnWriter::ByteArrayColumnWriter(column) => {
            column.write_batch(&rows.iter().map(text).collect::<Vec<_>>(), None, None)?;
        }
        ColumnWriter::Int64ColumnWriter(column) => {
            column.write_batch(&rows.iter().map(whole).collect::<Vec<_>>(), None, None)?;
        }
        ColumnWriter::DoubleColumnWriter(column) => {
            column.write_batch(&rows.iter().map(real).collect::<Vec<_>>(), None, None)?;
        }
        _ => {}
    }
    Ok(())
}

fn system_sums(sums: &SystemSums) -> [f64; 4] {
    [sums.hs2, sums.hs2_tp, sums.hs2_cos, sums.hs2_sin]
}

fn unread(found: impl std::fmt::Display) -> Error {
    let found = found.to_string();
    let remedy = match found.contains("Disabled feature") {
        true => "write it with the compression snappy, or with none",
        false => "write it anew",
    };
    Error::new("the tally is not a Parquet file that can be read")
        .found(found)
        .expected("a whole Parquet file, compressed with snappy or not at all")
        .remedy(remedy)
}

/// What the footer claims of sizes, before anything is read or allocated for it.
fn check_claims(footer: &ParquetMetaData, file_bytes: u64) -> Result<()> {
    for (number, group) in footer.row_groups().iter().enumerate() {
        for column in group.columns() {
            let name = column.column_path().string();
            let place = |error: Error| error.at(format!("row group {}, column {name}", number + 1));
            let start = column.dictionary_page_offset().unwrap_or(column.data_page_offset());
            let end = start.checked_add(column.compressed_size()).filter(|_| column.compressed_size() >= 0);
            let inside = end.and_then(|end| u64::try_from(end).ok()).is_some_and(|end| end <= file_bytes);
            if start < 0 || !inside {
                let found = format!("{} bytes from {start}, of {file_bytes}", column.compressed_size());
                return Err(place(unread(found)));
            }
            if column.num_values() != group.num_rows() {
                let found = format!("{} values in {} rows", column.num_values(), group.num_rows());
                return Err(place(unread(found)));
            }
        }
    }
    Ok(())
}

/// The rows, and the program that wrote them without a checksum, if another did.
fn read_rows(file: File) -> Result<(Vec<TallyRow>, Option<String>)> {
    let file_bytes = file.metadata().map_err(unread)?.len();
    let reader = SerializedFileReader::new(file).map_err(unread)?;
    check_claims(reader.metadata(), file_bytes)?;
    let mut rows = Vec::new();
    for (number, row) in reader.get_row_iter(None).map_err(unread)?.enumerate() {
        let fields: BTreeMap<String, Field> = row.map_err(unread)?.into_columns().into_iter().collect();
        rows.push(read_row(&fields).map_err(|error| error.at(format!("row {}", number + 1)))?);
    }
    let maker = check_sum(reader.metadata().file_metadata(), &rows)?;
    Ok((rows, maker))
}

/// The program that wrote the file, where it is another, which left no checksum.
///
/// # Errors
/// A file of this program whose rows are not those it wrote.
fn check_sum(footer: &FileMetaData, rows: &[TallyRow]) -> Result<Option<String>> {
    let maker = footer.created_by().unwrap_or("an unnamed program");
    if !maker.starts_with(PROGRAM) {
        return Ok(Some(maker.to_owned()));
    }
    let entries = footer.key_value_metadata().into_iter().flatten();
    let written = entries.filter(|entry| entry.key == CHECKSUM).find_map(|entry| entry.value.as_deref());
    let found = checksum::of(rows);
    if written == Some(found.as_str()) {
        return Ok(None);
    }
    Err(Error::new("the tally is damaged: its rows are not those that were written")
        .found(format!("rows with the SHA-256 {found}"))
        .expected(written.unwrap_or("a checksum in the footer").to_owned())
        .remedy("copy it again from where it was made, or write it anew"))
}

fn read_row(fields: &BTreeMap<String, Field>) -> Result<TallyRow> {
    let mut systems = [SystemSums::default(); MAX_PARTITIONS];
    for (slot, sums) in systems.iter_mut().enumerate() {
        let [hs2, hs2_tp, hs2_cos, hs2_sin] = SYSTEM_COLUMNS;
        let of = |name| real(fields, &system_column(slot, name));
        *sums =
            SystemSums { hs2: of(hs2)?, hs2_tp: of(hs2_tp)?, hs2_cos: of(hs2_cos)?, hs2_sin: of(hs2_sin)? };
    }
    let [region, start, end, kind, bin] = KEY_COLUMNS;
    let [weight, count, weight_tws] = SUM_COLUMNS;
    let window = Window { start: time(fields, start)?, end: time(fields, end)? };
    if window.start >= window.end {
        return Err(
            Error::new("a window ends before it begins").found(format!("{} to {}", window.start, window.end))
        );
    }
    Ok(TallyRow {
        region: text(fields, region)?,
        window,
        kind: text(fields, kind)?,
        bin: text(fields, bin)?,
        weight: real(fields, weight)?,
        count: counted(fields, count)?,
        tws: real(fields, weight_tws)?,
        systems,
    })
}

fn text(fields: &BTreeMap<String, Field>, name: &str) -> Result<String> {
    match fields.get(name) {
        Some(Field::Str(text)) => Ok(text.clone()),
        other => Err(wrong(name, other, "text")),
    }
}

fn time(fields: &BTreeMap<String, Field>, name: &str) -> Result<Timestamp> {
    let field = fields.get(name);
    let time = match field {
        Some(Field::TimestampMicros(micros)) => Timestamp::from_microsecond(*micros),
        Some(Field::TimestampMillis(millis)) => Timestamp::from_millisecond(*millis),
        other => return Err(wrong(name, other, "a time in micro- or milliseconds")),
    };
    time.map_err(|_| wrong(name, field, "a time within the calendar"))
}

fn real(fields: &BTreeMap<String, Field>, name: &str) -> Result<f64> {
    match fields.get(name) {
        Some(Field::Double(value)) if value.is_finite() => Ok(*value),
        other => Err(wrong(name, other, "a finite number (double)")),
    }
}

/// Some engines sum whole numbers as wider or floating ones.
fn counted(fields: &BTreeMap<String, Field>, name: &str) -> Result<u64> {
    const LARGEST: f64 = 9_007_199_254_740_992.0;
    let field = fields.get(name);
    let value = match field {
        Some(Field::Long(value)) => u64::try_from(*value).ok(),
        Some(Field::Int(value)) => u64::try_from(*value).ok(),
        Some(Field::ULong(value)) => Some(*value),
        Some(Field::Double(value)) if *value >= 0.0 && *value < LARGEST && value.fract() == 0.0 => {
            Some(*value as u64)
        }
        _ => None,
    };
    value.ok_or_else(|| wrong(name, field, "a whole number, 0 or more"))
}

fn wrong(name: &str, found: Option<&Field>, expected: &str) -> Error {
    Error::new(format!("the column `{name}` of a tally is missing or of another kind"))
        .found(found.map_or("no such column".to_owned(), |field| field.to_string()))
        .expected(expected.to_owned())
        .remedy("keep all columns with their names and types when tallies are merged")
}
