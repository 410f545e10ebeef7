//! A sheet of seas: heights, periods and lengths as people write them down, checked against what the sea can do.

use crate::base::{Error, Result};
use crate::explain::one_sea::{mismatched_wave, too_steep};
use crate::hydro::dispersion::{phase_speed_m_s, wave_length_m};
use serde::Serialize;

/// The seas of a sheet: a CSV with columns `period_s` and, as known, `hs_m` and `wave_length_m`.
#[derive(Debug, Clone, Serialize)]
pub struct SeaSheet {
    /// Its rows.
    pub seas: Vec<SheetSea>,
}

/// One row of a sheet.
#[derive(Debug, Clone, Serialize)]
pub struct SheetSea {
    /// The line in the file.
    pub line: u64,
    /// Peak period, s.
    pub period_s: f64,
    /// Significant height, m.
    pub hs_m: Option<f64>,
    /// Wave length as stated, m.
    pub stated_length_m: Option<f64>,
    /// Wave length that goes with the period, m.
    pub wave_length_m: f64,
    /// Phase speed that goes with the period, m/s.
    pub phase_speed_m_s: f64,
    /// What cannot be right.
    pub warnings: Vec<String>,
}

impl SeaSheet {
    /// Whether a first line is a sheet's.
    pub(super) fn has_header(line: &str) -> bool {
        line.split([',', ';', '\t']).any(|name| name.trim() == "period_s")
    }

    /// Reads a sheet.
    ///
    /// # Errors
    /// A field that is no number above zero, with its line.
    pub(super) fn parse(text: &str) -> Result<Self> {
        let mut reader =
            csv::ReaderBuilder::new().comment(Some(b'#')).trim(csv::Trim::All).from_reader(text.as_bytes());
        let failed = |error: csv::Error| {
            Error::new(format!("the sheet of seas cannot be read: {error}"))
                .expected("comma-separated columns period_s and, as known, hs_m and wave_length_m")
        };
        let header = reader.headers().map_err(failed)?.clone();
        let mut seas = Vec::new();
        for record in reader.records() {
            let record = record.map_err(failed)?;
            let line = record.position().map_or(0, csv::Position::line);
            let number = |name: &str| -> Result<Option<f64>> {
                let field = header.iter().position(|column| column == name).and_then(|i| record.get(i));
                match field.filter(|field| !field.is_empty()).map(|field| (field, field.parse::<f64>())) {
                    None => Ok(None),
                    Some((_, Ok(value))) if value.is_finite() && value > 0.0 => Ok(Some(value)),
                    Some((field, _)) => Err(Error::new("a value is not a number above zero")
                        .at(format!("line {line}, column {name}"))
                        .found(format!("\"{field}\""))
                        .expected("a number above 0")
                        .remedy("correct the value, or leave the field empty")),
                }
            };
            let period_s = number("period_s")?.ok_or_else(|| {
                Error::new("a sea has no period").at(format!("line {line}")).expected("a period_s above 0")
            })?;
            seas.push(SheetSea::new(line, period_s, number("hs_m")?, number("wave_length_m")?));
        }
        Ok(Self { seas })
    }
}

impl SheetSea {
    fn new(line: u64, period_s: f64, hs_m: Option<f64>, stated_length_m: Option<f64>) -> Self {
        let steep = hs_m.and_then(|hs_m| too_steep(hs_m, period_s));
        Self {
            line,
            period_s,
            hs_m,
            stated_length_m,
            wave_length_m: wave_length_m(period_s),
            phase_speed_m_s: phase_speed_m_s(period_s),
            warnings: steep.into_iter().chain(mismatched_wave(period_s, stated_length_m)).collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 60 m with 15 s is the pair that scrap paper gets wrong: 15 s goes with 351 m (deep water, g T²/2 pi).
    #[test]
    fn a_length_that_no_wave_of_the_period_has_is_named() {
        let sheet = SeaSheet::parse("period_s,wave_length_m,hs_m\n15,60,2\n5.06,40,1\n4,,3\n").unwrap();
        assert!(sheet.seas[0].warnings[0].contains("351"), "{:?}", sheet.seas[0].warnings);
        assert!(sheet.seas[1].warnings.is_empty());
        assert!(sheet.seas[2].warnings[0].contains("steepness"));
        assert!(SeaSheet::parse("period_s\n-1\n").is_err());
    }
}
