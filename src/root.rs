//! A bracketed root of a continuous function.

/// Where `f` changes sign between `a` and `b`, to `tolerance` in x; `None` if it does not change sign there.
///
/// Source: Chandrupatla (1997), Adv. Eng. Software 28, as laid out by Scherer (2010), Computational Physics,
/// section 6.1.7.3: inverse quadratic steps where they are safe, bisection elsewhere.
pub(crate) fn bracketed_root(f: impl Fn(f64) -> f64, a: f64, b: f64, tolerance: f64) -> Option<f64> {
    let (fa, fb) = (f(a), f(b));
    if fa * fb > 0.0 || (fa * fb).is_nan() {
        return None;
    }
    Some(root_between(f, (a, fa), (b, fb), tolerance))
}

/// As [`bracketed_root`] between ends whose values are known to differ in sign.
pub(crate) fn root_between(
    f: impl Fn(f64) -> f64,
    (mut a, mut fa): (f64, f64),
    (mut b, mut fb): (f64, f64),
    tolerance: f64,
) -> f64 {
    // the first step is the straight line's
    let mut step = (fa / (fa - fb)).clamp(0.0, 1.0);
    for _ in 0..100 {
        let x = a + step * (b - a);
        let fx = f(x);
        let (c, fc);
        if (fx > 0.0) == (fa > 0.0) {
            (c, fc) = (a, fa);
        } else {
            (c, fc) = (b, fb);
            (b, fb) = (a, fa);
        }
        (a, fa) = (x, fx);
        let best = if fa.abs() < fb.abs() { a } else { b };
        let limit = tolerance / (b - a).abs();
        if fx == 0.0 || limit > 0.5 {
            return best;
        }
        let (xi, phi) = ((a - b) / (c - b), (fa - fb) / (fc - fb));
        let inverse_quadratic = phi * phi < xi && (1.0 - phi).powi(2) < 1.0 - xi;
        step = if inverse_quadratic {
            fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        } else {
            0.5
        };
        // a step shorter than the tolerance from a point that inverse quadratic steps led to ends there
        if inverse_quadratic && step * (b - a).abs() < 0.5 * tolerance {
            return a + step * (b - a);
        }
        step = step.clamp(limit, 1.0 - limit);
    }
    if fa.abs() < fb.abs() { a } else { b }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn finds_known_roots() {
        assert_relative_eq!(
            bracketed_root(|x| x * x - 2.0, 0.0, 2.0, 1e-13).unwrap(),
            2f64.sqrt(),
            epsilon = 1e-12
        );
        assert_relative_eq!(bracketed_root(|x| x.powi(9), -1.0, 4.0, 1e-6).unwrap(), 0.0, epsilon = 1e-5);
        assert_eq!(bracketed_root(|x| x * x + 1.0, -1.0, 1.0, 1e-9), None);
    }
}
