//! Reads the index.

use crate::base::{Error, Result};
use crate::files::text_file;
use crate::result::index::entry::{IndexEntry, IndexedRegion, RegionProperties};
use crate::result::names::INDEX;
use geo::MultiPolygon;
use geojson::{Feature, FeatureCollection, GeoJson};
use std::path::{Path, PathBuf};

/// The index of a result.
#[derive(Debug, Clone, PartialEq)]
pub struct Index {
    folder: PathBuf,
    regions: Vec<IndexedRegion>,
}

impl Index {
    /// Reads `index.geojson` of a result folder.
    ///
    /// # Errors
    /// No index there, or one that is not of the form derate writes.
    pub fn read(folder: &Path) -> Result<Self> {
        let path = folder.join(INDEX);
        if !path.is_file() {
            return Err(Error::new("the folder holds no index")
                .file(folder)
                .expected(format!("a result of derate, with {INDEX} in it"))
                .remedy("name the folder that the job's key \"output\" names"));
        }
        let text = text_file::read(&path)?;
        let regions = parse(&text).map_err(|error| error.file(&path))?;
        Ok(Self { folder: folder.to_owned(), regions })
    }

    /// The regions, in the order of the index.
    pub fn regions(&self) -> &[IndexedRegion] {
        &self.regions
    }

    /// The path of a file that the index names.
    pub fn path(&self, entry: &IndexEntry) -> PathBuf {
        self.folder.join(&entry.file)
    }
}

fn parse(text: &str) -> Result<Vec<IndexedRegion>> {
    let wrong = |found: String| {
        Error::new("the index cannot be read")
            .found(found)
            .expected("a FeatureCollection of regions with \"name\" and \"polars\", as derate writes it")
            .remedy("make the result again with derate")
    };
    let collection = match text.parse::<GeoJson>() {
        Ok(GeoJson::FeatureCollection(FeatureCollection { features, .. })) => features,
        Ok(_) => return Err(wrong("GeoJSON that is no FeatureCollection".to_owned())),
        Err(error) => return Err(wrong(error.to_string())),
    };
    let regions = collection.into_iter().enumerate();
    regions
        .map(|(i, feature)| region(feature).map_err(|found| wrong(found).at(format!("feature {}", i + 1))))
        .collect()
}

fn region(feature: Feature) -> std::result::Result<IndexedRegion, String> {
    let properties = serde_json::Value::Object(feature.properties.unwrap_or_default());
    let RegionProperties { name, polars } =
        serde_json::from_value(properties).map_err(|error| error.to_string())?;
    let geometry = feature.geometry.ok_or("no geometry")?;
    let geometry: geo::Geometry =
        geometry.value.try_into().map_err(|error: geojson::Error| error.to_string())?;
    let area = match geometry {
        geo::Geometry::MultiPolygon(area) => area,
        geo::Geometry::Polygon(polygon) => MultiPolygon(vec![polygon]),
        _ => return Err("a geometry that is no polygon".to_owned()),
    };
    // what serves a place is the forecast as a whole, not one member's
    let polars = polars.into_iter().filter(|entry| entry.member.is_none());
    Ok(IndexedRegion { name, area, polars: polars.collect() })
}
