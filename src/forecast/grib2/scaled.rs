//! From packed integer to value: (R + X 2^E) / 10^D (WMO manual on codes 306, volume I.2, regulation 92.9.4).

use crate::base::Result;
use crate::forecast::grib2::octets::Section;

/// In 32 bits, as numbers that were packed bit by bit are unpacked here.
pub(super) fn single(section5: Section) -> Result<impl Fn(f32) -> f32> {
    let reference = section5.f32(12)?;
    let binary = 2f32.powi(section5.i16(16)?.into());
    let decimal = 10f32.powi(-i32::from(section5.i16(18)?));
    Ok(move |x| (reference + x * binary) * decimal)
}

/// In 64 bits, as the integers of a codec are.
pub(super) fn double(section5: Section) -> Result<impl Fn(f64) -> f32> {
    let reference = f64::from(section5.f32(12)?);
    let binary = 2f64.powi(section5.i16(16)?.into());
    let decimal = 10f64.powi(-i32::from(section5.i16(18)?));
    Ok(move |x| ((reference + x * binary) * decimal) as f32)
}
