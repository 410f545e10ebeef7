//! `derate`: the main job.

use super::interrupt::interrupted;
use super::sea_options::SeaOptions;
use super::{Format, Outcome, derate_summary, interrupt, print, print_json};
use clap::{Args, ValueEnum};
use indicatif::{ProgressBar, ProgressStyle};
use roughwater::base::{Error, Result};
use roughwater::boat::Side;
use roughwater::files::{OneOrMore, TableFormat};
use roughwater::forecast::MemberChoice;
use roughwater::hydro::response::Method;
use roughwater::job::{CellAuditWord, JobFile, Split};
use roughwater::polar::TackChoice;
use roughwater::run::Progress;
use std::path::PathBuf;

/// Make corrected polars for every region and time window of a forecast, with an audit of every cell
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Job file; every key of it can be given as an option instead
    job: Option<PathBuf>,
    /// Boat file (TOML)
    #[arg(long)]
    boat: Option<PathBuf>,
    /// Flat polar (CSV)
    #[arg(long)]
    polar: Option<PathBuf>,
    #[command(flatten)]
    seas: SeaOptions,
    /// Tally to start from instead of forecast, regions and window: see `tally write`
    #[arg(long, value_name = "FILE", conflicts_with_all = ["forecast", "regions", "tiles", "corridor", "window"])]
    tally: Option<PathBuf>,
    /// Whether the members of an ensemble get polars of their own besides
    #[arg(long, value_enum, value_name = "HOW", conflicts_with = "tally")]
    members: Option<Members>,
    /// Let each wind column of the polar see only seas that come with winds like its own [default: true for windows
    /// of over 24 h]
    #[arg(long, num_args = 0..=1, require_equals = true, default_missing_value = "true", value_name = "true|false")]
    match_wind: Option<bool>,
    /// Join neighbouring tiles and hours whose corrected polars are alike, so that few polars serve the sea; without
    /// regions, tiles of 2.5 degrees are joined
    #[arg(long, value_enum)]
    split: Option<SplitChoice>,
    /// How far from the joint polar a tile and window may lie, root mean square over its angles and the winds that blow
    /// there, kn [default: 0.2]
    #[arg(long, value_name = "KN", allow_negative_numbers = true)]
    split_error_kn: Option<f64>,
    /// Write the audit of the polars as audit.parquet too
    #[arg(long, value_enum, value_delimiter = ',', value_name = "FORMAT")]
    audit_format: Vec<AuditFormatChoice>,
    /// Account for each forecast cell and time within the regions in cells.csv, cells.parquet, both (with a comma between)
    /// or neither [default: csv where that is at most 20000 rows]
    #[arg(long, value_enum, value_delimiter = ',', value_name = "FORMAT")]
    cell_audit: Vec<CellAuditChoice>,
    /// Folder of the result; an earlier result there is replaced when the new one is whole
    #[arg(long, short)]
    output: Option<PathBuf>,
    /// Tacks that the polars hold
    #[arg(long, value_enum)]
    tacks: Option<Tacks>,
    /// Method of added resistance
    #[arg(long, value_enum)]
    added_resistance: Option<MethodChoice>,
    /// Sail without the foil of this side; may be given twice
    #[arg(long, value_enum)]
    without_foil: Vec<SideChoice>,
    /// Fail where the result would have gaps
    #[arg(long)]
    strict: bool,
    /// How the summary is printed
    #[arg(long, value_enum, default_value_t)]
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
roughwater derate job.toml --forecast 'ensemble/*.grib2' --members each\n  \
roughwater derate job.toml --corridor track.gpx --half-width-nm 60 --leg-nm 300\n\n\
The result folder holds polars/<region>/<start>-<tacks>.csv, audit.csv, cells.csv, index.geojson, manifest.json and \
report.html.\n\
A planning aid: the skipper, official forecasts and the rules decide.";

/// Tacks that a polar holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Tacks {
    /// 0 to 180 degrees, mean time of both tacks
    Mean,
    /// 0 to 180 degrees, the slower tack of each cell
    Slower,
    /// Starboard tack
    Starboard,
    /// Port tack
    Port,
    /// -180 to 180 degrees, starboard tack positive
    Signed,
}

/// Whether regions and windows are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum SplitChoice {
    /// A polar for every region and window
    Given,
    /// A polar for every group that is alike
    Auto,
}

/// What becomes of an ensemble's members.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Members {
    /// One polar over all members
    Together,
    /// One polar over all members, and one of each
    Each,
}

/// How the audit is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum AuditFormatChoice {
    /// CSV, which is always there
    Csv,
    /// Apache Parquet
    Parquet,
}

impl From<AuditFormatChoice> for TableFormat {
    fn from(choice: AuditFormatChoice) -> Self {
        match choice {
            AuditFormatChoice::Csv => Self::Csv,
            AuditFormatChoice::Parquet => Self::Parquet,
        }
    }
}

/// How forecast cells are accounted for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum CellAuditChoice {
    /// CSV
    Csv,
    /// Apache Parquet
    Parquet,
    /// Not at all
    None,
}

impl From<CellAuditChoice> for CellAuditWord {
    fn from(choice: CellAuditChoice) -> Self {
        match choice {
            CellAuditChoice::Csv => Self::Csv,
            CellAuditChoice::Parquet => Self::Parquet,
            CellAuditChoice::None => Self::None,
        }
    }
}

/// A method of added resistance.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum MethodChoice {
    /// Strip theory and the energy that the hull radiates
    RadiatedEnergy,
    /// Regression on main dimensions
    Snnm,
    /// The job's own responses
    Table,
}

/// A side of the boat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum SideChoice {
    /// Left, looking forward
    Port,
    /// Right, looking forward
    Starboard,
}

impl From<Tacks> for TackChoice {
    fn from(tacks: Tacks) -> Self {
        match tacks {
            Tacks::Mean => Self::Mean,
            Tacks::Slower => Self::Slower,
            Tacks::Starboard => Self::Starboard,
            Tacks::Port => Self::Port,
            Tacks::Signed => Self::Signed,
        }
    }
}

impl From<Members> for MemberChoice {
    fn from(members: Members) -> Self {
        match members {
            Members::Together => Self::Together,
            Members::Each => Self::Each,
        }
    }
}

impl From<MethodChoice> for Method {
    fn from(choice: MethodChoice) -> Self {
        match choice {
            MethodChoice::RadiatedEnergy => Self::RadiatedEnergy,
            MethodChoice::Snnm => Self::Snnm,
            MethodChoice::Table => Self::Table,
        }
    }
}

impl From<SideChoice> for Side {
    fn from(choice: SideChoice) -> Self {
        match choice {
            SideChoice::Port => Self::Port,
            SideChoice::Starboard => Self::Starboard,
        }
    }
}

/// Runs the command.
pub fn run(options: &Options) -> Result<Outcome> {
    let job = job_file(options)?.complete()?;
    interrupt::watch()?;
    let bar = bar(options.quiet);
    let summary = roughwater::run::run(&job, options.strict, &|progress| {
        show(&bar, progress);
        interrupted()
    });
    bar.finish_and_clear();
    let summary = summary?;
    if !options.quiet {
        match options.format {
            Format::Text => print(&derate_summary::text(&summary, &job.output))?,
            Format::Json => print_json(&derate_summary::as_json(&summary, &job.output))?,
        }
    }
    Ok(if summary.gaps.is_empty() { Outcome::Whole } else { Outcome::WithGaps })
}

/// The job file with the options laid over it.
fn job_file(options: &Options) -> Result<JobFile> {
    let mut job = match &options.job {
        Some(path) => JobFile::read(path)?,
        None if options.boat.is_none() && !options.seas.has_forecast() => {
            return Err(Error::new("no job is given")
                .expected("a job file, or options such as --boat, --polar, --forecast, --regions, --output")
                .remedy("try: roughwater derate examples/south-pacific/job.toml"));
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
    options.seas.lay_over(&mut job);
    job.members = options.members.map(Into::into).or(job.members);
    job.match_wind = options.match_wind.or(job.match_wind);
    job.split = options.split.map_or(job.split, |choice| match choice {
        SplitChoice::Given => Split::Given,
        SplitChoice::Auto => Split::Auto,
    });
    job.split_error_kn = options.split_error_kn.or(job.split_error_kn);
    if !options.audit_format.is_empty() {
        job.audit_format =
            OneOrMore::More(options.audit_format.iter().map(|format| (*format).into()).collect());
    }
    if !options.cell_audit.is_empty() {
        job.cell_audit =
            Some(OneOrMore::More(options.cell_audit.iter().map(|word| (*word).into()).collect()));
    }
    job.tacks = options.tacks.map(Into::into).or(job.tacks);
    if let Some(method) = options.added_resistance {
        job.model.added_resistance = method.into();
    }
    if !options.without_foil.is_empty() {
        job.model.without_foil =
            OneOrMore::More(options.without_foil.iter().map(|side| (*side).into()).collect());
    }
    Ok(job)
}

/// A progress line on a terminal, nothing elsewhere.
fn bar(quiet: bool) -> ProgressBar {
    if quiet { ProgressBar::hidden() } else { ProgressBar::new_spinner() }
}

fn show(bar: &ProgressBar, progress: Progress) {
    match progress {
        Progress::Boat => bar.set_message("tabulating the boat's responses"),
        Progress::Steps(done, all) => counted(bar, "reading forecast steps", done, all),
        Progress::Polars(done, all) => counted(bar, "computing polars", done, all),
        Progress::Writing => {
            bar.set_style(ProgressStyle::default_spinner());
            bar.set_message("writing the result");
        }
        Progress::Cells(done, all) => counted(bar, "accounting for forecast cells", done, all),
    }
    bar.tick();
}

/// A bar with the rate and the time left.
fn counted(bar: &ProgressBar, what: &'static str, done: usize, all: usize) {
    if done == 0 {
        if let Ok(style) = ProgressStyle::with_template("{msg} {wide_bar} {pos}/{len} {per_sec} {eta} left") {
            bar.set_style(style);
        }
        bar.set_length(all as u64);
        bar.reset_elapsed();
        bar.set_message(what);
    }
    bar.set_position(done as u64);
}
