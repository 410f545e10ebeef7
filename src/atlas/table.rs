//! The systems of one kind: what every polar cell keeps at every node of the axes.

use crate::atlas::axes::SystemAxes;
use crate::atlas::quantity::{BAND, CALM, COUNT, FACTOR, Kept, SECOND};
use crate::base::bearing::wrap360;
use crate::hydro::wind_frame::WaveSystem;
use arrayvec::ArrayVec;

/// One node of the axes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Node {
    /// Of the periods.
    pub period: usize,
    /// Of the heights.
    pub height: usize,
    /// Of the angles.
    pub angle: usize,
}

/// All nodes of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct SystemTable {
    /// The axes.
    pub axes: SystemAxes,
    /// Angles off the wind, degrees.
    angles: usize,
    cells: usize,
    both_sides: bool,
    hs2_m2: Vec<f64>,
    /// By period, angle, cell, height, quantity.
    kept: Vec<f32>,
}

/// Where a system lies among the nodes: up to four curves over the height, with weights that add to one.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    curves: ArrayVec<(usize, f64), 4>,
    /// Height squared, m².
    pub hs2_m2: f64,
    /// Whether it meets the tacks as a system on the other side does.
    mirrored: bool,
    /// What of it lies outside the axes.
    pub beyond: Option<Beyond>,
}

/// In what a system lies outside the axes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beyond {
    /// Its period; the nearest stands in.
    Period,
    /// Its height; the greatest stands in.
    Height,
}

impl SystemTable {
    /// A table to be filled by [`SystemTable::set`].
    pub fn new(axes: SystemAxes, both_sides: bool, cells: usize) -> Self {
        let kept = vec![0.0; Self::size_of(&axes, both_sides, cells)];
        Self::with(axes, both_sides, cells, kept)
    }

    /// The same from what [`SystemTable::numbers`] gave; none where their count is another.
    pub fn of_numbers(axes: SystemAxes, both_sides: bool, cells: usize, numbers: Vec<f32>) -> Option<Self> {
        let size = Self::size_of(&axes, both_sides, cells);
        (numbers.len() == size).then(|| Self::with(axes, both_sides, cells, numbers))
    }

    /// How many numbers a table holds.
    pub fn size_of(axes: &SystemAxes, both_sides: bool, cells: usize) -> usize {
        axes.tp_s.len() * axes.off_wind_deg(both_sides).len() * cells * axes.hs_m.len() * COUNT
    }

    fn with(axes: SystemAxes, both_sides: bool, cells: usize, kept: Vec<f32>) -> Self {
        let angles = axes.off_wind_deg(both_sides).len();
        let hs2_m2 = std::iter::once(0.0).chain(axes.hs_m.iter().map(|hs_m| hs_m * hs_m)).collect();
        Self { angles, cells, both_sides, hs2_m2, kept, axes }
    }

    /// All numbers.
    pub fn numbers(&self) -> &[f32] {
        &self.kept
    }

    /// All nodes that are computed, those of one curve behind each other.
    pub fn nodes(&self) -> Vec<Node> {
        let heights = |period: usize| self.axes.heights_at(self.axes.tp_s[period]);
        let curve = |period: usize, angle: usize| {
            (0..heights(period)).map(move |height| Node { period, height, angle })
        };
        let of_period = |period: usize| (0..self.angles).flat_map(move |angle| curve(period, angle));
        (0..self.axes.tp_s.len()).flat_map(of_period).collect()
    }

    /// The system of a node.
    pub fn system(&self, node: Node) -> WaveSystem {
        let hs_m = self.axes.hs_m[node.height];
        WaveSystem {
            kind: self.axes.kind,
            hs2_m2: hs_m * hs_m,
            tp_s: self.axes.tp_s[node.period],
            off_wind_deg: self.axes.off_wind_deg(self.both_sides)[node.angle],
        }
    }

    fn index(&self, curve: usize, cell: usize, height: usize) -> usize {
        ((curve * self.cells + cell) * self.axes.hs_m.len() + height) * COUNT
    }

    fn curve(&self, period: usize, angle: usize) -> usize {
        period * self.angles + angle
    }

    /// Sets what the cells keep at a node.
    pub fn set(&mut self, node: Node, cells: &[Kept]) {
        let curve = self.curve(node.period, node.angle);
        for (cell, kept) in cells.iter().enumerate() {
            let at = self.index(curve, cell, node.height);
            self.kept[at..at + COUNT].copy_from_slice(kept);
        }
    }

    /// What a cell keeps at a node.
    pub fn get(&self, node: Node, cell: usize) -> &[f32] {
        let at = self.index(self.curve(node.period, node.angle), cell, node.height);
        &self.kept[at..at + COUNT]
    }

    /// Goes on in a straight line over height squared, and no lower than rest, where heights are too steep to be computed:
    /// only systems steeper than any sea come to lie there, and those next to them.
    pub fn fill_steep(&mut self) {
        let all = self.axes.hs_m.len();
        for period in 0..self.axes.tp_s.len() {
            let known = self.axes.heights_at(self.axes.tp_s[period]);
            for (angle, height) in
                (0..self.angles).flat_map(|angle| (known..all).map(move |height| (angle, height)))
            {
                for cell in 0..self.cells {
                    let last = self.index(self.curve(period, angle), cell, height - 1);
                    let at = last + COUNT;
                    self.kept.copy_within(last..last + COUNT, at);
                    let ratio = self.hs2_m2[height + 1] / self.hs2_m2[height];
                    for quantity in [FACTOR, SECOND, BAND[0], BAND[1]] {
                        let value = 1.0 + (f64::from(self.kept[last + quantity]) - 1.0) * ratio;
                        self.kept[at + quantity] = value.max(0.0) as f32;
                    }
                }
            }
        }
    }

    /// Where a system lies.
    pub fn place(&self, system: &WaveSystem) -> Place {
        let log = |tp_s: f64| tp_s.ln();
        let (first, last) = (self.axes.tp_s[0], self.axes.tp_s[self.axes.tp_s.len() - 1]);
        let tp_s = system.tp_s.clamp(first, last);
        let period =
            (self.axes.tp_s.partition_point(|node| *node <= tp_s)).clamp(1, self.axes.tp_s.len() - 1) - 1;
        let [from, to] = [period, period + 1].map(|node| log(self.axes.tp_s[node]));
        let later = ((log(tp_s) - from) / (to - from)).clamp(0.0, 1.0);
        let turned = wrap360(system.off_wind_deg);
        let mirrored = !self.both_sides && turned > 180.0;
        let deg = if mirrored { 360.0 - turned } else { turned };
        let steps = deg / self.axes.step_deg;
        let angle = (steps as usize).min(if self.both_sides { self.angles - 1 } else { self.angles - 2 });
        let next = (angle + 1) % self.angles;
        let further = (steps - angle as f64).clamp(0.0, 1.0);
        let mut curves = ArrayVec::new();
        for (period, of_period) in [(period, 1.0 - later), (period + 1, later)] {
            for (angle, of_angle) in [(angle, 1.0 - further), (next, further)] {
                if of_period * of_angle > 0.0 {
                    curves.push((self.curve(period, angle), of_period * of_angle));
                }
            }
        }
        let greatest = self.hs2_m2[self.hs2_m2.len() - 1];
        let beyond = if system.hs2_m2 > greatest * (1.0 + 1e-9) {
            Some(Beyond::Height)
        } else if tp_s != system.tp_s {
            Some(Beyond::Period)
        } else {
            None
        };
        Place { curves, hs2_m2: system.hs2_m2.min(greatest), mirrored, beyond }
    }

    /// Heights squared of a curve, m², from 0.
    pub fn heights_squared(&self) -> &[f64] {
        &self.hs2_m2
    }

    /// A quantity of a cell over the heights at a place, from that of a flat sea; `other` is the cell on the other tack.
    pub fn curve_at(&self, place: &Place, [cell, other]: [usize; 2], quantity: usize, into: &mut Vec<f64>) {
        let cell = if place.mirrored { other } else { cell };
        into.clear();
        into.push(f64::from(CALM[quantity]));
        for height in 0..self.axes.hs_m.len() {
            let value = |(curve, weight): &(usize, f64)| {
                weight * f64::from(self.kept[self.index(*curve, cell, height) + quantity])
            };
            into.push(place.curves.iter().map(value).sum());
        }
    }

    /// What is kept at the nodes around a place, those of the next height at least as high.
    pub fn around(&self, place: &Place, [cell, other]: [usize; 2]) -> impl Iterator<Item = &[f32]> {
        let cell = if place.mirrored { other } else { cell };
        let height = self.hs2_m2[1..].partition_point(|node| *node < place.hs2_m2 * (1.0 - 1e-9));
        let height = height.min(self.axes.hs_m.len() - 1);
        place.curves.iter().map(move |(curve, _)| {
            let at = self.index(*curve, cell, height);
            &self.kept[at..at + COUNT]
        })
    }
}
