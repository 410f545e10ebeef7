//! Big-endian numbers in a section, by octet number as the WMO tables count them (from 1), with bounds checked: each
//! is refused where the section ends before it.

use crate::base::{Error, Result};

/// A whole section, its five octets of header included.
#[derive(Debug, Clone, Copy)]
pub(super) struct Section<'a>(pub &'a [u8]);

impl Section<'_> {
    fn take<const N: usize>(self, octet: usize) -> Result<[u8; N]> {
        let start = octet.checked_sub(1);
        let bytes = start.and_then(|s| self.0.get(s..s + N)).and_then(|b| b.try_into().ok());
        bytes.ok_or_else(|| {
            Error::new(format!("section {} is too short", self.0.get(4).copied().unwrap_or_default()))
                .found(format!("{} octets", self.0.len()))
                .expected(format!("at least {}", octet + N - 1))
                .remedy("the message is damaged: download the file again")
        })
    }

    pub fn u8(self, octet: usize) -> Result<u8> {
        self.take::<1>(octet).map(|[b]| b)
    }

    pub fn u16(self, octet: usize) -> Result<u16> {
        self.take(octet).map(u16::from_be_bytes)
    }

    pub fn u32(self, octet: usize) -> Result<u32> {
        self.take(octet).map(u32::from_be_bytes)
    }

    pub fn f32(self, octet: usize) -> Result<f32> {
        self.take(octet).map(f32::from_be_bytes)
    }

    /// A signed octet: GRIB writes a sign bit and a magnitude, not two's complement.
    pub fn i8(self, octet: usize) -> Result<i8> {
        let raw = self.u8(octet)?;
        let magnitude = (raw & 0x7f) as i8;
        Ok(if raw & 0x80 == 0 { magnitude } else { -magnitude })
    }

    /// Two signed octets, as a sign bit and a magnitude.
    pub fn i16(self, octet: usize) -> Result<i16> {
        let raw = self.u16(octet)?;
        let magnitude = (raw & 0x7fff) as i16;
        Ok(if raw & 0x8000 == 0 { magnitude } else { -magnitude })
    }

    /// Four signed octets, as a sign bit and a magnitude.
    pub fn i32(self, octet: usize) -> Result<i32> {
        let raw = self.u32(octet)?;
        let magnitude = (raw & 0x7fff_ffff) as i32;
        Ok(if raw & 0x8000_0000 == 0 { magnitude } else { -magnitude })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_octets_from_one_and_signs_by_the_top_bit() {
        let section = Section(&[0, 0, 0, 9, 3, 0x80, 0, 0, 5]);
        assert_eq!(section.u32(1), Ok(9));
        assert_eq!(section.i32(6), Ok(-5));
        assert_eq!(section.i16(6), Ok(0));
        assert_eq!(section.i16(8), Ok(5));
        assert_eq!(section.i8(6), Ok(0));
        assert!(section.u16(9).unwrap_err().to_string().contains("section 3 is too short"));
        assert!(section.u8(0).is_err());
    }
}
