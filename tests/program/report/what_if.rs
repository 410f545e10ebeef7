//! What if: the sliders of a report with an atlas against the direct way.

use super::browser::{Tools, assert_promises, script_with, tools};
use crate::common::bench::Bench;
use serde_json::{Value, json};

/// How far the page may be from the direct way, kn.
const WITHIN_KN: f64 = 0.05;

/// Wind, height, period, angle off the wind and kind of seas that no grid was made for, and one that would break.
fn seas() -> Value {
    let sea = |tws: f64, hs: f64, tp: f64, off: f64, kind: &str| json!({"tws": tws, "hs": hs, "tp": tp, "off": off, "kind": kind});
    json!([
        sea(20.0, 2.5, 9.0, 0.0, "swell"),
        sea(10.0, 1.5, 7.5, 40.0, "swell"),
        sea(20.0, 3.2, 11.0, -70.0, "swell"),
        sea(20.0, 2.0, 12.0, 150.0, "swell"),
        sea(20.0, 2.1, 7.0, 10.0, "wind-sea"),
        sea(10.0, 1.2, 5.5, -30.0, "wind-sea"),
        sea(20.0, 9.0, 6.0, 0.0, "swell"),
    ])
}

/// A result and an atlas, both by mean forces: what surge makes of them is a matter of chance.
fn made() -> Bench {
    let bench = Bench::across();
    bench.derate(&["--quiet", "--surge", "off"]).worked();
    let atlas = [
        "atlas",
        "boat.toml",
        "--polar",
        "polar.csv",
        "-o",
        "atlas",
        "--surge",
        "off",
        "--error-kn",
        "0.01",
        "--quiet",
    ];
    bench.run(&atlas).ended(&[0, 3]);
    bench
}

/// Speeds by mean forces of `compare`, whose stages before the last are those.
fn direct(bench: &Bench, sea: &Value) -> Vec<(String, f64, f64)> {
    let text = |key: &str| sea[key].to_string();
    let (tws, hs, tp, off) = (text("tws"), text("hs"), text("tp"), format!("--off-wind-deg={}", text("off")));
    let kind = sea["kind"].as_str().unwrap();
    let answer = bench
        .run(&[
            "compare",
            "boat.toml",
            "boat.toml",
            "--polar",
            "polar.csv",
            "--tws-kn",
            &tws,
            "--hs-m",
            &hs,
            "--tp-s",
            &tp,
            &off,
            "--kind",
            kind,
            "--format",
            "json",
        ])
        .json();
    let cell = |cell: &Value| {
        let of = &cell["a"];
        let stages = of["stages"].as_array().unwrap();
        let mean: f64 = stages[..stages.len() - 1].iter().map(|stage| stage.as_f64().unwrap()).product();
        (
            cell["tack"].as_str().unwrap().to_owned(),
            cell["twa_deg"].as_f64().unwrap(),
            of["flat_kn"].as_f64().unwrap() * mean,
        )
    };
    answer.as_array().unwrap().iter().map(cell).collect()
}

fn driven(tools: &Tools, bench: &Bench, page: &str) -> Value {
    let [chromium, playwright] = tools.arguments();
    let told = [("WHAT_IF_SEAS", &*seas().to_string())];
    let seen = script_with("report.mjs", &[chromium, playwright, &bench.path(page)], &told);
    assert_eq!(seen["errors"], json!([]));
    seen
}

/// Within 0.05 kn of the direct way on every heading of every sea, at once; a sea that would break is refused in words.
#[test]
fn the_sliders_say_what_compare_says() {
    let Some(tools) = tools() else { return };
    let bench = made();
    bench.run(&["report", "out", "--atlas", "atlas"]).worked();
    let seen = driven(&tools, &bench, "out/report.html");
    assert_promises(&seen);
    let (mut furthest, mut count) = (0.0_f64, 0);
    for answer in seen["whatIf"].as_array().unwrap() {
        let sea = &answer["sea"];
        if sea["hs"] == 9.0 {
            assert!(answer["words"].as_str().unwrap().contains("would break"), "{answer}");
            continue;
        }
        for (tack, twa_deg, direct_kn) in direct(&bench, sea) {
            let row = answer["cells"].as_array().unwrap().iter().find(|row| row[0] == twa_deg).unwrap();
            let page_kn = row[if tack == "starboard" { 1 } else { 2 }].as_f64().unwrap();
            assert!(
                (page_kn - direct_kn).abs() < WITHIN_KN,
                "{sea}, {tack} {twa_deg}: {page_kn} for {direct_kn}"
            );
            furthest = furthest.max((page_kn - direct_kn).abs());
            count += 1;
        }
    }
    println!("{count} speeds, furthest {furthest:.4} kn");
    assert_eq!(count, 36);
}

#[test]
fn an_atlas_of_another_boat_is_refused() {
    let bench = Bench::across();
    bench.derate(&["--quiet", "--surge", "off"]).worked();
    let other = bench.read("boat.toml").replace("Sleet Heron 15", "Other boat");
    bench.put("other.toml", other);
    let atlas = [
        "atlas",
        "other.toml",
        "--polar",
        "polar.csv",
        "-o",
        "atlas",
        "--surge",
        "off",
        "--finest",
        "coarse",
        "--quiet",
    ];
    bench.run(&atlas).ended(&[0, 3]);
    let told = bench.run(&["report", "out", "--atlas", "atlas"]).ended(&[1]).stderr;
    assert!(
        told.contains("another boat") && told.contains("Other boat") && told.contains("remedy"),
        "{told}"
    );
}
