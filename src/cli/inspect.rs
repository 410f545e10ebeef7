//! `inspect`: what an input file is and holds, and what the model would lack.

use crate::cli::format::{Format, print_as, text_or_json};
use crate::cli::hull_drawing;
use crate::cli::inspect_text;
use crate::cli::named::Named;
use crate::cli::outcome::Outcome;
use crate::cli::polar_match_text;
use clap::Args;
use roughwater::base::Result;
use roughwater::boat::{Boat, ModelChoices};
use roughwater::examine::{examine, hull_of};
use roughwater::explain::polar_match::matched_cells;
use roughwater::files::whole_file;
use roughwater::polar::Polar;
use roughwater::run::performance_of;
use std::path::PathBuf;

/// Say what an input file is and holds, and what the model would lack
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Any input: forecast, polar, boat, job, regions, hull sections, or a sheet of seas (CSV)
    file: PathBuf,
    /// With a boat file: hold it against this flat polar, thrust against resistance wind by wind
    #[arg(long)]
    polar: Option<PathBuf>,
    /// With a boat file or hull sections: draw profile, deck and sections into this SVG file
    #[arg(long, value_name = "FILE.svg")]
    drawing: Option<PathBuf>,
    /// How the answer is printed
    #[arg(long, value_parser = text_or_json(), default_value = Format::Text.name())]
    format: Format,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater inspect grids/south-pacific.grib2\n  \
roughwater inspect polars/sleet-heron-15.csv --format json\n  \
roughwater inspect examples/boats/sleet-heron-15.toml --drawing lines.svg\n  \
roughwater inspect examples/boats/sleet-heron-15.toml --polar polars/sleet-heron-15.csv";

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    if let Some(drawing) = &options.drawing {
        let (name, hull) = hull_of(&options.file)?;
        whole_file::write("the drawing", drawing, hull_drawing::svg(&name, &hull).as_bytes())?;
    }
    if let Some(polar) = &options.polar {
        let boat = Boat::read(&options.file)?;
        let cells = matched_cells(&performance_of(boat, Polar::read(polar)?, &ModelChoices::default())?)?;
        print_as(options.format, || polar_match_text::text(&cells), || &cells)?;
        return Ok(Outcome::Whole);
    }
    let found = examine(&options.file)?;
    print_as(options.format, || inspect_text::text(&found), || &found)?;
    Ok(Outcome::Whole)
}
