//! The cell audit: one row a forecast cell and time within a region. CSV (RFC 4180) or Parquet, written as rows come.

use crate::base::Result;
use crate::base::flags;
use crate::files::{Column, Kind};
use crate::result::table::Table;
use crate::survey::CellRow;

/// The columns of an ensemble; a single forecast has all but the last. Names, once out, stay.
const COLUMNS: [Column; 17] = [
    ("region", Kind::Text),
    ("valid", Kind::Time),
    ("lat_deg", Kind::Real),
    ("lon_deg", Kind::Real),
    ("area_km2", Kind::Real),
    ("tws_kn", Kind::Real),
    ("wind_from_deg", Kind::Real),
    ("hs_m", Kind::Real),
    ("peak_period_s", Kind::Real),
    ("wave_from_deg", Kind::Real),
    ("mean_factor", Kind::Real),
    ("worst_factor", Kind::Real),
    ("worst_tack", Kind::Text),
    ("worst_twa_deg", Kind::Real),
    ("dominant_stage", Kind::Text),
    ("flags", Kind::Text),
    ("member", Kind::Count),
];

/// The columns of a forecast's cell audit.
pub fn columns(ensemble: bool) -> &'static [Column] {
    if ensemble { &COLUMNS } else { &COLUMNS[..COLUMNS.len() - 1] }
}

/// Adds a row. Fields without a value are empty: a wind outside the flat polar has no factor, a flat sea no period.
///
/// # Errors
/// What the operating system reports.
pub fn write(table: &mut Table, row: &CellRow) -> Result<()> {
    table.write(record(row))
}

/// All fields; a table without a column for members leaves the last out.
fn record(row: &CellRow) -> Vec<String> {
    let optional = |value: Option<f64>, decimals: usize| {
        value.map(|value| format!("{value:.decimals$}")).unwrap_or_default()
    };
    let factors = row.factors.as_ref();
    vec![
        row.region.to_owned(),
        row.valid.to_string(),
        degrees(row.lat_deg),
        degrees(row.lon_deg),
        format!("{:.3}", row.area_m2 / 1e6),
        format!("{:.3}", row.tws_kn),
        format!("{:.2}", row.wind_from_deg),
        format!("{:.3}", row.whole.hs_m),
        optional(row.whole.peak_period_s, 3),
        optional(row.whole.from_deg, 2),
        optional(factors.map(|factors| factors.mean), 6),
        optional(factors.map(|factors| factors.worst), 6),
        factors.map(|factors| factors.worst_tack.name().to_owned()).unwrap_or_default(),
        factors.map(|factors| factors.worst_twa_deg.to_string()).unwrap_or_default(),
        factors.map(|factors| factors.dominant_stage.unwrap_or("none").to_owned()).unwrap_or_default(),
        flags::names(row.flags),
        row.member.map(|member| member.to_string()).unwrap_or_default(),
    ]
}

/// To 1e-6 degree, a decimetre, without the noise of single precision behind it.
fn degrees(deg: f64) -> String {
    ((deg * 1e6).round() / 1e6).to_string()
}
