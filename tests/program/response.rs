//! `response`: documented names, and what they say about seas that cannot be.

use crate::common::bench::Bench;
use crate::common::files::file;
use serde_json::Value;

const FOILER: &str = "examples/boats/sleet-heron-15.toml";

/// Runs `response` on a boat file of the repository and reads its JSON; also what it says on standard error.
fn response(boat: &str, arguments: &[&str]) -> (Value, String) {
    let boat = file(boat);
    let arguments = [&["response", boat.to_str().unwrap(), "--format", "json"][..], arguments].concat();
    let ran = Bench::new().run(&arguments);
    (ran.json(), ran.stderr)
}

fn has_keys(answer: &Value, keys: &[&str]) {
    for key in keys {
        assert!(answer.get(key).is_some(), "no {key} in {answer}");
    }
}

/// Values by hand: deep water, L = g T²/2 pi, c = g T/2 pi, T_e = L/(c + V) head to sea; 9.0 kn is 4.630 m/s.
#[test]
fn a_sea_has_the_documented_members() {
    let sea = ["--speed-kn", "14", "--hs-m", "2", "--tp-s", "6.5"];
    let (answer, told) = response(FOILER, &sea);
    has_keys(
        &answer,
        &[
            "wave_length_m",
            "phase_speed_m_s",
            "encounter_period_s",
            "froude",
            "calm_resistance_n",
            "added_resistance_n",
            "deck_water_kg",
            "deck_water_n",
            "foil_angle_sd_deg",
            "foil_immersion_sd_m",
            "stall_rate_per_h",
            "broach_rate_per_h",
            "availability",
            "slam_rate_per_h",
            "wetness_rate_per_h",
            "bow_acceleration_rms_g",
            "flags",
        ],
    );
    assert_eq!(told, "", "nothing is wrong with this sea");
    let number = |name: &str| answer[name].as_f64().unwrap();
    let (length, celerity, speed) = (65.94, 10.145, 14.0 * 1852.0 / 3600.0);
    assert!((number("wave_length_m") - length).abs() < 0.1);
    assert!((number("phase_speed_m_s") - celerity).abs() < 0.01);
    assert!((number("encounter_period_s") - length / (celerity + speed)).abs() < 0.01);
    assert!((number("froude") - speed / (9.81_f64 * 15.0).sqrt()).abs() < 2e-3);
    for method in ["radiated-energy", "snnm"] {
        assert!(answer["added_resistance_n"][method].as_f64().unwrap() > 0.0, "{method}");
    }
    assert!((0.0..=1.0).contains(&number("availability")));
}

/// A boat file without foils, deck or sails still answers; what she has not is null, not zero.
#[test]
fn what_a_boat_has_not_is_null() {
    let (cruiser, _) =
        response("examples/boats/oat-plover-10.toml", &["--speed-kn", "6", "--hs-m", "1.5", "--tp-s", "6"]);
    assert!(cruiser["availability"].is_null() && cruiser["stall_rate_per_h"].is_null());
    assert!(cruiser["deck_water_kg"].is_number());
}

#[test]
fn a_regular_wave_has_the_documented_members() {
    let (answer, _) =
        response("examples/hulls/wigley-iii.toml", &["--froude", "0.3", "--regular", "--period-s", "1.55"]);
    has_keys(
        &answer,
        &[
            "heave_m_per_m",
            "heave_phase_deg",
            "pitch_rad_per_m",
            "pitch_phase_deg",
            "relative_bow_m_per_m",
            "added_resistance_coefficient",
            "a33_kg",
            "b33_kg_s",
            "a55_kg_m2",
            "b55_kg_m2_s",
            "wave_length_m",
            "flags",
        ],
    );
    assert!((answer["froude"].as_f64().unwrap() - 0.3).abs() < 1e-9);
}

/// By hand: 15 s goes with 9.81 x 225/2 pi = 351.3 m, 5.9 times 60 m; 60 m goes with 6.20 s; 5.06 s goes with 39.98 m.
#[test]
fn a_length_that_no_wave_of_the_period_has_is_named() {
    let impossible = ["--speed-kn", "6", "--hs-m", "2", "--tp-s", "15", "--wave-length-m", "60"];
    let (answer, told) = response(FOILER, &impossible);
    let warning = answer["warnings"][0].as_str().unwrap();
    for word in ["60 m", "15 s", "factor of 5.8", "351", "6.20 s"] {
        assert!(warning.contains(word), "{warning}");
    }
    assert!(told.contains("warning: no deep-water wave"), "{told}");

    let regular = ["--speed-kn", "6", "--regular", "--period-s", "15", "--wave-length-m", "60"];
    let (answer, told) = response(FOILER, &regular);
    assert!(told.contains("factor of 5.8") && answer["warnings"][0].as_str().unwrap().contains("351"));

    let fitting = ["--speed-kn", "6", "--hs-m", "1", "--tp-s", "5.06", "--wave-length-m", "40"];
    let (answer, told) = response(FOILER, &fitting);
    assert_eq!((told.as_str(), answer["warnings"].as_array().unwrap().len()), ("", 0));
}

/// By hand: 4 s goes with 25.0 m, 3 m over it is 1/8.3; significant steepness beyond about 1/15 is not met.
#[test]
fn a_sea_too_steep_to_be_is_named() {
    let (answer, told) = response(FOILER, &["--speed-kn", "6", "--hs-m", "3", "--tp-s", "4"]);
    assert!(told.contains("1/8.3"), "{told}");
    assert!(answer["warnings"][0].as_str().unwrap().contains("steepness"));
    assert!(answer["flags"].as_array().unwrap().contains(&"impossible-steepness".into()));
    let (answer, told) = response(FOILER, &["--speed-kn", "6", "--hs-m", "1", "--tp-s", "4"]);
    assert_eq!(told, "", "1/25 is a common wind sea");
    assert!(!answer["flags"].as_array().unwrap().contains(&"impossible-steepness".into()));
}

#[test]
fn text_and_json_tell_the_same_numbers() {
    let boat = file(FOILER);
    let sea =
        ["response", boat.to_str().unwrap(), "--speed-kn", "14", "--hs-m", "2", "--tp-s", "6.5"].to_vec();
    let bench = Bench::new();
    let text = bench.run(&sea).stdout;
    let json = bench.run(&[sea, vec!["--format", "json"]].concat()).json();
    for name in ["wave_length_m", "calm_resistance_n", "slam_rate_per_h"] {
        let line = text.lines().find(|line| line.starts_with(name)).expect(name);
        let value: f64 = line.split_whitespace().nth(1).unwrap().parse().unwrap();
        let whole = json[name].as_f64().unwrap();
        assert!((value - whole).abs() <= 5.1e-4 * whole.abs(), "four figures: {line}");
    }
    assert!(text.contains("planning aid"));
}
