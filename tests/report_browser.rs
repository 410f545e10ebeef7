//! The report in a real browser: every control works, and every number shown is the audit's.

mod small_job;

use serde_json::Value;
use small_job::{Job, with};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

type Row = BTreeMap<String, String>;

/// A region name that ends scripts, opens tags and entities where it is not escaped.
const NASTY: &str = r#"</script><b>"&"#;

struct Tools {
    chromium: PathBuf,
    playwright: PathBuf,
}

/// Chromium and its driver; none where the machine lacks them and they are not required.
fn tools() -> Option<Tools> {
    let chromium = ["chromium", "chromium-browser", "google-chrome"].iter().find_map(|name| on_path(name));
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let playwright = std::env::var_os("ROUGHWATER_PLAYWRIGHT")
        .map_or_else(|| root.join("target/ci-node/node_modules/playwright-core"), PathBuf::from);
    if let (Some(chromium), true, Some(_)) = (chromium, playwright.is_dir(), on_path("node")) {
        return Some(Tools { chromium, playwright });
    }
    let required = std::env::var("ROUGHWATER_BROWSER").is_ok_and(|value| value == "required");
    assert!(!required, "a browser is required: see tests/browser/README.md");
    eprintln!("skipped: no node, chromium or playwright-core, see tests/browser/README.md");
    None
}

fn on_path(name: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path).map(|folder| folder.join(name)).find(|file| file.is_file())
}

/// What the driver saw; nothing may have gone wrong or been asked of a network.
fn drive(tools: &Tools, report: &Path) -> Value {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/browser/report.mjs");
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

fn audit(path: &Path) -> Vec<Row> {
    csv::Reader::from_path(path).unwrap().deserialize().map(Result::unwrap).collect()
}

fn chosen<'a>(step: &'a Value, control: &str) -> &'a str {
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
fn assert_numbers(rows: &[Row], step: &Value) {
    let row = chosen_row(rows, step);
    let shown = |name: &str| step["readout"][name].as_str().unwrap();
    assert_eq!(shown("flat"), format!("{} kn", row["flat_kn"]));
    assert_eq!(shown("corrected"), format!("{} kn", row["corrected_kn"]));
    assert_eq!(shown("factor"), row["factor"]);
    assert_eq!(shown("percentiles"), format!("{} / {} / {} kn", row["p10_kn"], row["p50_kn"], row["p90_kn"]));
    for (name, value) in row.iter().filter(|(name, _)| name.starts_with("stage_")) {
        assert_eq!(shown(name), value, "{name}");
    }
    assert_eq!(shown("flags").replace("; ", ";"), row["flags"].replace('-', " "));
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

#[test]
fn every_control_changes_what_it_should() {
    let Some(tools) = tools() else { return };
    let job = Job::new();
    job.file("job.toml", &with(&Job::text(), "window", "\"12h\""));
    job.derate().arg("--quiet").assert().success();
    let rows = audit(&job.path("out/audit.csv"));
    let seen = drive(&tools, &job.path("out/report.html"));
    let steps = seen["steps"].as_object().unwrap();
    for step in steps.values() {
        assert_numbers(&rows, step);
        assert_eq!(step["caution"], roughwater::CAUTION);
    }
    let changed =
        |from: &str, to: &str, what: &str| assert_ne!(steps[from][what], steps[to][what], "{to}: {what}");
    for what in ["map", "polar", "stages", "worst", "time", "readout", "advisories"] {
        changed("start", "slider", what);
        changed("slider", "window", what);
    }
    for what in ["polar", "stages", "readout", "advisories"] {
        changed("window", "tws", what);
    }
    for what in ["polar", "readout"] {
        changed("tws", "twa", what);
    }
    // where waves come from astern both tacks may lose nothing, so that only the heading of the numbers differs
    for what in ["polar", "title"] {
        changed("twa", "tack", what);
    }
    changed("tack", "worst", "chosen");
    assert_eq!(steps["worst"]["readout"]["factor"], steps["worst"]["worst"][0][6]);
    for look in ["dark", "night", "system-dark"] {
        changed("light", look, "paper");
        changed("light", look, "map");
    }
    assert_eq!(steps["dark"]["paper"], steps["system-dark"]["paper"]);
    assert_eq!(steps["system"]["paper"], steps["light"]["paper"]);
    assert_eq!(steps["print"]["paper"], "rgb(255, 255, 255)");
    assert_red(&steps["night"]);
    assert_marked(&seen);
    // cells of one degree; she looks north, then comes back
    let latitude = |place: &Value| said(place).split('°').next().unwrap().parse::<f64>().unwrap();
    let (before, north, back) =
        (after(&seen, "ArrowRight", 1), after(&seen, "ArrowUp", 0), after(&seen, "ArrowDown", 0));
    assert_eq!(latitude(before) - latitude(north), 1.0, "{} {}", said(before), said(north));
    assert_eq!(said(before), said(back));
    assert_fits(&seen);
}

/// At night no colour has more than half as much green or blue as red.
fn assert_red(step: &Value) {
    for colour in step["colours"].as_array().unwrap().iter().map(|colour| colour.as_str().unwrap()) {
        let Some(parts) = colour.strip_prefix("rgb(").or_else(|| colour.strip_prefix("rgba(")) else {
            continue;
        };
        let parts: Vec<f64> =
            parts.trim_end_matches(')').split(',').map(|part| part.trim().parse().unwrap()).collect();
        assert!(parts[1].max(parts[2]) <= parts[0] / 2.0, "{colour}");
    }
}

/// Nothing wider than a phone; every control is named and shows the focus.
fn assert_fits(seen: &Value) {
    assert_eq!(seen["phone"], serde_json::json!({"width": 390, "wide": []}));
    assert_eq!(seen["unlabelled"], serde_json::json!([]));
    let order: Vec<&str> =
        seen["focus"].as_array().unwrap().iter().map(|focus| focus[0].as_str().unwrap()).collect();
    assert_eq!(order, ["region", "window", "tws", "twa", "tack", "look", "time", "map"]);
    assert!(seen["focus"].as_array().unwrap().iter().all(|focus| focus[1] == "solid"));
}

/// What the page said and showed after a key, the n-th of its kind.
fn after<'a>(seen: &'a Value, key: &str, n: usize) -> &'a Value {
    let places = seen["places"].as_array().unwrap();
    &places.iter().filter(|place| place[0] == key).nth(n).unwrap()[1]
}

fn said(place: &Value) -> &str {
    place["readout"].as_str().unwrap()
}

/// The keys keep the focus on the map and the page where it is, and mark the cell that the page tells of.
fn assert_marked(seen: &Value) {
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

const COLUMNS: &str = "region,window_start,window_end,tack,tws_kn,twa_deg,flat_kn,corrected_kn,factor,p10_kn,p50_kn,\
p90_kn,stage_added_resistance,stage_deck_water,stage_windage,stage_foil_lift,stage_foil_downtime,dominant_stage,\
factor_second_method,sea_states,covered,flags,factor_band_slow,factor_band_fast,deck_water_kg,availability,\
slam_rate_per_h,wetness_rate_per_h,bow_acceleration_rms_g";

/// A result by hand: two regions, the first across 180 with a name that needs escaping, and a cell audit.
fn by_hand() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    let quoted = format!("\"{}\"", NASTY.replace('"', "\"\""));
    let mut audit = format!("{COLUMNS}\r\n");
    let mut cells =
        "region,valid,lat_deg,lon_deg,area_km2,tws_kn,wind_from_deg,hs_m,peak_period_s,wave_from_deg,\
                     mean_factor,worst_factor,worst_tack,worst_twa_deg,dominant_stage,flags\r\n"
            .to_owned();
    for (region, loss, lons) in [(quoted.as_str(), 0.1, [179.5, -179.5]), ("East", 0.02, [-177.5, -176.5])] {
        for tack in ["starboard", "port"] {
            for (tws, twa) in [(10, 60), (10, 120), (20, 60), (20, 120)] {
                let factor = 1.0 - loss * f64::from(tws) / 20.0 - f64::from(twa) / 12_000.0;
                let (flat, corrected) = (10.0, 10.0 * factor);
                audit += &format!(
                    "{region},2030-01-01T00:00:00Z,2030-01-01T12:00:00Z,{tack},{tws},{twa},{flat:.4},{corrected:.4},\
                     {factor:.6},{:.4},{corrected:.4},{:.4},{factor:.6},1.000000,1.000000,1.000000,1.000000,\
                     added_resistance,{factor:.6},4,1.0000,beam-sea-not-modelled,{factor:.6},{factor:.6},0.00,1.000000,\
                     1.000,,0.7000\r\n",
                    corrected - 0.2,
                    corrected + 0.2
                );
            }
        }
        for lon in lons {
            cells += &format!(
                "{region},2030-01-01T06:00:00Z,-50.5,{lon},7000,20,270,{},8.5,250,{},0.8,port,60,\
                 added_resistance,\r\n",
                1.0 + 20.0 * loss,
                1.0 - loss
            );
        }
    }
    file("audit.csv", &audit);
    file("cells.csv", &cells);
    let feature = |name: &str, boxes: Value| {
        serde_json::json!({"type": "Feature", "properties": {"name": name, "polars": []},
        "geometry": {"type": "MultiPolygon", "coordinates": boxes}})
    };
    let ring = |west: f64, east: f64| {
        serde_json::json!([[[west, -52.0], [east, -52.0], [east, -49.0], [west, -49.0], [west, -52.0]]])
    };
    let index = serde_json::json!({"type": "FeatureCollection", "features": [
        feature(NASTY, serde_json::json!([ring(179.0, 180.0), ring(-180.0, -179.0)])),
        feature("East", serde_json::json!([ring(-178.0, -176.0)])),
    ]});
    file("index.geojson", &index.to_string());
    let manifest = serde_json::json!({"program": "roughwater", "version": "0", "inputs": [{"role": "boat", "file": NASTY,
        "bytes": 1, "sha256": "00"}], "options": {"window": "12h"}, "counts": {}, "warnings": [format!("w {NASTY}")],
        "gaps": [format!("g {NASTY}")], "model": ["advisories against a standard: bow acceleration 0.65 g rms"]});
    file("manifest.json", &manifest.to_string());
    folder
}

#[test]
fn a_name_is_text_and_180_is_no_edge() {
    let folder = by_hand();
    // a passage across 180 that is under way as the window opens, and arrives before it closes
    let passage = folder.path().join("passage.gpx");
    let point =
        |lon: f64, time: &str| format!(r#"<trkpt lat="-50.5" lon="{lon}"><time>{time}</time></trkpt>"#);
    let points = point(179.2, "2029-12-31T22:00:00Z") + &point(-176.5, "2030-01-01T08:30:00Z");
    let gpx = format!(
        r#"<gpx version="1.1" creator="by hand"><trk><name>&lt;b&gt;</name><trkseg>{points}</trkseg></trk></gpx>"#
    );
    std::fs::write(&passage, gpx).unwrap();
    let mut program = assert_cmd::Command::cargo_bin("roughwater").unwrap();
    program.arg("report").arg(folder.path()).arg("--passage").arg(&passage).assert().success();
    let page = std::fs::read_to_string(folder.path().join("report.html")).unwrap();
    assert!(!page.contains("<b>\""));
    let Some(tools) = tools() else { return };
    let seen = drive(&tools, &folder.path().join("report.html"));
    let start = &seen["steps"]["start"];
    assert_eq!(chosen(start, "region"), NASTY);
    for what in ["gaps", "provenance"] {
        assert!(start[what].as_str().unwrap().contains(NASTY), "{what}");
    }
    assert_numbers(&audit(&folder.path().join("audit.csv")), start);
    // a line and its edge, the ring of the opening window, none of the closing one
    let sailed = &start["sailed"];
    assert_eq!((sailed["lines"].as_u64(), sailed["rings"].as_u64()), (Some(2), Some(1)));
    assert!(sailed["note"].as_str().unwrap().contains("<b>: arrival 01 Jan 2030 08:30 UTC"), "{sailed}");
    // 0.7 g at every cell against 0.65
    assert!(start["advisories"].as_str().unwrap().contains("over the limit"));
    assert_eq!(start["cells"], 4);
    let side = |cell: usize, part: usize| start["cellBoxes"][cell][part].as_f64().unwrap();
    let (mut west, mut east) = ((side(0, 0), side(0, 1)), (side(1, 0), side(1, 1)));
    if west.0 > east.0 {
        (west, east) = (east, west);
    }
    assert!((west.0 + west.1 - east.0).abs() < 0.5, "cells on both sides of 180 touch: {west:?} {east:?}");
    // one row of cells; the keys begin in the chosen region, cross 180, stop at the row's ends and choose as a tap does
    assert_marked(&seen);
    for (key, n, at) in [
        ("Tab", 0, "179.5°W"),
        ("ArrowLeft", 0, "179.5°E"),
        ("ArrowLeft", 1, "179.5°E"),
        ("ArrowRight", 0, "179.5°W"),
        ("ArrowRight", 1, "177.5°W"),
        ("ArrowUp", 0, "177.5°W"),
        ("ArrowDown", 0, "177.5°W"),
        ("ArrowLeft", 2, "179.5°W"),
    ] {
        let place = after(&seen, key, n);
        assert!(said(place).starts_with(&format!("50.5°S {at}: Hs ")), "{key} {n}: {}", said(place));
    }
    assert_eq!(after(&seen, "ArrowRight", 1)["region"], NASTY, "going there chooses nothing");
    for (key, region) in [("Enter", "East"), (" ", NASTY)] {
        let place = after(&seen, key, 0);
        assert_eq!(place["region"], region);
        assert!(said(place).starts_with(&format!("{region}: mean factor")), "{}", said(place));
    }
    for what in ["map", "polar", "sea", "readout", "worst"] {
        assert_ne!(seen["steps"]["slider"][what], seen["steps"]["region"][what], "{what}");
    }
}

#[test]
fn a_folder_that_is_no_result_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let made =
        assert_cmd::Command::cargo_bin("roughwater").unwrap().arg("report").arg(folder.path()).assert();
    let text = String::from_utf8(made.code(1).get_output().stderr.clone()).unwrap();
    assert!(text.contains("manifest.json") && text.contains("remedy"), "{text}");
}
