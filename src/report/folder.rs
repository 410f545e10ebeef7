//! The files of a result folder.

use crate::base::{Error, Result};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

/// A file that every result has.
///
/// # Errors
/// None there.
pub(super) fn file(result: &Path, name: &str) -> Result<PathBuf> {
    optional_file(result, name).ok_or_else(|| {
        Error::new("the folder is not a whole result")
            .file(result)
            .found(format!("no {name} in it"))
            .expected("a folder that derate wrote")
            .remedy("check the path; a job's folder is its key \"output\"")
    })
}

/// A file that a result may have.
pub(super) fn optional_file(result: &Path, name: &str) -> Option<PathBuf> {
    Some(result.join(name)).filter(|path| path.is_file())
}

/// A JSON file that every result has.
///
/// # Errors
/// None there; text that is not JSON.
pub(super) fn json(result: &Path, name: &str) -> Result<Value> {
    let path = file(result, name)?;
    let bytes = fs::read(&path).map_err(|error| Error::io("read the file", &path, &error))?;
    serde_json::from_slice(&bytes).map_err(|error| {
        Error::new("the file cannot be read as JSON")
            .file(&path)
            .at(format!("line {}, column {}", error.line(), error.column()))
            .found(error)
            .expected("JSON as derate wrote it")
            .remedy("make the result again with derate")
    })
}
