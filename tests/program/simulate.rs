//! `simulate`: the boat in time, against what must hold whatever the sea.

use crate::common::bench::{Bench, Ran};
use crate::common::files::file;
use crate::common::tables::{number, rows};
use serde_json::Value;

const FOILER: [&str; 2] = ["examples/boats/sleet-heron-15.toml", "polars/sleet-heron-15.csv"];
const CRUISER: [&str; 2] = ["examples/boats/oat-plover-10.toml", "polars/oat-plover-10.csv"];

fn ran(bench: &Bench, [boat, polar]: [&str; 2], arguments: &str) -> Ran {
    let (boat, polar) = (file(boat), file(polar));
    let fixed = ["simulate", boat.to_str().unwrap(), "--polar", polar.to_str().unwrap(), "--format", "json"];
    let more: Vec<&str> = arguments.split_whitespace().collect();
    bench.run(&[&fixed[..], &more].concat()).worked()
}

fn simulated(boat: [&str; 2], arguments: &str) -> Value {
    ran(&Bench::new(), boat, arguments).json()
}

fn of(answer: &Value, key: &str) -> f64 {
    answer[key].as_f64().unwrap_or_else(|| panic!("no {key} in {answer}"))
}

#[test]
fn the_answer_has_the_documented_members() {
    let answer = simulated(FOILER, "--tws-kn 20 --twa-deg 130 --hs-m 2.4 --tp-s 7.7 --duration-s 300");
    for key in [
        "flat_kn",
        "mean_kn",
        "mean_se_kn",
        "sd_kn",
        "p5_kn",
        "p95_kn",
        "derate_kn",
        "riding_share",
        "stall_rate_per_h",
        "drop_rate_per_h",
        "nose_dive_rate_per_h",
        "deck_water_kg",
        "recovery_mean_s",
    ] {
        of(&answer, key);
    }
    assert!(of(&answer, "p5_kn") < of(&answer, "mean_kn") && of(&answer, "mean_kn") < of(&answer, "p95_kn"));
}

/// Without waves the speed is the polar's: 15.58 kn at 20 kn and 130 degrees, 3.93 at 6 kn and 40.
#[test]
fn flat_water_gives_the_polars_speed() {
    for (boat, tws, twa, flat) in [(FOILER, 20, 130, 15.58), (FOILER, 16, -45, 10.83), (CRUISER, 6, 40, 3.93)]
    {
        let answer =
            simulated(boat, &format!("--tws-kn {tws} --twa-deg {twa} --hs-m 0 --tp-s 8 --duration-s 600"));
        assert!((of(&answer, "mean_kn") - flat).abs() < 0.01, "{answer}");
        assert!((of(&answer, "derate_kn") - flat).abs() < 0.01 && of(&answer, "sd_kn") < 1e-4, "{answer}");
    }
}

/// A sea of a centimetre changes nothing that one could read.
#[test]
fn a_small_sea_is_nearly_none() {
    let answer = simulated(CRUISER, "--tws-kn 16 --twa-deg 150 --hs-m 0.01 --tp-s 6 --duration-s 600");
    let flat = of(&answer, "flat_kn");
    assert!((of(&answer, "mean_kn") / flat - 1.0).abs() < 1e-3, "{answer}");
    assert!((of(&answer, "derate_kn") / flat - 1.0).abs() < 1e-3, "{answer}");
}

/// The mirror image of a sea on the other tack.
#[test]
fn port_and_starboard_swap() {
    let both = [("120", "40"), ("-120", "-40")].map(|(twa, off)| {
        simulated(
            FOILER,
            &format!("--tws-kn 16 --twa-deg {twa} --off-wind-deg {off} --hs-m 2 --tp-s 7 --duration-s 600"),
        )
    });
    for key in ["mean_kn", "sd_kn", "derate_kn"] {
        assert!((of(&both[0], key) - of(&both[1], key)).abs() < 1e-3, "{key}: {} {}", both[0], both[1]);
    }
}

#[test]
fn equal_seeds_give_equal_bytes_whatever_the_threads() {
    let arguments = "--tws-kn 20 --twa-deg 150 --hs-m 3 --tp-s 8.5 --duration-s 300 --trace trace.csv";
    let traced = |threads: &str| {
        let bench = Bench::new();
        let (boat, polar) = (file(FOILER[0]), file(FOILER[1]));
        let fixed = ["simulate", boat.to_str().unwrap(), "--polar", polar.to_str().unwrap()];
        let more: Vec<&str> = arguments.split_whitespace().collect();
        let told = bench.run_on(threads, &[&fixed[..], &more].concat()).worked().stdout;
        (told, bench.read("trace.csv"))
    };
    assert_eq!(traced("1"), traced("2"));
    let other = simulated(FOILER, &arguments.replace("--trace trace.csv", "--seed 7"));
    assert_ne!(
        of(&simulated(FOILER, &arguments.replace("--trace trace.csv", "")), "mean_kn"),
        of(&other, "mean_kn")
    );
}

/// Half the step changes the mean by under 0.2 %: beating, where no wave catches her and chance plays no part in it.
#[test]
fn half_the_step_changes_little() {
    let sea = "--tws-kn 16 --twa-deg 45 --hs-m 1.6 --tp-s 6.5 --duration-s 900";
    for boat in [FOILER, CRUISER] {
        let [whole, half] =
            ["0.1", "0.05"].map(|dt| of(&simulated(boat, &format!("{sea} --dt-s {dt}")), "mean_kn"));
        assert!((half / whole - 1.0).abs() < 2e-3, "{whole} {half}");
    }
}

/// Work of all forces is the change of kinetic energy, and what came over ran off or is there, to 0.1 %.
#[test]
fn the_books_close() {
    for (boat, sea) in [
        (FOILER, "--tws-kn 20 --twa-deg 150 --hs-m 3 --tp-s 8.5"),
        (FOILER, "--tws-kn 20 --twa-deg 50 --hs-m 4 --tp-s 8.5"),
        (CRUISER, "--tws-kn 25 --twa-deg -120 --hs-m 4 --tp-s 8.5"),
    ] {
        let answer = simulated(boat, &format!("{sea} --duration-s 1200"));
        let books = &answer["books"];
        assert!(of(books, "energy").abs() < 1e-3 && of(books, "water").abs() < 1e-3, "{answer}");
    }
}

/// Common practice, no source: some 3 to 5 s to regain speed after a wave; on a fast reach, within a factor of two.
#[test]
fn speed_is_regained_in_seconds() {
    let answer = simulated(FOILER, "--tws-kn 20 --twa-deg 110 --hs-m 2.4 --tp-s 7.7");
    assert!((1.5..=10.0).contains(&of(&answer, "recovery_mean_s")), "{answer}");
}

/// By hand: a regular wave of 8 s from astern is met every w/(w - w² V/g); she stays in step with it, so her speed repeats.
#[test]
fn a_regular_wave_is_met_regularly() {
    let bench = Bench::new();
    let wave = "--tws-kn 16 --twa-deg 180 --hs-m 0.2 --tp-s 8 --regular --duration-s 400 --trace wave.csv";
    let answer = ran(&bench, CRUISER, wave).json();
    let speed = of(&answer, "mean_kn") * 1852.0 / 3600.0;
    let omega = std::f64::consts::TAU / 8.0;
    let period = std::f64::consts::TAU / (omega - omega * omega * speed / 9.80665);
    let trace = rows(&bench.read("wave.csv"));
    let crests: Vec<f64> = trace
        .windows(3)
        .filter(|at| {
            let [before, now, after] = [0, 1, 2].map(|i| number(&at[i], "speed_kn"));
            before < now && now >= after
        })
        .map(|at| number(&at[1], "time_s"))
        .collect();
    let between = (crests[crests.len() - 1] - crests[0]) / (crests.len() - 1) as f64;
    assert!((between / period - 1.0).abs() < 0.02, "{between} {period}");
}

#[test]
fn a_trace_in_parquet_and_a_picture_are_written() {
    let bench = Bench::new();
    ran(
        &bench,
        FOILER,
        "--tws-kn 16 --twa-deg 120 --hs-m 2 --tp-s 7 --duration-s 200 --trace t.parquet --plot p.svg",
    );
    assert!(std::fs::read(bench.path("t.parquet")).unwrap().starts_with(b"PAR1"));
    let picture = bench.read("p.svg");
    for word in ["<svg", "Speed, kn", "Wave at the bow", "Water on deck", "prefers-color-scheme"] {
        assert!(picture.contains(word), "{word}");
    }
}

#[test]
fn winds_and_seas_she_cannot_sail_are_told() {
    let (boat, polar) = (file(CRUISER[0]), file(CRUISER[1]));
    let fixed = ["simulate", boat.to_str().unwrap(), "--polar", polar.to_str().unwrap()];
    for (arguments, told) in [
        ("--tws-kn 60 --twa-deg 90 --hs-m 1 --tp-s 5", "outside the flat polar"),
        ("--tws-kn 10 --twa-deg 200 --hs-m 1 --tp-s 5", "out of range"),
        ("--tws-kn 10 --twa-deg 20 --hs-m 1 --tp-s 5", "outside the flat polar"),
        ("--tws-kn 10 --twa-deg 90 --hs-m 1 --tp-s 5 --dt-s 2", "above 0.5 s"),
        ("--tws-kn 10 --twa-deg 90 --hs-m 1 --tp-s 5 --duration-s 1e9", "too long"),
    ] {
        let more: Vec<&str> = arguments.split_whitespace().collect();
        let ran = Bench::new().run(&[&fixed[..], &more].concat()).ended(&[1, 2]);
        assert!(ran.stderr.contains(told), "{arguments}: {}", ran.stderr);
    }
}

/// Flat water: with all of her hull as without she holds the polar's speed, dry and still. A boat whose hull ends at the waterline is
/// refused, and so are frames of linear responses.
#[test]
fn all_of_her_hull_holds_the_polar_in_flat_water() {
    let wind = "--tws-kn 16 --twa-deg 90 --hs-m 0 --tp-s 8 --duration-s 60 --seeds 1";
    let answer = simulated(FOILER, &format!("{wind} --body exact"));
    let (flat, mean) = (of(&answer, "flat_kn"), of(&answer, "mean_kn"));
    assert!((mean / flat - 1.0).abs() < 0.01, "{flat} {mean}");
    assert_eq!((of(&answer, "shipped_kg_per_wave"), of(&answer, "slam_rate_per_h")), (0.0, 0.0));
    assert!(of(&answer, "pitch_sd_deg") < 0.05, "{answer}");
    let linear = simulated(FOILER, wind);
    assert!(linear.get("pitch_sd_deg").is_none());
    let refused = |boat: [&str; 2], more: &str, word: &str| {
        let (file, polar) = (file(boat[0]), file(boat[1]));
        let fixed = ["simulate", file.to_str().unwrap(), "--polar", polar.to_str().unwrap()];
        let arguments: Vec<&str> = fixed.into_iter().chain(wind.split(' ')).chain(more.split(' ')).collect();
        let ran = Bench::new().run(&arguments);
        assert!(ran.code == 1 && ran.stderr.contains(word), "{}", ran.stderr);
    };
    refused(CRUISER, "--body exact", "bow ends at the waterline");
    refused(FOILER, "--frames f.svg", "--body exact");
}

/// Steep seas from ahead, all of her hull: water comes over and its books close; the full bow and the fine one differ.
#[test]
fn bows_differ_in_a_steep_sea() {
    let sea = "--tws-kn 20 --twa-deg 50 --hs-m 3 --tp-s 6.8 --off-wind-deg -50 --duration-s 120 --seeds 1 --body exact";
    let full = ["examples/boats/sleet-heron-15-full-bow.toml", FOILER[1]];
    let [fine, full] = [FOILER, full].map(|boat| simulated(boat, sea));
    for answer in [&fine, &full] {
        assert!(of(answer, "mean_kn") < of(answer, "flat_kn") && of(answer, "sea_takes_n") > 0.0);
        let books = &answer["books"];
        assert!(of(books, "water").abs() < 1e-9 && of(books, "energy").abs() < 1e-3, "{books}");
        assert!(of(answer, "pitch_sd_deg") > 1.0 && of(answer, "waves_per_h") > 300.0);
    }
    assert!(fine["pitch_sd_deg"] != full["pitch_sd_deg"]);
}
