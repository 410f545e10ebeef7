//! What an audit holds as a whole.

use crate::base::Window;
use crate::result::audit::row::AuditRow;
use std::collections::BTreeSet;

/// The values that occur in an audit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AuditContents {
    /// Number of rows.
    pub rows: usize,
    /// Names of regions.
    pub regions: BTreeSet<String>,
    /// Windows in order of time.
    pub windows: BTreeSet<Window>,
    /// True wind speeds, kn, ascending.
    pub tws_kn: Vec<f64>,
    /// True wind angles, degrees, ascending.
    pub twa_deg: Vec<f64>,
}

impl AuditContents {
    pub(super) fn note(&mut self, row: &AuditRow) {
        self.rows += 1;
        if !self.regions.contains(row.region()) {
            self.regions.insert(row.region().to_owned());
        }
        self.windows.insert(row.window);
        insert(&mut self.tws_kn, row.tws_kn);
        insert(&mut self.twa_deg, row.twa_deg);
    }
}

fn insert(ascending: &mut Vec<f64>, value: f64) {
    if let Err(place) = ascending.binary_search_by(|known| known.total_cmp(&value)) {
        ascending.insert(place, value);
    }
}
