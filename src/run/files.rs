//! The files of a result, but for the manifest.

use crate::corrected::corrected_polar;
use crate::error::Result;
use crate::export::audit::{self, Part};
use crate::export::index::{self, Entry};
use crate::export::output_folder::OutputFolder;
use crate::export::polar_csv;
use crate::job::{Job, TableFormat, TackChoice};
use crate::region::Region;
use crate::tally::TallySet;
use crate::window::Window;

/// Writes corrected polars, audit and index.
///
/// # Errors
/// What the operating system reports; names that cannot be files.
pub(super) fn write(job: &Job, output: &OutputFolder, set: &TallySet, parts: &[Part]) -> Result<()> {
    let mut entries: Vec<(&Region, Vec<Entry>)> =
        set.regions.iter().map(|region| (&region.region, Vec::new())).collect();
    for part in parts {
        let file = polar_file(part.region, part.window, job.tacks);
        output
            .write(&file, &polar_csv::to_bytes(&corrected_polar(part.cells, job.tacks)?, &job.polar_csv)?)?;
        if let Some((_, entries)) = entries.iter_mut().find(|(region, _)| region.name == part.region) {
            entries.push(Entry { window: part.window, tacks: job.tacks, file });
        }
    }
    output.write("audit.csv", &audit::to_bytes(parts)?)?;
    if job.audit_format.as_slice().contains(&TableFormat::Parquet) {
        output.write("audit.parquet", &audit::to_parquet(parts)?)?;
    }
    output.write("index.geojson", &index::to_bytes(&entries)?)
}

/// `polars/<region>/<start>-<tacks>.csv`, the start in ISO 8601's basic form, which every file system takes.
fn polar_file(region: &str, window: Window, tacks: TackChoice) -> String {
    let tacks = serde_json::to_value(tacks).ok().and_then(|value| value.as_str().map(str::to_owned));
    let start = window.start.strftime("%Y%m%dT%H%M%SZ");
    format!("polars/{region}/{start}-{}.csv", tacks.unwrap_or_default())
}
