//! Writes the index.

use crate::base::{Error, Result};
use crate::region::Region;
use crate::result::index::entry::{IndexEntry, RegionProperties};
use geo::{Coord, LineString, MultiPolygon, Polygon};
use geojson::{Feature, FeatureCollection, Geometry, GeometryValue};

/// The index of all regions with their entries.
///
/// A polygon across 180 is cut there, as RFC 7946 section 3.1.9 asks.
///
/// # Errors
/// When the collection cannot be written as JSON.
pub fn to_bytes(regions: Vec<(&Region, Vec<IndexEntry>)>) -> Result<Vec<u8>> {
    let features =
        regions.into_iter().map(|(region, entries)| feature(region, entries)).collect::<Result<_>>()?;
    let collection = FeatureCollection { bbox: None, features, foreign_members: None };
    let mut bytes = serde_json::to_vec_pretty(&collection).map_err(|error| failed(&error))?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn feature(region: &Region, entries: Vec<IndexEntry>) -> Result<Feature> {
    let properties = RegionProperties { name: region.name.clone(), polars: entries };
    let geometry = Geometry::new(GeometryValue::from(&cut_at_180(&region.polygons)));
    let mut feature = Feature::from(geometry);
    let properties = serde_json::to_value(properties).map_err(|error| failed(&error))?;
    feature.properties = properties.as_object().cloned();
    Ok(feature)
}

fn failed(error: &serde_json::Error) -> Error {
    Error::new(format!("cannot write the index: {error}"))
}

/// The same area with every longitude within [-180, 180], cut where it crosses the seam.
fn cut_at_180(polygons: &MultiPolygon) -> MultiPolygon {
    let turns = [-360.0, 0.0, 360.0];
    let parts = polygons.iter().flat_map(|polygon| turns.map(|turn| band(polygon, turn)));
    MultiPolygon(parts.flatten().collect())
}

/// What of a polygon, shifted by a turn, lies within [-180, 180].
fn band(polygon: &Polygon, turn: f64) -> Option<Polygon> {
    let exterior = clip(polygon.exterior(), turn);
    let interiors = polygon.interiors().iter().map(|ring| clip(ring, turn)).filter(|ring| ring.0.len() >= 4);
    (exterior.0.len() >= 4).then(|| Polygon::new(exterior, interiors.collect()))
}

/// Clips a shifted ring to both meridians (Sutherland & Hodgman 1974).
fn clip(ring: &LineString, turn: f64) -> LineString {
    let shifted = ring.0.iter().map(|c| Coord { x: c.x + turn, y: c.y }).collect();
    let east = half(shifted, |x| x <= 180.0, 180.0);
    let both = half(east, |x| x >= -180.0, -180.0);
    let mut ring = LineString(both);
    ring.close();
    ring
}

fn half(ring: Vec<Coord>, inside: impl Fn(f64) -> bool, meridian: f64) -> Vec<Coord> {
    let mut kept: Vec<Coord> = Vec::with_capacity(ring.len() + 2);
    for pair in ring.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        if inside(a.x) {
            kept.push(a);
        }
        if inside(a.x) != inside(b.x) {
            let part = (meridian - a.x) / (b.x - a.x);
            kept.push(Coord { x: meridian, y: a.y + part * (b.y - a.y) });
        }
    }
    kept.dedup();
    if let (Some(first), true) = (kept.first().copied(), kept.len() >= 3) {
        kept.push(first);
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::Area;

    /// By hand: 20 degrees of longitude by 10 of latitude across 180 become two boxes of 10 by 10.
    #[test]
    fn a_region_across_180_is_cut_in_two() {
        let ring = LineString::from(vec![
            (170.0, -50.0),
            (190.0, -50.0),
            (190.0, -40.0),
            (170.0, -40.0),
            (170.0, -50.0),
        ]);
        let cut = cut_at_180(&MultiPolygon(vec![Polygon::new(ring, vec![])]));
        assert_eq!(cut.0.len(), 2);
        for part in &cut {
            assert!((part.unsigned_area() - 100.0).abs() < 1e-9);
            assert!(part.exterior().0.iter().all(|c| (-180.0..=180.0).contains(&c.x)));
        }
    }
}
