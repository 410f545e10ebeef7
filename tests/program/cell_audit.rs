//! The cell audit: it has a row for every sea state of the audit, in either form, or says why it has none.

use crate::common::bench::Bench;
use crate::common::python::python;
use crate::common::tables::{Row, number};
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::Field;
use roughwater::base::units::EARTH_RADIUS_M;
use std::collections::BTreeMap;
use std::fs::File;
use std::path::Path;

/// Both forms, beside the audit they must add up to.
fn audited() -> Bench {
    let bench = Bench::new();
    let told = bench.derate(&["--cell-audit", "csv,parquet", "--format", "json"]).json();
    assert_eq!(told["cell_audit_rows"], bench.rows("out/cells.csv").len());
    bench
}

/// The region is the box 176 E to 180, 54 S to 50 S, all sea; on a sphere its area is R² dlon (sin 54 - sin 50).
#[test]
fn rows_add_up_to_the_audit_and_to_the_regions_area() {
    let bench = Bench::new();
    bench.derate(&["--cell-audit", "csv", "--match-wind", "off"]).worked();
    let cells = bench.rows("out/cells.csv");
    for audit in bench.rows("out/audit.csv") {
        let within = |row: &&Row| {
            row["region"] == audit["region"]
                && audit["window_start"] <= row["valid"]
                && row["valid"] < audit["window_end"]
        };
        assert_eq!(cells.iter().filter(within).count().to_string(), audit["sea_states"]);
    }
    let mut areas: BTreeMap<&str, f64> = BTreeMap::new();
    for row in &cells {
        *areas.entry(&row["valid"]).or_default() += number(row, "area_km2");
    }
    let sine = |deg: f64| deg.to_radians().sin();
    let expected = (EARTH_RADIUS_M / 1000.0).powi(2) * 4f64.to_radians() * (sine(54.0) - sine(50.0));
    assert!(areas.len() > 4);
    for (valid, area) in areas {
        assert!((area - expected).abs() < 1e-3 * cells.len() as f64, "{valid}: {area} and {expected} km2");
    }
}

/// Header and rows of a Parquet table, each field as text.
fn parquet_rows(path: &Path) -> Vec<Row> {
    let reader = SerializedFileReader::new(File::open(path).unwrap()).unwrap();
    let text = |field: Field| match field {
        Field::Null => String::new(),
        Field::Str(text) => text,
        Field::Double(value) => value.to_string(),
        Field::Long(value) => value.to_string(),
        Field::TimestampMicros(micros) => jiff::Timestamp::from_microsecond(micros).unwrap().to_string(),
        other => panic!("{other:?}"),
    };
    let fields = |row: parquet::record::Row| row.into_columns().into_iter().map(|(name, f)| (name, text(f)));
    reader.get_row_iter(None).unwrap().map(|row| fields(row.unwrap()).collect()).collect()
}

fn same(csv: &str, parquet: &str) -> bool {
    csv == parquet || matches!((csv.parse::<f64>(), parquet.parse::<f64>()), (Ok(a), Ok(b)) if a == b)
}

/// The audit of polars and that of cells alike.
#[test]
fn parquet_holds_what_the_csv_holds() {
    let bench = Bench::new();
    let job = bench.read("job.toml");
    bench.put(
        "job.toml",
        job + "audit_format = [\"csv\", \"parquet\"]\ncell_audit = [\"csv\", \"parquet\"]\n",
    );
    bench.derate(&[]).worked();
    for name in ["audit", "cells"] {
        let csv = bench.rows(&format!("out/{name}.csv"));
        let parquet = parquet_rows(&bench.path(&format!("out/{name}.parquet")));
        assert_eq!(csv.len(), parquet.len());
        for (csv, parquet) in csv.iter().zip(&parquet) {
            assert!(csv.keys().eq(parquet.keys()));
            assert!(csv.iter().all(|(name, text)| same(text, &parquet[name])), "{csv:?} {parquet:?}");
        }
    }
}

const OTHERS: &str = r#"
import sys
try:
    import duckdb, pandas
except ImportError as error:
    print("skipped:", error); sys.exit(3)
frame = pandas.read_csv("out/cells.csv", parse_dates=["valid"])
table = duckdb.sql("select * from 'out/cells.parquet'")
assert table.columns == list(frame.columns), table.columns
count, area, factor = duckdb.sql("select count(*), sum(area_km2), avg(mean_factor) from 'out/cells.parquet'").fetchall()[0]
assert count == len(frame) and abs(area - frame.area_km2.sum()) < 1e-6 and abs(factor - frame.mean_factor.mean()) < 1e-9
times = duckdb.sql("select count(distinct valid) from 'out/cells.parquet'").fetchall()[0][0]
assert times == frame.valid.nunique() and str(frame.valid.dt.tz) == "UTC"
"#;

#[test]
fn other_programs_read_both_alike() {
    python(&audited().path("."), ["-c", OTHERS]);
}

#[test]
fn the_bytes_do_not_depend_on_the_threads() {
    let tables = ["1", "3"].map(|threads| {
        let bench = Bench::new();
        let derate = ["derate", "job.toml", "--cell-audit", "csv,parquet", "--quiet"];
        bench.run_on(threads, &derate).worked();
        ["out/cells.csv", "out/cells.parquet"].map(|name| std::fs::read(bench.path(name)).unwrap())
    });
    assert!(tables[0] == tables[1]);
}

#[test]
fn a_tally_has_no_cells_and_says_so() {
    let bench = Bench::new();
    bench.run(&["tally", "write", "job.toml", "-o", "seas.parquet"]).worked();
    let refused = bench.derate(&["--tally", "seas.parquet", "--cell-audit", "csv"]);
    assert!(refused.code == 1 && refused.stderr.contains("holds no single cells"), "{}", refused.stderr);
    assert!(!bench.path("out").exists());
    let told = bench.derate(&["--tally", "seas.parquet"]);
    assert!(told.code == 0 && told.stdout.contains("no cell audit: a tally holds"), "{}", told.stdout);
    assert!(!bench.path("out/cells.csv").exists());
}

#[test]
fn there_is_no_cell_audit_where_none_is_wanted() {
    let bench = Bench::new();
    let none = bench.derate(&["--cell-audit", "none"]);
    assert!(none.code == 0 && !none.stdout.contains("cell audit"), "{}", none.stdout);
    assert!(!bench.path("out/cells.csv").exists());
    let both = bench.derate(&["--cell-audit", "none,csv"]);
    assert!(both.code == 1 && both.stderr.contains("both wanted and not wanted"), "{}", both.stderr);
}

/// No forecast of the example has winds of over 90 kn, so a polar for those says nothing about any cell.
#[test]
fn a_wind_outside_the_polar_has_no_factor() {
    let bench = Bench::new();
    bench.put("polar.csv", "twa_deg,90,95\n90,9.0,9.1\n150,9.2,9.3\n");
    bench.derate(&["--cell-audit", "csv,parquet"]).worked();
    for row in bench.rows("out/cells.csv") {
        let empty = ["mean_factor", "worst_factor", "worst_tack", "worst_twa_deg", "dominant_stage"];
        assert!(empty.iter().all(|name| row[*name].is_empty()), "{row:?}");
        assert!(row["flags"].split(';').any(|flag| flag == "outside-polar"), "{row:?}");
        assert!(number(&row, "hs_m") > 0.0 && number(&row, "tws_kn") < 90.0);
    }
}

#[test]
fn the_manifest_says_what_was_written() {
    let bench = audited();
    let manifest = bench.json("out/manifest.json");
    assert_eq!(manifest["options"]["cell_audit"], serde_json::json!(["csv", "parquet"]));
    assert_eq!(manifest["counts"]["cell_audit_rows"], manifest["counts"]["sea_states"]);
}
