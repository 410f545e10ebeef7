//! What both editions of GRIB share: axes from the ends of a grid.

use crate::base::{Error, Result};

/// Grids beyond this are refused: a damaged header, not a forecast (global 1/12 degree has 9 million points).
pub(super) const MOST_POINTS: u64 = 100_000_000;

pub(super) fn in_order(first: f64, last: f64, ascending: bool) -> (f64, f64) {
    if ascending { (first, last) } else { (last, first) }
}

/// The eastern end, lifted by whole turns to lie up to one turn east of the western end.
pub(super) fn eastward_of(west: f64, east: f64) -> f64 {
    let span = (east - west).rem_euclid(360.0);
    west + if span > 1e-9 { span } else { 360.0 }
}

pub(super) fn even(first: f64, last: f64, count: u32) -> Result<Vec<f64>> {
    if count < 2 {
        return Err(Error::new("a grid needs at least two rows and two columns").found(count));
    }
    let step = (last - first) / f64::from(count - 1);
    Ok((0..count).map(|i| if i + 1 == count { last } else { first + f64::from(i) * step }).collect())
}
