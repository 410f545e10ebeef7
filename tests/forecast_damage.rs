//! Damaged files never bring the reader down. Alone in its file: it silences the panic messages of unpackers, which
//! the reader turns into errors.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use roughwater::forecast::index;

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name)
}

static CAUGHT: AtomicUsize = AtomicUsize::new(0);

/// Bytes flipped one at a time over a file of each packing: an error or another field, never a panic that escapes.
#[test]
fn damaged_bytes_never_panic() {
    std::panic::set_hook(Box::new(|_| {
        CAUGHT.fetch_add(1, Ordering::Relaxed);
    }));
    let (mut read, mut refused) = (0, 0);
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("damaged.grib2");
    for packing in ["simple", "complex", "complex_spatial_differencing", "png", "jpeg", "ccsds", "ieee"] {
        let whole = fs::read(data(&format!("packing-{packing}.grib2"))).unwrap();
        for at in 0..whole.len().min(320) {
            for bits in [0xff, 0x01, 0x80] {
                let mut bytes = whole.clone();
                bytes[at] ^= bits;
                fs::write(&path, bytes).unwrap();
                for message in index(&path).map(|index| index.messages).unwrap_or_default() {
                    match message.decode() {
                        Ok(_) => read += 1,
                        Err(_) => refused += 1,
                    }
                }
            }
        }
    }
    let _ = std::panic::take_hook();
    println!("read {read}, refused {refused}, of these {} after a panic", CAUGHT.load(Ordering::Relaxed));
    assert!(read > 0 && refused > 0);
}
