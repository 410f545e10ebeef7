//! A whole result with several regions and windows: every file is listed, every input digested, every number accounted.

mod support;

use roughwater::polar::Polar;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;
use support::{Bench, Ran, rows, snapshot, text};

/// The documented columns; new ones come after them.
const COLUMNS: &str = "region,window_start,window_end,tack,tws_kn,twa_deg,flat_kn,corrected_kn,factor,p10_kn,p50_kn,\
p90_kn,stage_added_resistance,stage_deck_water,stage_windage,stage_foil_lift,stage_foil_downtime,dominant_stage,\
factor_second_method,sea_states,covered,flags";

/// The example job on three rows and columns of its polar, in windows of one day, told as JSON.
static DEMO: LazyLock<(Bench, Ran)> = LazyLock::new(|| {
    let bench = Bench::foiler();
    bench.put("regions.geojson", text("examples/south-pacific/regions.geojson"));
    let ran = bench.run(&["derate", "job.toml", "--tacks", "signed", "--format", "json"]);
    (bench, ran)
});

fn json(bench: &Bench, name: &str) -> Value {
    serde_json::from_str(&bench.read(name)).unwrap()
}

fn number(row: &BTreeMap<String, String>, name: &str) -> f64 {
    row[name].parse().unwrap()
}

#[test]
fn the_index_lists_every_polar_and_nothing_else() {
    let (bench, ran) = &*DEMO;
    assert_eq!(ran.json()["polars"], 8, "4 regions in 2 days");
    let index = json(bench, "out/index.geojson");
    let features = index["features"].as_array().unwrap();
    assert_eq!(features.len(), 4);
    let polars = features.iter().flat_map(|feature| feature["properties"]["polars"].as_array().unwrap());
    let listed = polars.inspect(|polar| assert_eq!(polar["tacks"], "signed"));
    let listed: BTreeSet<String> = listed.map(|polar| polar["file"].as_str().unwrap().to_owned()).collect();
    let there = snapshot(&bench.path("out"));
    let files: BTreeSet<String> =
        there.into_iter().filter(|(_, bytes)| bytes.is_some()).map(|(name, _)| name).collect();
    let others =
        ["audit.csv", "cells.csv", "index.geojson", "manifest.json", "report.html"].map(str::to_owned);
    assert_eq!(files, listed.into_iter().chain(others).collect());
    let mut longitudes = Vec::new();
    features.iter().for_each(|feature| pairs(&feature["geometry"]["coordinates"], &mut longitudes));
    assert!(longitudes.len() > 16 && longitudes.iter().all(|lon| (-180.0..=180.0).contains(lon)));
    let across = features.iter().find(|feature| feature["properties"]["name"] == "Date line").unwrap();
    assert_eq!(across["geometry"]["type"], "MultiPolygon", "in two parts, one on each side of 180");
    assert_eq!(across["geometry"]["coordinates"].as_array().unwrap().len(), 2);
}

/// The first number of every position.
fn pairs(value: &Value, longitudes: &mut Vec<f64>) {
    let items = value.as_array().unwrap();
    match items[0].as_f64() {
        Some(longitude) => longitudes.push(longitude),
        None => items.iter().for_each(|item| pairs(item, longitudes)),
    }
}

/// Bounds: factors are written to 6 decimals, speeds to 4 and, in a polar's file, to 2.
#[test]
fn every_row_of_the_audit_adds_up_and_every_polar_holds_it() {
    let (bench, _) = &*DEMO;
    let text = bench.read("out/audit.csv");
    assert!(text.starts_with(COLUMNS));
    let audit = rows(&text);
    assert_eq!(audit.len(), 4 * 2 * 2 * 9);
    let stages = ["added_resistance", "deck_water", "windage", "foil_lift", "foil_downtime"];
    for row in &audit {
        let product: f64 = stages.iter().map(|stage| number(row, &format!("stage_{stage}"))).product();
        assert!((product - number(row, "factor")).abs() < 3e-6, "{row:?}");
        let (flat, corrected) = (number(row, "flat_kn"), number(row, "corrected_kn"));
        assert!((number(row, "factor") * flat - corrected).abs() < 1e-4, "{row:?}");
        assert!(corrected <= flat + 1e-4 && corrected > 0.3 * flat, "{row:?}");
        let band = ["factor_band_slow", "factor", "factor_band_fast"].map(|name| number(row, name));
        assert!(band.is_sorted(), "{row:?}");
        assert!(
            number(row, "p10_kn") <= number(row, "p50_kn") && number(row, "p50_kn") <= number(row, "p90_kn")
        );
        assert_eq!(row["covered"], "1.0000");
    }
    for feature in json(bench, "out/index.geojson")["features"].as_array().unwrap() {
        for polar in feature["properties"]["polars"].as_array().unwrap() {
            let table = rows(&bench.read(&format!("out/{}", polar["file"].as_str().unwrap())));
            let angles: Vec<&str> = table.iter().map(|row| row["twa_deg"].as_str()).collect();
            assert_eq!(angles, ["-145", "-90", "-48", "48", "90", "145"]);
            let of_polar = |row: &&BTreeMap<String, String>| {
                feature["properties"]["name"] == row["region"].as_str()
                    && polar["start"] == row["window_start"].as_str()
            };
            let cells: Vec<_> = audit.iter().filter(of_polar).collect();
            assert_eq!(cells.len(), 18);
            for cell in cells {
                let sign = if cell["tack"] == "port" { -1.0 } else { 1.0 };
                let signed = sign * number(cell, "twa_deg");
                let row = table.iter().find(|row| number(row, "twa_deg") == signed).unwrap();
                assert!((number(row, &cell["tws_kn"]) - number(cell, "corrected_kn")).abs() < 0.0051);
            }
        }
    }
}

/// The example's swells come from well off the wind, so the tacks meet them at different angles; long and low, they take
/// little, but more than the audit's last digit. `tests/balance.rs` has a steep one.
#[test]
fn tacks_differ_where_the_swell_is_off_the_wind() {
    let (bench, _) = &*DEMO;
    let audit = rows(&bench.read("out/audit.csv"));
    let (starboard, port): (Vec<_>, Vec<_>) = audit.iter().partition(|row| row["tack"] == "starboard");
    let most = starboard
        .iter()
        .map(|s| {
            let other = |p: &&&BTreeMap<String, String>| {
                ["region", "window_start", "tws_kn", "twa_deg"].iter().all(|name| p[*name] == s[*name])
            };
            (number(s, "corrected_kn") - number(port.iter().find(other).unwrap(), "corrected_kn")).abs()
        })
        .fold(0.0, f64::max);
    assert!(most > 0.001, "{most} kn");
}

/// Each file that shaped the result stands in the manifest, with the digest that another program finds.
#[test]
fn the_manifest_digests_every_input() {
    let (bench, _) = &*DEMO;
    let manifest = json(bench, "out/manifest.json");
    let inputs = manifest["inputs"].as_array().unwrap();
    let roles: BTreeSet<&str> = inputs.iter().map(|input| input["role"].as_str().unwrap()).collect();
    assert_eq!(roles, ["boat", "polar", "foils-up polar", "regions", "forecast"].into());
    assert_eq!(manifest["gaps"], serde_json::json!([]));
    for input in inputs {
        let path = bench.path(input["file"].as_str().unwrap());
        assert_eq!(input["bytes"], std::fs::metadata(&path).unwrap().len());
        match std::process::Command::new("sha256sum").arg(&path).output() {
            Err(_) => println!("skipped: no sha256sum here"),
            Ok(sum) => {
                let sum = String::from_utf8(sum.stdout).unwrap();
                assert_eq!(sum.split_whitespace().next(), input["sha256"].as_str(), "{path:?}");
            }
        }
    }
}

/// Of tiles of 1 degree by 2 over a sea with New Zealand in it, those on land are left out and the job is whole.
#[test]
fn tiles_on_land_are_left_out() {
    let bench = Bench::new();
    bench.put("polar.csv", "twa_deg,8,14\n90,5.4,6.7\n150,4.2,6.2\n");
    let job = bench
        .read("job.toml")
        .replace("regions = \"regions.geojson\"", "tiles = { lat_deg = 1, lon_deg = 2 }");
    bench.put("job.toml", job.replace("\"1d\"", "\"all\""));
    let told = bench.run(&["derate", "job.toml", "--format", "json", "--strict"]).json();
    let warnings = told["warnings"].to_string();
    assert!(warnings.contains("tiles hold no sea and were left out"), "{warnings}");
    let index = json(&bench, "out/index.geojson");
    for feature in index["features"].as_array().unwrap() {
        assert_eq!(feature["properties"]["polars"].as_array().unwrap().len(), 1);
    }
    assert_eq!(told["polars"], index["features"].as_array().unwrap().len());
}

#[test]
fn quiet_says_nothing() {
    let bench = Bench::new();
    let ran = bench.run(&["derate", "job.toml", "--quiet"]);
    assert_eq!((ran.code, ran.stdout.as_str(), ran.stderr.as_str()), (0, "", ""));
}

/// Smoothed polars differ from those computed, are nowhere above flat, and the manifest says so.
#[test]
fn smoothing_is_asked_for_and_recorded() {
    let bench = Bench::new();
    let run = |output: &str| {
        let ran = bench.run(&["derate", "job.toml", "--window", "all", "--output", output, "--quiet"]);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        let read = |name: &str| json(&bench, &format!("{output}/{name}"));
        let (manifest, index) = (read("manifest.json"), read("index.geojson"));
        let name = index["features"][0]["properties"]["polars"][0]["file"].as_str().unwrap().to_owned();
        (
            manifest["options"]["polar_csv"]["smoothing"].clone(),
            Polar::read(&bench.path(output).join(name)).unwrap(),
        )
    };
    let (none, plain) = run("plain");
    bench.put("job.toml", bench.read("job.toml") + "[polar_csv]\nsmoothing = \"binomial\"\n");
    let (binomial, smooth) = run("smooth");
    assert_eq!((none, binomial), ("none".into(), "binomial".into()));
    let flat = Polar::read(&bench.path("polar.csv")).unwrap();
    assert_ne!(plain, smooth);
    assert!(smooth.speeds_kn().iter().zip(flat.speeds_kn()).all(|(smooth, flat)| smooth <= flat));
}
