//! Integration over stations at any spacing.

/// Weights w so that the sum of w f is the integral of f over the stations at `x` (growing, at least two).
///
/// Trapezoid rule with the end-slope correction of a cubic Hermite interpolant, h²/12 (f0' - f1'), slopes by
/// central differences (at the ends one-sided): exact for straight lines, third order in the spacing.
pub fn station_weights(x: &[f64]) -> Vec<f64> {
    let last = x.len() - 1;
    let mut weights = vec![0.0; x.len()];
    for i in 0..last {
        let h = x[i + 1] - x[i];
        weights[i] += h / 2.0;
        weights[i + 1] += h / 2.0;
        for (node, sign) in [(i, 1.0), (i + 1, -1.0)] {
            let (left, right) = (node.saturating_sub(1), (node + 1).min(last));
            let share = sign * h * h / 12.0 / (x[right] - x[left]);
            weights[right] += share;
            weights[left] -= share;
        }
    }
    weights
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn integral(x: &[f64], f: impl Fn(f64) -> f64) -> f64 {
        station_weights(x).iter().zip(x).map(|(w, &x)| w * f(x)).sum()
    }

    #[test]
    fn exact_for_straight_lines_at_uneven_spacing() {
        let x = [0.0, 0.1, 0.9, 1.0, 2.5, 4.0];
        assert_relative_eq!(integral(&x, |x| 3.0 - x), 4.0, max_relative = 1e-14);
    }

    /// Integral of sin over half a turn is 2; of x² over 0..1 it is 1/3.
    #[test]
    fn beats_the_trapezoid_rule_on_curves() {
        let even: Vec<f64> = (0..=20).map(|i| f64::from(i) / 20.0).collect();
        assert_relative_eq!(integral(&even, |x| x * x), 1.0 / 3.0, max_relative = 2e-4);
        let cosine: Vec<f64> =
            (0..=20).map(|i| 1.0 - (std::f64::consts::PI * f64::from(i) / 20.0).cos()).collect();
        let half_turn = |x: f64| std::f64::consts::FRAC_PI_2 * (std::f64::consts::FRAC_PI_2 * x).sin();
        assert_relative_eq!(integral(&cosine, half_turn), 2.0, max_relative = 5e-4);
        assert!(station_weights(&cosine).iter().all(|w| *w > 0.0));
    }
}
