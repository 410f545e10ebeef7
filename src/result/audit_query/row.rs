//! One cell of the audit.

use crate::base::Window;
use crate::base::{Error, Result};
use crate::result::audit::COLUMNS;
use crate::result::audit_query::DERATED_BELOW;
use csv::StringRecord;

const REGION: usize = 0;
const WINDOW_START: usize = 1;
const WINDOW_END: usize = 2;
const TACK: usize = 3;
const TWS_KN: usize = 4;
const TWA_DEG: usize = 5;
const FLAT_KN: usize = 6;
const CORRECTED_KN: usize = 7;
const FACTOR: usize = 8;
const DOMINANT_STAGE: usize = 17;
const FLAGS: usize = 21;

/// The columns every audit begins with, in this order; later ones may be missing from older results.
pub(super) const FIRST_COLUMNS: usize = FLAGS + 1;

/// One cell: a tack, wind speed and wind angle in one region and window.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// All fields as they stand in the file.
    pub fields: StringRecord,
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

impl Row {
    /// Reads the fields that questions are asked about.
    ///
    /// # Errors
    /// A field that is no number or time; names line and column.
    pub(super) fn new(fields: StringRecord) -> Result<Self> {
        let window = Window { start: parsed(&fields, WINDOW_START)?, end: parsed(&fields, WINDOW_END)? };
        let factor = if fields[FACTOR].is_empty() { None } else { Some(number(&fields, FACTOR)?) };
        Ok(Self {
            window,
            tws_kn: number(&fields, TWS_KN)?,
            twa_deg: number(&fields, TWA_DEG)?,
            flat_kn: number(&fields, FLAT_KN)?,
            corrected_kn: number(&fields, CORRECTED_KN)?,
            factor,
            fields,
        })
    }

    /// The region's name.
    pub fn region(&self) -> &str {
        &self.fields[REGION]
    }

    /// `starboard` or `port`.
    pub fn tack(&self) -> &str {
        &self.fields[TACK]
    }

    /// The stage that takes most, or `none`.
    pub fn dominant_stage(&self) -> &str {
        &self.fields[DOMINANT_STAGE]
    }

    /// The names of the flags.
    pub fn flags(&self) -> impl Iterator<Item = &str> {
        self.fields[FLAGS].split(';').filter(|name| !name.is_empty())
    }

    /// Whether the sea takes a noticeable part of her speed.
    pub fn derated(&self) -> bool {
        self.factor.is_some_and(|factor| factor < DERATED_BELOW)
    }
}

fn number(fields: &StringRecord, column: usize) -> Result<f64> {
    let number: f64 = parsed(fields, column)?;
    if number.is_finite() { Ok(number) } else { Err(unreadable(fields, column)) }
}

fn parsed<T: std::str::FromStr>(fields: &StringRecord, column: usize) -> Result<T> {
    fields[column].parse().map_err(|_| unreadable(fields, column))
}

fn unreadable(fields: &StringRecord, column: usize) -> Error {
    // csv counts a CRLF file's line before it has seen the LF; a record is one line, names hold no line ends
    let line = fields.position().map_or(0, |position| position.record() + 1);
    let time = [WINDOW_START, WINDOW_END].contains(&column);
    Error::new("a field of the audit cannot be read")
        .at(format!("line {line}, column {}", COLUMNS[column]))
        .found(format!("\"{}\"", &fields[column]))
        .expected(if time { "a time such as 2030-03-01T06:00:00Z" } else { "a number with a decimal point" })
        .remedy("make the result again with derate; a spreadsheet may have changed the file")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_stand_where_they_are_looked_for() {
        let places = [
            (REGION, "region"),
            (WINDOW_START, "window_start"),
            (WINDOW_END, "window_end"),
            (TACK, "tack"),
            (TWS_KN, "tws_kn"),
            (TWA_DEG, "twa_deg"),
            (FLAT_KN, "flat_kn"),
            (CORRECTED_KN, "corrected_kn"),
            (FACTOR, "factor"),
            (DOMINANT_STAGE, "dominant_stage"),
            (FLAGS, "flags"),
        ];
        for (place, name) in places {
            assert_eq!(COLUMNS[place], name);
        }
    }
}
