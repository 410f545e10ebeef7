//! Single output files, whole or not at all.

use crate::base::{Error, Result};
use crate::files::on_disk;
use std::io::Write;
use std::path::Path;
use std::time::{Duration, SystemTime};

/// What the names of files on their way begin and end with.
const PREFIX: &str = ".roughwater-";
const SUFFIX: &str = ".part";

/// A file on its way is written in less: an older one is that of a program that was killed.
const KILLED_AFTER: Duration = Duration::from_secs(3600);

fn clear_killed(folder: &Path) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name();
        let ours = name.to_str().is_some_and(|name| name.starts_with(PREFIX) && name.ends_with(SUFFIX));
        let age = || SystemTime::now().duration_since(entry.metadata().ok()?.modified().ok()?).ok();
        if ours && age().is_some_and(|age| age > KILLED_AFTER) {
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// Writes beside the file and moves it into place, so that a failure leaves an earlier one; its folder is made. `what` it
/// is stands in an error.
///
/// # Errors
/// What the operating system reports.
pub fn write(what: &str, path: &Path, bytes: &[u8]) -> Result<()> {
    let failed = |error: std::io::Error| Error::io(&format!("write {what}"), path, &error);
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder).map_err(failed)?;
    clear_killed(folder);
    let mut builder = tempfile::Builder::new();
    builder.prefix(PREFIX).suffix(SUFFIX);
    // a temporary file is closed to others; a result has the usual permissions
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut temporary = builder.tempfile_in(folder).map_err(failed)?;
    temporary.write_all(bytes).map_err(failed)?;
    // data before their name: a machine that stops between the two leaves the earlier file, not an empty one
    temporary.as_file().sync_all().map_err(failed)?;
    temporary.persist(path).map_err(|error| failed(error.error))?;
    on_disk::flush_names(folder).map_err(failed)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_written_whole_and_old_litter_goes() {
        let home = tempfile::tempdir().unwrap();
        for (name, age_s) in [(".roughwater-a.part", 7200), (".roughwater-b.part", 10), ("c.part", 7200)] {
            let file = std::fs::File::create(home.path().join(name)).unwrap();
            file.set_modified(SystemTime::now() - Duration::from_secs(age_s)).unwrap();
        }
        write("the file", &home.path().join("x"), b"1").unwrap();
        let mut names: Vec<_> =
            std::fs::read_dir(home.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
        names.sort();
        assert_eq!(names, [".roughwater-b.part", "c.part", "x"]);
    }
}
