//! One polar cell while the seas are added up, with both ends of the model band.

use crate::balance::{Added, Embarked, STAGES, SeaCurve, Swing};
use crate::base::units::{kn_to_m_s, m_s_to_kn};
use crate::base::{Flag, Flags};
use crate::boat::Advisory;
use crate::derate::fair_mean::FairMean;
use crate::derate::performance::{FlatCell, Performance};
use crate::derate::polar_cell::{CellSwing, PolarCell, stage_factors};
use crate::derate::solved_sea::SolvedSea;
use crate::derate::tack::Tack;

/// Half-width of the model band: added resistance is uncertain by about this, as a logarithm.
///
/// Radiated energy and SNNM against measured peaks of slender hulls differ by 0.4 to 0.65 rms in the logarithm.
pub const BAND_LN: f64 = 0.5;

/// What a cell's speed is compared with: the second method, and the slow and the fast end of the band.
pub fn compared() -> [Added; 3] {
    [Added::Second, Added::Used(BAND_LN.exp()), Added::Used((-BAND_LN).exp())]
}

/// Standard error of surge's factor from which it is flagged.
const UNCERTAIN: f64 = 0.01;

/// One polar cell while the seas are added up.
pub(super) struct CellSum<'c> {
    cell: &'c FlatCell<'c>,
    weight: f64,
    /// Time that a unit of way takes at the speed before and after each stage, over the seas in which she moves.
    time: [f64; STAGES + 1],
    /// Weight of the seas that each stage stops her in.
    stopped_by: [f64; STAGES],
    used: FairMean,
    second: FairMean,
    band: [FairMean; 2],
    speeds: Vec<(f64, f64)>,
    deck_water: f64,
    availability: f64,
    swing: SwingSum,
    advisory: Advisory,
    sea_states: u64,
    two_balances: Option<[f64; 2]>,
    /// Weight of the seas that each sector's reservation holds for.
    left_out: [f64; SECTORS.len()],
    flags: Flags,
}

/// Reservations about most of a sea, which are a cell's where they hold for most of its weight.
const SECTORS: [Flag; 2] = [Flag::FollowingSeaNotModelled, Flag::BeamSeaNotModelled];

impl<'c> CellSum<'c> {
    /// Nothing added yet, with room for a number of seas.
    pub(super) fn new(cell: &'c FlatCell<'c>, seas: usize) -> Self {
        Self {
            cell,
            weight: 0.0,
            time: [0.0; STAGES + 1],
            stopped_by: [0.0; STAGES],
            used: FairMean::default(),
            second: FairMean::default(),
            band: [FairMean::default(); 2],
            speeds: Vec::with_capacity(seas),
            deck_water: 0.0,
            availability: 0.0,
            swing: SwingSum::default(),
            advisory: Advisory::default(),
            sea_states: 0,
            two_balances: None,
            left_out: [0.0; SECTORS.len()],
            flags: Flags::empty(),
        }
    }

    /// Solves a sea by mean forces.
    pub(super) fn solve(&self, performance: &Performance, sea: &SeaCurve) -> SolvedSea {
        let balance = &self.cell.balance;
        let outcome = balance.solve(sea, Added::Used(1.0));
        let steady = outcome.balance_m_s();
        let [second_m_s, slow, fast] = balance.compared_speeds(sea, compared());
        SolvedSea {
            second_m_s,
            band_m_s: [slow, fast],
            advisory: Advisory::of(
                &performance.tables.model,
                &sea.at(steady),
                sea.effective_freeboard_m(steady),
                sea.forefoot_draught_m(steady),
            ),
            outcome,
            swing: None,
        }
    }

    /// The cell ready to be sailed through a sea; none where she makes no way.
    pub(super) fn embark(&self, sea: &SeaCurve, solved: &SolvedSea) -> Option<Embarked> {
        self.cell.balance.embark(sea, &solved.outcome)
    }

    /// Adds a solved sea that stands for so many sea states.
    pub(super) fn add(&mut self, solved: &SolvedSea, weight: f64, sea_states: u64) {
        let SolvedSea { outcome, swing, second_m_s, band_m_s, advisory } = solved;
        self.second.add(*second_m_s, weight);
        self.band.iter_mut().zip(band_m_s).for_each(|(mean, speed)| mean.add(*speed, weight));
        if let Some(swing) = swing {
            self.two_balances = wider(self.two_balances, swing.two_balances);
            self.swing.add(swing, outcome.balance_m_s(), weight);
        }
        self.availability += weight * swing.map_or(outcome.availability, |swing| swing.availability);
        self.sea_states += sea_states;
        let speed = outcome.speeds[STAGES];
        self.weight += weight;
        self.used.add(speed, weight);
        if speed > 0.0 {
            for (sum, speed) in self.time.iter_mut().zip(outcome.speeds) {
                *sum += weight / speed;
            }
        } else if let Some(stage) = outcome.speeds[1..].iter().position(|speed| *speed <= 0.0) {
            self.stopped_by[stage] += weight;
        }
        self.two_balances = wider(self.two_balances, outcome.two_balances);
        self.speeds.push((speed, weight));
        self.deck_water += weight * outcome.deck_water_kg;
        self.advisory.slam_rate_per_h += weight * advisory.slam_rate_per_h;
        self.advisory.bow_acceleration_rms_g += weight * advisory.bow_acceleration_rms_g;
        self.advisory.bow_cycles_per_h += weight * advisory.bow_cycles_per_h;
        if let Some(rate) = advisory.wetness_rate_per_h {
            *self.advisory.wetness_rate_per_h.get_or_insert(0.0) += weight * rate;
        }
        for (sum, flag) in self.left_out.iter_mut().zip(SECTORS) {
            *sum += if outcome.flags.contains(flag) { weight } else { 0.0 };
        }
        self.flags |= outcome.flags;
    }

    /// The cell's means over all seas added.
    pub(super) fn finish(mut self, tack: Tack, twa_deg: f64, wind_share: f64, flags: Flags) -> PolarCell {
        for (weight, flag) in self.left_out.iter().zip(SECTORS) {
            if *weight <= 0.5 * self.weight {
                self.flags -= flag;
            }
        }
        let FlatCell { tws_kn, flat_kn, .. } = *self.cell;
        let sails = flat_kn > 0.0;
        let swing = self.swing.finish(self.weight);
        if swing.is_some_and(|swing| swing.standard_error > UNCERTAIN) {
            self.flags |= Flag::SurgeUncertain;
        }
        let mean_speeds = self.mean_speeds();
        let of_flat = |mean: FairMean| m_s_to_kn(mean.speed()) / flat_kn;
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
                bow_cycles_per_h: self.advisory.bow_cycles_per_h / self.weight,
            },
            swing,
            sea_states: self.sea_states,
            stopped_share: if sails { self.used.stopped_share() } else { 0.0 },
            wind_share,
            two_balances_kn: self.two_balances.map(|speeds| speeds.map(m_s_to_kn)),
            flags: if sails { flags | self.flags } else { flags },
        }
    }
}

impl CellSum<'_> {
    /// Mean speeds before and after each stage, m/s: distance over time over the seas in which she moves. Where more than
    /// half of the weight stops her, zero from the stage that stops her in most of it.
    fn mean_speeds(&self) -> [f64; STAGES + 1] {
        let moving = self.weight * (1.0 - self.used.stopped_share());
        let flat = kn_to_m_s(self.cell.flat_kn);
        let mut speeds = self.time.map(|time| if time > 0.0 { moving / time } else { flat });
        if self.used.stops() {
            let most =
                (0..STAGES).max_by(|a, b| self.stopped_by[*a].total_cmp(&self.stopped_by[*b])).unwrap_or(0);
            speeds[most + 1..].fill(0.0);
        }
        speeds
    }
}

/// Sums of what surge did.
#[derive(Debug, Clone, Copy, Default)]
struct SwingSum {
    weight: f64,
    variance: f64,
    riding: f64,
    /// Squares of errors over the speeds before surge, times the square of the weights: errors of different drawings add so.
    error: f64,
}

impl SwingSum {
    fn add(&mut self, swing: &Swing, balance_m_s: f64, weight: f64) {
        self.weight += weight;
        self.variance += weight * swing.variance_m2_s2;
        self.riding += weight * swing.riding_share;
        self.error += weight * weight * swing.error_m2_s2 / (balance_m_s * balance_m_s);
    }

    fn finish(&self, whole: f64) -> Option<CellSwing> {
        (self.weight > 0.0).then(|| CellSwing {
            speed_sd_kn: m_s_to_kn((self.variance / self.weight).sqrt()),
            riding_share: self.riding / whole,
            standard_error: self.error.sqrt() / self.weight,
        })
    }
}

/// Of two pairs of balances the one further apart.
fn wider(a: Option<[f64; 2]>, b: Option<[f64; 2]>) -> Option<[f64; 2]> {
    a.into_iter().chain(b).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))
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
