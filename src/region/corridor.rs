//! Regions along a track: a corridor of constant half-width, cut into legs.
//!
//! The track follows geodesics (WGS 84) from position to position. Each leg is drawn in the azimuthal equidistant
//! projection about its own middle: distances from the middle are exact, distances across are too long by c / sin c at
//! the angular distance c (Snyder 1987, Map Projections, eq. 25-2 ff., spherical), 0.4 % at 500 nautical miles. There
//! it is widened by the half-width with round ends and drawn back. What lies within an earlier leg is cut away, so that a
//! position belongs to the first leg that comes by it.

use crate::base::bearing::wrap180;
use crate::base::units::NAUTICAL_MILE_M as NM_M;
use crate::base::{Error, Result};
use crate::region::named::Region;
use crate::region::track;
use geo::algorithm::line_measures::{Bearing, Destination, Distance, Geodesic, InterpolatePoint};
use geo::{
    Area, BooleanOps, BoundingRect, Buffer, Coord, LineString, MapCoords, MultiPolygon, Point, Translate,
};
use std::ops::RangeInclusive;
use std::path::Path;

/// Geodesics and outlines are drawn in pieces of at most this, so that straight edges in longitude and latitude follow
/// them: at 60 degrees of latitude the middle of such an edge lies 0.06 nautical miles off.
const PIECE_M: f64 = 15.0 * NM_M;
const HALF_WIDTHS_NM: RangeInclusive<f64> = 1.0..=300.0;
const LEGS_NM: RangeInclusive<f64> = 5.0..=600.0;
const MOST_LEGS: f64 = 1000.0;
/// Closer to a pole an outline would run around it.
const LARGEST_LATITUDE_DEG: f64 = 85.0;
/// Slivers left by cutting, as a part of the leg's own area.
const SLIVER: f64 = 1e-6;

/// The legs of a corridor along the track of a file, see [`track::read`] and [`legs`].
///
/// # Errors
/// As [`track::read`] and [`legs`].
pub fn read(path: &Path, half_width_nm: f64, leg_nm: f64) -> Result<Vec<Region>> {
    legs(&track::read(path)?, half_width_nm, leg_nm).map_err(|error| error.file(path))
}

/// The legs of a corridor, each a region: equal lengths of at most `leg_nm`, named `leg 01`, `leg 02` ... along the track.
///
/// Longitudes of the track run on across 180 (within half a turn of the one before).
///
/// # Errors
/// A half-width outside 1..300 or a leg outside 5..600 nautical miles; more than 1000 legs; a corridor that comes within
/// 5 degrees of a pole.
pub fn legs(track: &[Coord], half_width_nm: f64, leg_nm: f64) -> Result<Vec<Region>> {
    check(track, half_width_nm, leg_nm)?;
    let track = &thinned(track, half_width_nm);
    let lines = cut(&fine(track), leg_nm)?;
    let digits = lines.len().to_string().len().max(2);
    let mut earlier: Vec<MultiPolygon> = Vec::new();
    let mut regions = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        let whole = widened(line, half_width_nm * NM_M);
        let own = without(&whole, &earlier);
        earlier.push(whole);
        if !own.0.is_empty() {
            let name = format!("leg {:0digits$}", index + 1);
            regions.push(Region { name, polygons: on_first_turn(own), notes: Vec::new() });
        }
    }
    Ok(regions)
}

fn check(track: &[Coord], half_width_nm: f64, leg_nm: f64) -> Result<()> {
    for (what, value, range) in [("half-width", half_width_nm, HALF_WIDTHS_NM), ("leg", leg_nm, LEGS_NM)] {
        if !range.contains(&value) {
            return Err(Error::new(format!("the corridor's {what} is out of range"))
                .found(format!("{value} nautical miles"))
                .expected(format!("{} to {} nautical miles", range.start(), range.end())));
        }
    }
    let limit = LARGEST_LATITUDE_DEG - half_width_nm / 60.0;
    match fine(&thinned(track, half_width_nm)).iter().find(|position| position.y.abs() > limit) {
        None => Ok(()),
        Some(position) => Err(Error::new("the corridor comes too close to a pole")
            .found(format!(
                "latitude {:.2} on the way, and {half_width_nm} nautical miles beyond",
                position.y
            ))
            .expected(format!("all of it within {LARGEST_LATITUDE_DEG} degrees of latitude"))
            .remedy("put positions between those of the track, or make the corridor narrower")),
    }
}

/// Positions closer than this part of the half-width to the one before are left out: they move an outline by no more.
const THIN: f64 = 1e-3;

/// The track without positions that are too close to matter, as a recorder writes them each second.
fn thinned(track: &[Coord], half_width_nm: f64) -> Vec<Coord> {
    let least_deg = THIN * half_width_nm / 60.0;
    let mut kept: Vec<Coord> = Vec::new();
    for (number, position) in track.iter().enumerate() {
        let near = |last: &Coord| {
            let east_deg = (position.x - last.x) * last.y.to_radians().cos();
            east_deg.hypot(position.y - last.y) < least_deg
        };
        let is_end = number + 1 == track.len();
        if is_end || kept.last().is_none_or(|last| !near(last)) {
            kept.push(*position);
        }
    }
    kept
}

/// The track with positions along its geodesics, none further apart than a piece.
fn fine(track: &[Coord]) -> Vec<Coord> {
    let mut positions: Vec<Coord> = track.first().copied().into_iter().collect();
    for pair in track.windows(2) {
        let (from, to) = (Point(pair[0]), Point(pair[1]));
        let pieces = (Geodesic.distance(from, to) / PIECE_M).ceil().max(1.0);
        positions.extend((1..pieces as usize).map(|piece| {
            unwrapped(Geodesic.point_at_ratio_between(from, to, piece as f64 / pieces).0, pair[0].x)
        }));
        positions.push(pair[1]);
    }
    positions
}

/// A position on the turn within half a turn of a longitude.
fn unwrapped(position: Coord, near_deg: f64) -> Coord {
    Coord { x: near_deg + wrap180(position.x - near_deg), y: position.y }
}

/// The track in equal lengths of at most a leg.
fn cut(track: &[Coord], leg_nm: f64) -> Result<Vec<Vec<Coord>>> {
    let lengths_m: Vec<f64> =
        track.windows(2).map(|pair| Geodesic.distance(Point(pair[0]), Point(pair[1]))).collect();
    let whole_m: f64 = lengths_m.iter().sum();
    let count = (whole_m / (leg_nm * NM_M)).ceil().max(1.0);
    if count > MOST_LEGS {
        return Err(Error::new("the corridor has too many legs")
            .found(format!("{count} legs in {:.0} nautical miles", whole_m / NM_M))
            .expected(format!("at most {MOST_LEGS}"))
            .remedy("take longer legs"));
    }
    let leg_m = whole_m / count;
    let mut legs = vec![vec![track[0]]];
    let mut left_m = leg_m;
    for (pair, length_m) in track.windows(2).zip(lengths_m) {
        let mut done_m = 0.0;
        while length_m - done_m > left_m && (legs.len() as f64) < count {
            done_m += left_m;
            let (from, to) = (Point(pair[0]), Point(pair[1]));
            let at = unwrapped(Geodesic.point_at_ratio_between(from, to, done_m / length_m).0, pair[0].x);
            legs.last_mut().into_iter().for_each(|leg| leg.push(at));
            legs.push(vec![at]);
            left_m = leg_m;
        }
        left_m -= length_m - done_m;
        legs.last_mut().into_iter().for_each(|leg| leg.push(pair[1]));
    }
    Ok(legs)
}

/// A line widened by a distance, drawn in the plane about its middle.
fn widened(line: &[Coord], half_width_m: f64) -> MultiPolygon {
    let middle = line[line.len() / 2];
    let centre = Point(middle);
    let plane: LineString = line
        .iter()
        .map(|position| {
            let there = Point(*position);
            let bearing = Geodesic.bearing(centre, there).to_radians();
            let distance = Geodesic.distance(centre, there);
            Coord { x: distance * bearing.sin(), y: distance * bearing.cos() }
        })
        .collect();
    densified(&plane.buffer(half_width_m)).map_coords(|at| {
        let there = Geodesic.destination(centre, at.x.atan2(at.y).to_degrees(), at.x.hypot(at.y));
        unwrapped(there.0, middle.x)
    })
}

/// Edges in pieces, in the plane.
fn densified(polygons: &MultiPolygon) -> MultiPolygon {
    use geo::{Densify, Euclidean};
    Euclidean.densify(polygons, PIECE_M)
}

/// What of a leg no earlier leg covers.
fn without(leg: &MultiPolygon, earlier: &[MultiPolygon]) -> MultiPolygon {
    let area = leg.unsigned_area();
    let touched = |other: &&MultiPolygon| {
        leg.bounding_rect()
            .zip(other.bounding_rect())
            .is_some_and(|(a, b)| geo::Intersects::intersects(&a, &b))
    };
    let mut own = leg.clone();
    for other in earlier.iter().filter(touched) {
        own = own.difference(other);
    }
    own.0.retain(|polygon| polygon.unsigned_area() > SLIVER * area);
    own
}

/// The region's polygons shifted by whole turns, so that the first begins within [-180, 180).
fn on_first_turn(polygons: MultiPolygon) -> MultiPolygon {
    let west = polygons.0.first().and_then(BoundingRect::bounding_rect).map_or(0.0, |rect| rect.min().x);
    polygons.translate(wrap180(west) - west, 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const NM2: f64 = NM_M * NM_M;

    fn coords(positions: &[(f64, f64)]) -> Vec<Coord> {
        positions.iter().map(|&(x, y)| Coord { x, y }).collect()
    }

    /// By hand, in the plane: 600 x 100 square miles and two half discs of 50 miles' radius. On the sphere the strip
    /// about a great circle has the area 2 R sin(w/R) x length, less by (w/R)²/6 = 4e-5 of it. Areas are measured on a
    /// sphere and lengths on WGS 84, which differ by some 0.3 %.
    #[test]
    fn a_straight_corridor_has_the_area_of_a_strip_with_round_ends() {
        let east = legs(&coords(&[(0.0, 0.0), (600.0 / 60.04, 0.0)]), 50.0, 600.0).unwrap();
        let area: f64 = east.iter().map(Region::area_m2).sum();
        let expected = (600.0 * 100.0 + std::f64::consts::PI * 2500.0) * NM2;
        assert_relative_eq!(area, expected, max_relative = 0.01);
    }

    /// Cut into legs it is the same corridor: areas add, and neighbours share no area. By hand, in the plane: legs of
    /// 306 and 410 miles, so eight of at most 100.
    #[test]
    fn legs_make_up_the_corridor() {
        let track = coords(&[(170.0, -45.0), (176.0, -48.0), (186.0, -47.0)]);
        let whole = legs(&track, 40.0, 600.0).unwrap();
        let parts = legs(&track, 40.0, 100.0).unwrap();
        assert_eq!(parts.len(), 8);
        assert_eq!((parts[0].name.as_str(), parts[7].name.as_str()), ("leg 01", "leg 08"));
        let area = |regions: &[Region]| regions.iter().map(Region::area_m2).sum::<f64>();
        assert_relative_eq!(area(&parts), area(&whole), max_relative = 0.005);
        for region in &parts {
            let west = region.polygons.0[0].bounding_rect().unwrap().min().x;
            assert!((-180.0..180.0).contains(&west), "{west}");
        }
        for pair in parts.windows(2) {
            let turn = if pair[1].polygons.bounding_rect().unwrap().min().x < 0.0 { 360.0 } else { 0.0 };
            let turn = if pair[0].polygons.bounding_rect().unwrap().min().x < 0.0 { 0.0 } else { turn };
            let shared =
                pair[0].polygons.intersection(&pair[1].polygons.translate(turn, 0.0)).unsigned_area();
            assert!(shared < 1e-3, "{shared} square degrees");
        }
    }

    /// Every vertex of an outline lies at the half-width from the track, by geodesic distance.
    #[test]
    fn outlines_keep_their_distance_across_180() {
        let track = coords(&[(175.0, -50.0), (185.0, -55.0)]);
        let fine = fine(&track);
        let region = &legs(&track, 60.0, 600.0).unwrap()[0];
        for vertex in region.polygons.0[0].exterior() {
            let nearest = fine
                .windows(2)
                .map(|pair| distance_to_piece(Point(*vertex), Point(pair[0]), Point(pair[1])))
                .fold(f64::INFINITY, f64::min);
            assert_relative_eq!(nearest / NM_M, 60.0, max_relative = 0.005);
        }
    }

    fn distance_to_piece(point: Point, from: Point, to: Point) -> f64 {
        (0..=20)
            .map(|i| Geodesic.distance(point, Geodesic.point_at_ratio_between(from, to, f64::from(i) / 20.0)))
            .fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn impossible_corridors_are_refused() {
        let track = coords(&[(0.0, 0.0), (30.0, 0.0)]);
        for (half_width, leg, word) in [
            (0.0, 100.0, "half-width"),
            (f64::NAN, 100.0, "half-width"),
            (50.0, 1e4, "leg"),
            (1.0, f64::NAN, "leg"),
        ] {
            assert!(legs(&track, half_width, leg).unwrap_err().to_string().contains(word));
        }
        let polar = coords(&[(0.0, 80.0), (150.0, 80.0)]);
        assert!(legs(&polar, 50.0, 300.0).unwrap_err().to_string().contains("pole"));
        let long = coords(&[(0.0, 0.0), (90.0, 0.0), (179.0, 0.0)]);
        assert!(legs(&long, 1.0, 5.0).unwrap_err().to_string().contains("too many legs"));
    }
}
