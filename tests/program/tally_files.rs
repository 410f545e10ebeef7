//! Tallies as files: what is made from one equals what is made from the forecast, whoever merged it.

use crate::common::bench::{ACROSS, Bench};
use crate::common::grib::{octet, passage};
use crate::common::python::python;
use std::collections::{BTreeMap, BTreeSet};

/// Files by their names with their bytes.
type Files = BTreeMap<String, Option<Vec<u8>>>;

/// The files of a result without manifest and report, which name the inputs, and the cell audit, which no tally has.
fn tables(bench: &Bench) -> Files {
    let mut files = bench.result();
    files.retain(|name, _| !["manifest.json", "report.html", "cells.csv"].contains(&name.as_str()));
    files
}

/// A job with windows that a half of the forecast fills.
fn bench() -> Bench {
    let bench = Bench::across();
    bench.set("window", "\"6h\"");
    bench
}

/// The messages of the forecast in two files: those of the first steps and the rest.
fn split(bench: &Bench) -> [&'static str; 2] {
    let messages = passage();
    // octets 19 to 22 of section 4 are the hours from reference to valid time
    let hours = |message: &Vec<u8>| {
        let at = octet(message, 4, 19);
        u32::from_be_bytes(message[at..at + 4].try_into().unwrap())
    };
    let steps: Vec<u32> = messages.iter().map(hours).collect::<BTreeSet<_>>().into_iter().collect();
    assert!(
        steps.len() >= 4 && steps.windows(2).all(|pair| pair[1] - pair[0] == steps[1] - steps[0]),
        "{steps:?}"
    );
    let middle = steps[steps.len() / 2];
    let (first, second): (Vec<_>, Vec<_>) = messages.into_iter().partition(|message| hours(message) < middle);
    bench.put("first.grib2", first.concat());
    bench.put("second.grib2", second.concat());
    ["first.grib2", "second.grib2"]
}

/// Two tallies of a half of the forecast each, with the same regions and windows.
fn halves(bench: &Bench) -> [&'static str; 2] {
    for (file, tally) in split(bench).into_iter().zip(["first.parquet", "second.parquet"]) {
        bench.run(&["tally", "write", "job.toml", "--forecast", file, "--output", tally]).worked();
    }
    ["first.parquet", "second.parquet"]
}

fn derated_from(bench: &Bench, tally: &str) -> Files {
    bench.derate(&["--tally", tally, "--quiet"]).worked();
    tables(bench)
}

#[test]
fn a_tally_gives_the_same_bytes_as_its_forecast() {
    let bench = bench();
    bench.derate(&["--quiet"]).worked();
    let direct = tables(&bench);
    bench.run(&["tally", "write", "job.toml", "-o", "seas.parquet"]).worked();
    assert_eq!(derated_from(&bench, "seas.parquet"), direct);
    let manifest = bench.read("out/manifest.json");
    assert!(manifest.contains("\"role\": \"tally\"") && manifest.contains("tallied_forecasts"), "{manifest}");
}

#[test]
fn merged_halves_give_the_polars_of_the_whole() {
    let bench = bench();
    bench.derate(&["--quiet"]).worked();
    let whole = tables(&bench);
    let [first, second] = halves(&bench);
    bench.run(&["tally", "merge", first, second, "-o", "both.parquet"]).worked();
    // a tally of a tally merged in another order holds the same
    bench.run(&["tally", "merge", second, first, "-o", "turned.parquet"]).worked();
    for tally in ["both.parquet", "turned.parquet"] {
        assert_close(&derated_from(&bench, tally), &whole);
    }
}

/// Equal file names and texts, numbers to 1e-5 of themselves: sums in another order round otherwise.
fn assert_close(found: &Files, expected: &Files) {
    assert!(found.keys().eq(expected.keys()), "{:?} {:?}", found.keys(), expected.keys());
    for ((path, found), expected) in found.iter().zip(expected.values()) {
        let pieces = |bytes: &Option<Vec<u8>>| -> Vec<String> {
            let bytes = bytes.clone().unwrap_or_default();
            String::from_utf8(bytes).unwrap().split([',', '\n', '\r']).map(str::to_owned).collect()
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
    let bench = bench();
    let halves = halves(&bench);
    let refuse = |tallies: [&str; 2], words: &[&str]| {
        let merge = ["tally", "merge", tallies[0], tallies[1], "-o", "wrong.parquet"];
        let told = bench.run(&merge).ended(&[1]).stderr;
        assert!(words.iter().all(|word| told.contains(word)), "{told}");
        assert!(!bench.path("wrong.parquet").exists());
    };
    refuse([halves[0], halves[0]], &["count twice", "first.grib2", "Across"]);
    bench.put("regions.geojson", ACROSS.replace("-52", "-51.5"));
    let write = |window: &str, name: &str| {
        let of = ["--forecast", "second.grib2", "--window", window, "-o", name];
        bench.run(&[&["tally", "write", "job.toml"][..], &of].concat()).worked();
    };
    write("6h", "moved.parquet");
    refuse([halves[0], "moved.parquet"], &["different outlines", "Across", "moved.parquet"]);
    bench.put("regions.geojson", ACROSS);
    write("1d", "long.parquet");
    refuse([halves[1], "long.parquet"], &["overlap", "Across"]);
    bench.put("no.parquet", "PAR1 is not enough");
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

/// Every step in a file of its own, and ends of unequal spacing: the time a step stands for is known once all are together.
#[test]
fn single_steps_merge_to_the_whole() {
    let bench = bench();
    let mut messages: BTreeMap<u32, Vec<u8>> = BTreeMap::new();
    for message in passage() {
        let at = octet(&message, 4, 19);
        let hours = u32::from_be_bytes(message[at..at + 4].try_into().unwrap());
        messages.entry(hours).or_default().extend(message);
    }
    // steps that are not evenly spaced: the third is left out
    let third = *messages.keys().nth(2).unwrap();
    messages.remove(&third);
    bench.put("whole.grib2", messages.values().flatten().copied().collect::<Vec<u8>>());
    bench.derate(&["--forecast", "whole.grib2", "--quiet"]).ended(&[0, 3]);
    let whole = tables(&bench);
    let mut merge: Vec<String> = ["tally", "merge", "-o", "all.parquet"].map(str::to_owned).into();
    for (hours, bytes) in &messages {
        let (file, tally) = (format!("{hours}.grib2"), format!("{hours}.parquet"));
        bench.put(&file, bytes);
        bench.run(&["tally", "write", "job.toml", "--forecast", &file, "-o", &tally]).ended(&[0, 3]);
        merge.push(tally);
    }
    bench.run(&merge.iter().map(String::as_str).collect::<Vec<_>>()).ended(&[0, 3]);
    bench.derate(&["--tally", "all.parquet", "--quiet"]).ended(&[0, 3]);
    assert_close(&tables(&bench), &whole);
    // a file of two steps, and the one that belongs between them
    let [first, .., last] = messages.keys().copied().collect::<Vec<_>>()[..] else { panic!() };
    let three: Vec<u32> = messages.keys().copied().take(3).collect();
    let of = |hours: &[u32]| hours.iter().flat_map(|hour| messages[hour].clone()).collect::<Vec<u8>>();
    bench.put("outer.grib2", of(&[first, three[2], last]));
    bench.put("inner.grib2", of(&[three[1]]));
    for name in ["outer", "inner"] {
        let (file, tally) = (format!("{name}.grib2"), format!("{name}.parquet"));
        bench.run(&["tally", "write", "job.toml", "--forecast", &file, "-o", &tally]).ended(&[0, 3]);
    }
    let told =
        bench.run(&["tally", "merge", "outer.parquet", "inner.parquet", "-o", "no.parquet"]).ended(&[1]);
    assert!(
        told.stderr.contains("do not fit together")
            && told.stderr.contains("tally the forecast files together")
    );
    assert!(!bench.path("no.parquet").exists());
}

#[test]
fn other_engines_merge_alike() {
    let bench = bench();
    let [first, second] = halves(&bench);
    bench.run(&["tally", "merge", first, second, "-o", "own.parquet"]).worked();
    if python(&bench.path("."), ["-c", ENGINES]).is_none() {
        return;
    }
    let own = derated_from(&bench, "own.parquet");
    for engine in ["polars.parquet", "duckdb.parquet"] {
        assert_close(&derated_from(&bench, engine), &own);
        let manifest = bench.read("out/manifest.json");
        assert!(manifest.contains("carries no checksum"), "{manifest}");
    }
    derated_from(&bench, "own.parquet");
    assert!(!bench.read("out/manifest.json").contains("carries no checksum"));
    let told = bench.derate(&["--tally", "twice.parquet"]).ended(&[1]).stderr;
    assert!(told.contains("count twice"), "{told}");
}
