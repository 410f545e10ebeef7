//! What the files of a result hold, kept in memory for a program that goes on with it.

use crate::base::Window;
use crate::files::HeldTable;
use crate::polar::Polar;
use crate::result::Manifest;
use crate::run::files::MadePolar;
use crate::run::summary::Summary;

/// A result in memory.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// What the job has to say.
    pub summary: Summary,
    /// Inputs, options in force, counts, warnings, gaps.
    pub manifest: Manifest,
    /// The index, GeoJSON.
    pub index: Vec<u8>,
    /// The corrected polars, those of single ensemble members behind the others.
    pub polars: Vec<HeldPolar>,
    /// Every cell and tack, with the numbers of the audit's files.
    pub audit: HeldTable,
}

/// A corrected polar, where and when it serves.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldPolar {
    /// The region's name.
    pub region: String,
    /// The window, half-open.
    pub window: Window,
    /// The ensemble member, where it serves that one alone.
    pub member: Option<u32>,
    /// The polar, before its speeds are rounded to the decimals of its file.
    pub polar: Polar,
}

impl HeldPolar {
    pub(super) fn of(made: &MadePolar) -> Self {
        Self {
            region: made.region.name.clone(),
            window: made.window,
            member: made.member,
            polar: made.polar.clone(),
        }
    }
}
