//! Printing: text, tables, JSON and CSV on standard output.

use crate::cli::width;
use roughwater::base::{Error, Result};
use std::io::Write;

/// What a text for reading ends with.
pub(super) const PLANNING_AID: &str = "A planning aid: the skipper, official forecasts and the rules decide.";

/// Prints to standard output; a reader that has gone away is no failure.
pub(super) fn print(text: &str) -> Result<()> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Error::new(format!("cannot write to standard output: {error}")))
        }
        _ => Ok(()),
    }
}

/// Prints a value as JSON.
pub(super) fn print_json(value: &impl serde::Serialize) -> Result<()> {
    let text = serde_json::to_string_pretty(value)
        .map_err(|error| Error::new(format!("cannot write the answer as JSON: {error}")))?;
    print(&(text + "\n"))
}

/// Prints a header and records as CSV.
pub(super) fn print_csv<R, F>(
    end_of_line: csv::Terminator,
    header: &[impl AsRef<[u8]>],
    records: impl IntoIterator<Item = R>,
) -> Result<()>
where
    R: IntoIterator<Item = F>,
    F: AsRef<[u8]>,
{
    let failed = |error: csv::Error| Error::new(format!("cannot write the answer as CSV: {error}"));
    let mut writer = csv::WriterBuilder::new().terminator(end_of_line).from_writer(Vec::new());
    writer.write_record(header).map_err(failed)?;
    for record in records {
        writer.write_record(record).map_err(failed)?;
    }
    let bytes = writer.into_inner().map_err(|error| failed(error.into_error().into()))?;
    print(&String::from_utf8_lossy(&bytes))
}

/// A table without rules under a header; on a terminal its cells are wrapped by words to fit.
pub(super) fn plain_table(header: impl Into<comfy_table::Row>) -> comfy_table::Table {
    let mut table = comfy_table::Table::new();
    table.load_style(comfy_table::presets::NOTHING).set_header(header);
    if let Some(columns) = width::told().and_then(|columns| u16::try_from(columns).ok()) {
        table.set_content_arrangement(comfy_table::ContentArrangement::Dynamic).set_width(columns);
    }
    table
}
