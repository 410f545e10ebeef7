//! The corrected polars of a result, and their index.

use crate::base::Result;
use crate::derate::corrected::corrected_polar;
use crate::derate::smoothing::smoothed;
use crate::files::TableFormat;
use crate::job::Job;
use crate::polar::{Smoothing, csv_write};
use crate::region::Region;
use crate::result::OutputFolder;
use crate::result::names;
use crate::result::{AuditPart, audit};
use crate::result::{IndexEntry, index};
use crate::run::made::{Made, parts};

/// Writes audit, corrected polars and their index; of an ensemble's members, where a job wants them, too.
///
/// # Errors
/// What the operating system reports; names that cannot be files.
pub(super) fn write(job: &Job, output: &OutputFolder, made: &Made) -> Result<()> {
    let rows: Vec<AuditPart> = parts(&made.all).collect();
    output.write(names::AUDIT, &audit::to_bytes(TableFormat::Csv, &rows)?)?;
    if job.audit_format.as_slice().contains(&TableFormat::Parquet) {
        output.write(names::AUDIT_PARQUET, &audit::to_bytes(TableFormat::Parquet, &rows)?)?;
    }
    if !made.of_members.is_empty() {
        let rows = made.of_members.iter().flat_map(|(member, all)| parts(all).map(|part| (*member, part)));
        output.write(names::MEMBERS, &audit::members_to_bytes(&rows.collect::<Vec<_>>())?)?;
    }
    let mut entries: Vec<(&Region, Vec<IndexEntry>)> =
        made.regions.iter().map(|region| (&region.region, Vec::new())).collect();
    let folders = names::region_folders(made.regions.iter().map(|region| region.region.name.as_str()));
    let of_members = made.of_members.iter();
    let of_members = of_members.flat_map(|(member, parts)| parts.iter().map(|part| (Some(*member), part)));
    for (member, part) in made.all.iter().map(|part| (None, part)).chain(of_members) {
        let (region, window, cells) = (part.region, part.window, &part.cells);
        let folder = folders.get(region.name.as_str()).map_or(region.name.as_str(), String::as_str);
        let file = names::polar(folder, window, job.tacks, member);
        let polar = match job.polar_csv.smoothing {
            Smoothing::None => corrected_polar(cells, job.tacks)?,
            Smoothing::Binomial => corrected_polar(&smoothed(cells), job.tacks)?,
        };
        output.write(&file, &csv_write::to_bytes(&polar, &job.polar_csv)?)?;
        if let Some((_, entries)) = entries.iter_mut().find(|(known, _)| known.name == region.name) {
            entries.push(IndexEntry { window, tacks: job.tacks, member, file });
        }
    }
    output.write(names::INDEX, &index::to_bytes(entries)?)
}
