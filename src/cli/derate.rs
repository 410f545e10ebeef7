//! `derate`: the main job.

use super::sea_options::SeaOptions;
use super::{Format, Outcome, print, print_json};
use clap::{Args, ValueEnum};
use comfy_table::{Table, presets};
use indicatif::{ProgressBar, ProgressStyle};
use roughwater::boat::Side;
use roughwater::error::{Error, Result};
use roughwater::hydro::response::Method;
use roughwater::job::{CellAuditWord, JobFile, OneOrMore, TableFormat, TackChoice};
use roughwater::run::{Progress, Summary};
use serde_json::json;
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
    /// Let each wind column of the polar see only seas that come with winds like its own [default: true for windows
    /// of over 24 h]
    #[arg(long, num_args = 0..=1, require_equals = true, default_missing_value = "true", value_name = "true|false")]
    match_wind: Option<bool>,
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
roughwater derate job.toml --corridor track.gpx --half-width-nm 60 --leg-nm 300\n\n\
The result folder holds polars/<region>/<start>-<tacks>.csv, audit.csv, cells.csv, index.geojson and manifest.json.\n\
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
    let bar = bar(options.quiet);
    let summary = roughwater::run::run(&job, options.strict, &|progress| show(&bar, progress));
    bar.finish_and_clear();
    let summary = summary?;
    if !options.quiet {
        match options.format {
            Format::Text => print(&text(&summary, &job.output))?,
            Format::Json => print_json(&as_json(&summary, &job.output))?,
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
    job.match_wind = options.match_wind.or(job.match_wind);
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
        Progress::Steps(done, all) => {
            if done == 0 {
                bar.set_length(all as u64);
                if let Ok(style) =
                    ProgressStyle::with_template("{msg} {wide_bar} {pos}/{len} {per_sec} {eta} left")
                {
                    bar.set_style(style);
                }
                bar.set_message("reading forecast steps");
            }
            bar.set_position(done as u64);
        }
        Progress::Polars(count) => {
            bar.set_style(ProgressStyle::default_spinner());
            bar.set_message(format!("computing {count} polars"));
        }
        Progress::Cells(done, all) => {
            bar.set_message(format!("accounting for forecast cells, step {} of {all}", done + 1));
        }
        Progress::Writing => bar.set_message("writing the result"),
    }
    bar.tick();
}

fn text(summary: &Summary, output: &std::path::Path) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table.set_header([
        "region",
        "from (UTC)",
        "Hs m",
        "mean factor",
        "most derated cell",
        "factor",
        "mostly by",
    ]);
    for part in &summary.parts {
        let (cell, factor, stage) = match &part.worst {
            Some((tack, tws, twa, factor, stage)) => {
                (format!("{tack} TWS {tws} kn TWA {twa}"), format!("{factor:.3}"), stage.replace('_', " "))
            }
            None => Default::default(),
        };
        let start = part.window.start.strftime("%Y-%m-%d %H:%M").to_string();
        let hs = format!("{:.2}", part.hs_m);
        let mean = format!("{:.3}", part.mean_factor);
        table.add_row([part.region.clone(), start, hs, mean, cell, factor, stage]);
    }
    let mut text = format!("{table}\n\n");
    text += &format!(
        "{} corrected polars in {}, from {} sea states in {} bins\n",
        summary.polars,
        output.display(),
        summary.sea_states,
        summary.bins
    );
    for (label, lines) in [("note", &summary.warnings), ("gap", &summary.gaps)] {
        for line in lines {
            text += &format!("{label}: {line}\n");
        }
    }
    text + "A planning aid: the skipper, official forecasts and the rules decide.\n"
}

fn as_json(summary: &Summary, output: &std::path::Path) -> serde_json::Value {
    let parts: Vec<_> = summary
        .parts
        .iter()
        .map(|part| {
            json!({
                "region": part.region,
                "window_start": part.window.start.to_string(),
                "window_end": part.window.end.to_string(),
                "hs_m": part.hs_m,
                "mean_factor": part.mean_factor,
                "most_derated": part.worst.as_ref().map(|(tack, tws_kn, twa_deg, factor, stage)| json!({
                    "tack": tack, "tws_kn": tws_kn, "twa_deg": twa_deg, "factor": factor, "dominant_stage": stage,
                })),
            })
        })
        .collect();
    json!({
        "output": output.display().to_string(),
        "polars": summary.polars,
        "sea_states": summary.sea_states,
        "tally_bins": summary.bins,
        "cell_audit_rows": summary.audited_cells,
        "parts": parts,
        "warnings": summary.warnings,
        "gaps": summary.gaps,
    })
}
