//! The area of each grid cell within a region.
//!
//! A ring is clipped to half-planes (Sutherland and Hodgman, 1974), halving the grid until a part is empty, full or
//! one cell. Clipping a concave ring leaves edges that run to and fro along the cut; their areas cancel exactly,
//! and holes count negative, so the sum of signed areas is exact to rounding. A boolean operation on polygons for
//! each cell gives the same shares, but snaps vertices to a grid and takes thousands of times as long.

use crate::region::area::{box_m2, signed_m2};
use crate::region::named::Region;
use geo::{BoundingRect, Coord, LineString, Polygon};
use std::ops::Range;

/// A part this close to its box's area is full.
pub(super) const FULL: f64 = 1e-12;

/// The area of every cell that lies within a region, m2, as (index of latitude, index of longitude, area).
///
/// Bounds are in degrees and monotone, one more than there are cells; latitudes may fall, longitudes may stand on
/// any turn. Cells that lie wholly outside are left out; the result is sorted by index. A grid that spans more than
/// 360 degrees of longitude counts its overlap twice.
pub fn cell_areas_m2(region: &Region, lat_bounds: &[f64], lon_bounds: &[f64]) -> Vec<(usize, usize, f64)> {
    let mut areas = Vec::new();
    if lat_bounds.len() < 2 || lon_bounds.len() < 2 {
        return areas;
    }
    let grid = CellGrid { lat: lat_bounds, lon: lon_bounds };
    let all = PolygonPart { lat: 0..lat_bounds.len() - 1, lon: 0..lon_bounds.len() - 1 };
    for polygon in &region.polygons {
        for turn in turns(polygon, lon_bounds) {
            let rings = rings(polygon, turn);
            grid.collect(clip_to(rings, &grid.bounds(&all)), all.clone(), &mut areas);
        }
    }
    areas.sort_by_key(|&(lat, lon, _)| (lat, lon));
    areas.dedup_by(|later, kept| {
        let same = (later.0, later.1) == (kept.0, kept.1);
        if same {
            kept.2 += later.2;
        }
        same
    });
    areas
}

/// The multiples of 360 degrees that bring a polygon onto the grid.
pub(super) fn turns(polygon: &Polygon, lon_bounds: &[f64]) -> impl Iterator<Item = f64> {
    let (first, last) = (lon_bounds[0], lon_bounds[lon_bounds.len() - 1]);
    let (west, east) = (first.min(last), first.max(last));
    let range = polygon.bounding_rect().map(|rect| {
        let least = ((west - rect.max().x) / 360.0).ceil() as i64;
        let most = ((east - rect.min().x) / 360.0).floor() as i64;
        least..=most
    });
    range.into_iter().flatten().map(|turn| turn as f64 * 360.0)
}

/// The rings shifted, without their closing vertex: the outer counter-clockwise, holes clockwise.
pub(super) fn rings(polygon: &Polygon, shift: f64) -> Vec<Vec<Coord>> {
    let ring = |line: &LineString, sign: f64| {
        let open = &line.0[..line.0.len().saturating_sub(1)];
        let mut ring: Vec<Coord> = open.iter().map(|c| Coord { x: c.x + shift, y: c.y }).collect();
        if signed_m2(&ring) * sign < 0.0 {
            ring.reverse();
        }
        ring
    };
    let holes = polygon.interiors().iter().map(|hole| ring(hole, -1.0));
    std::iter::once(ring(polygon.exterior(), 1.0)).chain(holes).collect()
}

struct CellGrid<'a> {
    lat: &'a [f64],
    lon: &'a [f64],
}

#[derive(Clone)]
struct PolygonPart {
    lat: Range<usize>,
    lon: Range<usize>,
}

/// Between two latitudes and two longitudes, each rising.
pub(super) struct Bounds {
    pub(super) lat: [f64; 2],
    pub(super) lon: [f64; 2],
}

impl CellGrid<'_> {
    fn bounds(&self, part: &PolygonPart) -> Bounds {
        let rising = |a: f64, b: f64| [a.min(b), a.max(b)];
        Bounds {
            lat: rising(self.lat[part.lat.start], self.lat[part.lat.end]).map(|lat| lat.clamp(-90.0, 90.0)),
            lon: rising(self.lon[part.lon.start], self.lon[part.lon.end]),
        }
    }

    /// Takes rings already clipped to the part.
    fn collect(&self, rings: Vec<Vec<Coord>>, part: PolygonPart, areas: &mut Vec<(usize, usize, f64)>) {
        let area: f64 = rings.iter().map(|ring| signed_m2(ring)).sum();
        let bounds = self.bounds(&part);
        let whole = box_m2(bounds.lat, bounds.lon);
        if rings.is_empty() || area <= FULL * whole {
            return;
        }
        let full = area >= whole * (1.0 - FULL);
        if full || part.lat.len() * part.lon.len() == 1 {
            for lat in part.lat {
                for lon in part.lon.clone() {
                    let cell = self.bounds(&PolygonPart { lat: lat..lat + 1, lon: lon..lon + 1 });
                    areas.push((lat, lon, if full { box_m2(cell.lat, cell.lon) } else { area }));
                }
            }
            return;
        }
        for half in part.halves() {
            let bounds = self.bounds(&half);
            self.collect(clip_to(rings.clone(), &bounds), half, areas);
        }
    }
}

impl PolygonPart {
    fn halves(self) -> [PolygonPart; 2] {
        let split = |range: Range<usize>| {
            let middle = range.start + range.len() / 2;
            [range.start..middle, middle..range.end]
        };
        if self.lat.len() >= self.lon.len() {
            split(self.lat).map(|lat| PolygonPart { lat, lon: self.lon.clone() })
        } else {
            split(self.lon).map(|lon| PolygonPart { lat: self.lat.clone(), lon })
        }
    }
}

pub(super) fn clip_to(rings: Vec<Vec<Coord>>, bounds: &Bounds) -> Vec<Vec<Coord>> {
    let ([south, north], [west, east]) = (bounds.lat, bounds.lon);
    let clipped = rings.into_iter().map(|ring| {
        let ring = clip(ring, |c| c.x - west, |from, to, t| Coord { x: west, y: along(from.y, to.y, t) });
        let ring = clip(ring, |c| east - c.x, |from, to, t| Coord { x: east, y: along(from.y, to.y, t) });
        let ring = clip(ring, |c| c.y - south, |from, to, t| Coord { x: along(from.x, to.x, t), y: south });
        clip(ring, |c| north - c.y, |from, to, t| Coord { x: along(from.x, to.x, t), y: north })
    });
    clipped.filter(|ring| ring.len() > 2).collect()
}

fn along(from: f64, to: f64, t: f64) -> f64 {
    from + t * (to - from)
}

/// The part of a ring where `inside` is not negative; `cross` gives the point at a share of an edge.
pub(super) fn clip(
    ring: Vec<Coord>,
    inside: impl Fn(&Coord) -> f64,
    cross: impl Fn(Coord, Coord, f64) -> Coord,
) -> Vec<Coord> {
    if ring.iter().all(|c| inside(c) >= 0.0) {
        return ring;
    }
    let mut kept = Vec::with_capacity(ring.len() + 2);
    for (&from, &to) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        let (a, b) = (inside(&from), inside(&to));
        if a >= 0.0 {
            kept.push(from);
        }
        if (a > 0.0 && b < 0.0) || (a < 0.0 && b > 0.0) {
            kept.push(cross(from, to, a / (a - b)));
        }
    }
    kept
}
