//! Cells of the audit as a table and as JSON.

use crate::cli::print::plain_table;
use comfy_table::Table;
use roughwater::result::AuditRow;
use serde_json::{Value, json};

/// A row for every cell.
pub(super) fn table(rows: &[AuditRow]) -> Table {
    let mut table = plain_table([
        "region",
        "from (UTC)",
        "tack",
        "TWS kn",
        "TWA",
        "flat kn",
        "in waves",
        "factor",
        "mostly by",
        "flags",
    ]);
    rows.iter().for_each(|row| {
        table.add_row(cells(row));
    });
    table
}

/// An object for every cell.
pub(super) fn objects(columns: &[String], rows: &[AuditRow]) -> Vec<Value> {
    rows.iter().map(|row| object(columns, row)).collect()
}

fn cells(row: &AuditRow) -> [String; 10] {
    [
        row.region().to_owned(),
        row.window.start.strftime("%Y-%m-%d %H:%M").to_string(),
        row.tack().to_owned(),
        row.tws_kn.to_string(),
        row.twa_deg.to_string(),
        format!("{:.2}", row.flat_kn),
        format!("{:.2}", row.corrected_kn),
        row.factor.map(|factor| format!("{factor:.3}")).unwrap_or_default(),
        row.dominant_stage().replace('_', " "),
        row.flags().collect::<Vec<_>>().join(", "),
    ]
}

/// All fields of a row: numbers as numbers, empty ones as null, flags as a list.
fn object(columns: &[String], row: &AuditRow) -> Value {
    let value = |name: &str, text: &str| match name {
        "flags" => json!(row.flags().collect::<Vec<_>>()),
        "region" | "window_start" | "window_end" | "tack" | "dominant_stage" => json!(text),
        _ if text.is_empty() => Value::Null,
        _ => text.parse::<f64>().map_or(json!(text), |number| json!(number)),
    };
    let fields = columns.iter().zip(&row.fields);
    Value::Object(fields.map(|(name, text)| (name.clone(), value(name, text))).collect())
}
