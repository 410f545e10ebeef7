//! Questions to a result, on a small invented one whose answers are counted by hand.

use assert_cmd::Command;
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

fn result() -> TempDir {
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

fn ask(command: &str, folder: &Path, rest: &[&str]) -> (Option<i32>, String, String) {
    let mut program = Command::cargo_bin("roughwater").unwrap();
    let output = program.arg(command).arg(folder).args(rest).output().unwrap();
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (output.status.code(), text(&output.stdout), text(&output.stderr))
}

fn audit_json(rest: &[&str]) -> Value {
    let (code, out, err) = ask("audit", result().path(), &[rest, &["--format", "json"]].concat());
    assert_eq!(code, Some(0), "{err}");
    serde_json::from_str(&out).unwrap()
}

/// By hand: three of four cells with speed; losses 25, 50 and 10 per cent, mean 28.3.
#[test]
fn the_first_line_says_which_by_how_much_and_why() {
    let (_, out, _) = ask("audit", result().path(), &[]);
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
    let (_, out, _) = ask("audit", result().path(), &["--group-by", "region", "--format", "csv"]);
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

#[test]
fn errors_say_what_is_there() {
    let folder = result();
    let (code, _, err) = ask("audit", folder.path(), &["--region", "Wesst"]);
    assert!(code == Some(1) && err.contains("did you mean \"West\"?"), "{err}");
    let (code, _, err) = ask("audit", &folder.path().join("polars"), &[]);
    assert!(code == Some(1) && err.contains("holds no audit"), "{err}");
    let file = folder.path().join("audit.csv");
    let text = std::fs::read_to_string(&file).unwrap().replace(",0.75,", ",x,");
    std::fs::write(&file, text).unwrap();
    let (code, _, err) = ask("audit", folder.path(), &[]);
    assert!(code == Some(1) && err.contains("line 2, column factor"), "{err}");
}

#[test]
fn a_place_is_found_on_any_turn_and_a_time_in_one_window() {
    let folder = result();
    let file = |lat: &str, lon: &str, hour: &str| {
        let (code, out, _) = ask("lookup", folder.path(), &[lat, lon, &format!("2030-03-01T{hour}")]);
        let prefix = format!("{}/polars/", folder.path().display());
        (code.unwrap(), out.lines().map(|line| line.replace(&prefix, "")).collect::<Vec<_>>().join(" "))
    };
    for lon in ["175", "180", "-180", "185", "-175", "175W"] {
        assert_eq!(file("-45", lon, "05:59"), (0, "west-0.csv".into()), "{lon}");
    }
    assert_eq!(file("45S", "185", "06:00"), (0, "west-6.csv".into()));
    assert_eq!(file("-45", "190", "00:00"), (0, "west-0.csv east-0.csv".into()));
    assert_eq!(file("-45", "-175", "12:00"), (3, String::new()));
    assert_eq!(file("-45", "165", "00:00"), (3, String::new()));
    let (_, _, err) = ask("lookup", folder.path(), &["-45", "-165", "2030-03-01T06:00Z"]);
    assert!(err.contains("lies in East, but no window"), "{err}");
}

/// By hand: midway between 6, 8, 8 and 10 kn lies 8.
#[test]
fn the_speed_is_read_on_the_tack_the_file_holds() {
    let folder = result();
    let wind = |twa: &str| {
        let place = ["-45", "-165", "2030-03-01T00:00", "--tws-kn", "15", "--twa-deg", twa];
        ask("lookup", folder.path(), &place)
    };
    let (code, out, err) = wind("-75");
    assert!(code == Some(0) && out.ends_with("\t8.00 kn\n"), "{out}{err}");
    let (code, _, err) = wind("75");
    assert!(code == Some(1) && err.contains("port tack"), "{err}");
    let (code, _, err) = wind("-120");
    assert!(code == Some(1) && err.contains("TWA 60 to 90"), "{err}");
}

#[test]
fn completions_and_manual_pages_know_every_command() {
    let mut program = Command::cargo_bin("roughwater").unwrap();
    let script = String::from_utf8(program.args(["completions", "bash"]).output().unwrap().stdout).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let (code, _, err) = ask("man", "--out".as_ref(), &[folder.path().to_str().unwrap()]);
    assert_eq!(code, Some(0), "{err}");
    for command in ["derate", "inspect", "response", "compare", "audit", "lookup"] {
        assert!(script.contains(command), "{command}");
        assert!(folder.path().join(format!("roughwater-{command}.1")).is_file(), "{command}");
    }
}
