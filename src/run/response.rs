//! One boat in one sea or one regular wave: the question, and its answer.

use crate::base::units::{G, kn_to_m_s};
use crate::base::{Error, Result};
use crate::boat::{Boat, BoatModel, Side};
use crate::explain::one_sea::{self, Irregular, Regular, Sea};
use crate::hydro::response::Method;
use crate::run::asked::{non_negative, positive, within};
use crate::sea::PartitionKind;
use serde::Serialize;
use std::path::PathBuf;

/// Which boat, how fast, in which waves.
#[derive(Debug, Clone, PartialEq)]
pub struct ResponseQuestion {
    /// The boat file.
    pub boat: PathBuf,
    /// Speed through the water.
    pub speed: AskedSpeed,
    /// The waves.
    pub waves: AskedWaves,
    /// Angle between the course and where the waves go, degrees: 0 following, 90 beam, 180 head.
    pub wave_angle_deg: f64,
    /// Wave length that a sheet states beside the period, m.
    pub wave_length_m: Option<f64>,
    /// Foils that she sails without.
    pub without_foil: Vec<Side>,
}

/// Speed through the water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AskedSpeed {
    /// In knots.
    Knots(f64),
    /// As a Froude number on the waterline length.
    Froude(f64),
}

/// The waves of a question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AskedWaves {
    /// One regular wave of unit amplitude, by its period, s.
    Regular(f64),
    /// A sea of one wave system.
    Sea {
        /// What the waves are.
        kind: PartitionKind,
        /// Significant height, m.
        hs_m: f64,
        /// Peak period, s.
        tp_s: f64,
        /// Whether all come from one direction.
        long_crested: bool,
    },
}

/// What the boat does.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Response {
    /// In a sea.
    Irregular(Irregular),
    /// In a regular wave.
    Regular(Regular),
}

impl Response {
    /// What cannot be right about the waves, in words.
    pub fn warnings(&self) -> &[String] {
        match self {
            Self::Irregular(answer) => &answer.warnings,
            Self::Regular(answer) => &answer.warnings,
        }
    }
}

impl ResponseQuestion {
    /// Every number of one boat in one sea.
    ///
    /// # Errors
    /// A boat file that cannot be used; numbers out of range; a total sea, which is two systems.
    pub fn answer(&self) -> Result<Response> {
        let mu = within("wave_angle_deg", self.wave_angle_deg, 0.0..=180.0)?.to_radians();
        self.wave_length_m.map(|length| positive("wave_length_m", length)).transpose()?;
        let mut boat = Boat::read(&self.boat)?;
        for side in &self.without_foil {
            boat = boat.without_foil(*side).map_err(|error| error.file(&self.boat))?;
        }
        let model = BoatModel::new(boat, Method::RadiatedEnergy, None)?;
        let speed_m_s = match self.speed {
            AskedSpeed::Knots(kn) => kn_to_m_s(non_negative("speed_kn", kn)?),
            AskedSpeed::Froude(froude) => {
                non_negative("froude", froude)? * (G * model.hydrostatics.lwl_m).sqrt()
            }
        };
        match self.waves {
            AskedWaves::Regular(period_s) => {
                positive("period_s", period_s)?;
                let mut answer = one_sea::regular(&model, speed_m_s, period_s, mu);
                answer.warnings.extend(one_sea::mismatched_wave(period_s, self.wave_length_m));
                Ok(Response::Regular(answer))
            }
            AskedWaves::Sea { kind, hs_m, tp_s, long_crested } => {
                positive("hs_m", hs_m)?;
                positive("tp_s", tp_s)?;
                of_one_system(kind)?;
                let flies = Side::ALL.iter().any(|side| !self.without_foil.contains(side));
                let sea = Sea { kind, hs_m, tp_s, mu, long_crested };
                let mut answer = one_sea::irregular(&model, speed_m_s, &sea, flies);
                answer.warnings.extend(one_sea::mismatched_wave(tp_s, self.wave_length_m));
                Ok(Response::Irregular(answer))
            }
        }
    }
}

/// Errors: a total sea.
pub(super) fn of_one_system(kind: PartitionKind) -> Result<PartitionKind> {
    match kind {
        PartitionKind::WindSea | PartitionKind::Swell => Ok(kind),
        other => Err(Error::new("the kind of the waves is not that of one system")
            .at("kind")
            .found(other.name())
            .expected("wind-sea or swell")
            .remedy("ask for each system by itself")),
    }
}
