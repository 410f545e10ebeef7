//! File names with `*`, `?` and `[ ]`.

use crate::base::{Error, Result};
use crate::files::tidied;
use crate::forecast::sniff::sniff;
use std::path::{Path, PathBuf};

/// A pattern below a folder whose own name is taken literally.
pub(super) fn anchored(folder: &Path, pattern: &Path) -> PathBuf {
    if pattern.is_absolute() || folder.as_os_str().is_empty() {
        return pattern.to_owned();
    }
    match (folder.to_str(), is_pattern(pattern)) {
        (Some(text), true) => Path::new(&glob::Pattern::escape(text)).join(pattern),
        _ => tidied(&folder.join(pattern)),
    }
}

fn is_pattern(path: &Path) -> bool {
    path.to_str().is_some_and(|text| text.contains(['*', '?', '[']))
}

/// The forecasts in a folder, by name, whatever else lies there.
fn within(folder: &Path) -> Result<Vec<PathBuf>> {
    let entries = std::fs::read_dir(folder).map_err(|error| Error::io("read the folder", folder, &error))?;
    let paths = entries.filter_map(|entry| entry.ok().map(|entry| entry.path()));
    let mut files: Vec<PathBuf> = paths.filter(|path| path.is_file() && sniff(path).is_ok()).collect();
    files.sort();
    if files.is_empty() {
        return Err(Error::new("a folder of forecasts holds none")
            .file(folder)
            .at("forecast")
            .found("no file that begins as GRIB or NetCDF does")
            .expected("forecast files right in the folder")
            .remedy("name the folder that they lie in, or the files"));
    }
    Ok(files)
}

/// The files a pattern matches, by name, or the forecasts in a folder; another path that exists, or is no pattern, is taken
/// as it stands.
pub(super) fn expand(pattern: &Path) -> Result<Vec<PathBuf>> {
    if pattern.is_dir() {
        return within(pattern);
    }
    let text = match pattern.to_str() {
        Some(text) if is_pattern(pattern) && !pattern.exists() => text,
        _ => return Ok(vec![pattern.to_owned()]),
    };
    let wrong = |problem: &str, found: String| {
        Error::new(problem.to_owned())
            .at("forecast")
            .found(found)
            .expected("a pattern that matches forecast files")
            .remedy("check the path; patterns are relative to the job file, * matches any part of a name")
    };
    let paths =
        glob::glob(text).map_err(|error| wrong("a forecast pattern cannot be read", error.to_string()))?;
    let files = paths.collect::<std::result::Result<Vec<_>, _>>();
    let mut files =
        files.map_err(|error| wrong("a folder of forecasts cannot be read", error.to_string()))?;
    files.retain(|file| file.is_file());
    files.iter_mut().for_each(|file| *file = tidied(file));
    files.sort();
    match files.is_empty() {
        true => Err(wrong("a forecast pattern matches nothing", text.to_owned())),
        false => Ok(files),
    }
}
