//! The exact area of a polygon on a sphere whose edges are straight in longitude and latitude.
//!
//! By Green's theorem A = -R^2 * closed integral of sin(lat) d(lon), counter-clockwise. Along a straight edge from
//! (l1, p1) to (l2, p2) the integral is (l2 - l1) * sin(m) * sin(h) / h with m = (p1 + p2)/2 and h = (p2 - p1)/2,
//! since the mean of the sine over [p1, p2] is (cos p1 - cos p2)/(p2 - p1).

use crate::base::units::EARTH_RADIUS_M;
use geo::{Coord, LineString, Polygon};

/// Area of a polygon less its holes, m2; degrees in.
pub(super) fn polygon_m2(polygon: &Polygon) -> f64 {
    let holes: f64 = polygon.interiors().iter().map(|ring| ring_m2(ring).abs()).sum();
    ring_m2(polygon.exterior()).abs() - holes
}

fn ring_m2(ring: &LineString) -> f64 {
    signed_m2(&ring.0)
}

/// Area inside a ring, m2, positive counter-clockwise; the last vertex is joined to the first.
pub(super) fn signed_m2(ring: &[Coord]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    let integral: f64 = ring.iter().zip(next).map(|(&from, &to)| edge(from, to)).sum();
    -EARTH_RADIUS_M * EARTH_RADIUS_M * integral
}

/// Area of a box, m2, degrees in.
pub(super) fn box_m2(lat: [f64; 2], lon: [f64; 2]) -> f64 {
    let [south, north] = lat.map(f64::to_radians);
    let band = 2.0 * ((south + north) / 2.0).cos() * ((north - south) / 2.0).sin();
    EARTH_RADIUS_M * EARTH_RADIUS_M * (lon[1] - lon[0]).to_radians() * band
}

fn edge(from: Coord, to: Coord) -> f64 {
    let mean = ((from.y + to.y) / 2.0).to_radians();
    let half = ((to.y - from.y) / 2.0).to_radians();
    let sinc = if half == 0.0 { 1.0 } else { half.sin() / half };
    (to.x - from.x).to_radians() * mean.sin() * sinc
}
