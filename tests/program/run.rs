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
    assert!(bench.read("out/manifest.json").contains("% of the sea: "));
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

#[cfg(unix)]
mod stopped {
    use super::*;
    use std::fs;
    use std::process::{Child, Command, Stdio};
    use std::time::{Duration, Instant};

    /// A bench with a result, and a job that takes long from now on.
    fn at_length() -> Bench {
        let bench = Bench::across();
        bench.derate(&["--quiet"]).worked();
        bench.put("polar.csv", text("polars/sleet-heron-15.csv"));
        bench
    }

    /// The long job, at work: its temporary folder stands beside the result, and it watches for signals.
    fn begun(bench: &Bench) -> Child {
        let mut child = bench
            .command()
            .args(["derate", "job.toml", "--tiles", "1x1", "--quiet"])
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let begun = |entry: std::io::Result<fs::DirEntry>| {
            entry.unwrap().file_name().to_string_lossy().starts_with(".roughwater-")
        };
        while !fs::read_dir(bench.path(".")).unwrap().any(begun) {
            assert!(child.try_wait().unwrap().is_none(), "the job ends before it is stopped");
            std::thread::sleep(Duration::from_millis(5));
        }
        child
    }

    fn signal(child: &Child, name: &str) {
        let id = child.id().to_string();
        assert!(Command::new("kill").args([name, &id]).status().unwrap().success());
    }

    /// SIGINT in any phase of a job: exit code 130 within a second, no result, no temporary folder, an earlier result stays.
    /// Bound: half a second more for a machine that does something else besides.
    #[test]
    fn ctrl_c_leaves_nothing_behind() {
        let bench = at_length();
        let before = bench.snapshot();
        for after_ms in [0, 100, 400, 1000, 2500] {
            let mut child = begun(&bench);
            std::thread::sleep(Duration::from_millis(after_ms));
            let asked = Instant::now();
            signal(&child, "-INT");
            assert_eq!(child.wait().unwrap().code(), Some(130), "after {after_ms} ms");
            let took = asked.elapsed();
            assert!(took < Duration::from_millis(1500), "after {after_ms} ms: {took:?}");
            assert!(bench.snapshot() == before, "after {after_ms} ms: {:?}", bench.snapshot().keys());
        }
    }

    #[test]
    fn a_second_ctrl_c_leaves_nothing_behind_either() {
        let bench = at_length();
        let before = bench.snapshot();
        let mut child = begun(&bench);
        std::thread::sleep(Duration::from_millis(300));
        for _ in 0..2 {
            signal(&child, "-INT");
            std::thread::sleep(Duration::from_millis(50));
        }
        assert_eq!(child.wait().unwrap().code(), Some(130));
        assert!(bench.snapshot() == before, "{:?}", bench.snapshot().keys());
    }

    /// SIGKILL gives no time to clean: the next run does.
    #[test]
    fn the_next_run_cleans_what_a_killed_one_left() {
        let bench = at_length();
        let before = bench.snapshot();
        let mut child = begun(&bench);
        std::thread::sleep(Duration::from_millis(500));
        signal(&child, "-KILL");
        child.wait().unwrap();
        assert!(bench.snapshot().len() > before.len(), "something is left");
        // a run that fails cleans as well, and leaves the result
        bench.derate(&["--forecast", "none.grib2"]).ended(&[1]);
        bench.put("polar.csv", "twa_deg,10,20\n60,10.0,14.0\n110,13.0,25.0\n150,8.5,17.0\n");
        bench.derate(&["--quiet"]).worked();
        assert!(bench.snapshot().keys().eq(before.keys()), "{:?}", bench.snapshot().keys());
    }
}

#[test]
fn what_is_not_of_the_result_stays_in_its_folder() {
    let bench = Bench::across();
    bench.derate(&["--quiet"]).worked();
    bench.put("out/track.gpx", "mine");
    bench.put("out/polars/Across/notes.txt", "mine too");
    bench.derate(&["--quiet", "--tacks", "signed"]).worked();
    assert_eq!(
        [bench.read("out/track.gpx"), bench.read("out/polars/Across/notes.txt")],
        ["mine", "mine too"]
    );
    let result = bench.result();
    assert_eq!(
        result.keys().filter(|name| name.ends_with("-mean.csv")).count(),
        0,
        "the earlier polars are gone"
    );
}
