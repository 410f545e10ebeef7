//! A point of a section, and what every section's points must be.

use crate::base::{Error, Result};

/// The fewest stations that describe a hull.
pub const MIN_STATIONS: usize = 3;

/// A point of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Height above the waterline, m; below it negative.
    pub z_m: f64,
    /// Half-breadth, m, >= 0.
    pub y_m: f64,
}

/// Checks that the points of a section are finite, lie on one side and run upward from the keel to `top`.
pub(super) fn check_points(x_m: f64, points: &[Point], top: &str) -> Result<()> {
    let wrong = |problem: &str| Err(Error::new(problem).at(station_at(x_m)));
    if !x_m.is_finite() || points.iter().any(|p| !p.z_m.is_finite() || !p.y_m.is_finite()) {
        return wrong("an offset is not a finite number");
    }
    if points.iter().any(|p| p.y_m < 0.0) {
        return wrong("a half-breadth is negative");
    }
    if points.windows(2).any(|p| p[1].z_m < p[0].z_m) {
        return wrong(&format!("points do not run from keel to {top}"));
    }
    Ok(())
}

/// How a message names a station.
pub(super) fn station_at(x_m: f64) -> String {
    format!("station x_m = {x_m}")
}
