//! Scanning modes (flag table 3.4): from the order of a file to rows south to north and columns west to east.

use crate::base::{Error, Result};
use crate::forecast::spans::Spans;

/// The order in which a message writes its grid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scan {
    columns: usize,
    rows: usize,
    flags: u8,
}

/// Points of one row of a grid, and where they lie in the file; against the grid's order where rows run westward.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stretch {
    pub file: usize,
    pub grid: usize,
    pub length: usize,
}

const WESTWARD: u8 = 0x80;
const NORTHWARD: u8 = 0x40;
const BY_COLUMN: u8 = 0x20;
const ALTERNATING: u8 = 0x10;

impl Scan {
    /// From the grid's size and the octet of flags.
    ///
    /// # Errors
    /// The staggered grids of flags 5 to 8.
    pub fn new(columns: usize, rows: usize, flags: u8) -> Result<Self> {
        if flags & 0x0f != 0 {
            return Err(Error::new("a staggered grid cannot be used")
                .found(format!("scanning mode {flags} (flag table 3.4)"))
                .remedy("convert the file to a plain grid of latitude and longitude"));
        }
        Ok(Self { columns, rows, flags })
    }

    pub fn is_westward(self) -> bool {
        self.flags & WESTWARD != 0
    }

    pub fn is_northward(self) -> bool {
        self.flags & NORTHWARD != 0
    }

    pub fn points(self) -> usize {
        self.columns * self.rows
    }

    /// The places in the file's order of the points looked at, the file's places rising; none where lines alternate or run
    /// along columns, which are read whole.
    pub fn stretches(self, points: &Spans) -> Option<Vec<Stretch>> {
        if self.flags & (BY_COLUMN | ALTERNATING) != 0 {
            return None;
        }
        let mut stretches = Vec::new();
        for span in points.ranges() {
            let mut grid = span.start;
            while grid < span.end {
                let (row, column) = (grid / self.columns, grid % self.columns);
                let length = (self.columns - column).min(span.end - grid);
                let file_row = if self.is_northward() { row } else { self.rows - 1 - row };
                let file_column = if self.is_westward() { self.columns - column - length } else { column };
                stretches.push(Stretch { file: file_row * self.columns + file_column, grid, length });
                grid += length;
            }
        }
        stretches.sort_unstable_by_key(|stretch| stretch.file);
        Some(stretches)
    }

    /// Brings a value for each point from the file's order into the grid's.
    ///
    /// Where lines alternate, the first runs in the direction the flags state and every second one against it (flag
    /// table 3.4, bit 4: "adjacent rows scan in the opposite direction").
    pub fn to_grid_order(self, mut values: Vec<f32>) -> Vec<f32> {
        let by_column = self.flags & BY_COLUMN != 0;
        if self.flags & ALTERNATING != 0 {
            let line = if by_column { self.rows } else { self.columns };
            values.chunks_mut(line).skip(1).step_by(2).for_each(<[f32]>::reverse);
        }
        if by_column {
            let row = |row| values.iter().skip(row).step_by(self.rows);
            values = (0..self.rows).flat_map(row).copied().collect();
        }
        if self.is_westward() {
            values.chunks_mut(self.columns).for_each(<[f32]>::reverse);
        }
        if !self.is_northward() {
            swap_rows(&mut values, self.columns);
        }
        values
    }
}

/// Swaps the first row with the last, the second with the last but one, and so on.
fn swap_rows(values: &mut [f32], columns: usize) {
    let (first, last) = values.split_at_mut(values.len() / columns / 2 * columns);
    for (upper, lower) in first.chunks_exact_mut(columns).zip(last.rchunks_exact_mut(columns)) {
        upper.swap_with_slice(lower);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two rows of three; the expected order is the grid read off by hand, south row first.
    #[test]
    fn every_mode_comes_out_south_to_north_and_west_to_east() {
        // the grid:  north  1 2 3
        //            south  4 5 6
        let expected = [4.0, 5.0, 6.0, 1.0, 2.0, 3.0];
        let modes: [(u8, [f32; 6]); 9] = [
            (0x00, [1.0, 2.0, 3.0, 4.0, 5.0, 6.0]),
            (0x40, [4.0, 5.0, 6.0, 1.0, 2.0, 3.0]),
            (0x80, [3.0, 2.0, 1.0, 6.0, 5.0, 4.0]),
            (0xc0, [6.0, 5.0, 4.0, 3.0, 2.0, 1.0]),
            (0x20, [1.0, 4.0, 2.0, 5.0, 3.0, 6.0]),
            (0x60, [4.0, 1.0, 5.0, 2.0, 6.0, 3.0]),
            (0x10, [1.0, 2.0, 3.0, 6.0, 5.0, 4.0]),
            (0x50, [4.0, 5.0, 6.0, 3.0, 2.0, 1.0]),
            (0x30, [1.0, 4.0, 5.0, 2.0, 3.0, 6.0]),
        ];
        for (flags, written) in modes {
            let scan = Scan::new(3, 2, flags).unwrap();
            assert_eq!(scan.to_grid_order(written.to_vec()), expected, "flags {flags:#x}");
        }
        // three rows of two, the middle one stays
        let odd = Scan::new(2, 3, 0x00).unwrap();
        assert_eq!(odd.to_grid_order(vec![1.0, 2.0, 3.0, 4.0, 5.0, 6.0]), [5.0, 6.0, 3.0, 4.0, 1.0, 2.0]);
        assert!(Scan::new(3, 2, 0x08).is_err());
    }

    /// Of the same grid the middle point of the south row and the two rows' ends: 5, 6 and 1 stand in a row of the grid.
    #[test]
    fn stretches_are_found_where_the_file_has_them() {
        let points = Spans::merged(vec![1..4]);
        let at = |flags| Scan::new(3, 2, flags).unwrap().stretches(&points);
        let stretch = |file, grid, length| Stretch { file, grid, length };
        assert_eq!(at(0x00), Some(vec![stretch(0, 3, 1), stretch(4, 1, 2)]));
        assert_eq!(at(0x40), Some(vec![stretch(1, 1, 2), stretch(3, 3, 1)]));
        assert_eq!(at(0x80), Some(vec![stretch(2, 3, 1), stretch(3, 1, 2)]));
        assert_eq!(at(0x10), None);
    }
}
