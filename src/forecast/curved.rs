//! The cells of a curvilinear grid: around each point between it and its neighbours.
//!
//! A corner lies in the middle of the four points around it. Beyond the rim, and where a neighbour has no place, the
//! grid is carried on in a straight line from the two nearest points in a row, a column or across; on a regular grid this
//! gives the boxes of a regular grid. A point whose place is that of an earlier one, as models of the whole earth repeat
//! their seams, has no cell; a place that stands more than twice is no place but a filling value.

use std::collections::HashMap;

use crate::forecast::outline::{Outline, Place, beside, mean};

/// A curvilinear grid's points, row by row; some may have no place.
pub(super) struct Curved {
    rows: usize,
    columns: usize,
    places: Vec<Option<Place>>,
    /// Those that repeat an earlier point.
    repeated: Vec<bool>,
}

impl Curved {
    /// Takes places away that stand more than twice.
    pub fn new(rows: usize, columns: usize, mut places: Vec<Option<Place>>) -> Self {
        let key = |place: &Place| place.map(f64::to_bits);
        let mut counts: HashMap<[u64; 2], usize> = HashMap::new();
        places.iter().flatten().for_each(|place| *counts.entry(key(place)).or_default() += 1);
        let mut repeated = vec![false; places.len()];
        let mut met: HashMap<[u64; 2], usize> = HashMap::new();
        for (place, repeated) in places.iter_mut().zip(&mut repeated) {
            let Some(at) = *place else { continue };
            if counts[&key(&at)] > 2 {
                *place = None;
            } else if counts[&key(&at)] == 2 {
                let met = met.entry(key(&at)).or_default();
                *repeated = *met > 0;
                *met += 1;
            }
        }
        Self { rows, columns, places, repeated }
    }

    /// The points' places, without those that are none.
    pub fn places(&self) -> &[Option<Place>] {
        &self.places
    }

    /// The cell of every point that has one.
    pub fn outlines(&self) -> Vec<Outline> {
        let points = self.places.iter().zip(&self.repeated).enumerate();
        points
            .filter_map(|(point, (place, repeated))| {
                let at = (*place).filter(|_| !repeated)?;
                let (row, column) = ((point / self.columns) as i64, (point % self.columns) as i64);
                let corner = |below: i64, left: i64| self.corner(row + below, column + left, at[0]);
                Outline::new(point, at, [corner(-1, -1)?, corner(-1, 0)?, corner(0, 0)?, corner(0, -1)?])
            })
            .collect()
    }

    /// The middle of a point, the next in its row and the two above them, on the turn of a longitude.
    fn corner(&self, row: i64, column: i64, lon_deg: f64) -> Option<Place> {
        let at = |r: i64, c: i64| self.carried_on(row + r, column + c, lon_deg);
        Some(mean([at(0, 0)?, at(0, 1)?, at(1, 1)?, at(1, 0)?]))
    }

    fn place(&self, row: i64, column: i64, lon_deg: f64) -> Option<Place> {
        let inside = (0..self.rows as i64).contains(&row) && (0..self.columns as i64).contains(&column);
        let place = inside.then(|| self.places[row as usize * self.columns + column as usize])??;
        Some(beside(place, lon_deg))
    }

    /// The place of a point, or where it would lie by its neighbours: along rows and columns, else across.
    fn carried_on(&self, row: i64, column: i64, lon_deg: f64) -> Option<Place> {
        if let Some(place) = self.place(row, column, lon_deg) {
            return Some(place);
        }
        let along = |ways: [(i64, i64); 4]| {
            let guesses = ways.into_iter().filter_map(|(r, c)| {
                let (near, far) = (
                    self.place(row + r, column + c, lon_deg)?,
                    self.place(row + 2 * r, column + 2 * c, lon_deg)?,
                );
                Some([2.0 * near[0] - far[0], 2.0 * near[1] - far[1]])
            });
            let guesses: Vec<Place> = guesses.collect();
            let count = guesses.len() as f64;
            let sum = guesses.iter().fold([0.0; 2], |sum, guess| [sum[0] + guess[0], sum[1] + guess[1]]);
            (count > 0.0).then(|| sum.map(|sum| sum / count))
        };
        along([(0, 1), (0, -1), (1, 0), (-1, 0)]).or_else(|| along([(1, 1), (1, -1), (-1, 1), (-1, -1)]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn regular(rows: usize, columns: usize) -> Vec<Option<Place>> {
        let place = |k: usize| [179.0 + (k % columns) as f64, 50.0 + (k / columns) as f64];
        (0..rows * columns).map(|k| Some(beside(place(k), 0.0))).collect()
    }

    /// By hand: points a degree apart have cells of half a degree around them, at the rim and across 180 too.
    #[test]
    fn a_regular_grid_has_boxes() {
        let outlines = Curved::new(3, 4, regular(3, 4)).outlines();
        assert_eq!(outlines.len(), 12);
        for Outline { point, corners } in outlines {
            let [lon, lat] = regular(3, 4)[point].unwrap();
            let expected = [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)];
            for (corner, (east, north)) in corners.iter().zip(expected) {
                assert!((corner[0] - lon - east).abs() < 1e-12 && (corner[1] - lat - north).abs() < 1e-12);
            }
        }
    }

    /// A point without a place has no cell and changes none of its neighbours'.
    #[test]
    fn a_point_without_a_place_has_no_cell() {
        let whole = Curved::new(4, 5, regular(4, 5)).outlines();
        let mut places = regular(4, 5);
        places[7] = None;
        places[19] = None;
        let outlines = Curved::new(4, 5, places).outlines();
        assert_eq!(outlines.len(), 18);
        for outline in outlines {
            for (one, other) in outline.corners.iter().zip(whole[outline.point].corners) {
                assert!((one[0] - other[0]).abs() < 1e-9 && (one[1] - other[1]).abs() < 1e-9);
            }
        }
    }

    /// A seam's points stand twice and count once; a place that stands often is filling.
    #[test]
    fn repeated_places_count_once_and_filling_not_at_all() {
        let mut places = regular(3, 4);
        places[3] = places[0];
        assert_eq!(Curved::new(3, 4, places.clone()).outlines().iter().filter(|o| o.point == 3).count(), 0);
        for k in [4, 8, 11] {
            places[k] = Some([0.0, 0.0]);
        }
        let curved = Curved::new(3, 4, places);
        assert_eq!([4, 8, 11].map(|k| curved.places()[k]), [None; 3]);
    }
}
