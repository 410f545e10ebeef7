//! One cell taken apart: what is told adds up by hand, and agrees with the audit of the result.

use crate::common::bench::{Bench, POLAR};
use crate::common::tables::Row;
use serde_json::Value;

const STAGES: [&str; 6] =
    ["added_resistance", "deck_water", "windage", "foil_lift", "foil_downtime", "surge"];
const WINDOW: &str = "2024-01-15T12:00";

fn cruiser() -> Bench {
    let bench = Bench::new();
    bench.derate(&["--quiet"]).worked();
    bench
}

fn foiler() -> Bench {
    let bench = Bench::foiler();
    // foils so shallow that waves bare them
    bench.put("boat.toml", bench.read("boat.toml").replace("depth_m = 1.1", "depth_m = 0.4"));
    bench.derate(&["--quiet", "--match-wind"]).worked();
    bench
}

fn explain(bench: &Bench, tws: &str, twa: &str) -> Value {
    let cell = ["audit", "explain", "out", "small sea", tws, twa, "--window", WINDOW];
    bench.run(&[&cell[..], &["--format", "json"]].concat()).json()
}

fn f(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

fn near(a: f64, b: f64, relative: f64) {
    assert!((a - b).abs() <= relative * b.abs().max(1e-9), "{a} and {b}");
}

fn seas(answer: &Value) -> &Vec<Value> {
    answer["seas"].as_array().unwrap()
}

/// Total distance over total time: one over the sum of weight over speed.
fn mean_speed(answer: &Value, speed: impl Fn(&Value) -> f64) -> f64 {
    1.0 / seas(answer).iter().map(|sea| f(&sea["weight"]) / speed(sea)).sum::<f64>()
}

/// The cell by hand from its seas, and against its row of the audit. Bounds: 1e-9 is rounding.
fn adds_up(bench: &Bench, tws: &str, twa: &str) -> Value {
    let answer = explain(bench, tws, twa);
    near(seas(&answer).iter().map(|sea| f(&sea["weight"])).sum(), 1.0, 1e-9);
    let (flat, factor) = (f(&answer["flat_kn"]), f(&answer["factor"]));
    near(flat * factor, f(&answer["corrected_kn"]), 1e-9);
    let mut before = flat;
    let mut product = 1.0;
    for stage in STAGES {
        let after = mean_speed(&answer, |sea| f(&sea["speeds_kn"][stage]));
        near(f(&answer["stages"][stage]), after / before, 1e-9);
        product *= f(&answer["stages"][stage]);
        before = after;
    }
    near(before, f(&answer["corrected_kn"]), 1e-9);
    near(product, factor, 1e-9);
    near(
        mean_speed(&answer, |sea| f(&sea["second_method_kn"])) / flat,
        f(&answer["factor_second_method"]),
        1e-9,
    );
    for end in [0, 1] {
        near(mean_speed(&answer, |sea| f(&sea["band_kn"][end])) / flat, f(&answer["factor_band"][end]), 1e-9);
    }
    assert_eq!(answer["audit_row"]["agrees"], true, "{}", answer["audit_row"]);
    assert_eq!(answer["changed_inputs"].as_array().unwrap().len(), 0);
    let row = audit_row(bench, tws, twa);
    near(f(&answer["corrected_kn"]), row["corrected_kn"].parse().unwrap(), 1e-4);
    assert_eq!(answer["sea_states"].to_string(), row["sea_states"]);
    let names: Vec<&str> =
        answer["flags"].as_array().unwrap().iter().map(|flag| flag["name"].as_str().unwrap()).collect();
    assert_eq!(names.join(";"), row["flags"]);
    answer
}

fn audit_row(bench: &Bench, tws: &str, twa: &str) -> Row {
    let (tack, angle) = twa.strip_prefix('-').map_or(("starboard", twa), |angle| ("port", angle));
    bench
        .rows("out/audit.csv")
        .into_iter()
        .find(|row| {
            row["tack"] == tack
                && row["tws_kn"] == tws
                && row["twa_deg"] == angle
                && row["window_start"] == "2024-01-15T00:00:00Z"
        })
        .unwrap()
}

/// Each sea by hand. Bounds: speeds are solved to 1e-4 m/s, and resistance grows by less than a thousandth in that;
/// responses are kept in single precision, so sums over systems are good to 1e-5.
fn seas_add_up(answer: &Value, signed_twa: f64) {
    let displacement = f(&answer["displacement_kg"]);
    for sea in seas(answer) {
        let balances = sea["balances"].as_array().unwrap();
        for balance in balances {
            let forces = |name: &str| f(&balance["forces"][name]);
            let thrust = forces("drive_n") - forces("side_drag_n") + forces("pitching_thrust_n");
            let resistance = forces("calm_resistance_n")
                + forces("foil_drag_n")
                + forces("added_resistance_n")
                + forces("windage_n")
                + forces("deck_water_n");
            match balance["closing"].as_str().unwrap() {
                "balanced" => near(thrust, resistance, 1e-3),
                "held" => assert!(thrust > resistance),
                other => assert!(other == "stopped" && f(&balance["speed_kn"]) == 0.0 && thrust < resistance),
            }
            near(
                forces("added_resistance_n"),
                forces("hull_borne_share") * f(&balance["sea_added_resistance_n"]),
                1e-9,
            );
            if balance["foils_in_use"] == false {
                near(forces("hull_borne_share"), 1.0 + f(&balance["deck_water_kg"]) / displacement, 1e-9);
            }
            if let Some(foil) = balance["foil"].as_object() {
                let events = f(&foil["stall_rate_per_h"]) + f(&foil["broach_rate_per_h"]);
                let up = 1.0 / (1.0 + events / 3600.0 * f(&answer["foil_recovery_s"]));
                near(f(&foil["availability"]), up, 1e-9);
                let borne = 1.0 + f(&balance["deck_water_kg"]) / displacement;
                let lifted = f(&foil["weight_share"]) * f(&foil["lift_ratio"]);
                near(forces("hull_borne_share"), borne * (1.0 - lifted), 1e-9);
            }
        }
        let shared: f64 = balances.iter().map(|of| f(&of["time_share"]) * f(&of["speed_kn"])).sum();
        near(f(&sea["speeds_kn"]["foil_downtime"]), shared, 1e-9);
        let systems = sea["systems"].as_array().unwrap();
        let added: f64 = systems.iter().map(|system| f(&system["added_resistance_n"])).sum();
        let whole = f(&balances[0]["sea_added_resistance_n"]);
        assert!((added - whole).abs() <= 1e-5 * whole.abs() + 1e-3, "{added} and {whole} N");
        for system in systems {
            let turned = (f(&system["off_wind_deg"]) + 180.0 + signed_twa).rem_euclid(360.0);
            near(f(&system["wave_angle_deg"]), turned.min(360.0 - turned), 1e-9);
            // deep water: L = g Tp² / 2 pi, with g = 9.80665 m/s²
            let length = 9.80665 * f(&system["peak_period_s"]).powi(2) / std::f64::consts::TAU;
            near(f(&system["wave_length_m"]), length, 1e-4);
        }
        let energy: f64 = systems.iter().map(|system| f(&system["hs_m"]).powi(2)).sum();
        near(energy.sqrt(), f(&sea["hs_m"]), 1e-9);
    }
}

#[test]
fn a_cruisers_cells_add_up() {
    let bench = cruiser();
    for (tws, twa) in [("8", "50"), ("20", "-90")] {
        seas_add_up(&adds_up(&bench, tws, twa), twa.parse().unwrap());
    }
}

#[test]
fn a_foilers_cells_add_up() {
    let bench = foiler();
    let mut shared = 0;
    for (tws, twa) in [("8", "-48"), ("16", "90")] {
        let answer = adds_up(&bench, tws, twa);
        seas_add_up(&answer, twa.parse().unwrap());
        shared += seas(&answer).iter().filter(|sea| sea["balances"].as_array().unwrap().len() == 2).count();
    }
    assert!(shared > 0, "she falls off her foils somewhere");
}

/// The text alone, as a person would check it: the factors of the stages multiply to the factor, and the factor times
/// flat speed gives the audit's speed. Bounds: the digits printed.
#[test]
fn the_printed_numbers_give_the_row() {
    let bench = cruiser();
    let ran = bench.run(&["audit", "explain", "out", "Small sea", "14", "-50", "--window", WINDOW]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let line = |start: &str| ran.stdout.lines().find(|line| line.trim_start().starts_with(start)).unwrap();
    let numbers = |line: &str| -> Vec<f64> {
        line.split_whitespace().filter_map(|word| word.trim_matches([';', ':', ',']).parse().ok()).collect()
    };
    let [flat, factor, corrected] = numbers(line("flat "))[..] else { panic!("{}", ran.stdout) };
    assert!((flat * factor - corrected).abs() < 1e-4);
    let product: f64 = STAGES.iter().map(|stage| numbers(line(&stage.replace('_', " ")))[0]).product();
    assert!((product - factor).abs() < 5e-6, "{product} {factor}");
    assert_eq!(format!("{corrected:.4}"), audit_row(&bench, "14", "-50")["corrected_kn"]);
    assert!(ran.stdout.contains("Agrees with the audit of the result"), "{}", ran.stdout);
    assert!(ran.stdout.contains("wave angle = |angle off the wind + 180 - 50|"), "{}", ran.stdout);
}

/// A boat of half a knot in a sea of some metres stands still in some of it.
#[test]
fn the_seas_that_stop_her_are_told() {
    let bench = Bench::new();
    bench.put("polar.csv", "twa_deg,8,14\n50,0.5,5.9\n150,4.2,6.2\n");
    bench.derate(&["--quiet"]).worked();
    let answer = explain(&bench, "8", "50");
    let stopped = seas(&answer).iter().filter(|sea| f(&sea["speeds_kn"]["foil_downtime"]) == 0.0);
    let share: f64 = stopped.map(|sea| f(&sea["weight"])).sum();
    assert!(share > 0.0 && f(&answer["factor"]) == 0.0);
    near(f(&answer["stopped_share"]), share, 1e-9);
    let flag = answer["flags"].as_array().unwrap().iter().find(|flag| flag["name"] == "no-way").unwrap();
    near(f(&flag["share"]), share, 1e-9);
    let ran = bench.run(&["audit", "explain", "out", "Small sea", "8", "50", "--window", WINDOW]);
    assert!(ran.stdout.contains("No way: ") && ran.stdout.contains("stop her"), "{}", ran.stdout);
}

#[test]
fn inputs_that_changed_are_named() {
    let bench = cruiser();
    let boat = bench.read("boat.toml");
    bench.put("boat.toml", format!("{boat}\n# seen\n"));
    let answer = explain(&bench, "14", "90");
    assert_eq!(answer["changed_inputs"], serde_json::json!(["boat boat.toml"]));
    assert_eq!(answer["audit_row"]["agrees"], true);
    bench.put("polar.csv", POLAR.replace("6.7", "6.0"));
    let answer = explain(&bench, "14", "90");
    assert_eq!(answer["changed_inputs"].as_array().unwrap().len(), 2);
    assert_eq!(answer["audit_row"]["agrees"], false);
}

#[test]
fn a_job_needs_no_result() {
    let fresh = Bench::new();
    let ran = fresh.run(&["audit", "explain", "job.toml", "Small sea", "14", "90", "--window", WINDOW]);
    assert!(
        ran.code == 0 && ran.stdout.contains("no result of this job yet"),
        "{}{}",
        ran.stdout,
        ran.stderr
    );
    assert!(!fresh.path("out").exists());
}

/// A cell of joined tiles is taken apart from their common sea: from the manifest, which names the tiles, and from a job
/// without a result, which joins them anew. Both give what the result's audit has.
#[test]
fn joined_tiles_are_joined_again() {
    let bench = Bench::new();
    let job = bench
        .read("job.toml")
        .replace("regions = \"regions.geojson\"", "tiles = { lat_deg = 15, lon_deg = 20 }\nsplit = \"auto\"");
    bench.put("job.toml", job + "split_error_kn = 0.1\ncell_audit = \"none\"\n");
    bench.derate(&["--quiet"]).ended(&[0, 3]);
    let manifest = bench.json("out/manifest.json");
    let joined = manifest["joined"].as_array().unwrap();
    let group = joined.iter().find(|group| group["regions"].as_array().unwrap().len() > 1).unwrap();
    let [region, start] = ["region", "window_start"].map(|name| group[name].as_str().unwrap());
    let explained = |source: &str| {
        let cell = ["audit", "explain", source, region, "14", "-90", "--window", start, "--format", "json"];
        bench.run(&cell).json()
    };
    let of_result = explained("out");
    assert_eq!(of_result["audit_row"]["agrees"], true);
    assert_eq!(of_result["changed_inputs"], serde_json::json!([]));
    std::fs::remove_dir_all(bench.path("out")).unwrap();
    let of_job = explained("job.toml");
    assert!(of_job["audit_row"].is_null());
    assert_eq!(of_job["corrected_kn"], of_result["corrected_kn"]);
}

#[test]
fn tiles_are_made_again_from_the_manifest() {
    let bench = Bench::new();
    let job = bench
        .read("job.toml")
        .replace("regions = \"regions.geojson\"", "tiles = { lat_deg = 4, lon_deg = 4 }");
    bench.put("job.toml", job.replace("\"1d\"", "\"all\""));
    bench.derate(&["--quiet", "--cell-audit", "none"]).worked();
    let region = bench.rows("out/audit.csv")[0]["region"].clone();
    let ran = bench.run(&["audit", "explain", "out", &region, "14", "90", "--format", "json"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    assert_eq!(ran.json()["audit_row"]["agrees"], true);
}

#[test]
fn errors_say_what_is_there() {
    let bench = cruiser();
    let refused = |arguments: &[&str], word: &str| {
        let ran = bench.run(&[&["audit", "explain", "out"], arguments].concat());
        assert!(ran.code == 1 && ran.stderr.contains(word), "{}", ran.stderr);
    };
    refused(&["Smal sea", "14", "90", "--window", WINDOW], "did you mean \"Small sea\"?");
    refused(&["Small sea", "14", "90"], "2024-01-16T00:00:00Z");
    refused(&["Small sea", "14", "90", "--window", "2025-01-01T00:00"], "--window");
    refused(&["Small sea", "13", "90", "--window", WINDOW], "8, 14, 20 kn");
    refused(&["Small sea", "14", "91", "--window", WINDOW], "50, 90, 150");
    bench.put("elsewhere.csv", bench.read("polar.csv"));
    std::fs::remove_file(bench.path("polar.csv")).unwrap();
    refused(&["Small sea", "14", "90", "--window", WINDOW], "not where it was");
}
