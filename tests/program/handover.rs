//! A result handed over: another program reads its files and finds the fastest way from A to B with them.

use crate::common::bench::Bench;
use crate::common::files::{INVENTED, file};
use crate::common::python::python;
use crate::common::tables::rows;
use roughwater::base::units::m_s_to_kn;
use roughwater::forecast::{CellSea, Forecast};
use serde_json::Value;
use std::path::{Path, PathBuf};

/// A: 53 S 175 E; B: 52.5 S 178.5 W, a reach across the date line in the demo's sea.
const LEG: &str = r#"{"type":"LineString","coordinates":[[175,-53],[-178.5,-52.5]]}"#;
const START: &str = "2024-01-15T20:00:00Z";

/// The forecast's wind as a table: what a router has from elsewhere.
fn wind_csv(path: &Path) {
    let forecast = Forecast::open(&[file(INVENTED)]).unwrap();
    let mut table = String::from("valid,lat_deg,lon_deg,tws_kn,wind_from_deg\n");
    for number in 0..forecast.steps().len() {
        let step = forecast.read_step(number).unwrap();
        for (index, cell) in step.cells().enumerate() {
            if let (CellSea::Sea(sea), Some((lat, lon))) = (cell, step.grid.centre(index)) {
                let (tws_kn, from_deg) = (m_s_to_kn(sea.wind.tws_m_s), sea.wind.from.deg());
                table += &format!("{},{lat},{lon},{tws_kn},{from_deg}\n", step.valid);
            }
        }
    }
    std::fs::write(path, table).unwrap();
}

/// What the other program says; none where there is no Python with its packages.
fn least_time(bench: &Bench, result: &str) -> Option<Value> {
    let paths = [
        file("tests/handover/least_time.py"),
        bench.path(result),
        file("polars/sleet-heron-15.csv"),
        bench.path("wind.csv"),
    ];
    let leg = [START, "-53", "175", "-52.5", "-178.5"].map(PathBuf::from);
    let told = python(&bench.path("."), paths.into_iter().chain(leg))?;
    Some(serde_json::from_str(&told).unwrap())
}

/// Along one great circle the other program must find what `passage` finds. It cuts the way into pieces of 0.05 nm and
/// changes polar and wind between pieces only: at each of the leg's edges (windows at 0 UTC, wind at 21 and 3 UTC) up to
/// one piece is sailed at the speed of before, which at 12 to 25 kn costs at most 0.05 x (1/12 - 1/25) = 0.0022 h. So
/// times agree within 0.0066 h, and what the sea costs within 0.013 h; measured 0.0013 and 0.0006 h.
#[test]
fn a_router_finds_the_way_with_the_files_alone() {
    let bench = Bench::new();
    let job = file("examples/south-pacific/job.toml").display().to_string();
    bench.run(&["derate", &job, "--output", "out", "--quiet"]).worked();
    wind_csv(&bench.path("wind.csv"));
    let Some(told) = least_time(&bench, "out") else { return };
    let hours = |polars: &str, what: &str| told[polars][what].as_f64().unwrap();
    assert!(hours("corrected", "fastest_h") > hours("flat", "fastest_h"), "{told}");

    bench.put("leg.geojson", LEG);
    let polar = file("polars/sleet-heron-15.csv").display().to_string();
    let forecast = file(INVENTED).display().to_string();
    let along = ["passage", "out", "--track", "leg.geojson", "--start", START, "--legs", "great-circle"];
    let with = ["--polar", &polar, "--forecast", &forecast, "--format", "csv"];
    let passage = bench.run(&[&along[..], &with].concat());
    assert_eq!(passage.code, 0, "{}", passage.stderr);
    let leg = &rows(&passage.stdout)[0];
    let ours = |column: &str| leg[column].parse::<f64>().unwrap();
    assert_eq!((ours("beating_h"), ours("gybing_h")), (0.0, 0.0), "a straight reach");
    let (flat, corrected) = (hours("flat", "along_h"), hours("corrected", "along_h"));
    println!("flat {flat} {}, corrected {corrected} {}", leg["flat_h"], leg["corrected_h"]);
    assert!((flat - ours("flat_h")).abs() < 0.0066, "{flat} {}", leg["flat_h"]);
    assert!((corrected - ours("corrected_h")).abs() < 0.0066, "{corrected} {}", leg["corrected_h"]);
    assert!((corrected - flat - ours("cost_h")).abs() < 0.013);
    assert!(corrected > flat);
}
