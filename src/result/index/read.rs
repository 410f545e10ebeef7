//! Reads the index.

use crate::base::{Error, Result, Window};
use crate::files::text_file;
use crate::result::index::entry::{IndexEntry, IndexedRegion, RegionProperties};
use crate::result::names::INDEX;
use geo::{Coord, LineString, MultiPolygon, Polygon};
use geojson::{Feature, FeatureCollection, GeoJson, GeometryValue, Position};
use std::path::{Component, Path, PathBuf};

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

fn region(feature: Feature) -> Found<IndexedRegion> {
    let properties = serde_json::Value::Object(feature.properties.unwrap_or_default());
    let RegionProperties { name, polars } =
        serde_json::from_value(properties).map_err(|error| error.to_string())?;
    polars.iter().try_for_each(check_entry)?;
    let area = match feature.geometry.ok_or("no geometry")?.value {
        GeometryValue::MultiPolygon { coordinates } => {
            coordinates.iter().map(|rings| polygon(rings)).collect()
        }
        GeometryValue::Polygon { coordinates } => polygon(&coordinates).map(|polygon| vec![polygon]),
        _ => Err("a geometry that is no polygon".to_owned()),
    };
    // what serves a place is the forecast as a whole, not one member's
    let polars = polars.into_iter().filter(|entry| entry.member.is_none());
    Ok(IndexedRegion { name, area: MultiPolygon(area?), polars: polars.collect() })
}

fn check_entry(entry: &IndexEntry) -> Found<()> {
    let Window { start, end } = entry.window;
    if start >= end {
        return Err(format!("a window from {start} to {end}"));
    }
    let inside = Path::new(&entry.file).components().all(|part| matches!(part, Component::Normal(_)));
    if entry.file.is_empty() || !inside {
        return Err(format!("a file outside the result, \"{}\"", entry.file));
    }
    Ok(())
}

/// Geometry is built from checked positions alone: conversion by the crate panics on a short one.
fn polygon(rings: &[Vec<Position>]) -> Found<Polygon> {
    let mut lines = Vec::with_capacity(rings.len());
    for (number, ring) in rings.iter().enumerate() {
        let coords = ring.iter().enumerate().map(|(at, position)| match position.as_slice() {
            &[x, y, ..] if x.is_finite() && (-90.0..=90.0).contains(&y) => Ok(Coord { x, y }),
            other => Err(format!("{other:?} as position {} of ring {}", at + 1, number + 1)),
        });
        lines.push(LineString(coords.collect::<Found<_>>()?));
    }
    let mut lines = lines.into_iter();
    let outer = lines.next().ok_or("a polygon without a ring")?;
    Ok(Polygon::new(outer, lines.collect()))
}

/// What is wrong, in words.
type Found<T> = std::result::Result<T, String>;

#[cfg(test)]
mod tests {
    use super::*;

    fn index(position: &str, file: &str, end: &str) -> String {
        format!(
            r#"{{"type":"FeatureCollection","features":[{{"type":"Feature","properties":{{"name":"a","polars":[{{"start":
            "2030-03-01T00:00:00Z","end":"{end}","tacks":"mean","file":"{file}"}}]}},"geometry":{{"type":"Polygon",
            "coordinates":[[[-29,1],{position},[-26,4],[-29,1]]]}}}}]}}"#
        )
    }

    #[test]
    fn an_index_out_of_order_is_named_with_its_place() {
        let (file, end) = ("polars/a.csv", "2030-03-01T06:00:00Z");
        assert_eq!(parse(&index("[-26,1]", file, end)).unwrap().len(), 1);
        for (text, words) in [
            (index("[-26]", file, end), "[-26.0] as position 2 of ring 1"),
            (index("[]", file, end), "[] as position 2 of ring 1"),
            (index("[-26,91]", file, end), "[-26.0, 91.0]"),
            (index("[-26,1]", "../a.csv", end), "outside the result"),
            (index("[-26,1]", "/a.csv", end), "outside the result"),
            (index("[-26,1]", file, "2030-03-01T00:00:00Z"), "a window from"),
        ] {
            let error = parse(&text).unwrap_err().to_string();
            assert!(error.contains(words) && error.contains("feature 1"), "{words}: {error}");
        }
    }
}
