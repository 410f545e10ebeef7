//! The corrected polars of a result, and their index.

use crate::corrected::corrected_polar;
use crate::error::Result;
use crate::export::index::{self, Entry};
use crate::export::output_folder::OutputFolder;
use crate::export::polar_csv;
use crate::job::polar_csv::Smoothing;
use crate::job::{Job, TackChoice};
use crate::region::Region;
use crate::smoothing::smoothed;
use crate::split::Derated;
use crate::window::Window;

/// Writes corrected polars and their index; of an ensemble's members, where a job wants them, too.
///
/// # Errors
/// What the operating system reports; names that cannot be files.
pub(super) fn write(
    job: &Job,
    output: &OutputFolder,
    derated: &[Derated],
    of_members: &[(u32, Vec<Derated>)],
) -> Result<()> {
    let mut entries: Vec<(&Region, Vec<Entry>)> = Vec::new();
    let of_members =
        of_members.iter().flat_map(|(member, parts)| parts.iter().map(|part| (Some(*member), part)));
    for (member, (region, window, _, cells)) in derated.iter().map(|part| (None, part)).chain(of_members) {
        let file = polar_file(&region.name, *window, job.tacks, member);
        let polar = match job.polar_csv.smoothing {
            Smoothing::None => corrected_polar(cells, job.tacks)?,
            Smoothing::Binomial => corrected_polar(&smoothed(cells), job.tacks)?,
        };
        output.write(&file, &polar_csv::to_bytes(&polar, &job.polar_csv)?)?;
        let entry = Entry { window: *window, tacks: job.tacks, member, file };
        match entries.iter_mut().find(|(known, _)| known.name == region.name) {
            Some((_, entries)) => entries.push(entry),
            None => entries.push((*region, vec![entry])),
        }
    }
    output.write("index.geojson", &index::to_bytes(&entries)?)
}

/// `polars/<region>/<start>-<tacks>.csv`, the start in ISO 8601's basic form, which every file system takes; of a
/// member, `-member-NN` before the ending.
fn polar_file(region: &str, window: Window, tacks: TackChoice, member: Option<u32>) -> String {
    let tacks = serde_json::to_value(tacks).ok().and_then(|value| value.as_str().map(str::to_owned));
    let start = window.start.strftime("%Y%m%dT%H%M%SZ");
    let member = member.map(|member| format!("-member-{member:02}")).unwrap_or_default();
    format!("polars/{region}/{start}-{}{member}.csv", tacks.unwrap_or_default())
}
