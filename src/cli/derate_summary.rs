//! What `derate` made, as tables and JSON.

use crate::cli::print::{PLANNING_AID, plain_table};
use comfy_table::Table;
use roughwater::files::shortest;
use roughwater::run::Summary;
use roughwater::split::ErrorLeft;
use serde_json::{Value, json};
use std::path::Path;

/// For reading.
pub(super) fn text(summary: &Summary, output: &Path) -> String {
    let mut text = format!("{}\n\n", parts(summary));
    text += &format!(
        "{} corrected polars in {}, from {} sea states in {} bins\n",
        summary.polars,
        shortest(output).display(),
        summary.sea_states,
        summary.bins
    );
    text += &errors_left(&summary.errors_left);
    for (label, lines) in [("note", &summary.warnings), ("gap", &summary.gaps)] {
        for line in lines {
            text += &format!("{label}: {line}\n");
        }
    }
    text + PLANNING_AID + "\n"
}

/// A row for every region and window.
fn parts(summary: &Summary) -> Table {
    let mut table = plain_table([
        "region",
        "from (UTC)",
        "Hs m",
        "mean factor",
        "most derated cell in its winds",
        "factor",
        "mostly by",
    ]);
    for part in &summary.parts {
        let (cell, factor, stage) = match &part.worst {
            Some(worst) => (
                format!("{} TWS {} kn TWA {}", worst.tack.name(), worst.tws_kn, worst.twa_deg),
                format!("{:.3}", worst.factor),
                worst.dominant_stage.replace('_', " "),
            ),
            None => Default::default(),
        };
        let start = part.window.start.strftime("%Y-%m-%d %H:%M").to_string();
        let hs = format!("{:.2}", part.hs_m);
        let mean = format!("{:.3}", part.mean_factor);
        table.add_row([part.region.clone(), start, hs, mean, cell, factor, stage]);
    }
    table
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
