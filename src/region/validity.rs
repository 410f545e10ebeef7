//! Whether a polygon is valid (OGC Simple Features): rings that do not cross themselves nor one another, holes within.
//!
//! Edges are found by an index of their boxes: the validity check of `geo` compares each edge with all others, which takes
//! hours for a coastline of a million vertices. What it says of small polygons, this says of all.

use geo::coordinate_position::CoordPos;
use geo::dimensions::Dimensions;
use geo::{Coord, Intersects, Line, LineString, Polygon, PreparedGeometry, Relate};
use rstar::RTree;
use rstar::primitives::{GeomWithData, Rectangle};

/// An edge's box, with its place in the ring.
type Edge = GeomWithData<Rectangle<[f64; 2]>, usize>;

/// What is wrong with a polygon, in words; none where nothing is.
pub(super) fn fault(polygon: &Polygon) -> Option<String> {
    let rings = std::iter::once(polygon.exterior()).chain(polygon.interiors());
    for (number, ring) in rings.enumerate() {
        if distinct(ring) < 3 {
            return Some(format!("{} has fewer than 3 distinct positions", name(number)));
        }
        if let Some(place) = crossing(ring) {
            return Some(format!(
                "{} has a self-intersection near longitude {}, latitude {}",
                name(number),
                place.x,
                place.y
            ));
        }
    }
    hole_fault(polygon)
}

fn name(ring: usize) -> String {
    if ring == 0 { "the outer ring".to_owned() } else { format!("hole {ring}") }
}

/// Positions of a closed ring that differ from the one before.
fn distinct(ring: &LineString) -> usize {
    ring.0.windows(2).filter(|pair| pair[0] != pair[1]).count()
}

/// Where two edges of a closed ring meet that do not follow each other.
fn crossing(ring: &LineString) -> Option<Coord> {
    let lines: Vec<Line> = ring.lines().filter(|line| line.start != line.end).collect();
    let edge = |(place, line): (usize, &Line)| {
        let corners = Rectangle::from_corners(line.start.into(), line.end.into());
        Edge::new(corners, place)
    };
    let tree: RTree<Edge> = RTree::bulk_load(lines.iter().enumerate().map(edge).collect());
    let follows = |one: usize, other: usize| (one + 1) % lines.len() == other;
    lines.iter().enumerate().find_map(|(one, line)| {
        let near = Rectangle::from_corners(line.start.into(), line.end.into());
        let near = tree.locate_in_envelope_intersecting(&rstar::RTreeObject::envelope(&near));
        let meets = |other: usize| {
            other != one && lines[other].intersects(line) && {
                // edges that follow each other share a position, and no more unless one runs back on the other
                let runs_back =
                    |first: &Line, then: &Line| first.intersects(&then.end) || then.intersects(&first.start);
                if follows(one, other) {
                    runs_back(line, &lines[other])
                } else if follows(other, one) {
                    runs_back(&lines[other], line)
                } else {
                    true
                }
            }
        };
        near.map(|edge| edge.data).any(meets).then_some(line.start)
    })
}

fn hole_fault(polygon: &Polygon) -> Option<String> {
    let alone = |ring: &LineString| Polygon::new(ring.clone(), Vec::new());
    let outer = alone(polygon.exterior());
    let holes: Vec<Polygon> = polygon.interiors().iter().map(alone).collect();
    if holes.is_empty() {
        return None;
    }
    let prepared = PreparedGeometry::from(&outer);
    let on_a_line = |relation: &geo::relate::IntersectionMatrix| {
        relation.get(CoordPos::OnBoundary, CoordPos::OnBoundary) == Dimensions::OneDimensional
    };
    for (number, hole) in holes.iter().enumerate() {
        let own = PreparedGeometry::from(hole);
        let relation = prepared.relate(&own);
        if !relation.is_contains() || on_a_line(&relation) {
            return Some(format!("{} does not lie within the outer ring", name(number + 1)));
        }
        for (other, second) in holes.iter().enumerate().skip(number + 1) {
            let relation = own.relate(second);
            let share = relation.get(CoordPos::Inside, CoordPos::Inside) == Dimensions::TwoDimensional;
            if share || on_a_line(&relation) {
                return Some(format!(
                    "{} and {} overlap or share an edge",
                    name(number + 1),
                    name(other + 1)
                ));
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::Validation;
    use proptest::prelude::*;

    fn polygon(outer: &[(f64, f64)], holes: &[&[(f64, f64)]]) -> Polygon {
        Polygon::new(
            LineString::from(outer.to_vec()),
            holes.iter().map(|hole| LineString::from(hole.to_vec())).collect(),
        )
    }

    const SQUARE: [(f64, f64); 4] = [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)];

    #[test]
    fn what_is_not_valid_is_named() {
        assert_eq!(fault(&polygon(&SQUARE, &[&[(1.0, 1.0), (2.0, 1.0), (2.0, 2.0)]])), None);
        for (polygon, words) in [
            (
                polygon(&[(0.0, 0.0), (9.0, 9.0), (9.0, 0.0), (0.0, 9.0)], &[]),
                "the outer ring has a self-intersection",
            ),
            (
                polygon(&[(0.0, 0.0), (9.0, 0.0), (0.0, 0.0), (0.0, 9.0)], &[]),
                "the outer ring has a self-intersection",
            ),
            // a spike, and a ring that touches itself in a point
            (
                polygon(&[(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (9.0, 4.0), (0.0, 9.0)], &[]),
                "self-intersection",
            ),
            (
                polygon(&[(0.0, 0.0), (9.0, 0.0), (5.0, 5.0), (9.0, 9.0), (0.0, 9.0), (5.0, 5.0)], &[]),
                "self-intersection",
            ),
            (polygon(&[(0.0, 0.0), (9.0, 0.0), (0.0, 0.0)], &[]), "fewer than 3 distinct"),
            (polygon(&SQUARE, &[&[(8.0, 8.0), (10.0, 8.0), (8.0, 10.0)]]), "hole 1 does not lie within"),
            (
                polygon(
                    &SQUARE,
                    &[&[(1.0, 1.0), (4.0, 1.0), (1.0, 4.0)], &[(2.0, 1.5), (5.0, 1.5), (2.0, 5.0)]],
                ),
                "hole 1 and hole 2 overlap",
            ),
        ] {
            let told = fault(&polygon).unwrap_or_default();
            assert!(told.contains(words), "{words}: {told:?}");
        }
    }

    proptest! {
        /// On small polygons of whole positions, which touch and overlap often, `geo` finds a crossing where this does. It
        /// takes some edges that run back, and touches in a vertex, for none.
        #[test]
        fn as_geo_has_it(positions in prop::collection::vec((0_i32..8, 0_i32..8), 3..12)) {
            let outer: Vec<(f64, f64)> = positions.iter().map(|&(x, y)| (f64::from(x), f64::from(y))).collect();
            let polygon = polygon(&outer, &[]);
            if fault(&polygon).is_none() {
                prop_assert!(polygon.is_valid(), "{:?}", outer);
            }
        }
    }
}
