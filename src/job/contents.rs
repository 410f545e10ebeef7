//! The job file: what to compute from which inputs, with every choice that is not left at its default.

use crate::base::{Alignment, WindowLength};
use crate::boat::ModelChoices;
use crate::derate::SeaChoice;
use crate::files::{OneOrMore, TableFormat};
use crate::forecast::MemberChoice;
use crate::job::choices::CellAudit;
use crate::polar::{CsvOptions, TackChoice};
use crate::region::Regions;
use crate::survey::StepCache;
use std::path::PathBuf;

/// A job with all it needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// The boat file.
    pub boat: PathBuf,
    /// The flat polar.
    pub polar: PathBuf,
    /// The seas she will meet.
    pub seas: Seas,
    /// Which seas a column of the polar sees.
    pub match_wind: SeaChoice,
    /// How far from its polar a region and window may lie that is joined to others, kn; none joins nothing.
    pub split_error_kn: Option<f64>,
    /// The folder of an atlas that answers for the seas that it holds; none solves each.
    pub atlas: Option<PathBuf>,
    /// How the audit is written, besides CSV.
    pub audit_format: OneOrMore<TableFormat>,
    /// Whether each forecast cell is accounted for.
    pub cell_audit: CellAudit,
    /// The folder of the result.
    pub output: PathBuf,
    /// Which tacks the polars hold.
    pub tacks: TackChoice,
    /// How polars are written.
    pub polar_csv: CsvOptions,
    /// Choices of the model.
    pub model: ModelChoices,
}

/// Where a job's seas come from.
#[derive(Debug, Clone, PartialEq)]
pub enum Seas {
    /// A forecast, tallied by region and window.
    Forecast(ForecastSeas),
    /// A tally made before.
    Tally(PathBuf),
}

/// What to tally.
#[derive(Debug, Clone, PartialEq)]
pub struct ForecastSeas {
    /// Forecast files: in the order given, those of one pattern by name, each once.
    pub files: Vec<PathBuf>,
    /// Where polars are made for.
    pub regions: Regions,
    /// The length of time windows; 6 h where nothing is said.
    pub window: WindowLength,
    /// Where windows begin.
    pub window_alignment: Alignment,
    /// Whether the members of an ensemble get polars of their own.
    pub members: MemberChoice,
    /// Whether steps that were tallied before are decoded again.
    pub step_cache: StepCache,
}
