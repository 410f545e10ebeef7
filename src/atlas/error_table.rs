//! How far an atlas is from the direct way, in numbers.

use serde::{Deserialize, Serialize};

/// The error in one kind of random sea.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ErrorRow {
    /// How fine the atlas was.
    pub fineness: String,
    /// Seas that it was computed in.
    pub nodes: usize,
    /// What the random seas are made of.
    pub seas: String,
    /// Random seas.
    pub count: usize,
    /// Mean of atlas less direct, itself the mean of two computations, over cells and seas, kn.
    pub mean_kn: f64,
    /// Root of the mean square, kn.
    pub rms_kn: f64,
    /// The same without what is the chance of the direct ones, kn: what the grid itself is wrong by.
    pub own_rms_kn: f64,
    /// What 95 per cent of cells and seas are within, kn.
    pub within_95_kn: f64,
    /// The largest, kn.
    pub largest_kn: f64,
    /// How far two direct computations with other drawings of the same sea lie apart on average, over the root of two: the
    /// chance of a single one, kn.
    pub chance_kn: f64,
}

/// Differences being gathered.
#[derive(Debug, Clone, Default)]
pub(super) struct Differences {
    /// Atlas less each of two direct computations, kn.
    pub(super) kn: Vec<[f64; 2]>,
    pub(super) seas: usize,
}

impl Differences {
    pub(super) fn add(&mut self, other: &Self) {
        self.kn.extend(&other.kn);
        self.seas += other.seas;
    }

    pub(super) fn row(&self, fineness: &str, nodes: usize, seas: &str) -> ErrorRow {
        let count = self.kn.len().max(1) as f64;
        let mean = |of: &dyn Fn(&[f64; 2]) -> f64| self.kn.iter().map(of).sum::<f64>() / count;
        let middle = |[first, second]: &[f64; 2]| 0.5 * (first + second);
        let mut sizes: Vec<f64> = self.kn.iter().map(|pair| middle(pair).abs()).collect();
        sizes.sort_unstable_by(f64::total_cmp);
        let within = |part: f64| sizes.get((part * (sizes.len() as f64 - 1.0)).ceil() as usize).copied();
        ErrorRow {
            fineness: fineness.to_owned(),
            nodes,
            seas: seas.to_owned(),
            count: self.seas,
            mean_kn: mean(&middle),
            rms_kn: mean(&|pair| middle(pair).powi(2)).sqrt(),
            // the chances of two computations have nothing in common, so their product leaves what the atlas has
            own_rms_kn: mean(&|[first, second]| first * second).max(0.0).sqrt(),
            within_95_kn: within(0.95).unwrap_or(0.0),
            largest_kn: within(1.0).unwrap_or(0.0),
            chance_kn: mean(&|[first, second]| 0.5 * (first - second).powi(2)).sqrt(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// By hand: differences of -3, 1, 1, 1 have a mean of 0 and a mean square of 3; two computations that lie 2 apart about them
    /// leave a mean product of 3 - 1, and their chance is the root of 2.
    #[test]
    fn a_row_by_hand() {
        let kn = [1.0, -3.0, 1.0, 1.0].map(|kn| [kn - 1.0, kn + 1.0]).to_vec();
        let row = Differences { kn, seas: 1 }.row("fine", 7, "swell");
        assert_eq!((row.mean_kn, row.largest_kn, row.within_95_kn), (0.0, 3.0, 3.0));
        assert_relative_eq!(row.rms_kn, 3f64.sqrt(), max_relative = 1e-12);
        assert_relative_eq!(row.own_rms_kn, 2f64.sqrt(), max_relative = 1e-12);
        assert_relative_eq!(row.chance_kn, 2f64.sqrt(), max_relative = 1e-12);
    }
}
