//! What the files of a result folder are called. Names, once out, stay.

use crate::base::Window;
use crate::files::TableFormat;
use crate::polar::TackChoice;
use crate::region::check_name;
use std::collections::BTreeMap;

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

/// `polars/<folder>/<start>-<tacks>.csv`, the start in ISO 8601's basic form, which every file system takes; of a
/// member, `-member-NN` before the ending. `folder` is the region's of [`region_folders`].
pub fn polar(folder: &str, window: Window, tacks: TackChoice, member: Option<u32>) -> String {
    let start = window.start.strftime("%Y%m%dT%H%M%SZ");
    let member = member.map(|member| format!("-member-{member:02}")).unwrap_or_default();
    format!("{POLARS}/{folder}/{start}-{}{member}.csv", tacks.name())
}

/// The folder of each region: its name with a hyphen for whatever a shell would need quotes for, and a number behind it
/// where two would be alike but for case. The index leads back from a file to the name.
pub fn region_folders<'n>(names: impl IntoIterator<Item = &'n str>) -> BTreeMap<&'n str, String> {
    let mut folders: BTreeMap<&str, String> = BTreeMap::new();
    for name in names {
        let bare = hyphenated(name);
        let taken = |folder: &str| folders.values().any(|own| own.to_lowercase() == folder.to_lowercase());
        let numbered = (2..).map(|number| format!("{bare}-{number}"));
        let free = std::iter::once(bare.clone()).chain(numbered).find(|folder| !taken(folder));
        folders.insert(name, free.unwrap_or(bare));
    }
    folders
}

/// A name's letters, digits, `.` and `_`, with one hyphen for each run of anything else.
fn hyphenated(name: &str) -> String {
    let kept = |c: char| if c.is_alphanumeric() || c == '.' || c == '_' { c } else { ' ' };
    let words: String = name.chars().map(kept).collect();
    let folder = words.split_whitespace().collect::<Vec<_>>().join("-");
    // nothing left, or by itself what some systems reserve
    if check_name(&folder).is_ok() {
        folder
    } else {
        format!("region-{folder}").trim_matches(['-', '.']).to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_need_no_quotes_and_are_apart() {
        let names = [
            "South of the Snares",
            "South-of the snares",
            "40.5N 030W",
            "Южный океан",
            "Ria (a, b)",
            "&",
            "con!",
        ];
        let folders = region_folders(names);
        let of = |name: &str| folders[name].as_str();
        assert_eq!(
            names.map(of),
            [
                "South-of-the-Snares",
                "South-of-the-snares-2",
                "40.5N-030W",
                "Южный-океан",
                "Ria-a-b",
                "region",
                "region-con",
            ]
        );
        assert!(folders.values().all(|folder| check_name(folder).is_ok()));
    }
}
