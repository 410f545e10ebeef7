//! The job file among the words of a command line, and what stands in its place by mistake.

use crate::cli::sea_options::SeaOptions;
use roughwater::base::{Error, Result};
use roughwater::forecast::sniff::sniff;
use std::path::{Path, PathBuf};

/// The job file that is meant: the one given, or a last one behind --forecast, which takes all that follows it.
///
/// # Errors
/// Files that are no jobs, by what they are; two jobs.
pub(super) fn job(given: &[PathBuf], seas: &mut SeaOptions) -> Result<Option<PathBuf>> {
    if let Some(path) = given.iter().find(|path| !is_job(path)) {
        return Err(misplaced(path));
    }
    let behind: Vec<PathBuf> = seas.forecast.extract_if(.., |path| ending(path) == "toml").collect();
    match [given, &behind].concat().as_slice() {
        [] => Ok(None),
        [one] => Ok(Some(one.clone())),
        [one, other, ..] => Err(Error::new("two job files are given")
            .found(format!("{} and {}", one.display(), other.display()))
            .expected("one job, with options over it")
            .remedy("run them one after the other")),
    }
}

/// Nothing else is in TOML; a name without an ending is left to the reader.
fn is_job(path: &Path) -> bool {
    ending(path).is_empty() || ending(path) == "toml"
}

fn ending(path: &Path) -> String {
    path.extension().and_then(|ending| ending.to_str()).unwrap_or_default().to_ascii_lowercase()
}

fn misplaced(path: &Path) -> Error {
    let (what, option) = match ending(path).as_str() {
        _ if sniff(path).is_ok() => ("a forecast", "--forecast"),
        "csv" | "tsv" | "txt" => ("a table, such as a polar", "--polar"),
        "geojson" | "json" => ("regions", "--regions"),
        "gpx" => ("a track", "--corridor"),
        "parquet" => ("a tally", "--tally"),
        _ => ("another file", "--forecast, --polar or --regions"),
    };
    Error::new("what stands in the place of the job file is none")
        .file(path)
        .found(what)
        .expected("a job file (TOML), or none and options for all it would hold")
        .remedy(format!("write {option} before it"))
}
