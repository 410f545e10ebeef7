//! Named polygons on the sphere, and the area of grid cells that lies within them.
//!
//! Edges are straight in longitude and latitude (RFC 7946, section 3.1.1), so an edge along a parallel follows it.

use crate::base::neutral::acts;
use crate::base::{Error, Result};
use crate::region::area;
use geo::{Contains, MultiPolygon, Point};

/// The most characters of a region's name.
pub const MAX_NAME_CHARS: usize = 80;

/// A named part of the sea.
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    /// The name; it serves as a file name, see [`check_name`].
    pub name: String,
    /// Polygons in degrees with unwrapped longitudes: a polygon across 180 runs on beyond it.
    /// The first begins within [-180, 180), the others lie within half a turn of it; none overlap.
    pub polygons: MultiPolygon,
    /// What was read into the polygons, in words for the user.
    pub notes: Vec<String>,
}

impl Region {
    /// Area, m2, on a sphere of [`crate::base::units::EARTH_RADIUS_M`].
    pub fn area_m2(&self) -> f64 {
        self.polygons.iter().map(area::polygon_m2).sum()
    }

    /// Whether a place lies within; on an edge it does not.
    pub fn contains(&self, lat_deg: f64, lon_deg: f64) -> bool {
        // polygons across 180 run on beyond it
        [-360.0, 0.0, 360.0].iter().any(|turn| self.polygons.contains(&Point::new(lon_deg + turn, lat_deg)))
    }
}

/// Checks that a name can serve as a file name on every common system.
///
/// The rule: 1 to [`MAX_NAME_CHARS`] characters and at most 200 bytes; none of `/ \ : * ? " < > |` and no control
/// character, none that turns the direction of the text or hides; no `..`; no dot or space at either end; not a device name such as `CON`.
///
/// # Errors
/// A name that breaks it.
pub fn check_name(name: &str) -> Result<()> {
    let devices = ["con", "prn", "aux", "nul"];
    let stem = name.split('.').next().unwrap_or_default().trim_end().to_ascii_lowercase();
    let port = |prefix| {
        stem.strip_prefix(prefix).is_some_and(|n: &str| n.len() == 1 && n.as_bytes()[0].is_ascii_digit())
    };
    let count = name.chars().count();
    let found = if name.trim().is_empty() {
        "an empty name".to_owned()
    } else if count > MAX_NAME_CHARS || name.len() > 200 {
        format!("{count} characters, {} bytes", name.len())
    } else if let Some(c) = name.chars().find(|c| c.is_control() || acts(*c) || r#"/\:*?"<>|"#.contains(*c)) {
        format!("{c:?} in {name:?}")
    } else if name.contains("..") {
        format!("\"..\" in {name:?}")
    } else if name.starts_with(['.', ' ']) || name.ends_with(['.', ' ']) || name.trim() != name {
        format!("a dot or space at an end of {name:?}")
    } else if devices.contains(&stem.as_str()) || port("com") || port("lpt") {
        format!("{name:?}, which some systems reserve")
    } else {
        return Ok(());
    };
    Err(Error::new("a region's name cannot serve as a file name")
        .found(found)
        .expected(format!(
            "1 to {MAX_NAME_CHARS} characters, without / \\ : * ? \" < > |, control characters, \"..\", \
             or a dot or space at an end"
        ))
        .remedy("rename the region"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_cannot_be_files_are_refused() {
        let long = "x".repeat(81);
        for name in [
            "",
            " ",
            "a/b",
            "a\\b",
            "..",
            "a..b",
            ".a",
            "a.",
            "a ",
            "a\nb",
            "a\u{202e}b",
            "a\u{200b}b",
            "nul",
            "COM1.x",
            "a:b",
            &long,
        ] {
            assert!(check_name(name).is_err(), "{name:?}");
        }
        for name in ["Biscay", "Iroise 2", "Южный океан", "40.5N 030W", "comet", "com"] {
            assert!(check_name(name).is_ok(), "{name:?}");
        }
    }
}
