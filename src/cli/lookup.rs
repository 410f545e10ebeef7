//! `lookup`: which corrected polar serves a place and a time.

use crate::cli::format::{Format, print_as, text_or_json};
use crate::cli::lookup_atlas;
use crate::cli::lookup_atlas::AtlasSea;
use crate::cli::named::Named;
use crate::cli::outcome::Outcome;
use crate::cli::print::{print, tell};
use crate::cli::values::positive;
use clap::Args;
use jiff::Timestamp;
use roughwater::base::moment::{EXPECTED, moment};
use roughwater::base::position::position;
use roughwater::base::{Error, Result};
use roughwater::files::shortest;
use roughwater::result::{Answer, Index, ServedAnswer, ServedPolar, ServedSpeeds};
use std::path::PathBuf;

/// Say which corrected polar of a result serves a place and a time
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Folder of a result
    #[arg(required_unless_present = "atlas", conflicts_with = "atlas")]
    result: Option<PathBuf>,
    /// Latitude, longitude and time, in as many words as it takes: 52°30'S 179°30'W 2030-03-01T12:00; -52.5 -179.5 now
    #[arg(required_unless_present = "atlas", num_args = 2.., allow_negative_numbers = true, value_name = "POSITION TIME")]
    place_and_time: Vec<String>,
    /// Print nothing but the path of each file, as short as it can be from here
    #[arg(long, conflicts_with_all = ["tws_kn", "twa_deg", "format"])]
    path: bool,
    /// True wind speed, kn: print flat and corrected speed in this wind too
    #[arg(long, requires = "twa_deg", value_parser = positive, allow_negative_numbers = true)]
    tws_kn: Option<f64>,
    /// True wind angle, -180 to 180 degrees, positive on starboard tack
    #[arg(long, requires = "tws_kn", allow_negative_numbers = true, value_parser = twa)]
    twa_deg: Option<f64>,
    #[command(flatten)]
    sea: AtlasSea,
    /// How the answer is printed
    #[arg(long, value_parser = text_or_json(), default_value = Format::Text.name())]
    format: Format,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater lookup out/south-pacific -52 179.5 2030-03-01T12:00\n  \
roughwater lookup out/south-pacific 52S 179.5W 2030-03-01T12:00Z --tws-kn 18 --twa-deg 70\n  \
roughwater lookup out/south-pacific \"52°30'S 179°30'W\" 1 Mar 2030 12:00 --path\n  \
roughwater lookup out/south-pacific 52 30S 179 30W now\n  \
roughwater lookup --atlas out/atlas --fetch-nm 200 --swell 3,11,60 --tws-kn 18 --twa-deg 110\n  \
roughwater lookup --atlas out/atlas --wind-sea 1.5,6,-10 --swell 2,12,90 --polar-csv now.csv\n\n\
Prints the file, its region and window, how much of that sea the forecast covers, and flat and corrected speed where a wind \
is given; several where regions overlap or meet. A window holds its start and not its end. Exit code 3: nothing serves \
there; standard error says why.";

/// The first words are the place, the others the time.
fn place_and_time(words: &[String]) -> Result<(f64, f64, Timestamp)> {
    let mut told = None;
    for split in 1..words.len() {
        let (place, time) = words.split_at(split);
        if let Ok(time) = moment(&time.join(" ")) {
            match position(&place.join(" ")) {
                Ok((lat_deg, lon_deg)) => return Ok((lat_deg, lon_deg, time)),
                Err(wrong) => told = told.or(Some(wrong)),
            }
        }
    }
    Err(Error::new(if told.is_some() { "the position cannot be read" } else { "the time cannot be read" })
        .found(words.join(" "))
        .expected(format!("a position such as \"52°30'S 179°30'W\" or -52.5 -179.5, then {EXPECTED}"))
        .remedy(told.unwrap_or_else(|| "write the time last".to_owned())))
}

fn twa(text: &str) -> std::result::Result<f64, String> {
    match text.parse() {
        Ok(deg) if (-180.0..=180.0).contains(&deg) => Ok(deg),
        _ => Err("a true wind angle is a number within -180 to 180".to_owned()),
    }
}

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    if let Some(folder) = &options.sea.atlas {
        let wind = options.tws_kn.zip(options.twa_deg);
        return lookup_atlas::answer(folder, &options.sea, wind, options.format).map(|()| Outcome::Whole);
    }
    let Some(result) = &options.result else {
        return Err(Error::new("no folder of a result is given").remedy("name one, or an atlas with --atlas"));
    };
    let (lat_deg, lon_deg, time) = place_and_time(&options.place_and_time)?;
    let answer = Index::read(result)?.lookup(lat_deg, lon_deg, time);
    if let (true, Answer::Served(files)) = (options.path, &answer) {
        let paths = files.iter().map(|serving| format!("{}\n", shortest(&serving.file).display()));
        return print(&paths.collect::<String>()).map(|()| Outcome::Whole);
    }
    let wind = options.tws_kn.zip(options.twa_deg);
    let answer = ServedAnswer::of(result, answer, wind)?;
    match (&answer.why_none, options.format) {
        (Some(why), Format::Text | Format::Csv) => tell(&format!("no polar: {why}")),
        _ => print_as(
            options.format,
            || answer.polars.iter().map(|polar| text(polar, wind)).collect(),
            || &answer,
        )?,
    }
    Ok(if answer.polars.is_empty() { Outcome::WithGaps } else { Outcome::Whole })
}

fn text(polar: &ServedPolar, wind: Option<(f64, f64)>) -> String {
    let [start, end] = [polar.start, polar.end].map(|time| time.strftime("%Y-%m-%d %H:%M").to_string());
    let mut text = format!(
        "{}\n  region \"{}\", {start} to {end} UTC, tacks: {}\n",
        shortest(&polar.file).display(),
        polar.region,
        polar.tacks.name()
    );
    if let Some((ServedSpeeds { speed_kn, flat_kn }, (tws_kn, twa_deg))) = polar.speeds.zip(wind) {
        let flat = match flat_kn {
            Some(flat_kn) => format!("flat {flat_kn:.2} kn"),
            None => "flat speed not in the audit".to_owned(),
        };
        text += &format!("  TWS {tws_kn} kn, TWA {twa_deg}: {flat}, corrected {speed_kn:.2} kn\n");
    }
    if let Some(covered) = polar.covered.filter(|covered| *covered < 0.9995) {
        text += &format!(
            "  the forecast covers {:.1} % of this region's sea; what it does not reach has no part in the polar\n",
            100.0 * covered
        );
    }
    text
}
