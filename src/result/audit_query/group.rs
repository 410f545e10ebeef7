//! Rows grouped by what they have in common.

use crate::result::audit_query::row::Row;
use crate::result::audit_query::summary::Stats;
use std::collections::HashMap;

/// What rows are grouped by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Key {
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
pub struct Group {
    /// Values in the order of [`Key::columns`] of the keys.
    pub values: Vec<String>,
    /// Counts and means.
    pub stats: Stats,
}

impl Key {
    /// All of them.
    pub const ALL: [Self; 7] =
        [Self::Region, Self::Window, Self::Tack, Self::Tws, Self::Twa, Self::Stage, Self::Flag];

    /// The name it is asked for by.
    pub fn name(self) -> &'static str {
        match self {
            Key::Region => "region",
            Key::Window => "window",
            Key::Tack => "tack",
            Key::Tws => "tws",
            Key::Twa => "twa",
            Key::Stage => "stage",
            Key::Flag => "flag",
        }
    }

    /// The columns that hold the key.
    pub fn columns(self) -> &'static [&'static str] {
        match self {
            Key::Region => &["region"],
            Key::Window => &["window_start", "window_end"],
            Key::Tack => &["tack"],
            Key::Tws => &["tws_kn"],
            Key::Twa => &["twa_deg"],
            Key::Stage => &["dominant_stage"],
            Key::Flag => &["flag"],
        }
    }

    fn values(self, row: &Row, flag: &str) -> Vec<String> {
        match self {
            Key::Region => vec![row.region().to_owned()],
            Key::Window => vec![row.window.start.to_string(), row.window.end.to_string()],
            Key::Tack => vec![row.tack().to_owned()],
            Key::Tws => vec![row.tws_kn.to_string()],
            Key::Twa => vec![row.twa_deg.to_string()],
            Key::Stage => vec![row.dominant_stage().to_owned()],
            Key::Flag => vec![flag.to_owned()],
        }
    }
}

/// Groups rows; the group with the least mean factor comes first, groups without a factor last.
pub fn group(rows: &[Row], keys: &[Key]) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    let mut places: HashMap<Vec<String>, usize> = HashMap::new();
    for row in rows {
        for flag in flags(row, keys) {
            let values: Vec<String> = keys.iter().flat_map(|key| key.values(row, flag)).collect();
            let place = *places.entry(values).or_insert_with_key(|values| {
                groups.push(Group { values: values.clone(), stats: Stats::default() });
                groups.len() - 1
            });
            groups[place].stats.add(row);
        }
    }
    let mean = |group: &Group| group.stats.mean_factor().unwrap_or(f64::INFINITY);
    groups.sort_by(|a, b| mean(a).total_cmp(&mean(b)));
    groups
}

/// The flags a row counts for; one stand-in where flags are no key.
fn flags<'r>(row: &'r Row, keys: &[Key]) -> Vec<&'r str> {
    let flags: Vec<&str> = if keys.contains(&Key::Flag) { row.flags().collect() } else { Vec::new() };
    if flags.is_empty() { vec!["none"] } else { flags }
}
