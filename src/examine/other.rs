//! Inputs and outputs besides forecasts, boats and polars: tracks, tallies, results and their tables, own responses.

use crate::base::units::NAUTICAL_MILE_M;
use crate::base::{Error, Result};
use crate::boat::own_table_file;
use crate::files::{parquet_table, text_file};
use crate::region::track;
use crate::result::names::{INDEX, MANIFEST, REPORT};
use crate::result::{Index, Manifest, gpx};
use crate::tally::TallySet;
use geo::{Distance, Geodesic, Point};
use jiff::Timestamp;
use serde::Serialize;
use std::path::Path;

/// A track.
#[derive(Debug, Clone, Serialize)]
pub struct TrackReport {
    /// Positions.
    pub positions: usize,
    /// Length of the geodesic through them, nautical miles.
    pub length_nm: f64,
    /// Latitude and longitude of the first, degrees.
    pub from_deg: [f64; 2],
    /// Latitude and longitude of the last, degrees.
    pub to_deg: [f64; 2],
    /// First and last time, where every point has one.
    pub times: Option<[Timestamp; 2]>,
}

/// A tally.
#[derive(Debug, Clone, Serialize)]
pub struct TallyReport {
    /// Regions.
    pub regions: usize,
    /// Windows.
    pub windows: usize,
    /// Start of the first and end of the last.
    pub span: Option<[Timestamp; 2]>,
    /// Sea states.
    pub sea_states: u64,
    /// Bins.
    pub bins: usize,
    /// Forecast files that it was tallied from.
    pub forecasts: usize,
    /// Declared gaps.
    pub gaps: usize,
}

/// A result folder.
#[derive(Debug, Clone, Serialize)]
pub struct ResultReport {
    /// The regions of its index.
    pub regions: Vec<String>,
    /// Polar files that the index names.
    pub polars: usize,
    /// Of those, files that are not there.
    pub missing: Vec<String>,
    /// Start of the first and end of the last window.
    pub span: Option<[Timestamp; 2]>,
    /// Role and file of each input.
    pub inputs: Vec<[String; 2]>,
    /// Notes of the run that made it.
    pub warnings: Vec<String>,
    /// Its declared gaps.
    pub gaps: Vec<String>,
}

/// A table of a result.
#[derive(Debug, Clone, Serialize)]
pub struct TableReport {
    /// What it holds.
    pub holds: &'static str,
    /// Rows below the header.
    pub rows: usize,
    /// Its columns.
    pub columns: Vec<String>,
}

/// Own responses.
#[derive(Debug, Clone, Serialize)]
pub struct ResponsesReport {
    /// Columns of the file.
    pub columns: Vec<String>,
    /// Nodes of its grid.
    pub nodes: usize,
}

/// # Errors
/// As [`track::read`].
pub(super) fn track(path: &Path) -> Result<TrackReport> {
    let positions = track::read(path)?;
    let point = |at: usize| Point::from(positions[at]);
    let length_m: f64 =
        positions.windows(2).map(|pair| Geodesic.distance(Point::from(pair[0]), Point::from(pair[1]))).sum();
    let (first, last) = (point(0), point(positions.len() - 1));
    let timed = gpx::read(path).ok().and_then(|tracks| {
        let mut times = tracks.iter().flat_map(|track| &track.points).map(|point| point.time);
        let first = times.next()?;
        Some([first, times.next_back().unwrap_or(first)])
    });
    Ok(TrackReport {
        positions: positions.len(),
        length_nm: length_m / NAUTICAL_MILE_M,
        from_deg: [first.y(), first.x()],
        to_deg: [last.y(), last.x()],
        times: timed,
    })
}

/// # Errors
/// As [`TallySet::read`].
pub(super) fn tally(path: &Path) -> Result<TallyReport> {
    let set = TallySet::read(path)?;
    let windows = set.windows();
    let span = windows
        .first()
        .zip(windows.iter().map(|window| window.end).max())
        .map(|(first, end)| [first.start, end]);
    let parts = || set.parts().map(|(.., part)| &part.tally);
    let origin = set.origin();
    Ok(TallyReport {
        regions: set.regions.len(),
        windows: windows.len(),
        span,
        sea_states: parts().map(|tally| tally.count()).sum(),
        bins: parts().map(|tally| tally.bin_count()).sum(),
        forecasts: origin.sources.len(),
        gaps: origin.gaps.len(),
    })
}

/// # Errors
/// A folder that is no result; files of it that cannot be read.
pub(super) fn result(folder: &Path) -> Result<ResultReport> {
    if !folder.join(MANIFEST).is_file() {
        return Err(Error::new("the folder is no result")
            .file(folder)
            .found(format!("no {MANIFEST} in it"))
            .expected("a folder that derate wrote, or a file")
            .remedy("name the files in it one by one, or the folder that a job's key \"output\" names"));
    }
    let manifest = Manifest::read(folder)?;
    let index = Index::read(folder)?;
    let entries = || index.regions().iter().flat_map(|region| &region.polars);
    let missing =
        entries().filter(|entry| !index.path(entry).is_file()).map(|entry| entry.file.clone()).collect();
    let start = entries().map(|entry| entry.window.start).min();
    let span = start.zip(entries().map(|entry| entry.window.end).max()).map(|(start, end)| [start, end]);
    Ok(ResultReport {
        regions: index.regions().iter().map(|region| region.name.clone()).collect(),
        polars: entries().count(),
        missing,
        span,
        inputs: manifest
            .inputs
            .iter()
            .map(|input| [input.role.name().to_owned(), input.file.clone()])
            .collect(),
        warnings: manifest.warnings,
        gaps: manifest.gaps,
    })
}

/// What a CSV table that the program wrote holds, by its header; none for another file.
pub(super) fn table_of_result(text: &str) -> Option<TableReport> {
    let columns = text.lines().next()?.split(',').map(|name| name.trim().to_owned()).collect();
    told_by_columns(columns, text.lines().count() - 1)
}

/// The same of a Parquet table.
pub(super) fn parquet_of_result(path: &Path) -> Option<TableReport> {
    let (columns, rows) = parquet_table::outline(path)?;
    told_by_columns(columns, rows)
}

fn told_by_columns(columns: Vec<String>, rows: usize) -> Option<TableReport> {
    let has = |name: &str| columns.iter().any(|column| column == name);
    let kinds: [(&[&str], &str); 8] = [
        (
            &["window_start", "flat_kn", "member"],
            "the audit of an ensemble's members: a row for each cell, tack and member",
        ),
        (&["window_start", "flat_kn"], "the audit of a result: a row for each polar cell and tack"),
        (&["valid", "mean_factor"], "the cell audit of a result: a row for each forecast cell and time"),
        (&["time_s", "speed_kn", "surge_force_n"], "the trace of a simulation: a row for each step"),
        (&["start", "leg", "cost_h"], "passages: a row for each departure and leg"),
        (&["sea", "hs_m", "factor"], "the table of an atlas: a row for each sea, polar cell and tack"),
        (&["sea", "fetch_nm", "file"], "the index of an atlas: a row for each sea with its polar"),
        (&["a_flat_kn", "b_flat_kn"], "two boats compared: a row for each polar cell and tack"),
    ];
    let (_, holds) = kinds.into_iter().find(|(named, _)| named.iter().all(|name| has(name)))?;
    Some(TableReport { holds, rows, columns })
}

/// Whether a file is a part of a result that the folder tells more of.
pub(super) fn is_part_of_result(path: &Path) -> bool {
    path.file_name().is_some_and(|name| [MANIFEST, INDEX, REPORT].iter().any(|part| name == *part))
        && path.parent().is_some_and(|folder| folder.join(MANIFEST).is_file() && folder.join(INDEX).is_file())
}

/// # Errors
/// As [`own_table_file::read`].
pub(super) fn responses(path: &Path) -> Result<ResponsesReport> {
    own_table_file::read(path)?;
    let text = text_file::read(path)?;
    let mut lines = text.lines().filter(|line| !line.trim().is_empty() && !line.starts_with('#'));
    let columns = lines.next().unwrap_or_default().split(',').map(|name| name.trim().to_owned()).collect();
    Ok(ResponsesReport { columns, nodes: lines.count() })
}
