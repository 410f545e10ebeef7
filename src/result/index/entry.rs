//! What the index says of a region.

use crate::base::Window;
use crate::polar::TackChoice;
use geo::{Intersects, MultiPolygon, Point};
use geojson::{Geometry, GeometryValue};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};

/// A polar file and the window it serves.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, Serialize)]
#[serde(from = "PolarProperties", into = "PolarProperties")]
pub struct IndexEntry {
    /// The window, half-open.
    pub window: Window,
    /// The tacks in the file.
    pub tacks: TackChoice,
    /// The ensemble member, where it serves that one alone.
    pub member: Option<u32>,
    /// The file, relative to the index, with `/` between folders.
    pub file: String,
}

/// The properties of a region's feature. Names, once out, stay.
#[derive(Deserialize, Serialize)]
pub(super) struct RegionProperties {
    pub name: String,
    pub polars: Vec<IndexEntry>,
}

/// An entry as it stands in the file.
#[derive(Clone, Deserialize, Serialize)]
struct PolarProperties {
    start: Timestamp,
    end: Timestamp,
    tacks: TackChoice,
    file: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    member: Option<u32>,
}

impl From<PolarProperties> for IndexEntry {
    fn from(polar: PolarProperties) -> Self {
        let PolarProperties { start, end, tacks, file, member } = polar;
        Self { window: Window { start, end }, tacks, member, file }
    }
}

impl From<IndexEntry> for PolarProperties {
    fn from(entry: IndexEntry) -> Self {
        let IndexEntry { window: Window { start, end }, tacks, member, file } = entry;
        Self { start, end, tacks, file, member }
    }
}

/// A region of an index.
#[derive(Debug, Clone, PartialEq)]
pub struct IndexedRegion {
    /// The name.
    pub name: String,
    /// The area, degrees.
    pub area: MultiPolygon,
    /// Windows and files, those of single ensemble members left out.
    pub polars: Vec<IndexEntry>,
}

impl IndexedRegion {
    /// Whether a place lies within, or on the border; longitudes may run on by a turn.
    pub fn holds(&self, lat_deg: f64, lon_deg: f64) -> bool {
        [-360.0, 0.0, 360.0].iter().any(|turn| self.area.intersects(&Point::new(lon_deg + turn, lat_deg)))
    }

    /// The area as GeoJSON.
    pub fn outline(&self) -> Geometry {
        Geometry::new(GeometryValue::from(&self.area))
    }
}
