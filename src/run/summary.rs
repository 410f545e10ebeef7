//! What a finished job has to say, region by region.

use crate::base::Window;
use crate::derate::{PolarCell, Tack};
use crate::result::AuditPart;
use crate::run::made::{Made, parts};
use crate::split::ErrorLeft;
use crate::tally::Tally;
use serde::Serialize;

/// What a finished job has to say.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// Polar files written.
    pub polars: usize,
    /// Sea states tallied.
    pub sea_states: u64,
    /// Bins they fell into.
    pub bins: usize,
    /// Rows of the cell audit.
    pub audited_cells: u64,
    /// Things to know.
    pub warnings: Vec<String>,
    /// Declared gaps.
    pub gaps: Vec<String>,
    /// Mean factor over the cells of each region and window.
    pub parts: Vec<PartSummary>,
    /// Where regions or windows were joined: how far each lies from the polar it shares.
    pub errors_left: Vec<ErrorLeft>,
}

/// One region and window in a line.
#[derive(Debug, Clone, PartialEq)]
pub struct PartSummary {
    /// The region's name.
    pub region: String,
    /// Its window.
    pub window: Window,
    /// Significant height of the sea, root mean square over area and time, m.
    pub hs_m: f64,
    /// Mean corrected over flat speed over the polar's angles, its columns weighed by how much they blow.
    pub mean_factor: f64,
    /// Mean share of area and time whose seas stop her, weighed alike.
    pub stopped_share: f64,
    /// The cell that loses most, of the winds that blow there.
    pub worst: Option<WorstCell>,
}

/// The cell of a polar that loses most.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WorstCell {
    /// Its tack.
    pub tack: Tack,
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// True wind angle, 0 to 180 degrees.
    pub twa_deg: f64,
    /// Corrected over flat speed.
    pub factor: f64,
    /// The stage that takes most, or `none`.
    pub dominant_stage: &'static str,
}

/// Sums a job up; `audited_cells` are the rows of its cell audit.
pub(super) fn summary(warnings: Vec<String>, gaps: Vec<String>, made: Made, audited_cells: u64) -> Summary {
    let tallies = || made.all.iter().map(|part| &part.tallied.tally);
    Summary {
        polars: made.all.len() + made.of_members.iter().map(|(_, parts)| parts.len()).sum::<usize>(),
        sea_states: tallies().map(Tally::count).sum(),
        bins: tallies().map(Tally::bin_count).sum(),
        audited_cells,
        warnings,
        gaps,
        parts: parts(&made.all).map(|part| part_summary(&part)).collect(),
        errors_left: made.errors_left,
    }
}

pub(super) fn part_summary(part: &AuditPart) -> PartSummary {
    let blowing = || part.cells.iter().filter(|cell| cell.wind_share > 0.0);
    let mean = |of: &dyn Fn(&PolarCell) -> Option<f64>| {
        let values = blowing().filter_map(|cell| of(cell).map(|value| (value, cell.wind_share)));
        let (sum, weight) = values.fold((0.0, 0.0), |(sum, weight), (v, w)| (sum + v * w, weight + w));
        (weight > 0.0).then(|| sum / weight)
    };
    let worst = blowing()
        .filter_map(|cell| cell.factor().map(|factor| (cell, factor)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(cell, factor)| WorstCell {
            tack: cell.tack,
            tws_kn: cell.tws_kn,
            twa_deg: cell.twa_deg,
            factor,
            dominant_stage: cell.dominant_stage().unwrap_or("none"),
        });
    let weight: f64 = part.tally.seas().map(|(_, weight)| weight).sum();
    let hs2: f64 = part.tally.seas().map(|(sea, weight)| weight * sea.hs_m().powi(2)).sum();
    PartSummary {
        region: part.region.to_owned(),
        window: part.window,
        hs_m: (hs2 / weight).sqrt(),
        mean_factor: mean(&PolarCell::factor).unwrap_or(1.0),
        stopped_share: mean(&|cell| cell.factor().map(|_| cell.stopped_share)).unwrap_or(0.0),
        worst,
    }
}
