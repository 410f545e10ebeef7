//! A trace drawn: waves, speed, flight and water on deck over the same time.

use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use roughwater::base::{Error, Result};
use roughwater::derate::Performance;
use roughwater::files::whole_file;
use roughwater::simulate::{Setting, Simulated, TraceRow};
use std::path::Path;

/// Time that is drawn, s.
const DRAWN_S: f64 = 120.0;
/// Drawn at twice its size, since places are whole numbers, and shown at half.
const SCALE: u32 = 2;
const SIZE: (u32, u32) = (1100 * SCALE, 900 * SCALE);
const TITLE_HEIGHT: u32 = 46 * SCALE;
const LABEL_WIDTH: u32 = 64 * SCALE;
/// Room at the right for the names of levels.
const MARGIN: u32 = 120 * SCALE;
const SMALL: u32 = 15 * SCALE;
const THIN: u32 = SCALE;
const LINE: u32 = 2 * SCALE;
const BOLD: u32 = 3 * SCALE;

// the colours of paper; those of the dark are in STYLE
const PAPER: RGBColor = RGBColor(255, 255, 255);
const INK: RGBColor = RGBColor(34, 34, 34);
const GRID: RGBColor = RGBColor(221, 221, 221);
const WAVE: RGBColor = RGBColor(31, 119, 180);
const SPEED: RGBColor = RGBColor(180, 60, 20);
const FOIL: RGBColor = RGBColor(90, 60, 150);
const FALLEN: RGBColor = RGBColor(250, 214, 165);
const WATER: RGBColor = RGBColor(20, 120, 110);

/// In the dark the same marks in lighter colours on a dark ground.
const STYLE: &str = "<style>text{font-family:system-ui,sans-serif}\
@media (prefers-color-scheme:dark){\
[fill=\"#FFFFFF\"]{fill:#12161b}[fill=\"#222222\"]{fill:#e8e8e8}[stroke=\"#222222\"]{stroke:#e8e8e8}\
[stroke=\"#DDDDDD\"]{stroke:#39424c}[stroke=\"#1F77B4\"]{stroke:#6db6ee}[fill=\"#1F77B4\"]{fill:#6db6ee}\
[stroke=\"#B43C14\"]{stroke:#ff9d73}[stroke=\"#5A3C96\"]{stroke:#bfa6ff}[fill=\"#FAD6A5\"]{fill:#5a4420}\
[stroke=\"#14786E\"]{stroke:#58d0c0}[fill=\"#14786E\"]{fill:#58d0c0}}</style>";

type Canvas<'c> = DrawingArea<SVGBackend<'c>, plotters::coord::Shift>;
type Drawn = std::result::Result<(), Box<dyn std::error::Error>>;

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
    let mut svg = String::new();
    draw(&mut svg, title, liveliest(trace), answer, stall_deg)
        .map_err(|error| Error::new(format!("cannot draw the trace: {error}")).file(path))?;
    let shown = format!("width=\"{}\" height=\"{}\"", SIZE.0 / SCALE, SIZE.1 / SCALE);
    let svg = svg.replacen(&format!("width=\"{}\" height=\"{}\"", SIZE.0, SIZE.1), &shown, 1);
    let styled = svg.replacen('>', &format!(">\n{STYLE}"), 1);
    whole_file::write("the plot", path, styled.as_bytes())
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

fn draw(
    svg: &mut String,
    title: &str,
    rows: &[TraceRow],
    answer: &Simulated,
    stall_deg: Option<f64>,
) -> Drawn {
    let root = SVGBackend::with_string(svg, SIZE).into_drawing_area();
    root.fill(&PAPER)?;
    let (head, body) = root.split_vertically(TITLE_HEIGHT);
    head.draw_text(
        title,
        &("sans-serif", 22 * SCALE).into_font().color(&INK),
        (LABEL_WIDTH as i32, 12 * SCALE as i32),
    )?;
    let flies = rows.iter().any(|row| row.foil_angle_deg.is_some());
    let heights: &[u32] = if flies { &[22, 52, 76] } else { &[26, 68] };
    let body_height = SIZE.1 - TITLE_HEIGHT;
    let breaks: Vec<i32> = heights.iter().map(|part| (body_height * part / 100) as i32).collect();
    let panels = body.split_by_breakpoints(Vec::<i32>::new(), breaks);
    waves(&panels[0], rows)?;
    speed(&panels[1], rows, answer)?;
    if flies {
        flight(&panels[2], rows, stall_deg)?;
    }
    water(&panels[panels.len() - 1], rows)?;
    root.present()?;
    Ok(())
}

fn waves(panel: &Canvas, rows: &[TraceRow]) -> Drawn {
    let highest = rows.iter().map(|row| row.bow_wave_m.abs()).fold(0.5, f64::max) * 1.15;
    let mut chart = chart(panel, "Wave at the bow, m", rows, -highest, highest, false)?;
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
    let mut chart = chart(panel, "Speed, kn", rows, lowest, highest, false)?;
    let (start, end) = ends(rows);
    let fallen =
        fallen(rows).map(|(from, to)| Rectangle::new([(from, lowest), (to, highest)], FALLEN.filled()));
    chart.draw_series(fallen)?;
    let room = 0.09 * (highest - lowest);
    let apart = answer.mean_kn - answer.flat_kn;
    let pushed = if apart.abs() < room { 0.5 * (room - apart.abs()).copysign(apart) } else { 0.0 };
    for (level_kn, name, by) in [(answer.flat_kn, "flat", -pushed), (answer.mean_kn, "mean", pushed)] {
        chart.draw_series(level(start, end, level_kn))?;
        label(&mut chart, end, level_kn + by, format!("{name} {level_kn:.1} kn"))?;
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
    let mut chart = chart(panel, "Foil's angle, deg (shaded: off her foils)", rows, lowest, highest, false)?;
    let (start, end) = ends(rows);
    let shade =
        fallen(rows).map(|(from, to)| Rectangle::new([(from, lowest), (to, highest)], FALLEN.filled()));
    chart.draw_series(shade)?;
    if stall_deg.is_some() {
        chart.draw_series(level(start, end, limit))?;
        label(&mut chart, end, limit, "stalls".to_owned())?;
    }
    for part in rows.chunk_by(|a, b| a.flying == b.flying).filter(|part| part[0].flying) {
        let points = part.iter().filter_map(|row| Some((row.time_s, row.foil_angle_deg?)));
        chart.draw_series(LineSeries::new(points, FOIL.stroke_width(LINE)))?;
    }
    Ok(())
}

fn water(panel: &Canvas, rows: &[TraceRow]) -> Drawn {
    let highest = rows.iter().map(|row| row.deck_water_kg).fold(100.0, f64::max) * 1.15;
    let mut chart = chart(panel, "Water on deck, kg", rows, 0.0, highest, true)?;
    let points = rows.iter().map(|row| (row.time_s, row.deck_water_kg));
    chart.draw_series(AreaSeries::new(points, 0.0, WATER.mix(0.3)).border_style(WATER.stroke_width(LINE)))?;
    Ok(())
}

/// A dashed line at a height.
fn level(start: f64, end: f64, height: f64) -> DashedLineSeries<std::array::IntoIter<(f64, f64), 2>, u32> {
    let style = ShapeStyle { color: INK.to_rgba(), filled: false, stroke_width: THIN };
    DashedLineSeries::new([(start, height), (end, height)], 7 * SCALE, 5 * SCALE, style)
}

/// Words to the right of a panel at a height.
fn label(chart: &mut Chart, end: f64, height: f64, words: String) -> Drawn {
    let (x, y) = chart.backend_coord(&(end, height));
    let style = ("sans-serif", SMALL).into_font().color(&INK).pos(Pos::new(HPos::Left, VPos::Center));
    chart.plotting_area().strip_coord_spec().draw(&Text::new(words, (x + 8 * SCALE as i32, y), style))?;
    Ok(())
}

type Chart<'a, 'c> = ChartContext<'a, SVGBackend<'c>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;

/// A panel with its axes; the lowest one tells the time.
fn chart<'a, 'c>(
    panel: &'a Canvas<'c>,
    name: &str,
    rows: &[TraceRow],
    lowest: f64,
    highest: f64,
    times: bool,
) -> std::result::Result<Chart<'a, 'c>, Box<dyn std::error::Error>> {
    let (start, end) = ends(rows);
    let place = (LABEL_WIDTH as i32, 8 * SCALE as i32);
    panel.draw_text(name, &("sans-serif", 17 * SCALE).into_font().color(&INK), place)?;
    let mut chart = ChartBuilder::on(panel)
        .margin_top(30 * SCALE)
        .margin_right(MARGIN)
        .y_label_area_size(LABEL_WIDTH)
        .x_label_area_size(if times { 42 * SCALE } else { 6 * SCALE })
        .build_cartesian_2d(start..end, lowest..highest)?;
    chart
        .configure_mesh()
        .axis_style(INK)
        .bold_line_style(GRID)
        .light_line_style(TRANSPARENT)
        .label_style(("sans-serif", SMALL).into_font().color(&INK))
        .x_labels(if times { 13 } else { 0 })
        .y_labels(5)
        .x_desc(if times { "time, s" } else { "" })
        .x_label_formatter(&|time| format!("{time:.0}"))
        .y_label_formatter(&|value| format!("{value}"))
        .draw()?;
    Ok(chart)
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
