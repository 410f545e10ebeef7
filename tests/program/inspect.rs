//! `inspect` on each kind of input: its name, and numbers that are right.

use crate::common::bench::Bench;
use crate::common::files::{data, file};

/// Each kind of input: what it is called in JSON, and a word of its text.
#[test]
fn every_kind_of_input_is_told() {
    let bench = Bench::new();
    bench.put("seas.csv", "period_s,wave_length_m,hs_m\n15,60,2\n5.06,40,1\n");
    let of_repository = [
        ("grids/south-pacific.grib2", "forecast", "grid"),
        ("examples/hulls/wigley-iii.csv", "sections", "draught"),
    ]
    .map(|(name, kind, word)| (file(name).display().to_string(), kind, word));
    let of_bench = [
        ("polar.csv", "polar", "TWS 8 to 20 kn in 3 columns"),
        ("boat.toml", "boat", "[foils]"),
        ("regions.geojson", "regions", "Small sea"),
        ("job.toml", "job", "polar.csv"),
        ("seas.csv", "seas", "no deep-water wave has a length of 60 m"),
    ]
    .map(|(name, kind, word)| (name.to_owned(), kind, word));
    for (name, kind, word) in of_repository.into_iter().chain(of_bench) {
        let text = bench.run(&["inspect", &name]);
        assert_eq!((text.code, text.stderr.as_str()), (0, ""), "{name}");
        assert!(text.stdout.contains(word), "{name}: no {word:?} in\n{}", text.stdout);
        assert_eq!(bench.run(&["inspect", &name, "--format", "json"]).json()["is"], kind, "{name}");
    }
}

/// By hand: a box of 4 by 4 degrees between 50 and 54 S is R² x 4 pi/180 x (sin 54 - sin 50) = 128 000 km²,
/// some 37 200 square nautical miles.
#[test]
fn inspected_numbers_are_right() {
    let bench = Bench::new();
    let inspect = |name: &str| bench.run(&["inspect", name, "--format", "json"]).json();
    let area = inspect("regions.geojson")["regions"][0]["area_nm2"].as_f64().unwrap();
    let radius_nm = 6_371_000.0_f64 / 1852.0;
    let by_hand =
        radius_nm.powi(2) * 4_f64.to_radians() * (54_f64.to_radians().sin() - 50_f64.to_radians().sin());
    assert!((area / by_hand - 1.0).abs() < 1e-3, "{area} {by_hand}");
    let polar = inspect("polar.csv");
    assert_eq!(polar["twa_deg"], serde_json::json!([50.0, 90.0, 150.0]));
    assert_eq!(polar["speed_kn"], serde_json::json!([4.2, 7.2]));
    let boat = inspect("boat.toml");
    assert!((boat["hull"]["displacement_kg"].as_f64().unwrap() / 5200.0 - 1.0).abs() < 1e-3);
    let job = inspect("job.toml");
    assert_eq!(job["lacks"], serde_json::json!([]));
}

#[test]
fn stations_are_counted() {
    let stations = data("stations.nc");
    let told = Bench::new().run(&["inspect", stations.to_str().unwrap()]).worked().stdout;
    for word in ["2 stations", "directional spectrum", "wind speed"] {
        assert!(told.contains(word), "{told}");
    }
}

#[test]
fn spectra_on_a_grid_are_named() {
    let spectra = data("spectra.nc");
    let told = Bench::new().run(&["inspect", spectra.to_str().unwrap()]).worked().stdout;
    assert!(told.contains("directional spectrum"), "{told}");
}

/// A box 10 x 2 x 0.5 m with 1 m of side: 20 m3 above the water, of which 5 before three quarters, half of the 10 m3 that
/// she displaces; the stem goes under when she trims by 1 m over the 5 m from her middle.
#[test]
fn reserve_buoyancy_of_a_box() {
    let bench = Bench::new();
    let stations: String =
        (0..=10).map(|x| format!("{x},-0.5,0\n{x},-0.5,1\n{x},1,1\n")).collect::<Vec<_>>().concat();
    bench.put("box.csv", &format!("x_m,z_m,y_m\n{stations}"));
    let found = bench.run(&["inspect", "box.csv", "--format", "json"]).json();
    let of = |key: &str| found["topsides"][key].as_f64().unwrap();
    for (key, expected) in [
        ("reserve_buoyancy_m3", 20.0),
        ("reserve_buoyancy_forward_m3", 5.0),
        ("reserve_buoyancy_forward_ratio", 0.5),
        ("bow_flare_deg", 0.0),
        ("bow_under_trim_deg", 0.2_f64.atan().to_degrees()),
    ] {
        assert!((of(key) - expected).abs() < 1e-9, "{key} {}", of(key));
    }
}

#[test]
fn a_hull_is_drawn_for_light_and_dark() {
    let bench = Bench::new();
    let boat = file("examples/boats/sleet-heron-15-full-bow.toml").display().to_string();
    bench.run(&["inspect", &boat, "--drawing", "lines.svg"]).worked();
    let drawn = bench.read("lines.svg");
    for word in ["full bow (invented)", "15.19 m over all", "1.35 m", "prefers-color-scheme: dark"] {
        assert!(drawn.contains(word), "no {word:?}");
    }
    assert!(drawn.matches("<polyline").count() > 15 && drawn.trim_end().ends_with("</svg>"));
    let refused = bench.run(&["inspect", "polar.csv", "--drawing", "lines.svg"]);
    assert!(refused.code == 1 && refused.stderr.contains("no hull to draw"), "{}", refused.stderr);
}

#[test]
fn topsides_are_given_once_and_with_a_deck() {
    let bench = Bench::new();
    let boat = std::fs::read_to_string(file("examples/boats/sleet-heron-15.toml")).unwrap();
    let fails = |from: &str, to: &str, problem: &str| {
        bench.put("boat.toml", &boat.replace(from, to));
        let refused = bench.run(&["inspect", "boat.toml"]);
        assert!(refused.code == 1 && refused.stderr.contains(problem), "{problem}: {}", refused.stderr);
    };
    fails("deck_bow_fullness = 0.10", "", "no \"deck_bow_fullness\" in [topsides]");
    fails("deck_bow_fullness = 0.10", "deck_bow_fullness = 0.1\nbow_flare_deg = 3", "not given once");
    fails("stem_rake_deg = -6.0", "stem_rake_deg = 600", "topsides.stem_rake_deg");
    fails("stem_rake_deg = -6.0", "stem_rake_deg = -50", "topsides.stem_rake_deg");
    fails(
        "mid_freeboard_m = 1.15\nstern_freeboard_m = 1.10",
        "mid_freeboard_m = 0.06\nstern_freeboard_m = 0.10",
        "dips below",
    );
}
