//! The folder of what is kept from run to run. It may be removed at any time: a file that is missing, cut or another's is made
//! anew, and one that cannot be written is done without.

use sha2::{Digest, Sha256};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// The environment variable that names the folder; set and empty, nothing is kept.
pub const FOLDER_VARIABLE: &str = "ROUGHWATER_CACHE";

const DIGEST_BYTES: usize = 32;

/// The folder, unless nothing is to be kept.
pub fn folder() -> Option<PathBuf> {
    if let Some(folder) = std::env::var_os(FOLDER_VARIABLE) {
        return (!folder.is_empty()).then(|| PathBuf::from(folder));
    }
    let base = std::env::var_os("XDG_CACHE_HOME").map(PathBuf::from);
    let base = base.or_else(|| std::env::var_os("HOME").map(|home| Path::new(&home).join(".cache")));
    base.map(|base| base.join("roughwater"))
}

/// What a kept file holds behind its own digest, if it is as it was written.
pub fn checked(file: &[u8]) -> Option<&[u8]> {
    let (digest, bytes) = file.split_at_checked(DIGEST_BYTES)?;
    (Sha256::digest(bytes)[..] == *digest).then_some(bytes)
}

/// Keeps bytes behind their digest, in a file that is there whole or not at all; its folder is made.
///
/// # Errors
/// What the operating system reports.
pub fn keep(file: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let folder = file.parent().unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder)?;
    let mut temporary = tempfile::NamedTempFile::new_in(folder)?;
    temporary.write_all(&Sha256::digest(bytes))?;
    temporary.write_all(bytes)?;
    temporary.persist(file)?;
    Ok(())
}

/// Removes the files of a folder with an ending that were used longest ago, until the others hold at most so many bytes.
pub fn bound(folder: &Path, ending: &str, most_bytes: u64) {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let kept = entries.filter_map(|entry| {
        let path = entry.path();
        let told = entry.metadata().ok().filter(|told| told.is_file())?;
        let ours = path.extension().is_some_and(|found| found == ending);
        ours.then(|| (told.modified().unwrap_or(SystemTime::UNIX_EPOCH), told.len(), path))
    });
    let mut kept: Vec<(SystemTime, u64, PathBuf)> = kept.collect();
    kept.sort_unstable();
    let mut held: u64 = kept.iter().map(|(_, bytes, _)| bytes).sum();
    for (_, bytes, path) in kept {
        if held <= most_bytes {
            return;
        }
        if std::fs::remove_file(path).is_ok() {
            held -= bytes;
        }
    }
}

/// Marks a kept file as used now, so that others go before it.
pub fn touch(file: &Path) {
    if let Ok(file) = std::fs::File::options().append(true).open(file) {
        let _ = file.set_modified(SystemTime::now());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn what_was_kept_comes_back_or_not_at_all() {
        let home = tempfile::tempdir().unwrap();
        let file = home.path().join("made/a.kept");
        keep(&file, b"bytes").unwrap();
        let whole = std::fs::read(&file).unwrap();
        assert_eq!(checked(&whole), Some(&b"bytes"[..]));
        assert_eq!(checked(&whole[..whole.len() - 1]), None);
        assert_eq!(checked(&whole[..20]), None);
        let mut foreign = whole.clone();
        foreign[40 - 5] ^= 1;
        assert_eq!(checked(&foreign), None);
    }

    /// By hand: of 10 bytes each the two used last fit into 25, and what has another ending stays.
    #[test]
    fn the_oldest_go_first() {
        let home = tempfile::tempdir().unwrap();
        for (name, age_s) in [("a.kept", 40), ("b.kept", 30), ("c.kept", 20), ("d.kept", 10), ("e.other", 90)]
        {
            let file = std::fs::File::create(home.path().join(name)).unwrap();
            file.set_len(10).unwrap();
            file.set_modified(SystemTime::now() - Duration::from_secs(age_s)).unwrap();
        }
        touch(&home.path().join("a.kept"));
        bound(home.path(), "kept", 25);
        let mut names: Vec<_> =
            std::fs::read_dir(home.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
        names.sort();
        assert_eq!(names, ["a.kept", "d.kept", "e.other"]);
    }
}
