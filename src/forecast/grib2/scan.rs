//! Scanning modes (flag table 3.4): from the order of a file to rows south to north and columns west to east.

use crate::error::{Error, Result};

/// The order in which a message writes its grid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scan {
    columns: usize,
    rows: usize,
    flags: u8,
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

    /// Moves values from the file's order to the grid's. As many values as points, or fewer come back.
    ///
    /// Where rows alternate, the first runs in the direction the flags state and every second one against it (flag
    /// table 3.4, bit 4: "adjacent rows scan in the opposite direction").
    pub fn to_grid_order(self, values: Vec<f32>) -> Vec<f32> {
        if self.flags == NORTHWARD {
            return values;
        }
        let run = if self.flags & BY_COLUMN != 0 { self.rows } else { self.columns };
        let mut ordered = vec![f32::NAN; values.len()];
        for (k, value) in values.into_iter().enumerate() {
            let (line, step) = (k / run, k % run);
            let back = self.flags & ALTERNATING != 0 && line % 2 == 1;
            let step = if back { run - 1 - step } else { step };
            let (row, column) = if self.flags & BY_COLUMN != 0 { (step, line) } else { (line, step) };
            let row = if self.is_northward() { row } else { self.rows - 1 - row };
            let column = if self.is_westward() { self.columns - 1 - column } else { column };
            ordered[row * self.columns + column] = value;
        }
        ordered
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
        assert!(Scan::new(3, 2, 0x08).is_err());
    }
}
