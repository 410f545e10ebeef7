//! A track from GPX, GeoJSON, CSV or typed waypoints: its positions, longitudes running on across 180.

use crate::base::bearing::wrap180;
use crate::base::position::{latitude, longitude, position};
use crate::base::{Error, Result, guarded};
use geo::Coord;
use geojson::{Feature, GeoJson, Geometry, GeometryValue};
use std::path::Path;

/// Reads a track of at least two different positions, degrees: the one track or route of a GPX file, the segments of a
/// track joined; the one LineString of a GeoJSON file; the positions of a CSV file, a line each; or, where there is no such
/// file, the waypoints that stand in place of its name ([`typed`]).
///
/// # Errors
/// A file that is none of these; none or several tracks; a position that cannot be read or is out of range.
pub fn read(path: &Path) -> Result<Vec<Coord>> {
    if let Some(waypoints) = typed(path) {
        return waypoints_of(waypoints).and_then(unwrapped).map_err(|error| error.input(waypoints));
    }
    let text = crate::files::text_file::read(path)?;
    let positions = match text.trim_start().chars().next() {
        Some('<') => gpx(&text),
        Some('{' | '[') => geojson(&text),
        _ => csv(&text),
    };
    positions.and_then(unwrapped).map_err(|error| error.file(path))
}

/// Waypoints that stand where a track's file would, with `;` between them, such as `52S 168E; 53°30'S 175E`.
pub fn typed(path: &Path) -> Option<&str> {
    path.to_str().filter(|text| text.contains(';') && !path.exists())
}

fn waypoints_of(text: &str) -> Result<Vec<Coord>> {
    let waypoints = text.split(';').map(str::trim).filter(|waypoint| !waypoint.is_empty());
    let place = |(number, waypoint): (usize, &str)| {
        let (y, x) =
            position(waypoint).map_err(|wrong| unread(wrong).at(format!("waypoint {}", number + 1)))?;
        Ok(Coord { x, y })
    };
    waypoints.enumerate().map(place).collect()
}

fn unread(found: String) -> Error {
    Error::new("a position of the track cannot be read")
        .found(found)
        .expected("latitude, then longitude, such as 52.5S 179.5W, 52°30'S 179°30'W or -52.5, -179.5")
        .remedy("correct it; in a CSV file columns named lat and lon, or a position a line")
}

/// Positions a line each, in columns that a header names `lat` and `lon` or as sailors write them, whatever else stands there.
fn csv(text: &str) -> Result<Vec<Coord>> {
    let filled = |line: &&str| !line.trim().is_empty() && !line.trim_start().starts_with('#');
    let mut lines = text.split('\n').enumerate().filter(|(_, line)| filled(line)).peekable();
    let delimiter =
        lines.peek().and_then(|(_, line)| ['\t', ';', ','].into_iter().find(|c| line.contains(*c)));
    let fields = |line: &str| -> Vec<String> {
        let parts = line.split(delimiter.unwrap_or('\n'));
        parts.map(|field| field.trim().trim_matches('"').to_owned()).collect()
    };
    let named =
        |name: &str, names: &[String]| names.iter().position(|own| own.to_lowercase().starts_with(name));
    let columns = lines.peek().and_then(|(_, line)| {
        let names = fields(line);
        named("lat", &names).zip(named("lon", &names).or_else(|| named("lng", &names)))
    });
    if columns.is_some() {
        lines.next();
    }
    lines
        .map(|(number, line)| {
            let fields = fields(line);
            let placed = |wrong: String| unread(wrong).at(format!("line {}", number + 1));
            let (y, x) = match columns {
                Some((lat, lon)) => {
                    let field = |column: usize| fields.get(column).map_or("", String::as_str);
                    (latitude(field(lat)).map_err(placed)?, longitude(field(lon)).map_err(placed)?)
                }
                None => any_position(&fields).ok_or_else(|| placed(line.trim().to_owned()))?,
            };
            Ok(Coord { x, y })
        })
        .collect()
}

/// The first two neighbouring fields that are a position, or the first field that is one.
fn any_position(fields: &[String]) -> Option<(f64, f64)> {
    let pair = |pair: &[String]| latitude(&pair[0]).ok().zip(longitude(&pair[1]).ok());
    fields.windows(2).find_map(pair).or_else(|| fields.iter().find_map(|field| position(field).ok()))
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tracks_are_read_as_people_have_them() {
        let folder = tempfile::tempdir().unwrap();
        let expected =
            [Coord { x: 168.0, y: -52.0 }, Coord { x: 175.5, y: -53.5 }, Coord { x: 181.0, y: -53.0 }];
        for text in [
            "lat,lon\n-52,168\n-53.5,175.5\n-53,-179\n",
            "name;Latitude;Longitude\nA;52S;168E\n\"B\";53°30'S;175°30'E\nC;53 00.0S;179 00.0W\n",
            "# waypoints\n52S 168E\n53 30S 175 30E\n\n53S 179W\n",
            "WP1,52S,168E\nWP2,53.5S,175.5E\nWP3,53S,179W\n",
        ] {
            let path = folder.path().join("track.csv");
            std::fs::write(&path, text).unwrap();
            assert_eq!(read(&path).unwrap(), expected, "{text}");
        }
        assert_eq!(read(Path::new("52S 168E; 53°30'S 175°30'E; 53S, 179W")).unwrap(), expected);
        let error = read(Path::new("52S 168E; nowhere")).unwrap_err().to_string();
        assert!(error.contains("waypoint 2") && error.contains("nowhere"), "{error}");
        let path = folder.path().join("track.csv");
        std::fs::write(&path, "lat,lon\n-52,168\n-53.5,east\n").unwrap();
        assert!(read(&path).unwrap_err().to_string().contains("line 3"));
    }
}
