//! Passages by hand: one polar and wind, edges of windows, beats, the date line, departures, gaps.
//!
//! Distances come from geographiclib 2.1 (PyPI): `Geodesic.WGS84.Inverse(lat1, lon1, lat2, lon2)["s12"]`.

mod support;

use approx::assert_relative_eq;
use geo::{Coord, MultiPolygon, polygon};
use jiff::Timestamp;
use roughwater::export::index::Entry;
use roughwater::forecast::field::Field;
use roughwater::forecast::grid::Grid;
use roughwater::forecast::point_wind::PointWind;
use roughwater::index_query::IndexedRegion;
use roughwater::job::TackChoice;
use roughwater::passage::{Chart, Leg, LegKind, Manner, Passage, Serving, Setting, Why};
use roughwater::polar::Polar;
use roughwater::units::KN;
use roughwater::window::Window;
use support::{Bench, file, rows};

/// Inverse(-50, 170, -50, 175).
const EAST_M: f64 = 358_412.000_192_660_2;
/// Inverse(-50, 178, -51, -177).
const ACROSS_M: f64 = 371_691.732_196_116_4;
/// Inverse(-52, 170, -50, 170).
const NORTH_M: f64 = 222_496.508_326_268_5;

const START: &str = "2030-03-01T00:00:00Z";

fn at(text: &str) -> Timestamp {
    text.parse().unwrap()
}

/// One wind over 30 to 60 S and 160 E to 160 W, every 6 h for so many hours; components in m/s.
fn wind(eastward: f32, northward: f32, hours: i64) -> PointWind {
    let times = (0..=hours / 6).map(|six| {
        let valid = at(START) + jiff::SignedDuration::from_hours(6 * six);
        let grid = Grid::new(vec![-60.0, -30.0], vec![160.0, 200.0]).unwrap();
        let all = |value| Field::from_options([Some(value); 4]);
        (valid, grid, all(eastward), all(northward))
    });
    PointWind::of_components(times.collect())
}

/// A polar of one speed at every wind and angle from 45 on.
fn steady(speed_kn: f64) -> Polar {
    Polar::new(vec![0.0, 40.0], vec![45.0, 180.0], vec![speed_kn; 4]).unwrap()
}

/// A box of sea between two longitudes with polars for windows given by hours from the start.
fn region(name: &str, west: f64, east: f64, windows: &[(i64, i64, f64)]) -> (IndexedRegion, Vec<Polar>) {
    let hour = |hour: i64| at(START) + jiff::SignedDuration::from_hours(hour);
    let entry = |&(start, end, _): &(i64, i64, f64)| Entry {
        window: Window { start: hour(start), end: hour(end) },
        tacks: TackChoice::Mean,
        member: None,
        file: String::new(),
    };
    let area = polygon![(x: west, y: -60.0), (x: east, y: -60.0), (x: east, y: -40.0), (x: west, y: -40.0)];
    let region = IndexedRegion {
        name: name.to_owned(),
        area: MultiPolygon(vec![area]),
        polars: windows.iter().map(entry).collect(),
    };
    (region, windows.iter().map(|window| steady(window.2)).collect())
}

fn legs(track: &[(f64, f64)], kind: LegKind) -> Vec<Leg> {
    Leg::along(&track.iter().map(|&(x, y)| Coord { x, y }).collect::<Vec<_>>(), kind)
}

fn setting(
    track: &[(f64, f64)],
    regions: Vec<(IndexedRegion, Vec<Polar>)>,
    wind: PointWind,
    flat: Polar,
) -> Setting {
    Setting { flat, chart: Chart::new(regions), wind, legs: legs(track, LegKind::Geodesic) }
}

fn gaps(passage: &Passage, setting: &Setting) -> Vec<String> {
    (0..setting.legs.len()).flat_map(|leg| passage.gaps(setting, leg).unwrap()).collect()
}

/// A reach at 10 kn flat and 8 kn in the sea: distance over speed.
#[test]
fn constant_speed_takes_distance_over_speed() {
    let track = [(170.0, -50.0), (175.0, -50.0)];
    let here = region("Sea", 165.0, 180.0, &[(0, 48, 8.0)]);
    let setting = setting(&track, vec![here], wind(0.0, 8.0, 48), steady(10.0));
    let passage = setting.passage(at(START)).unwrap();
    assert_relative_eq!(passage.flat.duration_s(), EAST_M / (10.0 * KN), max_relative = 1e-9);
    assert_relative_eq!(passage.corrected.duration_s(), EAST_M / (8.0 * KN), max_relative = 1e-9);
    let later = EAST_M / (8.0 * KN) - EAST_M / (10.0 * KN);
    assert_relative_eq!(passage.cost_s().unwrap(), later, max_relative = 1e-9);
    // one wind everywhere: the clocks differ by what the sea takes
    assert_relative_eq!(passage.sea_s(0).unwrap(), later, max_relative = 1e-9);
    assert!(gaps(&passage, &setting).is_empty());
}

/// 10 kn for 12 h are 120 nm; the rest at 5 kn. The edge is found to a metre, 0.4 s at 5 kn.
#[test]
fn another_window_takes_over_half_way() {
    let track = [(170.0, -50.0), (175.0, -50.0)];
    let here = region("Sea", 165.0, 180.0, &[(0, 12, 10.0), (12, 48, 5.0)]);
    let setting = setting(&track, vec![here], wind(0.0, 8.0, 48), steady(10.0));
    let passage = setting.passage(at(START)).unwrap();
    let by_hand = 12.0 * 3600.0 + (EAST_M - 120.0 * 1852.0) / (5.0 * KN);
    assert!((passage.corrected.duration_s() - by_hand).abs() < 0.5, "{}", passage.corrected.duration_s());
}

/// Due north into a wind from north, 6 kn at 45 flat and 5 in the sea: v cos 45 to windward.
#[test]
fn a_beat_by_hand() {
    let track = [(170.0, -52.0), (170.0, -50.0)];
    let here = region("Sea", 165.0, 180.0, &[(0, 72, 5.0)]);
    let setting = setting(&track, vec![here], wind(0.0, -8.0, 72), steady(6.0));
    let passage = setting.passage(at(START)).unwrap();
    let made_good = std::f64::consts::FRAC_1_SQRT_2 * KN;
    assert_relative_eq!(passage.flat.duration_s(), NORTH_M / (6.0 * made_good), max_relative = 1e-9);
    assert_relative_eq!(passage.corrected.duration_s(), NORTH_M / (5.0 * made_good), max_relative = 1e-9);
    assert!(passage.corrected.stretches.iter().all(|stretch| stretch.manner == Manner::Beating));
}

/// From 178 E to 177 W in one region that is cut at 180, the second part with longitudes below zero.
#[test]
fn right_across_180() {
    let west = region("Sea", 170.0, 180.0, &[(0, 48, 10.0)]);
    let east = region("Sea east", -180.0, -170.0, &[(0, 48, 10.0)]);
    for track in [[(178.0, -50.0), (-177.0, -51.0)], [(178.0, -50.0), (183.0, -51.0)]] {
        let setting = setting(&track, vec![west.clone(), east.clone()], wind(0.0, 8.0, 48), steady(12.0));
        let passage = setting.passage(at(START)).unwrap();
        assert_relative_eq!(passage.corrected.duration_s(), ACROSS_M / (10.0 * KN), max_relative = 1e-9);
        assert!(gaps(&passage, &setting).is_empty());
        let last = passage.corrected.stretches.last().unwrap();
        assert!(last.from.x() < -177.0 && last.from.x() > -177.1, "{last:?}");
    }
}

/// On the sphere of 6 371 008.8 m: great circle by pyproj 3.7.2 `Geod(a=6371008.8, b=6371008.8).inv(178, -50, -177, -51)`,
/// rhumb line by hand, distance = hypot(dphi, q dlon) with q = dphi / dpsi (Snyder 1987).
#[test]
fn legs_of_each_kind() {
    let track = [(178.0, -50.0), (-177.0, -51.0)];
    for (kind, length_m, course) in [
        (LegKind::Geodesic, ACROSS_M, 109.328_985_528_903_43),
        (LegKind::GreatCircle, 370_626.310_966_008_9, 109.373_557_902_814_41),
        (LegKind::Rhumb, 370_696.365_253_134_75, 107.455_362_430_153_16),
    ] {
        let leg = legs(&track, kind)[0];
        assert_relative_eq!(leg.length_m(), length_m, max_relative = 1e-9);
        assert_relative_eq!(leg.first_course().deg(), course, max_relative = 1e-9);
        let end = leg.at(leg.length_m() - 1e-3);
        assert!((end.x() + 177.0).abs() < 1e-6 && (end.y() + 51.0).abs() < 1e-6, "{kind:?} {end:?}");
    }
    let rhumb = legs(&track, LegKind::Rhumb)[0];
    assert_eq!(rhumb.course_at(200_000.0), rhumb.first_course());
}

/// The first 2 degrees lie in no region, and the windows end after 20 h: flat speed there, told and counted.
#[test]
fn without_a_corrected_polar_the_flat_one_is_sailed_and_told() {
    let track = [(170.0, -50.0), (175.0, -50.0)];
    let here = region("Sea", 172.0, 180.0, &[(0, 20, 5.0)]);
    let setting = setting(&track, vec![here], wind(0.0, 8.0, 48), steady(10.0));
    let passage = setting.passage(at(START)).unwrap();
    let parts = passage.uncorrected(0);
    assert_eq!(
        parts.iter().map(|part| part.why).collect::<Vec<_>>(),
        [Serving::OutsideRegions, Serving::OutsideWindows { region: 0 }]
    );
    // the geodesic reaches 172 E after 2/5 of its way, by symmetry within 1e-3
    assert_relative_eq!(parts[0].length_m, 0.4 * EAST_M, max_relative = 1e-3);
    let inside = 20.0 * 3600.0 - parts[0].length_m / (10.0 * KN);
    let rest = EAST_M - parts[0].length_m - inside * 5.0 * KN;
    assert!((parts[1].length_m - rest).abs() < 4.0);
    assert_relative_eq!(passage.flat.duration_s(), EAST_M / (10.0 * KN), max_relative = 1e-9);
    let told = gaps(&passage, &setting);
    assert!(
        told[0].contains("outside every region") && told[1].contains("outside the windows of Sea"),
        "{told:?}"
    );
    assert!(passage.cost_s().is_some());
}

/// 10 kn from hour 0: the wind of hour 12 serves up to hour 15, 150 nm on; then nothing is known.
#[test]
fn she_stops_where_the_wind_ends() {
    let track = [(170.0, -50.0), (175.0, -50.0)];
    let here = region("Sea", 165.0, 180.0, &[(0, 48, 10.0)]);
    let setting = setting(&track, vec![here], wind(0.0, 8.0, 12), steady(10.0));
    let passage = setting.passage(at(START)).unwrap();
    let stopped = passage.corrected.stopped.as_ref().unwrap();
    assert_eq!(stopped.why, Why::NoWindThen);
    assert!(
        (stopped.at_s - 15.0 * 3600.0).abs() < 0.5
            && (passage.corrected.length_m() - 150.0 * 1852.0).abs() < 2.0
    );
    assert_eq!((passage.cost_s(), passage.sea_s(0)), (None, None));
    assert!(gaps(&passage, &setting).iter().any(|gap| gap.contains("2030-03-01 15:00 UTC")));
}

#[test]
fn she_stops_where_nothing_is_known() {
    let strong = Polar::new(vec![6.0, 15.0], vec![45.0, 180.0], vec![10.0; 4]).unwrap();
    let track = [(170.0, -50.0), (175.0, -50.0)];
    let here = || vec![region("Sea", 165.0, 180.0, &[(0, 48, 10.0)])];
    // 8 m/s are 15.55 kn, more than the polar has
    let too_much = setting(&track, here(), wind(0.0, 8.0, 48), strong);
    let passage = too_much.passage(at(START)).unwrap();
    assert!(
        matches!(passage.flat.stopped.as_ref().unwrap().why, Why::OutsidePolar(tws) if (tws - 15.55).abs() < 0.01)
    );
    assert!(gaps(&passage, &too_much)[0].contains("outside the polar's 6 to 15 kn"));
    let beyond = setting(&[(170.0, -50.0), (150.0, -50.0)], here(), wind(0.0, 8.0, 480), steady(10.0));
    let passage = beyond.passage(at(START)).unwrap();
    assert_eq!(passage.flat.stopped.as_ref().unwrap().why, Why::NoWindThere);
    assert!((passage.flat.stopped.as_ref().unwrap().place.x() - 160.0).abs() < 0.05);
    let still = setting(&track, here(), wind(0.0, 8.0, 48), steady(0.0));
    assert!(matches!(still.passage(at(START)).unwrap().flat.stopped.unwrap().why, Why::NoWay(..)));
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
    use roughwater::passage::{Over, STEP_M, Sources, Tables};
    let over = Over { polar: Some(bench.path("polar.csv")), forecast: Vec::new() };
    let sources = Sources::open(&bench.path("job.toml"), Tables::Polars, over).unwrap();
    let legs = legs(&[(176.0, -52.0), (180.5, -52.4), (181.5, -52.0)], LegKind::Geodesic);
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

/// Smoothed polars differ from those computed, are nowhere above flat, and the manifest says so.
#[test]
fn smoothing_is_asked_for_and_recorded() {
    let bench = Bench::new();
    let run = |output: &str| {
        let ran = bench.run(&["derate", "job.toml", "--window", "all", "--output", output, "--quiet"]);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        let manifest: serde_json::Value =
            serde_json::from_str(&bench.read(&format!("{output}/manifest.json"))).unwrap();
        let index: serde_json::Value =
            serde_json::from_str(&bench.read(&format!("{output}/index.geojson"))).unwrap();
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
