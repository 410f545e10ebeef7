//! How a run of the main job goes and ends: exit codes, what it says, repeatability, Ctrl-C.

use crate::common::bench::{Bench, Ran};
use crate::common::files::text;
use crate::common::places::region;

/// The tables of the boat's responses are made anew as well: each bench has a cache of its own.
#[test]
fn one_and_two_threads_write_the_same_bytes() {
    let results = ["1", "2"].map(|threads| {
        let bench = Bench::across();
        bench.run_on(threads, &["derate", "job.toml"]).worked();
        bench.result()
    });
    assert!(results[0] == results[1]);
}

#[test]
fn a_run_from_kept_tables_writes_the_same_bytes() {
    let bench = Bench::across();
    Ran::of(bench.command().env("ROUGHWATER_CACHE", "").args(["derate", "job.toml"])).worked();
    let without = bench.result();
    for run in ["first", "second"] {
        bench.derate(&[]).worked();
        assert!(bench.result() == without, "{run} run with a cache");
    }
}

/// Half of the region lies north of the grid, which ends at 30 S.
#[test]
fn declared_gaps_exit_with_three() {
    let bench = Bench::across();
    bench.put("regions.geojson", region("Edge", [178.0, 182.0, -32.0, -28.0]));
    bench.derate(&[]).ended(&[3]);
    assert!(bench.read("out/manifest.json").contains("of the sea is covered"));
    let before = bench.result();
    bench.derate(&["--strict"]).ended(&[1]);
    assert!(bench.result() == before);
}

#[test]
fn quiet_says_nothing() {
    let bench = Bench::new();
    let ran = bench.derate(&["--quiet"]);
    assert_eq!((ran.code, ran.stdout.as_str(), ran.stderr.as_str()), (0, "", ""));
}

/// SIGINT in the middle of a job: exit code 130, no result, no temporary folder, and an earlier result stays.
#[cfg(unix)]
#[test]
fn ctrl_c_leaves_nothing_behind() {
    let bench = Bench::across();
    bench.derate(&["--quiet"]).worked();
    bench.put("polar.csv", text("polars/sleet-heron-15.csv"));
    let before = bench.snapshot();
    let mut child =
        bench.command().args(["derate", "job.toml", "--tiles", "1x1", "--quiet"]).spawn().unwrap();
    // once its temporary folder stands beside the result, the program is at work and watches for signals
    let begun = |entry: std::io::Result<std::fs::DirEntry>| {
        entry.unwrap().file_name().to_string_lossy().starts_with(".roughwater-")
    };
    while !std::fs::read_dir(bench.path(".")).unwrap().any(begun) {
        assert!(child.try_wait().unwrap().is_none(), "the job ends before it is stopped");
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    std::thread::sleep(std::time::Duration::from_secs(1));
    std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(130));
    assert!(bench.snapshot() == before);
}
