//! Counts and means over rows, and the answer in words.

use crate::result::audit::row::AuditRow;
use jiff::Timestamp;
use serde::Serialize;
use std::collections::BTreeSet;

/// Counts and means over some cells, each counted alike.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Stats {
    /// Number of cells.
    pub cells: usize,
    /// Cells with a factor: flat speed is above zero.
    pub sailed: usize,
    /// Cells that count as derated, see [`crate::result::audit::DERATED_BELOW`].
    pub derated: usize,
    factor_sum: f64,
    least: Option<f64>,
}

impl Stats {
    /// Adds a cell.
    pub fn add(&mut self, row: &AuditRow) {
        self.cells += 1;
        let Some(factor) = row.factor else { return };
        self.sailed += 1;
        self.derated += usize::from(row.derated());
        self.factor_sum += factor;
        self.least = Some(self.least.map_or(factor, |least| least.min(factor)));
    }

    /// Derated over sailed cells.
    pub fn share_derated(&self) -> Option<f64> {
        (self.sailed > 0).then(|| self.derated as f64 / self.sailed as f64)
    }

    /// Mean factor of the sailed cells.
    pub fn mean_factor(&self) -> Option<f64> {
        (self.sailed > 0).then(|| self.factor_sum / self.sailed as f64)
    }

    /// Least factor of the sailed cells.
    pub fn min_factor(&self) -> Option<f64> {
        self.least
    }
}

/// Which cells were derated, by how much and why.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AuditSummary {
    /// The answer in one sentence.
    pub words: String,
    /// Cells asked for.
    pub cells: usize,
    /// Those that she sails at all: flat speed is above zero.
    pub cells_with_speed: usize,
    /// Those that count as derated.
    pub derated: usize,
    /// Mean factor of all cells with speed.
    pub mean_factor: Option<f64>,
    /// Mean factor of the derated cells.
    pub mean_factor_derated: Option<f64>,
    /// Least factor.
    pub min_factor: Option<f64>,
    /// Derated cells by dominant stage, most frequent first.
    pub stages: Vec<(String, usize)>,
}

impl AuditSummary {
    /// Sums up rows; the first one is the most derated.
    pub fn of(rows: &[AuditRow]) -> Self {
        let (mut all, mut derated) = (Stats::default(), Stats::default());
        let mut stages: Vec<(String, usize)> = Vec::new();
        for row in rows {
            all.add(row);
            if !row.derated() {
                continue;
            }
            derated.add(row);
            match stages.iter_mut().find(|(stage, _)| stage == row.dominant_stage()) {
                Some((_, count)) => *count += 1,
                None => stages.push((row.dominant_stage().to_owned(), 1)),
            }
        }
        stages.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
        Self {
            words: words(rows, &all, &derated, &stages),
            cells: all.cells,
            cells_with_speed: all.sailed,
            derated: derated.cells,
            mean_factor: all.mean_factor(),
            mean_factor_derated: derated.mean_factor(),
            min_factor: all.min_factor(),
            stages,
        }
    }
}

fn words(rows: &[AuditRow], all: &Stats, derated: &Stats, stages: &[(String, usize)]) -> String {
    let still = all.cells - all.sailed;
    let still = match still {
        0 => String::new(),
        1 => " (1 more has no flat speed)".to_owned(),
        _ => format!(" ({still} more have no flat speed)"),
    };
    let (Some(mean), Some(worst)) = (derated.mean_factor(), rows.first()) else {
        return match all.cells {
            0 => "no cell matches".to_owned(),
            _ => format!("none of {} cells is derated{still}", all.sailed),
        };
    };
    format!(
        "{} of {} cells derated{still}: {}. By {:.1} % on average, {:.1} % at most ({}). {}.",
        derated.cells,
        all.sailed,
        extent(rows),
        100.0 * (1.0 - mean),
        100.0 * (1.0 - worst.factor.unwrap_or(1.0)),
        worst.words(),
        causes(stages, derated.cells)
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
