//! The user's own responses, from a tank or another code, in place of the built-in ones.
//!
//! Values stand on a full grid of speed, wave angle and wave period and are interpolated linearly in each. Outside the
//! grid there is none: the caller falls back on a built-in method and says so.

use num_complex::Complex64;
use std::f64::consts::TAU;

/// Responses per metre of wave amplitude at one speed, angle and period.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnPoint {
    /// Mean added resistance per amplitude squared, N/m²; none where the table has no such column.
    pub added_resistance: Option<f64>,
    /// Heave at the centre of gravity, up, and pitch, bow down, with phases against the crest there; none likewise.
    pub motions: Option<[Complex64; 2]>,
}

/// Own responses on their grid.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnTable {
    axes: [Vec<f64>; 3],
    points: Vec<OwnPoint>,
}

impl OwnTable {
    /// A table from rising axes (speed m/s, wave angle rad, period s; two nodes or more each) and one point a node, the
    /// period running fastest. None where the sizes don't fit or an axis does not rise.
    pub fn new(axes: [Vec<f64>; 3], points: Vec<OwnPoint>) -> Option<Self> {
        let rising = |axis: &Vec<f64>| axis.len() >= 2 && axis.windows(2).all(|pair| pair[0] < pair[1]);
        let fits = axes.iter().map(Vec::len).product::<usize>() == points.len();
        (fits && axes.iter().all(rising)).then_some(Self { axes, points })
    }

    /// The response at a speed (m/s), wave angle (rad) and absolute wave frequency (rad/s), if the table has it.
    pub fn at(&self, speed_m_s: f64, mu: f64, omega: f64) -> Option<OwnPoint> {
        let [speed, angle, period] =
            [(0, speed_m_s), (1, mu), (2, TAU / omega)].map(|(axis, x)| place(&self.axes[axis], x));
        let (speed, angle, period) = (speed?, angle?, period?);
        let mut sum = OwnPoint { added_resistance: None, motions: None };
        for (i, wi) in ends(speed) {
            for (j, wj) in ends(angle) {
                for (k, wk) in ends(period) {
                    let point = &self.points[(i * self.axes[1].len() + j) * self.axes[2].len() + k];
                    sum.add(point, wi * wj * wk);
                }
            }
        }
        Some(sum)
    }

    /// Whether a speed (m/s) lies within the table.
    pub fn covers_speed(&self, speed_m_s: f64) -> bool {
        place(&self.axes[0], speed_m_s).is_some()
    }

    /// Whether a wave period (s) lies within the table.
    pub fn covers_period(&self, period_s: f64) -> bool {
        place(&self.axes[2], period_s).is_some()
    }
}

impl OwnPoint {
    fn add(&mut self, point: &OwnPoint, weight: f64) {
        if let Some(value) = point.added_resistance {
            *self.added_resistance.get_or_insert(0.0) += weight * value;
        }
        if let Some([heave, pitch]) = point.motions {
            let sums = self.motions.get_or_insert([Complex64::ZERO; 2]);
            sums[0] += weight * heave;
            sums[1] += weight * pitch;
        }
    }
}

fn place(axis: &[f64], x: f64) -> Option<(usize, f64)> {
    let (first, last) = (axis.first()?, axis.last()?);
    if !(*first..=*last).contains(&x) {
        return None;
    }
    let lower = (axis.partition_point(|node| *node <= x) - 1).min(axis.len() - 2);
    Some((lower, (x - axis[lower]) / (axis[lower + 1] - axis[lower])))
}

fn ends((lower, upper): (usize, f64)) -> [(usize, f64); 2] {
    [(lower, 1.0 - upper), (lower + 1, upper)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// A product of linear functions is met exactly by trilinear interpolation.
    #[test]
    fn is_exact_for_what_is_linear_in_each() {
        let axes = [vec![0.0, 4.0, 10.0], vec![0.0, 3.2], vec![2.0, 5.0, 20.0]];
        let f = |v: f64, mu: f64, t: f64| (1.0 + v) * (2.0 - 0.3 * mu) * (3.0 + 0.1 * t);
        let mut points = Vec::new();
        for &v in &axes[0] {
            for &mu in &axes[1] {
                points.extend(
                    axes[2].iter().map(|&t| OwnPoint { added_resistance: Some(f(v, mu, t)), motions: None }),
                );
            }
        }
        let table = OwnTable::new(axes, points).unwrap();
        let point = table.at(7.0, 1.1, TAU / 8.0).unwrap();
        assert_relative_eq!(point.added_resistance.unwrap(), f(7.0, 1.1, 8.0), max_relative = 1e-12);
        assert_eq!(table.at(10.1, 1.1, TAU / 8.0), None);
        assert_eq!(table.at(7.0, 1.1, TAU / 1.9), None);
    }
}
