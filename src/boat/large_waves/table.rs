//! The table: what the mean forces of large waves have beyond those that go with the square of their height.
//!
//! Linear theory's added resistance is one number a square of the height. Of the force that all of her hull takes in time, that part
//! is found in a sea a fifth as high as the highest, of the same waves; what is left of the force in the higher seas is kept
//! here. So the table speaks of what large waves change alone, is zero in small ones, and chance, which moves both seas alike,
//! largely cancels. Water on deck does not go with the square: there the whole difference to the Gaussian weir is kept.
//!
//! Heights count as parts of the highest sea of a period, which goes by its steepness: what a long sea does to a boat much shorter
//! than its waves its short waves do, and those are as high as it is steep. A swell has none: it counts as the wind sea of its period
//! that moves her bow against the water as much as it does (`balance::sea_curve`). A sea of several systems has the root of the sum of
//! their squared parts, and what is beyond is shared out by them: of one system this is exact, of several it takes the second-order
//! forces of two systems together as those of either.

use crate::hydro::dispersion::wave_length_m;
use crate::hydro::wind_frame::MINOR_ENERGY;
use crate::maths::axis::{Axis, AxisPlace};
use std::f64::consts::PI;

/// What the table was made in.
pub const MADE_IN: &str = "drawn wind seas";
/// Limits of the mean steepness of a sea, its height over the peak's wave length, by peak period, s, straight between (DNV-RP-C205
/// 2010, 3.5.4, from memory).
const LIMITS: [(f64, f64); 2] = [(8.0, 1.0 / 15.0), (15.0, 1.0 / 25.0)];
/// The highest sea of a table over that limit: 1/19 in short seas; severe ones have 1/16 to 1/20 (API RP 2MET 2014).
const HIGHEST: f64 = 0.8;
/// The part of the highest sea that counts as small.
pub(super) const SMALL: f64 = 0.25;
/// Waves shorter than the first period of a table change less and less, down to nothing here, s.
const NOTHING_S: f64 = 2.0;
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

/// How finely a table is laid out, and of how many drawings it is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LargeWavesGrid {
    /// First and last peak period, s.
    pub periods_s: [f64; 2],
    /// Peak periods, in equal ratios; two or more.
    pub periods: usize,
    /// Wave angles from following to head seas; two or more.
    pub angles: usize,
    /// Speeds from rest to the greatest; two or more.
    pub speeds: usize,
    /// Heights above the one that counts as small; one or more.
    pub heights: usize,
    /// Drawings at a node, each with its mirror image in height; two or more, so that chance can be told.
    pub seeds: u64,
}

impl LargeWavesGrid {
    /// That of the polars.
    pub const WHOLE: Self =
        Self { periods_s: [4.0, 18.0], periods: 5, angles: 5, speeds: 5, heights: 3, seeds: 3 };

    /// Number of nodes.
    pub const fn nodes(&self) -> usize {
        self.periods * self.angles * self.speeds * self.heights
    }
}

/// The nodes of a table.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Nodes {
    pub(super) grid: LargeWavesGrid,
    log_periods: Axis,
    angles: Axis,
    speeds: Axis,
    heights: Axis,
}

impl Nodes {
    pub(super) fn new(grid: LargeWavesGrid, top_m_s: f64) -> Self {
        let even = |first: f64, last: f64, count: usize| {
            Axis::covering(first, last, (last - first) / (count - 1) as f64)
        };
        let [first_s, last_s] = grid.periods_s;
        Self {
            log_periods: even(first_s.ln(), last_s.ln(), grid.periods),
            angles: even(0.0, PI, grid.angles),
            speeds: even(0.0, top_m_s, grid.speeds),
            heights: even(SMALL, 1.0, grid.heights + 1),
            grid,
        }
    }

    /// Peak period of a node, s.
    pub(super) fn period_s(&self, index: usize) -> f64 {
        self.log_periods.node(index).exp()
    }

    /// Wave angle of a node, rad.
    pub(super) fn angle_rad(&self, index: usize) -> f64 {
        self.angles.node(index)
    }

    /// Speed of a node, m/s.
    pub(super) fn speed_m_s(&self, index: usize) -> f64 {
        self.speeds.node(index)
    }

    /// Parts of the highest sea, without the small one.
    pub(super) fn parts(&self) -> impl Iterator<Item = f64> + '_ {
        self.heights.nodes().skip(1)
    }
}

/// The highest sea of a period in a table, m.
pub(super) fn highest_m(period_s: f64) -> f64 {
    let [(short_s, short), (long_s, long)] = LIMITS;
    let along = ((period_s - short_s) / (long_s - short_s)).clamp(0.0, 1.0);
    HIGHEST * (short + along * (long - short)) * wave_length_m(period_s)
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
    /// A table up to a speed from what its nodes hold, by period, angle, speed and height; none of another number of nodes than
    /// the grid's.
    pub fn of_nodes(grid: LargeWavesGrid, top_m_s: f64, nodes: &[Beyond], digest: String) -> Option<Self> {
        let values = nodes.iter().map(|node| node.to_array()).collect();
        (nodes.len() == grid.nodes()).then(|| Self { nodes: Nodes::new(grid, top_m_s), values, digest })
    }

    /// What its nodes hold, by period, angle, speed and height.
    pub fn nodes(&self) -> impl Iterator<Item = Beyond> + '_ {
        self.values.iter().map(|values| Beyond::from_array(*values))
    }

    /// The height of a node in seas of a peak period, m, by its number from 1 on; 0 is the small one.
    pub fn height_m(&self, index: usize, tp_s: f64) -> f64 {
        self.nodes.heights.node(index) * highest_m(tp_s)
    }

    /// Whether a sea lies outside the table: steeper than its steepest, or longer where that is more than a minor part.
    pub fn leaves(&self, systems: impl Iterator<Item = Met> + Clone) -> bool {
        let energy: f64 = systems.clone().map(|system| system.hs2_m2).sum();
        let whole: f64 = systems.clone().map(|system| part(&system)).sum();
        let last_s = self.nodes.grid.periods_s[1];
        let long = |system: Met| system.tp_s > last_s && system.hs2_m2 >= MINOR_ENERGY * energy;
        whole > 1.0 + 1e-9 || systems.into_iter().any(long)
    }

    /// What is beyond small waves in a sea at a speed. Outside the table its ends stand, which [`LargeWaves::leaves`] tells.
    pub fn at(&self, systems: impl Iterator<Item = Met> + Clone, speed_m_s: f64) -> Beyond {
        let whole: f64 = systems.clone().map(|system| part(&system)).sum();
        let mut sum = Beyond::default();
        if whole <= SMALL * SMALL {
            return sum;
        }
        let height = self.nodes.heights.place(whole.sqrt());
        let speed = self.nodes.speeds.place(speed_m_s);
        let first_s = self.nodes.grid.periods_s[0];
        for system in systems {
            let short = ((system.tp_s - NOTHING_S) / (first_s - NOTHING_S)).clamp(0.0, 1.0);
            let period = self.nodes.log_periods.place(system.tp_s.max(first_s).ln());
            let angle = self.nodes.angles.place(system.mu_rad);
            let value = self.between([period, angle, speed, height]);
            sum.add(&value, short * system.hs2_m2, short * part(&system) / whole);
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
            let LargeWavesGrid { angles, speeds, heights, .. } = self.nodes.grid;
            let node = &self.values[((p * angles + a) * speeds + s) * heights + h];
            sum.iter_mut().zip(node).for_each(|(sum, value)| *sum += weight * value);
        }
        Beyond::from_array(sum)
    }

    /// Root mean square over all nodes of the force beyond small waves on the hull and of its standard error, N.
    pub fn size_and_error_n(&self) -> [f64; 2] {
        let LargeWavesGrid { angles, speeds, heights, .. } = self.nodes.grid;
        let mut sums = [0.0; 2];
        for (index, node) in self.values.iter().enumerate() {
            let period_s = self.nodes.period_s(index / (heights * speeds * angles));
            let hs_m = self.height_m(1 + index % heights, period_s);
            sums[0] += (node[0] * hs_m * hs_m).powi(2);
            sums[1] += (node[1] * hs_m * hs_m).powi(2);
        }
        sums.map(|sum| (sum / self.values.len() as f64).sqrt())
    }

    /// Nodes in which she pitch-poled, and all.
    pub fn lost(&self) -> [usize; 2] {
        [self.values.iter().filter(|node| node[WIDTH - 1] > 0.0).count(), self.values.len()]
    }

    /// The range: greatest height at the first and last period, m, the periods, s, and the greatest speed, m/s.
    pub fn range(&self) -> ([f64; 2], [f64; 2], f64) {
        let periods_s = self.nodes.grid.periods_s;
        let top_m_s = self.nodes.speed_m_s(self.nodes.grid.speeds - 1);
        (periods_s.map(highest_m), periods_s, top_m_s)
    }
}

/// The part that a system has of the highest of its period, squared.
fn part(system: &Met) -> f64 {
    system.hs2_m2 / highest_m(system.tp_s).powi(2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// Up to 8 m/s; a node holds 1 + its number.
    fn table() -> LargeWaves {
        let grid = LargeWavesGrid::WHOLE;
        let values = (0..grid.nodes()).map(|i| [1.0 + i as f64; WIDTH]).collect();
        LargeWaves { nodes: Nodes::new(grid, 8.0), values, digest: String::new() }
    }

    fn met(hs_m: f64, tp_s: f64, mu_rad: f64) -> Met {
        Met { hs2_m2: hs_m * hs_m, tp_s, mu_rad }
    }

    /// By hand: in 4 s the highest is 0.8 x 24.97 m/15 = 1.3319 m; in 11.5 s, halfway between the limits, 0.8 x 206.4 x 0.053333 = 8.807 m;
    /// in 18 s 0.8 x 505.7/25 = 16.18 m.
    #[test]
    fn nodes_are_read_exactly() {
        let table = table();
        assert_relative_eq!(highest_m(4.0), 1.3319, max_relative = 1e-4);
        assert_relative_eq!(highest_m(11.5), 8.807, max_relative = 1e-4);
        assert_relative_eq!(highest_m(18.0), 16.18, max_relative = 1e-3);
        // the second period, third angle, fourth speed, last height: ((1 x 5 + 2) x 5 + 3) x 3 + 2
        let tp_s = table.nodes.period_s(1);
        let hs_m = table.height_m(3, tp_s);
        let beyond = table.at([met(hs_m, tp_s, PI / 2.0)].into_iter(), 6.0);
        assert_relative_eq!(beyond.hull_n, hs_m * hs_m * 117.0, max_relative = 1e-9);
        assert_relative_eq!(beyond.deck_kg, 117.0, max_relative = 1e-9);
    }

    /// Small seas have nothing; from there it grows faster than the square of the height; two equal systems are one of both.
    #[test]
    fn small_seas_and_parts() {
        let table = table();
        let sea = |hs_m: f64| table.at([met(hs_m, 6.0, PI)].into_iter(), 4.0).hull_n;
        assert_eq!(sea(0.24 * highest_m(6.0)), 0.0);
        assert!(sea(2.0) > 4.0 * sea(1.0) && sea(1.0) > 0.0);
        let half = met(1.0, 6.0, PI);
        let both = table.at([half, half].into_iter(), 4.0);
        let one = table.at([met(2.0_f64.sqrt(), 6.0, PI)].into_iter(), 4.0);
        assert_relative_eq!(both.hull_n, one.hull_n, max_relative = 1e-12);
        assert_relative_eq!(both.deck_n, one.deck_n, max_relative = 1e-12);
        assert_eq!(table.at([met(0.2, 1.9, PI)].into_iter(), 4.0).hull_n, 0.0);
    }

    /// A gale's sea of 6 m and 12 s lies within, as does an old swell of any sailed height; one of 1.4 m in 4 s is too steep.
    #[test]
    fn what_lies_outside_is_told() {
        let table = table();
        assert!(!table.leaves([met(1.3, 4.0, PI), met(0.1, 3.0, PI)].into_iter()));
        assert!(table.leaves([met(1.4, 4.0, PI)].into_iter()));
        assert!(!table.leaves([met(6.0, 12.0, PI), met(4.0, 14.0, 0.0)].into_iter()));
        assert!(table.leaves([met(1.0, 8.0, PI), met(1.0, 19.0, PI)].into_iter()));
        assert!(!table.leaves([met(1.0, 8.0, PI), met(0.1, 19.0, PI)].into_iter()));
    }
}
