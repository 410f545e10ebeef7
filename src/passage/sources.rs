//! From a job or a result to what a passage is sailed by. Every file is checked against the result's manifest: polars
//! and wind of different forecasts would give a time that belongs to neither.

use crate::base::{Error, Result};
use crate::files::FileDigest;
use crate::job::{JobFile, Seas};
use crate::passage::chart::Chart;
use crate::polar::Polar;
use crate::result::names::MANIFEST;
use crate::result::{InputRole, Manifest};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// What a passage is sailed by, its forecast not yet opened.
#[derive(Debug, Clone, PartialEq)]
pub struct Sources {
    /// The flat polar.
    pub flat: Polar,
    /// The corrected polars.
    pub chart: Chart,
    /// The forecast files.
    pub forecast: Vec<PathBuf>,
}

/// Which corrected speeds are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SpeedSource {
    /// The polar files that the index names, as a router would.
    #[default]
    Polars,
    /// The cells of both tacks in the audit.
    Audit,
}

/// Files named in place of those of the job or the manifest; they must be the same files.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FileOverrides {
    /// The flat polar.
    pub polar: Option<PathBuf>,
    /// The forecast files.
    pub forecast: Vec<PathBuf>,
}

/// Where files are looked for.
struct SearchPlaces {
    result: PathBuf,
    polar: Option<PathBuf>,
    forecast: Vec<PathBuf>,
}

impl Sources {
    /// Opens a result folder, or the result of a job file.
    ///
    /// # Errors
    /// No result; files that are not there or not those the result was made from.
    pub fn open(job_or_result: &Path, tables: SpeedSource, over: FileOverrides) -> Result<Self> {
        let mut places = places(job_or_result)?;
        places.polar = over.polar.or(places.polar);
        if !over.forecast.is_empty() {
            places.forecast = over.forecast;
        }
        let manifest = Manifest::read(&places.result)?;
        let told = |error: Error| error.file(&places.result.join(MANIFEST));
        let polar = polar(&manifest, places.polar).map_err(told)?;
        let forecast = forecast(&manifest, places.forecast).map_err(told)?;
        let chart = match tables {
            SpeedSource::Polars => Chart::of_polars(&places.result)?,
            SpeedSource::Audit => Chart::of_audit(&places.result)?,
        };
        Ok(Self { flat: Polar::read(&polar)?, chart, forecast })
    }
}

/// A folder is a result; a file is a job, whose paths are tried first.
fn places(job_or_result: &Path) -> Result<SearchPlaces> {
    if job_or_result.is_dir() {
        return Ok(SearchPlaces { result: job_or_result.to_owned(), polar: None, forecast: Vec::new() });
    }
    let job = JobFile::read(job_or_result)?.complete()?;
    if !job.output.is_dir() {
        return Err(Error::new("the job has no result yet")
            .file(job_or_result)
            .found(format!("no folder {}", job.output.display()))
            .expected("the corrected polars of the job")
            .remedy(format!("run: roughwater derate {}", job_or_result.display())));
    }
    let forecast = match job.seas {
        Seas::Forecast(seas) => seas.files,
        Seas::Tally(_) => Vec::new(),
    };
    Ok(SearchPlaces { result: job.output, polar: Some(job.polar), forecast })
}

/// The flat polar: the file given, else the one named.
fn polar(manifest: &Manifest, given: Option<PathBuf>) -> Result<PathBuf> {
    let input = manifest.inputs_as(InputRole::Polar).next().ok_or_else(|| {
        Error::new("the manifest names no flat polar").remedy("make the result again with derate")
    })?;
    let path = given.unwrap_or_else(|| PathBuf::from(&input.file));
    if !path.is_file() {
        return Err(not_there(&path, "polar"));
    }
    if FileDigest::of(&path)?.sha256 == input.sha256 {
        return Ok(path);
    }
    Err(changed("flat polar", &path, &input.sha256))
}

/// The forecast files: those given, else those named; all of them, and no other.
fn forecast(manifest: &Manifest, given: Vec<PathBuf>) -> Result<Vec<PathBuf>> {
    let of_inputs = manifest.inputs_as(InputRole::Forecast).map(|input| (&input.sha256, &input.file));
    let of_tally = manifest.options.tallied_forecasts.iter().flatten();
    let known: BTreeMap<&str, &Path> =
        of_inputs.chain(of_tally).map(|(sha, file)| (sha.as_str(), Path::new(file))).collect();
    let files: Vec<PathBuf> =
        if given.is_empty() { known.values().map(|file| file.to_path_buf()).collect() } else { given };
    let mut found = BTreeSet::new();
    for path in &files {
        if !path.is_file() {
            return Err(not_there(path, "forecast"));
        }
        let sha = FileDigest::of(path)?.sha256;
        if !known.contains_key(sha.as_str()) {
            return Err(changed("forecast file", path, "one of the manifest's digests"));
        }
        found.insert(sha);
    }
    match known.iter().find(|(sha, _)| !found.contains(**sha)) {
        None => Ok(files),
        Some((_, file)) => Err(Error::new("a forecast file of the result is missing")
            .found(format!("{} files, none of them {}", files.len(), file.display()))
            .expected(format!("all {} files that the result was made from", known.len()))
            .remedy("name every one with --forecast")),
    }
}

fn not_there(path: &Path, option: &str) -> Error {
    Error::new(format!("the {option} that the result was made from is not there"))
        .found(format!("no file {}", path.display()))
        .expected("the file as derate opened it, relative to the folder it was run in")
        .remedy(format!(
            "run from that folder, name the job file instead of the result, or add --{option} FILE"
        ))
}

fn changed(what: &str, path: &Path, sha256: &str) -> Error {
    Error::new(format!("the {what} is not the one the result was made from"))
        .at(path.display())
        .found("another SHA-256")
        .expected(sha256)
        .remedy("run derate again, or name the file the result was made from")
}
