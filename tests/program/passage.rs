//! `passage` through the program: tables, CSV, JSON and GPX agree, and results that do not belong are refused.

use crate::common::bench::{Bench, POLAR, Ran};
use crate::common::files::{NOAA, file, text};
use crate::common::tables::{number, rows};
use approx::assert_relative_eq;
use geo::Coord;
use jiff::Timestamp;
use roughwater::passage::{FileOverrides, Leg, LegKind, STEP_M, Setting, Sources, SpeedSource};
use serde_json::Value;
use std::sync::LazyLock;

fn at(text: &str) -> Timestamp {
    text.parse().unwrap()
}

/// Ends west of the date line, and begins east of it.
const SHORT: [(f64, f64); 3] = [(176.0, -52.0), (180.5, -52.4), (181.5, -52.0)];

/// A result of the cruiser in the demo's sea, with both tacks in its polars, and the short track.
static DEMO: LazyLock<Bench> = LazyLock::new(|| {
    let bench = Bench::new();
    bench.put("polar.csv", text("polars/oat-plover-10.csv"));
    bench.put("regions.geojson", text("examples/south-pacific/regions.geojson"));
    bench.derate(&["--tacks", "signed", "--quiet"]).worked();
    let short = r#"{"type":"LineString","coordinates":[[176,-52],[-179.5,-52.4],[-178.5,-52]]}"#;
    bench.put("short.geojson", short);
    bench
});

/// `passage` along the short track from the first night on.
fn short(more: &[&str]) -> Ran {
    let along = ["passage", "job.toml", "--track", "short.geojson", "--start", "2024-01-15T03:00"];
    DEMO.run(&[&along[..], more].concat())
}

/// Hours sailed with the flat or the corrected polars, from the JSON of one departure.
fn hours(told: &Value, polars: &str) -> f64 {
    told["departures"][0][polars]["sailed_h"].as_f64().unwrap()
}

#[test]
fn the_sea_costs_time() {
    let told = short(&["--format", "json"]).json();
    let departure = &told["departures"][0];
    assert!(hours(&told, "corrected") > hours(&told, "flat"), "{departure}");
    for cost in ["cost_h", "same_wind_cost_h"] {
        assert!(departure[cost].as_f64().unwrap() > 0.0, "{departure}");
    }
    let legs = departure["legs"].as_array().unwrap();
    let sum: f64 = legs.iter().map(|leg| leg["corrected"]["sailed_h"].as_f64().unwrap()).sum();
    assert_relative_eq!(sum, hours(&told, "corrected"), max_relative = 1e-9);
}

#[test]
fn csv_has_a_row_a_leg_and_the_same_hours() {
    let table = rows(&short(&["--format", "csv"]).worked().stdout);
    assert_eq!(table.len(), 2);
    let sum: f64 = table.iter().map(|row| number(row, "corrected_h")).sum();
    let told = short(&["--format", "json"]).json();
    assert_relative_eq!(sum, hours(&told, "corrected"), epsilon = 2e-5);
}

fn time(point: &gpx::Waypoint) -> Timestamp {
    at(&point.time.unwrap().format().unwrap())
}

#[test]
fn gpx_is_timed_from_start_to_arrival() {
    let ran = short(&["--format", "csv", "--gpx", "timed/track.gpx"]).worked();
    let gpx = gpx::read(DEMO.read("timed/track.gpx").as_bytes()).unwrap();
    let points = &gpx.tracks[0].segments[0].points;
    let table = rows(&ran.stdout);
    let hours: f64 = table.iter().map(|row| number(row, "corrected_h")).sum();
    assert!(points.len() as f64 > hours);
    assert_eq!(time(&points[0]), at("2024-01-15T03:00:00Z"));
    let last = points.last().unwrap();
    assert_eq!(time(last).to_string(), table[1]["corrected_arrival"]);
    assert_eq!((last.point().x(), last.point().y()), (-178.5, -52.0));
    assert!(points.windows(2).all(|pair| time(&pair[0]) < time(&pair[1])));
}

/// The polars of both tacks are the audit's cells, to 2 decimals instead of 4.
#[test]
fn polars_and_audit_take_the_same_time() {
    let [polars, audit] =
        [&["--format", "json"][..], &["--by-tack", "--format", "json"]].map(|more| short(more).json());
    assert_relative_eq!(hours(&audit, "corrected"), hours(&polars, "corrected"), max_relative = 2e-3);
}

#[test]
fn departures_are_as_many_and_as_far_apart_as_asked() {
    let track = file("examples/south-pacific/track.gpx").display().to_string();
    let start = ["--start", "2024-01-15T00:00", "--start-every", "6h", "--starts", "3", "--format", "csv"];
    let three = DEMO.run(&[&["passage", "out", "--track", &track][..], &start].concat());
    assert_eq!(three.code, 3, "a 10 m boat is still at sea when the forecast ends: {}", three.stderr);
    let starts: Vec<String> = rows(&three.stdout).into_iter().map(|row| row["start"].clone()).collect();
    assert_eq!(starts.len(), 9);
    assert_eq!(starts[3], "2024-01-15T06:00:00Z");
}

#[test]
fn the_table_has_a_line_a_departure() {
    let along = ["passage", "out", "--track", "short.geojson"];
    let table =
        DEMO.run(&[&along[..], &["--start", "2024-01-15T00:00", "--start-every", "3h"]].concat()).stdout;
    assert!(table.lines().count() > 12 && table.contains("2024-01-15 03:00"), "{table}");
}

/// Steps of half the length change the time of the short passage by less than 0.1 %.
#[test]
fn steps_are_short_enough() {
    let over = FileOverrides { polar: Some(DEMO.path("polar.csv")), forecast: Vec::new() };
    let sources = Sources::open(&DEMO.path("job.toml"), SpeedSource::Polars, over).unwrap();
    let setting =
        Setting::new(sources, Leg::along(&SHORT.map(Coord::from), LegKind::Geodesic), None).unwrap();
    let time = |step_m| {
        let passage = setting.passage_in_steps(at("2024-01-15T03:00:00Z"), step_m).unwrap();
        passage.corrected.duration_s()
    };
    let change = (time(STEP_M / 2.0) / time(STEP_M) - 1.0).abs();
    println!("halving the steps changes the time by {change:.1e}");
    assert!(change < 1e-3);
}

/// Into the wind of the first night and before it again.
const NORTH_AND_BACK: &str = r#"{"type":"LineString","coordinates":[[178,-53],[178.3,-52.4],[178,-53.4]]}"#;

/// From the points that say so to the next ones she is on two tacks for as long as the legs tell; in whole seconds.
#[test]
fn a_track_says_where_she_beats_and_gybes() {
    // the foiler, who gains by gybing
    let bench = Bench::foiler();
    bench.put("polar.csv", text("polars/sleet-heron-15.csv"));
    bench.put("regions.geojson", text("examples/south-pacific/regions.geojson"));
    bench.derate(&["--tacks", "signed", "--quiet"]).worked();
    bench.put("north.geojson", NORTH_AND_BACK);
    let along = ["passage", "job.toml", "--track", "north.geojson", "--start", "2024-01-15T00:00"];
    let told = bench.run(&[&along[..], &["--format", "json", "--gpx", "t.gpx"]].concat()).json();
    let gpx = gpx::read(bench.read("t.gpx").as_bytes()).unwrap();
    let points = &gpx.tracks[0].segments[0].points;
    for (word, name) in [("beats", "beating_h"), ("gybes", "gybing_h")] {
        let says =
            |point: &gpx::Waypoint| point.description.as_ref().is_some_and(|text| text.starts_with(word));
        let marked = points.windows(2).filter(|pair| says(&pair[0]));
        let hours: f64 =
            marked.map(|pair| time(&pair[1]).duration_since(time(&pair[0])).as_secs_f64() / 3600.0).sum();
        let legs = told["departures"][0]["legs"].as_array().unwrap();
        let expected: f64 = legs.iter().map(|leg| leg["corrected"][name].as_f64().unwrap()).sum();
        assert!(expected > 0.5, "{told}");
        assert_relative_eq!(hours, expected, epsilon = points.len() as f64 / 3600.0);
    }
    assert!(gpx.tracks[0].description.as_ref().unwrap().contains("where she turns is not computed"));
    assert_eq!(points.last().unwrap().description, None);
}

/// `passage` with these arguments is refused in these words.
fn refused(arguments: &[&str], words: &[&str]) {
    let track = file("examples/south-pacific/track.gpx").display().to_string();
    let start = ["--track", &track, "--start", "2024-01-15T03:00"];
    let told = DEMO.run(&[&["passage"], arguments, &start].concat()).ended(&[1]).stderr;
    for word in words.iter().chain(&["expected", "remedy"]) {
        assert!(told.contains(word), "should say {word:?}: {told}");
    }
}

#[test]
fn files_of_another_result_are_refused() {
    let other = file(NOAA).display().to_string();
    refused(
        &["out", "--forecast", &other],
        &["not the one the result was made from", "gfswave", "manifest.json"],
    );
    DEMO.put("slower.csv", POLAR);
    refused(&["out", "--polar", "slower.csv"], &["flat polar", "slower.csv", "SHA-256"]);
    refused(&["out", "--forecast", "lost.grib2"], &["not there", "lost.grib2", "--forecast FILE"]);
    refused(&["out", "--member", "3"], &["member 3", "--member"]);
}

#[test]
fn a_result_of_one_tack_is_refused() {
    DEMO.derate(&["--tacks", "port", "--output", "port", "--quiet"]).worked();
    refused(&["port"], &["one tack alone", "--by-tack"]);
}

#[test]
fn a_job_without_a_result_is_refused() {
    DEMO.put("other.toml", DEMO.read("job.toml").replace("\"out\"", "\"never-made\""));
    refused(&["other.toml"], &["no result yet", "roughwater derate"]);
}
