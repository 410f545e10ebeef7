//! A region's outline as text, exact both ways: a GeoJSON MultiPolygon whose longitudes may run on beyond 180.

use crate::base::{Error, Result};
use geo::{Coord, LineString, MultiPolygon, Polygon};
use geojson::{Geometry, GeometryValue, Position};

/// The outline as a GeoJSON geometry.
pub fn to_text(polygons: &MultiPolygon) -> String {
    Geometry::new(GeometryValue::from(polygons)).to_string()
}

/// The outline that [`to_text`] wrote.
///
/// # Errors
/// Text that is no such geometry; a ring that cannot be closed; a position out of range.
pub fn from_text(text: &str) -> Result<MultiPolygon> {
    let unread = || {
        Error::new("an outline cannot be read")
            .found(text.chars().take(80).collect::<String>())
            .expected("a GeoJSON MultiPolygon with closed rings of longitudes and latitudes")
    };
    let geometry: Geometry = text.parse().map_err(|_| unread())?;
    let GeometryValue::MultiPolygon { coordinates } = &geometry.value else { return Err(unread()) };
    let polygons = coordinates.iter().map(|rings| polygon(rings)).collect::<Option<Vec<_>>>();
    polygons.filter(|polygons| !polygons.is_empty()).map(MultiPolygon).ok_or_else(unread)
}

fn polygon(rings: &[Vec<Position>]) -> Option<Polygon> {
    let mut rings = rings.iter().map(|positions| ring(positions));
    let outer = rings.next()??;
    Some(Polygon::new(outer, rings.collect::<Option<_>>()?))
}

fn ring(positions: &[Position]) -> Option<LineString> {
    let coord = |position: &Position| match position.as_slice() {
        &[x, y, ..] if x.abs() <= 1080.0 && y.abs() <= 90.0 => Some(Coord { x, y }),
        _ => None,
    };
    let coords: Vec<Coord> = positions.iter().map(coord).collect::<Option<_>>()?;
    (coords.len() >= 4 && coords.first() == coords.last()).then_some(LineString(coords))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outlines_come_back_as_they_went() {
        let ring = vec![(170.1, -50.3), (190.7, -50.3), (190.7, 0.1 + 0.2), (170.1, -50.3)];
        let hole = vec![(180.0, -40.0), (181.0, -40.0), (181.0, -39.0), (180.0, -40.0)];
        let whole = MultiPolygon(vec![Polygon::new(ring.into(), vec![hole.into()])]);
        assert_eq!(from_text(&to_text(&whole)).unwrap(), whole);
    }

    #[test]
    fn other_texts_are_refused() {
        for text in [
            "",
            "{}",
            r#"{"type":"Point","coordinates":[1,2]}"#,
            r#"{"type":"MultiPolygon","coordinates":[]}"#,
            r#"{"type":"MultiPolygon","coordinates":[[]]}"#,
            r#"{"type":"MultiPolygon","coordinates":[[[[1],[1],[1],[1]]]]}"#,
            r#"{"type":"MultiPolygon","coordinates":[[[[1,2],[2,2],[2,3],[1,1]]]]}"#,
            r#"{"type":"MultiPolygon","coordinates":[[[[1,99],[2,2],[2,3],[1,99]]]]}"#,
        ] {
            assert!(from_text(text).is_err(), "{text}");
        }
    }
}
