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
use roughwater::run::{doubts, performance_of};
use std::path::PathBuf;

/// Say what an input file is and holds, and what the model would lack
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Any file that the program reads or writes: forecast, polar, boat, job, regions, track, hull sections, own responses,
    /// a sheet of seas, a tally, an atlas, a result folder or a table of one
    file: PathBuf,
    /// With a boat file: hold it against this flat polar, thrust against resistance wind by wind
    #[arg(long)]
    polar: Option<PathBuf>,
    /// Of a forecast, show each message and not each quantity
    #[arg(long)]
    all: bool,
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
roughwater inspect out\n  \
roughwater inspect out/atlas\n  \
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
        let performance = performance_of(boat, Polar::read(polar)?, &ModelChoices::default())?;
        let cells = matched_cells(&performance)?;
        let doubts: String = doubts(&performance.tables.model, &performance.flat)
            .iter()
            .map(|doubt| format!("{doubt}\n"))
            .collect();
        print_as(options.format, || doubts.clone() + &polar_match_text::text(&cells), || &cells)?;
        return Ok(Outcome::Whole);
    }
    let found = examine(&options.file)?;
    print_as(options.format, || inspect_text::text(&found, options.all), || &found)?;
    Ok(Outcome::Whole)
}
