//! Piecewise cubic interpolation that keeps the data's rises and falls and has a continuous slope.
//!
//! Source: Fritsch & Butland (1984), SIAM J. Sci. Stat. Comput. 5, slopes as weighted harmonic means;
//! three-point end slopes after Moler (2004), Numerical Computing with MATLAB, section 3.6.

/// The interpolated value at `x` of the points `(xs[i], y(i))`.
///
/// `xs` is strictly increasing with at least three entries and holds `x` within its ends: the caller decides
/// what happens outside. `y` is asked for at most four nodes, so a dear ordinate is computed only where needed.
pub fn interpolate(xs: &[f64], y: impl Fn(usize) -> f64, x: f64) -> f64 {
    let last = xs.len() - 1;
    debug_assert!(last >= 2 && xs[0] <= x && x <= xs[last]);
    piece(xs, y, piece_of(xs, x)).at(x)
}

/// The number of the piece that holds `x`: the first or the last beyond the ends.
pub fn piece_of(xs: &[f64], x: f64) -> usize {
    xs.partition_point(|&node| node <= x).saturating_sub(1).min(xs.len() - 2)
}

/// One piece of an interpolation, from the node `left` to the next: for data that are asked often.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CubicPiece {
    from: f64,
    coefficients: [f64; 4],
}

impl CubicPiece {
    /// The value at an `x` within the piece.
    pub fn at(&self, x: f64) -> f64 {
        let s = x - self.from;
        let [a, b, c, d] = self.coefficients;
        a + s * (b + s * (c + s * d))
    }
}

/// The piece that begins at the node `left`, of points as in [`interpolate`].
pub fn piece(xs: &[f64], y: impl Fn(usize) -> f64, left: usize) -> CubicPiece {
    let last = xs.len() - 1;
    let width = |i: usize| xs[i + 1] - xs[i];
    let (y0, y1) = (y(left), y(left + 1));
    let h = width(left);
    let secant = (y1 - y0) / h;
    let before = (left > 0).then(|| (width(left - 1), (y0 - y(left - 1)) / width(left - 1)));
    let after = (left + 1 < last).then(|| (width(left + 1), (y(left + 2) - y1) / width(left + 1)));

    let (d0, d1) = match (before, after) {
        (Some(b), Some(a)) => (inner_slope(b, (h, secant)), inner_slope((h, secant), a)),
        (None, Some(a)) => (end_slope((h, secant), a), inner_slope((h, secant), a)),
        (Some(b), None) => (inner_slope(b, (h, secant)), end_slope((h, secant), b)),
        (None, None) => (secant, secant),
    };
    let square = (3.0 * secant - 2.0 * d0 - d1) / h;
    let cube = (d0 - 2.0 * secant + d1) / (h * h);
    CubicPiece { from: xs[left], coefficients: [y0, d0, square, cube] }
}

/// The slope at a node between two (width, secant) pairs: zero at a turn, else their weighted harmonic mean.
fn inner_slope((h0, secant0): (f64, f64), (h1, secant1): (f64, f64)) -> f64 {
    if secant0 * secant1 <= 0.0 {
        return 0.0;
    }
    let (w0, w1) = (2.0 * h1 + h0, h1 + 2.0 * h0);
    (w0 + w1) / (w0 / secant0 + w1 / secant1)
}

/// The slope at an end from its own and the next (width, secant) pair, limited so that no overshoot arises.
fn end_slope((h0, secant0): (f64, f64), (h1, secant1): (f64, f64)) -> f64 {
    let slope = ((2.0 * h0 + h1) * secant0 - h0 * secant1) / (h0 + h1);
    if slope * secant0 <= 0.0 {
        0.0
    } else if secant0 * secant1 <= 0.0 && slope.abs() > 3.0 * secant0.abs() {
        3.0 * secant0
    } else {
        slope
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const XS: [f64; 6] = [0.0, 0.15, 0.2, 0.4, 0.45, 1.0];
    const YS: [f64; 6] = [0.0, 0.061, 0.385, 19.134, 12.0, 14.5];

    /// scipy 1.17.1 PchipInterpolator, tests/reference/calm_water.py.
    #[test]
    fn equals_scipy_pchip() {
        let expected = [
            (0.05, 0.005846212582925277),
            (0.16, 0.08391914060320466),
            (0.33, 14.015882675279153),
            (0.41, 18.39206400000001),
            (0.6, 12.050713749060856),
            (0.99, 14.36610067618332),
        ];
        for (x, y) in expected {
            assert_relative_eq!(interpolate(&XS, |i| YS[i], x), y, max_relative = 1e-12);
        }
    }

    #[test]
    fn passes_through_every_node() {
        for (x, y) in XS.iter().zip(YS) {
            assert_relative_eq!(interpolate(&XS, |i| YS[i], *x), y, max_relative = 1e-14);
        }
    }
}
