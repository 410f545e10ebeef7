//! Cubic convolution on a uniform axis (Keys 1981, a = -1/2): exact for parabolas, no system to solve.

use crate::maths::axis::AxisPlace;

/// Nodes with their weights.
pub(crate) type Nodes = [(usize, f64); 4];

/// The four nodes around a place; at an end of the axis the missing node is extrapolated from its three neighbours.
pub fn cubic(place: AxisPlace, count: usize) -> Nodes {
    let [before, low, high, after] = weights(place.upper_weight);
    let i = place.lower;
    if i == 0 {
        return [(0, low + 3.0 * before), (1, high - 3.0 * before), (2, after + before), (0, 0.0)];
    }
    if i + 2 == count {
        return [(i - 1, before + after), (i, low - 3.0 * after), (i + 1, high + 3.0 * after), (i, 0.0)];
    }
    [(i - 1, before), (i, low), (i + 1, high), (i + 2, after)]
}

/// As [`cubic`] for an axis at whose ends the function is mirrored, as over wave angles from 0 to pi.
pub fn mirrored(place: AxisPlace, count: usize) -> Nodes {
    let [before, low, high, after] = weights(place.upper_weight);
    let i = place.lower;
    let last = count - 1;
    let beyond = if i + 2 > last { 2 * last - (i + 2) } else { i + 2 };
    [(i.abs_diff(1), before), (i, low), (i + 1, high), (beyond, after)]
}

/// The base function itself, at a distance from its node in steps.
pub fn base(distance: f64) -> f64 {
    let d = distance.abs();
    match d {
        _ if d < 1.0 => (1.5 * d - 2.5) * d * d + 1.0,
        _ if d < 2.0 => ((2.5 - 0.5 * d) * d - 4.0) * d + 2.0,
        _ => 0.0,
    }
}

fn weights(t: f64) -> [f64; 4] {
    let (t2, t3) = (t * t, t * t * t);
    [
        0.5 * (-t + 2.0 * t2 - t3),
        0.5 * (2.0 - 5.0 * t2 + 3.0 * t3),
        0.5 * (t + 4.0 * t2 - 3.0 * t3),
        0.5 * (t3 - t2),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::maths::axis::Axis;
    use approx::assert_relative_eq;
    use std::f64::consts::PI;

    fn read(axis: &Axis, f: impl Fn(f64) -> f64, x: f64, nodes: fn(AxisPlace, usize) -> Nodes) -> f64 {
        nodes(axis.place(x), axis.len()).iter().map(|(node, weight)| weight * f(axis.node(*node))).sum()
    }

    /// Keys (1981): the method reproduces second-degree polynomials; his rule at the ends keeps that.
    #[test]
    fn parabolas_are_exact_to_the_ends() {
        let axis = Axis::covering(1.0, 3.0, 0.5);
        let parabola = |x: f64| 2.0 - 3.0 * x + 0.7 * x * x;
        for x in [1.0, 1.1, 1.45, 2.0, 2.3, 2.9, 3.0] {
            assert_relative_eq!(read(&axis, parabola, x, cubic), parabola(x), max_relative = 1e-12);
        }
    }

    #[test]
    fn mirrored_ends_see_an_even_function() {
        let axis = Axis::covering(0.0, PI, PI / 60.0);
        for x in [0.0, 0.01, 0.03, 1.0, PI - 0.02, PI] {
            assert_relative_eq!(read(&axis, f64::cos, x, mirrored), x.cos(), epsilon = 2e-5);
        }
    }
}
