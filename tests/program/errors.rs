//! Bad input through the program: exit code, one message with file, place, expectation and remedy, nothing written.

use crate::common::bench::Bench;
use crate::common::files::{INVENTED, data, file, text};
use std::fs;

/// The command fails with this code and words; nothing is printed, made or changed.
fn refused(bench: &Bench, arguments: &[&str], code: i32, words: &[&str]) {
    let before = bench.snapshot();
    let ran = bench.run(arguments);
    let told = format!("{arguments:?}\n{}", ran.stderr);
    assert_eq!(ran.code, code, "{told}");
    assert_eq!(ran.stdout, "", "{told}");
    assert_eq!(ran.stderr.matches("error:").count(), 1, "one message: {told}");
    for word in words {
        assert!(ran.stderr.contains(word), "should say {word:?}: {told}");
    }
    if code == 1 {
        // what the operating system reports says what was expected: a file that can be read
        let expected = if ran.stderr.contains("os error") { "  input " } else { "  expected " };
        for part in ["  input ", expected, "  remedy "] {
            assert!(ran.stderr.contains(part), "should have {part:?}: {told}");
        }
    }
    assert!(bench.snapshot() == before, "files have changed: {told}");
}

/// `derate job.toml` with one file of the small job replaced, over an earlier result and without one.
fn bad_file(name: &str, bytes: impl AsRef<[u8]>, words: &[&str]) {
    for bench in [Bench::new(), Bench::new().with_earlier_result()] {
        bench.put(name, &bytes);
        let mut words = words.to_vec();
        words.push(name);
        refused(&bench, &["derate", "job.toml"], 1, &words);
    }
}

fn boat_with(old: &str, new: &str) -> String {
    let boat = text("examples/boats/oat-plover-10.toml");
    assert!(boat.contains(old), "{old}");
    boat.replacen(old, new, 1)
}

fn foiler_with(old: &str, new: &str) -> String {
    let boat = text("examples/boats/sleet-heron-15.toml");
    assert!(boat.contains(old), "{old}");
    boat.replacen(old, new, 1)
}

/// A collection of regions, each a name (as JSON) and a ring.
fn regions(features: &[(&str, &str)]) -> String {
    let features: Vec<String> = features
        .iter()
        .map(|(name, ring)| {
            format!(
                r#"{{"type":"Feature","properties":{{{name}}},"geometry":{{"type":"Polygon","coordinates":[{ring}]}}}}"#
            )
        })
        .collect();
    format!(r#"{{"type":"FeatureCollection","features":[{}]}}"#, features.join(","))
}

const RING: &str = "[[176,-54],[180,-54],[180,-50],[176,-50],[176,-54]]";

#[test]
fn forecasts_that_are_none() {
    let whole = fs::read(file(INVENTED)).unwrap();
    let noise: Vec<u8> = (0_u32..4000).map(|i| (i.wrapping_mul(2_654_435_761) >> 24) as u8).collect();
    let cases: [(&[u8], &[&str]); 5] = [
        (&whole[..5000], &["cut short", "message 3, which starts at byte", "download it again"]),
        (b"<html><body>404 Not Found</body></html>", &["web page", "404 Not Found"]),
        (b"", &["empty", "0 bytes"]),
        (&noise, &["no known kind", "first bytes"]),
        (b"\x1f\x8b\x08\0\0\0\0\0", &["gzip", "gunzip"]),
    ];
    for (bytes, words) in cases {
        let bench = Bench::new().with_earlier_result();
        bench.put("sea.grib2", bytes);
        let words: Vec<&str> = words.iter().copied().chain(["sea.grib2"]).collect();
        refused(&bench, &["derate", "job.toml", "--forecast", "sea.grib2"], 1, &words);
        refused(&bench, &["inspect", "sea.grib2"], 1, &words);
    }
}

#[test]
fn forecasts_without_waves_or_wind() {
    let bench = Bench::new().with_earlier_result();
    for (name, word) in [("no-waves", "wave"), ("no-wind", "wind")] {
        let forecast = data(&format!("{name}.grib2"));
        refused(&bench, &["derate", "job.toml", "--forecast", forecast.to_str().unwrap()], 1, &[word]);
    }
}

#[test]
fn polars_that_are_broken() {
    for (polar, words) in [
        ("twa_deg,8,14\n50,4.6,\n90,5,6\n", &["line 2", "column 3"][..]),
        ("twa_deg,8,14\n50,4.6,5\n90,-5,6\n", &["line 3", "column 2", "-5"]),
        ("twa_deg,8,14\n50,4.6,5\n190,5,6\n", &["line 3", "190", "180"]),
        ("twa_deg,8,14\n90,4.6,5\n90,5,6\n", &["line 3", "stands twice", "line 2"]),
        ("twa_deg,14,14\n50,4.6,5\n90,5,6\n", &["line 1", "column 3", "stands twice"]),
        ("twa_deg,8,14\n50,4.6,NaN\n90,5,6\n", &["line 2", "column 3", "NaN"]),
        ("twa_deg,8,14\n50,fast,5\n90,5,6\n", &["line 2", "column 2", "fast"]),
        ("twa_deg,8,14\n50,4.6,500\n90,5,6\n", &["line 2", "500", "80"]),
        ("twa_deg,8,14\n50,4.6,5,7\n90,5,6\n", &["line 2", "4 fields"]),
        ("", &["polar.csv"]),
    ] {
        bad_file("polar.csv", polar, words);
    }
    bad_file("polar.csv", b"twa_deg,8\xff\xfe,14\n50,1,2\n", &["UTF-8"]);
}

#[test]
fn regions_that_are_none() {
    let named = r#""name":"A""#;
    for (geojson, words) in [
        (
            regions(&[(r#""name":"../a""#, RING), (named, "[[176,-54],[180,-54],[180,-50]]"), (named, RING)]),
            &["2 regions cannot be used", "feature 1", "file name", "feature 2 \"A\"", "ring"][..],
        ),
        (regions(&[(named, RING), (r#""name":"a""#, RING)]), &["two regions have one name", "feature 2"]),
        (regions(&[(r#""name":"../a""#, RING)]), &["file name", "feature 1", "rename"]),
        (
            regions(&[(named, "[[176,-54],[180,-50],[180,-54],[176,-50],[176,-54]]")]),
            &["not valid", "feature 1 \"A\"", "cross"],
        ),
        (regions(&[(named, "[[176,-54],[180,-54],[180,-50]]")]), &["feature 1 \"A\"", "ring"]),
        (regions(&[]), &["holds no regions"]),
        (r#"{"type":"FeatureCollection","features":["#.to_owned(), &["not valid GeoJSON"]),
        (
            regions(&[(named, "[[-54,176],[-54,180],[-50,180],[-50,176],[-54,176]]")]),
            &["feature 1 \"A\"", "position 1", "swapped"],
        ),
    ] {
        bad_file("regions.geojson", geojson, words);
    }
}

/// 45 S 169.5 E lies inland in the south of New Zealand's South Island, and is land in the invented forecast's mask.
#[test]
fn regions_without_sea() {
    let named = r#""name":"A""#;
    let land = "[[169.4,-45.1],[169.6,-45.1],[169.6,-44.9],[169.4,-44.9],[169.4,-45.1]]";
    bad_file("regions.geojson", regions(&[(named, land)]), &["region \"A\"", "is land"]);
    let north = "[[0,50],[1,50],[1,51],[0,51],[0,50]]";
    bad_file("regions.geojson", regions(&[(named, north)]), &["\"A\"", "wholly outside the forecast"]);
}

#[test]
fn boats_that_cannot_be() {
    for (boat, words) in [
        (boat_with("lwl_m", "lwl"), &["\"lwl\"", "did you mean \"lwl_m\"?", "line 5"][..]),
        (boat_with("mainsail_m2 = 32", "mainsail_m2 = \"32\""), &["\"32\"", "a number", "line"]),
        (boat_with("headsail_m2 = 30", ""), &["missing", "headsail_m2", "line"]),
        (boat_with("displacement_kg = 5200", "displacement_kg = 52000"), &["block coefficient", "line 8"]),
        (boat_with("pitch_radius_m = 2.25", "pitch_radius_m = 9"), &["pitch", "line 9"]),
        (
            boat_with("pitch_radius_m", "sections = \"round-transom.csv\"\npitch_radius_m"),
            &["given twice", "line 9", "`sections`"],
        ),
        (boat_with("[hull]", "[hull"), &["not valid TOML", "line 4"]),
        (boat_with("chord_m = 1.1", "chord_m = -1.1"), &["appendages.chord_m", "-1.1", "line"]),
        (boat_with("mainsail_m2 = 32", "mainsail_m2 = nan"), &["mainsail_m2", "line"]),
        (
            foiler_with("take_off_speed_kn = 9.0", "take_off_speed_kn = 35"),
            &["before they take off", "full_share_speed_kn", "line"],
        ),
    ] {
        bad_file("boat.toml", &boat, words);
    }
    let bench = Bench::new();
    bench.put("boat.toml", foiler_with("../../polars/sleet-heron-15-foils-up.csv", "none.csv"));
    refused(&bench, &["derate", "job.toml"], 1, &["none.csv"]);
    let without_sails = text("examples/boats/oat-plover-10.toml");
    let (before, _) = without_sails.split_once("[sails]").unwrap();
    bad_file("boat.toml", before, &["sails"]);
}

#[test]
fn boats_in_one_sea() {
    let bench = Bench::new();
    let sea = ["--speed-kn", "6", "--hs-m", "2", "--tp-s", "7"];
    bench.put("boat.toml", boat_with("lwl_m", "lwl"));
    let with = |more: &[&'static str]| [&["response", "boat.toml"][..], &sea, more].concat();
    refused(&bench, &with(&[]), 1, &["boat.toml", "did you mean \"lwl_m\"?"]);
    bench.put("boat.toml", text("examples/boats/oat-plover-10.toml"));
    refused(&bench, &with(&["--without-foil", "port"]), 1, &["foil", "boat"]);
    refused(&bench, &with(&["--wave-angle-deg", "190"]), 2, &["--wave-angle-deg", "0 to 180"]);
    refused(&bench, &with(&["--regular", "--period-s", "7"]), 2, &["--regular"]);
    refused(
        &bench,
        &["response", "boat.toml", "--speed-kn", "NaN", "--hs-m", "2", "--tp-s", "7"],
        2,
        &["finite"],
    );
    refused(&bench, &["response", "boat.toml", "--speed-kn", "6", "--hs-m", "-2", "--tp-s", "7"], 2, &["-2"]);
    refused(&bench, &["response", "boat.toml", "--speed-kn", "6"], 2, &["--hs-m", "--tp-s"]);
    refused(&bench, &["response", "boat.toml", "--hs-m", "2", "--tp-s", "7"], 2, &["--speed-kn"]);
    refused(
        &bench,
        &["response", "none.toml", "--speed-kn", "6", "--hs-m", "2", "--tp-s", "7"],
        1,
        &["none.toml"],
    );
}

#[test]
fn jobs_that_cannot_run() {
    let job = Bench::new().job(INVENTED);
    for (text, words) in [
        (format!("{job}windw = \"6h\"\n"), &["line 7", "did you mean \"window\"?"][..]),
        (job.replace("polar =", "# polar ="), &["no \"polar\"", "--polar"]),
        (job.replace("window = \"1d\"", "window = \"6 hrz\""), &["line 5", "6 hrz"]),
        (job.replace("window = \"1d\"", "tacks = \"both\""), &["line 5", "mean, slower"]),
        (format!("{job}tiles = {{ lat_deg = 5, lon_deg = 5 }}\n"), &["both regions and tiles"]),
    ] {
        bad_file("job.toml", text, words);
    }
    let forecast = job.lines().find(|line| line.starts_with("forecast")).unwrap();
    bad_file(
        "job.toml",
        job.replace(forecast, "forecast = \"gfs-*.grib2\""),
        &["matches nothing", "gfs-*.grib2"],
    );
    for (key, name) in [("boat.toml", "b0.toml"), ("polar.csv", "p0.csv"), ("regions.geojson", "r0.geojson")]
    {
        let bench = Bench::new().with_earlier_result();
        bench.put("job.toml", job.replace(key, name));
        refused(&bench, &["derate", "job.toml"], 1, &[name, "No such file"]);
    }
    let bench = Bench::new().with_earlier_result();
    refused(&bench, &["derate", "none.toml"], 1, &["none.toml"]);
    refused(&bench, &["inspect", "none.csv"], 1, &["none.csv"]);
    refused(&bench, &["derate", "job.toml", "--window", "0h"], 2, &["--window", "0h"]);
    refused(&bench, &["derate", "job.toml", "--tacks", "both"], 2, &["--tacks", "signed"]);
    refused(&bench, &["derate", "job.toml", "--without-foil", "port"], 1, &["foil"]);
    let ran = bench.run(&["derate"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (1, ""));
    assert!(ran.stderr.contains("no job is given") && ran.stderr.contains("remedy"), "{}", ran.stderr);
}

#[test]
fn output_that_is_not_a_result_stays() {
    let bench = Bench::new();
    bench.put("out/thesis.txt", "the only copy");
    refused(&bench, &["derate", "job.toml"], 1, &["out", "would replace", "name another folder"]);
    bench.put("page/manifest.json", r#"{"name": "a web page"}"#);
    refused(&bench, &["derate", "job.toml", "--output", "page"], 1, &["page", "would replace"]);
    refused(&bench, &["derate", "job.toml", "--output", "polar.csv"], 1, &["polar.csv", "not a folder"]);
}

/// A failed run takes away the folders it made for its result, too.
#[test]
fn folders_above_the_output_are_not_left_behind() {
    let bench = Bench::new();
    bench.put("polar.csv", "twa_deg,8,14\n50,4.6,\n90,5,6\n");
    refused(&bench, &["derate", "job.toml", "--output", "deep/down/out"], 1, &["polar.csv"]);
}
