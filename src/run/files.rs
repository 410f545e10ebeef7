//! The corrected polars of a result, and their index.

use crate::base::{Result, Window};
use crate::derate::corrected::corrected_polar;
use crate::derate::smoothing::smoothed;
use crate::files::TableFormat;
use crate::job::Job;
use crate::polar::{Polar, Smoothing, csv_write};
use crate::region::Region;
use crate::result::OutputFolder;
use crate::result::names;
use crate::result::{AuditPart, audit};
use crate::result::{IndexEntry, index};
use crate::run::made::{Made, parts};

/// A corrected polar, where and when it serves, and the name of its file.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct MadePolar<'a> {
    pub(super) region: &'a Region,
    pub(super) window: Window,
    /// The ensemble member, where it serves that one alone.
    pub(super) member: Option<u32>,
    pub(super) file: String,
    pub(super) polar: Polar,
}

/// The corrected polars of a job, those of single members behind the others.
///
/// # Errors
/// Cells that make no polar.
pub(super) fn polars<'a>(job: &Job, made: &Made<'a>) -> Result<Vec<MadePolar<'a>>> {
    let folders = names::region_folders(made.regions.iter().map(|region| region.region.name.as_str()));
    let of_members = made.of_members.iter();
    let of_members = of_members.flat_map(|(member, parts)| parts.iter().map(|part| (Some(*member), part)));
    let all = made.all.iter().map(|part| (None, part)).chain(of_members);
    let made = all.map(|(member, part)| {
        let (region, window, cells) = (part.region, part.window, &part.cells);
        let folder = folders.get(region.name.as_str()).map_or(region.name.as_str(), String::as_str);
        let file = names::polar(folder, window, job.tacks, member);
        let polar = match job.polar_csv.smoothing {
            Smoothing::None => corrected_polar(cells, job.tacks)?,
            Smoothing::Binomial => corrected_polar(&smoothed(cells), job.tacks)?,
        };
        Ok(MadePolar { region, window, member, file, polar })
    });
    made.collect()
}

/// The index of polars as its file holds it.
///
/// # Errors
/// When it cannot be written as JSON.
pub(super) fn index(job: &Job, made: &Made, polars: &[MadePolar]) -> Result<Vec<u8>> {
    let entries = made.regions.iter().map(|tallied| {
        let own = polars.iter().filter(|polar| polar.region.name == tallied.region.name);
        let entry = |polar: &MadePolar| IndexEntry {
            window: polar.window,
            tacks: job.tacks,
            member: polar.member,
            file: polar.file.clone(),
        };
        (&tallied.region, own.map(entry).collect())
    });
    index::to_bytes(entries.collect())
}

/// Writes audit, corrected polars and their index; of an ensemble's members, where a job wants them, too.
///
/// # Errors
/// What the operating system reports; names that cannot be files.
pub(super) fn write(
    job: &Job,
    output: &OutputFolder,
    made: &Made,
    polars: &[MadePolar],
    index: &[u8],
) -> Result<()> {
    let rows: Vec<AuditPart> = parts(&made.all).collect();
    output.write(names::AUDIT, &audit::to_bytes(TableFormat::Csv, &rows)?)?;
    if job.audit_format.as_slice().contains(&TableFormat::Parquet) {
        output.write(names::AUDIT_PARQUET, &audit::to_bytes(TableFormat::Parquet, &rows)?)?;
    }
    if !made.of_members.is_empty() {
        let rows = made.of_members.iter().flat_map(|(member, all)| parts(all).map(|part| (*member, part)));
        output.write(names::MEMBERS, &audit::members_to_bytes(&rows.collect::<Vec<_>>())?)?;
    }
    for polar in polars {
        output.write(&polar.file, &csv_write::to_bytes(&polar.polar, &job.polar_csv)?)?;
    }
    output.write(names::INDEX, index)
}
