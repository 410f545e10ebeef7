//! Damaged files never bring the reader down, whatever the format.
//!
//! The test is alone in a process: the peak of memory and the hook for panics are the process's, and the panics of
//! unpackers, which the reader turns into errors, are silenced.

use std::fs;
use std::path::Path;
use std::process::Command;

use crate::common::files::data;
use crate::common::heap::largest_bytes;
use crate::common::random::SplitMix;
use roughwater::forecast::index;

/// No file here is larger than 30 kB, and none of its fields larger than 400 points; a file format's chunk cache and
/// window of decompression are some MB.
const MOST_BYTES: usize = 64 << 20;

/// The most memory the process has held, where the system tells: C decoders do not ask the allocator above.
fn peak_kb() -> Option<usize> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?.trim().trim_end_matches(" kB").parse().ok()
}

#[derive(Default)]
struct Counts {
    read: usize,
    refused: usize,
}

/// Indexes the bytes as a file and decodes all that is in it.
fn try_all(path: &Path, bytes: &[u8], counts: &mut Counts) {
    fs::write(path, bytes).unwrap();
    let Ok(index) = index(path) else {
        counts.refused += 1;
        return;
    };
    let fields = index.messages.iter().filter(|m| m.quantity.is_some()).take(12).map(|m| m.decode().is_ok());
    let spectra = index.spectra.iter().map(|m| m.decode().is_ok());
    for ok in fields.chain(spectra) {
        counts.read += usize::from(ok);
        counts.refused += usize::from(!ok);
    }
}

#[test]
fn damaged_files_never_panic_or_fill_memory() {
    let alone = ["--exact", "damage::alone", "--ignored", "--nocapture"];
    let output = Command::new(std::env::current_exe().unwrap()).args(alone).output().unwrap();
    let told = String::from_utf8_lossy(&output.stdout);
    println!("{told}");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(told.contains("1 passed"), "the test of that name has run");
}

/// Bytes flipped, numbers set to extremes, files cut and doubled: an error or other values, no panic that escapes, and
/// no memory for what a header claims beyond reason.
#[test]
#[ignore = "run in a process of its own by the test above"]
fn alone() {
    std::panic::set_hook(Box::new(|_| {}));
    let packings = ["simple", "complex", "complex_spatial_differencing", "png", "jpeg", "ccsds", "ieee"];
    let grib2 = packings.map(|packing| format!("packing-{packing}.grib2"));
    let others = [
        "ecmwf-ensemble.grib2",
        "noaa-order.grib1",
        "ecmwf-ensemble.grib1",
        "cf-classic.nc",
        "ww3.nc",
        "ensemble.nc",
        "spectra.nc",
        "spectra.grib1",
        "spectra-member.grib2",
    ];
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("damaged");
    let mut random = SplitMix(1);
    for name in grib2.iter().map(String::as_str).chain(others) {
        let whole = fs::read(data(name)).unwrap();
        let mut counts = Counts::default();
        for round in 0..1000 {
            let mut bytes = whole.clone();
            // headers come first in most formats: half of the damage falls there
            let reach = if round % 2 == 0 { whole.len().min(400) } else { whole.len() };
            let at = random.below(reach - 4);
            match round % 5 {
                0 => bytes[at] ^= 1 << random.below(8),
                1 => bytes[at] = random.below(256) as u8,
                2 => bytes[at..at + 4].fill(0xff),
                3 => bytes[at..at + 4].copy_from_slice(&0x7fff_fff0u32.to_be_bytes()),
                _ => bytes.truncate(at),
            }
            try_all(&path, &bytes, &mut counts);
        }
        println!("{name}: read {}, refused {}, peak {:?} kB", counts.read, counts.refused, peak_kb());
        assert!(counts.read > 0 && counts.refused > 0, "{name}");
        let largest = largest_bytes();
        assert!(largest < MOST_BYTES, "{name}: an allocation of {largest} bytes");
        let peak = peak_kb().map_or(0, |kb| kb << 10);
        assert!(peak < 2 * MOST_BYTES, "{name}: {peak} bytes held");
    }
    let _ = std::panic::take_hook();
}
