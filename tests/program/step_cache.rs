//! Steps tallied before are not decoded again, and nobody sees it in the result.

use crate::common::bench::Bench;
use crate::common::grib::{octet, passage};
use roughwater::base::{Alignment, WindowLength};
use roughwater::files::FileDigest;
use roughwater::forecast::Forecast;
use roughwater::region;
use roughwater::survey::{KeptSteps, survey, survey_keeping};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

const BEFORE: &str = "were tallied before and not decoded";
const DAMAGED: &str = "were damaged";

/// A job that decodes for its tally alone, over a copy of the forecast that lies in the bench.
fn bench() -> Bench {
    let bench = Bench::across();
    bench.put("seas.grib2", passage().concat());
    bench.set("window", "\"6h\"");
    bench.set("forecast", "\"seas.grib2\"");
    bench
}

fn derate(bench: &Bench, more: &[&str]) -> String {
    bench.derate(&[&["--cell-audit", "none", "--surge", "off"], more].concat()).worked().stderr
}

/// The files of kept steps.
fn kept(bench: &Bench) -> Vec<PathBuf> {
    let files = fs::read_dir(bench.cache.path().join("steps")).unwrap();
    let mut files: Vec<PathBuf> = files.map(|file| file.unwrap().path()).collect();
    files.sort();
    files
}

/// The first so many steps of the forecast as messages.
fn first_steps(count: usize) -> Vec<u8> {
    let messages = passage();
    let hours = |message: &Vec<u8>| {
        let at = octet(message, 4, 19);
        u32::from_be_bytes(message[at..at + 4].try_into().unwrap())
    };
    let steps: BTreeSet<u32> = messages.iter().map(hours).collect();
    let last = *steps.iter().nth(count - 1).unwrap();
    messages.into_iter().filter(|message| hours(message) <= last).flatten().collect()
}

#[test]
fn a_second_run_decodes_nothing_and_gives_the_same_bytes() {
    let bench = bench();
    assert!(!derate(&bench, &["--no-cache"]).contains(BEFORE));
    let plain = bench.result();
    assert!(!bench.cache.path().join("steps").exists(), "--no-cache keeps nothing");
    assert!(!derate(&bench, &[]).contains(BEFORE));
    assert_eq!(bench.result(), plain);
    let steps = kept(&bench).len();
    assert!(steps >= 4, "{steps}");
    let told = derate(&bench, &[]);
    assert!(told.contains(&format!("{steps} of {steps} forecast steps {BEFORE}")), "{told}");
    assert_eq!(bench.result(), plain);
    // on another number of threads, and by a tally
    bench.run_on("1", &["derate", "job.toml", "--cell-audit", "none", "--surge", "off", "--quiet"]).worked();
    assert_eq!(bench.result(), plain);
    let ran = bench.run(&["tally", "write", "job.toml", "-o", "seas.parquet"]).worked();
    assert!(ran.stderr.contains(&format!("{steps} of {steps} forecast steps {BEFORE}")), "{ran:?}");
    bench.run(&["tally", "write", "job.toml", "-o", "plain.parquet", "--no-cache"]).worked();
    assert_eq!(fs::read(bench.path("seas.parquet")).unwrap(), fs::read(bench.path("plain.parquet")).unwrap());
}

/// The proof that nothing is decoded: behind the index of the file stands nothing that could be.
#[test]
fn a_kept_step_does_not_touch_its_file() {
    let bench = bench();
    let path = bench.path("seas.grib2");
    let regions = region::read(&bench.path("regions.geojson")).unwrap();
    let digest = FileDigest::of(&path).unwrap().sha256;
    let kept = || {
        let folder = bench.path("kept");
        KeptSteps::within(folder, 1 << 30, &regions, [(path.clone(), digest.clone())].into())
    };
    let six: WindowLength = "6h".parse().unwrap();
    let forecast = Forecast::open(&[&path]).unwrap();
    let tally = |kept: &KeptSteps| {
        survey_keeping(&forecast, &regions, six, Alignment::Midnight, &[], Some(kept), &|_, _| Ok(()))
    };
    let first = tally(&kept()).unwrap();
    assert_eq!(first.reused.steps, 0);
    let length = fs::metadata(&path).unwrap().len() as usize;
    fs::write(&path, vec![0; length]).unwrap();
    let second = tally(&kept()).unwrap();
    assert_eq!(second.reused.steps, forecast.steps().len());
    assert_eq!(second.set, first.set);
    let without = survey(&forecast, &regions, six, Alignment::Midnight, &[], &|_, _| Ok(()));
    assert!(without.is_err() || without.unwrap().set != first.set, "zeros cannot be decoded");
}

#[test]
fn changed_files_and_regions_are_decoded_and_new_steps_alone_are() {
    let bench = bench();
    bench.put("seas.grib2", first_steps(3));
    derate(&bench, &[]);
    assert_eq!(kept(&bench).len(), 3);
    // a file with one step more is another file
    bench.put("seas.grib2", first_steps(4));
    assert!(!derate(&bench, &[]).contains(BEFORE));
    assert_eq!(kept(&bench).len(), 3 + 4);
    let regions = bench.read("regions.geojson");
    bench.put("regions.geojson", regions.replace("[178,", "[178.25,"));
    assert!(bench.read("regions.geojson") != regions);
    assert!(!derate(&bench, &[]).contains(BEFORE));
    // the region as it was: its steps are still there
    bench.put("regions.geojson", &regions);
    assert!(derate(&bench, &[]).contains(&format!("4 of 4 forecast steps {BEFORE}")));
}

#[test]
fn cut_foreign_and_damaged_entries_are_made_anew_with_a_note() {
    let bench = bench();
    derate(&bench, &[]);
    let whole = bench.result();
    let entries = kept(&bench);
    let bytes = |path: &Path| fs::read(path).unwrap();
    let sound: Vec<Vec<u8>> = entries.iter().map(|path| bytes(path)).collect();
    fs::write(&entries[0], &sound[0][..sound[0].len() - 7]).unwrap();
    fs::write(&entries[1], b"a file of someone else").unwrap();
    let mut flipped = sound[2].clone();
    flipped[100] ^= 4;
    fs::write(&entries[2], flipped).unwrap();
    let told = derate(&bench, &[]);
    assert!(told.contains(&format!("kept tallies of 3 forecast steps {DAMAGED}")), "{told}");
    assert_eq!(bench.result(), whole);
    assert_eq!(entries.iter().map(|path| bytes(path)).collect::<Vec<_>>(), sound);
    assert!(!derate(&bench, &[]).contains(DAMAGED));
}

#[test]
fn what_is_kept_stays_within_its_bound() {
    let bench = bench();
    let path = bench.path("seas.grib2");
    let regions = region::read(&bench.path("regions.geojson")).unwrap();
    let files = || [(path.clone(), FileDigest::of(&path).unwrap().sha256)].into();
    let forecast = Forecast::open(&[&path]).unwrap();
    let tally = |most_bytes: u64| {
        let kept = KeptSteps::within(bench.path("kept"), most_bytes, &regions, files());
        survey_keeping(
            &forecast,
            &regions,
            WindowLength::All,
            Alignment::Midnight,
            &[],
            Some(&kept),
            &|_, _| Ok(()),
        )
        .unwrap()
    };
    let held = || {
        let files = fs::read_dir(bench.path("kept")).unwrap();
        files.map(|file| file.unwrap().metadata().unwrap().len()).sum::<u64>()
    };
    let whole = tally(1 << 30);
    let all = held();
    let part = tally(all / 2);
    assert!(held() <= all / 2 && held() > 0);
    let again = tally(all / 2);
    assert!(again.reused.steps > 0 && again.reused.steps < forecast.steps().len(), "{:?}", again.reused);
    assert_eq!((&part.set, &again.set), (&whole.set, &whole.set));
}
