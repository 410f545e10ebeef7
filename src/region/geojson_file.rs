//! Regions from GeoJSON (RFC 7946), every position checked before geometry is built from it.

use crate::base::{Error, Result};
use crate::region::area::polygon_m2;
use crate::region::named::{Region, check_name};
use crate::region::unwrap::{Unwrapped, unwrap};
use crate::region::validity;
use geo::coordinate_position::CoordPos;
use geo::dimensions::Dimensions;
use geo::{BoundingRect, Coord, Intersects, LineString, MultiPolygon, Polygon, Relate, Translate};
use geojson::{Feature, GeoJson, GeometryValue, Position};
use std::path::Path;

/// Rounding of a polygon's area over the whole earth stays below this, and no grid's cell is as small.
const LEAST_AREA_M2: f64 = 1.0;

/// Reads regions from a GeoJSON file; see [`parse`].
///
/// # Errors
/// A file that cannot be read; as [`parse`].
pub fn read(path: &Path) -> Result<Vec<Region>> {
    crate::files::text_file::read(path).and_then(|text| parse(&text)).map_err(|error| error.file(path))
}

/// Reads regions from GeoJSON text: a FeatureCollection, one Feature, or a bare geometry, of Polygons and MultiPolygons.
///
/// A region is called by its property `name`, `Name`, `NAME`, `title` or `id`, else by the feature's own `id`, else by its
/// place in the file, which is noted in [`Region::notes`].
///
/// A region may cross 180 degrees with longitudes that run on beyond it, as polygons split at 180, or with edges that
/// jump from one side to the other; the last is noted in [`Region::notes`].
///
/// # Errors
/// Text that is no such GeoJSON; all features that make no region, by name, and where it is one vertex, ring and position.
pub fn parse(text: &str) -> Result<Vec<Region>> {
    let parsed: GeoJson = text.parse().map_err(|error: geojson::Error| {
        Error::new("the regions are not valid GeoJSON")
            .found(error)
            .expected("a GeoJSON FeatureCollection (RFC 7946)")
            .remedy("check the file with any GeoJSON editor")
    })?;
    let (features, foreign) = match parsed {
        GeoJson::FeatureCollection(collection) => (collection.features, collection.foreign_members),
        GeoJson::Feature(feature) => (vec![feature], None),
        GeoJson::Geometry(geometry) => (vec![Feature::from(geometry)], None),
    };
    check_reference_system(foreign.as_ref().and_then(|members| members.get("crs")))?;
    if features.is_empty() {
        return Err(Error::new("the file holds no regions")
            .found("an empty FeatureCollection")
            .expected("at least one Feature")
            .remedy("draw a region and save the file again"));
    }
    let mut regions: Vec<Region> = Vec::with_capacity(features.len());
    let mut numbers: Vec<usize> = Vec::with_capacity(features.len());
    let mut faults: Vec<Error> = Vec::new();
    for (i, feature) in features.iter().enumerate() {
        let number = i + 1;
        let region = match region(feature, number) {
            Ok(region) => region,
            Err((ring, error)) => {
                faults.push(error.at(format!("feature {number}{ring}")));
                continue;
            }
        };
        let folded = region.name.to_lowercase();
        if let Some(other) = regions.iter().position(|other| other.name.to_lowercase() == folded) {
            faults.push(two_of_a_name(&region.name, number, &regions[other].name, numbers[other]));
        }
        regions.push(region);
        numbers.push(number);
    }
    match faults.len() {
        0 => Ok(regions),
        1 => Err(faults.remove(0)),
        count => {
            let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
            Err(Error::new(format!("{count} regions cannot be used"))
                .found(told.join("\n"))
                .expected("closed polygons with names of their own, longitude before latitude")
                .remedy("mend them all, and save the file again"))
        }
    }
}

fn two_of_a_name(name: &str, number: usize, other: &str, other_number: usize) -> Error {
    Error::new("two regions have one name")
        .at(format!("feature {number}"))
        .found(format!("\"{name}\", and \"{other}\" in feature {other_number}"))
        .expected("names that differ by more than upper and lower case")
        .remedy("rename one of them")
}

/// RFC 7946 knows WGS 84 alone; older files may state another system in `crs`.
fn check_reference_system(crs: Option<&serde_json::Value>) -> Result<()> {
    let Some(crs) = crs.filter(|crs| !crs.is_null()) else { return Ok(()) };
    let name = crs.pointer("/properties/name").and_then(serde_json::Value::as_str).unwrap_or("unnamed");
    if name.ends_with("CRS84") || name.ends_with(":4326") {
        return Ok(());
    }
    Err(Error::new("the regions are not in longitude and latitude")
        .at("member \"crs\"")
        .found(name)
        .expected("WGS 84 longitude and latitude in degrees, as RFC 7946 demands")
        .remedy("export the file again in EPSG:4326"))
}

/// An error with its place within the feature.
type Placed<T> = std::result::Result<T, (String, Error)>;

fn region(feature: &Feature, number: usize) -> Placed<Region> {
    let mut notes = Vec::new();
    let name = match name(feature) {
        Some(name) => {
            check_name(&name).map_err(|error| (String::new(), error))?;
            name
        }
        None => {
            notes.push(format!("has no name in the file and is called by its place, feature {number}"));
            format!("Region {number}")
        }
    };
    let within = |(place, error): (String, Error)| (format!(" \"{name}\"{place}"), error);
    let polygons = polygons(feature, &mut notes).map_err(within)?;
    check_apart(&polygons).map_err(|error| within((String::new(), error)))?;
    Ok(Region { name, polygons: MultiPolygon(polygons), notes })
}

/// Where a region's name is looked for, in this order.
const NAME_PROPERTIES: [&str; 5] = ["name", "Name", "NAME", "title", "id"];

fn name(feature: &Feature) -> Option<String> {
    let text = |value: &serde_json::Value| match value {
        serde_json::Value::String(text) => Some(text.trim().to_owned()).filter(|text| !text.is_empty()),
        serde_json::Value::Number(number) => Some(number.to_string()),
        _ => None,
    };
    let of_feature = || match feature.id.as_ref()? {
        geojson::feature::Id::String(id) => Some(id.trim().to_owned()).filter(|id| !id.is_empty()),
        geojson::feature::Id::Number(id) => Some(id.to_string()),
    };
    NAME_PROPERTIES.iter().find_map(|key| feature.property(key).and_then(text)).or_else(of_feature)
}

fn polygons(feature: &Feature, notes: &mut Vec<String>) -> Placed<Vec<Polygon>> {
    let wrong = |found: &str| {
        let error = Error::new("a region is not a polygon")
            .found(found.to_owned())
            .expected("Polygon or MultiPolygon");
        (String::new(), error.remedy("draw the region's outline as a closed polygon"))
    };
    let parts = match feature.geometry.as_ref().map(|geometry| &geometry.value) {
        Some(GeometryValue::Polygon { coordinates }) => std::slice::from_ref(coordinates),
        Some(GeometryValue::MultiPolygon { coordinates }) => coordinates.as_slice(),
        Some(other) => return Err(wrong(other.type_name())),
        None => return Err(wrong("no geometry")),
    };
    if parts.is_empty() {
        return Err(wrong("a MultiPolygon without polygons"));
    }
    let mut polygons: Vec<Polygon> = Vec::with_capacity(parts.len());
    for (i, rings) in parts.iter().enumerate() {
        let place = if parts.len() > 1 { format!(", polygon {}", i + 1) } else { String::new() };
        let polygon = polygon(rings, notes).map_err(|(ring, error)| (format!("{place}{ring}"), error))?;
        let shift = match polygons.first() {
            None => whole_turns(west(&polygon) + 180.0),
            Some(first) => whole_turns(middle(&polygon) - middle(first) + 180.0),
        };
        polygons.push(polygon.translate(-shift, 0.0));
    }
    Ok(polygons)
}

/// The multiple of 360 at or below an angle.
fn whole_turns(deg: f64) -> f64 {
    360.0 * (deg / 360.0).floor()
}

fn west(polygon: &Polygon) -> f64 {
    polygon.bounding_rect().map_or(0.0, |rect| rect.min().x)
}

fn middle(polygon: &Polygon) -> f64 {
    polygon.bounding_rect().map_or(0.0, |rect| rect.center().x)
}

fn polygon(rings: &[Vec<Position>], notes: &mut Vec<String>) -> Placed<Polygon> {
    let mut lines = Vec::with_capacity(rings.len());
    for (i, positions) in rings.iter().enumerate() {
        let place = if i == 0 { ", outer ring".to_owned() } else { format!(", hole {i}") };
        lines.push(ring(positions, notes).map_err(|(vertex, error)| (format!("{place}{vertex}"), error))?);
    }
    let mut lines = lines.into_iter();
    let Some(outer) = lines.next() else {
        let error = Error::new("a polygon has no ring").found("no coordinates").expected("an outer ring");
        return Err((String::new(), error.remedy("draw the polygon, or take the feature out")));
    };
    // a hole may have been unwrapped on another turn than the ring around it
    let centre = middle(&Polygon::new(outer.clone(), vec![]));
    let holes = lines.map(|hole| {
        let shift = whole_turns(middle(&Polygon::new(hole.clone(), vec![])) - centre + 180.0);
        hole.translate(-shift, 0.0)
    });
    let polygon = Polygon::new(outer, holes.collect());
    check_valid(&polygon).map_err(|error| (String::new(), error))?;
    Ok(polygon)
}

fn check_valid(polygon: &Polygon) -> Result<()> {
    if let Some(fault) = validity::fault(polygon) {
        return Err(Error::new("a polygon is not valid")
            .found(fault)
            .expected("rings that neither cross themselves nor one another, holes inside the outer ring")
            .remedy("redraw the polygon; where two edges cross, swap the vertices between them"));
    }
    let width = polygon.bounding_rect().map_or(0.0, |rect| rect.width());
    if width > 360.0 {
        return Err(Error::new("a polygon spans more than a full turn of longitude")
            .found(format!("{width} degrees"))
            .expected("at most 360")
            .remedy("cut it so that it does not overlap itself"));
    }
    let area_m2 = polygon_m2(polygon);
    if area_m2 < LEAST_AREA_M2 {
        return Err(Error::new("a polygon encloses no area")
            .found(format!("{area_m2:.1} m2"))
            .expected("vertices that do not all lie on one line")
            .remedy("redraw the polygon; for the sea along a line, use a corridor"));
    }
    Ok(())
}

fn ring(positions: &[Position], notes: &mut Vec<String>) -> Placed<LineString> {
    let coords = positions
        .iter()
        .enumerate()
        .map(|(i, position)| coord(position).map_err(|error| (format!(", position {}", i + 1), error)));
    let mut coords = coords.collect::<Placed<Vec<Coord>>>()?;
    check_closed(&coords).map_err(|error| (String::new(), error))?;
    match unwrap(&mut coords) {
        Unwrapped::AsWritten => {}
        Unwrapped::Joined(from, to) => notes.push(format!(
            "the edge from longitude {} to {} is taken across 180 degrees, the short way",
            from.x, to.x
        )),
        Unwrapped::Ambiguous(from, to) => {
            let error = Error::new("an edge may run either way around the earth")
                .found(format!("from longitude {} to {}", from.x, to.x))
                .expected("edges of at most 180 degrees")
                .remedy("put a vertex between the two; across 180, let longitudes run on beyond 180");
            return Err((String::new(), error));
        }
        Unwrapped::EnclosesPole => {
            let error = Error::new("a ring runs around a pole")
                .found("longitudes that make a full turn")
                .expected("a ring in the plane of longitude and latitude")
                .remedy("close it along the pole: from longitude -180 to 180, then to latitude 90 (or -90) and back");
            return Err((String::new(), error));
        }
    }
    Ok(LineString(coords))
}

fn coord(position: &Position) -> Result<Coord> {
    let &[x, y, ..] = position.as_slice() else {
        return Err(Error::new("a position has too few numbers")
            .found(format!("{:?}", position.as_slice()))
            .expected("[longitude, latitude]")
            .remedy("give both numbers"));
    };
    if (-540.0..=540.0).contains(&x) && (-90.0..=90.0).contains(&y) {
        return Ok(Coord { x, y });
    }
    Err(Error::new("a position is out of range")
        .found(format!("[{x}, {y}]"))
        .expected("[longitude, latitude] in degrees, latitude within -90..90, longitude within -540..540")
        .remedy("longitude stands first; check that the two are not swapped"))
}

fn check_closed(ring: &[Coord]) -> Result<()> {
    if ring.len() < 4 {
        return Err(Error::new("a ring has too few positions")
            .found(ring.len())
            .expected("at least four, the last equal to the first")
            .remedy("draw at least a triangle and repeat its first position at the end"));
    }
    let (first, last) = (ring[0], ring[ring.len() - 1]);
    if first != last {
        return Err(Error::new("a ring is not closed")
            .found(format!("first [{}, {}], last [{}, {}]", first.x, first.y, last.x, last.y))
            .expected("the last position equal to the first")
            .remedy("repeat the first position at the end"));
    }
    Ok(())
}

/// Polygons of one region may touch, as on both sides of 180, but not overlap, on any turn.
fn check_apart(polygons: &[Polygon]) -> Result<()> {
    for (i, first) in polygons.iter().enumerate() {
        for (j, second) in polygons.iter().enumerate().skip(i + 1) {
            if [-360.0, 0.0, 360.0].iter().any(|&turn| overlap(first, &second.translate(turn, 0.0))) {
                return Err(Error::new("two polygons of a region overlap")
                    .found(format!("polygons {} and {}", i + 1, j + 1))
                    .expected("polygons that share no area")
                    .remedy("join them, or cut one"));
            }
        }
    }
    Ok(())
}

fn overlap(first: &Polygon, second: &Polygon) -> bool {
    let boxes = first.bounding_rect().zip(second.bounding_rect());
    boxes.is_some_and(|(a, b)| a.intersects(&b))
        && first.relate(second).get(CoordPos::Inside, CoordPos::Inside) == Dimensions::TwoDimensional
}
