//! The choices a job leaves open.

use crate::boat::Side;
use crate::hydro::response::Method;
use serde::{Deserialize, Serialize};
use std::path::PathBuf;

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

/// Whether regions and windows whose polars are alike are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Split {
    /// Every region and window has a polar of its own.
    #[default]
    Given,
    /// Neighbouring tiles and hours are joined where one polar serves them.
    Auto,
}

/// Which tacks a corrected polar holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TackChoice {
    /// TWA 0..180, the mean slowness of both tacks.
    #[default]
    Mean,
    /// TWA 0..180, the slower tack of each cell.
    Slower,
    /// TWA 0..180, starboard tack.
    Starboard,
    /// TWA 0..180, port tack.
    Port,
    /// TWA -180..180, starboard tack positive.
    Signed,
}

/// Whether the members of an ensemble get polars of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MemberChoice {
    /// One polar over all members, which weigh alike.
    #[default]
    Together,
    /// Besides, one polar for each member.
    Each,
}

/// Choices of the model.
#[derive(Debug, Clone, PartialEq, Eq, Default, Deserialize, Serialize)]
#[serde(default, deny_unknown_fields)]
pub struct Model {
    /// The method of added resistance.
    pub added_resistance: Method,
    /// The user's own responses (CSV), which the method `table` needs.
    pub own_responses: Option<PathBuf>,
    /// Foils that are missing or raised.
    pub without_foil: OneOrMore<Side>,
}

/// A value, or a list of them.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, Serialize)]
#[serde(untagged, expecting = "one value or a list of them")]
pub enum OneOrMore<T> {
    /// One value.
    One(T),
    /// A list.
    More(Vec<T>),
}

impl<T> Default for OneOrMore<T> {
    fn default() -> Self {
        Self::More(Vec::new())
    }
}

impl<T> OneOrMore<T> {
    /// The values.
    pub fn as_slice(&self) -> &[T] {
        match self {
            Self::One(value) => std::slice::from_ref(value),
            Self::More(values) => values,
        }
    }
}
