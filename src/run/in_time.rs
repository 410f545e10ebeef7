//! Two boats wave by wave through the same drawings of one sea: the question, and its answer.

use crate::base::{Error, Result};
use crate::derate::Performance;
use crate::run::asked::{finite, positive, within};
use crate::run::comparison::{ComparedBoat, ComparedSeas, ComparisonQuestion};
use crate::run::simulation::{LONGEST_STEP_S, check_steps, check_twa};
use crate::sea::PartitionKind;
use crate::simulate::{Paired, Setting, SimulatedSea, paired};

/// Which boats, in which wind and waves, how long.
#[derive(Debug, Clone, PartialEq)]
pub struct InTimeQuestion {
    /// The first boat.
    pub a: ComparedBoat,
    /// The second boat.
    pub b: ComparedBoat,
    /// What the waves are.
    pub kind: PartitionKind,
    /// Significant height, m.
    pub hs_m: f64,
    /// Peak period, s.
    pub tp_s: f64,
    /// Direction the waves come from less the direction the wind comes from, degrees, positive clockwise.
    pub off_wind_deg: f64,
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// True wind angle, degrees; with a minus sign on port tack.
    pub twa_deg: f64,
    /// Time that is counted in each drawing, s.
    pub duration_s: f64,
    /// Step of time, s.
    pub dt_s: f64,
    /// Seed of the first drawing.
    pub seed: u64,
    /// Number of drawings.
    pub seeds: u64,
}

/// Both boats, and what they do.
pub struct InTime {
    /// The boats made ready.
    pub boats: [Performance; 2],
    /// Figure by figure.
    pub both: Paired,
}

impl InTimeQuestion {
    /// Sails both boats through the same drawings of the sea, with all of their hulls.
    ///
    /// # Errors
    /// Numbers out of range; files that cannot be used; more steps than can be kept; a boat without a hull up to the deck, or that
    /// makes no way there.
    pub fn answer(&self) -> Result<InTime> {
        positive("tws_kn", self.tws_kn)?;
        check_twa(finite("twa_deg", self.twa_deg)?)?;
        positive("duration_s", self.duration_s)?;
        positive("dt_s", self.dt_s)?;
        within("dt_s", self.dt_s, 0.0..=LONGEST_STEP_S)?;
        check_steps(self.duration_s, self.dt_s, self.seeds)?;
        let &Self { kind, hs_m, tp_s, off_wind_deg, .. } = self;
        let compared = ComparisonQuestion {
            a: self.a.clone(),
            b: self.b.clone(),
            seas: ComparedSeas::One { kind, hs_m, tp_s, off_wind_deg },
            tws_kn: Some(self.tws_kn),
        };
        let compared = compared.made_ready()?;
        let Some((sea, _)) = compared.seas.into_iter().next() else {
            return Err(Error::fault("there is no sea to sail in"));
        };
        let setting = Setting {
            tws_kn: self.tws_kn,
            twa_deg: self.twa_deg,
            sea: SimulatedSea::Random(sea),
            duration_s: self.duration_s,
            step_s: self.dt_s,
            seed: self.seed,
            seeds: self.seeds,
        };
        let both = paired(&compared.a, &compared.b, &setting)?;
        Ok(InTime { boats: [compared.a, compared.b], both })
    }
}
