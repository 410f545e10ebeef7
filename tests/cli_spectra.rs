//! Spectra through the program: on a grid, and of stations.
//!
//! What the files hold is stated in `tests/reference/make_netcdf.py`; heights and directions of the stations were read
//! back with xarray 2026.9.0 and numpy 2.4.6: 4 sqrt(trapezoid over frequency of the sum over directions), and the
//! direction of the energy's mean vector.

mod small_job;

use roughwater::forecast::{CellSea, Forecast, SeaGrid};
use roughwater::sea::{PartitionKind, SeaState};
use small_job::{Job, with};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name)
}

fn state(sea: &SeaGrid, index: usize) -> SeaState {
    match sea.cell(index) {
        CellSea::Sea(state) => state,
        other => panic!("{other:?}"),
    }
}

fn job(forecast: &str, regions: Option<&str>) -> Job {
    let job = Job::new();
    job.file("job.toml", &with(&Job::text(), "forecast", &format!("{:?}", data(forecast))));
    if let Some(regions) = regions {
        job.file("regions.geojson", regions);
    }
    job
}

fn rows(job: &Job) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_path(job.path("out/audit.csv")).unwrap();
    reader.deserialize().map(Result::unwrap).collect()
}

fn warnings(job: &Job) -> String {
    let text = std::fs::read_to_string(job.path("out/manifest.json")).unwrap();
    let manifest: serde_json::Value = serde_json::from_str(&text).unwrap();
    manifest["warnings"].to_string()
}

#[test]
fn stations_have_the_heights_and_directions_that_xarray_reads() {
    let forecast = Forecast::open(&[data("stations.nc")]).unwrap();
    let expected = [[(2.00000001, 250.0), (2.99999996, 300.0)], [(2.49999993, 250.0), (2.99999996, 300.0)]];
    assert_eq!(forecast.steps().len(), 2);
    for (step, expected) in expected.iter().enumerate() {
        let sea = forecast.read_step(step).unwrap();
        assert_eq!(sea.grid.points(), 2);
        assert_eq!(sea.depth_m(1), Some(3500.0));
        for (station, (hs, from)) in expected.iter().enumerate() {
            let spectrum = sea.spectrum(station).unwrap();
            assert!((spectrum.hs_m() - hs).abs() < 1e-6, "{}", spectrum.hs_m());
            assert!((spectrum.mean_from().unwrap().deg() - from).abs() < 1e-3);
        }
    }
    let sea = forecast.read_step(1).unwrap();
    let (lat, lon) = sea.grid.centre(1).unwrap();
    assert!((lat + 50.5).abs() < 1e-5 && (lon - 179.25).abs() < 1e-5);
    let first = state(&sea, 0);
    assert_eq!((first.wind.tws_m_s, first.wind.from.deg()), (11.0, 280.0));
    // 12.5 s waves run at 19.5 m/s, faster than 1.5 x 11 m/s
    let largest = first.partitions.iter().max_by(|a, b| a.hs_m.total_cmp(&b.hs_m)).unwrap();
    assert_eq!(largest.kind, PartitionKind::Swell);
    assert!((largest.period.seconds - 12.5).abs() < 0.3, "{:?}", largest.period);
    assert!(first.spectrum.is_some());
}

#[test]
fn stations_are_inspected() {
    let job = Job::new();
    let output = job.program().arg("inspect").arg(data("stations.nc")).assert().success();
    let text = String::from_utf8(output.get_output().stdout.clone()).unwrap();
    assert!(text.contains("2 stations"), "{text}");
    assert!(text.contains("directional spectrum") && text.contains("wind speed"), "{text}");
}

/// Two stations, two steps: four sea states for the region that holds them, and the manifest says so.
#[test]
fn stations_serve_the_region_they_lie_in() {
    let job = job("stations.nc", None);
    job.derate().assert().success();
    let rows = rows(&job);
    assert!(!rows.is_empty());
    for row in &rows {
        assert_eq!((row["sea_states"].as_str(), row["covered"].as_str()), ("4", "1.0000"));
        assert!(row["factor"].parse::<f64>().unwrap() <= 1.0);
        assert!(!row["flags"].contains("spectrum-dropped"));
    }
    assert!(rows.iter().any(|row| row["factor"].parse::<f64>().unwrap() < 0.97));
    assert!(warnings(&job).contains("2 stations within it"), "{}", warnings(&job));
}

#[test]
fn a_region_without_a_station_is_refused() {
    let elsewhere = small_job::REGIONS.replace("-52", "-12").replace("-49", "-9");
    let job = job("stations.nc", Some(&elsewhere));
    let output = job.derate().assert().code(1);
    let text = String::from_utf8(output.get_output().stderr.clone()).unwrap();
    assert!(text.contains("lies wholly outside the forecast"), "{text}");
}

/// Through a tally file the spectra are lost, which flag and warning own up to, and the result differs.
#[test]
fn a_tally_file_says_that_it_drops_spectra() {
    let job = job("stations.nc", None);
    job.derate().assert().success();
    let direct = rows(&job);
    job.program().args(["tally", "write", "job.toml", "-o", "seas.parquet"]).assert().success();
    job.derate().args(["--tally", "seas.parquet"]).assert().success();
    let tallied = rows(&job);
    assert!(tallied.iter().all(|row| row["flags"].contains("spectrum-dropped")));
    assert!(warnings(&job).contains("not the spectrum"), "{}", warnings(&job));
    let differ = |(a, b): (&BTreeMap<_, String>, &BTreeMap<_, String>)| a["factor"] != b["factor"];
    assert!(direct.iter().zip(&tallied).any(differ));
}

/// By hand: the region touches the cells around 51 N at 1 W and 0 E, at one time.
#[test]
fn spectra_on_a_grid_are_inspected_and_derate() {
    let regions = r#"{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"Across"},
"geometry":{"type":"Polygon","coordinates":[[[-1.4,50.6],[0.4,50.6],[0.4,51.4],[-1.4,51.4],[-1.4,50.6]]]}}]}"#;
    let job = job("spectra.nc", Some(regions));
    let output = job.program().arg("inspect").arg(data("spectra.nc")).assert().success();
    let text = String::from_utf8(output.get_output().stdout.clone()).unwrap();
    assert!(text.contains("directional spectrum"), "{text}");
    job.derate().assert().success();
    for row in rows(&job) {
        assert_eq!((row["sea_states"].as_str(), row["covered"].as_str()), ("2", "1.0000"));
        assert!(!row["flags"].contains("total-sea-used") && !row["flags"].contains("period-converted"));
    }
}
