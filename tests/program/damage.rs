//! Damaged results, tallies, polars, boats, jobs, regions and tracks never bring the program down: the deterministic twin of
//! `tests/forecast/damage.rs`. `for_long` is the same without an end, for all readers together, to be run by hand.

use crate::common::bench::Bench;
use crate::common::files::{file, went_wrong};
use crate::common::random::SplitMix;
use roughwater::atlas;
use roughwater::base::Result;
use roughwater::boat::Boat;
use roughwater::examine::examine;
use roughwater::hydro::wind_frame::WaveSystem;
use roughwater::job::JobFile;
use roughwater::polar::Polar;
use roughwater::region::corridor;
use roughwater::result::{Answer, AuditFilter, Index, Manifest, audit, gpx};
use roughwater::sea::PartitionKind;
use roughwater::tally::TallySet;
use roughwater::{region, report};
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};

/// Numbers and words that stand where others stood.
const WORDS: [&str; 14] = [
    "NaN",
    "inf",
    "-inf",
    "1e400",
    "-1",
    "0",
    "1e-320",
    "9223372036854775807",
    "-9223372036854775808",
    "null",
    "[]",
    "{}",
    "\"\"",
    "9999-99-99T99:99:99Z",
];

/// One of many ways to damage bytes, told by the round; the same round damages alike.
fn damaged(whole: &[u8], round: usize, random: &mut SplitMix) -> Vec<u8> {
    let mut bytes = whole.to_vec();
    // footers stand last, heads first: a third of the damage falls on either
    let reach = whole.len().min(400);
    let at = match round % 3 {
        0 => random.below(reach),
        1 => whole.len() - 1 - random.below(reach),
        _ => random.below(whole.len()),
    };
    match round % 7 {
        0 => bytes[at] ^= 1 << random.below(8),
        1 => bytes[at] = random.below(256) as u8,
        2 => bytes[at..(at + 4).min(whole.len())].fill(0xff),
        3 => bytes.truncate(at),
        4 => drop(bytes.drain(at..(at + 1 + random.below(30)).min(whole.len()))),
        5 => replace_number(&mut bytes, at, WORDS[random.below(WORDS.len())]),
        _ => {
            let piece = whole[at..(at + 60).min(whole.len())].to_vec();
            bytes.splice(at..at, piece);
        }
    }
    bytes
}

/// The number at or behind a place gives way to a word.
fn replace_number(bytes: &mut Vec<u8>, at: usize, word: &str) {
    let part = |byte: &u8| byte.is_ascii_digit() || b".-+".contains(byte);
    let Some(start) = bytes[at..].iter().position(part).map(|after| at + after) else { return };
    let end = bytes[start..].iter().position(|byte| !part(byte)).map_or(bytes.len(), |after| start + after);
    bytes.splice(start..end, word.bytes());
}

/// A file is damaged so many times and read each time; the reader's answer is a value or an error with words.
fn damage(path: &Path, rounds: usize, read: &dyn Fn(&Path) -> Result<()>) {
    let name = path.file_name().unwrap().to_string_lossy().into_owned();
    let whole = fs::read(path).unwrap();
    read(path).unwrap_or_else(|error| panic!("{name} as it is: {error}"));
    let mut random = SplitMix(1);
    let mut refused = 0;
    for round in 0..rounds {
        let bytes = damaged(&whole, round, &mut random);
        fs::write(path, &bytes).unwrap();
        match catch_unwind(AssertUnwindSafe(|| read(path))) {
            Ok(Ok(())) => {}
            Ok(Err(error)) => {
                refused += 1;
                let told = error.to_string();
                assert!(
                    told.lines().any(|line| line.starts_with("  input")),
                    "{name}, round {round}: {told}"
                );
            }
            Err(_) => {
                let kept = std::env::temp_dir().join(format!("panic-{round}-{name}"));
                fs::write(&kept, bytes).unwrap();
                panic!("{name}, round {round}: a panic, see {}", kept.display());
            }
        }
    }
    fs::write(path, whole).unwrap();
    println!("{name}: {rounds} damaged, {refused} refused");
    assert!(refused > 0, "{name}: nothing was noticed");
}

/// A whole result of a small job, with everything a result may hold.
fn result() -> (Bench, PathBuf) {
    let bench = Bench::across();
    bench.derate(&["--audit-format", "parquet", "--cell-audit", "csv", "--quiet"]).worked();
    let folder = bench.path("out");
    (bench, folder)
}

fn look_up(folder: &Path) -> Result<()> {
    let index = Index::read(folder)?;
    let time = "2024-01-15T06:00:00Z".parse().unwrap();
    for lon_deg in [179.0, -179.0, 181.0] {
        if let Answer::Served(served) = index.lookup(-50.0, lon_deg, time) {
            served.iter().try_for_each(|serving| serving.speed_kn(15.0, 90.0).map(drop))?;
        }
    }
    Ok(())
}

#[test]
fn damaged_results() {
    let (_bench, folder) = result();
    let all = AuditFilter::default();
    let page = |_: &Path| report::to_bytes(&folder, &report::Around::nothing()).map(drop);
    damage(&folder.join("index.geojson"), 1500, &|_| look_up(&folder));
    damage(&folder.join("manifest.json"), 1500, &|_| Manifest::read(&folder).map(drop));
    damage(&folder.join("audit.csv"), 700, &|path| audit::read(path, &all).map(drop));
    for name in ["index.geojson", "manifest.json", "audit.csv", "cells.csv"] {
        damage(&folder.join(name), 150, &page);
    }
    let index = Index::read(&folder).unwrap();
    let polar = index.path(&index.regions()[0].polars[0]);
    damage(&polar, 1500, &|_| look_up(&folder));
    fs::copy(file("examples/south-pacific/track.gpx"), folder.join("track.gpx")).unwrap();
    damage(&folder.join("track.gpx"), 1500, &|path| corridor::read(path, 60.0, 300.0).map(drop));
    fs::write(folder.join("sailed.gpx"), SAILED).unwrap();
    damage(&folder.join("sailed.gpx"), 1500, &|path| gpx::read(path).map(drop));
}

/// As `passage --gpx` writes a track.
const SAILED: &str = r#"<?xml version="1.0" encoding="utf-8"?><gpx version="1.1" creator="roughwater"><trk><name>there</name>
<trkseg><trkpt lat="-50" lon="179.5"><time>2030-03-01T00:00:00Z</time><desc>up</desc></trkpt><trkpt lat="-50.25" lon="-179.5">
<time>2030-03-01T03:30:10Z</time></trkpt></trkseg></trk></gpx>"#;

#[test]
fn damaged_tallies() {
    let bench = Bench::across();
    bench.run(&["tally", "write", "job.toml", "-o", "seas.parquet"]).worked();
    damage(&bench.path("seas.parquet"), 3000, &|path| TallySet::read(path).map(drop));
    let whole = fs::read(bench.path("seas.parquet")).unwrap();
    let written = TallySet::read(&bench.path("seas.parquet")).unwrap();
    let mut noticed = 0;
    let places: Vec<usize> = (0..whole.len()).step_by(1 + whole.len() / 2000).collect();
    for &at in &places {
        let mut bytes = whole.clone();
        bytes[at] ^= 1 << (at % 8);
        fs::write(bench.path("flipped.parquet"), bytes).unwrap();
        match TallySet::read(&bench.path("flipped.parquet")) {
            Err(_) => noticed += 1,
            Ok(mut read) => {
                // the name of the maker may be hit
                for part in read.regions.iter_mut().flat_map(|region| region.windows.values_mut()) {
                    part.origin.warnings.retain(|told| !told.contains("no checksum"));
                }
                assert!(read == written, "byte {at}");
            }
        }
    }
    assert!(2 * noticed > places.len(), "{noticed} of {}: rows are most of the file", places.len());
    if let Some(path) = went_wrong("tally-panic.parquet") {
        let told = bench.run(&["tally", "show", path.to_str().unwrap()]).ended(&[1]).stderr;
        assert!(told.contains("tally-panic.parquet") && !told.contains("panicked"), "{told}");
    }
}

/// Its head in JSON, its numbers behind a digest: no damaged atlas is taken for a whole one.
#[test]
fn damaged_atlases() {
    let bench = Bench::foiler();
    bench.put("polar.csv", "twa_deg,10,16\n60,9,11\n110,11,14\n");
    let arguments = ["--polar", "polar.csv", "-o", "atlas", "--finest", "coarse", "--sailed-s", "60"];
    bench.run(&[&["atlas", "boat.toml"], &arguments[..]].concat()).ended(&[0, 3]);
    let folder = bench.path("atlas");
    let swell = WaveSystem { kind: PartitionKind::Swell, hs2_m2: 4.0, tp_s: 9.0, off_wind_deg: 50.0 };
    damage(&folder.join("atlas.bin"), 2000, &|path| {
        let atlas = atlas::read(&folder)?;
        atlas.speeds_kn(|_| vec![swell]).map_err(|error| error.file(path))?;
        atlas.speed(&[swell], 12.0, -80.0).map(drop).map_err(|error| error.file(path))
    });
    let whole = fs::read(folder.join("atlas.bin")).unwrap();
    let numbers = whole.iter().position(|byte| *byte == b'\n').unwrap() + 1;
    for at in (numbers..whole.len()).step_by(1 + whole.len() / 50) {
        let mut bytes = whole.clone();
        bytes[at] ^= 1 << (at % 8);
        fs::write(folder.join("atlas.bin"), bytes).unwrap();
        assert!(atlas::read(&folder).is_err(), "byte {at}");
    }
}

#[test]
fn damaged_inputs() {
    let bench = Bench::across();
    let polar = |path: &Path| Polar::read(path).map(drop);
    damage(&bench.path("polar.csv"), 3000, &polar);
    damage(&bench.path("boat.toml"), 3000, &|path| Boat::read(path).map(drop));
    damage(&bench.path("job.toml"), 3000, &|path| JobFile::read(path).map(drop));
    damage(&bench.path("regions.geojson"), 3000, &|path| region::read(path).map(drop));
    for name in ["polar.csv", "boat.toml", "job.toml", "regions.geojson"] {
        damage(&bench.path(name), 300, &|path| examine(path).map(drop));
    }
}

/// The environment variable that says how many minutes the long run takes.
const MINUTES: &str = "ROUGHWATER_DAMAGE_MINUTES";

/// Damages files of every kind, up to four times over, until the time is up; prints counts. A panic keeps its file.
#[test]
#[ignore = "runs for an hour, or for so many minutes as the environment says"]
fn for_long() {
    let minutes: f64 = std::env::var(MINUTES).map_or(60.0, |text| text.parse().unwrap());
    let until = std::time::Instant::now() + std::time::Duration::from_secs_f64(60.0 * minutes);
    let (_bench, folder) = result();
    let job = Bench::across();
    job.run(&["tally", "write", "job.toml", "-o", "seas.parquet"]).worked();
    fs::copy(file("examples/south-pacific/track.gpx"), folder.join("track.gpx")).unwrap();
    fs::write(folder.join("sailed.gpx"), SAILED).unwrap();
    let all = AuditFilter::default();
    let served = Index::read(&folder).unwrap();
    let polar = served.path(&served.regions()[0].polars[0]);
    type Reader<'r> = Box<dyn Fn(&Path) -> Result<()> + 'r>;
    let mut readers: Vec<(PathBuf, Reader)> = vec![
        (folder.join("index.geojson"), Box::new(|_| look_up(&folder))),
        (folder.join("manifest.json"), Box::new(|_| Manifest::read(&folder).map(drop))),
        (folder.join("audit.csv"), Box::new(|path| audit::read(path, &all).map(drop))),
        (
            folder.join("cells.csv"),
            Box::new(|_| report::to_bytes(&folder, &report::Around::nothing()).map(drop)),
        ),
        (polar, Box::new(|_| look_up(&folder))),
        (folder.join("track.gpx"), Box::new(|path| corridor::read(path, 60.0, 300.0).map(drop))),
        (folder.join("sailed.gpx"), Box::new(|path| gpx::read(path).map(drop))),
        (job.path("seas.parquet"), Box::new(|path| TallySet::read(path).map(drop))),
        (job.path("polar.csv"), Box::new(|path| Polar::read(path).map(drop))),
        (job.path("boat.toml"), Box::new(|path| Boat::read(path).map(drop))),
        (job.path("job.toml"), Box::new(|path| JobFile::read(path).map(drop))),
        (job.path("regions.geojson"), Box::new(|path| region::read(path).map(drop))),
    ];
    for entry in fs::read_dir(file("tests/data")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap();
        if name.ends_with(".md") || fs::metadata(&path).unwrap().len() > 100_000 {
            continue;
        }
        let copy = job.path(name);
        fs::copy(&path, &copy).unwrap();
        readers.push((copy, Box::new(read_forecast)));
    }
    let wholes: Vec<Vec<u8>> = readers.iter().map(|(path, _)| fs::read(path).unwrap()).collect();
    let mut counts = vec![[0_u64; 2]; readers.len()];
    let mut random = SplitMix(u64::from(std::process::id()));
    println!("seed {}", random.0);
    for round in 0.. {
        if std::time::Instant::now() > until {
            break;
        }
        for (((path, read), whole), counts) in readers.iter().zip(&wholes).zip(&mut counts) {
            let mut bytes = whole.clone();
            for again in 0..=random.below(4) {
                bytes = if bytes.len() > 8 { damaged(&bytes, round + 5 * again, &mut random) } else { bytes };
            }
            fs::write(path, &bytes).unwrap();
            match catch_unwind(AssertUnwindSafe(|| read(path))) {
                Ok(done) => counts[usize::from(done.is_err())] += 1,
                Err(_) => {
                    let name = path.file_name().unwrap().to_string_lossy();
                    let kept = std::env::temp_dir().join(format!("panic-{round}-{name}"));
                    fs::write(&kept, bytes).unwrap();
                    panic!("{name}, round {round}: a panic, see {}", kept.display());
                }
            }
            fs::write(path, whole).unwrap();
        }
    }
    for ((path, _), [read, refused]) in readers.iter().zip(&counts) {
        println!("{}: {read} read, {refused} refused", path.file_name().unwrap().to_string_lossy());
    }
    println!("{} in all", counts.iter().flatten().sum::<u64>());
}

/// Indexes a forecast and decodes all that is in it.
fn read_forecast(path: &Path) -> Result<()> {
    let index = roughwater::forecast::index(path)?;
    for message in index.messages.iter().filter(|message| message.quantity.is_some()).take(12) {
        let _ = message.decode();
    }
    index.spectra.iter().take(2).for_each(|spectrum| drop(spectrum.decode()));
    Ok(())
}
