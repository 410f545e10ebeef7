//! The main job through the program: its choices, gaps and repeatability. What stands in a result: `cli_result.rs`.

mod small_job;

use small_job::{Job, with};
use std::collections::BTreeMap;

type Row = BTreeMap<String, String>;

fn audit(job: &Job) -> Vec<Row> {
    let mut reader = csv::Reader::from_path(job.path("out/audit.csv")).unwrap();
    reader.deserialize().map(Result::unwrap).collect()
}

fn number(row: &Row, column: &str) -> f64 {
    row[column].parse().unwrap()
}

fn polar(job: &Job, tacks: &str) -> BTreeMap<String, Vec<f64>> {
    let file = std::fs::read_dir(job.path("out/polars/Across")).unwrap().next().unwrap().unwrap().path();
    assert!(file.to_str().unwrap().ends_with(&format!("-{tacks}.csv")), "{file:?}");
    let mut reader = csv::Reader::from_path(file).unwrap();
    reader
        .records()
        .map(|record| {
            let record = record.unwrap();
            (record[0].to_owned(), record.iter().skip(1).map(|field| field.parse().unwrap()).collect())
        })
        .collect()
}

/// Each choice of one row an angle against the audit: by hand, the mean of two speeds over equal distances is harmonic.
#[test]
fn polars_hold_what_the_audit_holds() {
    let choices: [(&str, fn(f64, f64) -> f64); 4] = [
        ("mean", |s, p| 2.0 / (1.0 / s + 1.0 / p)),
        ("slower", f64::min),
        ("starboard", |s, _| s),
        ("port", |_, p| p),
    ];
    for (tacks, expected) in choices {
        let job = Job::new();
        job.derate().args(["--tacks", tacks, "--quiet"]).assert().success();
        let index: serde_json::Value =
            serde_json::from_slice(&std::fs::read(job.path("out/index.geojson")).unwrap()).unwrap();
        assert_eq!(index["features"][0]["properties"]["polars"][0]["tacks"], tacks);
        let speeds: BTreeMap<(String, String, String), f64> = audit(&job)
            .iter()
            .map(|row| {
                (
                    (row["tack"].clone(), row["twa_deg"].clone(), row["tws_kn"].clone()),
                    number(row, "corrected_kn"),
                )
            })
            .collect();
        for (twa, row) in polar(&job, tacks) {
            for (tws, speed) in ["10", "20"].iter().zip(row) {
                let of = |tack: &str| speeds[&(tack.to_owned(), twa.clone(), (*tws).to_owned())];
                assert!(
                    (speed - expected(of("starboard"), of("port"))).abs() < 0.0051,
                    "{tacks} {twa} {tws}"
                );
            }
        }
    }
}

#[test]
fn one_and_two_threads_write_the_same_bytes() {
    let job = Job::new();
    let mut results = Vec::new();
    for threads in ["1", "2"] {
        // without the cache, so that the tables are made anew as well
        job.derate().env("RAYON_NUM_THREADS", threads).env("ROUGHWATER_CACHE", "").assert().success();
        results.push(job.result());
    }
    assert_eq!(results[0], results[1]);
    job.derate().assert().success();
    assert_eq!(job.result(), results[0], "first run with a cache");
    job.derate().assert().success();
    assert_eq!(job.result(), results[0], "second run with a cache");
}

#[test]
fn declared_gaps_exit_with_three() {
    let job = Job::new();
    // half of the region lies north of the grid, which ends at 30 S
    let ring = "[178,-32],[182,-32],[182,-28],[178,-28],[178,-32]";
    job.file(
        "regions.geojson",
        &format!(
            r#"{{"type":"FeatureCollection","features":[{{"type":"Feature","properties":{{"name":"Edge"}},"geometry":{{"type":"Polygon","coordinates":[[{ring}]]}}}}]}}"#
        ),
    );
    job.derate().assert().code(3);
    assert!(
        std::fs::read_to_string(job.path("out/manifest.json")).unwrap().contains("of the sea is covered")
    );
    let before = job.result();
    job.derate().arg("--strict").assert().code(1);
    assert_eq!(job.result(), before);
}

#[test]
fn without_a_foil_one_tack_is_hull_borne() {
    let job = Job::new();
    job.boat("Sleet Heron 15 (invented)", "Sleet Heron 15 (invented)");
    job.derate().assert().success();
    let whole = audit(&job);
    job.file(
        "job.toml",
        &(with(&Job::text(), "boat", "\"boat.toml\"") + "[model]\nwithout_foil = \"port\"\n"),
    );
    job.derate().assert().success();
    for (row, before) in audit(&job).iter().zip(&whole) {
        let fast = row["twa_deg"] == "110" && row["tws_kn"] == "20";
        if row["tack"] == "port" {
            // the starboard foil is to leeward on port tack and still there; what the lost one no longer stands in the
            // wind is a drag area of 1.5 m2, some 100 N of several thousand
            assert!((number(row, "factor") - number(before, "factor")).abs() < 0.02);
        } else if fast {
            assert!(number(row, "factor") < 0.9 * number(before, "factor"));
            assert_eq!(row["dominant_stage"], "foil_lift");
        }
    }
}

/// The corrected polar and the audit, read by another program.
#[test]
fn python_reads_the_result() {
    let job = Job::new();
    job.derate().assert().success();
    let script = "import csv,glob,sys\n\
rows=list(csv.reader(open(glob.glob('out/polars/*/*.csv')[0],newline='')))\n\
assert rows[0]==['twa_deg','10','20'],rows[0]\n\
assert all(0<float(v)<30 for r in rows[1:] for v in r[1:])\n\
audit=list(csv.DictReader(open('out/audit.csv',newline='')))\n\
assert len(audit)==12\n\
try:\n import pandas\nexcept ImportError:\n print('skipped: no pandas here'); sys.exit()\n\
table=pandas.read_csv(glob.glob('out/polars/*/*.csv')[0],index_col=0)\n\
assert table.shape==(3,2) and (table.to_numpy()>0).all()\n\
assert len(pandas.read_csv('out/audit.csv'))==12\n";
    match std::process::Command::new("python3").current_dir(job.folder.path()).args(["-c", script]).output() {
        Err(_) => println!("skipped: no python3 here"),
        Ok(output) => assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr)),
    }
}
