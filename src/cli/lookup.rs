//! `lookup`: which corrected polar serves a place and a time.

use crate::cli::format::{Format, print_as, text_or_json};
use crate::cli::named::Named;
use crate::cli::outcome::Outcome;
use crate::cli::print::{print_json, tell};
use crate::cli::values::{positive, time};
use clap::Args;
use jiff::Timestamp;
use roughwater::base::Result;
use roughwater::result::{Answer, Index, Serving};
use serde_json::{Value, json};
use std::path::PathBuf;

/// Say which corrected polar of a result serves a place and a time
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Folder of a result
    result: PathBuf,
    /// Latitude, degrees: north positive, or with N or S behind it
    #[arg(allow_negative_numbers = true, value_parser = latitude)]
    lat: f64,
    /// Longitude, degrees: east positive, -180 to 180 or 0 to 360, or with E or W behind it
    #[arg(allow_negative_numbers = true, value_parser = longitude)]
    lon: f64,
    /// Time, as 2030-03-01T12:00 (UTC unless it has an offset)
    #[arg(value_parser = time)]
    time: Timestamp,
    /// True wind speed, kn: print the speed in this wind too
    #[arg(long, requires = "twa_deg", value_parser = positive, allow_negative_numbers = true)]
    tws_kn: Option<f64>,
    /// True wind angle, -180 to 180 degrees, positive on starboard tack
    #[arg(long, requires = "tws_kn", allow_negative_numbers = true, value_parser = twa)]
    twa_deg: Option<f64>,
    /// How the answer is printed
    #[arg(long, value_parser = text_or_json(), default_value = Format::Text.name())]
    format: Format,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater lookup out/south-pacific -52 179.5 2030-03-01T12:00\n  \
roughwater lookup out/south-pacific 52S 179.5W 2030-03-01T12:00Z --tws-kn 18 --twa-deg 70\n\n\
Prints the file's path, and the speed where a wind is given; a line each where regions overlap or meet.\n\
A window holds its start and not its end. Exit code 3: nothing serves there; standard error says why.";

fn latitude(text: &str) -> std::result::Result<f64, String> {
    let deg = degrees(text, 'N', 'S')?;
    if deg.abs() <= 90.0 {
        Ok(deg)
    } else {
        Err("latitude lies within -90 to 90 and stands before longitude; are the two swapped?".to_owned())
    }
}

fn longitude(text: &str) -> std::result::Result<f64, String> {
    let deg = degrees(text, 'E', 'W')?;
    if (-180.0..=360.0).contains(&deg) {
        Ok(deg)
    } else {
        Err("longitude lies within -180 to 360".to_owned())
    }
}

fn twa(text: &str) -> std::result::Result<f64, String> {
    match text.parse() {
        Ok(deg) if (-180.0..=180.0).contains(&deg) => Ok(deg),
        _ => Err("a true wind angle is a number within -180 to 180".to_owned()),
    }
}

/// A signed number, or an unsigned one with a letter for its side behind it.
fn degrees(text: &str, positive: char, negative: char) -> std::result::Result<f64, String> {
    let wrong = || format!("give a number of degrees such as -52.5, or 52.5{negative}");
    let number = |text: &str| text.parse().ok().filter(|deg: &f64| deg.is_finite()).ok_or_else(wrong);
    let sides = [(positive, 1.0), (negative, -1.0)];
    for (letter, sign) in sides {
        if let Some(bare) = text.strip_suffix([letter, letter.to_ascii_lowercase()]) {
            return number(bare).and_then(|deg| if deg >= 0.0 { Ok(sign * deg) } else { Err(wrong()) });
        }
    }
    number(text)
}

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    match Index::read(&options.result)?.lookup(options.lat, options.lon, options.time) {
        Answer::Served(files) => print_served(options, &files).map(|()| Outcome::Whole),
        Answer::None(why) => {
            if options.format == Format::Json {
                print_json(&json!({ "polars": [], "why_none": why }))?;
            } else {
                tell(&format!("no polar: {why}"));
            }
            Ok(Outcome::WithGaps)
        }
    }
}

fn print_served(options: &Options, files: &[Serving]) -> Result<()> {
    let wind = options.tws_kn.zip(options.twa_deg);
    let speed =
        |serving: &Serving| wind.map(|(tws_kn, twa_deg)| serving.speed_kn(tws_kn, twa_deg)).transpose();
    let speeds: Vec<Option<f64>> = files.iter().map(speed).collect::<Result<_>>()?;
    let served = || files.iter().zip(speeds.iter().copied());
    let text = || served().map(|(serving, speed_kn)| line(serving, speed_kn)).collect();
    let json = || {
        let polars: Vec<Value> = served().map(|(serving, speed_kn)| object(serving, speed_kn)).collect();
        json!({ "polars": polars })
    };
    print_as(options.format, text, json)
}

fn line(serving: &Serving, speed_kn: Option<f64>) -> String {
    let speed = speed_kn.map(|speed_kn| format!("\t{speed_kn:.2} kn")).unwrap_or_default();
    format!("{}{speed}\n", serving.file.display())
}

fn object(serving: &Serving, speed_kn: Option<f64>) -> Value {
    let mut polar = json!({
        "file": serving.file.display().to_string(),
        "region": serving.region,
        "start": serving.window.start.to_string(),
        "end": serving.window.end.to_string(),
        "tacks": serving.tacks,
    });
    if let Some(speed_kn) = speed_kn {
        polar["speed_kn"] = json!(speed_kn);
    }
    polar
}
