//! `passage`: time along a track on the flat and on the corrected polars.

use crate::cli::format::{Format, with_csv};
use crate::cli::named::{Named, any};
use crate::cli::outcome::Outcome;
use crate::cli::print::{print, print_csv, print_json};
use crate::cli::values::{length, time};
use crate::cli::{passage_csv, passage_json, passage_text, passage_track};
use clap::Args;
use csv::Terminator;
use jiff::{SignedDuration, Timestamp};
use roughwater::base::Result;
use roughwater::passage::{FileOverrides, LegKind, Passage, PassageQuestion, SpeedSource};
use roughwater::result::gpx;
use std::path::PathBuf;

/// Tell the time along a track on the flat and on the corrected polars, and what the sea costs on each leg
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Folder of a result, or the job file it was made from
    job_or_result: PathBuf,
    /// Track: the one route or track of a GPX file, a GeoJSON LineString, CSV with a position a line, or waypoints such as
    /// "52S 168E; 53S 175E"
    #[arg(long)]
    track: PathBuf,
    /// Start, as 2030-03-01T12:00, "1 Mar 2030 12:00" or now (UTC unless it has an offset)
    #[arg(long, value_name = "TIME", value_parser = time)]
    start: Timestamp,
    /// Compare departures this far apart: 6h, 90m, 1d; up to the end of the forecast
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    start_every: Option<SignedDuration>,
    /// How many departures to compare
    #[arg(long, value_name = "N", requires = "start_every", value_parser = clap::value_parser!(u16).range(1..=1000))]
    starts: Option<u16>,
    /// What a leg between two positions is
    #[arg(long, value_parser = any::<LegKind>(), default_value = LegKind::default().name())]
    legs: LegKind,
    /// Let the tacks differ: take both from the result's audit instead of the polars the index names
    #[arg(long)]
    by_tack: bool,
    /// Member of an ensemble whose wind is met
    #[arg(long, value_name = "N")]
    member: Option<u32>,
    /// Flat polar, where it is not found as the result or job names it; it must be the same file
    #[arg(long)]
    polar: Option<PathBuf>,
    /// Forecast files, where they are not found as the result or job names them
    #[arg(long, num_args = 1.., value_name = "FILE")]
    forecast: Vec<PathBuf>,
    /// Write the passage on the corrected polars to this file, a GPX track with times; one track a departure
    #[arg(long, value_name = "FILE")]
    gpx: Option<PathBuf>,
    /// How the answer is printed
    #[arg(long, value_parser = with_csv("SpeedSource, for reading", "A row for each departure and leg"))]
    #[arg(default_value = Format::Text.name())]
    format: Format,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater passage examples/south-pacific/job.toml --track examples/south-pacific/track.gpx --start 2024-01-15T03:00\n  \
roughwater passage out/south-pacific --track track.gpx --start 2024-01-15T00:00 --start-every 6h --starts 3\n  \
roughwater passage out/south-pacific --track track.gpx --start 2024-01-15T03:00 --legs rhumb --gpx timed.gpx\n\n\
Two boats start at once, one on the flat polar and one on the corrected ones, each in the wind of her own place and \
time. Where sailing straight makes less way than beating or gybing at two of the polar's own angles, she does that; \
tacks and gybes cost nothing. Where no corrected polar serves she sails on the flat one; without wind, or in wind \
outside the polar, she stops: both are told as gaps, with exit code 3.";

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    let question = PassageQuestion {
        job_or_result: options.job_or_result.clone(),
        track: options.track.clone(),
        start: options.start,
        every: options.start_every,
        starts: options.starts.map(usize::from),
        legs: options.legs,
        speeds: if options.by_tack { SpeedSource::Audit } else { SpeedSource::Polars },
        member: options.member,
        over: FileOverrides { polar: options.polar.clone(), forecast: options.forecast.clone() },
    };
    let (setting, passages) = question.answer()?;
    match (options.format, passages.as_slice()) {
        (Format::Text, [one]) => print(&passage_text::one(&setting, one)?)?,
        (Format::Text, several) => print(&passage_text::several(&setting, several)?)?,
        (Format::Csv, all) => {
            print_csv(Terminator::CRLF, &passage_csv::COLUMNS, passage_csv::records(&setting, all)?)?;
        }
        (Format::Json, all) => print_json(&passage_json::departures(&setting, all)?)?,
    }
    if let Some(path) = &options.gpx {
        gpx::write(
            path,
            passages.iter().map(|passage| passage_track::timed(&setting, passage)).collect::<Result<_>>()?,
        )?;
    }
    let whole = |passage: &Passage| (0..setting.legs.len()).all(|leg| passage.gaps(leg).is_empty());
    Ok(if passages.iter().all(whole) { Outcome::Whole } else { Outcome::WithGaps })
}
