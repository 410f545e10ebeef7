//! Bad input: one clear error that names the place and the remedy, exit code 1 (2 for wrong usage), nothing written.

mod small_job;

use small_job::{Job, with};

/// Runs the job, expects failure with all of `parts` in the message, and no trace on the disk.
fn fails(job: &Job, parts: &[&str]) {
    let output = job.derate().output().unwrap();
    let message = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(1), "{message}");
    assert!(output.stdout.is_empty());
    for part in parts {
        assert!(message.contains(part), "no {part:?} in:\n{message}");
    }
    assert!(
        message.starts_with("error: ") && message.contains("expected") | message.contains("remedy"),
        "{message}"
    );
    assert!(!job.path("out").exists(), "something was written");
    let left = std::fs::read_dir(job.folder.path())
        .unwrap()
        .filter(|e| e.as_ref().unwrap().file_name().to_string_lossy().starts_with(".roughwater"));
    assert_eq!(left.count(), 0, "a temporary folder was left");
}

fn polar(text: &str, parts: &[&str]) {
    let job = Job::new();
    job.file("polar.csv", text);
    fails(&job, &[&["polar.csv"], parts].concat());
}

fn forecast(bytes: &[u8], parts: &[&str]) {
    let job = Job::new();
    std::fs::write(job.path("waves.grib2"), bytes).unwrap();
    job.file("job.toml", &with(&Job::text(), "forecast", "\"waves.grib2\""));
    fails(&job, &[&["waves.grib2"], parts].concat());
}

fn regions(features: &str, parts: &[&str]) {
    let job = Job::new();
    job.file("regions.geojson", &format!(r#"{{"type":"FeatureCollection","features":[{features}]}}"#));
    fails(&job, parts);
}

fn region(name: &str, ring: &str) -> String {
    format!(
        r#"{{"type":"Feature","properties":{{"name":"{name}"}},"geometry":{{"type":"Polygon","coordinates":[[{ring}]]}}}}"#
    )
}

const SEA: &str = "[178,-52],[179,-52],[179,-50],[178,-50],[178,-52]";

#[test]
fn polars() {
    polar("", &["empty"]);
    polar("twa_deg,10,20\n60,10,\n110,13,25\n", &["line 2"]);
    polar("twa_deg,10,20\n60,10,-14\n110,13,25\n", &["line 2", "-14"]);
    polar("twa_deg,10,20\n60,10,14\n190,13,25\n", &["line 3", "190"]);
    polar("twa_deg,10,20\n110,10,14\n60,13,25\n", &["line 3"]);
    polar("twa_deg,20,10\n60,10,14\n110,13,25\n", &["line 1"]);
    polar("twa_deg,10,20\n60,10,NaN\n110,13,25\n", &["line 2", "NaN"]);
    polar("twa_deg,10,20\n60,10,fast\n110,13,25\n", &["line 2", "fast"]);
    polar("twa_deg,10,20\n60,10\n110,13,25\n", &["line 2"]);
    polar("<!DOCTYPE html><html></html>", &["HTML"]);
}

#[test]
fn forecasts() {
    let real =
        std::fs::read(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(small_job::FORECAST)).unwrap();
    forecast(&real[..real.len() - 700], &["message"]);
    forecast(b"<html><body>404 not found</body></html>", &["web page"]);
    forecast(b"", &["empty"]);
    forecast(&[0x1f, 0x8b, 8, 0, 1, 2, 3, 4, 5, 6, 7, 8], &["gzip"]);
    let noise: Vec<u8> = (0..4000_u32).map(|i| (i.wrapping_mul(2_654_435_761) >> 13) as u8).collect();
    forecast(&noise, &[]);
    let job = Job::new();
    job.file("job.toml", &with(&Job::text(), "forecast", "\"no-such-*.grib2\""));
    fails(&job, &["no-such-*.grib2"]);
}

#[test]
fn region_files() {
    regions(&region("", SEA), &["regions.geojson", "name"]);
    regions(r#"{"type":"Feature","properties":{},"geometry":null}"#, &["regions.geojson"]);
    regions(&format!("{},{}", region("A", SEA), region("a", SEA)), &["name"]);
    regions(&region("../up", SEA), &["../up"]);
    regions(&region("bow tie", "[178,-52],[179,-50],[179,-52],[178,-50],[178,-52]"), &["bow tie"]);
    regions(&region("pole", "[178,-95],[179,-95],[179,-50],[178,-50],[178,-95]"), &["-95"]);
    regions("", &["regions.geojson"]);
    regions(
        &region("inland", "[171,-44.2],[171.2,-44.2],[171.2,-44],[171,-44],[171,-44.2]"),
        &["inland", "land"],
    );
    regions(&region("far", "[10,10],[12,10],[12,12],[10,12],[10,10]"), &["far", "outside"]);
}

#[test]
fn boats() {
    let boat = |from: &str, to: &str, parts: &[&str]| {
        let job = Job::new();
        job.boat(from, to);
        fails(&job, &[&["boat.toml"], parts].concat());
    };
    boat("lwl_m =", "lwl =", &["line", "lwl_m"]);
    boat("bwl_m = 3.3", "bwl_m = \"wide\"", &["line"]);
    boat("bwl_m = 3.3\n", "", &["bwl_m"]);
    boat("displacement_kg = 7800", "displacement_kg = 78000", &["line", "displacement_kg"]);
    boat("pitch_radius_m = 3.6", "pitch_radius_m = 36", &["line", "pitch_radius_m"]);
    boat("full_share_speed_kn = 27.0", "full_share_speed_kn = 8.0", &["line", "full_share_speed_kn"]);
    boat("lwl_m = 15.0", "lwl_m = nan", &["lwl_m"]);
    boat("draught_m = 0.40", "sections = \"s.csv\"\ndraught_m = 0.40", &["sections"]);
    boat("depth_m = 1.1", "depth_m = 11", &["line", "depth_m"]);
    boat("state = \"present\" }\nstarboard", "state = \"lost\" }\nstarboard", &["line", "missing"]);
}

#[test]
fn jobs() {
    let job = |text: String, parts: &[&str]| {
        let job = Job::new();
        job.file("job.toml", &text);
        fails(&job, &[&["job.toml"], parts].concat());
    };
    job(Job::text() + "tack = \"mean\"\n", &["line", "tacks"]);
    job(with(&Job::text(), "window", "\"soon\""), &["line", "soon"]);
    job(Job::text().replace("polar = \"polar.csv\"\n", ""), &["polar"]);
    job(Job::text() + "tacks = \"both\"\n", &["line", "both"]);
    let missing = Job::new();
    missing.file("job.toml", &with(&Job::text(), "polar", "\"gone.csv\""));
    fails(&missing, &["gone.csv"]);
}

#[test]
fn a_boat_without_sails_or_foils() {
    let hull = "name = \"h\"\n[hull]\nlwl_m = 10\nbwl_m = 3\ndraught_m = 0.5\ndisplacement_kg = 5800\npitch_radius_m = 2.5\n";
    let job = Job::new();
    job.file("boat.toml", hull);
    job.file("job.toml", &with(&Job::text(), "boat", "\"boat.toml\""));
    fails(&job, &["[sails]"]);
    let output = job.derate().args(["--without-foil", "port"]).output().unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8(output.stderr).unwrap().contains("no foils to lose"));
}

#[test]
fn a_folder_that_is_no_result_stays_as_it_is() {
    let job = Job::new();
    std::fs::create_dir(job.path("out")).unwrap();
    job.file("out/diary.txt", "mine");
    let output = job.derate().output().unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8(output.stderr).unwrap().contains("not a result"));
    assert_eq!(job.result().len(), 1);
}

#[test]
fn an_earlier_result_survives_a_failed_run() {
    let job = Job::new();
    job.derate().assert().success();
    let before = job.result();
    job.file("polar.csv", "twa_deg,10,20\n60,10,-1\n110,13,25\n");
    job.derate().assert().failure().code(1);
    assert_eq!(job.result(), before);
}

#[test]
fn wrong_usage_exits_with_two() {
    let job = Job::new();
    let response = |args: &[&str]| {
        let mut command = job.program();
        command.args(["response", "boat.toml", "--hs-m", "2", "--tp-s", "7"]).args(args);
        command.assert().failure().code(2);
    };
    response(&["--speed-kn", "NaN"]);
    response(&["--speed-kn", "10", "--wave-angle-deg", "190"]);
    response(&["--speed-kn", "-1"]);
    response(&[]);
    job.program().arg("derat").assert().failure().code(2);
    job.derate().args(["--window", "soon"]).assert().failure().code(2);
}
