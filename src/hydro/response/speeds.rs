//! The speeds of a response table: close together where responses change fast, wider where they don't.
//!
//! At low speed following waves change from overtaking to overtaken within fractions of a knot. At the speeds from
//! which added resistances are held their slopes jump, so nothing is interpolated across those speeds. Above, the step is what
//! a narrow swell asks for that she keeps pace with.

use crate::maths::axis::Axis;
use crate::maths::cubic::{Nodes, cubic};

const LOW_STEP_M_S: f64 = 0.2;
const HIGH_STEP_M_S: f64 = 0.5;
/// Cells a piece needs for cubic interpolation.
const FEWEST_CELLS: f64 = 2.0;

/// The nodes around a speed with their weights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SpeedPlace {
    /// For cubic interpolation.
    pub(super) cubic: Nodes,
    /// For linear interpolation.
    pub(super) linear: [(usize, f64); 2],
}

impl SpeedPlace {
    /// Numbers kept at the nodes, in a straight line between them.
    pub(crate) fn in_line<const N: usize>(&self, at: impl Fn(usize) -> [f64; N]) -> [f64; N] {
        let mut sum = [0.0; N];
        for (node, weight) in self.linear {
            for (sum, value) in sum.iter_mut().zip(at(node)) {
                *sum += weight * value;
            }
        }
        sum
    }
}

/// Three pieces of uniform speeds, from zero over the two held speeds to the greatest; neighbours share a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Speeds {
    pieces: [Axis; 3],
}

impl Speeds {
    /// Speeds from zero to `max_m_s`, or a little above the higher held speed where that is greater.
    pub(super) fn new(held_m_s: [f64; 2], max_m_s: f64) -> Self {
        let (first, second) = (held_m_s[0].min(held_m_s[1]), held_m_s[0].max(held_m_s[1]));
        let top = max_m_s.max(second + FEWEST_CELLS * HIGH_STEP_M_S);
        let piece =
            |from: f64, to: f64, step: f64| Axis::covering(from, to, step.min((to - from) / FEWEST_CELLS));
        Self {
            pieces: [
                piece(0.0, first, LOW_STEP_M_S),
                piece(first, second, LOW_STEP_M_S),
                piece(second, top, HIGH_STEP_M_S),
            ],
        }
    }

    pub(super) fn len(&self) -> usize {
        self.pieces.iter().map(|piece| piece.len() - 1).sum::<usize>() + 1
    }

    pub(super) fn nodes(&self) -> impl Iterator<Item = f64> + '_ {
        let first = self.pieces[0].node(0);
        std::iter::once(first).chain(self.pieces.iter().flat_map(|piece| piece.nodes().skip(1)))
    }

    /// The nodes around a speed.
    pub(super) fn place(&self, speed_m_s: f64) -> SpeedPlace {
        let (piece, offset) = self.piece(speed_m_s);
        let place = piece.place(speed_m_s);
        let lower = place.lower + offset;
        SpeedPlace {
            cubic: cubic(place, piece.len()).map(|(node, weight)| (node + offset, weight)),
            linear: [(lower, 1.0 - place.upper_weight), (lower + 1, place.upper_weight)],
        }
    }

    /// The piece a speed lies in, and the index of its first node.
    fn piece(&self, speed_m_s: f64) -> (&Axis, usize) {
        let [low, middle, high] = &self.pieces;
        let (to_middle, to_high) = (low.len() - 1, low.len() + middle.len() - 2);
        match speed_m_s {
            v if v < middle.node(0) => (low, 0),
            v if v < high.node(0) => (middle, to_middle),
            _ => (high, to_high),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// By hand: |v - 4| + |v - 4.3| has its kinks on the held speeds, so it is met exactly on all sides.
    #[test]
    fn kinks_at_the_held_speeds_are_kept() {
        let speeds = Speeds::new([4.3, 4.0], 12.0);
        assert_eq!(speeds.len(), 20 + 2 + 16 + 1);
        let f = |v: f64| (v - 4.0).abs() + (v - 4.3).abs();
        let nodes: Vec<f64> = speeds.nodes().collect();
        assert_eq!(nodes.len(), speeds.len());
        for v in [0.0, 0.1, 3.9, 4.0, 4.05, 4.2, 4.3, 4.35, 7.7, 12.0] {
            let read =
                |at: &[(usize, f64)]| at.iter().map(|(node, weight)| weight * f(nodes[*node])).sum::<f64>();
            assert_relative_eq!(read(&speeds.place(v).cubic), f(v), epsilon = 1e-12);
            assert_relative_eq!(read(&speeds.place(v).linear), f(v), epsilon = 1e-12);
        }
    }
}
