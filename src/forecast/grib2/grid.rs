//! Section 3 to a grid: templates 3.0 (latitude and longitude) and 3.10 (Mercator on a sphere).
//!
//! Axes come from the first and the last point and the number of points, never from the increment: 1/6 degree is
//! written as 166667 millionths, and over 300 columns that drifts by a hundred-thousandth of a degree and more.

use crate::base::{Error, Result};
use crate::forecast::grib_ends::{MOST_POINTS, eastward_of, even, in_order};
use crate::forecast::grib2::octets::Section;
use crate::forecast::grib2::scan::Scan;
use crate::forecast::grid::Grid;

/// The number of points that section 3 states.
pub(super) fn stated_points(section: Section) -> Result<u32> {
    section.u32(7)
}

/// The grid and the order in which the message writes it.
///
/// # Errors
/// Other templates, reduced grids, sizes that do not fit the number of points, points that make no axis.
pub(super) fn read(section: Section) -> Result<(Grid, Scan)> {
    let template = section.u16(13)?;
    if !matches!(template, 0 | 10) {
        return Err(Error::new("this grid cannot be used")
            .found(format!("grid definition template 3.{template}{}", known_template(template)))
            .expected("template 3.0 (latitude and longitude) or 3.10 (Mercator)")
            .remedy("get the forecast on a grid of latitude and longitude"));
    }
    let (ni, nj) = (section.u32(31)?, section.u32(35)?);
    let points = u64::from(ni) * u64::from(nj);
    if ni == u32::MAX || nj == u32::MAX {
        return Err(Error::new("a reduced grid (rows of unequal length) cannot be used"));
    }
    let stated = stated_points(section)?;
    if points != u64::from(stated) || points > MOST_POINTS {
        return Err(Error::new("the grid's size and its number of points disagree")
            .found(format!("{ni} x {nj} = {points} points, and section 3 states {stated}"))
            .expected(format!("equal numbers, at most {MOST_POINTS}"))
            .remedy("the message is damaged: download the file again"));
    }
    if template == 0 { lat_lon(section, ni, nj) } else { mercator(section, ni, nj) }
}

fn known_template(template: u16) -> &'static str {
    match template {
        1 => " (rotated latitude and longitude)",
        20 => " (polar stereographic)",
        30 => " (Lambert conformal)",
        40 => " (Gaussian)",
        101 => " (unstructured)",
        _ => "",
    }
}

fn lat_lon(section: Section, ni: u32, nj: u32) -> Result<(Grid, Scan)> {
    let unit = angle_unit(section.u32(39)?, section.u32(43)?)?;
    let angle = |octet| section.i32(octet).map(|a| f64::from(a) * unit);
    let scan = Scan::new(ni as usize, nj as usize, section.u8(72)?)?;
    let (south, north) = in_order(angle(47)?, angle(56)?, scan.is_northward());
    let (west, east) = in_order(angle(51)?, angle(60)?, !scan.is_westward());
    let lat = even(south, north, nj)?;
    let lon = even(west, eastward_of(west, east), ni)?;
    // flag table 3.3: bits 3 and 4 say whether the increments are given
    let flags = section.u8(55)?;
    for (given, octet, axis, name) in [(0x20, 64, &lon, "longitude"), (0x10, 68, &lat, "latitude")] {
        let raw = section.u32(octet)?;
        if flags & given != 0 && raw != u32::MAX && raw != 0 {
            check_increment(axis, f64::from(raw) * unit, name)?;
        }
    }
    Ok((Grid::new(lat, lon)?, scan))
}

/// Rows are even in the Mercator ordinate ln tan(pi/4 + lat/2) of a sphere (Snyder 1987, eq. 7-2).
fn mercator(section: Section, ni: u32, nj: u32) -> Result<(Grid, Scan)> {
    let shape = section.u8(15)?;
    if !matches!(shape, 0 | 1 | 6 | 8) {
        return Err(Error::new("a Mercator grid on an ellipsoid cannot be used")
            .found(format!("shape of the earth {shape} (code table 3.2)")));
    }
    let orientation = section.u32(61)?;
    if orientation != 0 {
        return Err(Error::new("a turned Mercator grid cannot be used").found(f64::from(orientation) * 1e-6));
    }
    let angle = |octet| section.i32(octet).map(|a| f64::from(a) * 1e-6);
    let scan = Scan::new(ni as usize, nj as usize, section.u8(60)?)?;
    let (south, north) = in_order(angle(39)?, angle(52)?, scan.is_northward());
    let (west, east) = in_order(angle(43)?, angle(56)?, !scan.is_westward());
    let ordinate = |lat: f64| lat.to_radians().tan().asinh();
    let lat = even(ordinate(south), ordinate(north), nj)?.into_iter().map(|y| y.sinh().atan().to_degrees());
    let lon = even(west, eastward_of(west, east), ni)?;
    Ok((Grid::new(lat.collect(), lon)?, scan))
}

/// Degrees per unit: millionths, or a basic angle and its subdivisions (template 3.0, note 1).
fn angle_unit(basic: u32, subdivisions: u32) -> Result<f64> {
    match (basic, subdivisions) {
        (0 | u32::MAX, _) => Ok(1e-6),
        (_, 0 | u32::MAX) => Err(Error::new("a basic angle without subdivisions").found(basic)),
        (basic, subdivisions) => Ok(f64::from(basic) / f64::from(subdivisions)),
    }
}

/// The stated increment guards against a misread end: an axis that does not fit it is not believed.
fn check_increment(axis: &[f64], stated: f64, name: &str) -> Result<()> {
    let step = (axis[axis.len() - 1] - axis[0]) / (axis.len() - 1) as f64;
    if (step - stated).abs() <= 0.01 * stated {
        return Ok(());
    }
    Err(Error::new(format!("the {name} axis contradicts itself"))
        .found(format!(
            "{} points from {:.6} to {:.6}, increment {stated:.6}",
            axis.len(),
            axis[0],
            axis[axis.len() - 1]
        ))
        .expected(format!("increment {step:.6}"))
        .remedy("the message is damaged or its first and last point are wrong: get the file again"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// A section 3 of template 3.0 with the ends in millionths of a degree.
    fn section(size: (u32, u32), first: (i32, u32), last: (i32, u32), step: (u32, u32), scan: u8) -> Vec<u8> {
        let sign = |a: i32| if a < 0 { 0x8000_0000 | a.unsigned_abs() } else { a as u32 };
        let mut s = vec![0; 72];
        s[..5].copy_from_slice(&[0, 0, 0, 72, 3]);
        let mut put = |octet: usize, v: u32| s[octet - 1..octet + 3].copy_from_slice(&v.to_be_bytes());
        put(7, size.0 * size.1);
        put(31, size.0);
        put(35, size.1);
        put(47, sign(first.0));
        put(51, first.1);
        put(56, sign(last.0));
        put(60, last.1);
        put(64, step.0);
        put(68, step.1);
        s[54] = 0x30;
        s[71] = scan;
        s
    }

    #[test]
    fn a_sixth_of_a_degree_does_not_drift() {
        let bytes = section((301, 331), (55_000_000, 260_000_000), (0, 310_000_000), (166_667, 166_667), 0);
        let (grid, _) = read(Section(&bytes)).unwrap();
        assert_eq!((grid.columns(), grid.rows()), (301, 331));
        assert_relative_eq!(grid.lon_deg()[0], -100.0);
        assert_relative_eq!(grid.lon_deg()[300], -50.0);
        assert_relative_eq!(grid.lat_deg()[330], 55.0);
        assert_relative_eq!(grid.lat_deg()[1], 1.0 / 6.0, epsilon = 1e-12);
    }

    #[test]
    fn grids_cross_the_date_line_and_greenwich() {
        let across = section(
            (41, 3),
            (-30_000_000, 165_000_000),
            (-32_000_000, 205_000_000),
            (1_000_000, 1_000_000),
            0,
        );
        let (grid, _) = read(Section(&across)).unwrap();
        assert_eq!((grid.lon_deg()[0], grid.lon_deg()[40]), (165.0, 205.0));
        let zero = section(
            (21, 3),
            (51_000_000, 352_000_000),
            (53_000_000, 12_000_000),
            (1_000_000, 1_000_000),
            0x40,
        );
        let (grid, _) = read(Section(&zero)).unwrap();
        assert_eq!((grid.lon_deg()[0], grid.lon_deg()[20]), (-8.0, 12.0));
        let global = section(
            (360, 181),
            (90_000_000, 180_000_000),
            (-90_000_000, 179_000_000),
            (1_000_000, 1_000_000),
            0,
        );
        let (grid, _) = read(Section(&global)).unwrap();
        assert!(grid.is_global_in_longitude());
        assert_eq!((grid.lon_deg()[0], grid.lon_deg()[359]), (-180.0, 179.0));
    }

    #[test]
    fn sizes_and_ends_that_disagree_are_refused() {
        let mut bytes = section((3, 3), (2_000_000, 0), (0, 2_000_000), (1_000_000, 1_000_000), 0);
        bytes[9] = 7;
        assert!(read(Section(&bytes)).unwrap_err().to_string().contains("disagree"));
        let bytes = section((3, 3), (2_000_000, 0), (0, 3_000_000), (1_000_000, 1_000_000), 0);
        assert!(read(Section(&bytes)).unwrap_err().to_string().contains("contradicts"));
        let bytes = section((60_000, 60_000), (2_000_000, 0), (0, 2_000_000), (0, 0), 0);
        assert!(read(Section(&bytes)).unwrap_err().to_string().contains("at most"));
    }
}
