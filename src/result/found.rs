//! Files found in a result folder.

use crate::base::{Error, Result};
use std::path::{Path, PathBuf};

/// A file that every result has.
///
/// # Errors
/// None there.
pub fn needed(result: &Path, name: &str) -> Result<PathBuf> {
    optional(result, name).ok_or_else(|| {
        Error::new("the folder is not a whole result")
            .file(result)
            .found(format!("no {name} in it"))
            .expected("a folder that derate wrote")
            .remedy("check the path; a job's folder is its key \"output\"")
    })
}

/// A file that a result may have.
pub fn optional(result: &Path, name: &str) -> Option<PathBuf> {
    Some(result.join(name)).filter(|path| path.is_file())
}
