//! Two boats over the same waves: wave, speed, pitch, water at the stem and on deck, acceleration and foil, panel by panel.

use crate::cli::panels::{
    BOLD, Canvas, Drawn, INK, LINE, SCALE, SPEED, WAVE, beside, chart, heading, label, level,
    write as written,
};
use plotters::prelude::*;
use roughwater::base::Result;
use roughwater::simulate::TraceRow;
use std::path::Path;

const HEADING: u32 = 104 * SCALE;
const PANEL: u32 = 158 * SCALE;
/// More of the lowest panel, for the times.
const TIMES: u32 = 36 * SCALE;
/// Of the first boat and of the second.
const INKS: [RGBColor; 2] = [WAVE, SPEED];
/// Where the words of each stand beside a panel, below its top.
const BESIDE: [i32; 2] = [78 * SCALE as i32, 102 * SCALE as i32];

/// One boat.
pub(super) struct Side<'s> {
    /// Her name.
    pub(super) name: &'s str,
    /// What is drawn of her trace.
    pub(super) rows: &'s [TraceRow],
    /// Height of her stem's deck above the waterline, m.
    pub(super) stem_m: f64,
}

/// What a panel shows.
struct Panel {
    name: &'static str,
    value: fn(&TraceRow) -> Option<f64>,
    /// What is said of each boat beside it.
    said: fn(&[f64]) -> String,
    /// The least range that is shown.
    least: [f64; 2],
    has_deck: bool,
}

const PANELS: [Panel; 7] = [
    Panel {
        name: "Wave at the bow, m",
        value: |row| Some(row.bow_wave_m),
        said: |values| format!("sd {:.2} m", sd(values)),
        least: [-0.5, 0.5],
        has_deck: false,
    },
    Panel {
        name: "Speed, kn",
        value: |row| Some(row.speed_kn),
        said: |values| format!("{:.1} ± {:.1} kn", mean(values), sd(values)),
        least: [f64::INFINITY, f64::NEG_INFINITY],
        has_deck: false,
    },
    Panel {
        name: "Pitch, bow down, degrees",
        value: |row| Some(row.pitch_deg),
        said: |values| format!("sd {:.1}°", sd(values)),
        least: [-1.0, 1.0],
        has_deck: false,
    },
    Panel {
        name: "Water at the stem over the waterline, m",
        value: |row| Some(row.bow_relative_m),
        said: |values| format!("most {:.1} m", most(values)),
        least: [-0.5, 0.5],
        has_deck: true,
    },
    Panel {
        name: "Water on deck, kg",
        value: |row| Some(row.deck_water_kg),
        said: |values| format!("most {:.0} kg", most(values)),
        least: [0.0, 50.0],
        has_deck: false,
    },
    Panel {
        name: "Vertical acceleration at the stem, g",
        value: |row| Some(row.bow_acceleration_g),
        said: |values| format!("rms {:.2} g", sd(values)),
        least: [-0.2, 0.2],
        has_deck: false,
    },
    Panel {
        name: "Foil's angle of attack, degrees",
        value: |row| row.foil_angle_deg,
        said: |values| format!("sd {:.1}°", sd(values)),
        least: [0.0, 2.0],
        has_deck: false,
    },
];

/// Draws both into a file.
pub(super) fn write(path: &Path, what: &str, sides: &[Side<'_>; 2]) -> Result<()> {
    let shown: Vec<&Panel> = PANELS
        .iter()
        .filter(|panel| sides.iter().any(|side| side.rows.iter().any(|row| (panel.value)(row).is_some())))
        .collect();
    let height = HEADING + PANEL * (shown.len() as u32 + 1) + TIMES;
    written(path, height, |root| {
        let (head, body) = root.split_vertically(HEADING);
        heading(&head, what, 20, INK, 10)?;
        for ((side, ink), (letter, below)) in sides.iter().zip(INKS).zip([("A", 44), ("B", 72)]) {
            heading(&head, &format!("{letter}  {}", side.name), 19, ink, below)?;
        }
        let breaks: Vec<i32> = (1..=shown.len()).map(|i| (PANEL * i as u32) as i32).collect();
        let areas = body.split_by_breakpoints(Vec::<i32>::new(), breaks);
        for (panel, area) in shown.iter().zip(&areas) {
            draw(panel, area, sides)?;
        }
        apart(&areas[shown.len()], sides)
    })
}

/// Speed of the second boat less that of the first: the lines of the two lie too near each other to show it.
fn apart(area: &Canvas, sides: &[Side<'_>; 2]) -> Drawn {
    let rows = sides[0].rows.iter().zip(sides[1].rows);
    let points: Vec<(f64, f64)> = rows.map(|(a, b)| (a.time_s, b.speed_kn - a.speed_kn)).collect();
    let values: Vec<f64> = points.iter().map(|point| point.1).collect();
    let reach = values.iter().map(|value| value.abs()).fold(0.1, f64::max) * 1.15;
    let ends = ends(sides);
    let mut chart = chart(area, "Speed of B less that of A, kn", ends, -reach, reach, true)?;
    chart.draw_series(level(ends.0, ends.1, 0.0))?;
    chart.draw_series(LineSeries::new(points, INK.stroke_width(LINE)))?;
    beside(area, BESIDE[0], format!("mean {:+.2} kn", mean(&values)), INK)
}

fn draw(panel: &Panel, area: &Canvas, sides: &[Side<'_>; 2]) -> Drawn {
    let values = |side: &Side<'_>| side.rows.iter().filter_map(panel.value).collect::<Vec<f64>>();
    let all: Vec<f64> = sides.iter().flat_map(values).collect();
    let decks: Vec<f64> =
        if panel.has_deck { sides.iter().map(|side| side.stem_m).collect() } else { vec![] };
    let marks = || all.iter().chain(&decks);
    let least = marks().copied().fold(panel.least[0], f64::min);
    let most = marks().copied().fold(panel.least[1], f64::max);
    let room = 0.08 * (most - least).max(0.1);
    let low = if panel.least[0] == 0.0 && least >= 0.0 { 0.0 } else { least - room };
    let range = [low, most + room];
    let ends = ends(sides);
    let mut chart = chart(area, panel.name, ends, range[0], range[1], false)?;
    for (i, deck) in decks.iter().enumerate() {
        // one line for both where they are as high
        if i == 0 || (deck - decks[0]).abs() > 0.02 {
            chart.draw_series(level(ends.0, ends.1, *deck))?;
            label(area, range, *deck, if i == 0 { "deck".to_owned() } else { "deck of B".to_owned() })?;
        }
    }
    for ((side, ink), width) in sides.iter().zip(INKS).zip([BOLD, LINE]) {
        // a foil that carries nothing has no angle: the line breaks
        for part in side.rows.chunk_by(|a, b| (panel.value)(a).is_some() == (panel.value)(b).is_some()) {
            let points = part.iter().filter_map(|row| Some((row.time_s, (panel.value)(row)?)));
            chart.draw_series(LineSeries::new(points, ink.stroke_width(width)))?;
        }
    }
    for (((side, ink), letter), y) in sides.iter().zip(INKS).zip(["A", "B"]).zip(BESIDE) {
        let own = values(side);
        if !own.is_empty() {
            beside(area, y, format!("{letter} {}", (panel.said)(&own)), ink)?;
        }
    }
    Ok(())
}

fn ends(sides: &[Side<'_>; 2]) -> (f64, f64) {
    let rows = sides[0].rows;
    let start = rows.first().map_or(0.0, |row| row.time_s);
    let end = rows.last().map_or(1.0, |row| row.time_s);
    (start, end.max(start + 1e-3))
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn sd(values: &[f64]) -> f64 {
    let mean = mean(values);
    (values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / values.len() as f64).sqrt()
}

fn most(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::NEG_INFINITY, f64::max)
}
