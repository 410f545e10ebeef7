//! Tallies as files: what is made from one equals what is made from the forecast, whoever merged it.

mod small_job;

use small_job::{FORECAST, Job, REGIONS, with};
use std::path::{Path, PathBuf};
use std::process::Command;

/// The files of a result without manifest and report, which name the inputs, and the cell audit, which no tally has.
fn tables(job: &Job) -> Vec<(PathBuf, Vec<u8>)> {
    let compared =
        |path: &Path| ["manifest.json", "report.html", "cells.csv"].iter().all(|name| !path.ends_with(name));
    job.result().into_iter().filter(|(path, _)| compared(path)).collect()
}

/// A job with windows that a half of the forecast fills.
fn job() -> Job {
    let job = Job::new();
    job.file("job.toml", &with(&Job::text(), "window", "\"6h\""));
    job
}

/// The messages of the forecast in two files: those of the first steps, by reference-to-valid hours, and the rest.
///
/// GRIB2 (WMO Manual on Codes I.2): a message begins with `GRIB`, octets 9-16 are its length; section 4 holds the
/// forecast time in its octets 19-22.
fn split(job: &Job) -> [String; 2] {
    let bytes = std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(FORECAST)).unwrap();
    let (mut files, mut at) = ([Vec::new(), Vec::new()], 0);
    let mut hours_seen = std::collections::BTreeSet::new();
    let mut messages = Vec::new();
    while at < bytes.len() {
        assert_eq!(&bytes[at..at + 4], b"GRIB");
        let length = u64::from_be_bytes(bytes[at + 8..at + 16].try_into().unwrap()) as usize;
        let message = &bytes[at..at + length];
        let hours = forecast_time(message);
        hours_seen.insert(hours);
        messages.push((hours, message));
        at += length;
    }
    let hours: Vec<u32> = hours_seen.into_iter().collect();
    assert!(
        hours.len() >= 4 && hours.windows(2).all(|pair| pair[1] - pair[0] == hours[1] - hours[0]),
        "{hours:?}"
    );
    let middle = hours[hours.len() / 2];
    for (hours, message) in messages {
        files[usize::from(hours >= middle)].extend_from_slice(message);
    }
    ["first.grib2", "second.grib2"].map(|name| {
        std::fs::write(job.path(name), &files[usize::from(name == "second.grib2")]).unwrap();
        name.to_owned()
    })
}

fn forecast_time(message: &[u8]) -> u32 {
    let mut at = 16;
    loop {
        let length = u32::from_be_bytes(message[at..at + 4].try_into().unwrap()) as usize;
        if message[at + 4] == 4 {
            return u32::from_be_bytes(message[at + 18..at + 22].try_into().unwrap());
        }
        at += length;
    }
}

/// Two tallies of a half of the forecast each, with the same regions and windows.
fn halves(job: &Job) -> [&'static str; 2] {
    let files = split(job);
    for (file, tally) in files.iter().zip(["first.parquet", "second.parquet"]) {
        job.program()
            .args(["tally", "write", "job.toml", "--forecast", file, "--output", tally])
            .assert()
            .success();
    }
    ["first.parquet", "second.parquet"]
}

fn derated_from(job: &Job, tally: &str) -> Vec<(PathBuf, Vec<u8>)> {
    job.derate().args(["--tally", tally, "--quiet"]).assert().success();
    tables(job)
}

#[test]
fn a_tally_gives_the_same_bytes_as_its_forecast() {
    let job = job();
    job.derate().arg("--quiet").assert().success();
    let direct = tables(&job);
    job.program().args(["tally", "write", "job.toml", "-o", "seas.parquet"]).assert().success();
    assert_eq!(derated_from(&job, "seas.parquet"), direct);
    let manifest = std::fs::read_to_string(job.path("out/manifest.json")).unwrap();
    assert!(manifest.contains("\"role\": \"tally\"") && manifest.contains("tallied_forecasts"), "{manifest}");
}

#[test]
fn merged_halves_give_the_polars_of_the_whole() {
    let job = job();
    job.derate().arg("--quiet").assert().success();
    let whole = tables(&job);
    let halves = halves(&job);
    job.program().args(["tally", "merge"]).args(halves).args(["-o", "both.parquet"]).assert().success();
    // a tally of a tally merged in another order holds the same
    job.program().args(["tally", "merge", halves[1], halves[0], "-o", "turned.parquet"]).assert().success();
    for tally in ["both.parquet", "turned.parquet"] {
        assert_close(&derated_from(&job, tally), &whole);
    }
}

/// Equal file names and texts, numbers to 1e-5 of themselves: sums in another order round otherwise.
fn assert_close(found: &[(PathBuf, Vec<u8>)], expected: &[(PathBuf, Vec<u8>)]) {
    let names = |files: &[(PathBuf, Vec<u8>)]| files.iter().map(|(path, _)| path.clone()).collect::<Vec<_>>();
    assert_eq!(names(found), names(expected));
    for ((path, found), (_, expected)) in found.iter().zip(expected) {
        let pieces = |bytes: &[u8]| -> Vec<String> {
            String::from_utf8(bytes.to_vec()).unwrap().split([',', '\n', '\r']).map(str::to_owned).collect()
        };
        let (found, expected) = (pieces(found), pieces(expected));
        assert_eq!(found.len(), expected.len(), "{path:?}");
        for (found, expected) in found.iter().zip(&expected) {
            match (found.parse::<f64>(), expected.parse::<f64>()) {
                (Ok(a), Ok(b)) => assert!((a - b).abs() <= 1e-5 * b.abs().max(1.0), "{path:?}: {a} and {b}"),
                _ => assert_eq!(found, expected, "{path:?}"),
            }
        }
    }
}

#[test]
fn tallies_that_do_not_belong_together_are_refused() {
    let job = job();
    let halves = halves(&job);
    let refuse = |tallies: [&str; 2], words: &[&str]| {
        let output = job
            .program()
            .args(["tally", "merge"])
            .args(tallies)
            .args(["-o", "wrong.parquet"])
            .assert()
            .code(1)
            .get_output()
            .stderr
            .clone();
        let text = String::from_utf8(output).unwrap();
        assert!(words.iter().all(|word| text.contains(word)), "{text}");
        assert!(!job.path("wrong.parquet").exists());
    };
    refuse([halves[0], halves[0]], &["count twice", "first.grib2", "Across"]);
    job.file("regions.geojson", &REGIONS.replace("-52", "-51.5"));
    let write = |window: &str, name: &str| {
        job.program()
            .args([
                "tally",
                "write",
                "job.toml",
                "--forecast",
                "second.grib2",
                "--window",
                window,
                "-o",
                name,
            ])
            .assert()
            .success();
    };
    write("6h", "moved.parquet");
    refuse([halves[0], "moved.parquet"], &["different outlines", "Across", "moved.parquet"]);
    job.file("regions.geojson", REGIONS);
    write("1d", "long.parquet");
    refuse([halves[1], "long.parquet"], &["overlap", "Across"]);
    job.file("no.parquet", "PAR1 is not enough");
    refuse([halves[0], "no.parquet"], &["not a Parquet file that can be read", "no.parquet"]);
}

/// What any engine can do: group by the keys, sum the rest. The last file has a half in it twice.
const ENGINES: &str = r#"
import sys
try:
    import duckdb, polars
except ImportError as error:
    print("skipped:", error); sys.exit(3)
keys = ["region", "window_start", "window_end", "kind", "bin"]
first = polars.read_parquet("first.parquet"); second = polars.read_parquet("second.parquet")
sums = [name for name in first.columns if name not in keys]
polars.concat([first, second]).group_by(keys).agg(polars.col(sums).sum()).write_parquet("polars.parquet", compression="snappy")
query = "select {}, {} from read_parquet([{}]) group by all"
for out, files in [("duckdb", ["first", "second"]), ("twice", ["first", "first", "second"])]:
    listed = ", ".join(f"'{name}.parquet'" for name in files)
    text = query.format(", ".join(keys), ", ".join(f"sum({name}) as {name}" for name in sums), listed)
    duckdb.sql(text).write_parquet(out + ".parquet")
"#;

/// The interpreter named by `ROUGHWATER_PYTHON`, else `python3`, needs the packages duckdb and polars.
#[test]
fn other_engines_merge_alike() {
    let job = job();
    let halves = halves(&job);
    job.program().args(["tally", "merge"]).args(halves).args(["-o", "own.parquet"]).assert().success();
    let python = std::env::var("ROUGHWATER_PYTHON").unwrap_or_else(|_| "python3".into());
    let run = Command::new(&python).current_dir(job.folder.path()).args(["-c", ENGINES]).output();
    match run {
        Err(error) => return println!("skipped: {python}: {error}"),
        Ok(output) if output.status.code() == Some(3) => {
            return println!("{}", String::from_utf8_lossy(&output.stdout));
        }
        Ok(output) => assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr)),
    }
    let own = derated_from(&job, "own.parquet");
    for engine in ["polars.parquet", "duckdb.parquet"] {
        assert_close(&derated_from(&job, engine), &own);
    }
    let twice = job.derate().args(["--tally", "twice.parquet"]).assert().code(1).get_output().stderr.clone();
    assert!(String::from_utf8(twice).unwrap().contains("count twice"));
}
