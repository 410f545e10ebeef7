//! What a finished job has to say, region by region.

use crate::base::Window;
use crate::base::units::m_s_to_kn;
use crate::derate::point_of_sailing::point_of_sailing;
use crate::derate::{PolarCell, Tack};
use crate::result::AuditPart;
use crate::run::made::{Made, parts};
use crate::split::ErrorLeft;
use crate::tally::Tally;
use serde::Serialize;
use std::collections::BTreeMap;

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
    /// True wind speed that 10 and 90 % of area and time stay below, kn.
    pub tws_kn: [f64; 2],
    /// Knots lost upwind, reaching and running, over the angles of [`crate::derate::point_of_sailing`], weighed as the mean factor; none
    /// where the polar has no speed there.
    pub lost_kn: [Option<f64>; 3],
    /// The stage that most of those knots are lost by, cell by cell; none where nothing is lost.
    pub dominant_stage: Option<&'static str>,
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
        tws_kn: winds_kn(part),
        lost_kn: [0, 1, 2].map(|point| {
            mean(&|cell| {
                (point_of_sailing(cell.twa_deg) == point && cell.flat_kn > 0.0).then(|| lost_kn(cell))
            })
        }),
        dominant_stage: most_lost_by(blowing()),
    }
}

fn lost_kn(cell: &PolarCell) -> f64 {
    cell.flat_kn - cell.corrected_kn
}

/// The stage that dominates in the cells that lose most knots together.
fn most_lost_by<'c>(cells: impl Iterator<Item = &'c PolarCell>) -> Option<&'static str> {
    let mut lost: BTreeMap<&'static str, f64> = BTreeMap::new();
    for cell in cells {
        if let Some(stage) = cell.dominant_stage() {
            *lost.entry(stage).or_default() += cell.wind_share * lost_kn(cell);
        }
    }
    lost.into_iter().max_by(|a, b| a.1.total_cmp(&b.1)).map(|(stage, _)| stage)
}

/// Winds that a tenth and nine tenths of the weight stay below, kn.
fn winds_kn(part: &AuditPart) -> [f64; 2] {
    let mut winds: Vec<(f64, f64)> =
        part.tally.seas().map(|(sea, weight)| (m_s_to_kn(sea.tws_m_s), weight)).collect();
    winds.sort_by(|a, b| a.0.total_cmp(&b.0));
    let all: f64 = winds.iter().map(|(_, weight)| weight).sum();
    [0.1, 0.9].map(|share| {
        let mut below = 0.0;
        let reached = winds.iter().find(|(_, weight)| {
            below += weight;
            below >= share * all
        });
        reached.or(winds.last()).map_or(0.0, |(tws_kn, _)| *tws_kn)
    })
}
