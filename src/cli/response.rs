//! `response`: one boat in one sea, every intermediate number.

use super::derate::SideChoice;
use super::{Format, Outcome, print, print_json};
use clap::{Args, ValueEnum};
use roughwater::base::units::kn_to_m_s;
use roughwater::base::{Error, Result};
use roughwater::boat::Boat;
use roughwater::boat::BoatModel;
use roughwater::explain::{Irregular, Regular, one_sea};
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
    #[arg(long, value_enum, default_value_t)]
    kind: Kind,
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
    #[arg(long, value_enum)]
    without_foil: Vec<SideChoice>,
    /// How numbers are printed
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater response examples/boats/sleet-heron-15.toml --speed-kn 14 --hs-m 2 --tp-s 6.5 --wave-angle-deg 150\n  \
roughwater response examples/hulls/wigley-iii.toml --froude 0.3 --regular --period-s 1.55 --format json\n\n\
A planning aid: the skipper, official forecasts and the rules decide.";

/// What the waves are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(super) enum Kind {
    /// Raised by the local wind: broad in direction
    #[default]
    WindSea,
    /// Come from afar: narrow in direction
    Swell,
}

impl From<Kind> for PartitionKind {
    fn from(kind: Kind) -> Self {
        match kind {
            Kind::WindSea => Self::WindSea,
            Kind::Swell => Self::Swell,
        }
    }
}

/// Runs the command.
pub fn run(options: &Options) -> Result<Outcome> {
    let mut boat = Boat::read(&options.boat)?;
    for side in &options.without_foil {
        boat = boat.without_foil((*side).into()).map_err(|error| error.file(&options.boat))?;
    }
    let model = BoatModel::new(boat, Method::RadiatedEnergy, None)?;
    let speed_m_s = match (options.speed_kn, options.froude) {
        (Some(kn), _) => kn_to_m_s(kn),
        (None, Some(froude)) => froude * (roughwater::base::units::G * model.hydrostatics.lwl_m).sqrt(),
        (None, None) => return Err(Error::new("no speed is given").remedy("give --speed-kn or --froude")),
    };
    let mu = options.wave_angle_deg.to_radians();
    if let Some(period_s) = options.period_s {
        let mut answer = one_sea::regular(&model, speed_m_s, period_s, mu);
        answer.warnings.extend(one_sea::mismatched_wave(period_s, options.wave_length_m));
        warn(&answer.warnings);
        return show(options.format, &answer, Regular::lines(&answer));
    }
    let (Some(hs_m), Some(tp_s)) = (options.hs_m, options.tp_s) else {
        return Err(
            Error::new("no sea is given").remedy("give --hs-m and --tp-s, or --regular and --period-s")
        );
    };
    let kind = options.kind.into();
    let lost = options.without_foil.contains(&SideChoice::Port)
        && options.without_foil.contains(&SideChoice::Starboard);
    let sea = one_sea::Sea { kind, hs_m, tp_s, mu, long_crested: options.long_crested };
    let mut answer = one_sea::irregular(&model, speed_m_s, &sea, !lost);
    answer.warnings.extend(one_sea::mismatched_wave(tp_s, options.wave_length_m));
    warn(&answer.warnings);
    show(options.format, &answer, Irregular::lines(&answer))
}

fn warn(warnings: &[String]) {
    for warning in warnings {
        eprintln!("warning: {warning}");
    }
}

fn show(format: Format, answer: &impl serde::Serialize, lines: Vec<(String, String)>) -> Result<Outcome> {
    match format {
        Format::Json => print_json(answer)?,
        Format::Text => {
            let width = lines.iter().map(|(label, _)| label.len()).max().unwrap_or(0);
            let text: String =
                lines.iter().map(|(label, value)| format!("{label:<width$}  {value}\n")).collect();
            print(&(text + "\nA planning aid: the skipper, official forecasts and the rules decide.\n"))?;
        }
    }
    Ok(Outcome::Whole)
}

fn number(text: &str) -> std::result::Result<f64, String> {
    let value: f64 = text.parse().map_err(|_| format!("`{text}` is not a number"))?;
    if value.is_finite() { Ok(value) } else { Err(format!("`{text}` is not a finite number")) }
}

pub(super) fn positive(text: &str) -> std::result::Result<f64, String> {
    number(text)
        .and_then(|value| if value > 0.0 { Ok(value) } else { Err(format!("{value} is not above 0")) })
}

fn non_negative(text: &str) -> std::result::Result<f64, String> {
    number(text).and_then(|value| if value >= 0.0 { Ok(value) } else { Err(format!("{value} is below 0")) })
}

fn angle(text: &str) -> std::result::Result<f64, String> {
    number(text).and_then(|value| {
        if (0.0..=180.0).contains(&value) {
            Ok(value)
        } else {
            Err(format!("{value} is not within 0 to 180"))
        }
    })
}
