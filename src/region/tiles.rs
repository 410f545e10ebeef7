//! Regions by size: the cells of a fixed lattice of latitudes and longitudes.

use crate::base::bearing::wrap180;
use crate::base::{Error, Result};
use crate::region::named::Region;
use geo::{Area, BoundingRect, Coord, MultiPolygon, Rect, coord};

/// Every tile has polars of its own, a file each and window.
const MOST_TILES: f64 = 100_000.0;

/// A box in degrees; `east` lies east of `west` and may exceed 180.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent {
    /// Southern limit.
    pub south: f64,
    /// Northern limit.
    pub north: f64,
    /// Western limit.
    pub west: f64,
    /// Eastern limit, unwrapped.
    pub east: f64,
}

/// The tiles of a lattice that touch an extent, each cut to it, from south to north and west to east.
///
/// The lattice holds latitude 0 and longitude -180, so tiles keep their place from one forecast to the next; a tile
/// is named by its south-west corner, such as `40N 030W`. Where an extent that is nearly a full turn ends in the tile
/// in which it begins, both pieces are one region.
///
/// # Errors
/// Steps that are not positive, a longitude step that does not divide 360, an empty or impossible extent, and
/// more tiles than `MOST_TILES`.
pub fn tiles(lat_step_deg: f64, lon_step_deg: f64, extent: Extent) -> Result<Vec<Region>> {
    check(lat_step_deg, lon_step_deg, extent)?;
    let around = (360.0 / lon_step_deg).round();
    let full_turn = extent.east - extent.west >= 360.0;
    let (west, east) = if full_turn { (-180.0, 180.0) } else { (extent.west, extent.east) };
    let mut regions: Vec<Region> = Vec::new();
    for [south, north, row] in steps(extent.south, extent.north, 0.0, lat_step_deg) {
        let row_start = regions.len();
        for [tile_west, tile_east, column] in steps(west, east, -180.0, lon_step_deg) {
            let tile =
                Rect::new(coord! { x: tile_west, y: south }, coord! { x: tile_east, y: north }).to_polygon();
            let corner = wrap180(-180.0 + column.rem_euclid(around) * lon_step_deg);
            let name = format!("{} {}", latitude(row * lat_step_deg), longitude(corner));
            match regions.get_mut(row_start).filter(|first| first.name == name) {
                Some(begun) => begun.polygons.0.push(tile),
                None => regions.push(Region { name, polygons: MultiPolygon(vec![tile]), notes: Vec::new() }),
            }
        }
    }
    Ok(regions)
}

/// The box of a tile: a rectangle that bears a name of the lattice. None for any other region, and for a tile in two
/// pieces.
pub fn rectangle(region: &Region) -> Option<Rect> {
    let [polygon] = region.polygons.0.as_slice() else { return None };
    let bounds = polygon.bounding_rect()?;
    let is_box =
        polygon.interiors().is_empty() && bounds.to_polygon().signed_area() == polygon.unsigned_area();
    (is_box && is_lattice_name(&region.name)).then_some(bounds)
}

impl Region {
    /// A box, named by its south-west and north-east corners.
    pub fn of_rectangle(bounds: Rect) -> Self {
        let corner = |corner: Coord| format!("{} {}", latitude(corner.y), longitude(wrap180(corner.x)));
        let name = format!("{} to {}", corner(bounds.min()), corner(bounds.max()));
        Self { name, polygons: MultiPolygon(vec![bounds.to_polygon()]), notes: Vec::new() }
    }
}

/// Such as `40N 030W`.
fn is_lattice_name(name: &str) -> bool {
    let ends = |text: &str, hemispheres: [char; 2]| {
        text.strip_suffix(hemispheres).is_some_and(|deg| deg.parse::<f64>().is_ok())
    };
    name.split_once(' ').is_some_and(|(lat, lon)| ends(lat, ['N', 'S']) && ends(lon, ['E', 'W']))
}

fn check(lat_step: f64, lon_step: f64, extent: Extent) -> Result<()> {
    let divides = (360.0 / lon_step - (360.0 / lon_step).round()).abs() < 1e-9;
    if !(lat_step > 0.0 && lat_step <= 180.0 && lon_step > 0.0 && lon_step <= 360.0 && divides) {
        return Err(Error::new("the size of the tiles is out of range")
            .found(format!("{lat_step} x {lon_step} degrees"))
            .expected("a latitude step of up to 180 degrees and a longitude step that divides 360")
            .remedy("take a size such as 5 x 10 degrees"));
    }
    let latitudes = -90.0 <= extent.south && extent.south < extent.north && extent.north <= 90.0;
    let longitudes = extent.west < extent.east && extent.west.abs() <= 720.0 && extent.east.abs() <= 720.0;
    if !(latitudes && longitudes) {
        return Err(Error::new("the extent to tile is empty or impossible")
            .found(format!("{extent:?}"))
            .expected("south below north within -90..90, west below east"));
    }
    let count = (extent.north - extent.south) / lat_step * ((extent.east - extent.west) / lon_step);
    if count > MOST_TILES {
        return Err(Error::new("there would be too many tiles")
            .found(format!("about {count:.0} of {lat_step} x {lon_step} degrees"))
            .expected(format!("at most {MOST_TILES}, since each has polars of its own"))
            .remedy("take larger tiles, or regions"));
    }
    Ok(())
}

/// The pieces of [from, to] between the lattice's lines, each with the number of its line.
fn steps(from: f64, to: f64, origin: f64, step: f64) -> Vec<[f64; 3]> {
    let line = |n: f64| origin + n * step;
    let first = ((from - origin) / step).floor();
    let count = ((to - origin) / step).ceil() - first;
    let pieces = (0..count as usize).map(|i| {
        let n = first + i as f64;
        [line(n).max(from), line(n + 1.0).min(to), n]
    });
    pieces.filter(|piece| piece[0] < piece[1]).collect()
}

pub(super) fn latitude(deg: f64) -> String {
    format!("{}{}", padded(deg.abs(), 2), if deg < 0.0 { 'S' } else { 'N' })
}

fn longitude(deg: f64) -> String {
    format!("{}{}", padded(deg.abs(), 3), if deg < 0.0 { 'W' } else { 'E' })
}

/// At most four decimals; whole degrees padded with zeros so that names sort.
fn padded(deg: f64, digits: usize) -> String {
    let rounded = (deg * 1e4).round() / 1e4;
    let text = rounded.to_string();
    let whole = text.split('.').next().map_or(0, str::len);
    "0".repeat(digits.saturating_sub(whole)) + &text
}
