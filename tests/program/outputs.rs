//! Where a program writes may be full or closed, and what it prints may hold what a file smuggled in.

use crate::common::bench::{Bench, Ran};
use crate::common::places::region;
use std::fs::File;
use std::process::Stdio;

/// A device that is always full, where the system has one.
fn full() -> Option<File> {
    let full = File::options().write(true).open("/dev/full").ok();
    if full.is_none() {
        println!("skipped: no /dev/full here");
    }
    full
}

/// Every command that prints, on a bench with a result.
const COMMANDS: [&[&str]; 12] = [
    &["derate", "job.toml"],
    &["derate", "none.toml"],
    &["inspect", "boat.toml"],
    &["response", "boat.toml", "--speed-kn", "8", "--hs-m", "2", "--tp-s", "8", "--wave-length-m", "50"],
    &["compare", "boat.toml", "boat.toml", "--polar", "polar.csv", "--hs-m", "2", "--tp-s", "8"],
    &["audit", "out"],
    &["lookup", "out", "50S", "179E", "2024-01-15T06:00"],
    &["lookup", "out", "0", "0", "2024-01-15T06:00"],
    &["tally", "write", "job.toml", "-o", "seas.parquet"],
    &["report", "out"],
    &["completions", "bash"],
    &["--help"],
];

#[test]
fn full_and_closed_outputs_never_panic() {
    let Some(full) = full() else { return };
    let bench = Bench::across();
    bench.derate(&["--quiet"]).worked();
    for arguments in COMMANDS {
        for (out, err) in [(true, false), (false, true), (true, true)] {
            let to = |is_full: bool| if is_full { full.try_clone().unwrap().into() } else { Stdio::piped() };
            let output = bench.command().args(arguments).stdout(to(out)).stderr(to(err)).output().unwrap();
            let told = String::from_utf8_lossy(&output.stderr);
            assert!(!told.contains("panicked"), "{arguments:?}: {told}");
            assert!(
                output.status.code().is_some_and(|code| code < 100),
                "{arguments:?}: {:?}",
                output.status
            );
        }
    }
    #[cfg(unix)]
    for arguments in COMMANDS {
        let quoted: Vec<String> = arguments.iter().map(|word| format!("'{word}'")).collect();
        let program = assert_cmd::cargo::cargo_bin("roughwater");
        for closed in [">&-", "2>&-", ">&- 2>&-"] {
            let line = format!("{} {} {closed}", program.display(), quoted.join(" "));
            let ran = Ran::of(bench.command_of("sh").args(["-c", &line]));
            assert!(ran.code < 100 && !ran.stderr.contains("panicked"), "{line}: {ran:?}");
        }
    }
}

#[test]
fn an_answer_that_cannot_be_printed_says_that_the_result_is_there() {
    let Some(full) = full() else { return };
    let bench = Bench::across();
    for (arguments, written) in [
        (&["derate", "job.toml"][..], "out/manifest.json"),
        (&["tally", "write", "job.toml", "-o", "seas.parquet"], "seas.parquet"),
        (&["report", "out", "--output", "page.html"], "page.html"),
    ] {
        let output = bench.command().args(arguments).stdout(full.try_clone().unwrap()).output().unwrap();
        let told = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(1), "{told}");
        let folder = written.split('/').next().unwrap();
        assert!(told.contains("standard output") && told.contains(&format!("whole in {folder}")), "{told}");
        assert!(bench.path(written).exists());
    }
}

/// A spreadsheet runs what begins like a formula; a terminal what begins with an escape.
#[test]
fn texts_of_files_are_neutral_in_every_output() {
    let bench = Bench::across();
    bench.put("regions.geojson", region("=HYPERLINK(1)", [178.0, 182.0, -52.0, -49.0]));
    let boat = bench.read("boat.toml");
    let name = boat.lines().find(|line| line.starts_with("name")).unwrap();
    bench.put("boat.toml", boat.replace(name, "name = \"Ev\\u001b[2Jil \\u202ekcab\""));
    let ran = bench.derate(&["--members", "together"]).worked();
    let acts = |text: &str| text.chars().any(|c| c == '\u{1b}' || c == '\u{202e}');
    let mut told = vec![("derate", ran.stdout.clone())];
    let csv = bench.read("out/audit.csv");
    assert!(csv.contains("\r\n'=HYPERLINK(1),") && !csv.contains("\n=HYPERLINK"), "{}", &csv[..600]);
    for arguments in [
        &["audit", "out", "--region", "=HYPERLINK(1)", "--format", "csv"][..],
        &["audit", "out", "--group-by", "region", "--format", "csv"],
        &["audit", "out", "--format", "json"],
        &["inspect", "boat.toml"],
        &["inspect", "boat.toml", "--format", "json"],
    ] {
        let out = bench.run(arguments).worked().stdout;
        assert!(!out.lines().any(|line| line.starts_with('=')), "{arguments:?}: {out}");
        told.push((arguments[0], out));
    }
    for name in ["manifest.json", "report.html", "audit.csv", "cells.csv", "index.geojson"] {
        told.push((name, bench.read(&format!("out/{name}"))));
    }
    for (what, text) in told {
        assert!(!acts(&text), "{what}: {text}");
    }
    // a name that turns the text behind it names files, too
    bench.put("regions.geojson", region("Box\u{202e}gpj", [178.0, 182.0, -52.0, -49.0]));
    let told = bench.derate(&[]).ended(&[1]).stderr;
    assert!(told.contains("\\u{202e}") && !acts(&told), "{told}");
}

/// An error stays readable, whatever stands in the file.
#[test]
fn huge_and_wild_fields_are_cut_in_errors() {
    let bench = Bench::across();
    let huge = "9".repeat(1 << 20);
    for polar in [
        format!("twa_deg,8,14\n50,4.6,{huge}\n90,5,6\n"),
        "twa_deg,8,14\n50,4,\u{1b}]0;x\u{7}\n90,5,6\n".into(),
    ] {
        bench.put("polar.csv", polar);
        let told = bench.derate(&[]).ended(&[1]).stderr;
        assert!(told.len() < 2000 && told.contains("line 2, column 3"), "{} bytes", told.len());
        assert!(!told.contains(['\u{1b}', '\u{7}']), "{told}");
    }
    bench.put("regions.geojson", format!("{{\"type\": \"{huge}\"}}"));
    bench.put("polar.csv", "twa_deg,10,20\n60,10.0,14.0\n110,13.0,25.0\n");
    let told = bench.derate(&[]).ended(&[1]).stderr;
    assert!(told.len() < 2000 && told.contains("regions.geojson"), "{} bytes", told.len());
}
