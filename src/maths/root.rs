//! A bracketed root of a continuous function.

/// The last step of a search, in tolerances: with inverse quadratic steps its own error is at most a fifth of it where
/// the slope changes by as much within the step.
const SHORT_STEP: f64 = 5.0;

/// Where `f` changes sign between `a` and `b`, to `tolerance` in x; `None` if it does not change sign there.
///
/// Source: Chandrupatla (1997), Adv. Eng. Software 28, as laid out by Scherer (2010), Computational Physics,
/// section 6.1.7.3: inverse quadratic steps where they are safe, bisection elsewhere.
pub fn bracketed_root(f: impl Fn(f64) -> f64, a: f64, b: f64, tolerance: f64) -> Option<f64> {
    let (fa, fb) = (f(a), f(b));
    if fa * fb > 0.0 || (fa * fb).is_nan() {
        return None;
    }
    Some(root_between(f, (a, fa), (b, fb), a + fa / (fa - fb) * (b - a), tolerance))
}

/// As [`bracketed_root`] between ends whose values are known to differ in sign, from a first guess between them.
pub fn root_between(
    f: impl Fn(f64) -> f64,
    (mut a, mut fa): (f64, f64),
    (mut b, mut fb): (f64, f64),
    guess: f64,
    tolerance: f64,
) -> f64 {
    let mut x = guess;
    for _ in 0..100 {
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
        if !inverse_quadratic {
            x = 0.5 * (a + b);
            continue;
        }
        let step = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb);
        // such a step leaves an error far smaller than itself
        if step * (b - a).abs() < SHORT_STEP * tolerance {
            return a + step * (b - a);
        }
        x = a + step.clamp(limit, 1.0 - limit) * (b - a);
    }
    if fa.abs() < fb.abs() { a } else { b }
}

/// The value at zero of the inverse parabola through three points, where it lies between the first two.
pub fn inverse_parabola((x0, f0): (f64, f64), (x1, f1): (f64, f64), (x2, f2): (f64, f64)) -> Option<f64> {
    let x = x0 * f1 * f2 / ((f0 - f1) * (f0 - f2))
        + x1 * f0 * f2 / ((f1 - f0) * (f1 - f2))
        + x2 * f0 * f1 / ((f2 - f0) * (f2 - f1));
    (x > x0.min(x1) && x < x0.max(x1)).then_some(x)
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
