//! A track from GPX or GeoJSON: its positions, longitudes running on across 180.

use crate::base::bearing::wrap180;
use crate::base::{Error, Result, guarded};
use geo::Coord;
use geojson::{Feature, GeoJson, Geometry, GeometryValue};
use std::path::Path;

/// Reads a track of at least two different positions, degrees: the one track or route of a GPX file, the segments of a
/// track joined; or the one LineString of a GeoJSON file.
///
/// # Errors
/// A file that is neither; none or several tracks; a position out of range.
pub fn read(path: &Path) -> Result<Vec<Coord>> {
    let text = crate::files::text_file::read(path)?;
    let positions = if text.trim_start().starts_with('<') { gpx(&text) } else { geojson(&text) };
    positions.and_then(unwrapped).map_err(|error| error.file(path))
}

fn gpx(text: &str) -> Result<Vec<Coord>> {
    let unread = |found: String| {
        Error::new("the track is not a GPX file that can be read")
            .found(found)
            .expected("GPX 1.0 or 1.1")
            .remedy("export it again, without speeds or extensions; or as a GeoJSON LineString")
    };
    let gpx =
        guarded(|| gpx::read(text.as_bytes())).ok_or_else(|| unread("data without sense".to_owned()))?;
    let gpx = gpx.map_err(|error| unread(error.to_string()))?;
    let tracks = gpx.tracks.iter().map(|track| {
        track.segments.iter().flat_map(|segment| &segment.points).map(|point| point.point().0).collect()
    });
    let routes = gpx.routes.iter().map(|route| route.points.iter().map(|point| point.point().0).collect());
    the_one(if gpx.tracks.is_empty() { routes.collect() } else { tracks.collect() })
}

fn geojson(text: &str) -> Result<Vec<Coord>> {
    let parsed: GeoJson = text.parse().map_err(|error: geojson::Error| {
        Error::new("the track is neither GPX nor valid GeoJSON")
            .found(error)
            .expected("GPX, or a GeoJSON LineString (RFC 7946)")
            .remedy("check the file with any GeoJSON editor")
    })?;
    let of_features =
        |features: Vec<Feature>| features.into_iter().filter_map(|feature| feature.geometry).collect();
    let geometries: Vec<Geometry> = match parsed {
        GeoJson::Geometry(geometry) => vec![geometry],
        GeoJson::Feature(feature) => of_features(vec![feature]),
        GeoJson::FeatureCollection(collection) => of_features(collection.features),
    };
    let lines = geometries.iter().filter_map(|geometry| match &geometry.value {
        GeometryValue::LineString { coordinates } => Some(coordinates),
        _ => None,
    });
    let coord = |position: &geojson::Position| match position.as_slice() {
        &[x, y, ..] => Ok(Coord { x, y }),
        short => Err(out_of_range(&format!("{short:?}"))),
    };
    let lines = lines.map(|line| line.iter().map(coord).collect()).collect::<Result<_>>()?;
    the_one(lines)
}

fn the_one(mut tracks: Vec<Vec<Coord>>) -> Result<Vec<Coord>> {
    match (tracks.len(), tracks.pop()) {
        (1, Some(track)) => Ok(track),
        (count, _) => Err(Error::new("the file does not hold one track")
            .found(format!("{count} tracks, routes or lines"))
            .expected("one")
            .remedy("keep the one to make a corridor of")),
    }
}

fn out_of_range(found: &str) -> Error {
    Error::new("a position of the track is out of range")
        .found(found)
        .expected("longitude within -540..540 and latitude within -90..90 degrees")
        .remedy("longitude stands first in GeoJSON; check that the two are not swapped")
}

/// Positions with each longitude within half a turn of the one before, repeated positions left out.
fn unwrapped(track: Vec<Coord>) -> Result<Vec<Coord>> {
    let mut positions: Vec<Coord> = Vec::with_capacity(track.len());
    for position in track {
        if !((-540.0..=540.0).contains(&position.x) && (-90.0..=90.0).contains(&position.y)) {
            return Err(out_of_range(&format!("longitude {}, latitude {}", position.x, position.y)));
        }
        let x = match positions.last() {
            None => wrap180(position.x),
            Some(last) => last.x + wrap180(position.x - last.x),
        };
        let next = Coord { x, y: position.y };
        if positions.last() != Some(&next) {
            positions.push(next);
        }
    }
    if positions.len() < 2 {
        return Err(Error::new("the track is too short")
            .found(format!("{} different positions", positions.len()))
            .expected("at least two"));
    }
    Ok(positions)
}
