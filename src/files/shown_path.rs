//! Paths as short as they can be written, and still the same file.

use std::path::{Component, Path, PathBuf};

/// A path without `.` and without `x/..`, where what is left leads to the same file; else as it stands.
pub fn tidied(path: &Path) -> PathBuf {
    let mut short = PathBuf::new();
    for part in path.components() {
        match (part, short.components().next_back()) {
            (Component::CurDir, _) => {}
            (Component::ParentDir, Some(Component::Normal(_))) => {
                short.pop();
            }
            _ => short.push(part),
        }
    }
    if short.as_os_str().is_empty() {
        short.push(".");
    }
    // a folder on the way may be a link to elsewhere
    if same_place(&short, path) { short } else { path.to_owned() }
}

/// The shortest way to write a path for who stands in the current folder: tidied, and relative where that is shorter.
pub fn shortest(path: &Path) -> PathBuf {
    let tidy = tidied(path);
    let here = std::env::current_dir().and_then(|here| here.canonicalize());
    let whole = resolved(&tidy);
    let (Ok(here), Some(whole)) = (here, whole) else { return tidy };
    let from_here = between(&whole, &here);
    if from_here.as_os_str().len() < tidy.as_os_str().len() { from_here } else { tidy }
}

/// A path from a folder to a place, which need not be there; as it stands where the two have no common root.
pub fn relative(place: &Path, folder: &Path) -> PathBuf {
    match (resolved(place), resolved(folder)) {
        (Some(place), Some(folder)) => between(&place, &folder),
        _ => place.to_owned(),
    }
}

/// A path from a folder to a place, both without links.
fn between(place: &Path, folder: &Path) -> PathBuf {
    let common = place.components().zip(folder.components()).take_while(|(a, b)| a == b).count();
    let up = folder.components().skip(common).map(|_| Component::ParentDir);
    let down = place.components().skip(common);
    let path: PathBuf = up.chain(down).collect();
    if path.as_os_str().is_empty() { PathBuf::from(".") } else { path }
}

/// Where a path leads; of one that is not there yet, where its nearest folder leads and what comes after.
fn resolved(path: &Path) -> Option<PathBuf> {
    let there = path.ancestors().find(|above| above.exists() || above.as_os_str().is_empty())?;
    let rest = path.strip_prefix(there).ok()?;
    let start = if there.as_os_str().is_empty() { Path::new(".") } else { there };
    let plain = rest.components().all(|part| matches!(part, Component::Normal(_)));
    plain.then(|| {
        start
            .canonicalize()
            .ok()
            .map(|start| if rest.as_os_str().is_empty() { start } else { start.join(rest) })
    })?
}

fn same_place(short: &Path, path: &Path) -> bool {
    match (short.canonicalize(), path.canonicalize()) {
        (Ok(short), Ok(path)) => short == path,
        // a file that is not there yet, in folders that are
        _ => match (resolved(short), path.parent().map(Path::canonicalize), path.file_name()) {
            (Some(short), Some(Ok(parent)), Some(name)) => short == parent.join(name),
            // nothing is there that a link could be
            _ => !path.components().any(|part| part == Component::ParentDir) || !linked(path),
        },
    }
}

/// Whether some folder on the way is a link.
fn linked(path: &Path) -> bool {
    path.ancestors().any(|above| above.is_symlink())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_leads_nowhere_is_left_out() {
        for (long, short) in [
            ("a/b/../../c", "c"),
            ("./a/./b", "a/b"),
            ("../a", "../a"),
            ("../../a/..", "../.."),
            ("a/..", "."),
            ("/a/../b", "/b"),
        ] {
            assert_eq!(tidied(Path::new(long)), Path::new(short), "{long}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_link_on_the_way_is_kept() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        std::fs::create_dir_all(at("far/away")).unwrap();
        std::fs::create_dir(at("here")).unwrap();
        std::os::unix::fs::symlink(at("far/away"), at("here/link")).unwrap();
        for name in ["far/x", "here/x"] {
            std::fs::write(at(name), "").unwrap();
        }
        assert_eq!(tidied(&at("here/link/../x")), at("here/link/../x"));
        assert_eq!(tidied(&at("here/../far/x")), at("far/x"));
        assert_eq!(tidied(&at("here/link/../y")), at("here/link/../y"));
    }

    /// By hand: from the folder a/b to a/c/d is up one and down two.
    #[test]
    fn paths_are_written_from_here() {
        for (place, folder, path) in [
            ("/a/c/d", "/a/b", "../c/d"),
            ("/a/b/c", "/a/b", "c"),
            ("/a/b", "/a/b", "."),
            ("/x", "/a/b", "../../x"),
        ] {
            assert_eq!(between(Path::new(place), Path::new(folder)), Path::new(path), "{place}");
        }
        let here = std::env::current_dir().unwrap();
        assert_eq!(shortest(&here.join("src/lib.rs")), Path::new("src/lib.rs"));
        assert_eq!(shortest(&here.join("src/../none/new")), Path::new("none/new"));
    }
}
