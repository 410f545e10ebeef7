//! `response`: one boat in one sea, every intermediate number.

use crate::cli::choices::one_system;
use crate::cli::format::{Format, print_as, text_or_json};
use crate::cli::named::{Named, any};
use crate::cli::outcome::Outcome;
use crate::cli::print::tell;
use crate::cli::response_text;
use crate::cli::values::{angle, non_negative, positive};
use clap::Args;
use roughwater::base::units::{G, kn_to_m_s};
use roughwater::base::{Error, Result};
use roughwater::boat::{Boat, BoatModel, Side};
use roughwater::explain::one_sea;
use roughwater::hydro::response::Method;
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
    let mut boat = Boat::read(&options.boat)?;
    for side in &options.without_foil {
        boat = boat.without_foil(*side).map_err(|error| error.file(&options.boat))?;
    }
    let model = BoatModel::new(boat, Method::RadiatedEnergy, None)?;
    let speed_m_s = match (options.speed_kn, options.froude) {
        (Some(kn), _) => kn_to_m_s(kn),
        (None, Some(froude)) => froude * (G * model.hydrostatics.lwl_m).sqrt(),
        (None, None) => return Err(Error::new("no speed is given").remedy("give --speed-kn or --froude")),
    };
    let mu = options.wave_angle_deg.to_radians();
    if let Some(period_s) = options.period_s {
        let mut answer = one_sea::regular(&model, speed_m_s, period_s, mu);
        answer.warnings.extend(one_sea::mismatched_wave(period_s, options.wave_length_m));
        warn(&answer.warnings);
        print_as(options.format, || response_text::regular(&answer), || &answer)?;
        return Ok(Outcome::Whole);
    }
    let (Some(hs_m), Some(tp_s)) = (options.hs_m, options.tp_s) else {
        return Err(
            Error::new("no sea is given").remedy("give --hs-m and --tp-s, or --regular and --period-s")
        );
    };
    let lost = Side::ALL.iter().all(|side| options.without_foil.contains(side));
    let sea = one_sea::Sea { kind: options.kind, hs_m, tp_s, mu, long_crested: options.long_crested };
    let mut answer = one_sea::irregular(&model, speed_m_s, &sea, !lost);
    answer.warnings.extend(one_sea::mismatched_wave(tp_s, options.wave_length_m));
    warn(&answer.warnings);
    print_as(options.format, || response_text::irregular(&answer), || &answer)?;
    Ok(Outcome::Whole)
}

fn warn(warnings: &[String]) {
    for warning in warnings {
        tell(&format!("warning: {warning}"));
    }
}
