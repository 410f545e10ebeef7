//! The report driven in Chromium, and what every report that is seen must show.

use crate::common::files::file;
use crate::common::tables::{Row, number};
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

/// What a script of `tests/browser` found.
pub fn script(name: &str, arguments: &[&Path]) -> Value {
    script_with(name, arguments, &[])
}

/// The same, told something by its environment.
pub fn script_with(name: &str, arguments: &[&Path], told: &[(&str, &str)]) -> Value {
    let script = file("tests/browser").join(name);
    let done = Command::new("node").arg(script).args(arguments).envs(told.iter().copied()).output().unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    serde_json::from_slice(&done.stdout).unwrap()
}

/// What the driver saw; nothing may have gone wrong or been asked of a network.
pub fn drive(tools: &Tools, report: &Path) -> Value {
    let seen = script("report.mjs", &[&tools.chromium, &tools.playwright, report]);
    assert_eq!(seen["errors"], serde_json::json!([]));
    let own = seen["url"].as_str().unwrap();
    for request in seen["requests"].as_array().unwrap() {
        assert_eq!(request.as_str().unwrap().split('#').next(), Some(own));
    }
    seen
}

pub fn chosen<'a>(step: &'a Value, control: &str) -> &'a str {
    step["chosen"][control].as_str().unwrap()
}

/// The audit's rows of what is chosen: one, or one of each tack.
fn chosen_rows<'a>(rows: &'a [Row], step: &Value) -> Vec<&'a Row> {
    let tack = chosen(step, "tack");
    let one = ["starboard", "port"].contains(&tack);
    rows.iter()
        .filter(|row| {
            row["region"] == chosen(step, "region")
                && format!("{}/{}", row["window_start"], row["window_end"]) == chosen(step, "window")
                && (!one || row["tack"] == tack)
                && row["tws_kn"] == chosen(step, "tws")
                && row["twa_deg"] == chosen(step, "twa")
        })
        .collect()
}

/// On demand the chosen cell shows the audit's own digits.
pub fn assert_numbers(rows: &[Row], step: &Value) {
    let rows = chosen_rows(rows, step);
    assert!(!rows.is_empty());
    let shown = |name: &str, k: usize| {
        let lines = step["readout"].as_array().unwrap();
        let line = lines.iter().find(|line| line[0] == name).unwrap_or_else(|| panic!("no {name}"));
        line[1][k].as_str().unwrap()
    };
    for (k, row) in rows.iter().enumerate() {
        assert_eq!(
            step["heads"][k],
            format!("{}, TWS {}, TWA {}", row["tack"], row["tws_kn"], row["twa_deg"])
        );
        assert_eq!(shown("flat", k), format!("{} kn", row["flat_kn"]));
        assert_eq!(shown("corrected", k), format!("{} kn", row["corrected_kn"]));
        assert_eq!(shown("factor", k), row["factor"]);
        assert_eq!(
            shown("percentiles", k),
            format!("{} / {} / {} kn", row["p10_kn"], row["p50_kn"], row["p90_kn"])
        );
        for (name, value) in row.iter().filter(|(name, _)| name.starts_with("stage_")) {
            assert_eq!(shown(name, k), value, "{name}");
        }
        let flags = if row["flags"].is_empty() { "none".to_owned() } else { row["flags"].replace('-', " ") };
        assert_eq!(shown("flags", k).replace("; ", ";"), flags);
    }
}

/// The analyst's table holds the cells that lose most where it blows, with the audit's own digits.
pub fn assert_worst(rows: &[Row], step: &Value, analyst: &Value) {
    let mut of_part: Vec<&Row> = rows
        .iter()
        .filter(|row| {
            row["region"] == chosen(step, "region")
                && chosen(step, "window").starts_with(&row["window_start"])
                && number(row, "wind_share") > 0.0
                && !row["factor"].is_empty()
        })
        .collect();
    let weighed =
        |row: &Row| (number(row, "flat_kn") - number(row, "corrected_kn")) * number(row, "wind_share");
    of_part.sort_by(|a, b| weighed(b).total_cmp(&weighed(a)));
    let worst = analyst["worst"].as_array().unwrap();
    assert_eq!(worst.len(), of_part.len().min(12));
    for (line, row) in worst.iter().zip(of_part) {
        let cell = |k: usize| line[k].as_str().unwrap();
        // rows that lose alike may change places
        let same = rows
            .iter()
            .find(|other| {
                (cell(1), cell(2), cell(3))
                    == (other["tack"].as_str(), other["tws_kn"].as_str(), other["twa_deg"].as_str())
                    && other["region"] == row["region"]
                    && other["window_start"] == row["window_start"]
            })
            .unwrap();
        assert!((weighed(same) - weighed(row)).abs() < 1e-9, "{line}");
        assert_eq!(
            (cell(7), cell(8), cell(9)),
            (same["flat_kn"].as_str(), same["corrected_kn"].as_str(), same["factor"].as_str())
        );
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

/// The keys keep the focus on the map and the page where it is, and mark a cell.
pub fn assert_marked(seen: &Value) {
    let places = seen["places"].as_array().unwrap();
    let (left, on_map) = places.split_last().unwrap();
    for place in on_map {
        let (key, place) = (&place[0], &place[1]);
        assert_eq!(place["focus"], "map", "{key}");
        assert_eq!(place["scrolled"], on_map[0][1]["scrolled"], "{key}");
        assert_eq!(place["marks"].as_array().unwrap().len(), 2, "{key}");
        assert_eq!(place["onCell"], true, "{key}");
    }
    assert_ne!(left[1]["focus"], "map");
    assert_eq!(left[1]["marks"], serde_json::json!([]));
}

/// A CSV text as rows of fields.
pub fn fields(text: &str, delimiter: u8) -> Vec<Vec<String>> {
    let mut reader =
        csv::ReaderBuilder::new().has_headers(false).delimiter(delimiter).from_reader(text.as_bytes());
    reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
}

/// What every report keeps, whatever it shows.
pub fn assert_promises(seen: &Value) {
    for look in ["light", "dark", "night", "print"] {
        let of = &seen["contrast"][look];
        assert!(of["texts"].as_u64().unwrap() > 60, "{look}: {}", of["texts"]);
        assert_eq!(of["below"], serde_json::json!([]), "{look}: texts of a contrast below 4.5");
    }
    assert_eq!(seen["unlabelled"], serde_json::json!([]));
    assert_eq!(seen["phone"]["width"], 390);
    assert_eq!(seen["phone"]["wide"], serde_json::json!([]));
    assert!(seen["phone"]["answerEnds"].as_f64().unwrap() < 844.0, "the first screen answers");
    let print = &seen["print"];
    assert_eq!(print["paper"], "rgb(255, 255, 255)");
    assert_eq!(print["controls"], serde_json::json!([]));
    assert_eq!(print["answers"], 1, "the chosen region's sentence alone");
    assert!((1..=2).contains(&print["pages"].as_u64().unwrap()), "{} pages", print["pages"]);
    for step in seen["steps"].as_object().unwrap().values() {
        assert_eq!(step["caution"], roughwater::CAUTION);
        assert_eq!(
            step["address"]["region"].as_str().unwrap_or(chosen(step, "region")),
            chosen(step, "region")
        );
    }
    let order = &seen["steps"]["start"]["ranking"];
    assert_eq!(order["options"], order["answers"], "one ranking");
    let texts: Vec<(&str, [f64; 4])> = seen["analyst"]["start"]["stageTexts"]
        .as_array()
        .unwrap()
        .iter()
        .map(|text| (text[0].as_str().unwrap(), std::array::from_fn(|k| text[k + 1].as_f64().unwrap())))
        .collect();
    for (k, (a, [x, y, w, h])) in texts.iter().enumerate() {
        for (b, [x2, y2, w2, h2]) in &texts[..k] {
            let apart = x + w <= *x2 || x2 + w2 <= *x || y + h <= y2 + 4.0 || y2 + h2 <= y + 4.0;
            assert!(apart, "\"{a}\" and \"{b}\" of the chart of causes collide");
        }
    }
}
