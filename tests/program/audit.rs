//! `audit`: questions to a small invented result, whose answers are counted by hand.

use crate::common::bench::{Ran, program};
use serde_json::Value;
use std::path::Path;
use tempfile::TempDir;

const HEADER: &str = "region,window_start,window_end,tack,tws_kn,twa_deg,flat_kn,corrected_kn,factor,p10_kn,p50_kn,\
p90_kn,stage_added_resistance,stage_deck_water,stage_windage,stage_foil_lift,stage_foil_downtime,dominant_stage,\
factor_second_method,sea_states,covered,flags";

/// Region, window's first hour, tack, TWS, TWA, flat, corrected, factor, dominant stage, flags.
const CELLS: [&str; 5] = [
    "East,00,starboard,10,60,8,6,0.75,added_resistance,no-way;thrust-held",
    "East,06,port,10,60,8,4,0.5,deck_water,no-way",
    "West,00,starboard,12,90,10,9,0.9,added_resistance,",
    "West,06,port,12,90,10,10,1,none,",
    "West,06,port,12,0,0,0,,none,",
];

/// West lies on both sides of 180 and meets East, from 170 W to 160 W, at 170 W.
const INDEX: &str = r#"{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"name":"West","polars":[
 {"start":"2030-03-01T00:00:00Z","end":"2030-03-01T06:00:00Z","tacks":"mean","file":"polars/west-0.csv"},
 {"start":"2030-03-01T06:00:00Z","end":"2030-03-01T12:00:00Z","tacks":"mean","file":"polars/west-6.csv"}]},
 "geometry":{"type":"MultiPolygon","coordinates":[
 [[[170,-50],[180,-50],[180,-40],[170,-40],[170,-50]]],[[[-180,-50],[-170,-50],[-170,-40],[-180,-40],[-180,-50]]]]}},
{"type":"Feature","properties":{"name":"East","polars":[
 {"start":"2030-03-01T00:00:00Z","end":"2030-03-01T06:00:00Z","tacks":"port","file":"polars/east-0.csv"}]},
 "geometry":{"type":"Polygon","coordinates":[[[-170,-50],[-160,-50],[-160,-40],[-170,-40],[-170,-50]]]}}]}"#;

/// A result by hand.
pub fn result() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let rows = CELLS.map(|cell| {
        let f: Vec<&str> = cell.split(',').collect();
        let window = format!(
            "2030-03-01T{}:00:00Z,2030-03-01T{}:00:00Z",
            f[1],
            if f[1] == "00" { "06" } else { "12" }
        );
        format!("{},{window},{},,,,,,,,,{},,1,1,{}", f[0], f[2..8].join(","), f[8], f[9])
    });
    std::fs::write(folder.path().join("audit.csv"), format!("{HEADER}\r\n{}\r\n", rows.join("\r\n")))
        .unwrap();
    std::fs::write(folder.path().join("index.geojson"), INDEX).unwrap();
    std::fs::create_dir(folder.path().join("polars")).unwrap();
    std::fs::write(folder.path().join("polars/east-0.csv"), "twa_deg,10,20\n60,6,8\n90,8,10\n").unwrap();
    folder
}

pub fn ask(command: &str, folder: &Path, rest: &[&str]) -> Ran {
    Ran::of(program().arg(command).arg(folder).args(rest))
}

fn audit_json(rest: &[&str]) -> Value {
    ask("audit", result().path(), &[rest, &["--format", "json"]].concat()).json()
}

/// By hand: three of four cells with speed; losses 25, 50 and 10 per cent, mean 28.3.
#[test]
fn the_first_line_says_which_by_how_much_and_why() {
    let out = ask("audit", result().path(), &[]).stdout;
    assert_eq!(
        out.lines().next().unwrap(),
        "3 of 4 cells derated (1 more has no flat speed): TWS 10 to 12 kn, TWA 60 to 90, both tacks, in 2 regions, \
         2 windows. By 28.3 % on average, 50.0 % at most (port tack, TWS 10 kn, TWA 60 in East from 2030-03-01 06:00 \
         UTC). Mostly by added resistance in 67 %, deck water in 33 %."
    );
}

#[test]
fn the_most_derated_come_first_and_cells_without_factor_last() {
    let cells = audit_json(&[]);
    let factors: Vec<Option<f64>> = (0..5).map(|i| cells["cells"][i]["factor"].as_f64()).collect();
    assert_eq!(factors, [Some(0.5), Some(0.75), Some(0.9), Some(1.0), None]);
    assert_eq!(audit_json(&["--top", "2"])["cells"].as_array().unwrap().len(), 2);
}

#[test]
fn every_filter_counts_as_by_hand() {
    let counts: [(&[&str], usize); 11] = [
        (&["--region", "east"], 2),
        (&["--window", "2030-03-01T05:59"], 2),
        (&["--window", "2030-03-01T06:00"], 3),
        (&["--tack", "port"], 3),
        (&["--tws-kn", "11.."], 3),
        (&["--twa-deg", "60..90"], 4),
        (&["--stage", "deck_water"], 1),
        (&["--flag", "no-way"], 2),
        (&["--flag", "no-way", "--flag", "thrust-held"], 1),
        (&["--below", "0.9"], 2),
        (&["--region", "West", "--below", "0.5"], 0),
    ];
    for (filter, count) in counts {
        assert_eq!(audit_json(filter)["cells"].as_array().unwrap().len(), count, "{filter:?}");
    }
}

/// By hand: East (0.5 + 0.75) / 2, both derated; West (0.9 + 1) / 2, one of two with a factor.
#[test]
fn groups_count_and_average() {
    let out = ask("audit", result().path(), &["--group-by", "region", "--format", "csv"]).stdout;
    assert_eq!(
        out,
        "region,cells,derated,share_derated,mean_factor,min_factor\r\n\
         East,2,2,1.000000,0.625000,0.500000\r\nWest,3,1,0.500000,0.950000,0.900000\r\n"
    );
    let flags = audit_json(&["--group-by", "flag"]);
    let count = |i: usize| {
        (flags["groups"][i]["flag"].as_str().unwrap(), flags["groups"][i]["cells"].as_u64().unwrap())
    };
    assert_eq!([count(0), count(1), count(2)], [("no-way", 2), ("thrust-held", 1), ("none", 3)]);
}

/// The audit of a folder is refused with this word.
fn refused(folder: &Path, rest: &[&str], word: &str) {
    let told = ask("audit", folder, rest).ended(&[1]).stderr;
    assert!(told.contains(word), "{told}");
}

#[test]
fn a_region_misspelt_is_guessed() {
    refused(result().path(), &["--region", "Wesst"], "did you mean \"West\"?");
}

#[test]
fn a_folder_without_an_audit_is_named() {
    refused(&result().path().join("polars"), &[], "holds no audit");
}

#[test]
fn a_broken_audit_is_named_with_line_and_column() {
    let folder = result();
    let file = folder.path().join("audit.csv");
    let text = std::fs::read_to_string(&file).unwrap().replace(",0.75,", ",x,");
    std::fs::write(&file, text).unwrap();
    refused(folder.path(), &[], "line 2, column factor");
}
