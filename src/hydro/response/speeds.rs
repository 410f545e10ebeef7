//! The speeds of a response table: close together where responses change fast, wider where they don't.
//!
//! At low speed following waves change from overtaking to overtaken within fractions of a knot. At the speed from
//! which added resistance is held its slope jumps, so nothing is interpolated across that speed.

use super::axis::Axis;
use super::cubic::{Nodes, cubic};

const LOW_STEP_M_S: f64 = 0.2;
const HIGH_STEP_M_S: f64 = 0.75;

/// Uniform speeds from zero to the held speed, then uniform and wider ones to the greatest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Speeds {
    low: Axis,
    high: Axis,
}

impl Speeds {
    /// Speeds from zero to `max_m_s`, or a little above the held speed where that is greater.
    pub(super) fn new(held_m_s: f64, max_m_s: f64) -> Self {
        Self {
            low: Axis::covering(0.0, held_m_s, LOW_STEP_M_S),
            high: Axis::covering(held_m_s, max_m_s.max(held_m_s + 2.0 * HIGH_STEP_M_S), HIGH_STEP_M_S),
        }
    }

    pub(super) fn len(&self) -> usize {
        self.low.len() + self.high.len() - 1
    }

    pub(super) fn node(&self, index: usize) -> f64 {
        let last_low = self.low.len() - 1;
        if index < last_low { self.low.node(index) } else { self.high.node(index - last_low) }
    }

    /// The nodes around a speed for cubic interpolation.
    pub(super) fn cubic(&self, speed_m_s: f64) -> Nodes {
        let (axis, offset) = self.part(speed_m_s);
        cubic(axis.place(speed_m_s), axis.len()).map(|(node, weight)| (node + offset, weight))
    }

    /// The nodes around a speed for linear interpolation.
    pub(super) fn linear(&self, speed_m_s: f64) -> [(usize, f64); 2] {
        let (axis, offset) = self.part(speed_m_s);
        let place = axis.place(speed_m_s);
        let lower = place.lower + offset;
        [(lower, 1.0 - place.upper_weight), (lower + 1, place.upper_weight)]
    }

    fn part(&self, speed_m_s: f64) -> (&Axis, usize) {
        let last_low = self.low.len() - 1;
        if speed_m_s < self.high.node(0) { (&self.low, 0) } else { (&self.high, last_low) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// By hand: |v - 4| has its kink on the held speed, so it is met exactly on both sides.
    #[test]
    fn a_kink_at_the_held_speed_is_kept() {
        let speeds = Speeds::new(4.0, 12.0);
        assert_eq!(speeds.len(), 20 + 1 + 11);
        for v in [0.0, 0.1, 3.9, 4.0, 4.2, 7.7, 12.0] {
            let read = |nodes: &[(usize, f64)]| -> f64 {
                nodes.iter().map(|(node, weight)| weight * (speeds.node(*node) - 4.0).abs()).sum()
            };
            assert_relative_eq!(read(&speeds.cubic(v)), (v - 4.0).abs(), epsilon = 1e-12);
            assert_relative_eq!(read(&speeds.linear(v)), (v - 4.0).abs(), epsilon = 1e-12);
        }
    }
}
