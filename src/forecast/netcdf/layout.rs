//! How a field lies in its file, and how its values come into grid order.

/// How a slice of latitude and longitude lies in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct FieldLayout {
    pub(super) rows: usize,
    pub(super) columns: usize,
    /// Latitude varies slowest.
    pub(super) lat_first: bool,
    pub(super) southward: bool,
    pub(super) westward: bool,
}

impl FieldLayout {
    /// Row and column in the file of a grid point.
    pub(super) fn file_row_column(self, row: usize, column: usize) -> (usize, usize) {
        let row = if self.southward { self.rows - 1 - row } else { row };
        (row, if self.westward { self.columns - 1 - column } else { column })
    }

    /// The place of a grid point in a slice of the file.
    fn in_file(self, row: usize, column: usize) -> usize {
        let (row, column) = self.file_row_column(row, column);
        if self.lat_first { row * self.columns + column } else { column * self.rows + row }
    }

    /// Places in the file in grid order.
    pub(super) fn order(self) -> impl Iterator<Item = usize> {
        (0..self.rows).flat_map(move |row| (0..self.columns).map(move |column| self.in_file(row, column)))
    }
}
