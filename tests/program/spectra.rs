//! Spectra through the program: on a grid, and of stations. What the files hold: `tests/reference/make_netcdf.py`.

use crate::common::bench::{ACROSS, Bench};
use crate::common::files::data;
use crate::common::places::region;
use crate::common::tables::{Row, number};

/// The foiler across the date line over a file of spectra.
fn bench(forecast: &str) -> Bench {
    let bench = Bench::across();
    bench.set("forecast", &format!("{:?}", data(forecast)));
    bench
}

fn warnings(bench: &Bench) -> String {
    bench.json("out/manifest.json")["warnings"].to_string()
}

/// Two stations, two steps: four sea states for the region that holds them, and the manifest says so.
#[test]
fn stations_serve_the_region_they_lie_in() {
    let bench = bench("stations.nc");
    bench.derate(&[]).worked();
    let rows = bench.rows("out/audit.csv");
    assert!(!rows.is_empty());
    for row in &rows {
        assert_eq!((row["sea_states"].as_str(), row["covered"].as_str()), ("4", "1.0000"));
        assert!(number(row, "factor") <= number(row, "stage_surge").max(1.0));
        assert!(!row["flags"].contains("spectrum-dropped"));
    }
    assert!(rows.iter().any(|row| number(row, "factor") < 0.995));
    assert!(warnings(&bench).contains("2 stations within it"), "{}", warnings(&bench));
}

#[test]
fn a_region_without_a_station_is_refused() {
    let bench = bench("stations.nc");
    bench.put("regions.geojson", ACROSS.replace("-52", "-12").replace("-49", "-9"));
    let told = bench.derate(&[]).ended(&[1]).stderr;
    assert!(told.contains("lies wholly outside the forecast"), "{told}");
}

/// Through a tally file the spectra are lost, which flag and warning own up to, and the result differs.
#[test]
fn a_tally_file_says_that_it_drops_spectra() {
    let bench = bench("stations.nc");
    bench.derate(&[]).worked();
    let direct = bench.rows("out/audit.csv");
    bench.run(&["tally", "write", "job.toml", "-o", "seas.parquet"]).worked();
    bench.derate(&["--tally", "seas.parquet"]).worked();
    let tallied = bench.rows("out/audit.csv");
    assert!(tallied.iter().all(|row| row["flags"].contains("spectrum-dropped")));
    assert!(warnings(&bench).contains("not the spectrum"), "{}", warnings(&bench));
    let differ = |(a, b): (&Row, &Row)| a["factor"] != b["factor"];
    assert!(direct.iter().zip(&tallied).any(differ));
}

/// By hand: the region touches the cells around 51 N at 1 W and 0 E, at one time.
#[test]
fn spectra_on_a_grid_derate() {
    let bench = bench("spectra.nc");
    bench.put("regions.geojson", region("Across", [-1.4, 0.4, 50.6, 51.4]));
    bench.derate(&[]).worked();
    for row in bench.rows("out/audit.csv") {
        assert_eq!((row["sea_states"].as_str(), row["covered"].as_str()), ("2", "1.0000"));
        assert!(!row["flags"].contains("total-sea-used") && !row["flags"].contains("period-converted"));
    }
}

/// Eleven of the grid's twelve points are sea, and one is land (`tests/reference/make_spectra_grib.py`).
#[test]
fn spectra_in_grib_derate_in_both_editions() {
    for forecast in ["spectra.grib2", "spectra.grib1"] {
        let bench = bench(forecast);
        bench.put("regions.geojson", region("Across", [178.6, 181.4, -51.0, -49.6]));
        bench.derate(&["--match-wind", "off"]).worked();
        let rows = bench.rows("out/audit.csv");
        assert!(!rows.is_empty());
        for row in rows {
            // 179, 180 and 181 E at 50 and 51 S: none of them is land
            assert_eq!((row["sea_states"].as_str(), row["covered"].as_str()), ("6", "1.0000"), "{forecast}");
            assert!(!row["flags"].contains("total-sea-used") && !row["flags"].contains("period-converted"));
        }
    }
}
