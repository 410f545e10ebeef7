//! Tiles and hours that are alike, joined within the error that was asked for.

use crate::common::bench::Bench;
use crate::regions::{WHOLE_OR_GAPS, index};
use roughwater::result::{Answer, Index};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// What `--split auto` joined within an error, from the manifest.
fn joined(bench: &Bench, more: &[&str], error_kn: &str) -> Vec<Value> {
    let split = ["--split", "auto", "--split-error-kn", error_kn, "--quiet"];
    bench.derate(&[&split[..], more].concat()).ended(&WHOLE_OR_GAPS);
    bench.json("out/manifest.json")["joined"].as_array().unwrap().clone()
}

/// What is joined lies within the error that was asked for, and joining everything leaves one polar a window or fewer.
#[test]
fn joined_tiles_state_an_error_within_the_one_asked_for() {
    let bench = Bench::across();
    let split = |error_kn: &str| {
        let joined = joined(&bench, &["--tiles", "15x20", "--window", "24h"], error_kn);
        let parts: u64 = joined.iter().map(|group| group["parts"].as_u64().unwrap()).sum();
        assert_eq!(parts, 6 * 2, "every tile and day is in one group");
        joined
    };
    let number = |group: &Value, name: &str| group[name].as_f64().unwrap();
    let fine = split("0.01");
    for group in &fine {
        assert!(number(group, "furthest_part_rms_kn") <= 0.01, "{group}");
        assert!(number(group, "rms_kn") <= number(group, "furthest_part_rms_kn") + 1e-12, "{group}");
        assert!(number(group, "furthest_part_rms_kn") <= number(group, "largest_kn") + 1e-12, "{group}");
        assert!(number(group, "largest_kn") <= number(group, "all_columns_largest_kn"), "{group}");
    }
    let coarse = split("100");
    assert_eq!(coarse.len(), 1, "{coarse:?}");
    assert_eq!(index(&bench)[0].1.len(), 1);
    assert!(fine.len() > 1, "{fine:?}");
}

/// Every row of the cell audit names a region of the index whose window holds it, that which holds the place where only one
/// does; each cell is once in a region, and over regions its areas make up the whole cell: on a sphere
/// R² x longitude x (sin north - sin south), R = 6371.0088 km, for this forecast's cells of a degree,
/// half of which lie within the tiles at their edges.
#[test]
fn cells_are_audited_in_the_regions_they_are_joined_into() {
    let bench = Bench::across();
    let of_cells = ["--tiles", "10x10", "--window", "12h", "--cell-audit", "csv"];
    let groups = joined(&bench, &of_cells, "0.5");
    assert!(groups.iter().any(|group| group["regions"].as_array().unwrap().len() > 1), "{groups:?}");
    let index = Index::read(&bench.path("out")).unwrap();
    let mut areas: BTreeMap<[String; 3], f64> = BTreeMap::new();
    let (mut seen, mut inside) = (BTreeSet::new(), 0);
    for row in csv::Reader::from_path(bench.path("out/cells.csv")).unwrap().records().map(Result::unwrap) {
        let cell = [1, 2, 3].map(|column| row[column].to_owned());
        let (valid, [lat, lon]) =
            (cell[0].parse().unwrap(), [&cell[1], &cell[2]].map(|deg| deg.parse::<f64>().unwrap()));
        let region = index.regions().iter().find(|region| region.name == row[0]).unwrap();
        let windows = || region.polars.iter().map(|polar| polar.window);
        assert!(windows().any(|window| window.start <= valid && valid < window.end), "{row:?}");
        if let Answer::Served(served) = index.lookup(lat, lon, valid)
            && let [only] = &served[..]
        {
            assert_eq!(only.region, row[0], "{row:?}");
            inside += 1;
        }
        assert!(seen.insert((row[0].to_owned(), cell.clone())), "twice: {row:?}");
        *areas.entry(cell).or_default() += row[4].parse::<f64>().unwrap();
    }
    assert!(inside > 1000, "{inside}");
    for ([valid, lat, lon], area_km2) in areas {
        let lat = lat.parse::<f64>().unwrap();
        let [south, north] = [lat - 0.5, lat + 0.5].map(|lat| lat.clamp(-60.0, -30.0).to_radians().sin());
        let width_deg = if ["165", "-155"].contains(&lon.as_str()) { 0.5 } else { 1.0_f64 };
        let whole = 6371.0088_f64.powi(2) * width_deg.to_radians() * (north - south);
        assert!((area_km2 - whole).abs() < 0.01, "{area_km2} of {whole} km² at {valid} {lat} {lon}");
    }
}

/// A column of 60 kn, in which the boat hardly moves, blows nowhere in the demo (58 kn reaches 4 kn from there), so it must
/// not change what is joined or the error that is stated for the winds that blow; only that over all columns.
#[test]
fn a_wind_that_never_blows_joins_and_cuts_nothing() {
    let bench = Bench::across();
    let with_polar = |polar: &str| {
        bench.put("polar.csv", polar);
        let tiles = ["--tiles", "15x20", "--window", "24h", "--cell-audit", "none"];
        joined(&bench, &tiles, "0.4")
    };
    let without = with_polar("twa_deg,10,24,58\n60,10.0,14.0,15.0\n110,13.0,25.0,26.0\n150,8.5,17.0,18.0\n");
    let with =
        with_polar("twa_deg,10,24,58,60\n60,10.0,14.0,15.0,0.5\n110,13.0,25.0,26.0,3\n150,8.5,17.0,18.0,3\n");
    let told = |joined: &[Value], names: &[&str]| -> Vec<Value> {
        joined.iter().flat_map(|group| names.iter().map(|name| group[*name].clone())).collect()
    };
    let of_winds_that_blow =
        ["region", "window_start", "parts", "rms_kn", "furthest_part_rms_kn", "largest_kn"];
    assert!(without.iter().any(|group| group["parts"].as_u64() > Some(1)), "{without:?}");
    assert_eq!(told(&with, &of_winds_that_blow), told(&without, &of_winds_that_blow));
    assert_ne!(told(&with, &["all_columns_rms_kn"]), told(&without, &["all_columns_rms_kn"]));
}

/// Regions of a file keep their names: only their hours are joined, or parted where they differ; here four of 12 h.
#[test]
fn named_regions_stay_apart() {
    for (error_kn, windows) in [("100", 1), ("0.001", 4)] {
        let bench = Bench::across();
        bench
            .derate(&["--window", "12h", "--split", "auto", "--split-error-kn", error_kn, "--quiet"])
            .worked();
        let found = index(&bench);
        let names: Vec<&str> = found.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(names, ["Across"]);
        assert_eq!(found[0].1.len(), windows, "{found:?}");
        assert_eq!(found[0].1[0], "2024-01-15T00:00:00Z");
    }
}

#[test]
fn an_error_to_join_within_needs_joining() {
    let bench = Bench::across();
    for (arguments, says) in [
        (vec!["--split-error-kn", "0.2"], "not to join them"),
        (vec!["--split", "auto", "--split-error-kn", "0"], "out of range"),
        (vec!["--split", "auto", "--split-error-kn", "-1"], "out of range"),
    ] {
        let refused = bench.derate(&arguments).ended(&[1]);
        assert!(refused.stderr.contains(says), "{refused:?}");
        assert!(!bench.path("out").exists());
    }
}
