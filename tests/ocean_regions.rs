//! Regions and windows by need, from the command line: tiles, corridors, joined tiles, matched winds, a clean stop.

mod small_job;

use roughwater::result::{Answer, Index};
use serde_json::Value;
use small_job::{Job, with};
use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

fn json(job: &Job, name: &str) -> Value {
    serde_json::from_slice(&std::fs::read(job.path(name)).unwrap()).unwrap()
}

/// Names of the index's regions with the starts of their windows.
fn index(job: &Job) -> Vec<(String, Vec<String>)> {
    let index = json(job, "out/index.geojson");
    let text = |value: &Value| value.as_str().unwrap().to_owned();
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
    let job = Job::new();
    job.derate().args(["--tiles", "15x20", "--quiet"]).assert().code(WHOLE_OR_GAPS.to_vec());
    let names: Vec<String> = index(&job).into_iter().map(|(name, _)| name).collect();
    assert_eq!(names.len(), 6, "{names:?}");
    for name in ["60S 160E", "45S 180W", "60S 160W"] {
        assert!(names.iter().any(|known| known == name), "{name} in {names:?}");
    }
}

/// Tiles and legs over a coast may leave part of the sea uncovered, which is a declared gap.
const WHOLE_OR_GAPS: [i32; 2] = [0, 3];

/// By hand: at 50 S from 179 E to 179 W is 2 degrees of longitude, 60 nm/deg x cos 50 x 2 = 77 nm: two legs of 40 nm.
#[test]
fn a_corridor_across_the_date_line_is_cut_into_legs() {
    let job = Job::new();
    job.file(
        "track.geojson",
        r#"{"type":"Feature","properties":{},"geometry":{"type":"LineString","coordinates":[[179,-50],[181,-50]]}}"#,
    );
    job.derate()
        .args(["--corridor", "track.geojson", "--half-width-nm", "45", "--leg-nm", "40", "--quiet"])
        .assert()
        .code(WHOLE_OR_GAPS.to_vec());
    assert_eq!(index(&job).len(), 2);
    for (lat, lon, code) in [("50S", "179.5E", 0), ("50S", "179.5W", 0), ("47S", "179.5E", 3)] {
        job.program().args(["lookup", "out", lat, lon, "2024-01-15T12:00"]).assert().code(code);
    }
}

/// What is joined lies within the error that was asked for, and joining everything leaves one polar a window or fewer.
#[test]
fn joined_tiles_state_an_error_within_the_one_asked_for() {
    let job = Job::new();
    let split = |error_kn: &str| {
        job.derate()
            .args(["--tiles", "15x20", "--window", "24h", "--split", "auto", "--split-error-kn", error_kn])
            .args(["--quiet"])
            .assert()
            .code(WHOLE_OR_GAPS.to_vec());
        let joined = json(&job, "out/manifest.json")["joined"].as_array().unwrap().clone();
        let parts: u64 = joined.iter().map(|group| group["parts"].as_u64().unwrap()).sum();
        assert_eq!(parts, 6 * 2, "every tile and day is in one group");
        joined
    };
    let number = |group: &Value, name: &str| group[name].as_f64().unwrap();
    let fine = split("0.05");
    for group in &fine {
        assert!(number(group, "furthest_part_rms_kn") <= 0.05, "{group}");
        assert!(number(group, "rms_kn") <= number(group, "furthest_part_rms_kn") + 1e-12, "{group}");
        assert!(number(group, "furthest_part_rms_kn") <= number(group, "largest_kn") + 1e-12, "{group}");
        assert!(number(group, "largest_kn") <= number(group, "all_columns_largest_kn"), "{group}");
    }
    let coarse = split("100");
    assert_eq!(coarse.len(), 1, "{coarse:?}");
    assert_eq!(index(&job)[0].1.len(), 1);
    assert!(fine.len() > 1, "{fine:?}");
}

/// Every row of the cell audit names a region of the index whose window holds it, that which holds the place where only one
/// does; each cell is once in a region, and over regions its areas make up the whole cell: on a sphere
/// R² x longitude x (sin north - sin south), R = 6371.0088 km, for this forecast's cells of a degree,
/// half of which lie within the tiles at their edges.
#[test]
fn cells_are_audited_in_the_regions_they_are_joined_into() {
    let job = Job::new();
    job.derate()
        .args(["--tiles", "10x10", "--window", "12h", "--split", "auto", "--split-error-kn", "0.5"])
        .args(["--cell-audit", "csv", "--quiet"])
        .assert()
        .code(WHOLE_OR_GAPS.to_vec());
    let joined = json(&job, "out/manifest.json")["joined"].as_array().unwrap().clone();
    assert!(joined.iter().any(|group| group["regions"].as_array().unwrap().len() > 1), "{joined:?}");
    let index = Index::read(&job.path("out")).unwrap();
    let mut areas: BTreeMap<[String; 3], f64> = BTreeMap::new();
    let (mut seen, mut inside) = (BTreeSet::new(), 0);
    for row in csv::Reader::from_path(job.path("out/cells.csv")).unwrap().records().map(Result::unwrap) {
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
    let job = Job::new();
    let joined = |polar: &str| {
        job.file("polar.csv", polar);
        job.derate()
            .args(["--tiles", "15x20", "--window", "24h", "--split", "auto", "--split-error-kn", "0.4"])
            .args(["--quiet", "--cell-audit", "none"])
            .assert()
            .code(WHOLE_OR_GAPS.to_vec());
        json(&job, "out/manifest.json")["joined"].as_array().unwrap().clone()
    };
    let without = joined("twa_deg,10,24,58\n60,10.0,14.0,15.0\n110,13.0,25.0,26.0\n150,8.5,17.0,18.0\n");
    let with =
        joined("twa_deg,10,24,58,60\n60,10.0,14.0,15.0,0.5\n110,13.0,25.0,26.0,3\n150,8.5,17.0,18.0,3\n");
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
        let job = Job::new();
        job.derate()
            .args(["--window", "12h", "--split", "auto", "--split-error-kn", error_kn, "--quiet"])
            .timeout(std::time::Duration::from_secs(300))
            .assert()
            .success();
        let found = index(&job);
        let names: Vec<&str> = found.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(names, ["Across"]);
        assert_eq!(found[0].1.len(), windows, "{found:?}");
        assert_eq!(found[0].1[0], "2024-01-15T00:00:00Z");
    }
}

#[test]
fn an_error_to_join_within_needs_joining() {
    let job = Job::new();
    for (arguments, says) in [
        (vec!["--split-error-kn", "0.2"], "not to join them"),
        (vec!["--split", "auto", "--split-error-kn", "0"], "out of range"),
        (vec!["--split", "auto", "--split-error-kn", "-1"], "out of range"),
    ] {
        let out = job.derate().args(arguments).assert().code(1);
        let text = String::from_utf8(out.get_output().stderr.clone()).unwrap();
        assert!(text.contains(says), "{text}");
        assert!(!job.path("out").exists());
    }
}

/// A window of over 24 h is matched by default, and a column without seas of its own wind says so: that of 60 kn reaches
/// 4 kn, since the next one is closer than that, and nowhere does the demo blow 56 kn.
#[test]
fn long_windows_match_seas_to_the_columns_wind() {
    let job = Job::new();
    job.file(
        "polar.csv",
        "twa_deg,10,24,58,60\n60,10.0,14.0,15.0,15.0\n110,13.0,25.0,26.0,26.0\n150,8.5,17.0,18.0,18.0\n",
    );
    let audit = |arguments: &[&str]| {
        job.derate().args(arguments).arg("--quiet").assert().success();
        let manifest = json(&job, "out/manifest.json");
        let choice = manifest["options"]["seas_of_a_wind_column"].as_str().unwrap().to_owned();
        let mut rows = csv::Reader::from_path(job.path("out/audit.csv")).unwrap();
        let flagged = rows
            .records()
            .map(Result::unwrap)
            .filter(|row| row[21].contains("wind-matched-fallback"))
            .map(|row| row[4].to_owned())
            .collect::<std::collections::BTreeSet<_>>();
        (choice, flagged)
    };
    let (choice, flagged) = audit(&["--window", "all"]);
    assert_eq!(choice, "wind-matched");
    assert!(flagged.contains("60"), "no sea comes with 60 kn: {flagged:?}");
    assert_eq!(audit(&["--window", "all", "--match-wind=false"]), ("all".to_owned(), Default::default()));
    assert_eq!(audit(&["--window", "24h"]).0, "all");
}

/// A window that no step falls into is a declared gap.
#[test]
fn windows_without_a_step_are_named() {
    let job = Job::new();
    job.file("job.toml", &with(&Job::text(), "window", "\"3h\""));
    let out = job.derate().assert().code(3);
    let text = String::from_utf8(out.get_output().stdout.clone()).unwrap();
    assert!(text.contains("no forecast step falls into the window 2024-01-15T03:00:00Z"), "{text}");
}

/// Windows from the first step: the demo's first step is at 00 UTC, so cut it off and the rest begins at 06.
#[test]
fn windows_may_begin_at_the_first_step() {
    let job = Job::new();
    job.derate().args(["--window", "9h", "--window-alignment", "first-step", "--quiet"]).assert().success();
    let starts = &index(&job)[0].1;
    assert_eq!(starts[..2], ["2024-01-15T00:00:00Z", "2024-01-15T09:00:00Z"]);
}

/// SIGINT in the middle of a job: exit code 130, no result, no temporary folder, and an earlier result stays.
#[cfg(unix)]
#[test]
fn ctrl_c_leaves_nothing_behind() {
    let job = Job::new();
    job.derate().arg("--quiet").assert().success();
    let before = job.result();
    job.file("job.toml", &with(&Job::text(), "polar", &format!("{:?}", root("polars/sleet-heron-15.csv"))));
    let mut child = Command::new(assert_cmd::cargo::cargo_bin("roughwater"))
        .current_dir(job.folder.path())
        .env("ROUGHWATER_CACHE", "")
        .args(["derate", "job.toml", "--tiles", "1x1", "--quiet"])
        .spawn()
        .unwrap();
    std::thread::sleep(std::time::Duration::from_millis(1500));
    Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(130));
    assert_eq!(job.result(), before);
    let left: Vec<String> = std::fs::read_dir(job.folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| !["job.toml", "polar.csv", "regions.geojson", "out", "cache"].contains(&name.as_str()))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

fn root(path: &str) -> std::path::PathBuf {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}
