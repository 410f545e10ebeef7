//! Whether a file is still what it was: which file it is, how long, and when it was written last.

use crate::base::{Error, Result};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// What a file was when it was first looked at.
///
/// Contents that change without any of these (by less than the clock's tick, or with its time set back) pass unnoticed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileState {
    path: PathBuf,
    identity: Identity,
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct Identity {
    bytes: u64,
    modified: Option<SystemTime>,
    /// Device and number of the file, where the system tells.
    node: Option<(u64, u64)>,
}

impl FileState {
    /// # Errors
    /// A file that is not there.
    pub fn of(path: &Path) -> Result<Self> {
        Ok(Self { path: path.into(), identity: Identity::of(path)? })
    }

    /// # Errors
    /// A file that is gone, another, shorter, longer or written since.
    pub fn check_unchanged(&self) -> Result<()> {
        let now = Identity::of(&self.path)?;
        if now == self.identity {
            return Ok(());
        }
        let was = &self.identity;
        Err(Error::new("the file changed while it was read")
            .file(&self.path)
            .found(if now.bytes == was.bytes {
                format!("{} bytes, written since", now.bytes)
            } else {
                format!("{} bytes", now.bytes)
            })
            .expected(format!("the {} bytes that were there at the start", was.bytes))
            .remedy("run again when nothing writes to it any more"))
    }
}

impl Identity {
    fn of(path: &Path) -> Result<Self> {
        let found = std::fs::metadata(path).map_err(|error| Error::io("read the file", path, &error))?;
        #[cfg(unix)]
        let node = {
            use std::os::unix::fs::MetadataExt;
            Some((found.dev(), found.ino()))
        };
        #[cfg(not(unix))]
        let node = None;
        Ok(Self { bytes: found.len(), modified: found.modified().ok(), node })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn another_a_shorter_and_a_missing_file_are_noticed() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a");
        fs::write(&path, "abc").unwrap();
        let state = FileState::of(&path).unwrap();
        assert_eq!(state.check_unchanged(), Ok(()));
        fs::write(dir.path().join("b"), "abc").unwrap();
        fs::rename(dir.path().join("b"), &path).unwrap();
        assert!(state.check_unchanged().unwrap_err().to_string().contains("changed while it was read"));
        fs::write(&path, "ab").unwrap();
        let text = state.check_unchanged().unwrap_err().to_string();
        assert!(text.contains("2 bytes") && text.contains("the 3 bytes"), "{text}");
        fs::remove_file(&path).unwrap();
        assert!(state.check_unchanged().is_err());
    }
}
