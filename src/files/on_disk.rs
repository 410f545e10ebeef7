//! What the operating system is asked for besides reading and writing: data flushed to the disk, two folders exchanged.

use std::fs::{self, File};
use std::io::Result;
use std::path::Path;

/// Flushes a folder's files, those of the folders in it, and their names, so that a rename after it never shows a file
/// without its data.
///
/// # Errors
/// What the operating system reports.
pub fn flush_tree(folder: &Path) -> Result<()> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let kind = entry.file_type()?;
        if kind.is_dir() {
            flush_tree(&entry.path())?;
        } else if kind.is_file() {
            File::open(entry.path())?.sync_all()?;
        }
    }
    flush_names(folder)
}

/// Flushes the names in a folder; nothing where the system keeps no file of them.
///
/// # Errors
/// What the operating system reports.
pub fn flush_names(folder: &Path) -> Result<()> {
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}

/// Exchanges two files or folders in one step: no one ever finds either name without its file. False, with nothing done,
/// where the system or the disk cannot.
///
/// # Errors
/// What the operating system reports besides.
pub fn exchange(one: &Path, other: &Path) -> Result<bool> {
    #[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
    {
        use rustix::fs::{CWD, RenameFlags, renameat_with};
        use rustix::io::Errno;
        match renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE) {
            Ok(()) => Ok(true),
            // old kernels, disks that cannot, and sandboxes that forbid what they do not know
            Err(Errno::INVAL | Errno::NOSYS | Errno::NOTSUP | Errno::PERM) => Ok(false),
            Err(error) => Err(error.into()),
        }
    }
    #[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
    {
        let _ = (one, other);
        Ok(false)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_change_places_or_stay() {
        let home = tempfile::tempdir().unwrap();
        let [a, b] = ["a", "b"].map(|name| home.path().join(name));
        for folder in [&a, &b] {
            fs::create_dir(folder).unwrap();
            fs::write(folder.join("name"), folder.file_name().unwrap().as_encoded_bytes()).unwrap();
        }
        flush_tree(home.path()).unwrap();
        let done = exchange(&a, &b).unwrap();
        assert_eq!(fs::read_to_string(a.join("name")).unwrap(), if done { "b" } else { "a" });
        assert_eq!(fs::read_to_string(b.join("name")).unwrap(), if done { "a" } else { "b" });
        assert!(exchange(&a, &home.path().join("none")).map_or(true, |done| !done), "no such folder");
    }
}
