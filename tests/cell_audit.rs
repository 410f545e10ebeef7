//! The cell audit: it has a row for every sea state of the audit, and each row is what its own sea does at its own wind.

mod common;
mod support;

use common::{CRUISER, FOILER, model};
use jiff::Timestamp;
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::Field;
use roughwater::balance::{BoatTables, SeaCurve};
use roughwater::base::Window;
use roughwater::base::units::{EARTH_RADIUS_M, kn_to_m_s};
use roughwater::base::{Flag, Flags};
use roughwater::derate::{Performance, PolarCell, derate_seas};
use roughwater::forecast::{CellSea, Forecast};
use roughwater::hydro::wind_frame::WindFrameSea;
use roughwater::polar::{Lookup, Polar};
use roughwater::region::parse;
use roughwater::survey::cells::{audit_cells, factors};
use roughwater::survey::{AuditedRegion, CellRow};
use roughwater::tally::{BinKey, Bins, Tally};
use serde_json::Value;
use std::collections::BTreeMap;
use std::process::Command;
use support::{Bench, REGION, file, rows};

type Record = BTreeMap<String, String>;

fn number(row: &Record, name: &str) -> f64 {
    row[name].parse().unwrap_or_else(|_| panic!("{name} in {row:?}"))
}

/// Both forms, beside the audit they must add up to.
fn audited() -> Bench {
    let bench = Bench::new();
    let ran = bench.run(&["derate", "job.toml", "--cell-audit", "csv,parquet", "--format", "json"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    assert_eq!(ran.json()["cell_audit_rows"], rows(&bench.read("out/cells.csv")).len());
    bench
}

/// The region is the box 176 E to 180, 54 S to 50 S, all sea; on a sphere its area is R² dlon (sin 54 - sin 50).
#[test]
fn rows_add_up_to_the_audit_and_to_the_regions_area() {
    let bench = audited();
    let cells = rows(&bench.read("out/cells.csv"));
    for audit in rows(&bench.read("out/audit.csv")) {
        let within = |row: &&Record| {
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
fn parquet_rows(path: &std::path::Path) -> Vec<Record> {
    let reader = SerializedFileReader::new(std::fs::File::open(path).unwrap()).unwrap();
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
    let ran = bench.run(&["derate", "job.toml"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    for name in ["audit", "cells"] {
        let csv = rows(&bench.read(&format!("out/{name}.csv")));
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

/// The interpreter named by `ROUGHWATER_PYTHON`, else `python3`, needs the packages duckdb and pandas.
#[test]
fn other_programs_read_both_alike() {
    let bench = audited();
    let python = std::env::var("ROUGHWATER_PYTHON").unwrap_or_else(|_| "python3".into());
    match Command::new(&python).current_dir(bench.path(".")).args(["-c", OTHERS]).output() {
        Err(error) => println!("skipped: {python}: {error}"),
        Ok(output) if output.status.code() == Some(3) => {
            println!("{}", String::from_utf8_lossy(&output.stdout))
        }
        Ok(output) => assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr)),
    }
}

#[test]
fn the_bytes_do_not_depend_on_the_threads() {
    let tables = ["1", "3"].map(|threads| {
        let bench = Bench::new();
        bench.run_on(threads, &["derate", "job.toml", "--cell-audit", "csv,parquet", "--quiet"]);
        ["out/cells.csv", "out/cells.parquet"].map(|name| std::fs::read(bench.path(name)).unwrap())
    });
    assert!(tables[0] == tables[1]);
}

#[test]
fn a_tally_has_no_cells_and_says_so() {
    let bench = Bench::new();
    assert_eq!(bench.run(&["tally", "write", "job.toml", "-o", "seas.parquet"]).code, 0);
    let refused = bench.run(&["derate", "job.toml", "--tally", "seas.parquet", "--cell-audit", "csv"]);
    assert!(refused.code == 1 && refused.stderr.contains("holds no single cells"), "{}", refused.stderr);
    assert!(!bench.path("out").exists());
    let told = bench.run(&["derate", "job.toml", "--tally", "seas.parquet"]);
    assert!(told.code == 0 && told.stdout.contains("no cell audit: a tally holds"), "{}", told.stdout);
    assert!(!bench.path("out/cells.csv").exists());
    let none = bench.run(&["derate", "job.toml", "--cell-audit", "none"]);
    assert!(none.code == 0 && !none.stdout.contains("cell audit"), "{}", none.stdout);
    assert!(!bench.path("out/cells.csv").exists());
    let both = bench.run(&["derate", "job.toml", "--cell-audit", "none,csv"]);
    assert!(both.code == 1 && both.stderr.contains("both wanted and not wanted"), "{}", both.stderr);
}

/// No forecast of the example has winds of over 90 kn, so a polar for those says nothing about any cell.
#[test]
fn a_wind_outside_the_polar_has_no_factor() {
    let bench = Bench::new();
    bench.put("polar.csv", "twa_deg,90,95\n90,9.0,9.1\n150,9.2,9.3\n");
    let ran = bench.run(&["derate", "job.toml", "--cell-audit", "csv,parquet"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    for row in rows(&bench.read("out/cells.csv")) {
        let empty = ["mean_factor", "worst_factor", "worst_tack", "worst_twa_deg", "dominant_stage"];
        assert!(empty.iter().all(|name| row[*name].is_empty()), "{row:?}");
        assert!(row["flags"].split(';').any(|flag| flag == "outside-polar"), "{row:?}");
        assert!(number(&row, "hs_m") > 0.0 && number(&row, "tws_kn") < 90.0);
    }
}

fn performance(boat: &str, polar: &str) -> Performance {
    let flat = Polar::parse(polar).unwrap();
    let top_kn = flat.speeds_kn().iter().copied().fold(0.0, f64::max);
    Performance { tables: BoatTables::new(model(boat), kn_to_m_s(top_kn)), flat, foils_up: None }
}

/// The same boat with a polar that has a column at this very wind.
fn at_its_wind(performance: &Performance, tws_kn: f64) -> Performance {
    let flat = &performance.flat;
    let tws = [tws_kn, tws_kn + 5.0];
    let speed = |twa: f64| match flat.speed_kn(tws_kn, twa) {
        Lookup::Inside(kn) => [kn, kn],
        Lookup::Outside(_) => panic!("{tws_kn}"),
    };
    let speeds = flat.twa_deg().iter().flat_map(|twa| speed(*twa)).collect();
    Performance {
        flat: Polar::new(tws.to_vec(), flat.twa_deg().to_vec(), speeds).unwrap(),
        ..performance.clone()
    }
}

/// Some cells of the first step, solved by the way that polars take, in their own sea alone. Differences are rounding.
fn check(performance: &Performance) {
    let forecast = Forecast::open(&[file("grids/south-pacific.grib2")]).unwrap();
    let regions = parse(REGION).unwrap();
    let mut found: Vec<CellRow> = Vec::new();
    let always = Window { start: Timestamp::MIN, end: Timestamp::MAX };
    let audited: Vec<AuditedRegion> =
        regions.iter().map(|region| AuditedRegion { region, windows: vec![always] }).collect();
    audit_cells(performance, &forecast, &audited, &mut |step, rows| {
        found.extend(rows.into_iter().filter(|_| step == 0));
        Ok(())
    })
    .unwrap();
    let sea = forecast.read_step(0).unwrap();
    let cells = (0..sea.grid.points()).filter_map(|index| match sea.cell(index) {
        CellSea::Sea(state) => Some((sea.grid.centre(index)?, state)),
        _ => None,
    });
    let mut checked = 0;
    for (place, state) in cells {
        let Some(row) = found.iter().find(|row| (row.lat_deg, row.lon_deg) == place) else { continue };
        let alone = derate_seas(
            &at_its_wind(performance, row.tws_kn),
            &[(WindFrameSea::of(&state), 1.0)],
            Flags::empty(),
        )
        .unwrap();
        let column: Vec<&PolarCell> = alone.iter().filter(|cell| cell.tws_kn == row.tws_kn).collect();
        let factors: Vec<f64> = column.iter().map(|cell| cell.factor().unwrap()).collect();
        let mean = factors.iter().sum::<f64>() / factors.len() as f64;
        let least = factors.iter().copied().fold(f64::INFINITY, f64::min);
        let told = row.factors.unwrap();
        assert!(
            (told.mean - mean).abs() < 1e-9 && (told.worst - least).abs() < 1e-9,
            "{told:?} {mean} {least}"
        );
        let worst =
            column.iter().find(|cell| cell.tack == told.worst_tack && cell.twa_deg == told.worst_twa_deg);
        assert!((worst.unwrap().factor().unwrap() - least).abs() < 1e-9);
        let flags = column.iter().fold(WindFrameSea::of(&state).flags, |flags, cell| flags | cell.flags);
        assert_eq!(row.flags, flags);
        assert!(!row.flags.contains(Flag::OutsidePolar));
        checked += 1;
    }
    assert_eq!(checked, found.len());
    assert!(checked > 10);
}

#[test]
fn a_cell_is_its_sea_alone() {
    check(&performance(
        CRUISER,
        "twa_deg,2,12,25,60\n45,2.0,5.5,6.3,6.5\n110,2.5,6.9,7.9,9.0\n150,1.8,5.9,7.3,9.0\n",
    ));
    check(&performance(FOILER, "twa_deg,2,10,16,60\n48,2,8.59,10.48,11.64\n120,3,12.9,21.38,29.19\n"));
}

#[test]
fn the_manifest_says_what_was_written() {
    let bench = audited();
    let manifest: Value = serde_json::from_str(&bench.read("out/manifest.json")).unwrap();
    assert_eq!(manifest["options"]["cell_audit"], serde_json::json!(["csv", "parquet"]));
    assert_eq!(manifest["counts"]["cell_audit_rows"], manifest["counts"]["sea_states"]);
}

/// Cells told by the mean sea of their bin of the tally would be cheaper; this is how far they would be off.
#[test]
#[ignore = "a measurement, not a check"]
fn what_binning_would_cost() {
    let forecast = Forecast::open(&[file("grids/south-pacific.grib2")]).unwrap();
    let sea = forecast.read_step(0).unwrap();
    let states = sea.cells().filter_map(|cell| match cell {
        CellSea::Sea(state) => Some(WindFrameSea::of(&state)),
        _ => None,
    });
    let seas: Vec<WindFrameSea> = states.step_by(3).collect();
    let boats = [
        (CRUISER, "twa_deg,0,12,25,60\n45,0.1,5.5,6.3,6.5\n110,0.1,6.9,7.9,9.0\n150,0.1,5.9,7.3,9.0\n"),
        (FOILER, "twa_deg,0,10,16,60\n48,0.1,8.59,10.48,11.64\n120,0.1,12.9,21.38,29.19\n"),
    ];
    for (boat, polar) in boats {
        let performance = performance(boat, polar);
        let mut curve = SeaCurve::new(&performance.tables);
        let mut told = |sea: &WindFrameSea| factors(&performance, sea, &mut curve).unwrap().0.unwrap();
        let mut bins: BTreeMap<BinKey, Tally> = BTreeMap::new();
        for sea in &seas {
            let key = Bins::default().key(sea).0;
            bins.entry(key).or_insert_with(|| Tally::new(Bins::default())).add(sea, 1.0);
        }
        let means: BTreeMap<&BinKey, f64> =
            bins.iter().map(|(key, tally)| (key, told(&tally.seas().next().unwrap().0).mean)).collect();
        let start = std::time::Instant::now();
        let mut off: Vec<f64> =
            seas.iter().map(|sea| (told(sea).mean - means[&Bins::default().key(sea).0]).abs()).collect();
        let each_ms = 1000.0 * start.elapsed().as_secs_f64() / off.len() as f64;
        off.sort_by(f64::total_cmp);
        println!(
            "{boat}: {} cells in {} bins, {each_ms:.2} ms a cell; mean factor off by {:.4} on average, {:.4} in one of 20, {:.4} at most",
            off.len(),
            bins.len(),
            off.iter().sum::<f64>() / off.len() as f64,
            off[off.len() * 19 / 20],
            off[off.len() - 1]
        );
    }
}
