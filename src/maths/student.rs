//! Student's t: whether a mean difference stands out of chance.

/// Probability that chance alone brings a mean at least so many standard errors off 0, either way, with so many values:
/// I(n/(n + t²); n/2, 1/2) with n one less than the values (Abramowitz & Stegun 1964, 26.7.1). None of fewer than two values.
pub fn chance(standard_errors: f64, values: usize) -> Option<f64> {
    let freedom = values.checked_sub(1).filter(|freedom| *freedom > 0)? as f64;
    let square = standard_errors * standard_errors;
    if standard_errors.is_nan() {
        return None;
    }
    // so far off that the square has no end
    if !square.is_finite() {
        return Some(0.0);
    }
    Some(puruspe::betai(0.5 * freedom, 0.5, freedom / (freedom + square)))
}

#[cfg(test)]
mod tests {
    use super::chance;

    /// Abramowitz & Stegun (1964), table 26.10: t that 5 % and 1 % exceed either way, to three decimals.
    #[test]
    fn agrees_with_the_table() {
        for (t, values, expected) in
            [(12.706, 2, 0.05), (2.365, 8, 0.05), (3.499, 8, 0.01), (2.093, 20, 0.05)]
        {
            assert!((chance(t, values).unwrap() - expected).abs() < 5e-5, "{t} {values}");
            assert_eq!(chance(-t, values), chance(t, values));
        }
        assert_eq!(chance(0.0, 5), Some(1.0));
        assert_eq!(chance(f64::INFINITY, 5), Some(0.0));
        assert_eq!(chance(2.0, 1), None);
        assert_eq!(chance(f64::NAN, 5), None);
    }
}
