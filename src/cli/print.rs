//! Printing: text, tables, JSON and CSV on standard output.

use roughwater::base::neutral::{csv_field, shown, shown_json};
use roughwater::base::{Error, Result};
use std::io::Write;
use std::path::Path;

/// What a text for reading ends with.
pub(super) const PLANNING_AID: &str = "A planning aid: the skipper, official forecasts and the rules decide.";

/// Prints to standard output, with characters that would act on a terminal written out; a reader that has gone away is no failure.
pub(super) fn print(text: &str) -> Result<()> {
    print_bytes(shown(text).as_bytes())
}

fn print_bytes(bytes: &[u8]) -> Result<()> {
    let mut out = std::io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Error::new(format!("cannot write to standard output: {error}")))
        }
        _ => Ok(()),
    }
}

/// Says something on standard error; one that is full or gone is no failure.
pub(super) fn tell(text: &str) {
    let _ = writeln!(std::io::stderr(), "{}", shown(text));
}

/// The error of an answer that could not be printed, when what it tells of had been written.
pub(super) fn but_written(error: Error, what: &str, place: &Path) -> Error {
    error.remedy(format!("{what} is whole in {}", place.display()))
}

/// Prints a value as JSON.
pub(super) fn print_json(value: &impl serde::Serialize) -> Result<()> {
    let text = serde_json::to_string_pretty(value)
        .map_err(|error| Error::new(format!("cannot write the answer as JSON: {error}")))?;
    print_bytes(format!("{}\n", shown_json(&text)).as_bytes())
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
        for field in record {
            // names come from files
            writer
                .write_field(csv_field(&String::from_utf8_lossy(field.as_ref())).as_bytes())
                .map_err(failed)?;
        }
        writer.write_record(None::<&[u8]>).map_err(failed)?;
    }
    let bytes = writer.into_inner().map_err(|error| failed(error.into_error().into()))?;
    print_bytes(&bytes)
}

/// A table without rules under a header.
pub(super) fn plain_table(header: impl Into<comfy_table::Row>) -> comfy_table::Table {
    let mut table = comfy_table::Table::new();
    table.load_style(comfy_table::presets::NOTHING).set_header(header);
    table
}
