//! What an audit answers, in one sentence.

use jiff::Timestamp;
use roughwater::result::{AuditRow, AuditSummary};
use serde::Serialize;
use std::collections::BTreeSet;

/// The sentence with the numbers it is made of, for programs.
#[derive(Serialize)]
pub(super) struct Told<'a> {
    pub(super) words: String,
    #[serde(flatten)]
    pub(super) summary: &'a AuditSummary,
}

/// Which of some cells were derated, by how much and why; the first is the most derated.
pub(super) fn sentence(summary: &AuditSummary, rows: &[AuditRow]) -> String {
    let still = summary.cells - summary.cells_with_speed;
    let still = match still {
        0 => String::new(),
        1 => " (1 more has no flat speed)".to_owned(),
        _ => format!(" ({still} more have no flat speed)"),
    };
    let (Some(mean), Some(worst)) = (summary.mean_factor_derated, rows.first()) else {
        return match summary.cells {
            0 => "no cell matches".to_owned(),
            _ => format!("none of {} cells is derated{still}", summary.cells_with_speed),
        };
    };
    format!(
        "{} of {} cells derated{still}: {}. By {:.1} % on average, {:.1} % at most ({}). {}.",
        summary.derated,
        summary.cells_with_speed,
        extent(rows),
        100.0 * (1.0 - mean),
        100.0 * (1.0 - worst.factor.unwrap_or(1.0)),
        cell(worst),
        causes(&summary.stages, summary.derated)
    )
}

/// A cell in words.
fn cell(row: &AuditRow) -> String {
    let start = row.window.start.strftime("%Y-%m-%d %H:%M");
    format!(
        "{} tack, TWS {} kn, TWA {} in {} from {start} UTC",
        row.tack(),
        row.tws_kn,
        row.twa_deg,
        row.region()
    )
}

/// Where the derated cells lie, in words.
fn extent(rows: &[AuditRow]) -> String {
    let derated = || rows.iter().filter(|row| row.derated());
    let range = |value: fn(&AuditRow) -> f64| {
        let low = derated().map(value).fold(f64::INFINITY, f64::min);
        let high = derated().map(value).fold(f64::NEG_INFINITY, f64::max);
        if low == high { low.to_string() } else { format!("{low} to {high}") }
    };
    let tacks: BTreeSet<&str> = derated().map(AuditRow::tack).collect();
    let tacks = match tacks.first() {
        Some(tack) if tacks.len() == 1 => format!("{tack} tack"),
        _ => "both tacks".to_owned(),
    };
    let regions: BTreeSet<&str> = derated().map(AuditRow::region).collect();
    let regions = match regions.first() {
        Some(region) if regions.len() == 1 => (*region).to_owned(),
        _ => format!("{} regions", regions.len()),
    };
    let windows = derated().map(|row| row.window.start).collect::<BTreeSet<Timestamp>>().len();
    let windows = if windows == 1 { "1 window".to_owned() } else { format!("{windows} windows") };
    format!(
        "TWS {} kn, TWA {}, {tacks}, in {regions}, {windows}",
        range(|row| row.tws_kn),
        range(|row| row.twa_deg)
    )
}

fn causes(stages: &[(String, usize)], derated: usize) -> String {
    let share = |count: usize| 100.0 * count as f64 / derated as f64;
    let causes: Vec<String> = stages
        .iter()
        .map(|(stage, count)| {
            let stage = if stage == "none" { "no single cause" } else { stage };
            let share = match share(*count) {
                share if share < 1.0 => "under 1".to_owned(),
                share => format!("{share:.0}"),
            };
            format!("{} in {share} %", stage.replace('_', " "))
        })
        .collect();
    format!("Mostly by {}", causes.join(", "))
}
