//! One field's values. The only file that touches the `grib` crate, which unpacks PNG and run lengths.

use std::fs::File;
use std::io::{Read, Seek, SeekFrom};
use std::path::Path;

use grib::Grib2SubmessageDecoder;

use crate::base::{Error, Result, guarded};
use crate::forecast::field::Field;
use crate::forecast::grib2::bits::Bits;
use crate::forecast::grib2::octets::Section;
use crate::forecast::grib2::scan::{Scan, Stretch};
use crate::forecast::grib2::unpacking::{DAMAGED, cannot};
use crate::forecast::grib2::{codec, groups, guard, simple};
use crate::forecast::spans::Spans;

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

/// Decodes one field into the order of its grid at the points looked at, reading its own bytes only; the other points come
/// out as missing.
///
/// # Errors
/// Data that are damaged or packed in a way that cannot be unpacked, as far as they are looked at; the caller adds file and
/// message.
pub fn decode(path: &Path, stored: &Stored, points: &Spans) -> Result<Field> {
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
    guard::check(scan.points(), Section(&representation), Section(&bitmap), Section(&data))?;
    let placed = Placed::new(scan, points, &bitmap);
    let packed = Section(&representation).u32(6)? as usize;
    let at = Spans::merged(placed.packed.clone());
    let values = if at.is_empty() { Vec::new() } else { values(representation, data, packed, &at)? };
    if let Some(at) = infinite(&values, &at) {
        return Err(Error::new("a value is infinite").found(format!("number {} of section 7", at + 1)));
    }
    Ok(Field::from_decoded(placed.to_grid(scan, &values, &bitmap)))
}

/// The first place looked at whose value is infinite.
fn infinite(values: &[f32], at: &Spans) -> Option<usize> {
    at.ranges().find_map(|span| {
        let values = values.get(span.clone())?;
        // all are looked over without a branch, as hardly ever one is
        let any = values.iter().fold(false, |any, value| any | value.is_infinite());
        any.then(|| values.iter().position(|value| value.is_infinite()).map(|k| span.start + k)).flatten()
    })
}

/// The packed values at some places; what is at others is not said.
fn values(representation: Vec<u8>, data: Vec<u8>, packed: usize, at: &Spans) -> Result<Vec<f32>> {
    let section5 = Section(&representation);
    let values = match section5.u16(10)? {
        4 => ieee(section5, &data)?,
        0 | 40 | 41 | 42 if section5.u8(20)? == 0 => vec![constant(section5)?; packed],
        0 => simple::unpack(section5, &data[5..], packed, at)?,
        2 | 3 => groups::unpack(section5, &data[5..], packed, at)?,
        40 => codec::jpeg2000(section5, &data[5..], packed, at)?,
        42 => codec::ccsds(section5, &data[5..], packed, at)?,
        _ => unpack(packed, representation, data)?,
    };
    check_count(values.len(), packed)?;
    Ok(values)
}

/// Where the points looked at lie in the file's order, and which packed values are theirs.
struct Placed {
    stretches: Vec<Stretch>,
    /// The packed values of each stretch.
    packed: Vec<std::ops::Range<usize>>,
    /// Whether the stretches are of the grid's order; else there is one, the whole in the file's.
    in_grid_order: bool,
}

impl Placed {
    fn new(scan: Scan, points: &Spans, bitmap: &[u8]) -> Self {
        let stretches = scan.stretches(points);
        let in_grid_order = stretches.is_some();
        let whole = Stretch { file: 0, grid: 0, length: scan.points() };
        let stretches = stretches.unwrap_or_else(|| vec![whole]);
        let (mut counted, mut before) = (0, 0);
        let packed = stretches.iter().map(|&Stretch { file, length, .. }| match bits_of(bitmap) {
            None => file..file + length,
            Some(bits) => {
                before += bits.ones(counted, file);
                let start = before;
                before += bits.ones(file, file + length);
                counted = file + length;
                start..before
            }
        });
        let packed = packed.collect();
        Self { stretches, packed, in_grid_order }
    }

    /// Sets packed values on the points that have one by section 6, not-a-number on all others.
    fn to_grid(&self, scan: Scan, values: &[f32], bitmap: &[u8]) -> Vec<f32> {
        let mut grid = vec![f32::NAN; scan.points()];
        for (stretch, packed) in self.stretches.iter().zip(&self.packed) {
            let into = &mut grid[stretch.grid..stretch.grid + stretch.length];
            let from = values.get(packed.clone()).unwrap_or_default();
            match bits_of(bitmap) {
                None => into.iter_mut().zip(from).for_each(|(into, from)| *into = *from),
                Some(bits) => spread(into, from, bits, stretch.file),
            }
            if self.in_grid_order && scan.is_westward() {
                into.reverse();
            }
        }
        if self.in_grid_order { grid } else { scan.to_grid_order(grid) }
    }
}

/// Sets values one after the other on the points whose bit is set, of the bits from one on. Land and sea come in runs, so points
/// are taken 32 at a time.
fn spread(into: &mut [f32], mut from: &[f32], bits: Bits, first: usize) {
    for (word, into) in into.chunks_mut(32).enumerate() {
        let width = into.len() as u32;
        let mut set = bits.at(first + 32 * word, width) << (32 - width);
        let (own, rest) = from.split_at(from.len().min(set.count_ones() as usize));
        from = rest;
        if own.len() == into.len() {
            into.copy_from_slice(own);
            continue;
        }
        for value in own {
            let place = set.leading_zeros();
            into[place as usize] = *value;
            set &= !(0x8000_0000 >> place);
        }
    }
}

/// The bitmap of section 6, where it has one.
fn bits_of(bitmap: &[u8]) -> Option<Bits<'_>> {
    (bitmap[5] == 0).then(|| Bits(&bitmap[6..]))
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

fn check_count(found: usize, expected: usize) -> Result<()> {
    if found == expected {
        return Ok(());
    }
    let error = Error::new("the packed data are not of the field's size").found(format!("{found} points"));
    Err(error.expected(expected).remedy(DAMAGED))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: from the second bit on stand a zero, 35 ones and a zero, so that points 0 and 36 have no value.
    #[test]
    fn values_are_spread_over_the_points_whose_bit_is_set() {
        let bits = Bits(&[0b0011_1111, 0xff, 0xff, 0xff, 0b1111_1010]);
        let mut into = [f32::NAN; 37];
        let values: Vec<f32> = (0..37).map(|value| value as f32).collect();
        spread(&mut into, &values, bits, 1);
        assert!(into[0].is_nan() && into[36].is_nan() && into[35] == 34.0, "{into:?}");
        assert_eq!(into[1..35], values[..34]);
        // values that run out leave the rest
        let mut into = [f32::NAN; 37];
        spread(&mut into, &values[..2], bits, 1);
        assert!(into[2] == 1.0 && into[3..].iter().all(|value| value.is_nan()));
    }

    /// The first infinite value that is looked at.
    #[test]
    fn an_infinite_value_is_found_where_it_is_looked_at() {
        let values = [f32::INFINITY, 0.0, 1.0, f32::NEG_INFINITY, f32::NAN];
        assert_eq!(infinite(&values, &Spans::of([1, 2, 4])), None);
        assert_eq!(infinite(&values, &Spans::of([1, 2, 3])), Some(3));
        assert_eq!(infinite(&values, &Spans::whole(5)), Some(0));
    }

    /// Sections 5 and 7 of each field of a file of the tests.
    fn sections(name: &str) -> Vec<(Vec<u8>, Vec<u8>)> {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name);
        let bytes = std::fs::read(path).unwrap();
        let (mut at, mut representation, mut found) = (0, Vec::new(), Vec::new());
        while at + 4 < bytes.len() {
            if bytes[at..].starts_with(b"GRIB") {
                at += 16;
            } else if bytes[at..].starts_with(b"7777") {
                at += 4;
            } else {
                let length = Section(&bytes[at..]).u32(1).unwrap() as usize;
                match bytes[at + 4] {
                    5 => representation = bytes[at..at + length].to_vec(),
                    7 => found.push((representation.clone(), bytes[at..at + length].to_vec())),
                    _ => {}
                }
                at += length;
            }
        }
        found
    }

    /// Numbers that are unpacked here are those of the `grib` crate, bit by bit.
    #[test]
    fn simple_and_complex_packing_come_out_as_the_crate_unpacks_them() {
        let mut compared = 0;
        for name in
            ["packing-simple.grib2", "packing-complex.grib2", "packing-complex_spatial_differencing.grib2"]
        {
            for (representation, data) in sections(name) {
                let packed = Section(&representation).u32(6).unwrap() as usize;
                let ours =
                    values(representation.clone(), data.clone(), packed, &Spans::whole(packed)).unwrap();
                let theirs = unpack(packed, representation, data).unwrap();
                let bits = |values: &[f32]| values.iter().map(|v| v.to_bits()).collect::<Vec<_>>();
                assert_eq!(bits(&ours), bits(&theirs), "{name}");
                compared += packed;
            }
        }
        assert!(compared > 300, "{compared}");
    }
}
