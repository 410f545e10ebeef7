//! What a new user meets: keys explained, everything wrong told at once, inputs as people have them.

use crate::common::bench::Bench;
use crate::common::files::{INVENTED, NOAA, file, text};
use crate::common::places;
use std::fs;

/// `explain-key` knows every key of the invented boats and of the demo's job.
#[test]
fn every_key_is_explained() {
    let bench = Bench::new();
    let all = bench.run(&["explain-key", "--format", "json"]).json();
    let known: Vec<&str> = all.as_array().unwrap().iter().map(|key| key["key"].as_str().unwrap()).collect();
    for name in [
        "examples/boats/sleet-heron-15.toml",
        "examples/boats/oat-plover-10.toml",
        "examples/south-pacific/job.toml",
    ] {
        let keys = text(name);
        let keys =
            keys.lines().filter_map(|line| line.split_once(" = ")).map(|(key, _)| key.trim().to_owned());
        for key in
            keys.filter(|key| key.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_'))
        {
            assert!(
                known.contains(&key.as_str()) || ["port", "starboard"].contains(&key.as_str()),
                "{key} of {name}"
            );
        }
    }
    let one = bench.run(&["explain-key", "max_righting_moment_nm"]).worked().stdout;
    for word in ["sails.max_righting_moment_n_m", "newton metres", "usually", "needed"] {
        assert!(one.contains(word), "{one}");
    }
    let table = bench.run(&["explain-key", "deck"]).worked().stdout;
    assert!(table.contains("drain_time_s") && !table.contains("  lwl_m:"), "{table}");
    let wrong = bench.run(&["explain-key", "lwl"]).ended(&[1]).stderr;
    assert!(wrong.contains("did you mean \"lwl_m\"?"), "{wrong}");
}

/// README and --help say that every key of a job can be given as an option.
#[test]
fn every_key_of_a_job_has_its_option() {
    let bench = Bench::new();
    let help = bench.run(&["derate", "--help"]).worked().stdout;
    let keys = bench.run(&["explain-key", "job", "--format", "json"]).json();
    assert!(keys.as_array().unwrap().len() > 25);
    for key in keys.as_array().unwrap() {
        let option = key["option"].as_str().unwrap();
        assert!(!option.is_empty() && help.contains(&format!("{option} ")), "{key}");
    }
}

/// By hand: two keys misspelt and three missing in the boat, four keys missing in the job.
#[test]
fn everything_wrong_is_told_in_one_go() {
    let bench = Bench::new();
    let boat = text("examples/boats/oat-plover-10.toml");
    let wrong = boat
        .replace("draught_m = 0.53 ", "draft = 0.53 ")
        .replace("[deck]", "[deck]\ncolour = 3")
        .replace("headsail_m2 = 30", "");
    bench.put("boat.toml", wrong);
    let told = bench.derate(&[]).ended(&[1]).stderr;
    for word in [
        "2 unknown and 2 missing",
        "\"draft\"",
        "\"colour\"",
        "no \"draught_m\"",
        "no \"headsail_m2\"",
        "usually",
        "square metres",
    ] {
        assert!(told.contains(word), "{word}: {told}");
    }
    assert!(!told.contains("examples/"), "{told}");
    bench.put("empty.toml", "window = \"6h\"\n");
    let told = bench.run(&["derate", "empty.toml"]).ended(&[1]).stderr;
    for word in [
        "no \"boat\"",
        "no \"polar\"",
        "no \"output\"",
        "no \"forecast\"",
        "no \"regions\"",
        "--box",
        "--tiles",
        "--corridor",
        "--split",
    ] {
        assert!(told.contains(word), "{word}: {told}");
    }
    let told = bench.run(&["derate"]).ended(&[1]).stderr;
    assert!(told.contains("roughwater new") && !told.contains("examples/"), "{told}");
}

/// Values out of range are told together, each with the slip of unit that would explain it.
#[test]
fn slips_of_units_are_named() {
    let bench = Bench::new();
    let boat = text("examples/boats/oat-plover-10.toml");
    let boat = boat.replace("_n_m = 24000", "_n_m = 24").replace("righting_deg = 20", "righting_deg = 0.349");
    bench.put("boat.toml", boat.replace("displacement_kg = 5200", "displacement_kg = 5.2"));
    let told = bench.derate(&[]).ended(&[1]).stderr;
    for word in [
        "3 values",
        "in kilonewton metres, write 24000",
        "in radians, write 20",
        "in tonnes, write 5200",
        "line ",
    ] {
        assert!(told.contains(word), "{word}: {told}");
    }
}

/// A region from --box is the same sea as the bench's polygon, and serves without a regions file.
#[test]
fn boxes_need_no_file() {
    let bench = Bench::new();
    bench.derate(&["--box", "54S,176E,50S,180", "--quiet"]).worked();
    let index = bench.json("out/index.geojson");
    assert_eq!(index["features"][0]["properties"]["name"], "54S 176E to 50S 180W");
    let by_box = bench.rows("out/audit.csv");
    bench.derate(&["--quiet"]).worked();
    let by_file = bench.rows("out/audit.csv");
    assert_eq!(by_box.len(), by_file.len());
    for (own, other) in by_box.iter().zip(&by_file) {
        assert_eq!(own["corrected_kn"], other["corrected_kn"]);
    }
    let told = bench.derate(&["--box", "54S,176E,50S"]).ended(&[2]).stderr;
    assert!(told.contains("four sides"), "{told}");
}

/// The same forecast as a pattern, as a folder with other things in it, as several files, and behind a job.
#[test]
fn forecasts_come_as_files_folders_and_patterns() {
    let bench = Bench::new();
    fs::create_dir(bench.path("grids")).unwrap();
    fs::copy(file(INVENTED), bench.path("grids/a.grib2")).unwrap();
    bench.put("grids/readme.txt", "not a forecast");
    let job = bench.read("job.toml");
    let without: String =
        job.lines().filter(|line| !line.starts_with("forecast")).map(|line| format!("{line}\n")).collect();
    bench.put("job.toml", without);
    let forecasts: [&[&str]; 5] = [
        &["job.toml", "--forecast", "grids/*.grib2"],
        &["job.toml", "--forecast", "grids"],
        &["job.toml", "--forecast", "grids/a.grib2", "grids/a.grib2"],
        &["--forecast", "grids/a.grib2", "job.toml"],
        &["--forecast", "grids", "--", "job.toml"],
    ];
    for words in forecasts {
        bench.run(&[&["derate", "--quiet", "--cell-audit", "none"], words].concat()).worked();
        let manifest = bench.json("out/manifest.json");
        let files: Vec<&str> = manifest["inputs"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|input| input["role"] == "forecast")
            .map(|input| input["file"].as_str().unwrap())
            .collect();
        assert_eq!(files, ["grids/a.grib2"], "{words:?}");
    }
    for (words, told) in [
        (&["grids/a.grib2"][..], "write --forecast before it"),
        (&["job.toml", "polar.csv"], "write --polar before it"),
        (&["regions.geojson"], "write --regions before it"),
        (&["job.toml", "job.toml"], "two job files"),
    ] {
        let ran = bench.run(&[&["derate"], words].concat()).ended(&[1]);
        assert!(ran.stderr.contains(told), "{}", ran.stderr);
    }
    fs::create_dir(bench.path("none")).unwrap();
    let told = bench.derate(&["--forecast", "none"]).ended(&[1]).stderr;
    assert!(told.contains("a folder of forecasts holds none"), "{told}");
}

const FIGURES: [&str; 8] =
    ["--length-m", "10", "--beam-m", "3.3", "--displacement-kg", "5200", "--sail-area-m2", "62"];

/// From an empty folder with one forecast to a result, without a repository.
#[test]
fn a_new_job_runs_as_written() {
    let bench = Bench::new();
    fs::create_dir(bench.path("wren")).unwrap();
    fs::copy(file(INVENTED), bench.path("wren/sea.grib2")).unwrap();
    let told =
        bench.run(&[&["new", "wren"], &FIGURES[..], &["--box", "54S,176E,50S,180"]].concat()).worked().stdout;
    assert!(told.contains("hull.lwl_m = 9.2") && told.contains("no source"), "{told}");
    bench.run(&["derate", "wren/job.toml", "--window", "all", "--cell-audit", "none", "--quiet"]).worked();
    let manifest = bench.json("wren/out/manifest.json");
    let doubts = manifest["warnings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|warning| warning.as_str().unwrap().contains('?'));
    assert_eq!(doubts.count(), 0, "{manifest}");
    let again = bench.run(&[&["new", "wren"], &FIGURES[..]].concat()).ended(&[1]).stderr;
    assert!(again.contains("is there already"), "{again}");
    let none = bench.run(&["new", "none", "--length-m", "10"]).ended(&[1]).stderr;
    for word in ["--beam-m", "--displacement-kg", "--sail-area-m2", "usually"] {
        assert!(none.contains(word), "{none}");
    }
    assert!(!bench.path("none").exists());
}

/// Without a box the regions are the forecast's extent, and a forecast elsewhere is named from the job's folder.
#[test]
fn a_new_job_takes_the_forecasts_extent() {
    let bench = Bench::new();
    fs::create_dir(bench.path("grids")).unwrap();
    fs::copy(file(INVENTED), bench.path("grids/sea.grib2")).unwrap();
    bench
        .run(&[&["new", "jobs/wren", "--foils"], &FIGURES[..], &["--forecast", "grids/sea.grib2"]].concat())
        .worked();
    let job = bench.read("jobs/wren/job.toml");
    assert!(job.contains("\"../../grids/sea.grib2\"") && job.contains("tiles = "), "{job}");
    assert!(bench.read("jobs/wren/boat.toml").contains("\n[foils]\n"));
    assert_eq!(
        bench.run(&["inspect", "jobs/wren/job.toml", "--format", "json"]).json()["lacks"],
        serde_json::json!([])
    );
}

/// A polar with its axes swapped, and sails in square feet, are asked about, and still run.
#[test]
fn what_is_hard_to_believe_is_asked_about() {
    let bench = Bench::new();
    bench.put("polar.csv", "tws,50,90,150\n8,4.6,5.4,4.2\n14,5.9,6.7,6.2\n20,6.3,7.2,7.0\n");
    let boat = text("examples/boats/oat-plover-10.toml");
    bench.put(
        "boat.toml",
        boat.replace("mainsail_m2 = 32", "mainsail_m2 = 344")
            .replace("headsail_m2 = 30", "headsail_m2 = 323"),
    );
    bench.derate(&["--quiet", "--cell-audit", "none"]);
    let told = bench.run(&["inspect", "boat.toml", "--polar", "polar.csv"]);
    assert!(told.stdout.contains("sail area for her displacement"), "{told:?}");
    assert!(told.stdout.contains("transposed"), "{told:?}");
}

/// The real forecast's model ends short of its grid: what lies beyond it is a gap with its share, not land, and Georgia is land.
#[test]
fn what_a_model_does_not_reach_is_no_land() {
    let bench = Bench::new();
    bench.put("job.toml", bench.job(NOAA));
    let derate = |name: &str, sides: [f64; 4]| {
        bench.put("regions.geojson", places::region(name, sides));
        bench.derate(&["--window", "all", "--cell-audit", "none"])
    };
    let half = derate("Half", [-72.0, -62.0, 25.0, 30.0]).ended(&[3]);
    assert!(
        half.stdout.contains("the forecast covers only") && half.stdout.contains("it leaves empty"),
        "{}",
        half.stdout
    );
    let covered: f64 = bench.rows("out/audit.csv")[0]["covered"].parse().unwrap();
    assert!((0.5..0.95).contains(&covered), "{covered}");
    let told = bench.run(&["lookup", "out", "27N", "70W", "2021-08-26T12:00"]).worked().stdout;
    assert!(told.contains("of this region's sea"), "{told}");
    let beyond = derate("Beyond", [-50.0, -45.0, 30.0, 35.0]).ended(&[1]).stderr;
    assert!(
        beyond.contains("lies at sea, but the forecast has no waves there")
            && !beyond.contains("move the region to sea"),
        "{beyond}"
    );
    let inland = derate("Inland", [-85.0, -83.0, 33.0, 35.0]).ended(&[1]).stderr;
    assert!(inland.contains("land by the coastline"), "{inland}");
    let whole = derate("Whole", [-76.0, -70.0, 29.0, 33.0]).worked();
    assert!(whole.stdout.contains("one step alone") && whole.stdout.contains("3 h"), "{}", whole.stdout);
    let index = bench.json("out/index.geojson");
    let window = &index["features"][0]["properties"]["polars"][0];
    assert_eq!(
        (&window["start"], &window["end"]),
        (&"2021-08-26T12:00:00Z".into(), &"2021-08-26T15:00:00Z".into())
    );
}

/// Every line of the summary fits 80 columns, and a wide terminal is used.
#[test]
fn the_summary_fits_the_terminal() {
    let bench = Bench::new();
    let told = |columns: &str| {
        let ran = crate::common::bench::Ran::of(
            bench.command().env("COLUMNS", columns).args(["derate", "job.toml"]),
        );
        ran.ended(&[0, 3]).stdout
    };
    let narrow = told("80");
    for line in narrow.lines() {
        assert!(line.chars().count() <= 80, "{line:?}");
    }
    for word in [
        "Small sea",
        "upwind",
        "reach",
        "run",
        "mostly by",
        "stops",
        "look at: ",
        "audit explain out",
        "out/report.html",
    ] {
        assert!(narrow.contains(word), "{word}: {narrow}");
    }
    let longest = told("140").lines().map(|line| line.chars().count()).max().unwrap();
    assert!(longest > 80, "{longest}");
}

/// The same boat twice in a sea from dead ahead of the wind: both tacks are alike and stand once.
#[test]
fn equal_rows_of_both_tacks_are_folded() {
    let bench = Bench::new();
    let sea = ["--polar", "polar.csv", "--tws-kn", "14", "--hs-m", "2", "--tp-s", "7"];
    let table = bench.run(&[&["compare", "boat.toml", "boat.toml"], &sea[..]].concat()).worked().stdout;
    assert_eq!(table.matches("\n both").count(), 3, "{table}");
    assert!(!table.contains("port"), "{table}");
    let oblique = bench
        .run(&[&["compare", "boat.toml", "boat.toml", "--off-wind-deg", "40"], &sea[..]].concat())
        .worked()
        .stdout;
    assert!(oblique.contains("port") && oblique.contains("starboard"), "{oblique}");
}

/// Whatever the program reads or writes is told, the verdict in the first line.
#[test]
fn everything_read_or_written_is_inspected() {
    let bench = Bench::new();
    bench.put("responses.csv", "speed_kn,wave_angle_deg,period_s,added_resistance_n_per_m2\n5,0,4,0\n5,0,8,0\n5,180,4,300\n5,180,8,200\n8,0,4,0\n8,0,8,0\n8,180,4,400\n8,180,8,300\n");
    // a polar that every wind of the demo lies in
    bench.put("polar.csv", text("polars/oat-plover-10.csv"));
    bench.put("track.csv", "51.5S 178.5E\n50.5S 179.5E\n");
    bench.derate(&["--quiet", "--audit-format", "csv,parquet", "--cell-audit", "csv,parquet"]).worked();
    bench.run(&["tally", "write", "job.toml", "--output", "seas.parquet"]).ended(&[0, 3]);
    bench
        .run(&[
            "passage",
            "job.toml",
            "--track",
            "51.5S 178.5E; 50.5S 179.5E",
            "--start",
            "15 Jan 2024 03:00",
            "--gpx",
            "sailed.gpx",
        ])
        .ended(&[0, 3]);
    let forecast = file(INVENTED).display().to_string();
    for (name, kind, verdict) in [
        (forecast.as_str(), "forecast", "a forecast that serves by itself"),
        ("polar.csv", "polar", "a flat polar that can be used"),
        ("boat.toml", "boat", "can be derated"),
        ("job.toml", "job", "a job that can run"),
        ("responses.csv", "responses", "own responses that can be used: 8 nodes"),
        ("track.csv", "track", "a track of 2 positions"),
        ("sailed.gpx", "track", "a track of"),
        ("seas.parquet", "tally", "a tally that can be used: 1 regions"),
        ("out", "result", "a whole result: "),
        ("out/index.geojson", "result", "a whole result: "),
        ("out/manifest.json", "result", "a whole result: "),
        ("out/audit.csv", "result-table", "the audit of a result"),
        ("out/cells.csv", "result-table", "the cell audit of a result"),
        ("out/audit.parquet", "result-table", "the audit of a result"),
        ("out/cells.parquet", "result-table", "the cell audit of a result"),
        ("out/report.html", "result", "a whole result: "),
    ] {
        let told = bench.run(&["inspect", name]).worked().stdout;
        assert!(told.lines().next().unwrap().contains(verdict), "{name}: {told}");
        assert_eq!(bench.run(&["inspect", name, "--format", "json"]).json()["is"], kind, "{name}");
    }
    let short = bench.run(&["inspect", &forecast]).worked().stdout;
    let all = bench.run(&["inspect", &forecast, "--all"]).worked().stdout;
    assert!(short.lines().count() * 2 < all.lines().count() && short.contains("--all"), "{short}");
    let folder = bench.run(&["inspect", "."]).ended(&[1]).stderr;
    assert!(folder.contains("the folder is no result"), "{folder}");
}

/// A corridor of typed waypoints and one of the same places in a file are one.
#[test]
fn waypoints_may_be_typed() {
    let bench = Bench::new();
    bench.put("track.csv", "lat;lon\n52S;177E\n53°00'S;179 00E\n");
    let names = |track: &str| {
        bench
            .derate(&[
                "--corridor",
                track,
                "--half-width-nmi",
                "60",
                "--leg-nm",
                "100",
                "--quiet",
                "--cell-audit",
                "none",
            ])
            .ended(&[0, 3]);
        bench.read("out/audit.csv")
    };
    let typed = names("52S 177E; 53S 179E");
    assert!(typed.lines().count() > 10 && typed == names("track.csv"));
}
