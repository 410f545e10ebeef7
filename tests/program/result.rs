//! What stands in a result: every file is listed, every input digested, every number accounted.

use crate::common::bench::{Bench, Ran};
use crate::common::files::text;
use crate::common::python::python;
use crate::common::tables::{Row, number, rows};
use roughwater::polar::Polar;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

/// The documented columns; new ones come after them.
const COLUMNS: &str = "region,window_start,window_end,tack,tws_kn,twa_deg,flat_kn,corrected_kn,factor,p10_kn,p50_kn,\
p90_kn,stage_added_resistance,stage_deck_water,stage_windage,stage_foil_lift,stage_foil_downtime,dominant_stage,\
factor_second_method,sea_states,covered,flags";

/// The example job on three rows and columns of its polar, in windows of one day, told as JSON.
static DEMO: LazyLock<(Bench, Ran)> = LazyLock::new(|| {
    let bench = Bench::foiler();
    bench.put("regions.geojson", text("examples/south-pacific/regions.geojson"));
    let ran = bench.derate(&["--tacks", "signed", "--format", "json"]);
    (bench, ran)
});

#[test]
fn the_index_lists_every_polar_and_nothing_else() {
    let (bench, ran) = &*DEMO;
    assert_eq!(ran.json()["polars"], 8, "4 regions in 2 days");
    let index = bench.json("out/index.geojson");
    let features = index["features"].as_array().unwrap();
    assert_eq!(features.len(), 4);
    let polars = features.iter().flat_map(|feature| feature["properties"]["polars"].as_array().unwrap());
    let listed = polars.inspect(|polar| assert_eq!(polar["tacks"], "signed"));
    let listed: BTreeSet<String> = listed.map(|polar| polar["file"].as_str().unwrap().to_owned()).collect();
    let there = bench.result();
    let files: BTreeSet<String> =
        there.into_iter().filter(|(_, bytes)| bytes.is_some()).map(|(name, _)| name).collect();
    let others =
        ["audit.csv", "cells.csv", "index.geojson", "manifest.json", "report.html"].map(str::to_owned);
    assert_eq!(files, listed.into_iter().chain(others).collect());
}

#[test]
fn a_region_across_180_is_in_two_parts() {
    let (bench, _) = &*DEMO;
    let index = bench.json("out/index.geojson");
    let features = index["features"].as_array().unwrap();
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

/// Bounds: factors are written to 6 decimals, speeds to 4.
#[test]
fn every_row_of_the_audit_adds_up() {
    let (bench, _) = &*DEMO;
    let audit = bench.read("out/audit.csv");
    assert!(audit.starts_with(COLUMNS));
    let audit = rows(&audit);
    assert_eq!(audit.len(), 4 * 2 * 2 * 9);
    let stages = ["added_resistance", "deck_water", "windage", "foil_lift", "foil_downtime", "surge"];
    for row in &audit {
        let product: f64 = stages.iter().map(|stage| number(row, &format!("stage_{stage}"))).product();
        assert!((product - number(row, "factor")).abs() < 3e-6, "{row:?}");
        let (flat, corrected) = (number(row, "flat_kn"), number(row, "corrected_kn"));
        assert!((number(row, "factor") * flat - corrected).abs() < 1e-4, "{row:?}");
        let by_mean_forces = corrected / number(row, "stage_surge");
        assert!(by_mean_forces <= flat + 1e-4 && corrected > 0.3 * flat, "{row:?}");
        let band = ["factor_band_slow", "factor", "factor_band_fast"].map(|name| number(row, name));
        assert!(band.is_sorted(), "{row:?}");
        assert!(
            number(row, "p10_kn") <= number(row, "p50_kn") && number(row, "p50_kn") <= number(row, "p90_kn")
        );
        assert_eq!(row["covered"], "1.0000");
    }
}

/// Bounds: speeds are written to 4 decimals in the audit and to 2 in a polar's file.
#[test]
fn a_signed_polar_holds_both_tacks_of_the_audit() {
    let (bench, _) = &*DEMO;
    let audit = bench.rows("out/audit.csv");
    for feature in bench.json("out/index.geojson")["features"].as_array().unwrap() {
        for polar in feature["properties"]["polars"].as_array().unwrap() {
            let table = bench.rows(&format!("out/{}", polar["file"].as_str().unwrap()));
            let angles: Vec<&str> = table.iter().map(|row| row["twa_deg"].as_str()).collect();
            assert_eq!(angles, ["-145", "-90", "-48", "48", "90", "145"]);
            let of_polar = |row: &&Row| {
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

/// Each choice of one row an angle against the audit: by hand, the mean of two speeds over equal distances is harmonic.
#[test]
fn polars_hold_what_the_audit_holds() {
    let choices: [(&str, fn(f64, f64) -> f64); 4] = [
        ("mean", |s, p| 2.0 / (1.0 / s + 1.0 / p)),
        ("slower", f64::min),
        ("starboard", |s, _| s),
        ("port", |_, p| p),
    ];
    let bench = Bench::across();
    for (tacks, expected) in choices {
        bench.derate(&["--tacks", tacks, "--quiet"]).worked();
        let index = bench.json("out/index.geojson");
        let entry = &index["features"][0]["properties"]["polars"][0];
        let file = entry["file"].as_str().unwrap();
        assert!(entry["tacks"] == tacks && file.ends_with(&format!("-{tacks}.csv")), "{entry}");
        let speeds: BTreeMap<(String, String, String), f64> = bench
            .rows("out/audit.csv")
            .iter()
            .map(|row| {
                (
                    (row["tack"].clone(), row["twa_deg"].clone(), row["tws_kn"].clone()),
                    number(row, "corrected_kn"),
                )
            })
            .collect();
        for row in bench.rows(&format!("out/{file}")) {
            for tws in ["10", "20"] {
                let of = |tack: &str| speeds[&(tack.to_owned(), row["twa_deg"].clone(), tws.to_owned())];
                let expected = expected(of("starboard"), of("port"));
                assert!((number(&row, tws) - expected).abs() < 0.0051, "{tacks} {tws} {row:?}");
            }
        }
    }
}

/// The example's swells come from well off the wind, so the tacks meet them at different angles; long and low, they take
/// little, but more than the audit's last digit. `tests/physics/balance.rs` has a steep one.
#[test]
fn tacks_differ_where_the_swell_is_off_the_wind() {
    let (bench, _) = &*DEMO;
    let audit = bench.rows("out/audit.csv");
    let (starboard, port): (Vec<_>, Vec<_>) = audit.iter().partition(|row| row["tack"] == "starboard");
    let most = starboard
        .iter()
        .map(|s| {
            let other = |p: &&&Row| {
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
    let manifest = bench.json("out/manifest.json");
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

/// Smoothed polars differ from those computed, are nowhere above flat, and the manifest says so.
#[test]
fn smoothing_is_asked_for_and_recorded() {
    let bench = Bench::new();
    let run = |output: &str| {
        bench.derate(&["--window", "all", "--output", output, "--quiet"]).worked();
        let [manifest, index] =
            ["manifest.json", "index.geojson"].map(|name| bench.json(&format!("{output}/{name}")));
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
    // surfing makes her faster, by less than a fifth
    assert!(smooth.speeds_kn().iter().zip(flat.speeds_kn()).all(|(smooth, flat)| *smooth <= 1.2 * flat));
}

#[test]
fn without_a_foil_one_tack_is_hull_borne() {
    let bench = Bench::across();
    bench.derate(&[]).worked();
    let whole = bench.rows("out/audit.csv");
    bench.put("job.toml", bench.read("job.toml") + "[model]\nwithout_foil = \"port\"\n");
    bench.derate(&[]).worked();
    for (row, before) in bench.rows("out/audit.csv").iter().zip(&whole) {
        let fast = row["twa_deg"] == "110" && row["tws_kn"] == "20";
        if row["tack"] == "port" {
            // the starboard foil is to leeward on port tack and still there; what the lost one no longer stands in the
            // wind is a drag area of 1.5 m2, some 100 N of several thousand
            assert!((number(row, "factor") - number(before, "factor")).abs() < 0.02);
        } else if fast {
            assert!(number(row, "factor") < 0.9 * number(before, "factor"));
            assert_eq!(row["dominant_stage"], "foil_lift");
        }
    }
}

const OTHERS: &str = r#"
import csv, glob, sys
polar = glob.glob('out/polars/*/*.csv')[0]
rows = list(csv.reader(open(polar, newline='')))
assert rows[0] == ['twa_deg', '10', '20'], rows[0]
assert all(0 < float(v) < 30 for r in rows[1:] for v in r[1:])
audit = list(csv.DictReader(open('out/audit.csv', newline='')))
assert len(audit) == 12
try:
    import pandas
except ImportError as error:
    print("skipped:", error); sys.exit(3)
table = pandas.read_csv(polar, index_col=0)
assert table.shape == (3, 2) and (table.to_numpy() > 0).all()
assert len(pandas.read_csv('out/audit.csv')) == 12
"#;

/// The corrected polar and the audit, read by another program.
#[test]
fn python_reads_the_result() {
    let bench = Bench::across();
    bench.derate(&[]).worked();
    python(&bench.path("."), ["-c", OTHERS]);
}

/// The cautious count only what surge takes, by job key or option; those who leave it out have no such columns filled.
#[test]
fn surfing_gains_and_surge_can_be_left_out() {
    let bench = Bench::new();
    let stages = |more: &[&str]| -> Vec<Option<f64>> {
        bench.derate(&[&["--window", "all", "--quiet"], more].concat()).worked();
        let stage = |row: &Row| row["stage_surge"].parse().ok();
        bench.rows("out/audit.csv").iter().map(stage).collect()
    };
    let most = |stages: &[Option<f64>]| stages.iter().flatten().copied().fold(0.0, f64::max);
    assert!(most(&stages(&[])) > 1.0);
    let held = stages(&["--surfing-gains", "off"]);
    assert!(most(&held) <= 1.0 && held.iter().flatten().any(|stage| *stage < 1.0));
    assert_eq!(bench.json("out/manifest.json")["options"]["model"]["surfing_gains"], "off");
    bench.put("job.toml", bench.read("job.toml") + "[model]\nsurge = \"off\"\n");
    assert!(stages(&[]).iter().flatten().all(|stage| *stage == 1.0));
    assert!(bench.rows("out/audit.csv").iter().all(|row| row["speed_sd_kn"].is_empty()));
    assert_eq!(bench.json("out/manifest.json")["options"]["model"]["surge"], "off");
}

/// Large waves ask for her hull up to the deck: one error before anything is read or simulated.
#[test]
fn large_waves_ask_for_a_deck() {
    let bench = Bench::new();
    let ran = bench.derate(&["--body", "exact"]);
    assert!(ran.code == 1 && ran.stderr.contains("up to the deck"), "{}", ran.stderr);
    assert!(ran.stderr.contains("boat.toml"), "{}", ran.stderr);
}
