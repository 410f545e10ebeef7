//! From message to message of a GRIB1 file, each read by itself: one that cannot be read spoils no other.

use std::fs::File;
use std::io::{BufReader, Read, Seek, SeekFrom};
use std::path::Path;

use crate::base::{Error, Result};
use crate::forecast::grib_frame::{DAMAGED, check_edition, check_end, next_start};

/// The longest message edition 1 can have: 23 bits of blocks of 120 octets.
const LARGE: u32 = 0x80_0000;

/// Where a message is.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub start: u64,
    pub length: u64,
}

/// The messages of a file, in order.
///
/// # Errors
/// A file that cannot be read, or a message that is cut short, does not end in 7777 or is of another edition.
pub(super) fn places(path: &Path) -> Result<Vec<Place>> {
    let failed = |e: std::io::Error| Error::io("read", path, &e);
    let mut file = BufReader::new(File::open(path).map_err(|e| Error::io("open", path, &e))?);
    let size = file.get_ref().metadata().map_err(failed)?.len();
    let mut places = Vec::new();
    let mut at = 0;
    while let Some(start) = next_from(&mut file, at, size).map_err(failed)? {
        let number = places.len() + 1;
        let length = length(&mut file, start, size)
            .map_err(|e| e.file(path).at(format!("message {number}, which starts at byte {start}")))?;
        places.push(Place { start, length });
        at = start + length;
    }
    Ok(places)
}

/// A message's octets.
///
/// # Errors
/// A file that cannot be read, or has become shorter.
pub(super) fn read(path: &Path, place: Place) -> Result<Vec<u8>> {
    let failed = |e: std::io::Error| Error::io("read", path, &e);
    let mut file = File::open(path).map_err(|e| Error::io("open", path, &e))?;
    file.seek(SeekFrom::Start(place.start)).map_err(failed)?;
    let mut bytes = vec![0; place.length as usize];
    file.read_exact(&mut bytes).map_err(failed)?;
    Ok(bytes)
}

fn next_from(file: &mut BufReader<File>, from: u64, size: u64) -> std::io::Result<Option<u64>> {
    file.seek(SeekFrom::Start(from))?;
    next_start(file, from, size)
}

fn length(file: &mut BufReader<File>, start: u64, size: u64) -> Result<u64> {
    let left = size - start;
    let short = |found: String, expected: String| {
        Error::new("the file is cut short").found(found).expected(expected).remedy(DAMAGED)
    };
    let unreadable = |e: std::io::Error| Error::new(format!("cannot read: {e}")).remedy(DAMAGED);
    if left < 8 {
        return Err(short(format!("{left} bytes of the message"), "at least 8".into()));
    }
    let mut head = [0; 8];
    file.seek(SeekFrom::Start(start)).and_then(|_| file.read_exact(&mut head)).map_err(unreadable)?;
    check_edition(head[7], 1)?;
    let stated = u32::from_be_bytes([0, head[4], head[5], head[6]]);
    let length = match stated & LARGE {
        0 => u64::from(stated),
        _ => large(file, start, stated).map_err(unreadable)?,
    };
    if length > left || length < 8 + 28 + 4 {
        return Err(short(
            format!("{left} bytes left in the file"),
            format!("{length} bytes, the length the message states"),
        ));
    }
    let mut tail = [0; 4];
    file.seek(SeekFrom::Start(start + length - 4))
        .and_then(|_| file.read_exact(&mut tail))
        .map_err(unreadable)?;
    check_end(tail)?;
    Ok(length)
}

/// Messages beyond 8 MB count blocks of 120 octets, less the small number that section 4 states in place of its length
/// (ECMWF's convention; from memory of ecCodes, "large GRIB1").
fn large(file: &mut BufReader<File>, start: u64, stated: u32) -> std::io::Result<u64> {
    let mut at = start + 8;
    let three = |file: &mut BufReader<File>, at: u64| -> std::io::Result<u64> {
        let mut bytes = [0; 3];
        file.seek(SeekFrom::Start(at))?;
        file.read_exact(&mut bytes)?;
        Ok(u64::from(u32::from_be_bytes([0, bytes[0], bytes[1], bytes[2]])))
    };
    let mut flags = [0; 1];
    file.seek(SeekFrom::Start(at + 7))?;
    file.read_exact(&mut flags)?;
    at += three(file, at)?;
    for present in [flags[0] & 0x80 != 0, flags[0] & 0x40 != 0] {
        if present {
            at += three(file, at)?;
        }
    }
    let section4 = three(file, at)?;
    let blocks = u64::from(stated & !LARGE) * 120;
    Ok(if section4 < 120 { blocks.saturating_sub(section4) } else { u64::from(stated) })
}
