//! `response`: one boat in one sea, every intermediate number.

use crate::cli::choices::one_system;
use crate::cli::format::{Format, print_as, text_or_json};
use crate::cli::named::{Named, any};
use crate::cli::outcome::Outcome;
use crate::cli::print::tell;
use crate::cli::response_text;
use crate::cli::values::{angle, non_negative, positive};
use clap::Args;
use roughwater::base::{Error, Result};
use roughwater::boat::Side;
use roughwater::run::{AskedSpeed, AskedWaves, Response, ResponseQuestion};
use roughwater::sea::PartitionKind;
use std::path::PathBuf;

/// Say what one boat does in one sea: every intermediate number with its unit
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Boat file (TOML)
    boat: PathBuf,
    /// Speed through the water, kn
    #[arg(long, value_parser = non_negative, allow_negative_numbers = true)]
    #[arg(conflicts_with = "froude", required_unless_present = "froude")]
    speed_kn: Option<f64>,
    /// Speed as a Froude number on the waterline length
    #[arg(long, value_parser = non_negative, allow_negative_numbers = true)]
    froude: Option<f64>,
    /// Significant wave height, m
    #[arg(long, value_parser = positive, allow_negative_numbers = true)]
    #[arg(required_unless_present = "regular", conflicts_with = "regular")]
    hs_m: Option<f64>,
    /// Peak period, s
    #[arg(long, value_parser = positive, allow_negative_numbers = true)]
    #[arg(required_unless_present = "regular", conflicts_with = "regular")]
    tp_s: Option<f64>,
    /// Angle between the course and where the waves go: 0 following, 90 beam, 180 head
    #[arg(long, value_parser = angle, default_value = "180", allow_negative_numbers = true)]
    wave_angle_deg: f64,
    /// What the waves are
    #[arg(long, value_parser = one_system(), default_value = PartitionKind::WindSea.name())]
    kind: PartitionKind,
    /// All waves from one direction
    #[arg(long, conflicts_with = "regular")]
    long_crested: bool,
    /// One regular wave of unit amplitude instead of a sea
    #[arg(long, requires = "period_s")]
    regular: bool,
    /// Period of the regular wave, s
    #[arg(long, value_parser = positive, requires = "regular", allow_negative_numbers = true)]
    period_s: Option<f64>,
    /// Wave length that a sheet states beside the period, m: checked against what such a wave has
    #[arg(long, value_parser = positive, allow_negative_numbers = true)]
    wave_length_m: Option<f64>,
    /// Sail without the foil of this side; the leeward one counts here
    #[arg(long, value_parser = any::<Side>())]
    without_foil: Vec<Side>,
    /// How numbers are printed
    #[arg(long, value_parser = text_or_json(), default_value = Format::Text.name())]
    format: Format,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater response examples/boats/sleet-heron-15.toml --speed-kn 14 --hs-m 2 --tp-s 6.5 --wave-angle-deg 150\n  \
roughwater response examples/hulls/wigley-iii.toml --froude 0.3 --regular --period-s 1.55 --format json\n\n\
A planning aid: the skipper, official forecasts and the rules decide.";

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    let answer = question(options)?.answer()?;
    for warning in answer.warnings() {
        tell(&format!("warning: {warning}"));
    }
    let text = || match &answer {
        Response::Irregular(answer) => response_text::irregular(answer),
        Response::Regular(answer) => response_text::regular(answer),
    };
    print_as(options.format, text, || &answer)?;
    Ok(Outcome::Whole)
}

fn question(options: &Options) -> Result<ResponseQuestion> {
    let speed = match (options.speed_kn, options.froude) {
        (Some(kn), _) => AskedSpeed::Knots(kn),
        (None, Some(froude)) => AskedSpeed::Froude(froude),
        (None, None) => return Err(Error::new("no speed is given").remedy("give --speed-kn or --froude")),
    };
    let waves = match (options.period_s, options.hs_m, options.tp_s) {
        (Some(period_s), ..) => AskedWaves::Regular(period_s),
        (None, Some(hs_m), Some(tp_s)) => {
            AskedWaves::Sea { kind: options.kind, hs_m, tp_s, long_crested: options.long_crested }
        }
        _ => {
            let remedy = "give --hs-m and --tp-s, or --regular and --period-s";
            return Err(Error::new("no sea is given").remedy(remedy));
        }
    };
    Ok(ResponseQuestion {
        boat: options.boat.clone(),
        speed,
        waves,
        wave_angle_deg: options.wave_angle_deg,
        wave_length_m: options.wave_length_m,
        without_foil: options.without_foil.clone(),
    })
}
