//! The systems of one kind: what every polar cell keeps at every node of the axes.

use crate::atlas::axes::SystemAxes;
use crate::atlas::quantity::{CALM, COUNT, Kept};
use crate::base::bearing::wave_angle_rad;
use crate::hydro::wind_frame::WaveSystem;
use interp::{InterpMode, interp};

/// One curve over the height, by the places of its period and angle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Node {
    /// Of the periods.
    pub period: usize,
    /// Of the wave angles.
    pub angle: usize,
}

/// All nodes of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct SystemTable {
    /// The axes.
    pub axes: SystemAxes,
    cells: usize,
    /// Parts of the greatest height squared, from 0.
    squares: Vec<f64>,
    /// By quantity, cell, period, angle, height.
    numbers: Vec<f32>,
}

/// Where a system lies among periods and heights, whatever the heading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SystemPlace {
    /// The period before, and how much of the next one.
    period: (usize, f64),
    /// Height squared over the greatest's at the period.
    pub square: f64,
    off_wind_deg: f64,
    /// What of it lies outside the axes.
    pub beyond: Option<Beyond>,
}

/// Where a system lies on one heading: four curves, with weights that add to one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corners {
    curves: [(usize, f64); 4],
    /// As [`SystemPlace::square`].
    pub square: f64,
}

/// In what a system lies outside the axes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beyond {
    /// Its period.
    Period,
    /// Its height.
    Height,
}

impl SystemTable {
    /// A table to be filled by [`SystemTable::set`].
    pub fn new(axes: SystemAxes, cells: usize) -> Self {
        let numbers = vec![0.0; COUNT * Self::size(&axes, cells)];
        Self::with(axes, cells, numbers)
    }

    /// The same from what [`SystemTable::numbers`] gave; none where their count is another.
    pub fn of_numbers(axes: SystemAxes, cells: usize, numbers: Vec<f32>) -> Option<Self> {
        (numbers.len() == COUNT * Self::size(&axes, cells)).then(|| Self::with(axes, cells, numbers))
    }

    /// How many numbers a table holds of one quantity.
    pub fn size(axes: &SystemAxes, cells: usize) -> usize {
        axes.tp_s.len() * axes.wave_angle_deg.len() * axes.height_parts.len() * cells
    }

    fn with(axes: SystemAxes, cells: usize, numbers: Vec<f32>) -> Self {
        let squares = std::iter::once(0.0).chain(axes.height_parts.iter().map(|part| part * part)).collect();
        Self { cells, squares, numbers, axes }
    }

    /// All numbers, quantity by quantity.
    pub fn numbers(&self) -> &[f32] {
        &self.numbers
    }

    /// All numbers of one quantity.
    pub fn of_quantity(&self, quantity: usize) -> &[f32] {
        let size = self.numbers.len() / COUNT;
        &self.numbers[quantity * size..(quantity + 1) * size]
    }

    /// All curves.
    pub fn nodes(&self) -> Vec<Node> {
        let angles = self.axes.wave_angle_deg.len();
        let of_period = |period: usize| (0..angles).map(move |angle| Node { period, angle });
        (0..self.axes.tp_s.len()).flat_map(of_period).collect()
    }

    /// The systems of a curve on a heading, lowest first.
    pub fn systems(&self, node: Node, signed_twa_deg: f64) -> Vec<WaveSystem> {
        let of_part = |part: &f64| {
            let hs_m = part * self.axes.greatest_hs_m[node.period];
            WaveSystem {
                kind: self.axes.kind,
                hs2_m2: hs_m * hs_m,
                tp_s: self.axes.tp_s[node.period],
                off_wind_deg: 180.0 - self.axes.wave_angle_deg[node.angle] - signed_twa_deg,
            }
        };
        self.axes.height_parts.iter().map(of_part).collect()
    }

    /// Numbers of one quantity in a cell.
    fn block(&self) -> usize {
        self.axes.tp_s.len() * self.curves()
    }

    /// Numbers of one quantity in a cell at one period.
    fn curves(&self) -> usize {
        self.axes.wave_angle_deg.len() * self.axes.height_parts.len()
    }

    fn start(&self, quantity: usize, cell: usize) -> usize {
        (quantity * self.cells + cell) * self.block()
    }

    fn curve(&self, node: Node) -> usize {
        node.period * self.curves() + node.angle * self.axes.height_parts.len()
    }

    /// Sets what a cell keeps at a curve, lowest height first.
    pub fn set(&mut self, node: Node, cell: usize, heights: &[Kept]) {
        let curve = self.curve(node);
        for quantity in 0..COUNT {
            let at = self.start(quantity, cell) + curve;
            for (number, kept) in self.numbers[at..].iter_mut().zip(heights) {
                *number = kept[quantity];
            }
        }
    }

    /// What a cell keeps at a curve's height.
    pub fn get(&self, node: Node, height: usize, cell: usize) -> Kept {
        let at = self.curve(node) + height;
        std::array::from_fn(|quantity| self.numbers[self.start(quantity, cell) + at])
    }

    /// Where a system lies.
    pub fn place(&self, system: &WaveSystem) -> SystemPlace {
        let periods: Vec<f64> = self.axes.tp_s.iter().map(|tp_s| tp_s.ln()).collect();
        let log_tp = system.tp_s.ln();
        let period = position(&periods, log_tp);
        let greatest_m = self.axes.greatest_at_m(system.tp_s);
        let square = system.hs2_m2 / (greatest_m * greatest_m);
        let (first, last) = (periods[0], periods[periods.len() - 1]);
        let beyond = if log_tp < first - 1e-9 || log_tp > last + 1e-9 {
            Some(Beyond::Period)
        } else if square > 1.0 + 1e-6 {
            Some(Beyond::Height)
        } else {
            None
        };
        SystemPlace { period, square: square.min(1.0), off_wind_deg: system.off_wind_deg, beyond }
    }

    /// The curves around a system on a heading.
    pub fn corners(&self, place: &SystemPlace, signed_twa_deg: f64) -> Corners {
        let wave_angle_deg = wave_angle_rad(place.off_wind_deg, signed_twa_deg).to_degrees();
        let (angle, of_next) = position(&self.axes.wave_angle_deg, wave_angle_deg);
        let (period, of_later) = place.period;
        let corner = |later: usize, next: usize| {
            let weight = |place: usize, upper: f64| if place == 1 { upper } else { 1.0 - upper };
            let curve = self.curve(Node { period: period + later, angle: angle + next });
            (curve, weight(later, of_later) * weight(next, of_next))
        };
        Corners { curves: [corner(0, 0), corner(0, 1), corner(1, 0), corner(1, 1)], square: place.square }
    }

    /// Parts of the greatest height squared of a curve, from 0.
    pub fn squares(&self) -> &[f64] {
        &self.squares
    }

    /// A quantity of a cell over the heights among curves, from that of a flat sea.
    pub fn curve_at(&self, corners: &Corners, cell: usize, quantity: usize, into: &mut Vec<f64>) {
        let numbers = &self.numbers[self.start(quantity, cell)..];
        into.clear();
        into.push(f64::from(CALM[quantity]));
        into.extend((0..self.axes.height_parts.len()).map(|height| {
            corners
                .curves
                .iter()
                .map(|(curve, weight)| weight * f64::from(numbers[curve + height]))
                .sum::<f64>()
        }));
    }

    /// A quantity of a cell at a place.
    pub fn at(&self, corners: &Corners, cell: usize, quantity: usize) -> f64 {
        let numbers = &self.numbers[self.start(quantity, cell)..];
        let (height, of_next) = self.height(corners.square);
        let at = |height: usize| match height {
            0 => f64::from(CALM[quantity]),
            _ => corners
                .curves
                .iter()
                .map(|(curve, weight)| weight * f64::from(numbers[curve + height - 1]))
                .sum(),
        };
        (1.0 - of_next) * at(height) + of_next * at(height + 1)
    }

    /// The height before, 0 a flat sea, and how much of the next one.
    fn height(&self, square: f64) -> (usize, f64) {
        let next = self.squares.partition_point(|node| *node <= square).clamp(1, self.squares.len() - 1);
        let (from, to) = (self.squares[next - 1], self.squares[next]);
        (next - 1, ((square - from) / (to - from)).clamp(0.0, 1.0))
    }

    /// What is kept of a quantity at the nodes around a place, those of the next height at least as high.
    pub fn around(
        &self,
        corners: &Corners,
        cell: usize,
        quantities: [usize; 2],
    ) -> impl Iterator<Item = [f32; 2]> {
        let (height, of_next) = self.height(corners.square);
        let node = if of_next > 0.0 || height == 0 { height } else { height - 1 };
        let starts = quantities.map(|quantity| self.start(quantity, cell) + node);
        let curves = corners.curves.into_iter().filter(|(_, weight)| *weight > 0.0);
        curves.map(move |(curve, _)| starts.map(|start| self.numbers[start + curve]))
    }
}

/// The node of a rising axis before a value, and how far it is to the next one; held at the ends.
fn position(axis: &[f64], value: f64) -> (usize, f64) {
    let numbers: Vec<f64> = (0..axis.len()).map(|node| node as f64).collect();
    let position = interp(axis, &numbers, value, &InterpMode::FirstLast);
    let node = (position as usize).min(axis.len() - 2);
    (node, (position - node as f64).clamp(0.0, 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sea::PartitionKind;
    use approx::assert_relative_eq;

    fn axes() -> SystemAxes {
        SystemAxes {
            kind: PartitionKind::Swell,
            tp_s: vec![4.0, 8.0, 16.0],
            greatest_hs_m: vec![1.0, 4.0, 4.0],
            height_parts: vec![0.5, 1.0],
            wave_angle_deg: vec![0.0, 90.0, 180.0],
        }
    }

    /// By hand: 5.66 s lie half-way from 4 to 8 s in their logarithm, where the greatest height is 2 m; on starboard tack at 45
    /// degrees a swell from 90 to the right of the wind comes from 135 off the bow, met at 45: half-way to 90. The height of 1 m
    /// is a quarter of the square, so on the first node.
    #[test]
    fn a_place_by_hand() {
        let mut table = SystemTable::new(axes(), 1);
        for (index, node) in table.nodes().into_iter().enumerate() {
            let mut kept = [CALM; 2];
            kept[0][0] = index as f32;
            kept[1][0] = 10.0 + index as f32;
            table.set(node, 0, &kept);
        }
        let system =
            WaveSystem { kind: PartitionKind::Swell, hs2_m2: 1.0, tp_s: 32f64.sqrt(), off_wind_deg: 90.0 };
        let place = table.place(&system);
        assert_eq!(place.beyond, None);
        assert_relative_eq!(place.square, 0.25, max_relative = 1e-9);
        let corners = table.corners(&place, 45.0);
        // nodes 0, 1, 3, 4 with a quarter each
        assert_relative_eq!(table.at(&corners, 0, 0), 2.0, max_relative = 1e-6);
        let mut curve = Vec::new();
        table.curve_at(&corners, 0, 0, &mut curve);
        assert_relative_eq!(curve[2], 12.0, max_relative = 1e-6);
        let there = table.systems(Node { period: 0, angle: 1 }, -60.0);
        assert_eq!((there[0].hs2_m2, there[0].tp_s, there[0].off_wind_deg), (0.25, 4.0, 150.0));
    }

    #[test]
    fn what_lies_outside_is_told() {
        let table = SystemTable::new(axes(), 1);
        let beyond = |hs2_m2: f64, tp_s: f64| {
            table.place(&WaveSystem { kind: PartitionKind::Swell, hs2_m2, tp_s, off_wind_deg: 0.0 }).beyond
        };
        assert_eq!(beyond(1.0, 4.0), None);
        assert_eq!(beyond(16.0, 16.0), None);
        assert_eq!(beyond(1.2, 4.0), Some(Beyond::Height));
        assert_eq!(beyond(0.1, 3.9), Some(Beyond::Period));
        assert_eq!(beyond(0.1, 16.5), Some(Beyond::Period));
    }
}
