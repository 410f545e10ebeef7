//! The manifest as a whole.

use crate::result::manifest::input::{Input, InputRole};
use crate::result::manifest::options::ManifestOptions;
use crate::split::ErrorLeft;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use std::path::PathBuf;

/// What a result holds besides its tables. Holds no time of making: equal inputs give equal bytes.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
pub struct Manifest {
    /// Inputs in the order of the job.
    pub inputs: Vec<Input>,
    /// Every option in force.
    pub options: ManifestOptions,
    /// What was counted.
    pub counts: Counts,
    /// Reservations that hold for the boat in every cell.
    #[serde(default)]
    pub boat_flags: Vec<String>,
    /// How far joined tiles and windows lie from the polar they share, where any are joined.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub joined: Vec<ErrorLeft>,
    /// Things that a user should know but that leave no hole.
    pub warnings: Vec<String>,
    /// Declared gaps: what the result lacks.
    pub gaps: Vec<String>,
    /// How the model works on this boat, in words.
    pub model: Vec<String>,
    /// The boat's name.
    #[serde(default)]
    pub boat_name: String,
    /// When the forecast's runs began; none where the seas came from a tally.
    #[serde(default)]
    pub forecast_runs: Vec<Timestamp>,
    /// What the audit's advisories are held against.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub advisory_limits: Option<AdvisoryLimits>,
    /// The sea of each region and window.
    #[serde(default)]
    pub seas: Vec<PartSea>,
}

/// Published limits of the audit's advisories.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
pub struct AdvisoryLimits {
    /// Who published them.
    pub source: String,
    /// Vertical acceleration at the bow, root mean square, g.
    pub bow_acceleration_rms_g: f64,
    /// Slams as a share of the cycles of the relative motion at the bow.
    pub slam_share: f64,
    /// Wet decks as a share of the same.
    pub wetness_share: f64,
}

/// The sea of a region and window in three numbers.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
pub struct PartSea {
    /// The region.
    pub region: String,
    /// The window's first instant.
    pub window_start: Timestamp,
    /// The first instant after it.
    pub window_end: Timestamp,
    /// Significant height, root mean square over area and time, m.
    pub hs_m: f64,
    /// True wind speed that a tenth of area and time stays below, kn.
    pub tws_p10_kn: f64,
    /// The same of nine tenths, kn.
    pub tws_p90_kn: f64,
}

/// What was counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, Serialize)]
pub struct Counts {
    /// Steps of the forecast, those of the region that has most.
    pub forecast_steps: u64,
    /// Members of an ensemble.
    pub ensemble_members: usize,
    /// Time windows.
    pub windows: usize,
    /// Polar files written.
    pub polars: usize,
    /// Sea states tallied.
    pub sea_states: u64,
    /// Bins they fell into.
    pub tally_bins: usize,
    /// Rows of the cell audit.
    pub cell_audit_rows: u64,
}

impl Manifest {
    /// The same with the digest of the atlas that answered for seas, where one did.
    pub fn with_atlas(mut self, digest: Option<String>) -> Self {
        self.options.atlas = digest;
        self
    }

    /// The inputs that served as one thing.
    pub fn inputs_as(&self, role: InputRole) -> impl Iterator<Item = &Input> {
        self.inputs.iter().filter(move |input| input.role == role)
    }

    /// Their files.
    pub fn files(&self, role: InputRole) -> Vec<PathBuf> {
        self.inputs_as(role).map(|input| PathBuf::from(&input.file)).collect()
    }
}
