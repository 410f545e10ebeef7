//! Rows grouped by what they have in common.

use crate::result::audit::columns::{
    DOMINANT_STAGE, REGION, TACK, TWA_DEG, TWS_KN, WINDOW_END, WINDOW_START,
};
use crate::result::audit::row::AuditRow;
use crate::result::audit::summary::Stats;
use std::collections::HashMap;

/// What rows are grouped by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GroupKey {
    /// The region.
    Region,
    /// The time window.
    Window,
    /// The tack.
    Tack,
    /// True wind speed.
    Tws,
    /// True wind angle.
    Twa,
    /// The dominant stage.
    Stage,
    /// Each flag: a row with several counts once for each, one without counts for `none`.
    Flag,
}

/// Rows with equal values of all keys.
#[derive(Debug, Clone, PartialEq)]
pub struct AuditGroup {
    /// Values in the order of [`GroupKey::columns`] of the keys.
    pub values: Vec<String>,
    /// Counts and means.
    pub stats: Stats,
}

impl GroupKey {
    /// All of them.
    pub const ALL: [Self; 7] =
        [Self::Region, Self::Window, Self::Tack, Self::Tws, Self::Twa, Self::Stage, Self::Flag];

    /// The name it is asked for by.
    pub fn name(self) -> &'static str {
        match self {
            GroupKey::Region => "region",
            GroupKey::Window => "window",
            GroupKey::Tack => "tack",
            GroupKey::Tws => "tws",
            GroupKey::Twa => "twa",
            GroupKey::Stage => "stage",
            GroupKey::Flag => "flag",
        }
    }

    /// The columns that hold the key.
    pub fn columns(self) -> &'static [&'static str] {
        match self {
            GroupKey::Region => &[REGION.name],
            GroupKey::Window => &[WINDOW_START.name, WINDOW_END.name],
            GroupKey::Tack => &[TACK.name],
            GroupKey::Tws => &[TWS_KN.name],
            GroupKey::Twa => &[TWA_DEG.name],
            GroupKey::Stage => &[DOMINANT_STAGE.name],
            GroupKey::Flag => &["flag"],
        }
    }

    fn values(self, row: &AuditRow, flag: &str) -> Vec<String> {
        match self {
            GroupKey::Region => vec![row.region().to_owned()],
            GroupKey::Window => vec![row.window.start.to_string(), row.window.end.to_string()],
            GroupKey::Tack => vec![row.tack().to_owned()],
            GroupKey::Tws => vec![row.tws_kn.to_string()],
            GroupKey::Twa => vec![row.twa_deg.to_string()],
            GroupKey::Stage => vec![row.dominant_stage().to_owned()],
            GroupKey::Flag => vec![flag.to_owned()],
        }
    }
}

/// Groups rows; the group with the least mean factor comes first, groups without a factor last.
pub fn group(rows: &[AuditRow], keys: &[GroupKey]) -> Vec<AuditGroup> {
    let mut groups: Vec<AuditGroup> = Vec::new();
    let mut places: HashMap<Vec<String>, usize> = HashMap::new();
    for row in rows {
        for flag in flags(row, keys) {
            let values: Vec<String> = keys.iter().flat_map(|key| key.values(row, flag)).collect();
            let place = *places.entry(values).or_insert_with_key(|values| {
                groups.push(AuditGroup { values: values.clone(), stats: Stats::default() });
                groups.len() - 1
            });
            groups[place].stats.add(row);
        }
    }
    let mean = |group: &AuditGroup| group.stats.mean_factor().unwrap_or(f64::INFINITY);
    groups.sort_by(|a, b| mean(a).total_cmp(&mean(b)));
    groups
}

/// The flags a row counts for; one stand-in where flags are no key.
fn flags<'r>(row: &'r AuditRow, keys: &[GroupKey]) -> Vec<&'r str> {
    let flags: Vec<&str> = if keys.contains(&GroupKey::Flag) { row.flags().collect() } else { Vec::new() };
    if flags.is_empty() { vec!["none"] } else { flags }
}
