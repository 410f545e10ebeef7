//! Groups of cells of the audit as a table, as records of a CSV and as JSON.

use crate::cli::print::plain_table;
use comfy_table::Table;
use roughwater::result::{AuditGroup, GroupKey};
use serde_json::{Map, Value, json};

/// The columns of keys, then those of counts and means.
pub(super) fn columns(keys: &[GroupKey]) -> Vec<&'static str> {
    let counts = ["cells", "derated", "share_derated", "mean_factor", "min_factor"];
    keys.iter().flat_map(|key| key.columns()).copied().chain(counts).collect()
}

/// A row for every group.
pub(super) fn table(columns: &[&str], groups: &[AuditGroup]) -> Table {
    let mut table = plain_table(columns.iter().map(|name| name.replace('_', " ")));
    groups.iter().for_each(|group| {
        table.add_row(fields(group, 3));
    });
    table
}

/// A record for every group.
pub(super) fn records(groups: &[AuditGroup]) -> impl Iterator<Item = Vec<String>> {
    groups.iter().map(|group| fields(group, 6))
}

/// An object for every group.
pub(super) fn objects(columns: &[&str], groups: &[AuditGroup]) -> Vec<Value> {
    groups.iter().map(|group| object(columns, group)).collect()
}

fn fields(group: &AuditGroup, decimals: usize) -> Vec<String> {
    let factor = |value: Option<f64>| value.map(|value| format!("{value:.decimals$}")).unwrap_or_default();
    let stats = &group.stats;
    let mut fields = group.values.clone();
    fields.extend([
        stats.cells.to_string(),
        stats.derated.to_string(),
        factor(stats.share_derated()),
        factor(stats.mean_factor()),
        factor(stats.min_factor()),
    ]);
    fields
}

fn object(columns: &[&str], group: &AuditGroup) -> Value {
    let stats = &group.stats;
    let keys = group.values.iter().zip(columns).map(|(text, name)| match *name {
        "tws_kn" | "twa_deg" => text.parse::<f64>().map_or(json!(text), |number| json!(number)),
        _ => json!(text),
    });
    let counts = [
        json!(stats.cells),
        json!(stats.derated),
        json!(stats.share_derated()),
        json!(stats.mean_factor()),
        json!(stats.min_factor()),
    ];
    let names = columns.iter().map(|name| (*name).to_owned());
    Value::Object(names.zip(keys.chain(counts)).collect::<Map<_, _>>())
}
