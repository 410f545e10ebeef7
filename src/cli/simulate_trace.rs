//! The trace of `simulate` as a file.

use roughwater::base::{Error, Result};
use roughwater::files::{parquet_table, whole_file};
use roughwater::simulate::{TRACE_COLUMNS, TraceRow};
use std::path::Path;

/// Writes a trace: Parquet where the file's name says so, else CSV.
pub(super) fn write(path: &Path, rows: &[TraceRow]) -> Result<()> {
    let parquet = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("parquet"));
    let bytes = if parquet { as_parquet(rows) } else { as_csv(rows) };
    let bytes = bytes.map_err(|error| Error::new(format!("cannot write the trace: {error}")).file(path))?;
    whole_file::write("the trace", path, &bytes)
}

fn as_csv(rows: &[TraceRow]) -> std::result::Result<Vec<u8>, String> {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    writer.write_record(TRACE_COLUMNS.map(|(name, _)| name)).map_err(|error| error.to_string())?;
    for row in rows {
        writer.write_record(row.fields()).map_err(|error| error.to_string())?;
    }
    writer.into_inner().map_err(|error| error.to_string())
}

fn as_parquet(rows: &[TraceRow]) -> std::result::Result<Vec<u8>, String> {
    let mut writer =
        parquet_table::Writer::new(Vec::new(), &TRACE_COLUMNS).map_err(|error| error.to_string())?;
    for row in rows {
        writer.write(row.fields().to_vec()).map_err(|error| error.to_string())?;
    }
    writer.finish().map_err(|error| error.to_string())
}
