//! Fields packed as the integers of a codec: JPEG 2000 (template 5.40) and CCSDS (5.42).

use grib_aec::{AecFlags, AecParams};
use jpeg2k::{DecodeParameters, Image};

use crate::base::Result;
use crate::forecast::grib2::octets::Section;
use crate::forecast::grib2::unpacking::cannot;

/// Values of a JPEG 2000 code stream (ISO/IEC 15444-1).
///
/// # Errors
/// A code stream that is damaged, cut short or of several components.
pub(super) fn jpeg2000(section5: Section, payload: &[u8]) -> Result<Vec<f32>> {
    let value = scaling(section5)?;
    let strict = DecodeParameters::new().strict(true);
    let image = Image::from_bytes_with(payload, strict).map_err(cannot)?;
    match image.components() {
        [component] => Ok(component.data().iter().map(|&sample| value(f64::from(sample))).collect()),
        several => Err(cannot(format!("{} components", several.len())).expected("one component")),
    }
}

/// Values of a stream of adaptive entropy coding (CCSDS 121.0-B-3).
///
/// # Errors
/// Parameters that the code does not have, signed samples, and a stream that is damaged or cut short.
pub(super) fn ccsds(section5: Section, payload: &[u8]) -> Result<Vec<f32>> {
    let value = scaling(section5)?;
    let [bits, block] = [section5.u8(20)?, section5.u8(23)?];
    let params = AecParams::new(bits, block, section5.u16(24)?, flags(section5.u8(22)?)?).map_err(cannot)?;
    let samples = grib_aec::decode(payload, section5.u32(6)? as usize, params).map_err(cannot)?;
    Ok(match params.bytes_per_sample() {
        1 => samples.iter().map(|&b| value(f64::from(b))).collect(),
        2 => samples.as_chunks().0.iter().map(|b| value(f64::from(u16::from_be_bytes(*b)))).collect(),
        _ => samples.as_chunks().0.iter().map(|b| value(f64::from(u32::from_be_bytes(*b)))).collect(),
    })
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

/// From integer to value: (R + X 2^E) / 10^D (WMO manual on codes 306, volume I.2, regulation 92.9.4).
fn scaling(section5: Section) -> Result<impl Fn(f64) -> f32> {
    let reference = f64::from(section5.f32(12)?);
    let binary = 2f64.powi(section5.i16(16)?.into());
    let decimal = 10f64.powi(-i32::from(section5.i16(18)?));
    Ok(move |x| ((reference + x * binary) * decimal) as f32)
}
