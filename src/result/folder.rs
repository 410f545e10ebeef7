//! A result folder that appears whole or not at all.

use crate::base::{Error, Result};
use crate::files::on_disk;
use crate::result::manifest::file::{PROGRAM, is_marked};
use crate::result::names::MANIFEST;
use crate::result::{foreign, left_over};
use std::fs;
use std::path::{Component, Path, PathBuf};
use tempfile::TempDir;

/// Files on their way into a result folder.
///
/// They are written beside the target, and [`OutputFolder::commit`] moves them into place, in exchange for an earlier result in
/// one step where the system can; dropped without it, nothing remains and an earlier result stays as it was.
#[derive(Debug)]
pub struct OutputFolder {
    target: PathBuf,
    #[expect(dead_code, reason = "what counts is that it is held")]
    owner: fs::File,
    temporary: PathBuf,
    #[expect(dead_code, reason = "what counts is that it is dropped")]
    taken_away: TakenAway,
}

/// The temporary folder, and the folders made for it, which it stands in: taken away in this order.
#[derive(Debug)]
struct TakenAway(Option<(TempDir, MadeFolders)>);

impl Drop for TakenAway {
    fn drop(&mut self) {
        // a program that is told to stop at once meanwhile waits for it
        let _alone = left_over::alone();
        drop(self.0.take());
    }
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
        let parent = parent(&target)?;
        // a killed run may have left the earlier result aside
        left_over::clear_killed(parent)?;
        check_replaceable(&target)?;
        let made = MadeFolders::make(parent)?;
        let temporary = tempfile::Builder::new()
            .prefix(left_over::PREFIX)
            .tempdir_in(parent)
            .map_err(|error| Error::io("create a folder in", parent, &error))?;
        let owner = left_over::own(temporary.path(), &target, &made.0)?;
        // the temporary folder itself is closed to others; what is moved into place has the usual permissions
        let folder = Self {
            target,
            owner,
            temporary: temporary.path().to_owned(),
            taken_away: TakenAway(Some((temporary, made))),
        };
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

    /// Moves the files into place, flushed to the disk before; an earlier result is gone once they are there, and what was in
    /// its folder besides stands among them.
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
        let replaces = self.target.exists();
        if replaces {
            self.keep_foreign(&self.target, &self.files())?;
        }
        let flush = |error| Error::io("flush the result to the disk of", &self.target, &error);
        on_disk::flush_tree(&self.files()).map_err(flush)?;
        self.take_place(replaces)?;
        on_disk::flush_names(parent(&self.target)?).map_err(|error| {
            let whole = format!("the result is whole in {}", self.target.display());
            Error::io("flush the folder of", &self.target, &error).remedy(whole)
        })
    }

    fn take_place(&self, replaces: bool) -> Result<()> {
        let moved = |error| Error::io("move the result to", &self.target, &error);
        if !replaces {
            return fs::rename(self.files(), &self.target).map_err(moved);
        }
        if on_disk::exchange(&self.files(), &self.target).map_err(moved)? {
            // what came up there since stands aside now
            return self.keep_foreign(&self.files(), &self.target);
        }
        self.step_aside()?;
        fs::rename(self.files(), &self.target).or_else(|error| self.step_back(&error))?;
        self.keep_foreign(&self.earlier(), &self.target)
    }

    /// Until the new result is in its place, there is none: [`left_over`] mends what a kill leaves so.
    fn step_aside(&self) -> Result<()> {
        fs::rename(&self.target, self.earlier())
            .map_err(|error| Error::io("move the earlier result away from", &self.target, &error))
    }

    fn step_back(&self, error: &std::io::Error) -> Result<()> {
        let failed = Error::io("move the result to", &self.target, error);
        match fs::rename(self.earlier(), &self.target) {
            Ok(()) => Err(failed),
            Err(_) => Err(failed.remedy("the earlier result stands aside; the next run puts it back")),
        }
    }

    fn keep_foreign(&self, from: &Path, to: &Path) -> Result<()> {
        foreign::keep(from, to).map_err(|error| {
            Error::io("keep the other files of the output folder", &self.target, &error)
                .remedy("move what is not of the result out of the folder")
        })
    }

    /// Ends what this program has under way beside a target, from another thread and for good: for a program that stops at
    /// once. The earlier result is left, or put back.
    pub fn abandon(target: &Path) {
        left_over::abandon(target);
    }

    fn earlier(&self) -> PathBuf {
        self.temporary.join(left_over::EARLIER)
    }

    fn files(&self) -> PathBuf {
        self.temporary.join(left_over::FILES)
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
        result_in(&target, "polars/a/20300301T060000Z-mean.csv");
        assert_eq!(names(&target), [MANIFEST, "polars"]);
        result_in(&target, "audit.csv");
        assert_eq!(names(&target), ["audit.csv", MANIFEST]);
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

    /// A run of the program that ends at a point where the earlier result stands aside: stopped by the test below.
    #[test]
    #[ignore = "run in a process of its own by the test below"]
    fn killed_between_the_renames() {
        let target = PathBuf::from(std::env::var_os("TARGET").expect("named by the test below"));
        let folder = OutputFolder::create(&target).unwrap();
        folder.write("audit.csv", b"new").unwrap();
        folder.write(MANIFEST, OURS).unwrap();
        folder.step_aside().unwrap();
        // no destructor runs and nothing is put back, as with a kill
        std::process::abort();
    }

    #[test]
    fn the_next_run_puts_back_what_a_killed_one_moved_aside() {
        let home = tempfile::tempdir().unwrap();
        let target = home.path().join("result");
        result_in(&target, "audit.csv");
        fs::write(target.join("notes.txt"), b"mine").unwrap();
        let test = "result::folder::tests::killed_between_the_renames";
        let killed = std::process::Command::new(std::env::current_exe().unwrap())
            .args(["--exact", test, "--ignored"])
            .env("TARGET", &target)
            .output()
            .unwrap();
        assert!(!killed.status.success() && !target.exists(), "{killed:?}");
        assert_eq!(names(home.path()).len(), 1);
        // a run that fails before it has anything of its own
        drop(OutputFolder::create(&target).unwrap());
        assert_eq!(names(&target), ["audit.csv", MANIFEST, "notes.txt"]);
        assert_eq!(fs::read(target.join("audit.csv")).unwrap(), b"1");
        assert_eq!(names(home.path()), ["result"]);
    }

    #[test]
    fn a_run_at_work_is_left_alone() {
        let home = tempfile::tempdir().unwrap();
        let at_work = OutputFolder::create(&home.path().join("a")).unwrap();
        at_work.write(MANIFEST, OURS).unwrap();
        result_in(&home.path().join("b"), "audit.csv");
        at_work.commit().unwrap();
        assert_eq!(names(home.path()), ["a", "b"]);
        // one that is about to say whose it is, and one that never did
        for (name, age_s) in [(".roughwater-new", 1), (".roughwater-old", 3600)] {
            let folder = home.path().join(name);
            fs::create_dir(&folder).unwrap();
            let then = std::time::SystemTime::now() - std::time::Duration::from_secs(age_s);
            fs::File::open(&folder).unwrap().set_modified(then).unwrap();
        }
        result_in(&home.path().join("b"), "audit.csv");
        assert_eq!(names(home.path()), [".roughwater-new", "a", "b"]);
    }

    #[test]
    fn a_folder_that_is_abandoned_leaves_nothing() {
        let home = tempfile::tempdir().unwrap();
        let target = home.path().join("made/result");
        let folder = OutputFolder::create(&target).unwrap();
        folder.write("audit.csv", b"1").unwrap();
        OutputFolder::abandon(&target);
        assert!(names(home.path()).is_empty());
    }

    /// Whoever stops at once while the run itself takes its folder away leaves no half of it.
    #[test]
    fn a_folder_that_is_being_taken_away_is_waited_for() {
        let home = tempfile::tempdir().unwrap();
        let target = home.path().join("made/result");
        let folder = OutputFolder::create(&target).unwrap();
        for file in 0..2000 {
            folder.write(format!("{file}/polar.csv"), b"1").unwrap();
        }
        let files = folder.so_far();
        let ending = std::thread::spawn(move || drop(folder));
        // under way once the first of them is gone
        while (0..2000).all(|file| files.join(file.to_string()).exists()) {}
        OutputFolder::abandon(&target);
        assert!(names(home.path()).is_empty());
        ending.join().unwrap();
    }

    #[test]
    fn what_is_not_of_the_result_is_kept() {
        let home = tempfile::tempdir().unwrap();
        let target = home.path().join("result");
        result_in(&target, "polars/a/20300301T060000Z-mean.csv");
        for (name, bytes) in [("notes.txt", "mine"), ("polars/a/notes.txt", "of a"), ("more/deep/x", "x")] {
            let path = target.join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, bytes).unwrap();
        }
        fs::write(target.join(".DS_Store"), b"litter").unwrap();
        result_in(&target, "audit.csv");
        assert_eq!(names(&target), ["audit.csv", MANIFEST, "more", "notes.txt", "polars"]);
        assert_eq!(names(&target.join("polars/a")), ["notes.txt"]);
        assert_eq!(fs::read(target.join("more/deep/x")).unwrap(), b"x");
        assert_eq!(names(home.path()), ["result"]);
        // the new result would stand where the user's file stands
        let folder = OutputFolder::create(&target).unwrap();
        fs::write(target.join("polars/b"), b"mine").unwrap();
        folder.write("polars/b/20300301T060000Z-mean.csv", b"1").unwrap();
        folder.write(MANIFEST, OURS).unwrap();
        folder.commit().unwrap_err();
        assert_eq!(fs::read(target.join("polars/b")).unwrap(), b"mine");
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
