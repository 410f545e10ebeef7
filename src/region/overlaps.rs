//! Regions that share area: each is served by its own polars there, so it must be said which.

use crate::region::named::Region;
use geo::coordinate_position::CoordPos;
use geo::dimensions::Dimensions;
use geo::{BoundingRect, Intersects, Relate, Translate};

/// The most pairs that are named.
const MOST_NAMED: usize = 8;

/// What to know of regions that share area, in one sentence; none where none do.
pub fn note(regions: &[Region]) -> Option<String> {
    let pairs = pairs(regions);
    let named: Vec<String> = pairs
        .iter()
        .take(MOST_NAMED)
        .map(|&(first, second)| format!("\"{}\" and \"{}\"", regions[first].name, regions[second].name))
        .collect();
    let more = pairs.len().saturating_sub(MOST_NAMED);
    (!pairs.is_empty()).then(|| {
        format!(
            "regions overlap: {}{}; where they do, `lookup` names the polars of each and `passage` takes those of the one \
             that comes first in the index",
            named.join(", "),
            if more > 0 { format!(" and {more} more pairs") } else { String::new() }
        )
    })
}

/// Pairs of regions, by their places, that share area.
fn pairs(regions: &[Region]) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    for (first, one) in regions.iter().enumerate() {
        for (second, other) in regions.iter().enumerate().skip(first + 1) {
            if share_area(one, other) {
                found.push((first, second));
            }
        }
    }
    found
}

fn share_area(one: &Region, other: &Region) -> bool {
    [-360.0, 0.0, 360.0].iter().any(|&turn| {
        let boxes = one.polygons.bounding_rect().zip(other.polygons.bounding_rect());
        if !boxes.is_some_and(|(a, b)| a.intersects(&b.translate(turn, 0.0))) {
            return false;
        }
        let other = other.polygons.translate(turn, 0.0);
        one.polygons.relate(&other).get(CoordPos::Inside, CoordPos::Inside) == Dimensions::TwoDimensional
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::{MultiPolygon, Rect};

    fn region(name: &str, [west, east, south, north]: [f64; 4]) -> Region {
        let bounds = Rect::new((west, south), (east, north));
        let polygons = MultiPolygon(vec![bounds.to_polygon()]);
        Region { name: name.to_owned(), polygons, notes: Vec::new() }
    }

    #[test]
    fn regions_that_share_area_are_told_once_and_those_that_meet_are_not() {
        let [a, b] = [region("a", [0.0, 10.0, 0.0, 10.0]), region("b", [10.0, 20.0, 0.0, 10.0])];
        let within = region("within", [2.0, 3.0, 2.0, 3.0]);
        let around = region("around", [355.0, 361.0, 5.0, 6.0]);
        assert_eq!(note(&[a.clone(), b.clone()]), None);
        let told = note(&[a, b, within, around]).unwrap();
        assert!(told.starts_with("regions overlap: \"a\" and \"within\", \"a\" and \"around\";"), "{told}");
        let many: Vec<Region> =
            (0..6).map(|number| region(&number.to_string(), [0.0, 10.0, 0.0, 10.0])).collect();
        assert!(note(&many).unwrap().contains("and 7 more pairs"), "15 pairs");
    }
}
