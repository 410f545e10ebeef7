//! A result folder that appears whole or not at all.

use crate::base::{Error, Result};
use crate::result::manifest::file::{PROGRAM, is_marked};
use crate::result::names::MANIFEST;
use std::fs;
use std::path::{Component, Path, PathBuf};
use tempfile::TempDir;

/// Files on their way into a result folder.
///
/// They are written beside the target, and [`OutputFolder::commit`] moves them into place with one rename, after an
/// earlier result has been renamed away; dropped without it, nothing remains and an earlier result stays as it was.
#[derive(Debug)]
pub struct OutputFolder {
    target: PathBuf,
    temporary: TempDir,
    // after the temporary folder, which stands in them: fields are dropped in order
    #[expect(dead_code, reason = "what counts is that it is dropped")]
    made: MadeFolders,
}

/// Folders made above the target; those still empty at the end are taken away.
#[derive(Debug, Default)]
struct MadeFolders(Vec<PathBuf>);

impl MadeFolders {
    /// Makes a folder and those above it.
    fn make(folder: &Path) -> Result<Self> {
        let missing = folder.ancestors().take_while(|above| !above.as_os_str().is_empty() && !above.exists());
        // held from the start, so that a failure half-way takes away what was made before it
        let made = Self(missing.map(Path::to_owned).collect());
        fs::create_dir_all(folder).map_err(|error| Error::io("create the folder", folder, &error))?;
        Ok(made)
    }
}

impl Drop for MadeFolders {
    fn drop(&mut self) {
        for folder in &self.0 {
            // fails where a result stands in it, as it should
            let _ = fs::remove_dir(folder);
        }
    }
}

impl OutputFolder {
    /// Prepares a folder beside `target`, and the folders above it.
    ///
    /// Errors: a target that is a file, or a folder that holds anything but an earlier result.
    pub fn create(target: &Path) -> Result<Self> {
        // a link to a folder, and names such as "..", are followed, so that the rename meets the folder itself
        let target = target.canonicalize().unwrap_or_else(|_| target.to_owned());
        check_replaceable(&target)?;
        let parent = parent(&target)?;
        let made = MadeFolders::make(parent)?;
        let temporary = tempfile::Builder::new()
            .prefix(".roughwater-")
            .tempdir_in(parent)
            .map_err(|error| Error::io("create a folder in", parent, &error))?;
        // the temporary folder itself is closed to others; what is moved into place has the usual permissions
        let folder = Self { target, temporary, made };
        fs::create_dir(folder.files())
            .map_err(|error| Error::io("create the folder", &folder.files(), &error))?;
        Ok(folder)
    }

    /// Writes one file, with the folders above it; `name` is relative, and stays within the folder.
    ///
    /// Errors: a name that leads out of the folder or is taken; what the operating system reports.
    pub fn write(&self, name: impl AsRef<Path>, bytes: &[u8]) -> Result<()> {
        let path = self.place(name.as_ref())?;
        fs::write(&path, bytes).map_err(|error| self.cannot_write(name.as_ref(), &error))
    }

    /// As [`OutputFolder::write`], for a file that is written piece by piece.
    ///
    /// Errors: as [`OutputFolder::write`].
    pub fn create_file(&self, name: impl AsRef<Path>) -> Result<fs::File> {
        let path = self.place(name.as_ref())?;
        fs::File::create_new(&path).map_err(|error| self.cannot_write(name.as_ref(), &error))
    }

    /// The place of a new file, with the folders above it made.
    fn place(&self, name: &Path) -> Result<PathBuf> {
        let inside = name.components().all(|part| matches!(part, Component::Normal(_)));
        let path = self.files().join(name);
        if !inside || name.as_os_str().is_empty() || path.exists() {
            return Err(Error::new("a file of the result has no name of its own")
                .file(&self.target)
                .found(name.display())
                .expected("a new name within the folder")
                .remedy("rename the region"));
        }
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder).map_err(|error| self.cannot_write(name, &error))?;
        }
        Ok(path)
    }

    /// The user knows the target, not the temporary folder.
    fn cannot_write(&self, name: &Path, error: &std::io::Error) -> Error {
        Error::io("write the file", &self.target.join(name), error)
    }

    /// The files written so far, for what is made from them.
    pub fn so_far(&self) -> PathBuf {
        self.files()
    }

    /// Moves the files into place; an earlier result is gone once they are there.
    ///
    /// Errors: no manifest among the files; what the operating system reports, with the earlier result put back.
    pub fn commit(self) -> Result<()> {
        if !is_marked(&self.files()) {
            return Err(Error::fault("the result has no manifest")
                .file(&self.target.join(MANIFEST))
                .found("none, or one of another program")
                .expected(format!("\"program\": \"{PROGRAM}\"")));
        }
        // something may have come up there while the result was made
        check_replaceable(&self.target)?;
        let earlier = self.temporary.path().join("earlier");
        let replaces = self.target.exists();
        if replaces {
            fs::rename(&self.target, &earlier)
                .map_err(|error| Error::io("move the earlier result away from", &self.target, &error))?;
        }
        if let Err(error) = fs::rename(self.files(), &self.target) {
            if replaces && let Err(lost) = fs::rename(&earlier, &self.target) {
                let kept = self.temporary.keep().join("earlier");
                return Err(Error::io("put back the earlier result", &self.target, &lost)
                    .remedy(format!("the earlier result is whole in {}", kept.display())));
            }
            return Err(Error::io("move the result to", &self.target, &error));
        }
        Ok(())
    }

    fn files(&self) -> PathBuf {
        self.temporary.path().join("files")
    }
}

fn parent(target: &Path) -> Result<&Path> {
    match target.parent() {
        Some(parent) if parent.as_os_str().is_empty() => Ok(Path::new(".")),
        Some(parent) if target.file_name().is_some() => Ok(parent),
        _ => Err(Error::new("the output folder has no name of its own")
            .file(target)
            .found(format!("\"{}\"", target.display()))
            .expected("a folder within another")
            .remedy("name a folder for the result, such as out/result")),
    }
}

/// Only nothing, an empty folder or an earlier result may be replaced.
fn check_replaceable(target: &Path) -> Result<()> {
    let found = match fs::symlink_metadata(target) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(Error::io("look at the output folder", target, &error)),
        Ok(metadata) if !metadata.is_dir() => "something that is not a folder",
        Ok(_) => {
            let mut entries =
                fs::read_dir(target).map_err(|error| Error::io("read the folder", target, &error))?;
            if entries.next().is_none() || is_marked(target) {
                return Ok(());
            }
            "a folder with other files, and no manifest of an earlier result"
        }
    };
    Err(Error::new("the output folder would replace what is not a result")
        .file(target)
        .found(found)
        .expected("a new name, an empty folder, or an earlier result")
        .remedy("name another folder, or move what is there away"))
}

#[cfg(test)]
mod tests {
    use super::*;

    const OURS: &[u8] = br#"{"program": "roughwater"}"#;

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    fn result_in(target: &Path, file: &str) {
        let folder = OutputFolder::create(target).unwrap();
        folder.write(file, b"1").unwrap();
        folder.write(MANIFEST, OURS).unwrap();
        folder.commit().unwrap();
    }

    #[test]
    fn a_result_appears_whole_and_replaces_an_earlier_one() {
        let home = tempfile::tempdir().unwrap();
        let target = home.path().join("out/result");
        result_in(&target, "polars/a.csv");
        assert_eq!(names(&target), [MANIFEST, "polars"]);
        result_in(&target, "b.csv");
        assert_eq!(names(&target), ["b.csv", MANIFEST]);
        assert_eq!(names(&home.path().join("out")), ["result"]);
    }

    #[test]
    fn a_run_that_fails_leaves_the_earlier_result() {
        let home = tempfile::tempdir().unwrap();
        let target = home.path().join("result");
        result_in(&target, "a.csv");
        let folder = OutputFolder::create(&target).unwrap();
        folder.write("b.csv", b"2").unwrap();
        drop(folder);
        let unmarked = OutputFolder::create(&target).unwrap();
        unmarked.write("c.csv", b"3").unwrap();
        assert!(unmarked.commit().unwrap_err().to_string().contains("no manifest"));
        assert_eq!(names(&target), ["a.csv", MANIFEST]);
        assert_eq!(names(home.path()), ["result"]);
    }

    #[test]
    fn what_is_not_a_result_stays() {
        let home = tempfile::tempdir().unwrap();
        let mine = home.path().join("mine");
        fs::create_dir(&mine).unwrap();
        assert!(OutputFolder::create(&mine).is_ok(), "an empty folder may be filled");
        fs::write(mine.join(MANIFEST), b"{\"name\": \"a web page\"}").unwrap();
        let error = OutputFolder::create(&mine).unwrap_err().to_string();
        assert!(error.contains("would replace") && error.contains("remedy"), "{error}");
        assert!(OutputFolder::create(&mine.join(MANIFEST)).is_err(), "a file");
        assert_eq!(names(&mine), [MANIFEST]);
    }

    #[test]
    fn names_stay_within_the_folder_and_are_used_once() {
        let home = tempfile::tempdir().unwrap();
        let folder = OutputFolder::create(&home.path().join("result")).unwrap();
        for name in ["../a", "/a", "", "a/../../b"] {
            assert!(folder.write(name, b"").is_err(), "{name:?}");
        }
        folder.write("a", b"").unwrap();
        assert!(folder.write("a", b"").is_err());
    }
}
