//! How much of the energy that its sections radiate, each as if it were alone, leaves a hull of finite length.
//!
//! Sections whose velocities V run along the hull faster in phase than the radiated waves do cancel each other's waves. Far
//! away the sections are a line of sources: damping between two of them goes with J0(k_e d), d their distance (as for point
//! absorbers of wave energy: Budal 1977, Evans 1980; from memory), and a long line in phase must give the strips' own sum. Hence
//! (derived here)
//!
//! share = k_e/2 double integral of s(x) s*(x') J0(k_e (x - x')) dx dx' / integral of |s|² dx, s = sqrt(b33) V,
//!
//! and J0(z) is the mean of exp(i z cos theta) over theta, which makes the numerator a mean of squares, never negative. A section
//! stands for a uniform piece of the line, as long as its weight.
//! Radiation is that at zero speed with the frequency of encounter, as everywhere in strip theory. In head waves k_e exceeds
//! k, and the share lies within a tenth of 1 in waves up to 1.5 lengths of the invented boats; in waves that she overtakes slowly
//! k_e is far below k, and hardly anything leaves.

use num_complex::Complex64;
use std::f64::consts::PI;

/// One section as a source.
#[derive(Debug, Clone, Copy)]
pub(super) struct Source {
    /// Where, m.
    pub(super) x_m: f64,
    /// Its weight in an integral over the length, m.
    pub(super) weight: f64,
    /// sqrt(b33) V.
    pub(super) strength: Complex64,
}

/// Angles beyond what the line's length over the wave length asks for.
const SPARE_ANGLES: f64 = 8.0;

/// The share that leaves as waves of number `k_e` (1/m); zero where nothing radiates.
pub(super) fn leaving_share(sources: &[Source], k_e: f64) -> f64 {
    let own: f64 = sources.iter().map(|s| s.weight * s.strength.norm_sqr()).sum();
    let (Some(aft), Some(fore)) = (sources.first(), sources.last()) else { return 0.0 };
    if own <= 0.0 {
        return 0.0;
    }
    // the midpoint rule errs by J of twice the number of angles, which is nothing once that exceeds k_e times the length
    let length_m = fore.x_m - aft.x_m + 0.5 * (fore.weight + aft.weight);
    let angles = (0.5 * k_e * length_m + SPARE_ANGLES).ceil();
    let towards = |index: usize| {
        let along = k_e * (PI * (index as f64 + 0.5) / angles).cos();
        let seen = |s: &Source| {
            s.weight * sinc(0.5 * along * s.weight) * s.strength * Complex64::cis(along * (s.x_m - aft.x_m))
        };
        sources.iter().map(seen).sum::<Complex64>().norm_sqr()
    };
    let sent: f64 = (0..angles as usize).map(towards).sum::<f64>() / angles;
    0.5 * k_e * sent / own
}

fn sinc(x: f64) -> f64 {
    if x.abs() < 1e-6 { 1.0 } else { x.sin() / x }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// A line of unit length by the midpoint rule, its velocity running along it with wave number `k_x`.
    fn line(k_x: f64) -> Vec<Source> {
        let count = 2000;
        let at = |i: i32| (f64::from(i) + 0.5) / f64::from(count);
        let source =
            |x_m: f64| Source { x_m, weight: 1.0 / f64::from(count), strength: Complex64::cis(-k_x * x_m) };
        (0..count).map(|i| source(at(i))).collect()
    }

    /// In phase the double integral is that of J0 up to z = k_e L, less J1(z): Abramowitz & Stegun (1964), tables 11.1 and 9.1,
    /// 1.425770 - 0.576725 at 2 and 1.067011 - 0.043473 at 10.
    #[test]
    fn a_line_in_phase_in_closed_form() {
        assert_relative_eq!(leaving_share(&line(0.0), 2.0), 0.849_045, epsilon = 1e-5);
        assert_relative_eq!(leaving_share(&line(0.0), 10.0), 1.023_538, epsilon = 1e-5);
    }

    /// By hand: pieces far longer than the waves radiate each by itself.
    #[test]
    fn a_coarse_line_is_still_a_line() {
        let piece = |i: i32| Source { x_m: f64::from(i), weight: 1.0, strength: Complex64::ONE };
        let pieces: Vec<Source> = (0..10).map(piece).collect();
        assert_relative_eq!(leaving_share(&pieces, 100.0), 1.0, max_relative = 0.01);
    }

    /// By hand: waves much longer than the line see its sum, (k_e/2) (2/k_x sin(k_x L/2))².
    #[test]
    fn what_runs_along_cancels() {
        let (k_x, k_e) = (5.0f64, 1e-3);
        let by_hand = 0.5 * k_e * (2.0 / k_x * (0.5 * k_x).sin()).powi(2);
        assert_relative_eq!(leaving_share(&line(k_x), k_e), by_hand, max_relative = 1e-5);
        assert!(leaving_share(&line(6.28), 2.0) < 0.05);
    }

    /// The angles against the double sum with J0 itself.
    #[test]
    fn angles_resolve_the_line() {
        for (k_x, k_e) in [(0.0, 3.0), (6.0, 5.0), (12.0, 32.0)] {
            let line = line(k_x);
            let mut sum = 0.0;
            for a in &line {
                for b in &line {
                    let both = (a.strength * b.strength.conj()).re * a.weight * b.weight;
                    sum += both * libm::j0(k_e * (a.x_m - b.x_m));
                }
            }
            assert_relative_eq!(leaving_share(&line, k_e), 0.5 * k_e * sum, max_relative = 1e-5);
        }
    }
}
