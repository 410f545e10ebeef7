//! `inspect`: what an input file is and holds, and what the model would lack.

use crate::cli::format::{Format, print_as, text_or_json};
use crate::cli::inspect_text;
use crate::cli::named::Named;
use crate::cli::outcome::Outcome;
use clap::Args;
use roughwater::base::Result;
use roughwater::examine::examine;
use std::path::PathBuf;

/// Say what an input file is and holds, and what the model would lack
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Any input: forecast, polar, boat, job, regions, hull sections, or a sheet of seas (CSV)
    file: PathBuf,
    /// How the answer is printed
    #[arg(long, value_parser = text_or_json(), default_value = Format::Text.name())]
    format: Format,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater inspect grids/south-pacific.grib2\n  \
roughwater inspect polars/sleet-heron-15.csv --format json\n  \
roughwater inspect examples/boats/sleet-heron-15.toml";

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    let found = examine(&options.file)?;
    print_as(options.format, || inspect_text::text(&found), || &found)?;
    Ok(Outcome::Whole)
}
