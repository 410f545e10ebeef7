//! One field's values. The only file that touches the `grib` crate, which unpacks sections 5 to 7.

use std::fs::File;
use std::io::{Read, Seek, SeekFrom};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

use grib::Grib2SubmessageDecoder;

use super::guard;
use super::octets::Section;
use super::scan::Scan;
use crate::error::{Error, Result};
use crate::forecast::field::Field;

/// A section's place in its file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Range {
    pub start: u64,
    pub length: u32,
}

/// Where a field's values are, and in what order.
#[derive(Debug, Clone)]
pub struct Stored {
    pub(super) scan: Option<Scan>,
    pub(super) representation: Range,
    pub(super) bitmap: Range,
    pub(super) data: Range,
}

/// Decodes one field into the order of its grid, reading its own bytes only.
///
/// # Errors
/// Data that are damaged or packed in a way that cannot be unpacked; the caller adds file and message.
pub fn decode(path: &Path, stored: &Stored) -> Result<Field> {
    let scan = stored.scan.ok_or_else(|| Error::new("the field's grid cannot be used"))?;
    let mut file = File::open(path).map_err(|e| Error::io("open", path, &e))?;
    let mut section = |range: Range| {
        let mut bytes = vec![0; range.length as usize];
        file.seek(SeekFrom::Start(range.start))
            .and_then(|_| file.read_exact(&mut bytes))
            .map_err(|e| Error::io("read", path, &e))?;
        Ok(bytes)
    };
    let (representation, bitmap) = (section(stored.representation)?, section(stored.bitmap)?);
    let data = section(stored.data)?;
    let points = scan.points();
    guard::check(points, Section(&representation), Section(&bitmap), Section(&data))?;
    let section5 = Section(&representation);
    let values = match section5.u16(10)? {
        _ if section5.u32(6)? == 0 => vec![f32::NAN; points],
        4 => ieee(section5, points, &bitmap, &data)?,
        0 | 40 | 41 | 42 if section5.u8(20)? == 0 => constant(section5.f32(12)?, points, &bitmap),
        _ => unpack(points, representation, bitmap, data)?,
    };
    if let Some(at) = values.iter().position(|v| v.is_infinite()) {
        return Err(Error::new("a value is infinite").found(format!("point {at} in file order")));
    }
    Ok(Field::from_decoded(scan.to_grid_order(values)))
}

/// Unpacks with the `grib` crate; missing values come out as not-a-number.
///
/// A damaged stream that makes the unpacker panic is an error, too.
fn unpack(points: usize, mut representation: Vec<u8>, bitmap: Vec<u8>, data: Vec<u8>) -> Result<Vec<f32>> {
    if Section(&representation).u16(10)? == 41 && representation[19] != 0 {
        representation[19] = guard::png_bits(&data[5..])?;
    }
    let unpacked = catch_unwind(AssertUnwindSafe(|| {
        let decoder = Grib2SubmessageDecoder::new(points, representation, bitmap, data)?;
        Ok::<_, grib::GribError>(decoder.dispatch()?.collect::<Vec<f32>>())
    }));
    let damaged =
        "the message is damaged or packed in a way that is not supported: get the file again, or repack it";
    match unpacked {
        Ok(Ok(values)) if values.len() == points => Ok(values),
        Ok(Ok(values)) => Err(Error::new("the packed data end too early")
            .found(format!("{} points", values.len()))
            .expected(points)
            .remedy(damaged)),
        Ok(Err(e)) => Err(Error::new("the field cannot be unpacked").found(e).remedy(damaged)),
        Err(_) => Err(Error::new("the field cannot be unpacked").found("data without sense").remedy(damaged)),
    }
}

/// A field of no bits: the reference value itself at every point that is there.
///
/// The decimal scale does not apply, as NOAA's writers and readers have it (NCEPLIBS-g2 `jpcunpack`, `simunpack`:
/// "the reference value is the data value") and ecCodes reads; the `grib` crate applies it.
fn constant(reference: f32, points: usize, bitmap: &[u8]) -> Vec<f32> {
    (0..points).map(|k| if is_present(bitmap, k) { reference } else { f32::NAN }).collect()
}

/// Whether section 6 says that a point has a value; all have without a bitmap.
fn is_present(bitmap: &[u8], point: usize) -> bool {
    bitmap[5] != 0 || bitmap[6 + point / 8] >> (7 - point % 8) & 1 == 1
}

/// IEEE floating point (template 5.4), which the crate does not unpack.
fn ieee(representation: Section, points: usize, bitmap: &[u8], data: &[u8]) -> Result<Vec<f32>> {
    let payload = &data[5..];
    let numbers: Vec<f32> = match representation.u8(12)? {
        1 => payload.as_chunks().0.iter().map(|b| f32::from_be_bytes(*b)).collect(),
        2 => payload.as_chunks().0.iter().map(|b| f64::from_be_bytes(*b) as f32).collect(),
        other => {
            return Err(Error::new("a precision of IEEE numbers that cannot be read")
                .found(format!("{other} (code table 5.7)"))
                .expected("1 (32 bits) or 2 (64 bits)"));
        }
    };
    let mut numbers = numbers.into_iter();
    let mut values = vec![f32::NAN; points];
    for (k, value) in values.iter_mut().enumerate().filter(|(k, _)| is_present(bitmap, *k)) {
        *value = numbers.next().ok_or_else(|| Error::new("the message has too little data for its grid"))?;
        if !value.is_finite() {
            return Err(Error::new("a value is not a number").found(format!("point {k} in file order")));
        }
    }
    Ok(values)
}
