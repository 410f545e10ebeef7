//! What frames a message in both editions of GRIB: its mark, its edition and its end.

use std::fs::File;
use std::io::{BufReader, Read};

use crate::base::{Error, Result};

pub(super) const DAMAGED: &str = "the file is damaged or its download broke off: download it again";
const MARK: &[u8; 4] = b"GRIB";

/// Where the next message starts, skipping bulletin headers and padding; the file stands at byte `from` of `size`.
pub(super) fn next_start(file: &mut BufReader<File>, from: u64, size: u64) -> std::io::Result<Option<u64>> {
    let (mut matched, mut at, mut byte) = (0, from, [0]);
    while at < size {
        file.read_exact(&mut byte)?;
        at += 1;
        matched = match byte[0] {
            b if b == MARK[matched] => matched + 1,
            b if b == MARK[0] => 1,
            _ => 0,
        };
        if matched == MARK.len() {
            return Ok(Some(at - MARK.len() as u64));
        }
    }
    Ok(None)
}

/// Refuses a message of another edition than the file's first.
pub(super) fn check_edition(found: u8, expected: u8) -> Result<()> {
    if found == expected {
        return Ok(());
    }
    Err(Error::new("GRIB editions are mixed in one file")
        .found(format!("edition {found}"))
        .expected(format!("edition {expected}, like the first message"))
        .remedy("split the file by edition"))
}

/// Refuses a message that does not end in 7777.
pub(super) fn check_end(last_four: [u8; 4]) -> Result<()> {
    if &last_four == b"7777" {
        return Ok(());
    }
    Err(Error::new("the message does not end where it says")
        .found(format!("{last_four:02x?} in its last four bytes"))
        .expected("7777")
        .remedy(DAMAGED))
}
