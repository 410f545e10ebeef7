//! `inspect` and `derate` on each kind of forecast file: NOAA's and ECMWF's GRIB, ERA5's, Copernicus' and WAVEWATCH III's
//! NetCDF. Real files that are not kept here are used where they lie beside the checkout.

use crate::common::bench::{Bench, POLAR, Ran};
use crate::common::files::{INVENTED, NOAA, data, file, forecast as real};
use crate::common::places::region;
use crate::common::tables::number;
use roughwater::job::JobFile;
use roughwater::run::Opened;
use serde_json::Value;
use std::path::Path;

/// A bench whose one region is a box: west, east, south, north.
fn bench(box_deg: [f64; 4]) -> Bench {
    let bench = Bench::new();
    bench.put("regions.geojson", region("Box", box_deg));
    bench
}

fn inspect(bench: &Bench, path: &Path) -> Value {
    let path = path.to_str().unwrap();
    let found = bench.run(&["inspect", path, "--format", "json"]).json();
    assert_eq!(found["is"], "forecast");
    let text = bench.run(&["inspect", path]);
    assert!(text.code == 0 && text.stdout.contains("sea cells") | text.stdout.contains("lacks:"), "{text:?}");
    found
}

fn derate(bench: &Bench, forecasts: &[&Path], output: &str) -> Ran {
    let mut arguments = vec!["--window", "all", "--format", "json", "--output", output];
    for path in forecasts {
        arguments.extend(["--forecast", path.to_str().unwrap()]);
    }
    bench.derate(&arguments)
}

/// The one corrected polar of a result.
fn polar(bench: &Bench, output: &str) -> String {
    let index = bench.json(&format!("{output}/index.geojson"));
    let polars = index["features"][0]["properties"]["polars"].as_array().unwrap();
    assert_eq!(polars.len(), 1);
    bench.read(&format!("{output}/{}", polars[0]["file"].as_str().unwrap()))
}

/// Waves take something of some cell, and the file has all of the flat polar's cells.
fn assert_derated(bench: &Bench, output: &str, polar: &str) {
    let cells = |text: &str| -> Vec<f64> {
        let lines = text.lines().skip(1);
        lines
            .flat_map(|line| line.split(',').skip(1).map(|speed| speed.parse().unwrap()).collect::<Vec<_>>())
            .collect()
    };
    let (corrected, flat) = (cells(polar), cells(POLAR));
    assert_eq!(corrected.len(), flat.len());
    assert!(
        // surfing makes her faster, by a fifth at the most in anything tried
        corrected.iter().zip(&flat).all(|(corrected, flat)| *corrected >= 0.0 && *corrected <= 1.2 * flat),
        "{polar}"
    );
    let audit = bench.rows(&format!("{output}/audit.csv"));
    assert!(audit.iter().any(|row| number(row, "factor") < 1.0), "{polar}");
}

fn quantities(found: &Value) -> Vec<&str> {
    found["quantities"].as_array().unwrap().iter().map(|q| q["quantity"].as_str().unwrap()).collect()
}

/// Three of six columns hold heights of -999 m.
#[test]
fn heights_that_cannot_be_are_gaps_with_count_and_place() {
    let bench = bench([-30.0, -25.0, 0.0, 5.0]);
    let ran = derate(&bench, &[&data("hs-minus999-undeclared.nc")], "out").ended(&[3]);
    let told: Value = serde_json::from_str(&ran.stdout).unwrap();
    let (warnings, gaps) = (told["warnings"].to_string(), told["gaps"].to_string());
    assert!(
        warnings.contains("18 values of total sea Hs") && warnings.contains("longitude -30.000"),
        "{warnings}"
    );
    assert!(gaps.contains("18 sea cells lack a height of the total sea"), "{gaps}");
}

/// After it was opened and digested, or while its steps are read: renamed over, written again, cut short.
#[test]
fn a_forecast_that_changes_while_it_is_read_is_an_error() {
    let bench = Bench::new();
    let whole = std::fs::read(file(INVENTED)).unwrap();
    bench.set("forecast", "\"changing.grib2\"");
    let path = bench.path("changing.grib2");
    let replace = || {
        bench.put("other.grib2", &whole);
        std::fs::rename(bench.path("other.grib2"), &path).unwrap();
    };
    let rewrite = || bench.put("changing.grib2", &whole[..whole.len() / 8 * 7]);
    let cut = || bench.put("changing.grib2", []);
    let ways: [&dyn Fn(); 3] = [&replace, &rewrite, &cut];
    for (way, change) in ways.into_iter().enumerate() {
        for at_step in [None, Some(4)] {
            bench.put("changing.grib2", &whole);
            let job = JobFile::read(&bench.path("job.toml")).unwrap().complete().unwrap();
            let opened = Opened::open(&job.seas).unwrap();
            if at_step.is_none() {
                change();
            }
            let progress = |done: usize, _| {
                if Some(done) == at_step {
                    change();
                }
                Ok(())
            };
            let text = opened.tally(&progress).unwrap_err().to_string();
            assert!(
                text.contains("changed while it was read") && text.contains("changing.grib2"),
                "{way}: {text}"
            );
        }
    }
}

#[test]
fn noaa_grib2_serves_by_itself() {
    let bench = bench([-76.0, -74.0, 26.5, 28.5]);
    let path = file(NOAA);
    let found = inspect(&bench, &path);
    assert_eq!((&found["kind"], found["messages"].as_array().unwrap().len()), (&"grib2".into(), 19));
    assert_eq!(found["lacks"], Value::Array(Vec::new()));
    assert!(quantities(&found).contains(&"swell 3 peak period Tp"));
    let told = derate(&bench, &[&path], "out").json();
    assert_eq!((&told["polars"], &told["gaps"]), (&1.into(), &Value::Array(Vec::new())));
    assert_derated(&bench, "out", &polar(&bench, "out"));
}

#[test]
fn both_editions_of_noaas_forecast_make_one_polar_to_the_byte() {
    let twins = ["grib1", "grib2"].map(|edition| real(&format!("gdaswave.t00z.wcoast.0p16.f000.{edition}")));
    let [Some(first), Some(second)] = twins else { return };
    let bench = bench([-130.0, -128.0, 40.0, 42.0]);
    assert_eq!(inspect(&bench, &first)["kind"], "grib1");
    for (path, output) in [(&first, "one"), (&second, "two")] {
        derate(&bench, &[path], output).json();
    }
    assert_derated(&bench, "one", &polar(&bench, "one"));
    assert_eq!(polar(&bench, "one"), polar(&bench, "two"));
}

/// Tables 140 and 128 of GRIB1 against disciplines 10 and 0 of GRIB2, from one set of values.
#[test]
fn both_editions_of_ecmwfs_forecast_make_one_polar_to_the_byte() {
    let bench = bench([179.0, 183.0, -33.0, -31.0]);
    let mut found = Vec::new();
    for (edition, output) in [("grib1", "one"), ("grib2", "two")] {
        let path = data(&format!("ecmwf-twin.{edition}"));
        let inspected = inspect(&bench, &path);
        assert_eq!((&inspected["kind"], &inspected["lacks"]), (&edition.into(), &Value::Array(Vec::new())));
        found.push(quantities(&inspected).into_iter().map(str::to_owned).collect::<Vec<_>>());
        derate(&bench, &[&path], output).json();
    }
    assert_eq!(found[0], found[1]);
    for name in
        ["total sea energy period Tm-10", "total swell energy period Tm-10", "wind sea Hs", "wind, eastward"]
    {
        assert!(found[0].iter().any(|quantity| quantity == name), "{name}: {:?}", found[0]);
    }
    assert_derated(&bench, "one", &polar(&bench, "one"));
    assert_eq!(polar(&bench, "one"), polar(&bench, "two"));
    assert!(bench.read("two/audit.csv").contains("period-converted"));
}

/// Heights without a direction: the file cannot serve, and both commands say what it lacks.
#[test]
fn a_real_ecmwf_file_of_heights_alone_is_told_what_it_lacks() {
    let Some(path) = real("aifs-single-wave.grib2") else { return };
    let bench = bench([-40.0, -38.0, 40.0, 42.0]);
    let found = inspect(&bench, &path);
    assert!(
        quantities(&found).contains(&"Hs of periods 10 to 12 s")
            && quantities(&found).contains(&"water depth")
    );
    assert!(found["lacks"][0].as_str().unwrap().contains("no wind"), "{}", found["lacks"]);
    let ran = derate(&bench, &[&path], "out");
    assert!(ran.code == 1 && ran.stderr.contains("no wind in the forecast"), "{ran:?}");
}

#[test]
fn era5_and_copernicus_serve_with_the_wind_of_another_file() {
    let wind = data("coast-wind.nc");
    let bench = bench([2.5, 4.5, 53.3, 54.3]);
    for (name, steps, height, period) in [
        ("ERA5_DutchCoast.nc", 67, "swh", "total sea peak period Tp"),
        ("CMEMS_DutchCoast_2017-10-28.nc", 8, "VHM0", "total sea peak period Tp"),
    ] {
        let Some(path) = real(name) else { continue };
        let found = inspect(&bench, &path);
        assert!(found["lacks"][0].as_str().unwrap().contains("no wind"), "{}", found["lacks"]);
        assert!(quantities(&found).contains(&period), "{found}");
        let height = |message: &Value| message["code"].as_str().unwrap().starts_with(height);
        assert_eq!(
            found["messages"].as_array().unwrap().iter().filter(|message| height(message)).count() >= steps,
            true
        );

        let alone = derate(&bench, &[&path], "alone");
        assert!(alone.code == 1 && alone.stderr.contains("no wind in the forecast"), "{alone:?}");
        let told = derate(&bench, &[&path, &wind], name).json();
        assert_eq!((&told["polars"], &told["gaps"]), (&1.into(), &Value::Array(Vec::new())), "{name}");
        let warnings = told["warnings"].to_string();
        assert!(
            warnings.contains("interpolated bilinearly") && warnings.contains("coast-wind.nc"),
            "{warnings}"
        );
        assert_derated(&bench, name, &polar(&bench, name));
        let manifest = bench.json(&format!("{name}/manifest.json"));
        assert_eq!(manifest["counts"]["forecast_steps"], steps);
    }
}

/// Spectra without wind: read, and refused for want of wind.
#[test]
fn era5s_spectra_are_read() {
    let Some(path) = real("era5file.nc") else { return };
    let found = inspect(&bench([0.0, 1.0, 0.0, 1.0]), &path);
    assert_eq!(quantities(&found), ["directional spectrum"]);
}

/// Of the cells within the box, one is 76 m deep and one 26 m, with swells of over 10 s (156 m long in deep water).
#[test]
fn wavewatch_netcdf_states_depth_and_currents() {
    let bench = bench([-1.4, 1.4, 48.6, 50.4]);
    let path = data("ww3.nc");
    let found = inspect(&bench, &path);
    assert!(quantities(&found).contains(&"water depth"));
    let told = derate(&bench, &[&path], "out").json();
    assert_derated(&bench, "out", &polar(&bench, "out"));
    let of_current = |warning: &&Value| warning.as_str().unwrap().contains("current");
    let warnings = told["warnings"].as_array().unwrap();
    let of_current: Vec<_> = warnings.iter().filter(of_current).collect();
    assert_eq!(of_current.len(), 1, "{warnings:?}");
    assert!(
        of_current[0].as_str().unwrap().contains("ucur")
            && of_current[0].as_str().unwrap().contains("not used")
    );
    let audit = bench.rows("out/audit.csv");
    assert!(
        audit.iter().all(|row| row["flags"].split(';').any(|flag| flag == "shallow-water")),
        "{:?}",
        audit[0]
    );
    let model = bench.json("out/manifest.json")["model"].to_string();
    assert!(model.contains("flag shallow-water") && model.contains("not modelled: roll"), "{model}");
}
