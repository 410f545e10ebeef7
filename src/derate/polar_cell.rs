//! One cell of a corrected polar, and what of its loss each stage takes.

use crate::balance::{STAGE_NAMES, STAGES};
use crate::base::{Flag, Flags};
use crate::boat::Advisory;
use crate::derate::tack::Tack;

/// A stage that takes less than this is not a dominant one.
const NO_LOSS: f64 = 0.0005;

/// One cell of a corrected polar on one tack, averaged over the seas of its region and window.
#[derive(Debug, Clone, PartialEq)]
pub struct PolarCell {
    /// Tack sailed.
    pub tack: Tack,
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// True wind angle, 0 to 180 degrees.
    pub twa_deg: f64,
    /// Speed in flat water, kn.
    pub flat_kn: f64,
    /// Speed in the sea: distance over time over the seas in which she moves, kn; 0 where more than half of the weight
    /// stops her.
    pub corrected_kn: f64,
    /// Speed exceeded in 90, 50 and 10 per cent of area and time, kn.
    pub percentiles_kn: [f64; 3],
    /// Factor of each stage; they multiply to `corrected_kn / flat_kn`. None where flat speed is zero.
    pub stages: Option<[f64; STAGES]>,
    /// Corrected over flat with the second method of added resistance.
    pub factor_second_method: Option<f64>,
    /// Corrected over flat at the slow and the fast end of the model band.
    pub factor_band: Option<[f64; 2]>,
    /// Mean water on deck, kg.
    pub deck_water_kg: f64,
    /// Mean part of the time in flight.
    pub availability: f64,
    /// What surge does; none where it is not counted or she never moves.
    pub swing: Option<CellSwing>,
    /// Means of the advisories.
    pub advisory: Advisory,
    /// Number of sea states that the cell was averaged over.
    pub sea_states: u64,
    /// Share of the weight whose seas stop her.
    pub stopped_share: f64,
    /// Share of the region's and window's weight whose wind looks this cell's column up.
    pub wind_share: f64,
    /// Two speeds, kn, that she can hold in flat water, or between which she falls in some sea: those furthest apart.
    pub two_balances_kn: Option<[f64; 2]>,
    /// All reservations that hold in some of the seas.
    pub flags: Flags,
}

/// How the speed of a cell swings in the waves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CellSwing {
    /// Standard deviation of the speed about its mean in each sea, kn.
    pub speed_sd_kn: f64,
    /// Part of the time faster than the crests of the largest waves run along the course.
    pub riding_share: f64,
    /// Standard error of the factor of surge, by simulating only so long.
    pub standard_error: f64,
}

impl PolarCell {
    /// Corrected over flat speed; none where flat speed is zero.
    pub fn factor(&self) -> Option<f64> {
        (self.flat_kn > 0.0).then(|| self.corrected_kn / self.flat_kn)
    }

    /// The names of the reservations, separated by `;`; one that speaks of two speeds has them behind it, in kn.
    pub fn flag_names(&self) -> String {
        let name = |flag: Flag| match (flag, self.two_balances_kn) {
            (Flag::TwoBalances, Some([slower, faster])) => format!("{}={slower:.2}/{faster:.2}", flag.name()),
            _ => flag.name().to_owned(),
        };
        self.flags.iter().map(name).collect::<Vec<_>>().join(";")
    }

    /// The stage that takes most, if any takes something.
    pub fn dominant_stage(&self) -> Option<&'static str> {
        dominant(&self.stages?)
    }
}

/// The stage that takes most, if any takes a noticeable part.
pub fn dominant(stages: &[f64; STAGES]) -> Option<&'static str> {
    let worst = (0..STAGES).min_by(|a, b| stages[*a].total_cmp(&stages[*b]))?;
    (stages[worst] < 1.0 - NO_LOSS).then_some(STAGE_NAMES[worst])
}

/// Ratios of the mean speeds of neighbouring stages. Once she makes no way, later stages have nothing left to take.
pub(crate) fn stage_factors(mean_speeds: &[f64; STAGES + 1]) -> [f64; STAGES] {
    std::array::from_fn(|stage| match (mean_speeds[stage], mean_speeds[stage + 1]) {
        (before, after) if before > 0.0 => after / before,
        _ => 1.0,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stages_multiply_to_the_factor_even_where_the_boat_stops() {
        let product = |speeds: [f64; 7]| stage_factors(&speeds).iter().product::<f64>();
        assert!((product([10.0, 9.0, 8.5, 8.4, 8.0, 7.5, 7.0]) - 0.7).abs() < 1e-12);
        assert_eq!(product([10.0, 9.0, 0.0, 0.0, 0.0, 0.0, 0.0]), 0.0);
    }
}
