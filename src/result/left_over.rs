//! Folders of runs that are at work beside a result, and of runs that were killed: those are put right by the next run.
//!
//! Each holds a file that its run keeps locked; the system takes the lock away with the run, however that ended.

use crate::base::{Error, Result};
use crate::result::foreign;
use serde::{Deserialize, Serialize};
use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, SystemTime};

/// What the names of such folders begin with.
pub(super) const PREFIX: &str = ".roughwater-";
/// The new result, until it is in place; after an exchange the earlier one.
pub(super) const FILES: &str = "files";
/// The earlier result, where it had to step aside before the new one could take its place.
pub(super) const EARLIER: &str = "earlier";
/// Whose the folder is.
const OWNER: &str = "owner.json";

/// A folder without an owner is left alone for so long: it may be about to get one.
const UNOWNED_FOR: Duration = Duration::from_secs(60);

/// The run that a folder belongs to.
#[derive(Debug, Serialize, Deserialize)]
struct Owner {
    process: u32,
    /// The result's folder, beside this one.
    target: String,
    /// Folders that were made for it, innermost first.
    made: Vec<PathBuf>,
}

/// Marks a folder as that of this run, as long as the file is held.
///
/// # Errors
/// What the operating system reports.
pub(super) fn own(folder: &Path, target: &Path, made: &[PathBuf]) -> Result<File> {
    let path = folder.join(OWNER);
    let failed = |error: std::io::Error| Error::io("write the file", &path, &error);
    let mut file = File::create_new(&path).map_err(failed)?;
    // on a disk without locks nothing is ever taken for left over
    let _ = file.try_lock();
    let name = target.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let owner = Owner { process: std::process::id(), target: name, made: made.to_vec() };
    let bytes = serde_json::to_vec(&owner).map_err(|error| failed(error.into()))?;
    file.write_all(&bytes).map_err(failed)?;
    Ok(file)
}

/// Puts right what killed runs left in a folder: an earlier result that had stepped aside is put back, the rest goes.
///
/// # Errors
/// An earlier result that cannot be put back.
pub(super) fn clear_killed(parent: &Path) -> Result<()> {
    for folder in folders(parent) {
        let owner = folder.join(OWNER);
        match File::options().read(true).write(true).open(&owner) {
            Ok(file) if file.try_lock().is_ok() => clear(&folder)?,
            Ok(_) => {}
            Err(_) if !owner.exists() && is_old(&folder) => clear(&folder)?,
            Err(_) => {}
        }
    }
    Ok(())
}

static ALONE: Mutex<()> = Mutex::new(());

/// Held by whoever takes away what this run has beside its result: a second one would find half of it, or leave half of it.
pub(super) fn alone() -> MutexGuard<'static, ()> {
    ALONE.lock().unwrap_or_else(PoisonError::into_inner)
}

/// As [`clear_killed`] for what this very run has beside a target, while its threads may still write there.
pub(super) fn abandon(target: &Path) {
    let _alone = alone();
    let target = target.canonicalize().unwrap_or_else(|_| target.to_owned());
    let parent = target.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    for folder in folders(parent) {
        let Some(owner) = owner(&folder).filter(|owner| owner.process == std::process::id()) else {
            continue;
        };
        for _ in 0..50 {
            if clear(&folder).is_ok() && !folder.exists() {
                break;
            }
            std::thread::sleep(Duration::from_millis(10));
        }
        // fails where a result stands in it, as it should
        owner.made.iter().for_each(|folder| drop(fs::remove_dir(folder)));
    }
}

fn folders(parent: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(parent).into_iter().flatten().flatten();
    let named = entries.filter(|entry| entry.file_name().to_string_lossy().starts_with(PREFIX));
    named.map(|entry| entry.path()).filter(|path| path.is_dir()).collect()
}

fn owner(folder: &Path) -> Option<Owner> {
    serde_json::from_slice(&fs::read(folder.join(OWNER)).ok()?).ok()
}

fn is_old(folder: &Path) -> bool {
    let modified = fs::metadata(folder).and_then(|metadata| metadata.modified());
    modified.is_ok_and(|at| SystemTime::now().duration_since(at).is_ok_and(|age| age > UNOWNED_FOR))
}

fn clear(folder: &Path) -> Result<()> {
    let name = owner(folder).map(|owner| owner.target).filter(|name| !name.is_empty());
    let target = name.and_then(|name| Some(folder.parent()?.join(name)));
    let earlier = folder.join(EARLIER);
    let failed = |error: std::io::Error| {
        Error::io("put back the earlier result of a run that was killed, from", &earlier, &error)
    };
    if let Some(target) = target {
        if earlier.is_dir() && fs::symlink_metadata(&target).is_err() {
            fs::rename(&earlier, &target).map_err(failed)?;
        }
        for old in [earlier.clone(), folder.join(FILES)] {
            if old.is_dir() && target.is_dir() {
                foreign::keep(&old, &target).map_err(failed)?;
            }
        }
    }
    if earlier.is_dir() && owner(folder).is_none() {
        // whose it is cannot be told, so it stays
        return Ok(());
    }
    // the owner goes last: a removal that is stopped half-way can be taken up again
    for part in [FILES, EARLIER] {
        let _ = fs::remove_dir_all(folder.join(part));
    }
    let _ = fs::remove_dir_all(folder);
    Ok(())
}
