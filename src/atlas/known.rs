//! Seas of a forecast answered from an atlas: what a balance would have said of each cell.

use crate::atlas::build::digest;
use crate::atlas::contents::{Atlas, MetSea};
use crate::balance::{Outcome, STAGES, Swing};
use crate::base::units::kn_to_m_s;
use crate::base::{Error, Result};
use crate::boat::Advisory;
use crate::derate::{KnownCells, Performance, SolvedSea, Tack};
use crate::hydro::wind_frame::WindFrameSea;

impl Atlas {
    /// Refuses a boat, a polar or choices of the model other than those that it was made with.
    ///
    /// # Errors
    /// Such ones.
    pub fn check_made_for(&self, performance: &Performance) -> Result<()> {
        if digest(performance, self.sailed_s) == self.digest {
            return Ok(());
        }
        Err(Error::new("the atlas was made for another boat, polar or choice of the model")
            .found(format!("an atlas of {}", self.boat))
            .remedy("make it again with `roughwater atlas`, with the same options of the model"))
    }

    /// What it says of the cells of a heading in a sea; none where that has a spectrum of its own or lies outside the axes.
    pub fn known<'a>(&'a self, sea: &WindFrameSea, tack: Tack, twa_deg: f64) -> Option<KnownCells<'a>> {
        let heading = self.headings.iter().position(|own| *own == (tack, twa_deg))?;
        let (placed, beyond) = self.place(&sea.systems);
        if sea.spectrum.is_some() || beyond.is_some() {
            return None;
        }
        let (met, flags) = (self.met(&placed, heading), sea.flags);
        Some(Box::new(move |column| {
            let mut solved = self.solved(&met, heading, column);
            solved.outcome.flags |= flags;
            solved
        }))
    }

    fn solved(&self, met: &MetSea, heading: usize, column: usize) -> SolvedSea {
        let flat_m_s = kn_to_m_s(self.flat_kn(heading, column));
        let cell = self.cell(met, heading, column);
        let mut speeds = [flat_m_s; STAGES + 1];
        for (stage, factor) in cell.stages.iter().enumerate() {
            speeds[stage + 1] = speeds[stage] * factor;
        }
        let (before, after) = (speeds[STAGES - 1], speeds[STAGES]);
        // an atlas without surge has no swing
        let swings = before > 0.0 && (cell.speed_sd_kn > 0.0 || after != before);
        let swing = swings.then(|| Swing {
            speed_m_s: after,
            error_m2_s2: (cell.standard_error * before).powi(2),
            variance_m2_s2: kn_to_m_s(cell.speed_sd_kn).powi(2),
            riding_share: cell.riding_share,
            availability: cell.availability,
            two_balances: None,
        });
        SolvedSea {
            outcome: Outcome {
                speeds,
                flying_m_s: None,
                hull_m_s: None,
                deck_water_kg: cell.deck_water_kg,
                availability: cell.availability,
                two_balances: None,
                flags: cell.flags,
            },
            swing,
            second_m_s: cell.second * flat_m_s,
            band_m_s: cell.band.map(|factor| factor * flat_m_s),
            advisory: Advisory {
                slam_rate_per_h: cell.slam_rate_per_h,
                wetness_rate_per_h: cell.wetness_rate_per_h,
                bow_acceleration_rms_g: cell.bow_acceleration_rms_g,
                bow_cycles_per_h: cell.bow_cycles_per_h,
            },
        }
    }
}
