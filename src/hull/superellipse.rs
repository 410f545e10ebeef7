//! Sections as superellipses, (y/b)^n + (d/T)^n = 1: from sharp (n near 1) over elliptic (2) to boxy.

use crate::base::{Error, Result};
use crate::hull::point::Point;
use crate::maths::bisect::root;
use std::f64::consts::FRAC_PI_2;

const SECTION_POINTS: usize = 25;

/// A superellipse quarter, keel to waterline, whose straight pieces have the area coefficient asked for.
pub(super) fn section(half_breadth: f64, depth: f64, coefficient: f64) -> Result<Vec<Point>> {
    if half_breadth <= 0.0 || depth <= 0.0 {
        return Ok(vec![Point { z_m: 0.0, y_m: half_breadth.max(0.0) }]);
    }
    let unit = |n: f64| -> Vec<(f64, f64)> {
        (0..SECTION_POINTS)
            .map(|i| FRAC_PI_2 * i as f64 / (SECTION_POINTS - 1) as f64)
            .map(|t| (t.cos().powf(2.0 / n), t.sin().powf(2.0 / n)))
            // the cosine of a rounded right angle is not 0, and a root of it far from 0
            .map(|(d, y)| if y < 1.0 { (d, y) } else { (0.0, 1.0) })
            .collect()
    };
    let area = |points: &[(f64, f64)]| -> f64 {
        points.windows(2).map(|p| (p[0].1 + p[1].1) / 2.0 * (p[0].0 - p[1].0)).sum()
    };
    let n = root((0.4, 30.0), |n| area(&unit(n)) - coefficient).ok_or_else(|| {
        Error::new("no section has this area coefficient").found(format!("{coefficient:.3}"))
    })?;
    Ok(unit(n).into_iter().map(|(d, y)| Point { z_m: -(depth * d), y_m: half_breadth * y }).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hull::sections::Station;
    use approx::assert_relative_eq;

    #[test]
    fn has_the_area_asked_for() {
        for coefficient in [0.42, 0.5, std::f64::consts::FRAC_PI_4, 0.95] {
            let station = Station { x_m: 0.0, points: section(2.0, 0.5, coefficient).unwrap() };
            assert_relative_eq!(station.area_m2(), coefficient * 4.0 * 0.5, max_relative = 1e-9);
            assert_relative_eq!(station.beam_m(), 4.0);
            assert_relative_eq!(station.draught_m(), 0.5);
        }
        assert!(section(2.0, 0.5, 1.1).is_err());
    }
}
