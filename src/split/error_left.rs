//! How far the parts of a group lie from the polar they share, measured when that polar has been made.

use crate::derate::column_use::{column_uses, winds};
use crate::split::difference::{largest_kn, rms_kn};
use crate::split::groups::{DeratedPart, PartGroup, by_name, corrected_kn};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};

/// How far the parts of a group lie from the polar they share.
///
/// All means are root mean squares over the headings of the polar, each alike. Where not said otherwise a column counts
/// with the part of the time and area of the part that looks it up ([`crate::derate::column_use`]), and one that does not blow
/// in the part not at all: so the means bound from above those of the differences that a router meets.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
pub struct ErrorLeft {
    pub region: String,
    /// First instant of the window.
    pub window_start: Timestamp,
    /// First instant after it.
    pub window_end: Timestamp,
    /// The regions of the parts, by name.
    pub regions: Vec<String>,
    /// Parts joined.
    pub parts: usize,
    /// Over the parts, each alike, kn.
    pub rms_kn: f64,
    /// Of the part that lies furthest off, kn.
    pub furthest_part_rms_kn: f64,
    /// The largest difference of one cell of one part, in a column that blows there, kn.
    pub largest_kn: f64,
    /// Over the parts with every column alike, whether it blows or not, kn.
    pub all_columns_rms_kn: f64,
    /// The largest difference of one cell of one part, in any column, kn.
    pub all_columns_largest_kn: f64,
}

/// How far the parts of each group lie from its polar, which is looked up in `joint`.
pub fn errors_left(
    columns_kn: &[f64],
    parts: &[DeratedPart],
    groups: &[PartGroup],
    joint: &[DeratedPart],
) -> Vec<ErrorLeft> {
    let (parts, joint) = (by_name(parts), by_name(joint));
    let of_group = |group: &PartGroup| {
        let shared = joint.get(&(group.region.name.as_str(), group.window))?;
        let own = group.parts.iter().filter_map(|(region, window)| parts.get(&(region.as_str(), *window)));
        Some(error_left(columns_kn, group, &own.copied().collect::<Vec<_>>(), shared))
    };
    groups.iter().filter_map(of_group).collect()
}

fn error_left(
    columns_kn: &[f64],
    group: &PartGroup,
    parts: &[&DeratedPart],
    joint: &DeratedPart,
) -> ErrorLeft {
    let shared = corrected_kn(&joint.cells);
    let alike = vec![1.0 / columns_kn.len() as f64; columns_kn.len()];
    let mut left = ErrorLeft {
        region: group.region.name.clone(),
        window_start: group.window.start,
        window_end: group.window.end,
        regions: group.regions().into_iter().map(str::to_owned).collect(),
        parts: group.parts.len(),
        rms_kn: 0.0,
        furthest_part_rms_kn: 0.0,
        largest_kn: 0.0,
        all_columns_rms_kn: 0.0,
        all_columns_largest_kn: 0.0,
    };
    let (mut squares, mut all_squares) = (0.0, 0.0);
    for part in parts {
        let (own, uses) = (corrected_kn(&part.cells), column_uses(columns_kn, &winds(&part.tallied.tally)));
        let rms = rms_kn(&own, &shared, &uses);
        squares += rms.powi(2);
        all_squares += rms_kn(&own, &shared, &alike).powi(2);
        left.furthest_part_rms_kn = left.furthest_part_rms_kn.max(rms);
        left.largest_kn = left.largest_kn.max(largest_kn(&own, &shared, &uses));
        left.all_columns_largest_kn = left.all_columns_largest_kn.max(largest_kn(&own, &shared, &alike));
    }
    let mean = |squares: f64| (squares / parts.len().max(1) as f64).sqrt();
    (left.rms_kn, left.all_columns_rms_kn) = (mean(squares), mean(all_squares));
    left
}
