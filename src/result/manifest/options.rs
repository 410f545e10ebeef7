//! The options that a result was made with, as its manifest records them.

use crate::base::{Alignment, WindowLength};
use crate::boat::ModelChoices;
use crate::derate::SeaChoice;
use crate::files::{OneOrMore, TableFormat};
use crate::forecast::MemberChoice;
use crate::polar::{CsvOptions, TackChoice};
use crate::region::Regions;
use crate::tally::Bins;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Every option in force. Names, once out, stay; a new one has a default, for results made before it.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
pub struct ManifestOptions {
    /// The length of time windows; like the next three, none where the seas came from a tally.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub window: Option<WindowLength>,
    /// Where windows begin.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub window_alignment: Option<Alignment>,
    /// Whether the members of an ensemble got polars of their own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub members: Option<MemberChoice>,
    /// Where polars were made for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub regions: Option<Regions>,
    /// Digest and file of each forecast of a tally; none where the seas came from a forecast.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tallied_forecasts: Option<BTreeMap<String, String>>,
    /// Which seas a column of the polar saw.
    pub seas_of_a_wind_column: SeaChoice,
    /// The error that regions were joined within, if they were, kn.
    pub split_error_kn: Option<f64>,
    /// How the audit is written, besides CSV.
    pub audit_format: OneOrMore<TableFormat>,
    /// How the cell audit is written; empty where it is not.
    pub cell_audit: Vec<TableFormat>,
    /// Which tacks the polars hold.
    pub tacks: TackChoice,
    /// How polars are written.
    pub polar_csv: CsvOptions,
    /// Choices of the model.
    pub model: ModelChoices,
    /// Bin widths of the tally.
    pub tally_bins: Bins,
    /// Digest of all that the atlas was made from which answered for the seas it holds, where one did.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub atlas: Option<String>,
}
