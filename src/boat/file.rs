//! Reading a boat file.

use crate::base::Result;
use crate::boat::check;
use crate::boat::keys::BOAT_KEYS;
use crate::boat::spec::Boat;
use crate::files::{strict_toml, text_file, tidied};
use std::path::{Path, PathBuf};

impl Boat {
    /// Reads and checks a boat file.
    ///
    /// # Errors
    /// A file that cannot be read, an unknown or missing key, or a value outside its plausible range, with its line.
    pub fn read(path: &Path) -> Result<Self> {
        Self::parse(&text_file::read(path)?, path)
    }

    /// Reads and checks a boat from text; `path` names it in errors, and its folder is where the paths in it begin.
    ///
    /// # Errors
    /// As [`Boat::read`], but for a file that cannot be read.
    pub fn parse(text: &str, path: &Path) -> Result<Self> {
        BOAT_KEYS.check(text, path)?;
        let boat: Boat = strict_toml::parse(text, path)?;
        check::check(&boat, text, path)?;
        Ok(boat.resolved(path.parent().unwrap_or(Path::new(""))))
    }

    /// Takes the paths in the file as relative to `folder`.
    fn resolved(mut self, folder: &Path) -> Self {
        let resolve = |path: &mut Option<PathBuf>| {
            if let Some(path) = path {
                *path = tidied(&folder.join(&*path));
            }
        };
        resolve(&mut self.hull.sections);
        if let Some(foils) = &mut self.foils {
            resolve(&mut foils.foils_up_polar);
        }
        self
    }
}
