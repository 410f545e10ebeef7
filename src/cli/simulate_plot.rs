//! A trace drawn: waves, speed, flight and water on deck over the same time.

use crate::cli::panels::{
    BOLD, Canvas, Drawn, FALLEN, FOIL, INK, LINE, SCALE, SPEED, WATER, WAVE, chart, heading, label, level,
    write as written,
};
use plotters::prelude::*;
use roughwater::base::Result;
use roughwater::derate::Performance;
use roughwater::simulate::{Setting, Simulated, TraceRow};
use std::path::Path;

/// Time that is drawn, s.
const DRAWN_S: f64 = 120.0;
const HEIGHT: u32 = 900 * SCALE;
const TITLE_HEIGHT: u32 = 46 * SCALE;

/// What is drawn, in words.
pub(super) fn title(performance: &Performance, setting: &Setting) -> String {
    format!("{}: TWS {} kn, TWA {}°", performance.tables.model.boat.name, setting.tws_kn, setting.twa_deg)
}

/// Draws a trace into a file.
pub(super) fn write(
    path: &Path,
    title: &str,
    trace: &[TraceRow],
    answer: &Simulated,
    stall_deg: Option<f64>,
) -> Result<()> {
    written(path, HEIGHT, |root| draw(root, title, liveliest(trace), answer, stall_deg))
}

/// The part of a trace in which speed ranges furthest.
fn liveliest(trace: &[TraceRow]) -> &[TraceRow] {
    let end_of = |start: usize| {
        start + trace[start..].partition_point(|row| row.time_s <= trace[start].time_s + DRAWN_S)
    };
    let last_start =
        trace.partition_point(|row| row.time_s + DRAWN_S <= trace.last().map_or(0.0, |last| last.time_s));
    let range = |start: &usize| {
        let rows = &trace[*start..end_of(*start)];
        let speeds = || rows.iter().map(|row| row.speed_kn);
        speeds().fold(f64::NEG_INFINITY, f64::max) - speeds().fold(f64::INFINITY, f64::min)
    };
    let every = (trace.len() / 400).max(1);
    let start =
        (0..last_start.max(1)).step_by(every).max_by(|a, b| range(a).total_cmp(&range(b))).unwrap_or(0);
    &trace[start..end_of(start)]
}

fn draw(root: &Canvas, title: &str, rows: &[TraceRow], answer: &Simulated, stall_deg: Option<f64>) -> Drawn {
    let (head, body) = root.split_vertically(TITLE_HEIGHT);
    heading(&head, title, 22, INK, 12)?;
    let flies = rows.iter().any(|row| row.foil_angle_deg.is_some());
    let heights: &[u32] = if flies { &[22, 52, 76] } else { &[26, 68] };
    let body_height = HEIGHT - TITLE_HEIGHT;
    let breaks: Vec<i32> = heights.iter().map(|part| (body_height * part / 100) as i32).collect();
    let panels = body.split_by_breakpoints(Vec::<i32>::new(), breaks);
    waves(&panels[0], rows)?;
    speed(&panels[1], rows, answer)?;
    if flies {
        flight(&panels[2], rows, stall_deg)?;
    }
    water(&panels[panels.len() - 1], rows)
}

fn waves(panel: &Canvas, rows: &[TraceRow]) -> Drawn {
    let highest = rows.iter().map(|row| row.bow_wave_m.abs()).fold(0.5, f64::max) * 1.15;
    let mut chart = chart(panel, "Wave at the bow, m", ends(rows), -highest, highest, false)?;
    let points = rows.iter().map(|row| (row.time_s, row.bow_wave_m));
    chart.draw_series(
        AreaSeries::new(points, -highest, WAVE.mix(0.25)).border_style(WAVE.stroke_width(LINE)),
    )?;
    Ok(())
}

fn speed(panel: &Canvas, rows: &[TraceRow], answer: &Simulated) -> Drawn {
    let speeds = || rows.iter().map(|row| row.speed_kn).chain([answer.flat_kn, answer.mean_kn]);
    let lowest = (speeds().fold(f64::INFINITY, f64::min) - 0.8).max(0.0).floor();
    let highest = (speeds().fold(0.0, f64::max) + 0.8).ceil();
    let mut chart = chart(panel, "Speed, kn", ends(rows), lowest, highest, false)?;
    let (start, end) = ends(rows);
    let fallen =
        fallen(rows).map(|(from, to)| Rectangle::new([(from, lowest), (to, highest)], FALLEN.filled()));
    chart.draw_series(fallen)?;
    let room = 0.09 * (highest - lowest);
    let apart = answer.mean_kn - answer.flat_kn;
    let pushed = if apart.abs() < room { 0.5 * (room - apart.abs()).copysign(apart) } else { 0.0 };
    for (level_kn, name, by) in [(answer.flat_kn, "flat", -pushed), (answer.mean_kn, "mean", pushed)] {
        chart.draw_series(level(start, end, level_kn))?;
        label(panel, [lowest, highest], level_kn + by, format!("{name} {level_kn:.1} kn"))?;
    }
    chart.draw_series(LineSeries::new(
        rows.iter().map(|row| (row.time_s, row.speed_kn)),
        SPEED.stroke_width(BOLD),
    ))?;
    Ok(())
}

fn flight(panel: &Canvas, rows: &[TraceRow], stall_deg: Option<f64>) -> Drawn {
    let angles = || rows.iter().filter_map(|row| row.foil_angle_deg);
    let limit = stall_deg.unwrap_or(10.0);
    let lowest = angles().fold(0.0, f64::min).min(-1.0) - 1.0;
    let highest = angles().fold(limit, f64::max) + 1.5;
    let mut chart =
        chart(panel, "Foil's angle, deg (shaded: off her foils)", ends(rows), lowest, highest, false)?;
    let (start, end) = ends(rows);
    let shade =
        fallen(rows).map(|(from, to)| Rectangle::new([(from, lowest), (to, highest)], FALLEN.filled()));
    chart.draw_series(shade)?;
    if stall_deg.is_some() {
        chart.draw_series(level(start, end, limit))?;
        label(panel, [lowest, highest], limit, "stalls".to_owned())?;
    }
    for part in rows.chunk_by(|a, b| a.flying == b.flying).filter(|part| part[0].flying) {
        let points = part.iter().filter_map(|row| Some((row.time_s, row.foil_angle_deg?)));
        chart.draw_series(LineSeries::new(points, FOIL.stroke_width(LINE)))?;
    }
    Ok(())
}

fn water(panel: &Canvas, rows: &[TraceRow]) -> Drawn {
    let highest = rows.iter().map(|row| row.deck_water_kg).fold(100.0, f64::max) * 1.15;
    let mut chart = chart(panel, "Water on deck, kg", ends(rows), 0.0, highest, true)?;
    let points = rows.iter().map(|row| (row.time_s, row.deck_water_kg));
    chart.draw_series(AreaSeries::new(points, 0.0, WATER.mix(0.3)).border_style(WATER.stroke_width(LINE)))?;
    Ok(())
}

fn ends(rows: &[TraceRow]) -> (f64, f64) {
    let start = rows.first().map_or(0.0, |row| row.time_s);
    let end = rows.last().map_or(1.0, |row| row.time_s);
    (start, end.max(start + 1e-3))
}

/// Times at which she is off her foils, of a boat that flies in between.
fn fallen(rows: &[TraceRow]) -> impl Iterator<Item = (f64, f64)> + '_ {
    let flies = rows.iter().any(|row| row.flying);
    rows.chunk_by(|a, b| a.flying == b.flying)
        .filter(move |part| flies && !part[0].flying)
        .map(|part| (part[0].time_s, part[part.len() - 1].time_s))
}
