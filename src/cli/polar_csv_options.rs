//! Options that say how corrected polars are written.

use crate::cli::named::any;
use clap::Args;
use roughwater::polar::{CsvOptions, Decimal, Delimiter, Layout, LineEnd, Smoothing};

/// How corrected polars are written.
#[derive(Debug, Args)]
#[command(next_help_heading = "How corrected polars are written")]
pub(super) struct PolarCsvOptions {
    /// What stands between fields
    #[arg(long, value_parser = any::<Delimiter>())]
    delimiter: Option<Delimiter>,
    /// Decimal mark
    #[arg(long, value_parser = any::<Decimal>())]
    decimal: Option<Decimal>,
    /// Text in the table's corner
    #[arg(long, value_name = "TEXT")]
    corner: Option<String>,
    /// Layout of the table
    #[arg(long, value_parser = any::<Layout>())]
    layout: Option<Layout>,
    /// What ends a line
    #[arg(long, value_parser = any::<LineEnd>())]
    line_end: Option<LineEnd>,
    /// Whether neighbouring cells are smoothed
    #[arg(long, value_parser = any::<Smoothing>())]
    smoothing: Option<Smoothing>,
}

impl PolarCsvOptions {
    /// Lays the options over those of a job.
    pub(super) fn lay_over(&self, job: &mut CsvOptions) {
        job.delimiter = self.delimiter.unwrap_or(job.delimiter);
        job.decimal = self.decimal.unwrap_or(job.decimal);
        if let Some(corner) = &self.corner {
            job.corner.clone_from(corner);
        }
        job.layout = self.layout.unwrap_or(job.layout);
        job.line_end = self.line_end.unwrap_or(job.line_end);
        job.smoothing = self.smoothing.unwrap_or(job.smoothing);
    }
}
