//! What the files of a result folder are called. Names, once out, stay.

use crate::base::Window;
use crate::files::TableFormat;
use crate::polar::TackChoice;

/// What makes a folder a result.
pub const MANIFEST: &str = "manifest.json";
/// Which polar file serves where and when.
pub const INDEX: &str = "index.geojson";
/// The audit that questions are asked to.
pub const AUDIT: &str = "audit.csv";
/// The audit in the other format.
pub const AUDIT_PARQUET: &str = "audit.parquet";
/// The audit of an ensemble's members.
pub const MEMBERS: &str = "members.csv";
/// The cell audit that the report shows.
pub const CELLS: &str = "cells.csv";
/// The cell audit in the other format.
pub const CELLS_PARQUET: &str = "cells.parquet";
/// The page.
pub const REPORT: &str = "report.html";

/// The folder of corrected polars.
pub const POLARS: &str = "polars";
/// Every file that a result may hold besides polars.
pub const OF_A_RESULT: [&str; 8] =
    [MANIFEST, INDEX, AUDIT, AUDIT_PARQUET, MEMBERS, CELLS, CELLS_PARQUET, REPORT];

/// The cell audit in a format.
pub fn cells(format: TableFormat) -> &'static str {
    match format {
        TableFormat::Csv => CELLS,
        TableFormat::Parquet => CELLS_PARQUET,
    }
}

/// `polars/<region>/<start>-<tacks>.csv`, the start in ISO 8601's basic form, which every file system takes; of a
/// member, `-member-NN` before the ending.
pub fn polar(region: &str, window: Window, tacks: TackChoice, member: Option<u32>) -> String {
    let start = window.start.strftime("%Y%m%dT%H%M%SZ");
    let member = member.map(|member| format!("-member-{member:02}")).unwrap_or_default();
    format!("{POLARS}/{region}/{start}-{}{member}.csv", tacks.name())
}
