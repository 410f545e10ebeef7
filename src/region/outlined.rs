//! The area of cells of any outline within a region: those of curved grids and meshes.
//!
//! An outline is cut into triangles, which count by the side on which they turn; the region is clipped to each
//! (Sutherland and Hodgman, 1974), after the cells were halved again and again, until a part of them is empty, full or
//! one triangle. Areas are those of edges straight in longitude and latitude, as for boxes.

use crate::region::area::{box_m2, signed_m2};
use crate::region::named::Region;
use crate::region::weights::{Bounds, FULL, clip, clip_to, rings, turns};
use geo::{BoundingRect, Coord};
use std::collections::BTreeMap;

/// Four corners of a cell or of a part of one: longitude and latitude in degrees, unbroken, in order around it.
pub type Corners = [[f64; 2]; 4];

/// The area of every cell that lies within a region, m2, by its index; a cell may come in several parts, whose areas add.
/// Cells that lie wholly outside are left out; the result is sorted by index.
pub fn outlined_areas_m2<'q>(
    region: &Region,
    parts: impl Iterator<Item = (usize, &'q Corners)> + Clone,
) -> Vec<(usize, f64)> {
    let mut areas = BTreeMap::new();
    let (west, east) = parts
        .clone()
        .flat_map(|(_, corners)| corners)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(west, east), [lon, _]| (west.min(*lon), east.max(*lon)));
    if west > east {
        return Vec::new();
    }
    for polygon in &region.polygons {
        let Some(rect) = polygon.bounding_rect() else { continue };
        for turn in turns(polygon, &[west, east]) {
            let reach =
                Bounds { lat: [rect.min().y, rect.max().y], lon: [rect.min().x + turn, rect.max().x + turn] };
            let near = parts.clone().filter(|(_, corners)| reach.meets(corners));
            let mut triangles: Vec<Triangle> =
                near.flat_map(|(cell, corners)| triangles(cell, corners)).collect();
            collect(rings(polygon, turn), &mut triangles, &mut areas);
        }
    }
    areas.into_iter().filter(|(_, area)| *area > 0.0).collect()
}

/// A triangle of a cell, counter-clockwise.
struct Triangle {
    cell: usize,
    corners: [Coord; 3],
    /// -1 where it is to be taken away: a corner of the outline points inward.
    sign: f64,
}

fn triangles(cell: usize, corners: &Corners) -> impl Iterator<Item = Triangle> {
    let at = |k: usize| Coord { x: corners[k][0], y: corners[k][1] };
    let halves = [[at(0), at(1), at(2)], [at(0), at(2), at(3)]];
    let turned: f64 = halves.iter().map(|half| signed_m2(half)).sum();
    halves.into_iter().filter_map(move |mut corners| {
        let area = signed_m2(&corners);
        if area < 0.0 {
            corners.reverse();
        }
        (area != 0.0).then(|| Triangle { cell, corners, sign: (area * turned).signum() })
    })
}

impl Bounds {
    fn meets(&self, corners: &Corners) -> bool {
        let apart = |k: usize, [least, most]: [f64; 2]| {
            corners.iter().all(|corner| corner[k] < least) || corners.iter().all(|corner| corner[k] > most)
        };
        !apart(0, self.lon) && !apart(1, self.lat)
    }

    fn around(triangles: &[Triangle]) -> Self {
        let ends = |of: fn(&Coord) -> f64| {
            let values = triangles.iter().flat_map(|triangle| &triangle.corners).map(of);
            values.fold([f64::INFINITY, f64::NEG_INFINITY], |[least, most], v| [least.min(v), most.max(v)])
        };
        Self { lat: ends(|c| c.y), lon: ends(|c| c.x) }
    }
}

fn collect(rings: Vec<Vec<Coord>>, triangles: &mut [Triangle], areas: &mut BTreeMap<usize, f64>) {
    if triangles.is_empty() {
        return;
    }
    let bounds = Bounds::around(triangles);
    let rings = clip_to(rings, &bounds);
    let area: f64 = rings.iter().map(|ring| signed_m2(ring)).sum();
    let whole = box_m2(bounds.lat, bounds.lon);
    if rings.is_empty() || area <= FULL * whole {
        return;
    }
    if area >= whole * (1.0 - FULL) {
        for Triangle { cell, corners, sign } in &*triangles {
            *areas.entry(*cell).or_default() += sign * signed_m2(corners);
        }
        return;
    }
    if let [Triangle { cell, corners, sign }] = triangles {
        let within: f64 = rings.into_iter().map(|ring| signed_m2(&clip_to_triangle(ring, corners))).sum();
        *areas.entry(*cell).or_default() += *sign * within;
        return;
    }
    let by_lat = bounds.lat[1] - bounds.lat[0] >= bounds.lon[1] - bounds.lon[0];
    let middle = |triangle: &Triangle| -> f64 {
        triangle.corners.iter().map(|corner| if by_lat { corner.y } else { corner.x }).sum()
    };
    let half = triangles.len() / 2;
    triangles.select_nth_unstable_by(half, |a, b| middle(a).total_cmp(&middle(b)));
    let (first, second) = triangles.split_at_mut(half);
    collect(rings.clone(), first, areas);
    collect(rings, second, areas);
}

fn clip_to_triangle(ring: Vec<Coord>, corners: &[Coord; 3]) -> Vec<Coord> {
    (0..3).fold(ring, |ring, k| {
        let (from, to) = (corners[k], corners[(k + 1) % 3]);
        let left = |c: &Coord| (to.x - from.x) * (c.y - from.y) - (to.y - from.y) * (c.x - from.x);
        clip(ring, left, |a, b, t| a + (b - a) * t)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::units::EARTH_RADIUS_M;
    use crate::region::weights::cell_areas_m2;
    use geo::Rect;

    fn square(west: f64, south: f64, size: f64) -> Corners {
        [[west, south], [west + size, south], [west + size, south + size], [west, south + size]]
    }

    /// Boxes as outlines have the areas of boxes, also across 180 and where the region has corners within them.
    #[test]
    fn boxes_as_outlines_have_the_areas_of_boxes() {
        let text = r#"{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"R"},
            "geometry":{"type":"Polygon","coordinates":[[[176.3,-52.2],[178.9,-53.7],[-177.4,-51.9],[-178.8,-48.4],
            [179.6,-50.1],[176.3,-52.2]]]}}]}"#;
        let region = crate::region::geojson_file::parse(text).unwrap().remove(0);
        let (lat, lon): (Vec<f64>, Vec<f64>) =
            ((-56..=-46).map(f64::from).collect(), (174..=186).map(f64::from).collect());
        let expected = cell_areas_m2(&region, &lat, &lon);
        // as a file of signed longitudes has them
        let boxes: Vec<Corners> = (0..120)
            .map(|k| {
                square(
                    (f64::from(174 + k % 12) + 180.0).rem_euclid(360.0) - 180.0,
                    f64::from(-56 + k / 12),
                    1.0,
                )
            })
            .collect();
        let found = outlined_areas_m2(&region, boxes.iter().enumerate());
        assert_eq!(found.len(), expected.len());
        for ((cell, area), (row, column, box_area)) in found.into_iter().zip(expected) {
            assert_eq!(cell, row * 12 + column);
            assert!((area - box_area).abs() < 1e-10 * 1.2e10, "{cell}: {area} and {box_area}");
        }
    }

    /// By hand: a dart of base 4, height 4 and a notch of 1 has 6 square degrees, its western half 3; shrinking eastward
    /// degrees take less than 0.2 % at these latitudes.
    #[test]
    fn a_corner_that_points_inward_is_taken_away() {
        let dart = [[0.0, 0.0], [2.0, 1.0], [4.0, 0.0], [2.0, 4.0]];
        let within = |west: f64, east: f64| {
            let region = Region::of_rectangle(Rect::new((west, -1.0), (east, 5.0)));
            outlined_areas_m2(&region, [(7, &dart)].into_iter())
        };
        let square_degree = (EARTH_RADIUS_M * 1f64.to_radians()).powi(2);
        for (bounds, expected) in [((-1.0, 5.0), 6.0), ((-1.0, 2.0), 3.0), ((2.0, 5.0), 3.0)] {
            let [(7, area)] = within(bounds.0, bounds.1)[..] else { panic!("{bounds:?}") };
            assert!((area / square_degree - expected).abs() < 0.002 * expected, "{bounds:?}: {area}");
        }
        assert!(within(4.5, 5.0).is_empty());
    }
}
