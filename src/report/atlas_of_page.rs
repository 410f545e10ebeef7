//! A boat's atlas within the page: with it the page computes her polar in any sea.

use crate::atlas::page_data::{INTERPOLATE_JS, to_json};
use crate::atlas::read;
use crate::base::{Error, Result};
use crate::result::Manifest;
use std::path::Path;

/// An atlas for the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AtlasOfPage {
    data: String,
}

impl AtlasOfPage {
    /// The atlas of a folder, for the page of a result.
    ///
    /// # Errors
    /// A folder without an atlas, one of another boat or with other columns than the result's polars.
    pub fn read(folder: &Path, result: &Path) -> Result<Self> {
        let atlas = read(folder)?;
        let boat = Manifest::read(result)?.boat_name;
        if !boat.is_empty() && boat != atlas.boat {
            return Err(Error::new("the atlas is of another boat than the result")
                .file(folder)
                .found(format!("\"{}\"", atlas.boat))
                .expected(format!("\"{boat}\""))
                .remedy("make an atlas of the result's boat and polar, or name its folder"));
        }
        Ok(Self { data: to_json(&atlas)? })
    }

    /// JavaScript that defines the function `openAtlas` and nothing else at its top.
    pub(super) fn code(&self) -> String {
        // one script: what a module would hand out is there already
        INTERPOLATE_JS.replacen("export function", "function", 1)
    }

    /// What that function takes, JSON.
    pub(super) fn data(&self) -> &str {
        &self.data
    }
}
