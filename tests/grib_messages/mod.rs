//! GRIB2 files taken apart into messages, changed and put together again.

// each test file uses the part it needs
#![allow(dead_code)]

use roughwater::base::Result;
use roughwater::forecast::Forecast;
use std::fs;
use std::path::{Path, PathBuf};

/// A file of the repository.
pub fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// The messages of the invented passage: 8 steps of 19.
pub fn passage() -> Vec<Vec<u8>> {
    let bytes = fs::read(file("grids/south-pacific.grib2")).unwrap();
    let mut rest = &bytes[..];
    let mut messages = Vec::new();
    while !rest.is_empty() {
        let length = u64::from_be_bytes(rest[8..16].try_into().unwrap()) as usize;
        messages.push(rest[..length].to_vec());
        rest = &rest[length..];
    }
    messages
}

/// The forecast of some messages, and the folder its file is in.
pub fn open(messages: &[Vec<u8>]) -> (tempfile::TempDir, Result<Forecast>) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("made.grib2");
    fs::write(&path, messages.concat()).unwrap();
    let forecast = Forecast::open(&[path]);
    (dir, forecast)
}

/// An octet of a section by its number, counting from 1, as an index into the file of one message.
pub fn octet(bytes: &[u8], section: u8, octet: usize) -> usize {
    let mut at = 16;
    while bytes[at + 4] != section {
        at += u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap()) as usize;
    }
    at + octet - 1
}
