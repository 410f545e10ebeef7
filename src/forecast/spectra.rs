//! Directional spectra over a grid at one time.

use std::sync::Arc;

use crate::base::DirectionFrom;
use crate::sea::Spectrum2d;

/// A spectrum at each grid point, in grid order; some points may have none.
#[derive(Debug, Clone)]
pub struct Spectra {
    /// Frequencies, Hz, ascending.
    pub frequency_hz: Arc<[f64]>,
    /// Where the waves of each sector come from.
    pub from: Arc<[DirectionFrom]>,
    /// Point by point, frequency by frequency, m2/(Hz rad); the first value of a point is not a number where there is no
    /// spectrum, and infinite where it was refused.
    density: Vec<f32>,
}

impl Spectra {
    /// From densities in m2/(Hz rad), point by point, frequency by frequency; a point has no spectrum where its first
    /// value is not a number.
    pub(super) fn new(frequency_hz: Arc<[f64]>, from: Arc<[DirectionFrom]>, density: Vec<f32>) -> Self {
        Self { frequency_hz, from, density }
    }

    /// Spectra of which none can be believed.
    pub(super) fn refused(points: usize) -> Self {
        Self::new(Arc::new([]), Arc::new([]), vec![f32::INFINITY; points])
    }

    /// The number of grid points.
    pub fn points(&self) -> usize {
        self.density.len() / self.size()
    }

    /// The spectrum at a point; none on land, and beyond the last point.
    pub fn at(&self, point: usize) -> Option<Spectrum2d> {
        let start = point.checked_mul(self.size())?;
        let density = self.density.get(start..start.checked_add(self.size())?)?;
        density[0].is_finite().then(|| Spectrum2d {
            frequency_hz: self.frequency_hz.clone(),
            from: self.from.clone(),
            density: density.iter().map(|v| f64::from(*v)).collect(),
        })
    }

    /// Takes a spectrum away that cannot be believed.
    pub(super) fn refuse(&mut self, point: usize) {
        let start = point * self.size();
        if let Some(first) = self.density.get_mut(start) {
            *first = f32::INFINITY;
        }
    }

    /// Whether there was a spectrum at a point that could not be believed.
    pub fn is_refused(&self, point: usize) -> bool {
        self.density.get(point * self.size()).is_some_and(|v| v.is_infinite())
    }

    fn size(&self) -> usize {
        (self.frequency_hz.len() * self.from.len()).max(1)
    }
}
