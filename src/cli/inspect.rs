//! `inspect`: what an input file is and holds, and what the model would lack.

use super::{Format, Outcome, print, print_json};
use clap::Args;
use roughwater::base::Result;
use roughwater::examine::{Examination, examine};
use std::path::PathBuf;

/// Say what an input file is and holds, and what the model would lack
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Any input: forecast, polar, boat, job, regions, hull sections, or a sheet of seas (CSV)
    file: PathBuf,
    /// How the answer is printed
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater inspect grids/south-pacific.grib2\n  \
roughwater inspect polars/sleet-heron-15.csv --format json\n  \
roughwater inspect examples/boats/sleet-heron-15.toml";

/// Runs the command.
pub fn run(options: &Options) -> Result<Outcome> {
    let found: Examination = examine(&options.file)?;
    match options.format {
        Format::Json => print_json(&found)?,
        Format::Text => print(&found.text())?,
    }
    Ok(Outcome::Whole)
}
