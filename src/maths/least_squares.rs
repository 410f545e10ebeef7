//! Linear least squares by Householder's reflections, with a ridge that keeps near-dependent columns small.

/// The x that makes |A x - b|² + ridge² |x|² least; `rows` are A's rows with b as their last value, all of one length of at
/// least two.
pub fn least_squares(rows: &[Vec<f64>], ridge: f64) -> Vec<f64> {
    let columns = rows[0].len() - 1;
    let mut a = rows.to_vec();
    for column in 0..columns {
        let mut row = vec![0.0; columns + 1];
        row[column] = ridge;
        a.push(row);
    }
    for column in 0..columns {
        reflect(&mut a, column);
    }
    let mut x = vec![0.0; columns];
    for column in (0..columns).rev() {
        let known: f64 = (column + 1..columns).map(|other| a[column][other] * x[other]).sum();
        x[column] =
            if a[column][column] == 0.0 { 0.0 } else { (a[column][columns] - known) / a[column][column] };
    }
    x
}

/// Turns a column's part below its diagonal to zero.
fn reflect(a: &mut [Vec<f64>], column: usize) {
    let norm = a[column..].iter().map(|row| row[column] * row[column]).sum::<f64>().sqrt();
    if norm == 0.0 {
        return;
    }
    let mut normal: Vec<f64> = a[column..].iter().map(|row| row[column]).collect();
    normal[0] += norm.copysign(normal[0]);
    let square: f64 = normal.iter().map(|v| v * v).sum();
    for other in column..a[0].len() {
        let along: f64 = normal.iter().zip(&a[column..]).map(|(v, row)| v * row[other]).sum();
        for (v, row) in normal.iter().zip(&mut a[column..]) {
            row[other] -= 2.0 * along / square * v;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// The line through (0, 1), (1, 2), (2, 4): slope 3/2, intercept 5/6.
    #[test]
    fn fits_a_line_by_hand() {
        let rows = [vec![1.0, 0.0, 1.0], vec![1.0, 1.0, 2.0], vec![1.0, 2.0, 4.0]];
        let x = least_squares(&rows, 0.0);
        assert_relative_eq!(x[0], 5.0 / 6.0, max_relative = 1e-12);
        assert_relative_eq!(x[1], 1.5, max_relative = 1e-12);
    }

    /// Two equal columns share what one would take; one value: x = b/(1 + ridge²).
    #[test]
    fn a_ridge_shares_and_shrinks() {
        let x = least_squares(&[vec![1.0, 1.0, 2.0]], 1e-6);
        assert_relative_eq!(x[0], 1.0, max_relative = 1e-6);
        assert_relative_eq!(x[1], 1.0, max_relative = 1e-6);
        assert_relative_eq!(least_squares(&[vec![1.0, 2.0]], 1.0)[0], 1.0, max_relative = 1e-12);
    }
}
