//! A point of a section.

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
