//! The columns of the audit, in order: each with what it holds and how a cell fills it.
//!
//! A column is added at the end of [`COLUMNS`], and nowhere else: writers, reader, report and questions go by this list.
//! Every column that begins with `stage_` is the factor of one stage, and all of them multiply to `factor`.

use crate::balance::STAGE_NAMES;
use crate::files::Kind;
use crate::result::audit::part::PlacedCell;
use crate::result::table::column::{TableColumn, fixed, optional};

/// A column of the audit.
pub type AuditColumn = TableColumn<fn(&PlacedCell<'_>) -> String>;

/// The columns. Names, once out, stay.
pub const COLUMNS: &[AuditColumn] = &[
    REGION,
    WINDOW_START,
    WINDOW_END,
    TACK,
    TWS_KN,
    TWA_DEG,
    FLAT_KN,
    CORRECTED_KN,
    FACTOR,
    AuditColumn::real("p10_kn", |at| fixed(at.cell.percentiles_kn[0], 4)),
    AuditColumn::real("p50_kn", |at| fixed(at.cell.percentiles_kn[1], 4)),
    AuditColumn::real("p90_kn", |at| fixed(at.cell.percentiles_kn[2], 4)),
    AuditColumn::real("stage_added_resistance", |at| stage(at, const { stage_of("stage_added_resistance") })),
    AuditColumn::real("stage_deck_water", |at| stage(at, const { stage_of("stage_deck_water") })),
    AuditColumn::real("stage_windage", |at| stage(at, const { stage_of("stage_windage") })),
    AuditColumn::real("stage_foil_lift", |at| stage(at, const { stage_of("stage_foil_lift") })),
    AuditColumn::real("stage_foil_downtime", |at| stage(at, const { stage_of("stage_foil_downtime") })),
    DOMINANT_STAGE,
    AuditColumn::real("factor_second_method", |at| optional(at.cell.factor_second_method, 6)),
    AuditColumn::count("sea_states", |at| at.cell.sea_states.to_string()),
    AuditColumn::real("covered", |at| optional(at.part.tally.coverage.fraction(), 4)),
    FLAGS,
    AuditColumn::real("factor_band_slow", |at| optional(at.cell.factor_band.map(|band| band[0]), 6)),
    AuditColumn::real("factor_band_fast", |at| optional(at.cell.factor_band.map(|band| band[1]), 6)),
    AuditColumn::real("deck_water_kg", |at| fixed(at.cell.deck_water_kg, 2)),
    AuditColumn::real("availability", |at| fixed(at.cell.availability, 6)),
    AuditColumn::real("slam_rate_per_h", |at| fixed(at.cell.advisory.slam_rate_per_h, 3)),
    AuditColumn::real("wetness_rate_per_h", |at| optional(at.cell.advisory.wetness_rate_per_h, 3)),
    AuditColumn::real("bow_acceleration_rms_g", |at| fixed(at.cell.advisory.bow_acceleration_rms_g, 4)),
    AuditColumn::real("stopped_share", |at| fixed(at.cell.stopped_share, 4)),
    AuditColumn::real("wind_share", |at| fixed(at.cell.wind_share, 4)),
    AuditColumn::real("stage_surge", |at| stage(at, const { stage_of("stage_surge") })),
    AuditColumn::real("speed_sd_kn", |at| optional(at.cell.swing.map(|swing| swing.speed_sd_kn), 4)),
    AuditColumn::real("riding_share", |at| optional(at.cell.swing.map(|swing| swing.riding_share), 4)),
    AuditColumn::real("surge_standard_error", |at| {
        optional(at.cell.swing.map(|swing| swing.standard_error), 6)
    }),
    AuditColumn::real("bow_cycles_per_h", |at| fixed(at.cell.advisory.bow_cycles_per_h, 1)),
];

// what questions are asked about, by name
pub(super) const REGION: AuditColumn = AuditColumn::text("region", |at| at.part.region.to_owned());
pub(super) const WINDOW_START: AuditColumn =
    AuditColumn::time("window_start", |at| at.part.window.start.to_string());
pub(super) const WINDOW_END: AuditColumn =
    AuditColumn::time("window_end", |at| at.part.window.end.to_string());
pub(super) const TACK: AuditColumn = AuditColumn::text("tack", |at| at.cell.tack.name().to_owned());
pub(super) const TWS_KN: AuditColumn = AuditColumn::real("tws_kn", |at| at.cell.tws_kn.to_string());
pub(super) const TWA_DEG: AuditColumn = AuditColumn::real("twa_deg", |at| at.cell.twa_deg.to_string());
pub(super) const FLAT_KN: AuditColumn = AuditColumn::real("flat_kn", |at| fixed(at.cell.flat_kn, 4));
pub(super) const CORRECTED_KN: AuditColumn =
    AuditColumn::real("corrected_kn", |at| fixed(at.cell.corrected_kn, 4));
pub(super) const FACTOR: AuditColumn = AuditColumn::real("factor", |at| optional(at.cell.factor(), 6));
pub(super) const DOMINANT_STAGE: AuditColumn =
    AuditColumn::text("dominant_stage", |at| at.cell.dominant_stage().unwrap_or("none").to_owned());
pub(super) const FLAGS: AuditColumn = AuditColumn::text("flags", |at| at.cell.flag_names());

/// The beginning of the names of stages.
const STAGE: &str = "stage_";

/// Whether a column holds the factor of a stage.
pub fn is_stage(column: &str) -> bool {
    column.starts_with(STAGE)
}

/// Columns of words, besides the region.
pub fn words() -> impl Iterator<Item = &'static AuditColumn> {
    COLUMNS.iter().filter(|column| column.kind == Kind::Text && column.name != REGION.name)
}

/// Columns of numbers, besides stages.
pub fn numbers() -> impl Iterator<Item = &'static AuditColumn> {
    let number = |column: &AuditColumn| matches!(column.kind, Kind::Real | Kind::Count);
    COLUMNS.iter().filter(move |column| number(column) && !is_stage(column.name))
}

fn stage(at: &PlacedCell, stage: usize) -> String {
    optional(at.stage(stage), 6)
}

/// The place of a column's stage among [`STAGE_NAMES`]; a name that is not there does not compile.
const fn stage_of(column: &str) -> usize {
    let (_, name) = column.as_bytes().split_at(STAGE.len());
    let mut stage = 0;
    while !same(STAGE_NAMES[stage].as_bytes(), name) {
        stage += 1;
    }
    stage
}

const fn same(a: &[u8], b: &[u8]) -> bool {
    let mut at = 0;
    while at < a.len() && at < b.len() && a[at] == b[at] {
        at += 1;
    }
    at == a.len() && at == b.len()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::balance::STAGES;
    use crate::result::audit::part::AuditPart;
    use crate::result::audit::part::samples::{derated_cell, six_hours};
    use crate::tally::{Bins, Tally};
    use approx::assert_relative_eq;
    use std::collections::BTreeSet;

    #[test]
    fn every_stage_has_a_column_and_every_name_stands_once() {
        let stages: BTreeSet<String> = STAGE_NAMES.iter().map(|name| format!("{STAGE}{name}")).collect();
        let columns = COLUMNS.iter().filter(|column| is_stage(column.name));
        assert_eq!(columns.map(|column| column.name.to_owned()).collect::<BTreeSet<_>>(), stages);
        let names: BTreeSet<&str> = COLUMNS.iter().map(|column| column.name).collect();
        assert_eq!(names.len(), COLUMNS.len());
    }

    /// By hand: stages of 0.9, 0.91 and so on, each in the column of its name; the product of all is the factor.
    #[test]
    fn stages_stand_in_their_columns_and_multiply_to_the_factor() {
        let stages: [f64; STAGES] = std::array::from_fn(|stage| 0.9 + 0.01 * stage as f64);
        let cells = [derated_cell(stages)];
        let window = six_hours();
        let tally = Tally::new(Bins::default());
        let part = AuditPart { region: "a", window, tally: &tally, cells: &cells };
        let placed = part.placed().next().unwrap();
        let number = |column: &AuditColumn| (column.field)(&placed).parse::<f64>().unwrap();
        let mut product = 1.0;
        for column in COLUMNS.iter().filter(|column| is_stage(column.name)) {
            let stage = STAGE_NAMES.iter().position(|name| column.name.ends_with(name)).unwrap();
            assert_relative_eq!(number(column), stages[stage], max_relative = 1e-6);
            product *= number(column);
        }
        assert_relative_eq!(product, number(&FACTOR), max_relative = 1e-5);
    }
}
