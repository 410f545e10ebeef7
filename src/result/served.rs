//! What a result's audit adds to a polar that serves: the flat speeds beside it, and how much of the sea it stands for.

use crate::base::{Result, Window};
use crate::derate::Tack;
use crate::polar::{Lookup, Polar};
use crate::result::audit::{AuditFilter, AuditRow, read};
use crate::result::found::optional;
use crate::result::names::AUDIT;
use std::path::Path;

/// What the audit says of a region and window.
#[derive(Debug, Clone, PartialEq)]
pub struct AuditedPart {
    rows: Vec<AuditRow>,
    /// Share of the sea that the forecast covers; none where the audit does not say.
    pub covered: Option<f64>,
}

impl AuditedPart {
    /// Reads a region and window of a result's audit; none where there is no audit.
    ///
    /// # Errors
    /// An audit that cannot be read.
    pub fn read(result: &Path, region: &str, window: Window) -> Result<Option<Self>> {
        if optional(result, AUDIT).is_none() {
            return Ok(None);
        }
        let mut audit =
            read(result, &AuditFilter { regions: vec![region.to_owned()], ..AuditFilter::default() })?;
        audit.rows.retain(|row| row.window == window);
        let place = audit.columns.iter().position(|column| column == "covered");
        let covered = place.and_then(|place| audit.rows.first()?.fields.get(place)?.parse().ok());
        Ok(Some(Self { rows: audit.rows, covered }))
    }

    /// Flat-water speed in a wind, kn, `twa_deg` positive on starboard tack; none outside the audited cells.
    pub fn flat_kn(&self, tws_kn: f64, twa_deg: f64) -> Option<f64> {
        let tack = if twa_deg < 0.0 { Tack::Port } else { Tack::Starboard };
        let rows: Vec<&AuditRow> = self.rows.iter().filter(|row| row.tack() == tack.name()).collect();
        let axis = |of: fn(&AuditRow) -> f64| {
            let mut values: Vec<f64> = rows.iter().map(|row| of(row)).collect();
            values.sort_by(f64::total_cmp);
            values.dedup();
            values
        };
        let (tws, twa) = (axis(|row| row.tws_kn), axis(|row| row.twa_deg));
        let cell = |twa: f64, tws: f64| rows.iter().find(|row| row.twa_deg == twa && row.tws_kn == tws);
        let speeds =
            twa.iter().flat_map(|twa| tws.iter().map(move |tws| cell(*twa, *tws).map(|row| row.flat_kn)));
        let flat = Polar::new(tws.clone(), twa.clone(), speeds.collect::<Option<_>>()?).ok()?;
        match flat.speed_kn(tws_kn, twa_deg.abs()) {
            Lookup::Inside(speed_kn) => Some(speed_kn),
            Lookup::Outside(_) => None,
        }
    }
}
