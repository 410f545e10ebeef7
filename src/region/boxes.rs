//! Regions that are boxes of latitude and longitude.

use crate::base::{Error, Result};
use crate::region::choice::BoxDeg;
use crate::region::named::Region;
use geo::{Rect, coord};

/// A region for each box, named by its south-west and north-east corners; one across 180 runs on beyond it.
///
/// # Errors
/// Sides that make no box; two boxes that are one.
pub fn of_boxes(boxes: &[BoxDeg]) -> Result<Vec<Region>> {
    let mut regions: Vec<Region> = Vec::with_capacity(boxes.len());
    for sides in boxes {
        let region = Region::of_rectangle(rectangle(*sides)?);
        if regions.iter().any(|other| other.name == region.name) {
            return Err(Error::new("a box is given twice")
                .found(&region.name)
                .expected("each box once")
                .remedy("take one of the two out"));
        }
        regions.push(region);
    }
    Ok(regions)
}

fn rectangle(sides: BoxDeg) -> Result<Rect> {
    let BoxDeg { south, west, north, east } = sides;
    let latitudes = -90.0 <= south && south < north && north <= 90.0;
    let longitudes = [west, east].iter().all(|deg| (-360.0..=360.0).contains(deg)) && west != east;
    if !(latitudes && longitudes) {
        return Err(Error::new("the sides make no box of sea")
            .at("box")
            .found(format!("south {south}, west {west}, north {north}, east {east}"))
            .expected(
                "south below north, both within -90 to 90, then west and east, degrees in the order S,W,N,E",
            )
            .remedy("such as --box 40N,20W,50N,5W or box = [40, -20, 50, -5]"));
    }
    // the box runs eastwards from west: 170 to -170 crosses 180
    let width = (east - west).rem_euclid(360.0);
    let width = if width == 0.0 { 360.0 } else { width };
    let west = (west + 180.0).rem_euclid(360.0) - 180.0;
    Ok(Rect::new(coord! { x: west, y: south }, coord! { x: west + width, y: north }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use geo::BoundingRect;

    fn of(sides: [f64; 4]) -> Result<Region> {
        of_boxes(&[sides.into()]).map(|mut regions| regions.remove(0))
    }

    #[test]
    fn boxes_are_named_by_their_corners_and_cross_180() {
        let region = of([-54.0, 176.0, -50.0, -178.0]).unwrap();
        assert_eq!(region.name, "54S 176E to 50S 178W");
        let bounds = region.polygons.bounding_rect().unwrap();
        assert_eq!((bounds.min().x, bounds.max().x), (176.0, 182.0));
        assert!(region.contains(-52.0, -179.0) && !region.contains(-52.0, -177.0));
        assert_relative_eq!(
            of([40.0, 340.0, 50.0, 355.0]).unwrap().polygons.bounding_rect().unwrap().min().x,
            -20.0
        );
    }

    #[test]
    fn sides_that_make_no_box_are_named() {
        for sides in
            [[50.0, 0.0, 40.0, 5.0], [40.0, 5.0, 50.0, 5.0], [0.0, 0.0, 95.0, 1.0], [f64::NAN, 0.0, 1.0, 1.0]]
        {
            assert!(of(sides).unwrap_err().to_string().contains("S,W,N,E"), "{sides:?}");
        }
        assert!(of_boxes(&[[0.0, 0.0, 1.0, 1.0].into(); 2]).is_err());
    }
}
