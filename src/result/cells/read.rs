//! Reads the cell audit.

use crate::base::Result;
use crate::result::cells::columns;
use crate::result::table::read::TableReader;
use csv::StringRecord;
use jiff::Timestamp;
use std::path::Path;

/// More than the surface of the earth, km².
const WHOLE_KM2: f64 = 6e8;
/// More than any wind, kn.
const MOST_KN: f64 = 1000.0;
/// More than any sea, m.
const HIGHEST_M: f64 = 100.0;

/// A row of a cell audit, as far as it is read.
#[derive(Debug, Clone, PartialEq)]
pub struct AuditedCell {
    /// The region's name.
    pub region: String,
    /// When its sea is valid.
    pub valid: Timestamp,
    /// Latitude, degrees.
    pub lat_deg: f64,
    /// Longitude, degrees.
    pub lon_deg: f64,
    /// Area within the region, km².
    pub area_km2: f64,
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// Where the wind comes from, degrees true.
    pub wind_from_deg: f64,
    /// Significant height, m.
    pub hs_m: f64,
    /// Peak period, s; none in a flat sea.
    pub peak_period_s: Option<f64>,
    /// Where the waves come from, degrees true; none in a flat sea.
    pub wave_from_deg: Option<f64>,
    /// Mean of corrected over flat speed; none where the flat polar has no speed at this wind.
    pub mean_factor: Option<f64>,
    /// Mean of flat less corrected speed, kn; none as the factor.
    pub mean_lost_kn: Option<f64>,
    /// The least of them, where there is one.
    pub worst: Option<WorstFactor>,
}

/// The least factor of a cell.
#[derive(Debug, Clone, PartialEq)]
pub struct WorstFactor {
    /// Corrected over flat speed.
    pub factor: f64,
    /// Its tack.
    pub tack: String,
    /// Its true wind angle, degrees.
    pub twa_deg: f64,
    /// The stage that takes most over all angles, or `none`.
    pub stage: String,
}

/// A cell audit being read.
pub struct CellsReader {
    table: TableReader,
    places: Places,
}

/// Where the columns stand.
struct Places {
    region: usize,
    valid: usize,
    lat_deg: usize,
    lon_deg: usize,
    area_km2: usize,
    tws_kn: usize,
    wind_from_deg: usize,
    hs_m: usize,
    peak_period_s: usize,
    wave_from_deg: usize,
    mean_factor: usize,
    mean_lost_kn: usize,
    worst_factor: usize,
    worst_tack: usize,
    worst_twa_deg: usize,
    dominant_stage: usize,
}

impl CellsReader {
    /// Opens a cell audit.
    ///
    /// # Errors
    /// A file that cannot be read or is not a cell audit.
    pub fn open(path: &Path) -> Result<Self> {
        let table = TableReader::open("the cell audit", path)?;
        let places = Places {
            region: table.place(&columns::REGION)?,
            valid: table.place(&columns::VALID)?,
            lat_deg: table.place(&columns::LAT_DEG)?,
            lon_deg: table.place(&columns::LON_DEG)?,
            area_km2: table.place(&columns::AREA_KM2)?,
            tws_kn: table.place(&columns::TWS_KN)?,
            wind_from_deg: table.place(&columns::WIND_FROM_DEG)?,
            hs_m: table.place(&columns::HS_M)?,
            peak_period_s: table.place(&columns::PEAK_PERIOD_S)?,
            wave_from_deg: table.place(&columns::WAVE_FROM_DEG)?,
            mean_factor: table.place(&columns::MEAN_FACTOR)?,
            mean_lost_kn: table.place(&columns::MEAN_LOST_KN)?,
            worst_factor: table.place(&columns::WORST_FACTOR)?,
            worst_tack: table.place(&columns::WORST_TACK)?,
            worst_twa_deg: table.place(&columns::WORST_TWA_DEG)?,
            dominant_stage: table.place(&columns::DOMINANT_STAGE)?,
        };
        Ok(Self { table, places })
    }

    /// The next row, if there is one.
    ///
    /// # Errors
    /// A field that cannot be read; names line and column.
    pub fn next_row(&mut self) -> Result<Option<AuditedCell>> {
        let Some(row) = self.table.next_row()? else { return Ok(None) };
        let (table, at) = (&self.table, &self.places);
        Ok(Some(AuditedCell {
            region: row[at.region].to_owned(),
            valid: table.time(&row, at.valid)?,
            lat_deg: table.number_within(&row, at.lat_deg, -90.0..=90.0)?,
            lon_deg: table.number_within(&row, at.lon_deg, -180.0..=180.0)?,
            area_km2: table.number_within(&row, at.area_km2, 0.0..=WHOLE_KM2)?,
            tws_kn: table.number_within(&row, at.tws_kn, 0.0..=MOST_KN)?,
            wind_from_deg: table.number(&row, at.wind_from_deg)?,
            hs_m: table.number_within(&row, at.hs_m, 0.0..=HIGHEST_M)?,
            peak_period_s: table.optional_number(&row, at.peak_period_s)?,
            wave_from_deg: table.optional_number(&row, at.wave_from_deg)?,
            mean_factor: table.optional_number(&row, at.mean_factor)?,
            mean_lost_kn: table.optional_number(&row, at.mean_lost_kn)?,
            worst: self.worst(&row)?,
        }))
    }

    fn worst(&self, row: &StringRecord) -> Result<Option<WorstFactor>> {
        let (table, at) = (&self.table, &self.places);
        let factor = table.optional_number(row, at.worst_factor)?;
        let twa_deg = table.optional_number(row, at.worst_twa_deg)?;
        Ok(factor.zip(twa_deg).map(|(factor, twa_deg)| WorstFactor {
            factor,
            tack: row[at.worst_tack].to_owned(),
            twa_deg,
            stage: row[at.dominant_stage].to_owned(),
        }))
    }
}
