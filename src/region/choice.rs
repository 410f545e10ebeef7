//! The choice where polars are made for.

use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// Where polars are made for.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Regions {
    /// The regions of a GeoJSON file.
    File(PathBuf),
    /// Tiles over the forecast's extent.
    Tiles(TileSize),
    /// The legs of a corridor along a track.
    Corridor(CorridorChoice),
}

/// The size of tiles, degrees.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct TileSize {
    /// Step in latitude.
    pub lat_deg: f64,
    /// Step in longitude; divides 360.
    pub lon_deg: f64,
}

/// Regions along a track.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct CorridorChoice {
    /// The track: GPX, or a GeoJSON LineString.
    pub track: PathBuf,
    /// Half the corridor's width, nautical miles.
    pub half_width_nm: f64,
    /// The length of a leg, nautical miles: each leg is a region.
    pub leg_nm: f64,
}

impl Regions {
    /// The file that the regions come from, if they do.
    pub fn file(&self) -> Option<&Path> {
        match self {
            Self::File(path) => Some(path),
            Self::Corridor(choice) => Some(&choice.track),
            Self::Tiles(_) => None,
        }
    }
}
