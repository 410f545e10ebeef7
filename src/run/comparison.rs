//! Two boats or configurations in the same seas: the question, and its answer.

use crate::base::units::kn_to_m_s;
use crate::base::{Error, Flags, Result};
use crate::boat::{Boat, ModelChoices, Side};
use crate::derate::compare::compare;
use crate::derate::{Pair, Performance};
use crate::hydro::wind_frame::{WaveSystem, WindFrameSea};
use crate::job::{Job, JobFile};
use crate::polar::Polar;
use crate::run::asked::{finite, positive};
use crate::run::ready::performance_of;
use crate::run::response::of_one_system;
use crate::run::seas::job_seas;
use crate::sea::PartitionKind;
use std::path::{Path, PathBuf};

/// Which boats, in which seas.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparisonQuestion {
    /// The first boat.
    pub a: ComparedBoat,
    /// The second boat.
    pub b: ComparedBoat,
    /// The seas.
    pub seas: ComparedSeas,
    /// The column of the polars that is asked for, kn; all of them where none is.
    pub tws_kn: Option<f64>,
}

/// One of the boats.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparedBoat {
    /// The boat file.
    pub file: PathBuf,
    /// Her flat polar; where none is given the first boat's, or the job's.
    pub polar: Option<PathBuf>,
    /// Foils that she sails without.
    pub without_foil: Vec<Side>,
}

/// The seas that boats are compared in.
#[derive(Debug, Clone, PartialEq)]
pub enum ComparedSeas {
    /// One wave system.
    One {
        /// What the waves are.
        kind: PartitionKind,
        /// Significant height, m.
        hs_m: f64,
        /// Peak period, s.
        tp_s: f64,
        /// Direction the waves come from less the direction the wind comes from, degrees, positive clockwise.
        off_wind_deg: f64,
    },
    /// All seas of a job, or those of one of its regions.
    OfJob {
        /// The job file.
        job: PathBuf,
        /// The region's name.
        region: Option<String>,
    },
}

/// The boats made ready, and the seas.
pub struct Compared {
    /// The first boat.
    pub a: Performance,
    /// The second boat.
    pub b: Performance,
    /// The seas with their weights.
    pub seas: Vec<(WindFrameSea, f64)>,
    tws_kn: Option<f64>,
}

impl ComparisonQuestion {
    /// Makes both boats ready and takes the seas together.
    ///
    /// # Errors
    /// Files that cannot be used; numbers out of range; no polar.
    pub fn made_ready(&self) -> Result<Compared> {
        let job = match &self.seas {
            ComparedSeas::OfJob { job, .. } => Some(JobFile::read(job)?.complete()?),
            ComparedSeas::One { .. } => None,
        };
        let choices = job.as_ref().map(|job| job.model.clone()).unwrap_or_default();
        let polar = self.a.polar.clone().or_else(|| job.as_ref().map(|job| job.polar.clone()));
        let Some(polar) = polar else {
            return Err(Error::new("no flat polar is given")
                .expected("a polar of the first boat, or a job with one")
                .remedy("give a polar, or a job with a polar"));
        };
        let seas = self.seas(job.as_ref())?;
        let a = ready(&self.a, &polar, &choices)?;
        let b = ready(&self.b, self.b.polar.as_ref().unwrap_or(&polar), &choices)?;
        Ok(Compared { a, b, seas, tws_kn: self.tws_kn })
    }

    fn seas(&self, of_job: Option<&Job>) -> Result<Vec<(WindFrameSea, f64)>> {
        match (&self.seas, of_job) {
            (ComparedSeas::OfJob { region, .. }, Some(job)) => job_seas(job, region.as_deref()),
            (ComparedSeas::OfJob { job, .. }, None) => Err(Error::fault("no job is read").file(job)),
            (ComparedSeas::One { kind, hs_m, tp_s, off_wind_deg }, _) => {
                let hs_m = positive("hs_m", *hs_m)?;
                let system = WaveSystem {
                    kind: of_one_system(*kind)?,
                    hs2_m2: hs_m * hs_m,
                    tp_s: positive("tp_s", *tp_s)?,
                    off_wind_deg: finite("off_wind_deg", *off_wind_deg)?,
                };
                let sea = WindFrameSea {
                    tws_m_s: kn_to_m_s(self.tws_kn.unwrap_or_default()),
                    systems: std::iter::once(system).collect(),
                    spectrum: None,
                    flags: Flags::empty(),
                };
                Ok(vec![(sea, 1.0)])
            }
        }
    }
}

impl Compared {
    /// Derates both boats in the seas: the cells that both polars have, in the column that is asked for.
    ///
    /// # Errors
    /// Polars without a cell in common, or without the column.
    pub fn pairs(&self) -> Result<Vec<Pair>> {
        let mut pairs = compare(&self.a, &self.b, &self.seas)?;
        if let Some(tws_kn) = self.tws_kn {
            pairs.retain(|pair| pair.tws_kn == tws_kn);
            if pairs.is_empty() {
                return Err(Error::new("the polars have no such column")
                    .found(format!("TWS {tws_kn} kn"))
                    .expected(format!("one of {:?}", self.a.flat.tws_kn()))
                    .remedy("name a column of the polar"));
            }
        }
        Ok(pairs)
    }
}

fn ready(compared: &ComparedBoat, polar: &Path, choices: &ModelChoices) -> Result<Performance> {
    let mut boat = Boat::read(&compared.file)?;
    for side in &compared.without_foil {
        boat = boat.without_foil(*side)?;
    }
    performance_of(boat, Polar::read(polar)?, choices)
}
