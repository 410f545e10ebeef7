//! `simulate`: a boat in one sea in time, wave by wave.

use crate::cli::choices::one_system;
use crate::cli::format::{Format, print_as, text_or_json};
use crate::cli::named::{Named, any};
use crate::cli::outcome::Outcome;
use crate::cli::values::{non_negative, number, positive};
use crate::cli::{bow_text, frame_strip, simulate_plot, simulate_text, simulate_trace};
use clap::Args;
use roughwater::base::{Error, Result};
use roughwater::boat::Side;
use roughwater::files::whole_file;
use roughwater::run::{LONGEST_STEP_S, Simulation, SimulationQuestion};
use roughwater::sea::PartitionKind;
use roughwater::simulate::BodyChoice;
use std::path::PathBuf;

/// Sail a boat through one sea in time, wave by wave: how her speed swings, how often her foils fall, what lies on deck
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Boat file (TOML)
    boat: PathBuf,
    /// Flat polar
    #[arg(long)]
    polar: PathBuf,
    /// True wind speed, kn
    #[arg(long, value_parser = positive, allow_negative_numbers = true)]
    tws_kn: f64,
    /// True wind angle, degrees; with a minus sign on port tack
    #[arg(long, value_parser = number, allow_hyphen_values = true)]
    twa_deg: f64,
    /// Significant wave height, m; with --regular, the wave's height from trough to crest
    #[arg(long, value_parser = non_negative, allow_negative_numbers = true)]
    hs_m: f64,
    /// Peak period, s; with --regular, the wave's period
    #[arg(long, value_parser = positive, allow_negative_numbers = true)]
    tp_s: f64,
    /// Direction the waves come from less the direction the wind comes from, degrees, positive clockwise
    #[arg(long, default_value_t = 0.0, allow_hyphen_values = true)]
    off_wind_deg: f64,
    /// What the waves are
    #[arg(long, value_parser = one_system(), default_value = PartitionKind::WindSea.name())]
    kind: PartitionKind,
    /// One regular wave instead of a drawn sea; its mean forces are those of a swell of its energy
    #[arg(long)]
    regular: bool,
    /// How her hull answers the waves
    #[arg(long, value_parser = any::<BodyChoice>(), default_value = BodyChoice::default().name())]
    body: BodyChoice,
    /// With --body exact: draw six moments of the wave that came deepest over her stem (SVG)
    #[arg(long, value_name = "FILE")]
    frames: Option<PathBuf>,
    /// Time that is counted for each seed, s; two minutes before it are not
    #[arg(long, default_value_t = 1800.0, value_parser = positive, allow_negative_numbers = true)]
    duration_s: f64,
    /// Step of time, s
    #[arg(long, default_value_t = 0.1, value_parser = step, allow_negative_numbers = true)]
    dt_s: f64,
    /// Seed of the first drawing of the sea: equal seeds give equal numbers
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Number of drawings
    #[arg(long, default_value_t = 4, value_parser = clap::value_parser!(u64).range(1..=10_000))]
    seeds: u64,
    /// Sail without the foil of this side; may be given twice
    #[arg(long, value_parser = any::<Side>())]
    without_foil: Vec<Side>,
    /// Write the first drawing step by step: CSV, or Parquet where the name ends in .parquet
    #[arg(long, value_name = "FILE")]
    trace: Option<PathBuf>,
    /// Draw the two minutes of the first drawing in which her speed swings most (SVG)
    #[arg(long, value_name = "FILE")]
    plot: Option<PathBuf>,
    /// How the answer is printed
    #[arg(long, value_parser = text_or_json(), default_value = Format::Text.name())]
    format: Format,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater simulate examples/boats/sleet-heron-15.toml --polar polars/sleet-heron-15.csv \\\n    \
--tws-kn 20 --twa-deg 130 --hs-m 2.4 --tp-s 7.7 --plot reach.svg\n  \
roughwater simulate examples/boats/oat-plover-10.toml --polar polars/oat-plover-10.csv \\\n    \
--tws-kn 20 --twa-deg -165 --hs-m 3 --tp-s 8.5 --seeds 20 --trace run.csv --format json\n  \
roughwater simulate examples/boats/sleet-heron-15.toml --polar polars/sleet-heron-15.csv \\\n    \
--tws-kn 20 --twa-deg 50 --hs-m 3 --tp-s 7 --off-wind-deg -50 --body exact --frames wave.svg\n\n\
A planning aid: the skipper, official forecasts and the rules decide.";

/// A step of time, s.
pub(super) fn step(text: &str) -> std::result::Result<f64, String> {
    positive(text).and_then(|value| {
        let fits = value <= LONGEST_STEP_S;
        if fits { Ok(value) } else { Err(format!("{value} is above {LONGEST_STEP_S} s")) }
    })
}

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    if options.frames.is_some() && options.body == BodyChoice::Linear {
        return Err(Error::new("frames show all of her hull")
            .found("--frames with --body linear")
            .expected("--body exact")
            .remedy("add --body exact, or leave out --frames"));
    }
    let Simulation { performance, setting, figures, trace, frames } = question(options).answer()?;
    let model = &performance.tables.model;
    if let (Some(path), Some(frames)) = (&options.frames, &frames) {
        let strip = frame_strip::svg(&model.boat.name, &what(options), &model.hull, frames);
        whole_file::write("the frames", path, strip.as_bytes())?;
    }
    if let Some(path) = &options.trace {
        simulate_trace::write(path, &trace)?;
    }
    if let Some(path) = &options.plot {
        let stall_deg = model.boat.foils.as_ref().map(|foils| foils.stall_angle_deg);
        let title = simulate_plot::title(&performance, &setting);
        simulate_plot::write(path, &title, &trace, &figures.simulated, stall_deg)?;
    }
    let text = || {
        let bow = figures.bow.as_ref().map_or_else(String::new, bow_text::text);
        simulate_text::text(&setting, &figures.simulated) + &bow
    };
    print_as(options.format, text, || &figures)?;
    Ok(Outcome::Whole)
}

/// Wind and sea in words.
fn what(options: &Options) -> String {
    format!(
        "TWS {} kn, TWA {}°, waves of {} m and {} s: the wave that came deepest over her stem",
        options.tws_kn, options.twa_deg, options.hs_m, options.tp_s
    )
}

fn question(options: &Options) -> SimulationQuestion {
    SimulationQuestion {
        boat: options.boat.clone(),
        polar: options.polar.clone(),
        tws_kn: options.tws_kn,
        twa_deg: options.twa_deg,
        hs_m: options.hs_m,
        tp_s: options.tp_s,
        off_wind_deg: options.off_wind_deg,
        kind: options.kind,
        regular: options.regular,
        body: options.body,
        duration_s: options.duration_s,
        dt_s: options.dt_s,
        seed: options.seed,
        seeds: options.seeds,
        without_foil: options.without_foil.clone(),
    }
}
