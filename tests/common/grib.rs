//! GRIB files taken apart into messages, changed and put together again (WMO Manual on Codes I.2).

use roughwater::base::Result;
use roughwater::forecast::Forecast;
use std::fs;
use std::path::Path;

use super::files::{INVENTED, file};

/// Messages of a step of the invented passage, which has 8 steps.
pub const OF_A_STEP: usize = 19;

/// The messages of a file of either edition: octet 8 is the edition, the length stands in octets 5 to 7 of edition 1 and
/// in 9 to 16 of edition 2.
pub fn messages(path: &Path) -> Vec<Vec<u8>> {
    let bytes = fs::read(path).unwrap();
    let mut rest = &bytes[..];
    let mut messages = Vec::new();
    while !rest.is_empty() {
        assert_eq!(&rest[..4], b"GRIB");
        let length = match rest[7] {
            1 => u32::from_be_bytes([0, rest[4], rest[5], rest[6]]) as usize,
            _ => u64::from_be_bytes(rest[8..16].try_into().unwrap()) as usize,
        };
        messages.push(rest[..length].to_vec());
        rest = &rest[length..];
    }
    messages
}

/// The messages of the invented passage.
pub fn passage() -> Vec<Vec<u8>> {
    messages(&file(INVENTED))
}

/// The forecast of some messages, and the folder its file is in.
pub fn open(messages: &[Vec<u8>]) -> (tempfile::TempDir, Result<Forecast>) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("made.grib2");
    fs::write(&path, messages.concat()).unwrap();
    let forecast = Forecast::open(&[path]);
    (dir, forecast)
}

/// An octet of a section of edition 2 by its number, counting from 1, as an index into the file of one message.
pub fn octet(bytes: &[u8], section: u8, octet: usize) -> usize {
    let mut at = 16;
    while bytes[at + 4] != section {
        at += u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap()) as usize;
    }
    at + octet - 1
}
