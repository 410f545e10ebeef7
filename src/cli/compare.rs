//! `compare`: two boats or configurations in one sea, or in the seas of a job.

use crate::cli::choices::one_system;
use crate::cli::compare_in_time::{self, InTimeOptions};
use crate::cli::compare_table;
use crate::cli::format::{Format, with_csv};
use crate::cli::named::{Named, any};
use crate::cli::outcome::Outcome;
use crate::cli::print::{print, print_csv, print_json};
use crate::cli::values::positive;
use clap::Args;
use csv::Terminator;
use roughwater::base::{Error, Result};
use roughwater::boat::Side;
use roughwater::run::{ComparedBoat, ComparedSeas, ComparisonQuestion, InTimeQuestion};
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
    #[arg(long, value_parser = any::<Side>())]
    without_foil_a: Vec<Side>,
    /// The second boat sails without the foil of this side
    #[arg(long, value_parser = any::<Side>())]
    without_foil_b: Vec<Side>,
    /// Compare in all the seas of this job instead of one sea
    #[arg(long, conflicts_with_all = ["hs_m", "tp_s"])]
    job: Option<PathBuf>,
    /// Region of the job; without it all its regions and windows together
    #[arg(long, requires = "job")]
    region: Option<String>,
    /// Significant wave height, m
    #[arg(long, value_parser = positive, allow_negative_numbers = true)]
    #[arg(required_unless_present = "job")]
    hs_m: Option<f64>,
    /// Peak period, s
    #[arg(long, value_parser = positive, allow_negative_numbers = true)]
    #[arg(required_unless_present = "job")]
    tp_s: Option<f64>,
    /// Direction the waves come from less the direction the wind comes from, degrees, positive clockwise
    #[arg(long, default_value_t = 0.0, allow_hyphen_values = true)]
    off_wind_deg: f64,
    /// What the waves are
    #[arg(long, value_parser = one_system(), default_value = PartitionKind::WindSea.name())]
    kind: PartitionKind,
    /// True wind speed, kn; a column of the polar, or with --in-time any within it. Without it, all columns
    #[arg(long, allow_negative_numbers = true)]
    tws_kn: Option<f64>,
    /// How the answer is printed
    #[arg(long, value_parser = with_csv("A table for reading", "One row a cell, with --in-time a figure"))]
    #[arg(default_value = Format::Text.name())]
    format: Format,
    #[command(flatten)]
    in_time: InTimeOptions,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater compare examples/boats/sleet-heron-15.toml examples/boats/sleet-heron-15-full-bow.toml \\\n    \
--polar polars/sleet-heron-15.csv --tws-kn 20 --hs-m 2.5 --tp-s 7\n  \
roughwater compare examples/boats/sleet-heron-15.toml examples/boats/sleet-heron-15.toml \\\n    \
--without-foil-b port --job examples/south-pacific/job.toml --tws-kn 20 --format csv\n  \
roughwater compare examples/boats/sleet-heron-15.toml examples/boats/sleet-heron-15-full-bow.toml \\\n    \
--polar polars/sleet-heron-15.csv --tws-kn 20 --twa-deg 50 --hs-m 3 --tp-s 7 --off-wind-deg -50 \\\n    \
--in-time --plot bows.svg --frames wave.svg\n\n\
A planning aid: the skipper, official forecasts and the rules decide.";

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    let question = question(options)?;
    if options.in_time.in_time {
        return in_time(options, question);
    }
    let compared = question.made_ready()?;
    let pairs = compared.pairs()?;
    match options.format {
        Format::Text => print(&compare_table::text(&pairs, &compared.a, &compared.b))?,
        Format::Json => print_json(&pairs)?,
        Format::Csv => {
            let records = pairs.iter().map(compare_table::record);
            print_csv(Terminator::Any(b'\n'), &compare_table::columns(), records)?;
        }
    }
    Ok(Outcome::Whole)
}

fn in_time(options: &Options, question: ComparisonQuestion) -> Result<Outcome> {
    let InTimeOptions { twa_deg, duration_s, dt_s, seed, seeds, .. } = options.in_time;
    let ComparisonQuestion { a, b, seas, tws_kn: Some(tws_kn) } = question else {
        return Err(Error::new("no wind is given").remedy("give --tws-kn"));
    };
    let ComparedSeas::One { kind, hs_m, tp_s, off_wind_deg } = seas else {
        return Err(Error::new("no sea is given").remedy("give --hs-m and --tp-s"));
    };
    let Some(twa_deg) = twa_deg else {
        return Err(Error::new("no true wind angle is given").remedy("give --twa-deg"));
    };
    let question = InTimeQuestion {
        a,
        b,
        kind,
        hs_m,
        tp_s,
        off_wind_deg,
        tws_kn,
        twa_deg,
        duration_s,
        dt_s,
        seed,
        seeds,
    };
    compare_in_time::run(&options.in_time, &question, options.format)?;
    Ok(Outcome::Whole)
}

fn question(options: &Options) -> Result<ComparisonQuestion> {
    let seas = match (&options.job, options.hs_m, options.tp_s) {
        (Some(job), ..) => ComparedSeas::OfJob { job: job.clone(), region: options.region.clone() },
        (None, Some(hs_m), Some(tp_s)) => {
            ComparedSeas::One { kind: options.kind, hs_m, tp_s, off_wind_deg: options.off_wind_deg }
        }
        _ => return Err(Error::new("no sea is given").remedy("give --hs-m and --tp-s, or --job")),
    };
    Ok(ComparisonQuestion {
        a: ComparedBoat {
            file: options.a.clone(),
            polar: options.polar.clone(),
            without_foil: options.without_foil_a.clone(),
        },
        b: ComparedBoat {
            file: options.b.clone(),
            polar: options.polar_b.clone(),
            without_foil: options.without_foil_b.clone(),
        },
        seas,
        tws_kn: options.tws_kn,
    })
}
