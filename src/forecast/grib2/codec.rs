//! Fields packed as the integers of a codec: JPEG 2000 (template 5.40) and CCSDS (5.42).

use grib_aec::{AecFlags, AecParams};
use jpeg2k::{DecodeArea, DecodeParameters, Image};

use crate::base::Result;
use crate::forecast::grib2::octets::Section;
use crate::forecast::grib2::scaled;
use crate::forecast::grib2::unpacking::cannot;
use crate::forecast::spans::Spans;

/// Code blocks are at most so many rows high; areas closer than this share some.
const BLOCK_ROWS: usize = 64;

/// Values of a JPEG 2000 code stream (ISO/IEC 15444-1) at some places; what is at others is not said.
///
/// # Errors
/// A code stream that is damaged, cut short or of several components.
pub(super) fn jpeg2000(section5: Section, payload: &[u8], packed: usize, at: &Spans) -> Result<Vec<f32>> {
    let value = scaled::double(section5)?;
    let value = |sample: &i32| value(f64::from(*sample));
    let mut values = vec![0.0; packed];
    for area in areas(payload, packed, at)? {
        let decoded = DecodeArea::new(area.left, area.top, area.right, area.bottom);
        let strict = DecodeParameters::new().strict(true).decode_area(area.is_part.then_some(decoded));
        let image = Image::from_bytes_with(payload, strict).map_err(cannot)?;
        let [component] = image.components() else {
            return Err(cannot(format!("{} components", image.components().len())).expected("one component"));
        };
        let (width, samples) = ((area.right - area.left) as usize, component.data());
        if samples.len() != width * (area.bottom - area.top) as usize {
            return Err(cannot(format!("{} samples of an area of {area:?}", samples.len())));
        }
        for (row, samples) in (area.top as usize..).zip(samples.chunks(width.max(1))) {
            let start = row * area.image_width as usize + area.left as usize;
            let into = values.get_mut(start..start + width).into_iter().flatten();
            into.zip(samples).for_each(|(into, from)| *into = value(from));
        }
    }
    Ok(values)
}

/// A part of an image, in samples; right and bottom are behind the last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Area {
    left: u32,
    top: u32,
    right: u32,
    bottom: u32,
    image_width: u32,
    /// Whether it is less than the image.
    is_part: bool,
}

/// The areas that hold the places looked at. A lossy image is decoded whole: its wavelet is one of rounded numbers, which
/// need not come out alike from a part.
fn areas(payload: &[u8], packed: usize, at: &Spans) -> Result<Vec<Area>> {
    let size = Section(payload);
    let [right, bottom, left, top] = [size.u32(9)?, size.u32(13)?, size.u32(17)?, size.u32(21)?];
    let width = right.saturating_sub(left) as usize;
    let whole = Area { left, top, right, bottom, image_width: right.saturating_sub(left), is_part: false };
    if width == 0 || (left, top) != (0, 0) || at.is_whole(packed) || !is_reversible(payload) {
        return Ok(vec![Area {
            left: 0,
            top: 0,
            right: right - left.min(right),
            bottom: bottom - top.min(bottom),
            ..whole
        }]);
    }
    let mut areas: Vec<Area> = Vec::new();
    for span in at.ranges() {
        let (first, last) = (span.start, span.end - 1);
        let (from_row, to_row) = (first / width, last / width);
        let columns = if from_row == to_row { (first % width, last % width + 1) } else { (0, width) };
        match areas.last_mut() {
            Some(area) if from_row < area.bottom as usize + BLOCK_ROWS => {
                area.bottom = area.bottom.max(to_row as u32 + 1);
                area.left = area.left.min(columns.0 as u32);
                area.right = area.right.max(columns.1 as u32);
            }
            _ => areas.push(Area {
                left: columns.0 as u32,
                top: from_row as u32,
                right: columns.1 as u32,
                bottom: to_row as u32 + 1,
                is_part: true,
                ..whole
            }),
        }
    }
    Ok(areas)
}

/// Whether the main header names the reversible wavelet (COD: A.6.1), and no other for its component.
fn is_reversible(payload: &[u8]) -> bool {
    let u16_at = |at: usize| payload.get(at..).and_then(<[u8]>::first_chunk).map(|b| u16::from_be_bytes(*b));
    let mut at = 2;
    while let (Some(marker), Some(length)) = (u16_at(at), u16_at(at + 2)) {
        match marker {
            0xff52 => return payload.get(at + 13) == Some(&1),
            0xff53 | 0xff90 => return false,
            _ => at += 2 + usize::from(length),
        }
    }
    false
}

/// Values of a stream of adaptive entropy coding (CCSDS 121.0-B-3) up to the last place looked at: each follows from
/// those before it.
///
/// # Errors
/// Parameters that the code does not have, signed samples, and a stream that is damaged or cut short.
pub(super) fn ccsds(section5: Section, payload: &[u8], packed: usize, at: &Spans) -> Result<Vec<f32>> {
    let value = scaled::double(section5)?;
    let [bits, block] = [section5.u8(20)?, section5.u8(23)?];
    let params = AecParams::new(bits, block, section5.u16(24)?, flags(section5.u8(22)?)?).map_err(cannot)?;
    let samples = grib_aec::decode(payload, at.end().min(packed), params).map_err(cannot)?;
    let octets = params.bytes_per_sample();
    let mut values = vec![0.0; packed];
    for span in at.ranges() {
        let from = samples.get(span.start * octets..span.end * octets).unwrap_or_default();
        let into = values.get_mut(span).into_iter().flatten();
        match octets {
            1 => into.zip(from).for_each(|(into, b)| *into = value(f64::from(*b))),
            2 => into
                .zip(from.as_chunks().0)
                .for_each(|(into, b)| *into = value(u16::from_be_bytes(*b).into())),
            _ => into
                .zip(from.as_chunks().0)
                .for_each(|(into, b)| *into = value(u32::from_be_bytes(*b).into())),
        }
    }
    Ok(values)
}

/// The flags of a stream, with samples to come out in one, two or four octets whatever the writer held them in.
fn flags(written: u8) -> Result<AecFlags> {
    let unsigned = AecFlags::from_bits(written.into()).filter(|flags| !flags.contains(AecFlags::DATA_SIGNED));
    let Some(written) = unsigned else {
        return Err(
            cannot(format!("CCSDS flags {written} in section 5")).expected("those of unsigned samples")
        );
    };
    let of_the_stream =
        [AecFlags::DATA_PREPROCESS, AecFlags::RESTRICTED, AecFlags::PAD_RSI, AecFlags::NOT_ENFORCE];
    let kept = of_the_stream.into_iter().filter(|&flag| written.contains(flag));
    Ok(kept.fold(AecFlags::DATA_MSB, |flags, flag| flags | flag))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    /// Files with images of one row, with the levels of the wavelet and without: those in `grids/` and the tests', a real one.
    const ONE_ROW: [&str; 4] = [
        "grids/south-pacific.grib2",
        "grids/gfswave.20210826.t12z.atlocn.0p16.f000.grib2",
        "tests/data/packing-jpeg.grib2",
        "../shared/data/real/gdaswave.t00z.wcoast.0p16.f000.grib2",
    ];

    /// What of a file lies from each code stream on; the stream knows its own end.
    fn streams(bytes: &[u8]) -> impl Iterator<Item = &[u8]> {
        let starts = bytes.windows(4).enumerate().filter(|(_, four)| *four == [0xff, 0x4f, 0xff, 0x51]);
        starts.map(|(at, _)| &bytes[at..])
    }

    /// A part of a row is what the whole row has there.
    #[test]
    fn parts_of_a_row_come_out_as_in_the_whole() {
        let mut compared = 0;
        for name in ONE_ROW {
            let Ok(bytes) = std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)) else {
                println!("skipped {name}: it is not beside this checkout");
                continue;
            };
            for stream in streams(&bytes).take(8) {
                let count = (Section(stream).u32(9).unwrap() * Section(stream).u32(13).unwrap()) as usize;
                let section5 = &SECTION_5;
                let whole = jpeg2000(Section(section5), stream, count, &Spans::whole(count)).unwrap();
                for part in [0..1.min(count), count / 3..count / 2, count.saturating_sub(70)..count] {
                    let at = Spans::merged(vec![part.clone()]);
                    let found = jpeg2000(Section(section5), stream, count, &at).unwrap();
                    assert_eq!(found[part.clone()], whole[part], "{name}");
                }
                compared += count;
            }
        }
        assert!(compared > 10_000, "{compared}");
    }

    /// Section 5 of JPEG 2000 in which a sample is its own value: reference 0, no scales, 24 bits.
    const SECTION_5: [u8; 23] = [0, 0, 0, 23, 5, 0, 0, 0, 1, 0, 40, 0, 0, 0, 0, 0, 0, 0, 0, 24, 0, 0, 255];
}
