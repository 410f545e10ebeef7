//! A passage as rows of a CSV.

use crate::cli::passage_words::{fixed, seconds};
use jiff::Timestamp;
use roughwater::base::Result;
use roughwater::base::units::NAUTICAL_MILE_M;
use roughwater::passage::sailed_leg::legs;
use roughwater::passage::{Passage, SailedLeg, Setting};

/// The columns; `flat_nm` and `corrected_nm` tell what was sailed where a leg was not finished.
pub(super) const COLUMNS: [&str; COUNT] = [
    "start",
    "leg",
    "from_lat_deg",
    "from_lon_deg",
    "to_lat_deg",
    "to_lon_deg",
    "course_deg",
    "distance_nm",
    "flat_nm",
    "flat_h",
    "flat_kn",
    "flat_arrival",
    "corrected_nm",
    "corrected_h",
    "corrected_kn",
    "corrected_arrival",
    "cost_h",
    "flat_tws_kn",
    "corrected_tws_kn",
    "beating_h",
    "gybing_h",
    "regions",
    "gaps",
    "same_wind_cost_h",
];

const COUNT: usize = 24;

/// A row for each departure and leg.
pub(super) fn records(setting: &Setting, passages: &[Passage]) -> Result<Vec<[String; COUNT]>> {
    let mut records = Vec::new();
    for passage in passages {
        let legs = legs(setting, passage)?;
        records.extend(legs.iter().enumerate().map(|(number, leg)| record(passage, number, leg)));
    }
    Ok(records)
}

fn record(passage: &Passage, number: usize, row: &SailedLeg) -> [String; COUNT] {
    let time = |time: Option<Timestamp>| time.map(seconds).unwrap_or_default();
    [
        passage.start.to_string(),
        (number + 1).to_string(),
        format!("{:.6}", row.leg.from().y()),
        format!("{:.6}", row.leg.from().x()),
        format!("{:.6}", row.leg.to().y()),
        format!("{:.6}", row.leg.to().x()),
        format!("{:.2}", row.leg.first_course().deg()),
        format!("{:.4}", row.leg.length_m() / NAUTICAL_MILE_M),
        format!("{:.4}", row.flat.nm),
        format!("{:.5}", row.flat.hours),
        fixed(row.flat.speed_kn, 4),
        time(row.flat.arrival),
        format!("{:.4}", row.corrected.nm),
        format!("{:.5}", row.corrected.hours),
        fixed(row.corrected.speed_kn, 4),
        time(row.corrected.arrival),
        fixed(row.cost_hours(), 5),
        fixed(row.flat.tws_kn, 2),
        fixed(row.corrected.tws_kn, 2),
        format!("{:.4}", row.corrected.beating_hours),
        format!("{:.4}", row.corrected.gybing_hours),
        row.regions.join(";"),
        row.gaps.join("; "),
        fixed(row.sea_hours, 5),
    ]
}
