//! The report driven in Chromium, and what every report that is seen must show.

use crate::common::files::file;
use crate::common::tables::Row;
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::Command;

pub struct Tools {
    chromium: PathBuf,
    playwright: PathBuf,
}

impl Tools {
    /// What every driver is given first.
    pub fn arguments(&self) -> [&Path; 2] {
        [&self.chromium, &self.playwright]
    }
}

/// Chromium and its driver; none where the machine lacks them and they are not required.
pub fn tools() -> Option<Tools> {
    let chromium = ["chromium", "chromium-browser", "google-chrome"].iter().find_map(|name| on_path(name));
    let playwright = std::env::var_os("ROUGHWATER_PLAYWRIGHT")
        .map_or_else(|| file("target/ci-node/node_modules/playwright-core"), PathBuf::from);
    if let (Some(chromium), true, Some(_)) = (chromium, playwright.is_dir(), on_path("node")) {
        return Some(Tools { chromium, playwright });
    }
    let required = std::env::var("ROUGHWATER_BROWSER").is_ok_and(|value| value == "required");
    assert!(!required, "a browser is required: see tests/browser/README.md");
    println!("skipped: no node, chromium or playwright-core, see tests/browser/README.md");
    None
}

fn on_path(name: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path).map(|folder| folder.join(name)).find(|file| file.is_file())
}

/// What the driver saw; nothing may have gone wrong or been asked of a network.
pub fn drive(tools: &Tools, report: &Path) -> Value {
    let script = file("tests/browser/report.mjs");
    let done = Command::new("node")
        .args([script.as_path(), &tools.chromium, &tools.playwright, report])
        .output()
        .unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let seen: Value = serde_json::from_slice(&done.stdout).unwrap();
    assert_eq!(seen["errors"], serde_json::json!([]));
    assert_eq!(seen["requests"], serde_json::json!([seen["url"]]));
    seen
}

pub fn chosen<'a>(step: &'a Value, control: &str) -> &'a str {
    step["chosen"][control].as_str().unwrap()
}

/// The audit's row of what is chosen.
fn chosen_row<'a>(rows: &'a [Row], step: &Value) -> &'a Row {
    rows.iter()
        .find(|row| {
            row["region"] == chosen(step, "region")
                && format!("{}/{}", row["window_start"], row["window_end"]) == chosen(step, "window")
                && row["tack"] == chosen(step, "tack")
                && row["tws_kn"] == chosen(step, "tws")
                && row["twa_deg"] == chosen(step, "twa")
        })
        .unwrap()
}

/// The readout and the table of the most derated cells show the audit's own digits.
pub fn assert_numbers(rows: &[Row], step: &Value) {
    let row = chosen_row(rows, step);
    let shown = |name: &str| step["readout"][name].as_str().unwrap();
    assert_eq!(shown("flat"), format!("{} kn", row["flat_kn"]));
    assert_eq!(shown("corrected"), format!("{} kn", row["corrected_kn"]));
    assert_eq!(shown("factor"), row["factor"]);
    assert_eq!(shown("percentiles"), format!("{} / {} / {} kn", row["p10_kn"], row["p50_kn"], row["p90_kn"]));
    for (name, value) in row.iter().filter(|(name, _)| name.starts_with("stage_")) {
        assert_eq!(shown(name), value, "{name}");
    }
    let flags = if row["flags"].is_empty() { "none".to_owned() } else { row["flags"].replace('-', " ") };
    assert_eq!(shown("flags").replace("; ", ";"), flags);
    let mut factors: Vec<&str> = rows
        .iter()
        .filter(|other| other["region"] == row["region"] && other["window_start"] == row["window_start"])
        .map(|other| other["factor"].as_str())
        .collect();
    factors.sort_unstable();
    let worst = step["worst"].as_array().unwrap();
    assert_eq!(worst.len(), factors.len().min(12));
    for (line, factor) in worst.iter().zip(factors) {
        assert_eq!(line[6], factor);
    }
}

/// A result's audit, and what the driver saw of its report.
pub struct Driven {
    pub rows: Vec<Row>,
    pub seen: Value,
}

impl Driven {
    pub fn step(&self, name: &str) -> &Value {
        self.seen["steps"].get(name).unwrap_or_else(|| panic!("no step {name}"))
    }
}

/// What the page said and showed after a key, the n-th of its kind.
pub fn after<'a>(seen: &'a Value, key: &str, n: usize) -> &'a Value {
    let places = seen["places"].as_array().unwrap();
    &places.iter().filter(|place| place[0] == key).nth(n).unwrap()[1]
}

pub fn said(place: &Value) -> &str {
    place["readout"].as_str().unwrap()
}

/// The keys keep the focus on the map and the page where it is, and mark the cell that the page tells of.
pub fn assert_marked(seen: &Value) {
    let places = seen["places"].as_array().unwrap();
    let (left, on_map) = places.split_last().unwrap();
    for place in on_map {
        let (key, place) = (&place[0], &place[1]);
        assert_eq!(place["focus"], "map", "{key}");
        assert_eq!(place["scrolled"], on_map[0][1]["scrolled"], "{key}");
        assert_eq!(place["marks"].as_array().unwrap().len(), 2, "{key}");
        if said(place).contains("Hs") {
            assert_eq!(place["cell"].as_array().unwrap().len(), 1, "{key}: {}", said(place));
            assert_eq!(place["marks"][0], place["cell"][0], "{key}");
        }
    }
    assert_ne!(left[1]["focus"], "map");
    assert_eq!(left[1]["marks"], serde_json::json!([]));
}
