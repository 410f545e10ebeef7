//! Roots of monotone functions.

/// The root of a monotone function between bounds by bisection, if it changes sign there.
pub fn root((mut low, mut high): (f64, f64), f: impl Fn(f64) -> f64) -> Option<f64> {
    let rising = f(high) > f(low);
    let below = |value: f64| (value < 0.0) == rising;
    if !below(f(low)) || below(f(high)) {
        return None;
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if below(f(middle)) { low = middle } else { high = middle }
    }
    Some(0.5 * (low + high))
}

#[cfg(test)]
mod tests {
    use super::root;

    #[test]
    fn finds_roots_of_rising_and_falling_functions_only_inside_the_bounds() {
        assert!((root((0.0, 2.0), |x| x * x - 2.0).unwrap() - 2f64.sqrt()).abs() < 1e-12);
        assert!((root((0.0, 2.0), |x| 1.0 - x).unwrap() - 1.0).abs() < 1e-12);
        assert_eq!(root((0.0, 1.0), |x| x + 1.0), None);
        assert_eq!(root((0.0, 1.0), |_| f64::NAN), None);
    }
}
