//! Panels over the same time, one above the other: sizes, axes, levels, and colours for paper and the dark.

use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use roughwater::base::{Error, Result};
use roughwater::files::whole_file;
use std::path::Path;

/// Drawn at this multiple of its size, since places are whole numbers, and shown at its size.
pub(super) const SCALE: u32 = 2;
pub(super) const WIDTH: u32 = 1100 * SCALE;
const LABEL_WIDTH: u32 = 64 * SCALE;
/// Room at the right for words.
pub(super) const MARGIN: u32 = 120 * SCALE;
/// Room above a panel for its name, and below one without times.
const TOP: u32 = 30 * SCALE;
const BOTTOM: u32 = 6 * SCALE;
/// Room below a panel for times.
const TIMES: u32 = 42 * SCALE;
pub(super) const SMALL: u32 = 15 * SCALE;
const THIN: u32 = SCALE;
pub(super) const LINE: u32 = 2 * SCALE;
pub(super) const BOLD: u32 = 3 * SCALE;

// the colours of paper; those of the dark are in STYLE
pub(super) const PAPER: RGBColor = RGBColor(255, 255, 255);
pub(super) const INK: RGBColor = RGBColor(34, 34, 34);
const GRID: RGBColor = RGBColor(221, 221, 221);
pub(super) const WAVE: RGBColor = RGBColor(31, 119, 180);
pub(super) const SPEED: RGBColor = RGBColor(180, 60, 20);
pub(super) const FOIL: RGBColor = RGBColor(90, 60, 150);
pub(super) const FALLEN: RGBColor = RGBColor(250, 214, 165);
pub(super) const WATER: RGBColor = RGBColor(20, 120, 110);

/// In the dark the same marks in lighter colours on a dark ground.
const STYLE: &str = "<style>text{font-family:system-ui,sans-serif}\
@media (prefers-color-scheme:dark){\
[fill=\"#FFFFFF\"]{fill:#12161b}[fill=\"#222222\"]{fill:#e8e8e8}[stroke=\"#222222\"]{stroke:#e8e8e8}\
[stroke=\"#DDDDDD\"]{stroke:#39424c}[stroke=\"#1F77B4\"]{stroke:#6db6ee}[fill=\"#1F77B4\"]{fill:#6db6ee}\
[stroke=\"#B43C14\"]{stroke:#ff9d73}[fill=\"#B43C14\"]{fill:#ff9d73}[stroke=\"#5A3C96\"]{stroke:#bfa6ff}\
[fill=\"#FAD6A5\"]{fill:#5a4420}[stroke=\"#14786E\"]{stroke:#58d0c0}[fill=\"#14786E\"]{fill:#58d0c0}}</style>";

pub(super) type Canvas<'c> = DrawingArea<SVGBackend<'c>, plotters::coord::Shift>;
pub(super) type Drawn = std::result::Result<(), Box<dyn std::error::Error>>;
pub(super) type Chart<'a, 'c> = ChartContext<'a, SVGBackend<'c>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;

/// A picture of this height as a file; `draw` gets the whole of it.
pub(super) fn write(path: &Path, height: u32, draw: impl FnOnce(&Canvas) -> Drawn) -> Result<()> {
    let mut svg = String::new();
    drawn(&mut svg, height, draw)
        .map_err(|error| Error::new(format!("cannot draw the trace: {error}")).file(path))?;
    let shown = format!("width=\"{}\" height=\"{}\"", WIDTH / SCALE, height / SCALE);
    let svg = svg.replacen(&format!("width=\"{WIDTH}\" height=\"{height}\""), &shown, 1);
    let styled = svg.replacen('>', &format!(">\n{STYLE}"), 1);
    whole_file::write("the plot", path, styled.as_bytes())
}

fn drawn(svg: &mut String, height: u32, draw: impl FnOnce(&Canvas) -> Drawn) -> Drawn {
    let root = SVGBackend::with_string(svg, (WIDTH, height)).into_drawing_area();
    root.fill(&PAPER)?;
    draw(&root)?;
    root.present()?;
    Ok(())
}

/// Words above the panels, from the left.
pub(super) fn heading(area: &Canvas, words: &str, size: u32, ink: RGBColor, below: u32) -> Drawn {
    let font = ("sans-serif", size * SCALE).into_font().color(&ink);
    area.draw_text(words, &font, (LABEL_WIDTH as i32, (below * SCALE) as i32))?;
    Ok(())
}

/// A dashed line at a height.
pub(super) fn level(
    start: f64,
    end: f64,
    height: f64,
) -> DashedLineSeries<std::array::IntoIter<(f64, f64), 2>, u32> {
    let style = ShapeStyle { color: INK.to_rgba(), filled: false, stroke_width: THIN };
    DashedLineSeries::new([(start, height), (end, height)], 7 * SCALE, 5 * SCALE, style)
}

/// Words to the right of a panel without times at a height between its ends.
pub(super) fn label(panel: &Canvas, [lowest, highest]: [f64; 2], height: f64, words: String) -> Drawn {
    let inner = f64::from(panel.dim_in_pixel().1 - TOP - BOTTOM);
    let y = f64::from(TOP) + inner * (highest - height) / (highest - lowest);
    beside(panel, y as i32, words, INK)
}

/// Words to the right of a panel, so many of its pixels from its top.
pub(super) fn beside(panel: &Canvas, y: i32, words: String, ink: RGBColor) -> Drawn {
    let style = ("sans-serif", SMALL).into_font().color(&ink).pos(Pos::new(HPos::Left, VPos::Center));
    let place = ((panel.dim_in_pixel().0 - MARGIN + 8 * SCALE) as i32, y);
    panel.draw(&Text::new(words, place, style))?;
    Ok(())
}

/// A panel with its axes; the lowest one tells the time.
pub(super) fn chart<'a, 'c>(
    panel: &'a Canvas<'c>,
    name: &str,
    (start, end): (f64, f64),
    lowest: f64,
    highest: f64,
    times: bool,
) -> std::result::Result<Chart<'a, 'c>, Box<dyn std::error::Error>> {
    let place = (LABEL_WIDTH as i32, 8 * SCALE as i32);
    panel.draw_text(name, &("sans-serif", 17 * SCALE).into_font().color(&INK), place)?;
    let mut chart = ChartBuilder::on(panel)
        .margin_top(TOP)
        .margin_right(MARGIN)
        .y_label_area_size(LABEL_WIDTH)
        .x_label_area_size(if times { TIMES } else { BOTTOM })
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
