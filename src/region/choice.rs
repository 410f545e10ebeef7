//! The choice where polars are made for.

use crate::region::track::typed;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// Where polars are made for.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Regions {
    /// The regions of a GeoJSON file.
    File(PathBuf),
    /// Boxes, each named by its corners.
    Boxes(Vec<BoxDeg>),
    /// Tiles over the forecast's extent.
    Tiles(TileSize),
    /// The legs of a corridor along a track.
    Corridor(CorridorChoice),
}

/// A box of sea, degrees; `east` lies east of `west` by less than a turn, whichever way the two are written.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, Serialize)]
#[serde(from = "[f64; 4]", into = "[f64; 4]")]
pub struct BoxDeg {
    /// Southern limit.
    pub south: f64,
    /// Western limit.
    pub west: f64,
    /// Northern limit.
    pub north: f64,
    /// Eastern limit.
    pub east: f64,
}

impl From<[f64; 4]> for BoxDeg {
    fn from([south, west, north, east]: [f64; 4]) -> Self {
        Self { south, west, north, east }
    }
}

impl From<BoxDeg> for [f64; 4] {
    fn from(sides: BoxDeg) -> Self {
        [sides.south, sides.west, sides.north, sides.east]
    }
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
    /// The track: GPX, a GeoJSON LineString, CSV, or waypoints with `;` between them.
    pub track: PathBuf,
    /// Half the corridor's width, nautical miles.
    #[serde(rename(deserialize = "half_width_nmi"), alias = "half_width_nm")]
    pub half_width_nm: f64,
    /// The length of a leg, nautical miles: each leg is a region.
    #[serde(rename(deserialize = "leg_nmi"), alias = "leg_nm")]
    pub leg_nm: f64,
}

impl Regions {
    /// The file that the regions come from, if they do.
    pub fn file(&self) -> Option<&Path> {
        match self {
            Self::File(path) => Some(path),
            Self::Corridor(choice) => Some(choice.track.as_path()).filter(|track| typed(track).is_none()),
            Self::Boxes(_) | Self::Tiles(_) => None,
        }
    }
}
