//! The rows of an audit, read one at a time.

use crate::base::Window;
use crate::base::{Error, Result};
use crate::result::audit::columns::{
    CORRECTED_KN, DOMINANT_STAGE, FACTOR, FLAGS, FLAT_KN, REGION, TACK, TWA_DEG, TWS_KN, WINDOW_END,
    WINDOW_START,
};
use crate::result::table::read::TableReader;
use csv::StringRecord;
use std::path::Path;

/// A cell counts as derated below this factor; the same loss makes a stage a dominant one.
pub const DERATED_BELOW: f64 = 0.9995;

/// One cell: a tack, wind speed and wind angle in one region and window.
#[derive(Debug, Clone, PartialEq)]
pub struct AuditRow {
    /// All fields as they stand in the file.
    pub fields: StringRecord,
    places: TextPlaces,
    /// The time window.
    pub window: Window,
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// True wind angle, 0 to 180 degrees.
    pub twa_deg: f64,
    /// Speed in flat water, kn.
    pub flat_kn: f64,
    /// Speed in the sea, kn.
    pub corrected_kn: f64,
    /// Corrected over flat speed; none where flat speed is zero.
    pub factor: Option<f64>,
}

/// Where the words of a row stand in its file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct TextPlaces {
    region: usize,
    tack: usize,
    dominant_stage: usize,
    flags: usize,
}

/// Where times and numbers stand.
struct ValuePlaces {
    window_start: usize,
    window_end: usize,
    tws_kn: usize,
    twa_deg: usize,
    flat_kn: usize,
    corrected_kn: usize,
    factor: usize,
}

/// An audit being read. Columns that no question is asked about may be missing from older results.
pub struct AuditReader {
    table: TableReader,
    rows: usize,
    texts: TextPlaces,
    values: ValuePlaces,
}

impl AuditReader {
    /// Opens an audit.
    ///
    /// # Errors
    /// A file that cannot be read or is not an audit.
    pub fn open(path: &Path) -> Result<Self> {
        let table = TableReader::open("the audit", path)?;
        let texts = TextPlaces {
            region: table.place(&REGION)?,
            tack: table.place(&TACK)?,
            dominant_stage: table.place(&DOMINANT_STAGE)?,
            flags: table.place(&FLAGS)?,
        };
        let values = ValuePlaces {
            window_start: table.place(&WINDOW_START)?,
            window_end: table.place(&WINDOW_END)?,
            tws_kn: table.place(&TWS_KN)?,
            twa_deg: table.place(&TWA_DEG)?,
            flat_kn: table.place(&FLAT_KN)?,
            corrected_kn: table.place(&CORRECTED_KN)?,
            factor: table.place(&FACTOR)?,
        };
        Ok(Self { table, rows: 0, texts, values })
    }

    /// The table, for its other columns.
    pub fn table(&self) -> &TableReader {
        &self.table
    }

    /// The next row, if there is one.
    ///
    /// # Errors
    /// A field that is no number or time; a file without rows.
    pub fn next_row(&mut self) -> Result<Option<AuditRow>> {
        let Some(fields) = self.table.next_row()? else {
            return if self.rows > 0 { Ok(None) } else { Err(self.empty()) };
        };
        self.rows += 1;
        let (table, at) = (&self.table, &self.values);
        let window =
            Window { start: table.time(&fields, at.window_start)?, end: table.time(&fields, at.window_end)? };
        Ok(Some(AuditRow {
            places: self.texts,
            window,
            tws_kn: table.number(&fields, at.tws_kn)?,
            twa_deg: table.number(&fields, at.twa_deg)?,
            flat_kn: table.number(&fields, at.flat_kn)?,
            corrected_kn: table.number(&fields, at.corrected_kn)?,
            factor: table.optional_number(&fields, at.factor)?,
            fields,
        }))
    }

    fn empty(&self) -> Error {
        Error::new("the audit holds no cells")
            .file(self.table.path())
            .expected("a row for every cell")
            .remedy("make the result again with derate")
    }
}

impl AuditRow {
    /// The region's name.
    pub fn region(&self) -> &str {
        &self.fields[self.places.region]
    }

    /// `starboard` or `port`.
    pub fn tack(&self) -> &str {
        &self.fields[self.places.tack]
    }

    /// The stage that takes most, or `none`.
    pub fn dominant_stage(&self) -> &str {
        &self.fields[self.places.dominant_stage]
    }

    /// The names of the flags, without what some of them have behind `=`.
    pub fn flags(&self) -> impl Iterator<Item = &str> {
        self.fields[self.places.flags]
            .split(';')
            .filter_map(|flag| flag.split('=').next())
            .filter(|name| !name.is_empty())
    }

    /// Whether the sea takes a noticeable part of her speed.
    pub fn derated(&self) -> bool {
        self.factor.is_some_and(|factor| factor < DERATED_BELOW)
    }
}
