//! `passage` through the program: tables, CSV, JSON and GPX agree, and results that do not belong are refused.

mod support;

use approx::assert_relative_eq;
use geo::Coord;
use jiff::Timestamp;
use roughwater::passage::{FileOverrides, Leg, LegKind, STEP_M, Setting, Sources, SpeedSource};
use support::{Bench, file, rows};

fn at(text: &str) -> Timestamp {
    text.parse().unwrap()
}

const TRACK: &str = "examples/south-pacific/track.gpx";

/// A result of the small job, with both tacks in its polars.
fn demo() -> (Bench, String) {
    let bench = Bench::new();
    bench.put("boat.toml", support::text("examples/boats/oat-plover-10.toml"));
    bench.put("polar.csv", support::text("polars/oat-plover-10.csv"));
    bench.put("regions.geojson", support::text("examples/south-pacific/regions.geojson"));
    let ran = bench.run(&["derate", "job.toml", "--tacks", "signed", "--quiet"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let track = file(TRACK).display().to_string();
    (bench, track)
}

/// From the points that say so to the next ones she is on two tacks for as long as the legs tell; in whole seconds.
#[test]
fn a_track_says_where_she_beats_and_gybes() {
    let (bench, _) = demo();
    bench.put("north.geojson", r#"{"type":"LineString","coordinates":[[178,-53],[178,-51.4],[179,-51]]}"#);
    let ran = bench.run(&[
        "passage",
        "job.toml",
        "--track",
        "north.geojson",
        "--start",
        "2024-01-15T00:00",
        "--format",
        "json",
        "--gpx",
        "t.gpx",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let told = ran.json();
    let gpx = gpx::read(bench.read("t.gpx").as_bytes()).unwrap();
    let points = &gpx.tracks[0].segments[0].points;
    let time = |point: &gpx::Waypoint| at(&point.time.unwrap().format().unwrap());
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

/// The invented passage takes longer in the sea; halving the steps changes its time by less than 0.1 %.
#[test]
fn the_program_tells_a_passage() {
    let (bench, track) = demo();
    let short = r#"{"type":"LineString","coordinates":[[176,-52],[-179.5,-52.4],[-178.5,-52]]}"#;
    bench.put("short.geojson", short);
    let start = ["--start", "2024-01-15T03:00"];
    let run = |more: &[&str]| {
        let base = ["passage", "job.toml", "--track", "short.geojson"];
        bench.run(&base.iter().chain(&start).chain(more).copied().collect::<Vec<_>>())
    };

    let told = run(&["--format", "json"]).json();
    let departure = &told["departures"][0];
    let hours = |side: &str| departure[side]["sailed_h"].as_f64().unwrap();
    assert!(hours("corrected") > hours("flat"), "{departure}");
    assert!(
        departure["cost_h"].as_f64().unwrap() > 0.0 && departure["same_wind_cost_h"].as_f64().unwrap() > 0.0
    );
    let legs = departure["legs"].as_array().unwrap();
    let sum: f64 = legs.iter().map(|leg| leg["corrected"]["sailed_h"].as_f64().unwrap()).sum();
    assert_relative_eq!(sum, hours("corrected"), max_relative = 1e-9);

    let ran = run(&["--format", "csv", "--gpx", "timed/track.gpx"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let table = rows(&ran.stdout);
    assert_eq!(table.len(), 2);
    assert_relative_eq!(
        table.iter().map(|row| row["corrected_h"].parse::<f64>().unwrap()).sum::<f64>(),
        hours("corrected"),
        epsilon = 2e-5
    );

    let gpx = gpx::read(bench.read("timed/track.gpx").as_bytes()).unwrap();
    let points = &gpx.tracks[0].segments[0].points;
    assert!(points.len() as f64 > hours("corrected"));
    let time = |point: &gpx::Waypoint| at(&point.time.unwrap().format().unwrap());
    assert_eq!(time(&points[0]), at("2024-01-15T03:00:00Z"));
    let last = points.last().unwrap();
    assert_eq!(time(last).to_string(), table[1]["corrected_arrival"]);
    assert_eq!((last.point().x(), last.point().y()), (-178.5, -52.0));
    assert!(points.windows(2).all(|pair| time(&pair[0]) < time(&pair[1])));

    let by_tack = run(&["--by-tack", "--format", "json"]).json();
    let other = by_tack["departures"][0]["corrected"]["sailed_h"].as_f64().unwrap();
    // the polars of both tacks are the audit's cells, to 2 decimals instead of 4
    assert_relative_eq!(other, hours("corrected"), max_relative = 2e-3);

    let three = bench.run(&[
        "passage",
        "out",
        "--track",
        &track,
        "--start",
        "2024-01-15T00:00",
        "--start-every",
        "6h",
        "--starts",
        "3",
        "--format",
        "csv",
    ]);
    assert_eq!(three.code, 3, "a 10 m boat is still at sea when the forecast ends: {}", three.stderr);
    let starts: Vec<String> = rows(&three.stdout).into_iter().map(|row| row["start"].clone()).collect();
    assert_eq!(starts.len(), 9);
    assert_eq!(starts[3], "2024-01-15T06:00:00Z");
    let table = bench.run(&[
        "passage",
        "out",
        "--track",
        "short.geojson",
        "--start",
        "2024-01-15T00:00",
        "--start-every",
        "3h",
    ]);
    assert!(
        table.stdout.lines().count() > 12 && table.stdout.contains("2024-01-15 03:00"),
        "{}",
        table.stdout
    );

    let half = halved(&bench);
    assert!(half < 1e-3, "halving the steps changes the time by {half}");
}

/// How much the time of the short passage changes with steps of half the length.
fn halved(bench: &Bench) -> f64 {
    let over = FileOverrides { polar: Some(bench.path("polar.csv")), forecast: Vec::new() };
    let sources = Sources::open(&bench.path("job.toml"), SpeedSource::Polars, over).unwrap();
    let track = [(176.0, -52.0), (180.5, -52.4), (181.5, -52.0)].map(Coord::from);
    let legs = Leg::along(&track, LegKind::Geodesic);
    let setting = Setting::new(sources, legs, None).unwrap();
    let time = |step_m| {
        let passage = setting.passage_in_steps(at("2024-01-15T03:00:00Z"), step_m).unwrap();
        passage.corrected.duration_s()
    };
    let change = (time(STEP_M / 2.0) / time(STEP_M) - 1.0).abs();
    println!("halving the steps changes the time by {change:.1e}");
    change
}

#[test]
fn files_of_another_forecast_or_none_are_refused() {
    let (bench, track) = demo();
    let refused = |arguments: &[&str], words: &[&str]| {
        let mut all = vec!["passage"];
        all.extend(arguments);
        all.extend(["--track", &track, "--start", "2024-01-15T03:00"]);
        let ran = bench.run(&all);
        assert_eq!(ran.code, 1, "{}", ran.stderr);
        for word in words.iter().chain(&["expected", "remedy"]) {
            assert!(ran.stderr.contains(word), "should say {word:?}: {}", ran.stderr);
        }
    };
    let other = file("grids/gfswave.20210826.t12z.atlocn.0p16.f000.grib2").display().to_string();
    refused(
        &["out", "--forecast", &other],
        &["not the one the result was made from", "gfswave", "manifest.json"],
    );
    bench.put("slower.csv", support::POLAR);
    refused(&["out", "--polar", "slower.csv"], &["flat polar", "slower.csv", "SHA-256"]);
    refused(&["out", "--forecast", "lost.grib2"], &["not there", "lost.grib2", "--forecast FILE"]);
    refused(&["out", "--member", "3"], &["member 3", "--member"]);
    let one = bench.run(&["derate", "job.toml", "--tacks", "port", "--output", "port", "--quiet"]);
    assert_eq!(one.code, 0);
    refused(&["port"], &["one tack alone", "--by-tack"]);
    let job = bench.read("job.toml").replace("\"out\"", "\"never-made\"");
    bench.put("other.toml", job);
    refused(&["other.toml"], &["no result yet", "roughwater derate"]);
}
