//! Files in a result folder that are not of the result: the user's notes, a track, a page made beside it. They are kept when
//! a new result takes the folder's place.

use crate::polar::TackChoice;
use crate::result::names;
use std::ffi::OsStr;
use std::fs;
use std::io::{ErrorKind, Result};
use std::path::{Path, PathBuf};

/// What file managers leave in every folder that they show.
const LITTER: [&str; 3] = [".DS_Store", "Thumbs.db", "desktop.ini"];

/// Files and whole folders that no result holds, relative to the folder.
///
/// # Errors
/// What the operating system reports.
pub(super) fn within(folder: &Path) -> Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    walk(folder, Path::new(""), &mut found)?;
    found.sort();
    Ok(found)
}

fn walk(root: &Path, at: &Path, found: &mut Vec<PathBuf>) -> Result<()> {
    for entry in fs::read_dir(root.join(at))? {
        let entry = entry?;
        let path = at.join(entry.file_name());
        let is_folder = entry.file_type()?.is_dir();
        if is_folder && is_our_folder(&path) {
            walk(root, &path, found)?;
        } else if is_folder || !is_our_file(&path) {
            found.push(path);
        }
    }
    Ok(())
}

/// `polars`, and any folder in it.
fn is_our_folder(path: &Path) -> bool {
    let mut parts = path.iter();
    parts.next() == Some(OsStr::new(names::POLARS)) && parts.count() <= 1
}

fn is_our_file(path: &Path) -> bool {
    let parts: Option<Vec<&str>> = path.iter().map(OsStr::to_str).collect();
    match parts.as_deref() {
        Some([.., name]) if LITTER.contains(name) => true,
        Some([name]) => names::OF_A_RESULT.contains(name),
        Some([_, _, name]) => is_polar(name),
        _ => false,
    }
}

/// A name as [`names::polar`] makes it: `20300301T060000Z-mean.csv`, `20300301T060000Z-mean-member-02.csv`.
fn is_polar(name: &str) -> bool {
    let Some((start, rest)) = name.strip_suffix(".csv").and_then(|stem| stem.split_once('-')) else {
        return false;
    };
    let (tacks, member) =
        rest.split_once("-member-").map_or((rest, None), |(tacks, member)| (tacks, Some(member)));
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let is_time = start.strip_suffix('Z').and_then(|start| start.split_once('T'));
    is_time.is_some_and(|(date, time)| digits(date) && digits(time))
        && TackChoice::ALL.iter().any(|choice| choice.name() == tacks)
        && member.is_none_or(digits)
}

/// Puts what is foreign in one folder into another, where its place is not taken; the first keeps it.
///
/// # Errors
/// What the operating system reports; a file where a folder should be.
pub(super) fn keep(from: &Path, to: &Path) -> Result<()> {
    for path in within(from)? {
        let (here, there) = (from.join(&path), to.join(&path));
        if let Ok(taken) = fs::symlink_metadata(&there) {
            // a folder of the result where a file of the user's stands
            if taken.is_dir() && !fs::symlink_metadata(&here)?.is_dir() {
                return Err(std::io::Error::new(
                    ErrorKind::AlreadyExists,
                    format!("{} is in the way", path.display()),
                ));
            }
            continue;
        }
        if let Some(folder) = there.parent() {
            fs::create_dir_all(folder)?;
        }
        copy(&here, &there)?;
    }
    Ok(())
}

fn copy(from: &Path, to: &Path) -> Result<()> {
    let kind = fs::symlink_metadata(from)?.file_type();
    if kind.is_dir() {
        fs::create_dir(to)?;
        for entry in fs::read_dir(from)? {
            let name = entry?.file_name();
            copy(&from.join(&name), &to.join(&name))?;
        }
        return Ok(());
    }
    // a second name for the same file costs nothing; a link to elsewhere stays one
    if fs::hard_link(from, to).is_ok() {
        return Ok(());
    }
    #[cfg(unix)]
    if kind.is_symlink() {
        return std::os::unix::fs::symlink(fs::read_link(from)?, to);
    }
    fs::copy(from, to).map(drop)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::Window;

    #[test]
    fn every_file_of_a_result_is_ours_and_others_are_not() {
        let window = Window {
            start: "2030-03-01T06:00:00Z".parse().unwrap(),
            end: "2030-03-01T12:00:00Z".parse().unwrap(),
        };
        for tacks in TackChoice::ALL {
            for member in [None, Some(2), Some(117)] {
                assert!(
                    is_our_file(Path::new(&names::polar("A sea", window, tacks, member))),
                    "{tacks:?} {member:?}"
                );
            }
        }
        assert!(names::OF_A_RESULT.iter().all(|name| is_our_file(Path::new(name))));
        for path in [
            "notes.txt",
            "20300301T060000Z-mean.csv",
            "polars/A sea/notes.txt",
            "polars/A sea/mean.csv",
            "polars/A sea/20300301T060000Z-mine.csv",
            "polars/A sea/20300301T060000Z-mean-member-x.csv",
            "other/report.html",
        ] {
            assert!(!is_our_file(Path::new(path)), "{path}");
        }
    }
}
