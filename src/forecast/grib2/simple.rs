//! Simple packing (template 5.0): each number on its own, so that those looked at are all that is read.

use crate::base::Result;
use crate::forecast::grib2::bits::Bits;
use crate::forecast::grib2::octets::Section;
use crate::forecast::grib2::scaled;
use crate::forecast::grib2::unpacking::cannot;
use crate::forecast::spans::Spans;

/// The values at some places; zero at the others.
///
/// # Errors
/// Numbers of more than 32 bits, original values that are no floating-point numbers.
pub(super) fn unpack(section5: Section, payload: &[u8], packed: usize, at: &Spans) -> Result<Vec<f32>> {
    check_original(section5)?;
    let bits = section5.u8(20)?;
    if bits > 32 {
        return Err(cannot(format!("{bits} bits a value")).expected("at most 32"));
    }
    let value = scaled::single(section5)?;
    let (stream, width) = (Bits(payload), u32::from(bits));
    let mut values = vec![0.0; packed];
    for span in at.ranges() {
        let mut bit = span.start * usize::from(bits);
        // by eight, so that the numbers' loads and sums run side by side
        let mut next = || {
            let number = value(stream.at(bit, width) as f32);
            bit += usize::from(bits);
            number
        };
        let (eights, rest) = values[span].as_chunks_mut::<8>();
        eights.iter_mut().for_each(|eight| *eight = std::array::from_fn(|_| next()));
        rest.iter_mut().for_each(|into| *into = next());
    }
    Ok(values)
}

/// Code table 5.1: original values that were integers are not read.
pub(super) fn check_original(section5: Section) -> Result<()> {
    match section5.u8(21)? {
        0 => Ok(()),
        other => Err(cannot(format!("original values of type {other} (code table 5.1)"))
            .expected("0, floating-point numbers")),
    }
}
