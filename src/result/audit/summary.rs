//! Counts and means over rows.

use crate::result::audit::row::AuditRow;
use serde::Serialize;

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
