//! Fields a second from a file in memory's page cache to values, by packing.
//!
//! `benches/run-decode` makes the files and prints this beside ecCodes on the same ones; where they have not been made,
//! there is nothing to measure. One thread.

use divan::counter::{BytesCount, ItemsCount};
use divan::{Bencher, black_box};
use roughwater::forecast::index;
use std::path::{Path, PathBuf};

fn main() {
    divan::main();
}

/// The files, by the name of their packing.
fn packings() -> Vec<String> {
    let names = std::fs::read_dir(folder()).into_iter().flatten().flatten();
    let mut packings: Vec<String> = names
        .filter_map(|entry| Some(entry.file_name().to_str()?.strip_suffix(".grib2")?.to_owned()))
        .collect();
    packings.sort();
    if packings.is_empty() {
        eprintln!("no files in {}: run benches/run-decode", folder().display());
    }
    packings
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("target/decode-files")
}

/// Every field of a file, one after the other; returns the number of points.
fn decode(path: &Path) -> usize {
    let index = index(path).expect("a file that ecCodes wrote");
    index.messages.iter().map(|message| black_box(message.decode().expect("a field")).len()).sum()
}

#[divan::bench(args = packings(), sample_count = 7, sample_size = 1)]
fn packing(bencher: Bencher, name: &str) {
    let path = folder().join(format!("{name}.grib2"));
    let bytes = std::fs::metadata(&path).map_or(0, |file| file.len());
    let points = decode(&path);
    bencher
        .counter(BytesCount::new(bytes))
        .counter(ItemsCount::new(points))
        .bench_local(|| decode(black_box(&path)));
}
