//! `compare`: two boats or configurations in one sea, or in the seas of a job.

use super::derate::SideChoice;
use super::{Outcome, plain_table, print, print_json};
use clap::{Args, ValueEnum};
use roughwater::base::Flags;
use roughwater::base::units::kn_to_m_s;
use roughwater::base::{Error, Result};
use roughwater::boat::{Boat, ModelChoices};
use roughwater::derate::Pair;
use roughwater::derate::Performance;
use roughwater::derate::compare::{columns, compare, record};
use roughwater::hydro::wind_frame::{System, WindFrameSea};
use roughwater::job::{Job, JobFile};
use roughwater::polar::Polar;
use roughwater::run::{job_seas, performance_of};
use roughwater::sea::PartitionKind;
use std::path::PathBuf;

/// Compare two boats, or one boat in two configurations, in one sea or in a job's seas
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// First boat file
    a: PathBuf,
    /// Second boat file
    b: PathBuf,
    /// Flat polar of the first boat, and of the second where --polar-b is not given; with --job, the job's
    #[arg(long, required_unless_present = "job")]
    polar: Option<PathBuf>,
    /// Flat polar of the second boat
    #[arg(long)]
    polar_b: Option<PathBuf>,
    /// The first boat sails without the foil of this side
    #[arg(long, value_enum)]
    without_foil_a: Vec<SideChoice>,
    /// The second boat sails without the foil of this side
    #[arg(long, value_enum)]
    without_foil_b: Vec<SideChoice>,
    /// Compare in all the seas of this job instead of one sea
    #[arg(long, conflicts_with_all = ["hs_m", "tp_s"])]
    job: Option<PathBuf>,
    /// Region of the job; without it all its regions and windows together
    #[arg(long, requires = "job")]
    region: Option<String>,
    /// Significant wave height, m
    #[arg(long, value_parser = super::response::positive, allow_negative_numbers = true)]
    #[arg(required_unless_present = "job")]
    hs_m: Option<f64>,
    /// Peak period, s
    #[arg(long, value_parser = super::response::positive, allow_negative_numbers = true)]
    #[arg(required_unless_present = "job")]
    tp_s: Option<f64>,
    /// Direction the waves come from less the direction the wind comes from, degrees, positive clockwise
    #[arg(long, default_value_t = 0.0, allow_hyphen_values = true)]
    off_wind_deg: f64,
    /// What the waves are
    #[arg(long, value_enum, default_value_t)]
    kind: super::response::Kind,
    /// True wind speed, kn; a column of the polar. Without it, all columns
    #[arg(long, allow_negative_numbers = true)]
    tws_kn: Option<f64>,
    /// How the answer is printed
    #[arg(long, value_enum, default_value_t)]
    format: CompareFormat,
}

/// How a comparison is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
enum CompareFormat {
    /// A table for reading
    #[default]
    Text,
    /// One row a cell
    Csv,
    /// For programs
    Json,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater compare examples/boats/sleet-heron-15.toml examples/boats/sleet-heron-15-full-bow.toml \\\n    \
--polar polars/sleet-heron-15.csv --tws-kn 20 --hs-m 2.5 --tp-s 7\n  \
roughwater compare examples/boats/sleet-heron-15.toml examples/boats/sleet-heron-15.toml \\\n    \
--without-foil-b port --job examples/south-pacific/job.toml --tws-kn 20 --format csv\n\n\
A planning aid: the skipper, official forecasts and the rules decide.";

/// Runs the command.
pub fn run(options: &Options) -> Result<Outcome> {
    let job = options.job.as_deref().map(|path| JobFile::read(path)?.complete()).transpose()?;
    let choices = job.as_ref().map(|job| job.model.clone()).unwrap_or_default();
    let polar = options.polar.clone().or_else(|| job.as_ref().map(|job| job.polar.clone()));
    let Some(polar) = polar else {
        return Err(Error::new("no flat polar is given").remedy("give --polar, or --job with a polar"));
    };
    let first = boat(&options.a, &options.without_foil_a, &polar, &choices)?;
    let second =
        boat(&options.b, &options.without_foil_b, options.polar_b.as_ref().unwrap_or(&polar), &choices)?;
    let mut pairs = compare(&first, &second, &seas(options, job.as_ref())?)?;
    if let Some(tws_kn) = options.tws_kn {
        pairs.retain(|pair| pair.tws_kn == tws_kn);
        if pairs.is_empty() {
            return Err(Error::new("the polars have no such column")
                .found(format!("TWS {tws_kn} kn"))
                .expected(format!("one of {:?}", first.flat.tws_kn()))
                .remedy("name a column of the polar"));
        }
    }
    match options.format {
        CompareFormat::Text => print(&text(&pairs, &first, &second))?,
        CompareFormat::Json => print_json(&pairs)?,
        CompareFormat::Csv => print(&csv_text(&pairs)?)?,
    }
    Ok(Outcome::Whole)
}

fn boat(path: &PathBuf, lost: &[SideChoice], polar: &PathBuf, choices: &ModelChoices) -> Result<Performance> {
    let mut boat = Boat::read(path)?;
    for side in lost {
        boat = boat.without_foil((*side).into())?;
    }
    performance_of(boat, Polar::read(polar)?, choices)
}

/// The one sea of the options, or the seas of the job.
fn seas(options: &Options, job: Option<&Job>) -> Result<Vec<(WindFrameSea, f64)>> {
    if let Some(job) = job {
        return job_seas(job, options.region.as_deref());
    }
    let (Some(hs_m), Some(tp_s)) = (options.hs_m, options.tp_s) else {
        return Err(Error::new("no sea is given").remedy("give --hs-m and --tp-s, or --job"));
    };
    let kind: PartitionKind = options.kind.into();
    let system = System { kind, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg: options.off_wind_deg };
    let tws_m_s = kn_to_m_s(options.tws_kn.unwrap_or_default());
    Ok(vec![(
        WindFrameSea {
            tws_m_s,
            systems: std::iter::once(system).collect(),
            spectrum: None,
            flags: Flags::empty(),
        },
        1.0,
    )])
}

fn csv_text(pairs: &[Pair]) -> Result<String> {
    let failed = |error: &dyn std::fmt::Display| Error::new(format!("cannot write the comparison: {error}"));
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(columns()).map_err(|error| failed(&error))?;
    for pair in pairs {
        writer.write_record(record(pair)).map_err(|error| failed(&error))?;
    }
    let bytes = writer.into_inner().map_err(|error| failed(&error))?;
    String::from_utf8(bytes).map_err(|error| failed(&error))
}

fn text(pairs: &[Pair], a: &Performance, b: &Performance) -> String {
    let mut table = plain_table([
        "tack",
        "TWS",
        "TWA",
        "flat A",
        "A kn",
        "A loses mostly by",
        "B kn",
        "B loses mostly by",
        "B-A kn",
        "deck kg A|B",
        "flying A|B",
        "slams/h A|B",
        "wet/h A|B",
        "bow rms g A|B",
    ]);
    for pair in pairs {
        let both = |value: fn(&roughwater::derate::compare::Side) -> String| {
            format!("{}|{}", value(&pair.a), value(&pair.b))
        };
        let cause =
            |side: &roughwater::derate::compare::Side| side.dominant_stage.unwrap_or("-").replace('_', " ");
        table.add_row([
            pair.tack.name().to_owned(),
            pair.tws_kn.to_string(),
            pair.twa_deg.to_string(),
            format!("{:.2}", pair.a.flat_kn),
            format!("{:.2}", pair.a.corrected_kn),
            cause(&pair.a),
            format!("{:.2}", pair.b.corrected_kn),
            cause(&pair.b),
            format!("{:+.2}", pair.difference_kn),
            both(|side| format!("{:.0}", side.deck_water_kg)),
            both(|side| format!("{:.2}", side.availability)),
            both(|side| format!("{:.0}", side.advisory.slam_rate_per_h)),
            both(|side| side.advisory.wetness_rate_per_h.map_or("-".into(), |rate| format!("{rate:.0}"))),
            both(|side| format!("{:.2}", side.advisory.bow_acceleration_rms_g)),
        ]);
    }
    format!(
        "A: {}\nB: {}\n\n{table}\n\nA planning aid: the skipper, official forecasts and the rules decide.\n",
        a.tables.model.boat.name, b.tables.model.boat.name
    )
}
