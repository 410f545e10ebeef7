//! The seas of an atlas: one wave system by kind, peak period, height and the angle at which she meets it; and fetches of a growth
//! curve.
//!
//! The angle is the wave angle, between her course and where the waves run, not that off the wind: what a system does to her on a
//! heading hangs on nothing else of its direction, so that half a circle serves both sides of the wind and every heading. Heights
//! are parts of the greatest at their period, so that no node is wasted on waves steeper than any sea. A system alone is enough:
//! where several meet, what each takes alone tells what they take together ([`crate::atlas::blend`]).

use crate::base::{Error, Result};
use crate::sea::PartitionKind;
use interp::{InterpMode, interp};

/// Deep-water wave length over the period squared, m/s²: g / 2 pi.
const LENGTH: f64 = crate::base::units::G / std::f64::consts::TAU;

/// The greatest heights of a kind: as steep, over the deep-water length at the peak, and as high in metres. Swells are seldom
/// steeper than 0.03; growing wind seas of short fetch reach 0.06 (Hasselmann et al. 1973 by
/// [`crate::hydro::wave_growth`]); heights by common practice, no source.
const GREATEST: [(PartitionKind, f64, f64); 2] =
    [(PartitionKind::WindSea, 0.065, 12.0), (PartitionKind::Swell, 0.05, 10.0)];

/// How fine an atlas is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fineness {
    /// Swells 30 degrees apart, a few periods and heights.
    Coarse,
    /// Swells 15 degrees apart.
    Medium,
    /// Swells 10 degrees apart.
    Fine,
}

impl Fineness {
    /// All of them, each finer than the one before.
    pub const ALL: [Self; 3] = [Self::Coarse, Self::Medium, Self::Fine];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Coarse => "coarse",
            Self::Medium => "medium",
            Self::Fine => "fine",
        }
    }

    /// The axes of a kind of system.
    pub fn axes(self, kind: PartitionKind) -> SystemAxes {
        let swell = kind == PartitionKind::Swell;
        // wind seas come from all over, so that what they do changes slowly with the angle; but steep ones stop her at one height, and
        // where that lies between two the error is a good part of her speed (0.4 of it, by hand, for a fall anywhere between), so the
        // fine grid has them near each other
        let (periods, step_deg, height_parts): (usize, f64, &[f64]) = match (self, swell) {
            (Self::Coarse, true) => (5, 30.0, &[0.3, 0.6, 1.0]),
            (Self::Coarse, false) => (5, 45.0, &[0.3, 0.6, 1.0]),
            (Self::Medium, true) => (9, 15.0, &[0.15, 0.3, 0.5, 0.75, 1.0]),
            (Self::Medium, false) => (9, 22.5, &[0.15, 0.3, 0.5, 0.75, 1.0]),
            (Self::Fine, true) => (13, 10.0, &[0.12, 0.24, 0.4, 0.6, 0.8, 1.0]),
            (Self::Fine, false) => {
                (13, 15.0, &[0.12, 0.24, 0.33, 0.4, 0.47, 0.53, 0.6, 0.67, 0.73, 0.8, 0.9, 1.0])
            }
        };
        let (shortest_s, longest_s): (f64, f64) = if swell { (4.5, 19.0) } else { (1.5, 15.0) };
        let ratio = (longest_s / shortest_s).powf(1.0 / (periods - 1) as f64);
        let tp_s: Vec<f64> =
            (0..periods).map(|period| rounded(shortest_s * ratio.powi(period as i32))).collect();
        let (_, steepest, most_m) = GREATEST[usize::from(swell)];
        let greatest_m = |tp_s: &f64| rounded((steepest * LENGTH * tp_s * tp_s).min(most_m));
        SystemAxes {
            kind,
            greatest_hs_m: tp_s.iter().map(greatest_m).collect(),
            tp_s,
            height_parts: height_parts.to_vec(),
            wave_angle_deg: (0..=(180.0 / step_deg) as usize).map(|angle| step_deg * angle as f64).collect(),
        }
    }
}

/// To hundredths, so that files are short.
fn rounded(value: f64) -> f64 {
    (100.0 * value).round() / 100.0
}

/// Periods, heights and wave angles that systems of a kind are tabulated at.
#[derive(Debug, Clone, PartialEq)]
pub struct SystemAxes {
    /// Wind sea or swell.
    pub kind: PartitionKind,
    /// Peak periods, s, rising.
    pub tp_s: Vec<f64>,
    /// Greatest significant height at each period, m.
    pub greatest_hs_m: Vec<f64>,
    /// Heights as parts of the greatest, rising to 1; no sea comes before the first.
    pub height_parts: Vec<f64>,
    /// Wave angles, degrees, 0 following to 180 head.
    pub wave_angle_deg: Vec<f64>,
}

impl SystemAxes {
    /// Seas that they hold.
    pub fn seas(&self) -> usize {
        self.tp_s.len() * self.wave_angle_deg.len() * self.height_parts.len()
    }

    /// The greatest height at a period, m: straight in the logarithms.
    pub fn greatest_at_m(&self, tp_s: f64) -> f64 {
        let logs = |values: &[f64]| -> Vec<f64> { values.iter().map(|value| value.ln()).collect() };
        interp(&logs(&self.tp_s), &logs(&self.greatest_hs_m), tp_s.ln(), &InterpMode::FirstLast).exp()
    }

    /// The same axes, checked.
    ///
    /// # Errors
    /// Axes of a damaged file.
    pub fn checked(self) -> Result<Self> {
        let wrong =
            |what: &str| Err(Error::new(format!("the {what} of the atlas's {}s are none", self.kind.name())));
        let rises = |axis: &[f64]| axis.len() > 1 && axis.windows(2).all(|pair| pair[0] < pair[1]);
        let within =
            |axis: &[f64], low: f64, high: f64| axis.iter().all(|value| (low..=high).contains(value));
        if !rises(&self.tp_s) || !within(&self.tp_s, 0.1, 100.0) {
            return wrong("periods");
        }
        if self.greatest_hs_m.len() != self.tp_s.len() || !within(&self.greatest_hs_m, 0.01, 100.0) {
            return wrong("greatest heights");
        }
        let parts = &self.height_parts;
        if !rises(parts) || !within(parts, 0.001, 1.0) || parts.last() != Some(&1.0) {
            return wrong("heights");
        }
        let angles = &self.wave_angle_deg;
        if !rises(angles) || angles.first() != Some(&0.0) || angles.last() != Some(&180.0) {
            return wrong("wave angles");
        }
        Ok(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// By hand: at 1.5 s waves are 3.51 m long, so the greatest wind sea is 0.23 m high.
    #[test]
    fn axes_rise_and_heights_end_at_the_steepest() {
        for fineness in Fineness::ALL {
            for kind in [PartitionKind::WindSea, PartitionKind::Swell] {
                let axes = fineness.axes(kind).checked().unwrap();
                let last = axes.tp_s[axes.tp_s.len() - 1];
                let greatest_m = if kind == PartitionKind::Swell { 10.0 } else { 12.0 };
                assert_relative_eq!(axes.greatest_at_m(last), greatest_m, max_relative = 1e-12);
            }
            let axes = fineness.axes(PartitionKind::WindSea);
            assert_relative_eq!(axes.greatest_at_m(1.5), 0.23, max_relative = 1e-9);
        }
    }

    #[test]
    fn damaged_axes_are_told() {
        let good = || Fineness::Coarse.axes(PartitionKind::Swell);
        let mut falling = good();
        falling.tp_s.reverse();
        let mut short = good();
        short.greatest_hs_m.pop();
        let mut open = good();
        open.height_parts.pop();
        let mut half = good();
        half.wave_angle_deg.pop();
        for axes in [falling, short, open, half, SystemAxes { tp_s: vec![f64::NAN, 1.0], ..good() }] {
            assert!(axes.checked().is_err());
        }
    }
}
