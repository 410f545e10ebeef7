//! One field's values. The only file that touches the `grib` crate, which unpacks simple and complex packing and PNG.

use std::fs::File;
use std::io::{Read, Seek, SeekFrom};
use std::path::Path;

use grib::Grib2SubmessageDecoder;

use crate::base::{Error, Result, guarded};
use crate::forecast::field::Field;
use crate::forecast::grib2::codec;
use crate::forecast::grib2::guard;
use crate::forecast::grib2::octets::Section;
use crate::forecast::grib2::scan::Scan;
use crate::forecast::grib2::unpacking::{DAMAGED, cannot};

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
    let packed = section5.u32(6)? as usize;
    let values = match section5.u16(10)? {
        _ if packed == 0 => Vec::new(),
        4 => ieee(section5, &data)?,
        0 | 40 | 41 | 42 if section5.u8(20)? == 0 => vec![constant(section5)?; packed],
        40 => codec::jpeg2000(section5, &data[5..])?,
        42 => codec::ccsds(section5, &data[5..])?,
        _ => unpack(packed, representation, data)?,
    };
    check_count(values.len(), packed)?;
    if let Some(at) = values.iter().position(|v| v.is_infinite()) {
        return Err(Error::new("a value is infinite").found(format!("number {} of section 7", at + 1)));
    }
    Ok(Field::from_decoded(scan.to_grid_order(spread(values, points, &bitmap))))
}

/// A section 6 without a bitmap: all packed values are asked for.
const NO_BITMAP: [u8; 6] = [0, 0, 0, 6, 6, 255];

/// Unpacks with the `grib` crate; values that the packing itself marks as missing come out as not-a-number.
///
/// A damaged stream that makes the unpacker panic is an error, too.
fn unpack(packed: usize, mut representation: Vec<u8>, data: Vec<u8>) -> Result<Vec<f32>> {
    if Section(&representation).u16(10)? == 41 && representation[19] != 0 {
        representation[19] = guard::png_bits(&data[5..])?;
    }
    let unpacked = guarded(|| {
        let decoder = Grib2SubmessageDecoder::new(packed, representation, NO_BITMAP.to_vec(), data)?;
        Ok::<_, grib::GribError>(decoder.dispatch()?.collect::<Vec<f32>>())
    });
    unpacked.ok_or_else(|| cannot("data without sense"))?.map_err(cannot)
}

/// The value of a field of no bits: the reference value itself.
///
/// The decimal scale does not apply, as NOAA's writers and readers have it (NCEPLIBS-g2 `jpcunpack`, `simunpack`:
/// "the reference value is the data value") and ecCodes reads; the `grib` crate applies it.
fn constant(section5: Section) -> Result<f32> {
    section5.f32(12)
}

/// IEEE floating point (template 5.4), which the crate does not unpack.
fn ieee(representation: Section, data: &[u8]) -> Result<Vec<f32>> {
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
    match numbers.iter().position(|number| !number.is_finite()) {
        None => Ok(numbers),
        Some(k) => Err(Error::new("a value is not a number").found(format!("number {} of section 7", k + 1))),
    }
}

/// Sets packed values on the points that have one by section 6, not-a-number on the others.
fn spread(packed: Vec<f32>, points: usize, bitmap: &[u8]) -> Vec<f32> {
    if bitmap[5] != 0 {
        return packed;
    }
    let mut values = vec![f32::NAN; points];
    let mut packed = packed.into_iter();
    for (eight, &bits) in values.chunks_mut(8).zip(&bitmap[6..]) {
        let present = eight.iter_mut().enumerate().filter(|(k, _)| bits << k & 0x80 != 0);
        present.zip(&mut packed).for_each(|((_, value), from)| *value = from);
    }
    values
}

fn check_count(found: usize, expected: usize) -> Result<()> {
    if found == expected {
        return Ok(());
    }
    let error = Error::new("the packed data are not of the field's size").found(format!("{found} points"));
    Err(error.expected(expected).remedy(DAMAGED))
}
