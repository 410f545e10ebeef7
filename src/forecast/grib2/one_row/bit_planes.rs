//! The bit planes of a code block of one row (ISO/IEC 15444-1, annex D).
//!
//! A coefficient has two neighbours, left and right: none above, below or across. Columns are bits of a word, so that the
//! coefficients a pass visits are found in it. Numbers are held doubled, with half of the last plane that was decoded
//! added, as they are reconstructed (E.1.1.2 with r = 1/2); halved towards zero that leaves whole planes as they were.

use crate::forecast::grib2::one_row::arithmetic::Arithmetic;
use crate::forecast::grib2::one_row::packets::Block;

/// First context of signs, and of magnitudes (table D.7).
const SIGN: usize = 9;
const MAGNITUDE: usize = 14;
/// Contexts of zero coding by the number of neighbours that are not zero (table D.1, without any above, below or across).
const ALONG: [usize; 3] = [0, 5, 8];
const ACROSS: [usize; 3] = [0, 3, 4];

/// What a sub-band holds of the row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Detail {
    /// LL.
    Low,
    /// HL.
    High,
}

/// Decodes a code block of at most 64 coefficients.
pub(super) fn decode(block: &Block, detail: Detail, into: &mut [i32]) {
    into.fill(0);
    if block.passes == 0 {
        return;
    }
    let mut planes = Planes {
        decoder: Arithmetic::new(block.bytes),
        zero_contexts: if detail == Detail::High { ACROSS } else { ALONG },
        all: u64::MAX >> (64 - into.len().clamp(1, 64)),
        significant: 0,
        negative: 0,
        visited: 0,
        refined: 0,
        values: into,
    };
    let mut plane = block.planes;
    // the first plane has the last of the three passes alone
    for pass in 2..block.passes + 2 {
        if plane == 0 {
            break;
        }
        match pass % 3 {
            0 => planes.significance(plane),
            1 => planes.refinement(plane),
            _ => {
                planes.cleanup(plane);
                plane -= 1;
            }
        }
    }
    into.iter_mut().for_each(|value| *value /= 2);
}

struct Planes<'a, 'v> {
    decoder: Arithmetic<'a>,
    zero_contexts: [usize; 3],
    /// The columns of the block.
    all: u64,
    /// Columns whose coefficient is known not to be zero, and those of them that are below it.
    significant: u64,
    negative: u64,
    /// Columns that the significance pass of this plane has seen.
    visited: u64,
    /// Columns that were refined before.
    refined: u64,
    values: &'v mut [i32],
}

impl Planes<'_, '_> {
    /// Columns beside one that is not zero.
    fn beside(&self) -> u64 {
        (self.significant << 1) | (self.significant >> 1)
    }

    /// Left and right of a column, in a set of columns.
    fn around(set: u64, column: u32) -> [u64; 2] {
        [(set << 1) >> column & 1, (set >> 1) >> column & 1]
    }

    /// D.3.1.
    fn significance(&mut self, plane: u32) {
        let mut ahead = self.all;
        loop {
            let candidates = self.beside() & !self.significant & ahead;
            if candidates == 0 {
                return;
            }
            let column = candidates.trailing_zeros();
            self.visited |= 1 << column;
            self.zero_or_not(column, plane);
            ahead &= (u64::MAX << column) << 1;
        }
    }

    /// D.3.3.
    fn refinement(&mut self, plane: u32) {
        let half = 1 << plane >> 1;
        let beside = self.beside();
        let mut left = self.significant & !self.visited;
        while left != 0 {
            let column = left.trailing_zeros();
            let here = left & left.wrapping_neg();
            left ^= here;
            let context = match (self.refined & here != 0, beside & here != 0) {
                (true, _) => MAGNITUDE + 2,
                (false, true) => MAGNITUDE + 1,
                (false, false) => MAGNITUDE,
            };
            self.refined |= here;
            let grows = self.decoder.decide(context) == 1;
            let value = &mut self.values[column as usize];
            *value += if grows != (*value < 0) { half } else { -half };
        }
    }

    /// D.3.4; columns of four are cut short in one row, so that no run is coded.
    fn cleanup(&mut self, plane: u32) {
        let mut left = self.all & !self.significant & !self.visited;
        while left != 0 {
            let column = left.trailing_zeros();
            left &= left - 1;
            self.zero_or_not(column, plane);
        }
        self.visited = 0;
    }

    /// Decodes whether a coefficient is not zero in this plane, and its sign if so (D.3.2).
    fn zero_or_not(&mut self, column: u32, plane: u32) {
        let [left, right] = Self::around(self.significant, column);
        if self.decoder.decide(self.zero_contexts[(left + right) as usize]) == 0 {
            return;
        }
        let [left_below, right_below] = Self::around(self.negative, column);
        let sum = (left + right) as i64 - 2 * (left_below + right_below) as i64;
        let context = if sum == 0 { SIGN } else { SIGN + 3 };
        let is_negative = self.decoder.decide(context) ^ u32::from(sum < 0) == 1;
        self.significant |= 1 << column;
        let value = 1 << plane | 1 << plane >> 1;
        self.values[column as usize] = if is_negative {
            self.negative |= 1 << column;
            -value
        } else {
            value
        };
    }
}
