//! Whole numbers of any width, packed bit by bit with the first bit highest.

/// A string of bits.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bits<'a>(pub &'a [u8]);

impl Bits<'_> {
    /// The number of up to 32 bits from a bit on; what lies beyond the end reads as zero.
    #[inline]
    pub fn at(self, bit: usize, width: u32) -> u32 {
        if width == 0 {
            return 0;
        }
        let (byte, within) = (bit / 8, bit % 8);
        let word = match self.0.get(byte..).and_then(<[u8]>::first_chunk) {
            Some(eight) => u64::from_be_bytes(*eight),
            None => self.last_word(byte),
        };
        ((word << within) >> (64 - width)) as u32
    }

    #[cold]
    fn last_word(self, byte: usize) -> u64 {
        (byte..byte + 8)
            .fold(0, |word, at| word << 8 | u64::from(self.0.get(at).copied().unwrap_or_default()))
    }

    /// How many of the bits of a range are set.
    pub fn ones(self, from: usize, to: usize) -> usize {
        let mut at = from;
        let mut ones = 0;
        while at < to {
            let width = (to - at).min(32) as u32;
            ones += self.at(at, width).count_ones() as usize;
            at += width as usize;
        }
        ones
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 1011 0010 1111 0000 0000 1111.
    #[test]
    fn numbers_of_any_width_stand_where_they_were_packed() {
        let bits = Bits(&[0xb2, 0xf0, 0x0f]);
        assert_eq!((bits.at(0, 3), bits.at(3, 5), bits.at(6, 7), bits.at(9, 0)), (5, 18, 94, 0));
        assert_eq!((bits.at(0, 24), bits.at(20, 8)), (0x00b2_f00f, 0xf0));
        assert_eq!((bits.ones(0, 24), bits.ones(1, 9), bits.ones(5, 5)), (12, 4, 0));
        let long: Vec<u8> = (0..16).collect();
        assert_eq!(Bits(&long).at(7, 32), 0x0081_0182);
        assert_eq!(Bits(&long).ones(0, 128), (0..16u8).map(|b| b.count_ones() as usize).sum::<usize>());
    }
}
