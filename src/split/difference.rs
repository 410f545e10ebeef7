//! How far two polars lie apart where they are looked up.
//!
//! Speeds stand heading by heading, wind by wind. The mean square over a column's headings is weighted with the part of
//! time and area that looks the column up. Speeds between two columns lie on a straight line, and so does their
//! difference; the square of a mean is at most the mean of the squares, so the root is at least that of the differences
//! that a router meets.

/// Root mean square difference over the cells, columns weighted by their use.
pub(super) fn rms_kn(a: &[f64], b: &[f64], uses: &[f64]) -> f64 {
    let headings = (a.len() / uses.len().max(1)).max(1);
    let squares = a.iter().zip(b).zip(uses.iter().cycle()).map(|((a, b), used)| used * (a - b).powi(2));
    (squares.sum::<f64>() / headings as f64).sqrt()
}

/// The largest difference of a cell in a column that is looked up.
pub(super) fn largest_kn(a: &[f64], b: &[f64], uses: &[f64]) -> f64 {
    let looked_up = a.iter().zip(b).zip(uses.iter().cycle()).filter(|(_, used)| **used > 0.0);
    looked_up.map(|((a, b), _)| (a - b).abs()).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand, two headings of three columns: (0.75 (0.1² + 0.2²) + 0.25 (0.4² + 0)) / 2 = 0.03875; the column that
    /// differs by 3 is not looked up.
    #[test]
    fn columns_count_as_they_are_looked_up() {
        let (a, b) = ([5.0, 6.0, 7.0, 5.0, 6.0, 7.0], [5.1, 9.0, 7.4, 4.8, 9.0, 7.0]);
        let uses = [0.75, 0.0, 0.25];
        assert!((rms_kn(&a, &b, &uses) - 0.03875_f64.sqrt()).abs() < 1e-12);
        assert!((largest_kn(&a, &b, &uses) - 0.4).abs() < 1e-12);
    }
}
