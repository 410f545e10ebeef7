//! The audit: one row for every polar cell and tack of every region and window. Long CSV, RFC 4180.

use crate::balance::STAGES;
use crate::base::Window;
use crate::base::flags;
use crate::base::{Error, Result};
use crate::derate::PolarCell;
use crate::files::{Kind, parquet_table};
use crate::tally::Tally;

/// The columns, in order. Names, once out, stay; new ones are added at the end.
pub const COLUMNS: [&str; 29] = [
    "region",
    "window_start",
    "window_end",
    "tack",
    "tws_kn",
    "twa_deg",
    "flat_kn",
    "corrected_kn",
    "factor",
    "p10_kn",
    "p50_kn",
    "p90_kn",
    "stage_added_resistance",
    "stage_deck_water",
    "stage_windage",
    "stage_foil_lift",
    "stage_foil_downtime",
    "dominant_stage",
    "factor_second_method",
    "sea_states",
    "covered",
    "flags",
    "factor_band_slow",
    "factor_band_fast",
    "deck_water_kg",
    "availability",
    "slam_rate_per_h",
    "wetness_rate_per_h",
    "bow_acceleration_rms_g",
];

/// One region and window with its cells.
pub struct Part<'a> {
    /// The region's name.
    pub region: &'a str,
    /// The time window.
    pub window: Window,
    /// The seas the cells were averaged over.
    pub tally: &'a Tally,
    /// The cells.
    pub cells: &'a [PolarCell],
}

/// The audit of all parts. Fields without a value are empty: a flat speed of zero has no factor.
///
/// # Errors
/// When the rows cannot be written to memory.
pub fn to_bytes(parts: &[Part]) -> Result<Vec<u8>> {
    let rows = parts.iter().flat_map(|part| part.cells.iter().map(|cell| record(part, cell).to_vec()));
    table(&COLUMNS, rows)
}

/// The audit of the parts of an ensemble's members: the same columns, then `member`.
///
/// # Errors
/// As [`to_bytes`].
pub fn members_to_bytes(parts: &[(u32, Part)]) -> Result<Vec<u8>> {
    let rows = parts.iter().flat_map(|(member, part)| {
        part.cells.iter().map(|cell| {
            let mut record = record(part, cell).to_vec();
            record.push(member.to_string());
            record
        })
    });
    table(&[&COLUMNS[..], &["member"]].concat(), rows)
}

fn table(columns: &[&str], rows: impl Iterator<Item = Vec<String>>) -> Result<Vec<u8>> {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let failed = |error: &dyn std::fmt::Display| Error::new(format!("cannot write the audit: {error}"));
    writer.write_record(columns).map_err(|error| failed(&error))?;
    for row in rows {
        writer.write_record(row).map_err(|error| failed(&error))?;
    }
    writer.into_inner().map_err(|error| failed(&error))
}

/// The same as a Parquet file, with the numbers of the CSV.
///
/// # Errors
/// As [`to_bytes`].
pub fn to_parquet(parts: &[Part]) -> Result<Vec<u8>> {
    let failed = |error| Error::new(format!("cannot write the audit as Parquet: {error}"));
    let columns = COLUMNS.map(|name| (name, kind(name)));
    let mut writer = parquet_table::Writer::new(Vec::new(), &columns).map_err(failed)?;
    for part in parts {
        for cell in part.cells {
            writer.write(record(part, cell).to_vec()).map_err(failed)?;
        }
    }
    writer.finish().map_err(failed)
}

/// What a column holds.
pub fn kind(column: &str) -> Kind {
    match column {
        "region" | "tack" | "dominant_stage" | "flags" => Kind::Text,
        "window_start" | "window_end" => Kind::Time,
        "sea_states" => Kind::Count,
        _ => Kind::Real,
    }
}

fn record(part: &Part, cell: &PolarCell) -> [String; COLUMNS.len()] {
    let speed = |kn: f64| format!("{kn:.4}");
    let factor = |value: Option<f64>| value.map(|value| format!("{value:.6}")).unwrap_or_default();
    let stage = |index: usize| factor(cell.stages.map(|stages: [f64; STAGES]| stages[index]));
    [
        part.region.to_owned(),
        part.window.start.to_string(),
        part.window.end.to_string(),
        cell.tack.name().to_owned(),
        cell.tws_kn.to_string(),
        cell.twa_deg.to_string(),
        speed(cell.flat_kn),
        speed(cell.corrected_kn),
        factor(cell.factor()),
        speed(cell.percentiles_kn[0]),
        speed(cell.percentiles_kn[1]),
        speed(cell.percentiles_kn[2]),
        stage(0),
        stage(1),
        stage(2),
        stage(3),
        stage(4),
        cell.dominant_stage().unwrap_or("none").to_owned(),
        factor(cell.factor_second_method),
        cell.sea_states.to_string(),
        part.tally.coverage.fraction().map(|covered| format!("{covered:.4}")).unwrap_or_default(),
        flags::names(cell.flags),
        factor(cell.factor_band.map(|band| band[0])),
        factor(cell.factor_band.map(|band| band[1])),
        format!("{:.2}", cell.deck_water_kg),
        format!("{:.6}", cell.availability),
        format!("{:.3}", cell.advisory.slam_rate_per_h),
        cell.advisory.wetness_rate_per_h.map(|rate| format!("{rate:.3}")).unwrap_or_default(),
        format!("{:.4}", cell.advisory.bow_acceleration_rms_g),
    ]
}
