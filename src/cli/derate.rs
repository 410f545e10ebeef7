//! `derate`: the main job.

use crate::cli::format::{Format, print_as, text_or_json};
use crate::cli::named::{Named, any};
use crate::cli::outcome::Outcome;
use crate::cli::polar_csv_options::PolarCsvOptions;
use crate::cli::print::but_written;
use crate::cli::sea_options::SeaOptions;
use crate::cli::width::columns;
use crate::cli::{derate_progress, derate_summary, interrupt, job_argument};
use clap::Args;
use roughwater::base::{Error, Result};
use roughwater::boat::{BodyChoice, OnOff, Side};
use roughwater::files::{OneOrMore, TableFormat};
use roughwater::forecast::MemberChoice;
use roughwater::hydro::response::Method;
use roughwater::job::{CellAuditWord, JobFile, Split};
use roughwater::polar::TackChoice;
use std::path::PathBuf;

/// Make corrected polars for every region and time window of a forecast, with an audit of every cell
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Job file; every key of it can be given as an option instead
    job: Vec<PathBuf>,
    /// Boat file (TOML)
    #[arg(long)]
    boat: Option<PathBuf>,
    /// Flat polar (CSV)
    #[arg(long)]
    polar: Option<PathBuf>,
    #[command(flatten)]
    seas: SeaOptions,
    /// Tally to start from instead of forecast, regions and window: see `tally write`
    #[arg(long, value_name = "FILE", conflicts_with_all = ["forecast", "regions", "boxes", "tiles", "corridor", "window"])]
    tally: Option<PathBuf>,
    /// Folder of an atlas of this boat and polar: it answers for the seas it holds, sooner and less exactly; others are solved
    #[arg(long, value_name = "FOLDER")]
    atlas: Option<PathBuf>,
    /// Whether the members of an ensemble get polars of their own besides
    #[arg(long, value_parser = any::<MemberChoice>(), value_name = "HOW", conflicts_with = "tally")]
    members: Option<MemberChoice>,
    /// Whether each wind column of the polar sees only seas that come with winds like its own [default: on]
    #[arg(long, num_args = 0..=1, default_missing_value = "on", value_name = "on|off")]
    #[arg(value_parser = clap::builder::BoolishValueParser::new())]
    match_wind: Option<bool>,
    /// Join neighbouring tiles and hours whose corrected polars are alike, so that few polars serve the sea; without
    /// regions, tiles of 2.5 degrees are joined
    #[arg(long, value_parser = any::<Split>())]
    split: Option<Split>,
    /// How far from the joint polar a tile and window may lie, root mean square over its angles and the winds that blow
    /// there, kn [default: 0.2]
    #[arg(long, value_name = "KN", allow_negative_numbers = true)]
    split_error_kn: Option<f64>,
    /// Write the audit of the polars as audit.parquet too
    #[arg(long, value_parser = any::<TableFormat>(), value_delimiter = ',', value_name = "FORMAT")]
    audit_format: Vec<TableFormat>,
    /// Account for each forecast cell and time within the regions in cells.csv, cells.parquet, both (with a comma between)
    /// or neither [default: csv where that is at most 20000 rows]
    #[arg(long, value_parser = any::<CellAuditWord>(), value_delimiter = ',', value_name = "FORMAT")]
    cell_audit: Vec<CellAuditWord>,
    /// Folder of the result; an earlier result there is replaced when the new one is whole
    #[arg(long, short)]
    output: Option<PathBuf>,
    /// Tacks that the polars hold
    #[arg(long, value_parser = any::<TackChoice>())]
    tacks: Option<TackChoice>,
    /// Method of added resistance
    #[arg(long, value_parser = any::<Method>())]
    added_resistance: Option<Method>,
    /// Whether the swing of her speed in the waves, and surfing with it, is counted (on)
    #[arg(long, value_parser = any::<OnOff>())]
    surge: Option<OnOff>,
    /// Whether surfing may make her faster than mean forces let her (on); off for the cautious
    #[arg(long, value_parser = any::<OnOff>())]
    surfing_gains: Option<OnOff>,
    /// How the mean forces of large waves are found: linear, or exact by simulating all of her hull up to the deck once
    #[arg(long, value_parser = any::<BodyChoice>())]
    body: Option<BodyChoice>,
    /// Your own responses (CSV), which the method table takes
    #[arg(long, value_name = "FILE")]
    own_responses: Option<PathBuf>,
    /// Sail without the foil of this side; may be given twice
    #[arg(long, value_parser = any::<Side>())]
    without_foil: Vec<Side>,
    #[command(flatten)]
    polar_csv: PolarCsvOptions,
    /// Fail where the result would have gaps
    #[arg(long)]
    strict: bool,
    /// How the summary is printed
    #[arg(long, value_parser = text_or_json(), default_value = Format::Text.name())]
    format: Format,
    /// Print no progress and no summary
    #[arg(long, short)]
    quiet: bool,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater derate examples/south-pacific/job.toml\n  \
roughwater derate job.toml --without-foil port --output out/port-foil-lost\n  \
roughwater derate job.toml --tacks signed --window all\n  \
roughwater derate job.toml --tiles 5x5 --window 24h\n  \
roughwater derate job.toml --tiles 1x1 --window 3h --split auto --split-error-kn 0.3\n  \
roughwater derate job.toml --atlas out/atlas --output out/quick\n  \
roughwater derate job.toml --forecast 'ensemble/*.grib2' --members each\n  \
roughwater derate job.toml --corridor track.gpx --half-width-nm 60 --leg-nm 300\n\n\
The result folder holds polars/<region>/<start>-<tacks>.csv, audit.csv, cells.csv, index.geojson, manifest.json and \
report.html.\n\
A planning aid: the skipper, official forecasts and the rules decide.";

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    let job = job_file(options)?.complete()?;
    interrupt::watch(&job.output)?;
    let bar = derate_progress::bar(options.quiet);
    let summary = roughwater::run::run(&job, options.strict, &|progress| {
        derate_progress::show(&bar, options.quiet, progress);
        interrupt::interrupted()
    });
    interrupt::work_done();
    bar.finish_and_clear();
    let summary = summary?;
    if !options.quiet {
        let text = || derate_summary::text(&summary, &job.output, columns());
        print_as(options.format, text, || derate_summary::as_json(&summary, &job.output))
            .map_err(|error| but_written(error, "the result", &job.output))?;
    }
    Ok(if summary.gaps.is_empty() { Outcome::Whole } else { Outcome::WithGaps })
}

/// The job file with the options laid over it.
fn job_file(options: &Options) -> Result<JobFile> {
    let mut seas = options.seas.clone();
    let mut job = match job_argument::job(&options.job, &mut seas)? {
        Some(path) => JobFile::read(&path)?,
        None if options.boat.is_none() && !seas.has_forecast() => {
            return Err(Error::new("no job is given")
                .expected("a job file, or options such as --boat, --polar, --forecast, --regions, --output")
                .remedy("`roughwater new` writes a job from a few figures of the boat; then: roughwater derate job.toml"));
        }
        None => JobFile::default(),
    };
    let over = |place: &mut Option<PathBuf>, option: &Option<PathBuf>| {
        if option.is_some() {
            place.clone_from(option);
        }
    };
    over(&mut job.boat, &options.boat);
    over(&mut job.polar, &options.polar);
    over(&mut job.tally, &options.tally);
    over(&mut job.output, &options.output);
    seas.lay_over(&mut job);
    job.members = options.members.or(job.members);
    job.match_wind = options.match_wind.or(job.match_wind);
    job.split = options.split.unwrap_or(job.split);
    job.split_error_kn = options.split_error_kn.or(job.split_error_kn);
    over(&mut job.atlas, &options.atlas);
    if !options.audit_format.is_empty() {
        job.audit_format = OneOrMore::More(options.audit_format.clone());
    }
    if !options.cell_audit.is_empty() {
        job.cell_audit = Some(OneOrMore::More(options.cell_audit.clone()));
    }
    job.tacks = options.tacks.or(job.tacks);
    if let Some(method) = options.added_resistance {
        job.model.added_resistance = method;
    }
    job.model.surge = options.surge.unwrap_or(job.model.surge);
    job.model.surfing_gains = options.surfing_gains.unwrap_or(job.model.surfing_gains);
    job.model.body = options.body.unwrap_or(job.model.body);
    over(&mut job.model.own_responses, &options.own_responses);
    options.polar_csv.lay_over(&mut job.polar_csv);
    if !options.without_foil.is_empty() {
        job.model.without_foil = OneOrMore::More(options.without_foil.clone());
    }
    Ok(job)
}
