//! An input of a result, as its manifest records it.

use crate::base::Result;
use crate::files::FileDigest;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// What an input served as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, Serialize)]
#[serde(try_from = "String", into = "&'static str")]
pub enum InputRole {
    /// The boat file.
    Boat,
    /// The flat polar.
    Polar,
    /// The hull's sections.
    Sections,
    /// The polar without foils.
    FoilsUpPolar,
    /// The user's own responses.
    OwnResponses,
    /// The regions, or the track of a corridor.
    Regions,
    /// A forecast file.
    Forecast,
    /// A tally, in place of forecast and regions.
    Tally,
}

/// An input with the digest of its bytes.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, Serialize)]
pub struct Input {
    /// What it served as.
    pub role: InputRole,
    /// Its path as it was opened.
    pub file: String,
    /// Length, bytes.
    pub bytes: u64,
    /// SHA-256 of the bytes, hexadecimal.
    pub sha256: String,
}

impl InputRole {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Boat,
        Self::Polar,
        Self::Sections,
        Self::FoilsUpPolar,
        Self::OwnResponses,
        Self::Regions,
        Self::Forecast,
        Self::Tally,
    ];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Boat => "boat",
            Self::Polar => "polar",
            Self::Sections => "sections",
            Self::FoilsUpPolar => "foils-up polar",
            Self::OwnResponses => "own responses",
            Self::Regions => "regions",
            Self::Forecast => "forecast",
            Self::Tally => "tally",
        }
    }
}

impl From<InputRole> for &'static str {
    fn from(role: InputRole) -> Self {
        role.name()
    }
}

impl TryFrom<String> for InputRole {
    type Error = String;

    fn try_from(name: String) -> std::result::Result<Self, String> {
        let role = Self::ALL.into_iter().find(|role| role.name() == name);
        role.ok_or_else(|| format!("an input of the unknown role \"{name}\""))
    }
}

impl Input {
    /// Digests a file, a block at a time.
    ///
    /// # Errors
    /// A file that cannot be read.
    pub fn of(role: InputRole, path: &Path) -> Result<Self> {
        let FileDigest { bytes, sha256 } = FileDigest::of(path)?;
        Ok(Self { role, file: path.display().to_string(), bytes, sha256 })
    }
}
