//! `atlas`: corrected polars for any sea, before there is a forecast.

use crate::cli::format::{Format, print_as, text_or_json};
use crate::cli::interrupt;
use crate::cli::named::{Named, any};
use crate::cli::outcome::Outcome;
use crate::cli::polar_csv_options::PolarCsvOptions;
use crate::cli::print::{PLANNING_AID, but_written, plain_table};
use crate::cli::values::positive;
use clap::Args;
use indicatif::ProgressBar;
use roughwater::atlas::{Fineness, Made, Making, SAILED_S, Written, make, write};
use roughwater::base::{Error, Result};
use roughwater::boat::{Boat, ModelChoices, OnOff, Side};
use roughwater::files::{OneOrMore, TableFormat};
use roughwater::hydro::response::Method;
use roughwater::polar::{CsvOptions, Polar};
use roughwater::run::performance_of;
use serde_json::{Value, json};
use std::path::PathBuf;

/// Make corrected polars for any sea before there is a forecast: a folder of polars, an index, a table, and what lookup reads
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Boat file
    boat: PathBuf,
    /// Flat polar
    #[arg(long)]
    polar: PathBuf,
    /// Folder to write; an earlier atlas there is replaced when the new one is whole
    #[arg(long, short)]
    output: PathBuf,
    /// Make it finer until its own root mean square error over random seas is within this, kn
    #[arg(long, value_name = "KN", default_value_t = 0.1, value_parser = positive, allow_negative_numbers = true)]
    error_kn: f64,
    /// The finest grid that may be tried
    #[arg(long, value_parser = any::<Fineness>(), default_value = Fineness::Fine.name())]
    finest: Fineness,
    /// How long each cell is sailed through each swell for its surge, s, three times as long through each wind sea: longer lessens
    /// the part of chance
    #[arg(long, value_name = "S", default_value_t = SAILED_S, value_parser = positive, allow_negative_numbers = true)]
    sailed_s: f64,
    /// Format of the long table, a row for each cell of each polar; without it none is written
    #[arg(long, value_parser = any::<TableFormat>())]
    table: Option<TableFormat>,
    /// Method of added resistance
    #[arg(long, value_parser = any::<Method>())]
    added_resistance: Option<Method>,
    /// Your own responses (CSV), which the method table takes
    #[arg(long, value_name = "FILE")]
    own_responses: Option<PathBuf>,
    /// Whether the swing of her speed in the waves, and surfing with it, is counted (on)
    #[arg(long, value_parser = any::<OnOff>())]
    surge: Option<OnOff>,
    /// Whether surfing may make her faster than mean forces let her (on)
    #[arg(long, value_parser = any::<OnOff>())]
    surfing_gains: Option<OnOff>,
    /// Sail without the foil of this side; may be given twice
    #[arg(long, value_parser = any::<Side>())]
    without_foil: Vec<Side>,
    #[command(flatten)]
    polar_csv: PolarCsvOptions,
    /// How the summary is printed
    #[arg(long, value_parser = text_or_json(), default_value = Format::Text.name())]
    format: Format,
    /// Print no progress and no summary
    #[arg(long, short)]
    quiet: bool,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater atlas examples/boats/sleet-heron-15.toml --polar polars/sleet-heron-15.csv --output out/atlas\n  \
roughwater atlas boat.toml --polar polar.csv --output atlas --error-kn 0.15 --table parquet\n  \
roughwater lookup --atlas out/atlas --swell 3,11,60 --fetch-nm 200 --tws-kn 18 --twa-deg 110\n\n\
The folder holds polars/ (starboard tack positive; fetch-200nm.csv for the sea that each column's wind raises over 200 nautical \
miles, duration-12h.csv in 12 hours, swell-3m-10s-60r.csv for a swell from 60 degrees to the right of the wind), index.csv and \
index.json (sea to file, errors), atlas.html (any sea by sliders, offline), the table, and atlas.bin for lookup and derate. What \
is done is kept in the cache: a run that was stopped goes on where it was. Exit code 3: the error is larger than asked for.\n\
A planning aid: the skipper, official forecasts and the rules decide.";

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    let mut boat = Boat::read(&options.boat)?;
    for side in &options.without_foil {
        boat = boat.without_foil(*side)?;
    }
    let mut choices = ModelChoices {
        own_responses: options.own_responses.clone(),
        without_foil: OneOrMore::More(options.without_foil.clone()),
        ..ModelChoices::default()
    };
    choices.added_resistance = options.added_resistance.unwrap_or(choices.added_resistance);
    choices.surge = options.surge.unwrap_or(choices.surge);
    choices.surfing_gains = options.surfing_gains.unwrap_or(choices.surfing_gains);
    let mut csv = CsvOptions::default();
    options.polar_csv.lay_over(&mut csv);
    csv.check()?;
    let performance = performance_of(boat, Polar::read(&options.polar)?, &choices)?;
    interrupt::watch(&options.output)?;
    let bar = if options.quiet { ProgressBar::hidden() } else { ProgressBar::new(1000) };
    let watch = |part: f64| {
        bar.set_position((1000.0 * part) as u64);
        if interrupt::interrupted().is_break() {
            return Err(Error::new("stopped: what is done is kept, the next run goes on from there"));
        }
        Ok(())
    };
    let making = Making { error_kn: options.error_kn, finest: options.finest, sailed_s: options.sailed_s };
    let made = make(&performance, making, &watch)?;
    interrupt::work_done();
    bar.finish_and_clear();
    let written = write(&made, &options.output, &csv, options.table)?;
    if !options.quiet {
        print_as(options.format, || text(&made, written, options), || as_json(&made, written))
            .map_err(|error| but_written(error, "the atlas", &options.output))?;
    }
    Ok(if is_good(&made, options.error_kn) { Outcome::Whole } else { Outcome::WithGaps })
}

fn is_good(made: &Made, error_kn: f64) -> bool {
    made.atlas.errors.last().is_some_and(|row| row.own_rms_kn <= error_kn)
}

fn text(made: &Made, written: Written, options: &Options) -> String {
    let mut table = plain_table([
        "grid",
        "seas",
        "MB",
        "made in s",
        "tried in",
        "",
        "mean kn",
        "rms kn",
        "95 % within kn",
        "largest kn",
        "chance kn",
        "own rms kn",
    ]);
    for tried in &made.tried {
        for (number, row) in tried.rows.iter().enumerate() {
            let kn = |value: f64| format!("{value:.3}");
            let once = |text: String| if number == 0 { text } else { String::new() };
            table.add_row([
                once(row.fineness.clone()),
                once(row.nodes.to_string()),
                once(format!("{:.1}", 4e-6 * tried.numbers as f64)),
                once(format!("{:.1}", tried.took_s)),
                row.seas.clone(),
                row.count.to_string(),
                format!("{:+.3}", row.mean_kn),
                kn(row.rms_kn),
                kn(row.within_95_kn),
                kn(row.largest_kn),
                kn(row.chance_kn),
                kn(row.own_rms_kn),
            ]);
        }
    }
    let told = if is_good(made, options.error_kn) {
        format!("within the {} kn asked for", options.error_kn)
    } else {
        format!(
            "not within the {} kn asked for: the finest grid allowed is not fine enough",
            options.error_kn
        )
    };
    format!(
        "{}: {} polars, {} rows in the table, {:.1} MB\n\n{table}\n\n\
         Atlas less direct, over all cells of the polar in random seas that are none of the grid's: two direct computations with \
         other drawings of each, of which chance is what a single one is off by; own is what is left of the error without it.\n\
         The error of its own is {told}.\n{PLANNING_AID}\n",
        options.output.display(),
        written.polars,
        written.rows,
        written.bytes as f64 / 1e6,
    )
}

fn as_json(made: &Made, written: Written) -> Value {
    json!({
        "boat": made.atlas.boat,
        "digest": made.atlas.digest,
        "fineness": made.atlas.fineness,
        "polars": written.polars,
        "table_rows": written.rows,
        "bytes": written.bytes,
        "errors": made.tried.iter().flat_map(|tried| &tried.rows).collect::<Vec<_>>(),
    })
}
