//! Claims of a header that the data must bear out before anything is allocated for them.

use crate::base::{Error, Result};
use crate::forecast::grib2::bits::Bits;
use crate::forecast::grib2::groups::Groups;
use crate::forecast::grib2::octets::Section;

/// Checks section 5 against sections 6 and 7, before a decoder believes it. Sections are whole, headers included.
///
/// # Errors
/// Counts that disagree, a reference value that is no number, images of another size than their count, group lengths
/// that do not add up, and bit depths that cannot be read without loss.
pub(super) fn check(points: usize, representation: Section, bitmap: Section, data: Section) -> Result<()> {
    let encoded = representation.u32(6)? as usize;
    check_count(points, encoded, bitmap)?;
    // a field without a value has no image and no groups, whatever its packing
    let template = representation.u16(10)?;
    if encoded == 0 || matches!(template, 4 | 200) {
        return Ok(());
    }
    let reference = representation.f32(12)?;
    if !reference.is_finite() {
        return Err(Error::new("the reference value is not a number").at("section 5").found(reference));
    }
    let bits = usize::from(representation.u8(20)?);
    let payload = data.0.get(5..).unwrap_or_default();
    match template {
        _ if bits == 0 && !matches!(template, 2 | 3) => Ok(()),
        0 => expect_at_least(payload.len(), (encoded * bits).div_ceil(8)),
        2 | 3 => check_groups(encoded, representation, payload),
        40 => check_jpeg2000(encoded, payload),
        41 => check_png(encoded, payload),
        _ => Ok(()),
    }
}

fn check_count(points: usize, encoded: usize, bitmap: Section) -> Result<()> {
    let present = match bitmap.u8(6)? {
        0 => {
            let bits = bitmap.0.get(6..).unwrap_or_default();
            expect_at_least(bits.len(), points.div_ceil(8))?;
            Bits(bits).ones(0, points)
        }
        255 => points,
        other => {
            return Err(Error::new("the bitmap is of a kind that is not in the file")
                .at("section 6")
                .found(format!("indicator {other} (code table 6.0)")));
        }
    };
    if present != encoded {
        return Err(Error::new("the number of values does not fit the grid")
            .at("section 5")
            .found(format!("{encoded} values"))
            .expected(format!("{present} points that are not missing, of {points}"))
            .remedy("the message is damaged: download the file again"));
    }
    Ok(())
}

fn expect_at_least(found: usize, needed: usize) -> Result<()> {
    if found >= needed {
        return Ok(());
    }
    Err(Error::new("the message has too little data for its grid")
        .found(format!("{found} octets"))
        .expected(format!("{needed}"))
        .remedy("the message is damaged: download the file again"))
}

/// Complex packing: the group lengths must add up to the number of values (templates 5.2, 5.3, 7.2, 7.3).
fn check_groups(encoded: usize, section: Section, payload: &[u8]) -> Result<()> {
    let groups = section.u32(32)? as usize;
    let length_bits = section.u8(47)?;
    if length_bits > 32 || groups == 0 {
        return Err(Error::new("complex packing without groups").found(format!("{groups} groups")));
    }
    let groups = Groups::read(section, payload)?;
    let total = (0..groups.count).fold(0, |total: u64, group| total.saturating_add(groups.length(group)));
    if total != encoded as u64 {
        return Err(Error::new("the groups of complex packing do not add up")
            .found(format!("{total} values in {} groups", groups.count))
            .expected(encoded)
            .remedy("the message is damaged: download the file again"));
    }
    Ok(())
}

/// The image size in a JPEG 2000 code stream's SIZ marker (ISO/IEC 15444-1, A.5.1).
fn check_jpeg2000(encoded: usize, payload: &[u8]) -> Result<()> {
    if !payload.starts_with(&[0xff, 0x4f, 0xff, 0x51]) {
        return Err(Error::new("the data are no JPEG 2000 code stream").at("section 7"));
    }
    let stream = Section(payload);
    let [x, y, x0, y0] = [stream.u32(9)?, stream.u32(13)?, stream.u32(17)?, stream.u32(21)?];
    let area = u64::from(x.saturating_sub(x0)) * u64::from(y.saturating_sub(y0));
    let depth = (stream.u8(43)? & 0x7f) + 1;
    if depth > 24 {
        return Err(Error::new("a JPEG 2000 image deeper than 24 bits would lose digits").found(depth));
    }
    expect_image(area, encoded)
}

/// The image size and depth in a PNG's IHDR chunk (ISO/IEC 15948, 11.2.2).
fn check_png(encoded: usize, payload: &[u8]) -> Result<()> {
    if payload.get(12..16) != Some(b"IHDR") {
        return Err(Error::new("the data are no PNG image").at("section 7"));
    }
    let image = Section(payload);
    expect_image(u64::from(image.u32(17)?) * u64::from(image.u32(21)?), encoded)?;
    let depth = png_bits(payload)?;
    if !matches!(depth, 8 | 16 | 24 | 32) {
        return Err(Error::new("a PNG image of this depth cannot be unpacked rightly")
            .found(format!("{depth} bits a point"))
            .expected("8, 16, 24 or 32")
            .remedy("repack the file, for example in simple packing"));
    }
    Ok(())
}

/// Bits a point of a PNG image: the depth of a sample times the samples of its colour type.
///
/// The image's own depth governs: writers state the depth before they rounded it up in section 5.
pub(super) fn png_bits(payload: &[u8]) -> Result<u8> {
    let image = Section(payload);
    let samples = match image.u8(26)? {
        0 | 3 => 1,
        4 => 2,
        2 => 3,
        6 => 4,
        other => return Err(Error::new("a PNG colour type that does not exist").found(other)),
    };
    Ok(image.u8(25)?.saturating_mul(samples))
}

fn expect_image(area: u64, encoded: usize) -> Result<()> {
    if area == encoded as u64 {
        return Ok(());
    }
    Err(Error::new("the packed image is not of the field's size")
        .at("section 7")
        .found(format!("{area} points"))
        .expected(encoded)
        .remedy("the message is damaged: download the file again"))
}
