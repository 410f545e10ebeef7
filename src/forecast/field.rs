//! One quantity over a grid at one time.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::forecast::quantity::Quantity;

/// Fields of one time, decoded.
pub type Fields = BTreeMap<Quantity, Field>;

/// Values over a grid, row by row in the order of the grid's axes; any of them may be missing.
#[derive(Debug, Clone)]
pub struct Field {
    /// Not-a-number where missing, infinite where refused: neither leaves this file.
    values: Vec<f32>,
}

/// The least, the greatest and the missing values of a field.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FieldSummary {
    /// Grid points.
    pub points: usize,
    /// Points without a value.
    pub missing: usize,
    /// Least and greatest value; none where every point is missing.
    pub range: Option<(f32, f32)>,
}

impl Field {
    /// A field from values in grid order; [`None`] is a missing one.
    pub fn from_options(values: impl IntoIterator<Item = Option<f32>>) -> Self {
        Self { values: values.into_iter().map(|v| v.unwrap_or(f32::NAN)).collect() }
    }

    /// A field from decoded values in which a missing one is not a number.
    pub(super) fn from_decoded(values: Vec<f32>) -> Self {
        Self { values }
    }

    /// A field of which no value can be believed.
    pub(super) fn refused(points: usize) -> Self {
        Self { values: vec![f32::INFINITY; points] }
    }

    /// Whether no value of it can be believed.
    pub(super) fn is_wholly_refused(&self) -> bool {
        self.values.iter().all(|v| v.is_infinite())
    }

    /// The number of grid points.
    pub fn len(&self) -> usize {
        self.values.len()
    }

    /// Whether there is no grid point at all.
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// The value at a point, if there is one; none, too, beyond the last point.
    pub fn get(&self, index: usize) -> Option<f32> {
        self.values.get(index).copied().filter(|v| v.is_finite())
    }

    /// All points in grid order.
    pub fn iter(&self) -> impl Iterator<Item = Option<f32>> + '_ {
        self.values.iter().map(|&v| v.is_finite().then_some(v))
    }

    /// Takes a value away that cannot be believed.
    pub(super) fn refuse(&mut self, index: usize) {
        if let Some(value) = self.values.get_mut(index) {
            *value = f32::INFINITY;
        }
    }

    /// Whether there was a value at a point that could not be believed.
    pub fn is_refused(&self, index: usize) -> bool {
        self.values.get(index).is_some_and(|v| v.is_infinite())
    }

    /// Least and greatest value and the count of missing ones.
    pub fn summary(&self) -> FieldSummary {
        let mut missing = 0;
        let mut range: Option<(f32, f32)> = None;
        for value in self.iter() {
            match value {
                None => missing += 1,
                Some(v) => range = Some(range.map_or((v, v), |(lo, hi)| (lo.min(v), hi.max(v)))),
            }
        }
        FieldSummary { points: self.len(), missing, range }
    }
}

/// Two fields are equal where values are equal and the same points are missing.
impl PartialEq for Field {
    fn eq(&self, other: &Self) -> bool {
        self.len() == other.len() && self.iter().eq(other.iter())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn missing_is_a_variant_and_is_counted() {
        let field = Field::from_options([Some(2.0), None, Some(-1.0)]);
        assert_eq!((field.get(0), field.get(1), field.get(9)), (Some(2.0), None, None));
        assert_eq!(field.summary(), FieldSummary { points: 3, missing: 1, range: Some((-1.0, 2.0)) });
        assert_eq!(field, field.clone());
        assert_ne!(field, Field::from_options([Some(2.0), Some(0.0), Some(-1.0)]));
        assert_eq!(Field::from_options([None]).summary().range, None);
    }
}
