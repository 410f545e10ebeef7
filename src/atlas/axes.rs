//! The seas of an atlas: systems alone, by kind, height, period and angle off the wind; and seas of a growth curve.
//!
//! A system alone is enough: where several meet, what each takes alone tells what they take together ([`crate::atlas::blend`]).

use crate::sea::PartitionKind;

/// Heights of an axis stop at the first that is steeper than this: height over deep-water length at the peak. No swell is as
/// steep; wind seas at their steepest are (from memory: 1/16 to 1/18 in the significant height over the length at the peak).
const STEEPEST: f64 = 0.06;

/// Deep-water wave length over the period squared, m/s²: g / 2 pi.
const LENGTH: f64 = crate::base::units::G / std::f64::consts::TAU;

/// How fine an atlas is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fineness {
    /// Angles 30 degrees apart, few heights and periods.
    Coarse,
    /// Angles 20 degrees apart.
    Medium,
    /// Angles 15 degrees apart, periods a fifth apart.
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
        let (hs_m, tp_s, step_deg): (&[f64], &[f64], f64) = match (kind, self) {
            (PartitionKind::Swell, Self::Coarse) => {
                (&[1.0, 2.5, 5.0, 8.0], &[5.0, 7.0, 10.0, 14.0, 19.0], 30.0)
            }
            (PartitionKind::Swell, Self::Medium) => {
                (&[1.0, 2.0, 3.5, 5.5, 8.0], &[5.0, 6.5, 8.5, 11.0, 14.5, 19.0], 20.0)
            }
            (PartitionKind::Swell, Self::Fine) => {
                (&[0.7, 1.4, 2.5, 4.0, 5.5, 8.0], &[5.0, 6.0, 7.2, 8.6, 10.4, 12.5, 15.4, 19.0], 15.0)
            }
            (_, Self::Coarse) => (&[0.5, 1.5, 4.0, 11.0], &[1.5, 2.6, 4.2, 6.5, 10.0, 16.0], 60.0),
            (_, Self::Medium) => (&[0.5, 1.2, 2.5, 5.0, 11.0], &[1.5, 2.5, 3.7, 5.3, 7.6, 11.0, 16.0], 45.0),
            (_, Self::Fine) => {
                (&[0.3, 0.7, 1.4, 2.5, 4.3, 7.0, 11.0], &[1.5, 2.2, 3.0, 4.2, 5.8, 8.0, 11.3, 16.0], 30.0)
            }
        };
        SystemAxes { kind, hs_m: hs_m.to_vec(), tp_s: tp_s.to_vec(), step_deg }
    }
}

/// Heights, periods and angles that systems of a kind are tabulated at.
#[derive(Debug, Clone, PartialEq)]
pub struct SystemAxes {
    /// Wind sea or swell.
    pub kind: PartitionKind,
    /// Significant heights, m, rising; no sea comes before the first.
    pub hs_m: Vec<f64>,
    /// Peak periods, s, rising.
    pub tp_s: Vec<f64>,
    /// Step of the angle off the wind, degrees; divides 180.
    pub step_deg: f64,
}

impl SystemAxes {
    /// Heights that are tabulated at a period.
    pub fn heights_at(&self, tp_s: f64) -> usize {
        let steepest_m = STEEPEST * LENGTH * tp_s * tp_s;
        (self.hs_m.partition_point(|hs_m| *hs_m < steepest_m) + 1).min(self.hs_m.len())
    }

    /// Angles from the wind's own direction to the opposite one, on one side.
    pub fn angles_on_a_side(&self) -> usize {
        (180.0 / self.step_deg).round() as usize + 1
    }

    /// The angles off the wind, degrees: from 0 clockwise to 180, and on to below 360 where both sides are needed.
    pub fn off_wind_deg(&self, both_sides: bool) -> Vec<f64> {
        let one = self.angles_on_a_side();
        let count = if both_sides { 2 * (one - 1) } else { one };
        let wrapped = |deg: f64| if deg > 180.0 { deg - 360.0 } else { deg };
        (0..count).map(|index| wrapped(self.step_deg * index as f64)).collect()
    }
}

/// Fetches of the seas of a growth curve, nautical miles.
pub const FETCHES_NM: [f64; 6] = [10.0, 25.0, 50.0, 100.0, 200.0, 400.0];

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: at 5 s waves are 39 m long and 2.34 m steepest; the first height beyond is kept, so that 2.34 m lie between two.
    #[test]
    fn heights_stop_behind_the_steepest() {
        let axes = Fineness::Medium.axes(PartitionKind::Swell);
        assert_eq!(axes.heights_at(5.0), 3);
        assert_eq!(axes.heights_at(19.0), 5);
    }

    #[test]
    fn angles_go_round_once() {
        for fineness in Fineness::ALL {
            for kind in [PartitionKind::WindSea, PartitionKind::Swell] {
                let axes = fineness.axes(kind);
                let one = axes.off_wind_deg(false);
                assert_eq!((one[0], one[one.len() - 1]), (0.0, 180.0));
                let both = axes.off_wind_deg(true);
                assert_eq!(both.len() as f64 * axes.step_deg, 360.0);
            }
        }
    }
}
