//! The table: what the mean forces of large waves have beyond those that go with the square of their height.
//!
//! Linear theory's added resistance is one number a square of the height. Of the force that all of her hull takes in time, that part
//! is found in a sea a fifth as high as the highest, of the same waves; what is left of the force in the higher seas is kept
//! here. So the table speaks of what large waves change alone, is zero in small ones, and chance, which moves both seas alike,
//! largely cancels. Water on deck does not go with the square: there the whole difference to the Gaussian weir is kept.
//!
//! Heights count as parts of the highest sea of a period: 1/16 of the peak's wave length (common practice: seas reach 1/15), and no
//! more than 0.45 of her length (judged: beyond, no polar is sailed). A sea of several systems has the root of the sum of their
//! squared parts, and what is beyond is shared out by them: of one system this is exact, of several it takes the second-order
//! forces of two systems together as those of either.

use crate::hydro::dispersion::wave_length_m;
use crate::hydro::wind_frame::MINOR_ENERGY;
use crate::maths::axis::{Axis, AxisPlace};
use std::f64::consts::PI;

/// What the table was made in.
pub const MADE_IN: &str = "drawn wind seas";
/// Steepest sea, height over the peak's wave length.
const STEEPEST: f64 = 1.0 / 16.0;
/// Highest sea over her length.
const HIGHEST: f64 = 0.45;
/// The part of the highest sea that counts as small.
pub(super) const SMALL: f64 = 0.2;
/// Heights, small among them.
const HEIGHTS: usize = 4;
/// First and last peak period, s; shorter waves change less and less, down to nothing at [`NOTHING_S`].
const PERIODS_S: (f64, f64) = (4.0, 18.0);
const NOTHING_S: f64 = 2.0;
pub(super) const PERIODS: usize = 5;
pub(super) const ANGLES: usize = 5;
pub(super) const SPEEDS: usize = 5;
/// Numbers at a node.
pub(super) const WIDTH: usize = 7;

/// What one node holds, and what is read of a table.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Beyond {
    /// Mean force along the course, N, positive astern; at a node per squared height, N/m².
    pub hull_n: f64,
    /// Its standard error by chance.
    pub hull_error_n: f64,
    /// Mean force of the water that comes aboard, N, less that of the Gaussian weir.
    pub deck_n: f64,
    /// Its standard error.
    pub deck_error_n: f64,
    /// Mean water on deck less that of the Gaussian weir, kg.
    pub deck_kg: f64,
    /// Its standard error.
    pub deck_error_kg: f64,
    /// Share of the nodes read in which she pitch-poled: the next lower height stands there.
    pub lost_share: f64,
}

impl Beyond {
    pub(super) fn to_array(self) -> [f64; WIDTH] {
        [
            self.hull_n,
            self.hull_error_n,
            self.deck_n,
            self.deck_error_n,
            self.deck_kg,
            self.deck_error_kg,
            self.lost_share,
        ]
    }

    pub(super) fn from_array(v: [f64; WIDTH]) -> Self {
        let [hull_n, hull_error_n, deck_n, deck_error_n, deck_kg, deck_error_kg, lost_share] = v;
        Self { hull_n, hull_error_n, deck_n, deck_error_n, deck_kg, deck_error_kg, lost_share }
    }

    /// Adds another, weighed: forces on the hull by `hull`, the deck's by `deck`.
    fn add(&mut self, other: &Self, hull: f64, deck: f64) {
        self.hull_n += hull * other.hull_n;
        self.hull_error_n += hull * other.hull_error_n;
        self.deck_n += deck * other.deck_n;
        self.deck_error_n += deck * other.deck_error_n;
        self.deck_kg += deck * other.deck_kg;
        self.deck_error_kg += deck * other.deck_error_kg;
        self.lost_share += deck * other.lost_share;
    }
}

/// The nodes of a table.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Nodes {
    length_m: f64,
    log_periods: Axis,
    angles: Axis,
    speeds: Axis,
    heights: Axis,
}

impl Nodes {
    pub(super) fn new(length_m: f64, top_m_s: f64) -> Self {
        let even = |first: f64, last: f64, count: usize| {
            Axis::covering(first, last, (last - first) / (count - 1) as f64)
        };
        Self {
            length_m,
            log_periods: even(PERIODS_S.0.ln(), PERIODS_S.1.ln(), PERIODS),
            angles: even(0.0, PI, ANGLES),
            speeds: even(0.0, top_m_s, SPEEDS),
            heights: even(SMALL, 1.0, HEIGHTS),
        }
    }

    /// Peak period, s, wave angle, rad, and speed, m/s, of a node; heights but the small one, m.
    pub(super) fn period_s(&self, index: usize) -> f64 {
        self.log_periods.node(index).exp()
    }

    pub(super) fn angle_rad(&self, index: usize) -> f64 {
        self.angles.node(index)
    }

    pub(super) fn speed_m_s(&self, index: usize) -> f64 {
        self.speeds.node(index)
    }

    /// Parts of the highest sea, without the small one.
    pub(super) fn parts(&self) -> [f64; HEIGHTS - 1] {
        std::array::from_fn(|i| self.heights.node(i + 1))
    }

    /// The highest sea of a period, m.
    pub(super) fn highest_m(&self, period_s: f64) -> f64 {
        (STEEPEST * wave_length_m(period_s)).min(HIGHEST * self.length_m)
    }
}

/// What large waves change of the mean forces on a boat, by height, peak period, wave angle and speed.
#[derive(Debug, Clone, PartialEq)]
pub struct LargeWaves {
    pub(super) nodes: Nodes,
    /// By period, angle, speed and height but the small one.
    pub(super) values: Vec<[f64; WIDTH]>,
    /// Digest of the values, as hexadecimal.
    pub digest: String,
}

/// One wave system as the table is asked for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Met {
    /// Height squared, m².
    pub hs2_m2: f64,
    /// Peak period, s.
    pub tp_s: f64,
    /// Wave angle, rad: 0 following, pi head.
    pub mu_rad: f64,
}

impl LargeWaves {
    /// Number of nodes.
    pub const NODES: usize = PERIODS * ANGLES * SPEEDS * (HEIGHTS - 1);

    /// A table for a boat of a length up to a speed from what its nodes hold, by period, angle, speed and height; none of another
    /// number of nodes.
    pub fn of_nodes(length_m: f64, top_m_s: f64, nodes: &[Beyond], digest: String) -> Option<Self> {
        let values = nodes.iter().map(|node| node.to_array()).collect();
        (nodes.len() == Self::NODES).then(|| Self { nodes: Nodes::new(length_m, top_m_s), values, digest })
    }

    /// The height of a node in seas of a peak period, m, by its number from 1 on; 0 is the small one.
    pub fn height_m(&self, index: usize, tp_s: f64) -> f64 {
        self.nodes.heights.node(index) * self.nodes.highest_m(tp_s)
    }

    /// The part that a system has of the highest of its period, squared.
    fn part(&self, system: &Met) -> f64 {
        system.hs2_m2 / self.nodes.highest_m(system.tp_s).powi(2)
    }

    /// Whether a sea lies outside the table: higher than its highest, or longer where that is more than a minor part.
    pub fn leaves(&self, systems: impl Iterator<Item = Met> + Clone) -> bool {
        let energy: f64 = systems.clone().map(|system| system.hs2_m2).sum();
        let whole: f64 = systems.clone().map(|system| self.part(&system)).sum();
        let long = |system: Met| system.tp_s > PERIODS_S.1 && system.hs2_m2 >= MINOR_ENERGY * energy;
        whole > 1.0 + 1e-9 || systems.into_iter().any(long)
    }

    /// What is beyond small waves in a sea at a speed. Outside the table its ends stand, which [`LargeWaves::leaves`] tells.
    pub fn at(&self, systems: impl Iterator<Item = Met> + Clone, speed_m_s: f64) -> Beyond {
        let whole: f64 = systems.clone().map(|system| self.part(&system)).sum();
        let mut sum = Beyond::default();
        if whole <= SMALL * SMALL {
            return sum;
        }
        let height = self.nodes.heights.place(whole.sqrt());
        let speed = self.nodes.speeds.place(speed_m_s);
        for system in systems {
            let short = ((system.tp_s - NOTHING_S) / (PERIODS_S.0 - NOTHING_S)).clamp(0.0, 1.0);
            let period = self.nodes.log_periods.place(system.tp_s.max(PERIODS_S.0).ln());
            let angle = self.nodes.angles.place(system.mu_rad);
            let value = self.between([period, angle, speed, height]);
            sum.add(&value, short * system.hs2_m2, short * self.part(&system) / whole);
        }
        sum
    }

    fn between(&self, [period, angle, speed, height]: [AxisPlace; 4]) -> Beyond {
        let mut sum = [0.0; WIDTH];
        for corner in 0..16 {
            let mut weight = 1.0;
            let at = |place: AxisPlace, bit: usize, weight: &mut f64| {
                let upper = corner >> bit & 1;
                *weight *= if upper == 1 { place.upper_weight } else { 1.0 - place.upper_weight };
                place.lower + upper
            };
            let (p, a, s) =
                (at(period, 0, &mut weight), at(angle, 1, &mut weight), at(speed, 2, &mut weight));
            // the small sea, from which the table counts, is not kept
            let Some(h) = at(height, 3, &mut weight).checked_sub(1) else { continue };
            let node = &self.values[((p * ANGLES + a) * SPEEDS + s) * (HEIGHTS - 1) + h];
            sum.iter_mut().zip(node).for_each(|(sum, value)| *sum += weight * value);
        }
        Beyond::from_array(sum)
    }

    /// Root mean square over all nodes of the force beyond small waves on the hull and of its standard error, N.
    pub fn size_and_error_n(&self) -> [f64; 2] {
        let parts = self.nodes.parts();
        let mut sums = [0.0; 2];
        for (index, node) in self.values.iter().enumerate() {
            let period_s = self.nodes.period_s(index / ((HEIGHTS - 1) * SPEEDS * ANGLES));
            let hs_m = parts[index % (HEIGHTS - 1)] * self.nodes.highest_m(period_s);
            sums[0] += (node[0] * hs_m * hs_m).powi(2);
            sums[1] += (node[1] * hs_m * hs_m).powi(2);
        }
        sums.map(|sum| (sum / self.values.len() as f64).sqrt())
    }

    /// Nodes in which she pitch-poled.
    pub fn lost(&self) -> usize {
        self.values.iter().filter(|node| node[WIDTH - 1] > 0.0).count()
    }

    /// The range: greatest height at the first and last period, m, the periods, s, and the greatest speed, m/s.
    pub fn range(&self) -> ([f64; 2], [f64; 2], f64) {
        let periods = [PERIODS_S.0, PERIODS_S.1];
        (periods.map(|period| self.nodes.highest_m(period)), periods, self.nodes.speeds.node(SPEEDS - 1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// A boat of 10 m and up to 8 m/s; a node holds 1 + its number.
    fn table() -> LargeWaves {
        let nodes = Nodes::new(10.0, 8.0);
        let count = PERIODS * ANGLES * SPEEDS * (HEIGHTS - 1);
        let values = (0..count).map(|i| [1.0 + i as f64; WIDTH]).collect();
        LargeWaves { nodes, values, digest: String::new() }
    }

    fn met(hs_m: f64, tp_s: f64, mu_rad: f64) -> Met {
        Met { hs2_m2: hs_m * hs_m, tp_s, mu_rad }
    }

    /// By hand: in 4 s the highest is 24.97 m/16 = 1.5608 m, in 18 s 0.45 of her length.
    #[test]
    fn nodes_are_read_exactly() {
        let table = table();
        assert_relative_eq!(table.nodes.highest_m(4.0), 1.5608, max_relative = 1e-4);
        assert_relative_eq!(table.nodes.highest_m(18.0), 4.5);
        // the second period, third angle, fourth speed, last height: ((1 x 5 + 2) x 5 + 3) x 3 + 2
        let tp_s = table.nodes.period_s(1);
        let hs_m = table.nodes.highest_m(tp_s);
        let beyond = table.at([met(hs_m, tp_s, PI / 2.0)].into_iter(), 6.0);
        assert_relative_eq!(beyond.hull_n, hs_m * hs_m * 117.0, max_relative = 1e-9);
        assert_relative_eq!(beyond.deck_kg, 117.0, max_relative = 1e-9);
    }

    /// Small seas have nothing; from there it grows faster than the square of the height; two equal systems are one of both.
    #[test]
    fn small_seas_and_parts() {
        let table = table();
        let sea = |hs_m: f64| table.at([met(hs_m, 6.0, PI)].into_iter(), 4.0).hull_n;
        assert_eq!(sea(0.19 * table.nodes.highest_m(6.0)), 0.0);
        assert!(sea(2.0) > 4.0 * sea(1.0) && sea(1.0) > 0.0);
        let half = met(1.0, 6.0, PI);
        let both = table.at([half, half].into_iter(), 4.0);
        let one = table.at([met(2.0_f64.sqrt(), 6.0, PI)].into_iter(), 4.0);
        assert_relative_eq!(both.hull_n, one.hull_n, max_relative = 1e-12);
        assert_relative_eq!(both.deck_n, one.deck_n, max_relative = 1e-12);
        assert_eq!(table.at([met(0.3, 1.9, PI)].into_iter(), 4.0).hull_n, 0.0);
    }

    #[test]
    fn what_lies_outside_is_told() {
        let table = table();
        assert!(!table.leaves([met(1.5, 4.0, PI), met(0.2, 3.0, PI)].into_iter()));
        assert!(table.leaves([met(1.6, 4.0, PI)].into_iter()));
        assert!(table.leaves([met(1.0, 8.0, PI), met(1.0, 19.0, PI)].into_iter()));
        assert!(!table.leaves([met(1.0, 8.0, PI), met(0.1, 19.0, PI)].into_iter()));
    }
}
