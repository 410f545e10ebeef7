//! What holds of a boat in every cell, and where her file disagrees with her polar.

use crate::common::bench::Bench;
use crate::common::files::text;

/// A boat file without one of its tables, up to the next.
fn without(table: &str, boat: &str) -> String {
    let (before, rest) = boat.split_once(&format!("[{table}]")).unwrap();
    let after = rest.split_once("\n[").map(|(_, after)| format!("[{after}")).unwrap_or_default();
    format!("{before}{after}")
}

/// Each part that a file may lack: the flag of the boat, and the words of the note.
#[test]
fn a_missing_part_is_said_once_of_the_boat() {
    for (table, flag) in [("deck", "no-deck"), ("appendages", "no-appendages"), ("foils", "no-foils")] {
        let bench = Bench::new();
        let boat = text("examples/boats/oat-plover-10.toml");
        bench.put("boat.toml", if table == "foils" { boat } else { without(table, &boat) });
        let told = bench.derate(&[]).worked();
        let note = format!("her file has no [{table}]");
        assert!(told.stdout.contains(&note), "{}", told.stdout);
        let manifest = bench.json("out/manifest.json");
        assert!(manifest["warnings"].to_string().contains(&note), "{manifest}");
        assert!(manifest["boat_flags"].as_array().unwrap().contains(&flag.into()), "{manifest}");
        assert!(bench.rows("out/audit.csv").iter().all(|row| !row["flags"].contains(flag)));
    }
}

#[test]
fn inspect_holds_a_boat_against_her_own_polar() {
    let bench = Bench::new();
    bench.put("own.csv", text("polars/oat-plover-10.csv"));
    let told = bench.run(&["inspect", "boat.toml", "--polar", "own.csv"]).worked().stdout;
    assert!(told.starts_with("Boat file and polar hang together in all 204 cells."), "{told}");
}

/// Half of what her sails give at 50 degrees in 14 kn, and half as much again as they can give at 90.
#[test]
fn inspect_tells_where_boat_and_polar_disagree() {
    let bench = Bench::new();
    bench.put("off.csv", "twa_deg,8,14,20\n50,5.69,4.0,7.01\n90,5.25,10.5,7.83\n150,3.39,5.5,7.03\n");
    let cells = bench.run(&["inspect", "boat.toml", "--polar", "off.csv", "--format", "json"]).json();
    let at = |twa: f64, tws: f64| {
        let cells = cells.as_array().unwrap();
        cells.iter().find(|cell| cell["twa_deg"] == twa && cell["tws_kn"] == tws).unwrap().clone()
    };
    for (twa, tws) in [(50.0, 14.0), (90.0, 14.0)] {
        assert!(at(twa, tws)["flags"].to_string().contains("thrust-mismatch"), "{}", at(twa, tws));
    }
    assert!(at(50.0, 14.0)["power_ratio"].as_f64().unwrap() < 0.7);
    assert!(at(90.0, 14.0)["power_ratio"].as_f64().unwrap() > 1.3);
    assert_eq!(at(150.0, 14.0)["flags"].as_array().unwrap().len(), 0, "{}", at(150.0, 14.0));
    let told = bench.run(&["inspect", "boat.toml", "--polar", "off.csv"]).worked().stdout;
    assert!(told.starts_with("Boat file and polar disagree in 2 of 9 cells: thrust-mismatch 2."), "{told}");
}
