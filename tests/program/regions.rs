//! Regions by need: tiles of a lattice, corridors along a track; in the index by name.

use crate::common::bench::Bench;
use crate::common::places::region;

/// Tiles and legs over a coast may leave part of the sea uncovered, which is a declared gap.
pub const WHOLE_OR_GAPS: [i32; 2] = [0, 3];

/// Names of the index's regions with the starts of their windows.
pub fn index(bench: &Bench) -> Vec<(String, Vec<String>)> {
    let index = bench.json("out/index.geojson");
    let text = |value: &serde_json::Value| value.as_str().unwrap().to_owned();
    let features = index["features"].as_array().unwrap().iter();
    features
        .map(|feature| {
            let polars = feature["properties"]["polars"].as_array().unwrap();
            (text(&feature["properties"]["name"]), polars.iter().map(|polar| text(&polar["start"])).collect())
        })
        .collect()
}

/// The demo's forecast spans 30 S to 60 S and 165 E to 155 W, so tiles of 15 x 20 degrees on the lattice that holds 0 and
/// -180 begin at 45 S and 60 S, at 160 E, 180 and 160 W.
#[test]
fn tiles_have_the_names_of_the_lattice() {
    let bench = Bench::across();
    bench.derate(&["--tiles", "15x20", "--quiet"]).ended(&WHOLE_OR_GAPS);
    let names: Vec<String> = index(&bench).into_iter().map(|(name, _)| name).collect();
    assert_eq!(names.len(), 6, "{names:?}");
    for name in ["60S 160E", "45S 180W", "60S 160W"] {
        assert!(names.iter().any(|known| known == name), "{name} in {names:?}");
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
    let told = bench.derate(&["--format", "json", "--strict"]).json();
    let warnings = told["warnings"].to_string();
    assert!(warnings.contains("tiles hold no sea by the coastline and were left out"), "{warnings}");
    let index = bench.json("out/index.geojson");
    for feature in index["features"].as_array().unwrap() {
        assert_eq!(feature["properties"]["polars"].as_array().unwrap().len(), 1);
    }
    assert_eq!(told["polars"], index["features"].as_array().unwrap().len());
}

/// By hand: at 50 S from 179 E to 179 W is 2 degrees of longitude, 60 nm/deg x cos 50 x 2 = 77 nm: two legs of 40 nm.
#[test]
fn a_corridor_across_the_date_line_is_cut_into_legs() {
    let bench = Bench::across();
    bench.put(
        "track.geojson",
        r#"{"type":"Feature","properties":{},"geometry":{"type":"LineString","coordinates":[[179,-50],[181,-50]]}}"#,
    );
    bench
        .derate(&["--corridor", "track.geojson", "--half-width-nm", "45", "--leg-nm", "40", "--quiet"])
        .ended(&WHOLE_OR_GAPS);
    assert_eq!(index(&bench).len(), 2);
    for (lat, lon, code) in [("50S", "179.5E", 0), ("50S", "179.5W", 0), ("47S", "179.5E", 3)] {
        bench.run(&["lookup", "out", lat, lon, "2024-01-15T12:00"]).ended(&[code]);
    }
}

/// The two share the sea between 179 E and 180: told once, and a passage takes the first.
#[test]
fn regions_that_overlap_are_told_once() {
    let bench = Bench::across();
    let two = [("West", [178.0, 180.0]), ("East", [179.0, 181.0])].map(|(name, [west, east])| {
        let whole: serde_json::Value =
            serde_json::from_str(&region(name, [west, east, -52.0, -49.0])).unwrap();
        whole["features"][0].clone()
    });
    bench.put(
        "regions.geojson",
        serde_json::json!({"type": "FeatureCollection", "features": two}).to_string(),
    );
    let told = bench.derate(&["--format", "json"]).json().to_string();
    let manifest = bench.read("out/manifest.json");
    for text in [told, manifest] {
        assert_eq!(text.matches("regions overlap").count(), 1, "{text}");
        assert!(text.contains("comes first in the index"));
    }
    let served =
        bench.run(&["lookup", "out", "50S", "179.5E", "2024-01-15T06:00", "--format", "json"]).json();
    assert_eq!(served["polars"].as_array().unwrap().len(), 2);
}
