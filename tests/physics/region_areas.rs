//! Areas of regions and of the cells within them, against closed forms and another program's quadrature.

use approx::assert_relative_eq;
use proptest::prelude::*;
use roughwater::base::units::EARTH_RADIUS_M as R;
use roughwater::region::{Extent, Region, cell_areas_m2, parse, tiles};
use std::f64::consts::PI;

fn region(rings: &str) -> Region {
    let text = format!(
        r#"{{"type":"Feature","properties":{{"name":"A"}},"geometry":{{"type":"Polygon","coordinates":[{rings}]}}}}"#
    );
    parse(&text).unwrap_or_else(|error| panic!("{error}")).remove(0)
}

fn rectangle(south: f64, north: f64, west: f64, east: f64) -> String {
    format!("[[{west},{south}],[{east},{south}],[{east},{north}],[{west},{north}],[{west},{south}]]")
}

/// R^2 * width * (sin north - sin south).
fn box_m2(south: f64, north: f64, width: f64) -> f64 {
    R * R * width.to_radians() * (north.to_radians().sin() - south.to_radians().sin())
}

fn bounds(from: f64, to: f64, count: usize) -> Vec<f64> {
    (0..=count).map(|i| from + (to - from) * i as f64 / count as f64).collect()
}

fn quarter_degree_globe() -> (Vec<f64>, Vec<f64>) {
    (bounds(90.0, -90.0, 720), bounds(-0.125, 359.875, 1440))
}

fn total(cells: &[(usize, usize, f64)]) -> f64 {
    cells.iter().map(|cell| cell.2).sum()
}

const CONCAVE: &str = "[[-12,43],[-2,44],[-5,46],[-1,49],[-9,51],[-7,46.5],[-12,43]]";
const SOUTHERN: &str = "[[10,-60],[55,-52],[70,-38],[33,-44],[12,-40],[10,-60]]";

/// An octant is an eighth of the sphere; the globe is all of it.
#[test]
fn closed_forms() {
    assert_relative_eq!(
        region(&rectangle(0.0, 90.0, 0.0, 90.0)).area_m2(),
        PI * R * R / 2.0,
        max_relative = 1e-14
    );
    assert_relative_eq!(
        region(&rectangle(-90.0, 90.0, -180.0, 180.0)).area_m2(),
        4.0 * PI * R * R,
        max_relative = 1e-14
    );
    assert_relative_eq!(
        region(&rectangle(-60.0, -40.0, -180.0, 180.0)).area_m2(),
        box_m2(-60.0, -40.0, 360.0),
        max_relative = 1e-13
    );
    // under lat = lon: the integral of sin(lon) from 0 to 90 degrees is 1
    let triangle = region("[[0,0],[90,0],[90,90],[0,0]]");
    assert_relative_eq!(triangle.area_m2(), R * R, max_relative = 1e-14);
    let holed =
        region(&format!("{},{}", rectangle(30.0, 50.0, -40.0, -10.0), rectangle(35.0, 40.0, -30.0, -20.0)));
    assert_relative_eq!(
        holed.area_m2(),
        box_m2(30.0, 50.0, 30.0) - box_m2(35.0, 40.0, 10.0),
        max_relative = 1e-13
    );
}

/// Reference: tests/reference/region_areas.py (shapely and scipy's quad).
#[test]
fn quadrature_of_slanted_edges() {
    assert_relative_eq!(region(CONCAVE).area_m2(), 306_931_696_918.171_26, max_relative = 1e-12);
    assert_relative_eq!(region(SOUTHERN).area_m2(), 5_681_795_950_896.077, max_relative = 1e-12);
    for (west, south, expected) in [
        (-8.0, 46.0, 1_999_048_183.381_836_7),
        (-6.0, 45.0, 8_666_174_570.521_87),
        (-4.0, 47.0, 6_952_107_300.996_388),
    ] {
        let cells = cell_areas_m2(&region(CONCAVE), &[south, south + 1.0], &[west, west + 1.0]);
        assert_relative_eq!(total(&cells), expected, max_relative = 1e-11);
    }
}

#[test]
fn cells_sum_to_the_region() {
    let (lat, lon) = quarter_degree_globe();
    let across = "[[170.3,-20.1],[195.7,-22.4],[188.2,-3.3],[170.3,-20.1]]";
    let greenwich = "[[-3.3,-20.1],[12.7,-22.4],[5.2,13.3],[-3.3,-20.1]]";
    let holed =
        format!("{},{}", rectangle(30.3, 50.1, -40.7, -10.2), "[[-30,35],[-20,36],[-25,45],[-30,35]]");
    for rings in [CONCAVE, SOUTHERN, across, greenwich, &holed, &rectangle(-90.0, 90.0, -180.0, 180.0)] {
        let region = region(rings);
        let cells = cell_areas_m2(&region, &lat, &lon);
        assert_relative_eq!(total(&cells), region.area_m2(), max_relative = 1e-9);
        assert!(cells.is_sorted_by(|a, b| (a.0, a.1) < (b.0, b.1)), "sorted, each cell once");
        for &(i, j, area) in &cells {
            assert!(area > 0.0 && area <= box_m2(lat[i + 1], lat[i], lon[j + 1] - lon[j]) * (1.0 + 1e-9));
        }
    }
}

/// One cell at a time by geo's boolean operations: the planar share of a cell, from which the spherical share differs
/// by the cosine's change of 0.5 % across a cell.
#[test]
fn cells_agree_with_polygon_intersection() {
    use geo::{Area, BooleanOps, Rect, coord};
    let region = region(CONCAVE);
    let (lat, lon) = (bounds(40.0, 52.0, 48), bounds(-14.0, 0.0, 56));
    let cells = cell_areas_m2(&region, &lat, &lon);
    let mut met = 0;
    for i in 0..48 {
        for j in 0..56 {
            let cell = Rect::new(coord! { x: lon[j], y: lat[i] }, coord! { x: lon[j + 1], y: lat[i + 1] })
                .to_polygon();
            let share = region.polygons.intersection(&cell).unsigned_area() / cell.unsigned_area();
            let ours = cells.iter().find(|found| (found.0, found.1) == (i, j)).map_or(0.0, |found| found.2);
            let spherical = ours / box_m2(lat[i], lat[i + 1], 0.25);
            assert!((share - spherical).abs() < 2e-3, "cell {i} {j}: {share} against {spherical}");
            met += usize::from(ours > 0.0);
        }
    }
    assert_eq!(cells.len(), met);
}

#[test]
fn three_ways_across_180_are_one() {
    let (lat, lon) = quarter_degree_globe();
    let multi = r#"{"type":"Feature","properties":{"name":"A"},"geometry":{"type":"MultiPolygon","coordinates":[
        [[[170,-10],[180,-10],[180,10],[170,10],[170,-10]]],
        [[[-180,-10],[-165,-10],[-165,10],[-180,10],[-180,-10]]]]}}"#;
    let unwrapped = region(&rectangle(-10.0, 10.0, 170.0, 195.0));
    let west = region(&rectangle(-10.0, 10.0, -190.0, -165.0));
    let jump = region("[[170,-10],[-165,-10],[-165,10],[170,10],[170,-10]]");
    let split = parse(multi).unwrap().remove(0);
    assert_eq!((unwrapped.notes.len(), jump.notes.len(), split.notes.len()), (0, 1, 0));
    let expected = cell_areas_m2(&unwrapped, &lat, &lon);
    for other in [&west, &jump, &split] {
        assert_relative_eq!(other.area_m2(), box_m2(-10.0, 10.0, 25.0), max_relative = 1e-13);
        let cells = cell_areas_m2(other, &lat, &lon);
        assert_eq!(cells.len(), expected.len());
        for (cell, expected) in cells.iter().zip(&expected) {
            assert_eq!((cell.0, cell.1), (expected.0, expected.1));
            assert_relative_eq!(cell.2, expected.2, max_relative = 1e-9);
        }
    }
}

const EXTENT: Extent = Extent { south: 37.5, north: 52.0, west: -31.0, east: -8.0 };

#[test]
fn tiles_fill_the_extent_and_have_the_names_of_their_corners() {
    let found = tiles(5.0, 10.0, EXTENT).unwrap();
    let names: Vec<&str> = found.iter().map(|tile| tile.name.as_str()).collect();
    assert_eq!(names[..4], ["35N 040W", "35N 030W", "35N 020W", "35N 010W"]);
    assert_eq!(names.len(), 16);
    let sum: f64 = found.iter().map(Region::area_m2).sum();
    assert_relative_eq!(sum, box_m2(37.5, 52.0, 23.0), max_relative = 1e-12);
    let small = tiles(0.5, 0.5, Extent { south: -0.5, north: 0.0, west: 180.0, east: 180.5 }).unwrap();
    assert_eq!(small[0].name, "00.5S 180W");
}

/// A cell-centred global grid that begins east of Greenwich ends in the tile in which it began.
#[test]
fn a_globe_that_begins_within_a_tile_has_each_tile_once() {
    let nearly = tiles(90.0, 10.0, Extent { south: -90.0, north: 90.0, west: 5.0, east: 364.0 }).unwrap();
    assert_eq!(nearly.len(), 72);
    assert_eq!(nearly[0].name, "90S 000E");
    assert_eq!(nearly[0].polygons.0.len(), 2);
}

#[test]
fn tiles_that_cannot_be_are_refused() {
    for (lat, lon) in [(0.0, 10.0), (5.0, 7.0), (-5.0, 10.0), (5.0, f64::NAN), (200.0, 10.0)] {
        assert!(tiles(lat, lon, EXTENT).is_err(), "{lat} x {lon}");
    }
    assert!(tiles(5.0, 10.0, Extent { north: 30.0, ..EXTENT }).is_err());
    let error = tiles(0.01, 0.01, EXTENT).unwrap_err().to_string();
    assert!(error.contains("too many tiles") && error.contains("3335000 of 0.01 x 0.01"), "{error}");
}

proptest! {
    #![proptest_config(proptest::test_runner::Config { failure_persistence: None, ..Default::default() })]

    #[test]
    fn rectangles_on_any_grid(
        south in -90.0..80.0, height in 0.1..60.0, west in -180.0..180.0, width in 0.1..179.0,
        lat_count in 1usize..40, lon_count in 1usize..60, turn in -2i32..3, origin in -180.0..180.0,
    ) {
        let north = f64::min(south + height, 90.0);
        let region = region(&rectangle(south, north, west, west + width));
        let area = box_m2(south, north, width);
        prop_assert!((region.area_m2() / area - 1.0).abs() < 1e-10);
        let start = origin + 360.0 * f64::from(turn);
        let cells = cell_areas_m2(&region, &bounds(-90.0, 90.0, lat_count), &bounds(start, start + 360.0, lon_count));
        prop_assert!((total(&cells) / area - 1.0).abs() < 1e-9, "{} against {area}", total(&cells));
    }
}
