//! The columns of the cell audit, in order: each with what it holds and how a cell fills it.

use crate::base::flags;
use crate::result::table::column::{TableColumn, fixed, optional};
use crate::survey::CellRow;

/// A column of the cell audit.
pub(super) type CellColumn = TableColumn<fn(&CellRow<'_>) -> String>;

/// The columns of every cell audit; an ensemble's has [`MEMBER`] behind them. Names, once out, stay.
pub(super) const COLUMNS: &[CellColumn] = &[
    REGION,
    VALID,
    LAT_DEG,
    LON_DEG,
    AREA_KM2,
    TWS_KN,
    WIND_FROM_DEG,
    HS_M,
    PEAK_PERIOD_S,
    WAVE_FROM_DEG,
    MEAN_FACTOR,
    WORST_FACTOR,
    WORST_TACK,
    WORST_TWA_DEG,
    DOMINANT_STAGE,
    CellColumn::text("flags", |row| flags::names(row.flags)),
    CellColumn::real("stopped_share", |row| optional(row.factors.map(|factors| factors.stopped_share), 4)),
    MEAN_LOST_KN,
];

/// The ensemble member.
pub(super) const MEMBER: CellColumn =
    CellColumn::count("member", |row| row.member.map(|member| member.to_string()).unwrap_or_default());

// what the report reads, by name
pub(super) const REGION: CellColumn = CellColumn::text("region", |row| row.region.to_owned());
pub(super) const VALID: CellColumn = CellColumn::time("valid", |row| row.valid.to_string());
pub(super) const LAT_DEG: CellColumn = CellColumn::real("lat_deg", |row| degrees(row.lat_deg));
pub(super) const LON_DEG: CellColumn = CellColumn::real("lon_deg", |row| degrees(row.lon_deg));
pub(super) const AREA_KM2: CellColumn = CellColumn::real("area_km2", |row| fixed(row.area_m2 / 1e6, 3));
pub(super) const TWS_KN: CellColumn = CellColumn::real("tws_kn", |row| fixed(row.tws_kn, 3));
pub(super) const WIND_FROM_DEG: CellColumn =
    CellColumn::real("wind_from_deg", |row| fixed(row.wind_from_deg, 2));
pub(super) const HS_M: CellColumn = CellColumn::real("hs_m", |row| fixed(row.whole.hs_m, 3));
pub(super) const PEAK_PERIOD_S: CellColumn =
    CellColumn::real("peak_period_s", |row| optional(row.whole.peak_period_s, 3));
pub(super) const WAVE_FROM_DEG: CellColumn =
    CellColumn::real("wave_from_deg", |row| optional(row.whole.from_deg, 2));
pub(super) const MEAN_FACTOR: CellColumn =
    CellColumn::real("mean_factor", |row| optional(row.factors.map(|factors| factors.mean), 6));
pub(super) const MEAN_LOST_KN: CellColumn =
    CellColumn::real("mean_lost_kn", |row| optional(row.factors.map(|factors| factors.mean_lost_kn), 4));
pub(super) const WORST_FACTOR: CellColumn =
    CellColumn::real("worst_factor", |row| optional(row.factors.map(|factors| factors.worst), 6));
pub(super) const WORST_TACK: CellColumn = CellColumn::text("worst_tack", |row| {
    row.factors.map(|factors| factors.worst_tack.name().to_owned()).unwrap_or_default()
});
pub(super) const WORST_TWA_DEG: CellColumn = CellColumn::real("worst_twa_deg", |row| {
    row.factors.map(|factors| factors.worst_twa_deg.to_string()).unwrap_or_default()
});
pub(super) const DOMINANT_STAGE: CellColumn = CellColumn::text("dominant_stage", |row| {
    row.factors.map(|factors| factors.dominant_stage.unwrap_or("none").to_owned()).unwrap_or_default()
});

/// To 1e-6 degree, a decimetre, without the noise of single precision behind it.
fn degrees(deg: f64) -> String {
    ((deg * 1e6).round() / 1e6).to_string()
}
