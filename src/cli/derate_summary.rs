//! What `derate` made, as tables and JSON.

use crate::cli::print::{PLANNING_AID, plain_table};
use crate::cli::width::wrapped;
use roughwater::derate::point_of_sailing::POINTS_OF_SAILING_DEG;
use roughwater::files::shortest;
use roughwater::result::names::REPORT;
use roughwater::run::{PartSummary, Summary, WorstCell};
use roughwater::split::ErrorLeft;
use serde_json::{Value, json};
use std::path::Path;

/// From so many columns on, what to look at has a column of its own.
const WIDE_COLUMNS: usize = 120;

/// For reading, in so many columns.
pub(super) fn text(summary: &Summary, output: &Path, columns: usize) -> String {
    let output = shortest(output);
    let mut text = parts(summary, columns);
    text += &format!(
        "{} corrected polars in {}, from {} sea states in {} bins\n",
        summary.polars,
        output.display(),
        summary.sea_states,
        summary.bins
    );
    text += &errors_left(&summary.errors_left);
    for (label, lines) in [("note", &summary.warnings), ("gap", &summary.gaps)] {
        for line in lines {
            text += &(wrapped(&format!("{label}: {line}"), columns, 2) + "\n");
        }
    }
    if let Some(question) = worst(summary).and_then(|part| explained(part, &output)) {
        text += &(wrapped(&format!("why there: {question}"), columns, 2) + "\n");
    }
    text += &format!("to look at: {}\n", output.join(REPORT).display());
    text + PLANNING_AID + "\n"
}

/// A block for each region, a line for each of its windows, and what to look at.
fn parts(summary: &Summary, columns: usize) -> String {
    let [upwind, reaching] = POINTS_OF_SAILING_DEG;
    let is_wide = columns >= WIDE_COLUMNS;
    let mut text = String::new();
    for region in summary.parts.chunk_by(|a, b| a.region == b.region) {
        text += &format!("{}\n", region[0].region);
        text += &format!("{}{}\n", HEADER, if is_wide { "  look at" } else { "" });
        for part in region {
            text += &line(part);
            if let Some(worst) = part.worst.as_ref().filter(|_| is_wide) {
                text += &format!("  {}", cell(worst));
            }
            text.truncate(text.trim_end().len());
            text.push('\n');
        }
        let worst =
            region.iter().filter(|part| part.worst.is_some()).min_by(|a, b| factor(a).total_cmp(&factor(b)));
        if let Some((part, worst)) =
            worst.filter(|_| !is_wide).and_then(|part| Some((part, part.worst.as_ref()?)))
        {
            text += &(wrapped(&format!("  look at: {}, {}", start(part), cell(worst)), columns, 4) + "\n");
        }
        text.push('\n');
    }
    let legend = format!(
        "wind: what 10 and 90 % of the sea has less than, kn; upwind, reach and run: knots lost at TWA up to {upwind}, up to \
         {reaching} and beyond, in the winds that blow; stops: share of the sea that stops her\n"
    );
    text + &wrapped(&legend, columns, 0)
}

const HEADER: &str = "  from (UTC)    Hs m  wind kn  upwind   reach     run  mostly by         stops";

/// A window in 78 columns.
fn line(part: &PartSummary) -> String {
    let [low, high] = part.tws_kn.map(f64::round);
    let lost =
        part.lost_kn.map(|lost| lost.map_or_else(|| "-".to_owned(), |lost| format!("{:.2}", lost + 0.0)));
    format!(
        "  {:<12}  {:>4.1}  {:>7}  {:>6}  {:>6}  {:>6}  {:<16}  {:>5}",
        start(part),
        part.hs_m,
        format!("{low}-{high}"),
        lost[0],
        lost[1],
        lost[2],
        part.dominant_stage.unwrap_or("-").replace('_', " "),
        format!("{:.0} %", 100.0 * part.stopped_share),
    )
}

fn start(part: &PartSummary) -> String {
    part.window.start.strftime("%d %b %H:%M").to_string()
}

fn cell(worst: &WorstCell) -> String {
    let lost = worst.dominant_stage.replace('_', " ");
    format!(
        "{} tack, TWS {} kn, TWA {}: {:.2} of flat, by {lost}",
        worst.tack.name(),
        worst.tws_kn,
        worst.twa_deg,
        worst.factor
    )
}

fn factor(part: &PartSummary) -> f64 {
    part.worst.as_ref().map_or(f64::INFINITY, |worst| worst.factor)
}

/// The region and window with the most derated cell.
fn worst(summary: &Summary) -> Option<&PartSummary> {
    summary.parts.iter().filter(|part| part.worst.is_some()).min_by(|a, b| factor(a).total_cmp(&factor(b)))
}

/// The command that takes a part's most derated cell apart.
fn explained(part: &PartSummary, output: &Path) -> Option<String> {
    let worst = part.worst.as_ref()?;
    Some(format!(
        "roughwater audit explain {} \"{}\" {} {} --window {}",
        output.display(),
        part.region,
        worst.tws_kn,
        worst.tack.signed(worst.twa_deg),
        part.window.start.strftime("%Y-%m-%dT%H:%M")
    ))
}

/// How far joined tiles and windows lie from the polar they share.
fn errors_left(errors: &[ErrorLeft]) -> String {
    if errors.is_empty() {
        return String::new();
    }
    let mut table = plain_table([
        "joined region",
        "from (UTC)",
        "parts",
        "rms kn",
        "furthest part rms kn",
        "largest cell kn",
        "all winds: rms kn",
        "largest cell kn",
    ]);
    for left in errors {
        let speed = |kn: f64| format!("{kn:.3}");
        table.add_row([
            left.region.clone(),
            left.window_start.to_string(),
            left.parts.to_string(),
            speed(left.rms_kn),
            speed(left.furthest_part_rms_kn),
            speed(left.largest_kn),
            speed(left.all_columns_rms_kn),
            speed(left.all_columns_largest_kn),
        ]);
    }
    format!(
        "\nerror left within each group, in the winds that blow in a part, by how often they do; beside it in all winds:\n\
         {table}\n"
    )
}

/// For programs.
pub(super) fn as_json(summary: &Summary, output: &Path) -> Value {
    let parts: Vec<_> = summary
        .parts
        .iter()
        .map(|part| {
            json!({
                "region": part.region,
                "window_start": part.window.start.to_string(),
                "window_end": part.window.end.to_string(),
                "hs_m": part.hs_m,
                "mean_factor": part.mean_factor,
                "most_derated": part.worst,
                "stopped_share": part.stopped_share,
                "tws_p10_kn": part.tws_kn[0],
                "tws_p90_kn": part.tws_kn[1],
                "lost_upwind_kn": part.lost_kn[0],
                "lost_reaching_kn": part.lost_kn[1],
                "lost_running_kn": part.lost_kn[2],
                "dominant_stage": part.dominant_stage,
            })
        })
        .collect();
    json!({
        "output": output.display().to_string(),
        "polars": summary.polars,
        "sea_states": summary.sea_states,
        "tally_bins": summary.bins,
        "cell_audit_rows": summary.audited_cells,
        "parts": parts,
        "errors_left": summary.errors_left,
        "warnings": summary.warnings,
        "gaps": summary.gaps,
    })
}
