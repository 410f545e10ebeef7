//! The largest speed at which thrust is no less than resistance, looked for from above.

use crate::maths::root::{inverse_parabola, root_between};

/// How close a speed is looked for.
pub(super) const SPEED_TOLERANCE_M_S: f64 = 1e-4;

/// Speed and surplus of thrust.
type SurplusPoint = (f64, f64);

/// The largest root of `surplus` below `start`, where it is negative; `rungs` are points of it below, from above
/// downwards. None if it is negative down to the last rung.
///
/// Between rungs on which all is negative it may yet rise above zero: where the parabola through three of them comes
/// near, its summit is tried. Found to a tolerance.
pub(super) fn largest_root(
    surplus: impl Fn(f64) -> f64,
    start: SurplusPoint,
    rungs: impl Iterator<Item = SurplusPoint>,
    tolerance_m_s: f64,
) -> Option<f64> {
    let mut above = start;
    let mut higher: Option<SurplusPoint> = None;
    for below in rungs {
        if below.1 >= 0.0 {
            return Some(refined(surplus, below, above, higher, tolerance_m_s));
        }
        if let Some(higher) = higher
            && let Some(speed) = near_summit(below, above, higher)
        {
            let summit = (speed, surplus(speed));
            if summit.1 >= 0.0 {
                let end = if speed < above.0 { above } else { higher };
                return Some(refined(surplus, summit, end, Some(below), tolerance_m_s));
            }
        }
        higher = Some(above);
        above = below;
    }
    None
}

/// The root between two points, with the help of a third beside them.
fn refined(
    surplus: impl Fn(f64) -> f64,
    below: SurplusPoint,
    above: SurplusPoint,
    beside: Option<SurplusPoint>,
    tolerance_m_s: f64,
) -> f64 {
    let line = || below.0 + below.1 / (below.1 - above.1) * (above.0 - below.0);
    let guess = beside.and_then(|beside| inverse_parabola(below, above, beside)).unwrap_or_else(line);
    root_between(surplus, below, above, guess, tolerance_m_s)
}

/// Where the parabola through three negative points has a summit between them, if that lies less than half as far below
/// zero as the highest of them.
fn near_summit((x0, f0): SurplusPoint, (x1, f1): SurplusPoint, (x2, f2): SurplusPoint) -> Option<f64> {
    let (slope, next) = ((f1 - f0) / (x1 - x0), (f2 - f1) / (x2 - x1));
    let curvature = (next - slope) / (x2 - x0);
    let x = 0.5 * (x0 + x1) - 0.5 * slope / curvature;
    let summit = f0 + (x - x0) * (slope + curvature * (x - x1));
    (curvature < 0.0 && x0 < x && x < x2 && summit > 0.5 * f0.max(f1).max(f2)).then_some(x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn found(surplus: impl Fn(f64) -> f64, start: f64) -> Option<f64> {
        let rungs = (0..(start / 0.25).ceil() as usize).rev().map(|rung| 0.25 * rung as f64);
        let points = rungs.map(|speed| (speed, surplus(speed)));
        largest_root(&surplus, (start, surplus(start)), points, SPEED_TOLERANCE_M_S)
    }

    /// By hand: roots 1, 2 and 4 of a cubic that is negative above 4 and between 1 and 2.
    #[test]
    fn the_largest_of_several() {
        assert_relative_eq!(found(|v| -(v - 1.0) * (v - 2.0) * (v - 4.0), 4.9).unwrap(), 4.0, epsilon = 1e-4);
        assert_eq!(found(|v| -1.0 - v, 4.9), None);
    }

    /// By hand: roots 3.08 and 3.16 lie between two rungs; so do 4.78 and 4.86, right below the start.
    #[test]
    fn an_island_between_rungs() {
        assert_relative_eq!(found(|v| (v - 3.08) * (3.16 - v), 4.9).unwrap(), 3.16, epsilon = 1e-4);
        assert_relative_eq!(found(|v| (v - 4.78) * (4.86 - v), 4.9).unwrap(), 4.86, epsilon = 1e-4);
        assert_eq!(found(|v| (v - 3.08) * (3.16 - v) - 0.01, 4.9), None);
    }
}
