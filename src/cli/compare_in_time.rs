//! `compare --in-time`: two boats wave by wave through the same drawings of one sea.

use crate::cli::format::Format;
use crate::cli::print::{print, print_csv, print_json};
use crate::cli::same_waves::worst_together;
use crate::cli::simulate::step;
use crate::cli::values::{number, positive};
use crate::cli::{compare_plot, frame_strip, paired_table};
use clap::Args;
use csv::Terminator;
use roughwater::base::Result;
use roughwater::derate::Performance;
use roughwater::files::whole_file;
use roughwater::run::{InTime, InTimeQuestion};
use roughwater::simulate::{Drawings, Paired, PairedFigure};
use serde::Serialize;
use std::path::PathBuf;

/// What only a comparison in time has.
#[derive(Debug, Args)]
pub(super) struct InTimeOptions {
    /// Sail both through the same drawings of the sea in time, with all of their hulls: speed, pitch, water, slams side by side,
    /// with the standard errors of their differences
    #[arg(long, requires_all = ["tws_kn", "twa_deg"], conflicts_with = "job")]
    pub(super) in_time: bool,
    /// With --in-time: true wind angle, degrees; with a minus sign on port tack
    #[arg(long, value_parser = number, allow_hyphen_values = true, requires = "in_time")]
    pub(super) twa_deg: Option<f64>,
    /// With --in-time: time that is counted in each drawing, s; two minutes before it are not
    #[arg(long, default_value_t = 600.0, value_parser = positive, allow_negative_numbers = true, requires = "in_time")]
    pub(super) duration_s: f64,
    /// With --in-time: step of time, s
    #[arg(long, default_value_t = 0.1, value_parser = step, allow_negative_numbers = true, requires = "in_time")]
    pub(super) dt_s: f64,
    /// With --in-time: seed of the first drawing
    #[arg(long, default_value_t = 1, requires = "in_time")]
    pub(super) seed: u64,
    /// With --in-time: number of drawings
    #[arg(long, default_value_t = 8, value_parser = clap::value_parser!(u64).range(1..=10_000), requires = "in_time")]
    pub(super) seeds: u64,
    /// With --in-time: draw both over the two minutes of the first drawing in which the water stands highest at a stem while they
    /// meet the same waves (SVG)
    #[arg(long, value_name = "FILE", requires = "in_time")]
    plot: Option<PathBuf>,
    /// With --in-time: draw six moments of that wave, both bows side by side (SVG)
    #[arg(long, value_name = "FILE", requires = "in_time")]
    frames: Option<PathBuf>,
}

/// The answer for programs.
#[derive(Serialize)]
struct Answer<'a> {
    a: &'a str,
    b: &'a str,
    tws_kn: f64,
    twa_deg: f64,
    duration_s: f64,
    seed: u64,
    seeds: u64,
    figures: &'a [PairedFigure],
}

/// Frames of a strip.
const FRAMES: usize = 6;
/// How far in time the same wave may be deepest over two stems, s.
const APART_S: f64 = 2.0;

/// Runs the comparison.
pub(super) fn run(options: &InTimeOptions, question: &InTimeQuestion, format: Format) -> Result<()> {
    let InTime { boats, both } = question.answer()?;
    let boats = [&boats[0], &boats[1]];
    let &InTimeQuestion { tws_kn, twa_deg, duration_s, seed, seeds, .. } = question;
    let off_bow_deg = (twa_deg + question.off_wind_deg + 180.0).rem_euclid(360.0) - 180.0;
    let what = format!(
        "TWS {tws_kn} kn, TWA {twa_deg}°, {} of {} m and {} s, {:.0}° off the bow",
        question.kind.name().replace('-', " "),
        question.hs_m,
        question.tp_s,
        off_bow_deg.abs()
    );
    draw(options, boats, &both, &what)?;
    let names = boats.map(|boat| boat.tables.model.boat.name.as_str());
    match format {
        Format::Text => {
            let drawings = if seeds == 1 { "drawing" } else { "drawings" };
            let long = format!("{what}; {seeds} {drawings} of {} min", duration_s / 60.0);
            print(&paired_table::text(names, &long, &both.figures))
        }
        Format::Json => print_json(&Answer {
            a: names[0],
            b: names[1],
            tws_kn,
            twa_deg,
            duration_s,
            seed,
            seeds,
            figures: &both.figures,
        }),
        Format::Csv => print_csv(
            Terminator::Any(b'\n'),
            &paired_table::COLUMNS,
            both.figures.iter().map(paired_table::record),
        ),
    }
}

fn draw(options: &InTimeOptions, boats: [&Performance; 2], both: &Paired, what: &str) -> Result<()> {
    if options.plot.is_none() && options.frames.is_none() {
        return Ok(());
    }
    let rows = worst_together(&both.a.trace, &both.b.trace);
    if let Some(path) = &options.plot {
        let sides = [(boats[0], &both.a), (boats[1], &both.b)].map(|(boat, drawings)| compare_plot::Side {
            name: &boat.tables.model.boat.name,
            rows: &drawings.trace[rows.clone()],
            stem_m: boat.tables.model.hull.decked().map_or(0.0, |decked| decked.stem_head_m()[1]),
        });
        compare_plot::write(path, what, &sides)?;
    }
    if let Some(path) = &options.frames {
        let times = &both.a.trace[rows];
        let ends = [times.first(), times.last()].map(|row| row.map_or(0.0, |row| row.time_s));
        let [a, b] = deepest_together([&both.a, &both.b], ends).map(|time_s| time_s.unwrap_or(ends[0]));
        let columns = [
            (&boats[0].tables.model, both.a.course.around(a, FRAMES)),
            (&boats[1].tables.model, both.b.course.around(b, FRAMES)),
        ]
        .map(|(model, frames)| (model.boat.name.as_str(), &model.hull, frames));
        whole_file::write("the frames", path, frame_strip::pair(what, &columns).as_bytes())?;
    }
    Ok(())
}

/// When the wave that comes deepest over either stem does so over each.
fn deepest_together(boats: [&Drawings; 2], within_s: [f64; 2]) -> [Option<f64>; 2] {
    let deepest = boats.iter().filter_map(|boat| boat.course.deepest(within_s));
    let Some(leads) = deepest.max_by(|x, y| x.over_stem_m.total_cmp(&y.over_stem_m)) else {
        return [None; 2];
    };
    let near = [leads.time_s - APART_S, leads.time_s + APART_S];
    boats.map(|boat| boat.course.deepest(near).map(|moment| moment.time_s))
}
