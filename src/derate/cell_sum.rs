//! One polar cell while the seas are added up, with both ends of the model band.

use crate::balance::{Added, BoatTables, Outcome, STAGES, SeaCurve};
use crate::base::Flags;
use crate::base::units::m_s_to_kn;
use crate::boat::Advisory;
use crate::derate::performance::FlatCell;
use crate::derate::polar_cell::{PolarCell, stage_factors};
use crate::derate::tack::Tack;

/// Half-width of the model band: added resistance is uncertain by about this, as a logarithm.
///
/// Radiated energy and SNNM against measured peaks of slender hulls differ by 0.4 to 0.65 rms in the logarithm.
pub const BAND_LN: f64 = 0.5;

/// One polar cell while the seas are added up.
pub(super) struct CellSum<'c> {
    cell: &'c FlatCell<'c>,
    weight: f64,
    slowness: [f64; STAGES + 1],
    second: f64,
    band: [f64; 2],
    speeds: Vec<(f64, f64)>,
    deck_water: f64,
    availability: f64,
    advisory: Advisory,
    sea_states: u64,
    flags: Flags,
}

impl<'c> CellSum<'c> {
    /// Nothing added yet, with room for a number of seas.
    pub(super) fn new(cell: &'c FlatCell<'c>, seas: usize) -> Self {
        Self {
            cell,
            weight: 0.0,
            slowness: [0.0; STAGES + 1],
            second: 0.0,
            band: [0.0; 2],
            speeds: Vec::with_capacity(seas),
            deck_water: 0.0,
            availability: 0.0,
            advisory: Advisory::default(),
            sea_states: 0,
            flags: Flags::empty(),
        }
    }

    /// Adds a sea that stands for so many sea states.
    pub(super) fn add(&mut self, tables: &BoatTables, sea: &SeaCurve, weight: f64, sea_states: u64) {
        let balance = &self.cell.balance;
        let outcome = balance.solve(sea, Added::Used(1.0));
        self.second += weight / balance.last_speed(sea, Added::Second);
        self.band[0] += weight / balance.last_speed(sea, Added::Used(BAND_LN.exp()));
        self.band[1] += weight / balance.last_speed(sea, Added::Used((-BAND_LN).exp()));
        self.add_outcome(tables, sea, &outcome, weight);
        self.sea_states += sea_states;
    }

    fn add_outcome(&mut self, tables: &BoatTables, sea: &SeaCurve, outcome: &Outcome, weight: f64) {
        let speed = outcome.speeds[STAGES];
        self.weight += weight;
        for (sum, speed) in self.slowness.iter_mut().zip(outcome.speeds) {
            *sum += weight / speed;
        }
        self.speeds.push((speed, weight));
        self.deck_water += weight * outcome.deck_water_kg;
        self.availability += weight * outcome.availability;
        let advisory = Advisory::of(&tables.model, &sea.at(speed), sea.effective_freeboard_m(speed));
        self.advisory.slam_rate_per_h += weight * advisory.slam_rate_per_h;
        self.advisory.bow_acceleration_rms_g += weight * advisory.bow_acceleration_rms_g;
        if let Some(rate) = advisory.wetness_rate_per_h {
            *self.advisory.wetness_rate_per_h.get_or_insert(0.0) += weight * rate;
        }
        self.flags |= outcome.flags;
    }

    /// The cell's means over all seas added.
    pub(super) fn finish(mut self, tack: Tack, twa_deg: f64, flags: Flags) -> PolarCell {
        let mean_speeds = self.slowness.map(|sum| self.weight / sum);
        let FlatCell { tws_kn, flat_kn, .. } = *self.cell;
        let sails = flat_kn > 0.0;
        let of_flat = |sum: f64| self.weight / sum / mean_speeds[0];
        PolarCell {
            tack,
            tws_kn,
            twa_deg,
            flat_kn,
            corrected_kn: if sails { m_s_to_kn(mean_speeds[STAGES]) } else { 0.0 },
            percentiles_kn: percentiles(&mut self.speeds, self.weight).map(m_s_to_kn),
            stages: sails.then(|| stage_factors(&mean_speeds)),
            factor_second_method: sails.then(|| of_flat(self.second)),
            factor_band: sails.then(|| self.band.map(of_flat)),
            deck_water_kg: self.deck_water / self.weight,
            availability: self.availability / self.weight,
            advisory: Advisory {
                slam_rate_per_h: self.advisory.slam_rate_per_h / self.weight,
                wetness_rate_per_h: self.advisory.wetness_rate_per_h.map(|sum| sum / self.weight),
                bow_acceleration_rms_g: self.advisory.bow_acceleration_rms_g / self.weight,
            },
            sea_states: self.sea_states,
            flags: if sails { flags | self.flags } else { flags },
        }
    }
}

/// The speeds below which 10, 50 and 90 per cent of the weight lie.
fn percentiles(speeds: &mut [(f64, f64)], weight: f64) -> [f64; 3] {
    speeds.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    [0.1, 0.5, 0.9].map(|part| {
        let mut below = 0.0;
        for (speed, w) in speeds.iter() {
            below += w;
            if below >= part * weight * (1.0 - 1e-12) {
                return *speed;
            }
        }
        speeds.last().map_or(0.0, |(speed, _)| *speed)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: of weights 1, 2, 1 on 5, 6, 7 the tenth lies in the 5, the half and not the nine tenths in the 6.
    #[test]
    fn percentiles_follow_the_weights() {
        let mut speeds = [(7.0, 1.0), (5.0, 1.0), (6.0, 2.0)];
        assert_eq!(percentiles(&mut speeds, 4.0), [5.0, 6.0, 7.0]);
    }
}
