//! Single output files, whole or not at all.

use crate::base::{Error, Result};
use std::io::Write;
use std::path::Path;

/// Writes beside the file and moves it into place, so that a failure leaves an earlier one; its folder is made. `what` it
/// is stands in an error.
///
/// # Errors
/// What the operating system reports.
pub fn write(what: &str, path: &Path, bytes: &[u8]) -> Result<()> {
    let failed = |error: std::io::Error| Error::io(&format!("write {what}"), path, &error);
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder).map_err(failed)?;
    let mut builder = tempfile::Builder::new();
    // a temporary file is closed to others; a result has the usual permissions
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut temporary = builder.tempfile_in(folder).map_err(failed)?;
    temporary.write_all(bytes).map_err(failed)?;
    temporary.persist(path).map_err(|error| failed(error.error))?;
    Ok(())
}
