//! Heave of a Lewis section in waves of its own making: source, wave and wave-free multipoles.
//!
//! Ursell 1949 (circle), Tasai 1959 (Lewis forms), in complex form: with K = w²/g and v = -i K Z,
//!
//! - source f_A = e^v (E1(v) - i pi) and wave f_B = e^v;
//! - wave-free f_m = s^-2m - i K P_m, P_m = M(-s^-(2m-1)/(2m-1) + a1 s^-(2m+1)/(2m+1) + 3 a3 s^-(2m+3)/(2m+3)).
//!
//! Each satisfies Laplace's equation and the free-surface condition; their strengths follow from the hull
//! condition on the stream function, q (Im f_A + j pi Im f_B) + sum p_m Im f_m = -x, by least squares over points
//! from keel to waterline (time factor exp(-j w t), unit heave velocity). Free of irregular frequencies.

use crate::hydro::section::lewis::Lewis;
use crate::maths::expint::scaled_e1;
use num_complex::Complex64;
use std::f64::consts::{FRAC_PI_2, PI};
use std::sync::LazyLock;

const MULTIPOLES: usize = 12;
const POINTS: usize = 40;

static GAUSS: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| gauss_quarter_turn(POINTS));

/// What unit heave velocity of a section does to the water, per unit fluid density.
#[derive(Debug, Clone)]
pub struct HeaveSolution {
    /// Added mass a33/rho, m².
    pub added_mass_m2: f64,
    /// Damping over frequency b33/(rho w), m².
    pub damping_m2: f64,
    /// Ratio of radiated wave amplitude to heave amplitude.
    pub wave_ratio: f64,
    /// Velocity potential (m²/s per m/s, time factor exp(-j w t)) at each of the angles asked for.
    pub potential: Vec<Complex64>,
}

/// Solves for wave number `k_e` = w_e²/g (1/m, > 0); `angles` are those of [`Lewis::point`].
pub fn heave(form: &Lewis, k_e: f64, angles: &[f64]) -> HeaveSolution {
    let points = &*GAUSS;
    let fields: Vec<PointPotentials> =
        points.iter().map(|&(t, _)| PointPotentials::at(form, k_e, t)).collect();
    let strengths = Strengths::solve(form, points, &fields);

    let mut impulse = Complex64::new(0.0, 0.0);
    for (&(t, weight), field) in points.iter().zip(&fields) {
        impulse += strengths.potential(field) * form.tangent(t).re * weight;
    }
    HeaveSolution {
        added_mass_m2: 2.0 * impulse.re,
        damping_m2: 2.0 * impulse.im,
        wave_ratio: k_e * PI * strengths.source.norm(),
        potential: angles.iter().map(|&t| strengths.potential(&PointPotentials::at(form, k_e, t))).collect(),
    }
}

/// Complex potentials of every singularity at one point of the section.
struct PointPotentials {
    source: Complex64,
    wave: Complex64,
    wave_free: [Complex64; MULTIPOLES],
}

impl PointPotentials {
    fn at(form: &Lewis, k_e: f64, t: f64) -> Self {
        let v = -Complex64::i() * k_e * form.point(t);
        let wave = v.exp();
        let inverse = Complex64::cis(FRAC_PI_2 - t);
        let square = inverse * inverse;
        let mut odd = inverse;
        let mut wave_free = [Complex64::new(0.0, 0.0); MULTIPOLES];
        for (m, f) in (1..).zip(&mut wave_free) {
            let n = f64::from(2 * m - 1);
            let inner = square * (form.a1 / (n + 2.0) + square * (3.0 * form.a3 / (n + 4.0)));
            let p = form.scale_m * odd * (inner - 1.0 / n);
            *f = odd * inverse - Complex64::i() * k_e * p;
            odd *= square;
        }
        Self { source: scaled_e1(v) - Complex64::i() * PI * wave, wave, wave_free }
    }
}

struct Strengths {
    source: Complex64,
    wave_free: [Complex64; MULTIPOLES],
}

impl Strengths {
    /// The wave-free columns are real, so an orthonormal basis of them reduces the fit to one complex unknown,
    /// the source strength, and two real back substitutions.
    fn solve(form: &Lewis, points: &[(f64, f64)], fields: &[PointPotentials]) -> Self {
        let column = |value: &dyn Fn(usize) -> f64| -> Vec<f64> {
            (0..points.len()).map(|i| value(i) * points[i].1.sqrt()).collect()
        };
        let basis = Basis::of(std::array::from_fn(|m| column(&|i| fields[i].wave_free[m].im)));
        let (source, source_part) = basis.split(column(&|i| fields[i].source.im));
        let (wave, wave_part) = basis.split(column(&|i| PI * fields[i].wave.im));
        let (target, target_part) = basis.split(column(&|i| -form.point(points[i].0).re));

        let q = Complex64::new(dot(&source, &target), -dot(&wave, &target))
            / (dot(&source, &source) + dot(&wave, &wave));
        let rest = |m: usize| target_part[m] - q * Complex64::new(source_part[m], wave_part[m]);
        Self { source: q, wave_free: basis.back_substitute(std::array::from_fn(rest)) }
    }

    fn potential(&self, field: &PointPotentials) -> Complex64 {
        let from_source = self.source * Complex64::new(field.source.re, PI * field.wave.re);
        self.wave_free.iter().zip(&field.wave_free).fold(from_source, |sum, (p, f)| sum + p * f.re)
    }
}

/// Columns factored as orthonormal times upper triangular.
struct Basis {
    unit: [Vec<f64>; MULTIPOLES],
    upper: [[f64; MULTIPOLES]; MULTIPOLES],
}

impl Basis {
    fn of(mut columns: [Vec<f64>; MULTIPOLES]) -> Self {
        let mut upper = [[0.0; MULTIPOLES]; MULTIPOLES];
        for m in 0..MULTIPOLES {
            let (done, rest) = columns.split_at_mut(m);
            // a second pass restores the orthogonality that rounding costs the first
            for _ in 0..2 {
                for (row, unit) in done.iter().enumerate() {
                    upper[row][m] += remove(&mut rest[0], unit);
                }
            }
            upper[m][m] = dot(&rest[0], &rest[0]).sqrt();
            rest[0].iter_mut().for_each(|value| *value /= upper[m][m]);
        }
        Self { unit: columns, upper }
    }

    /// What the columns cannot represent, and the coordinates of the rest.
    fn split(&self, mut vector: Vec<f64>) -> (Vec<f64>, [f64; MULTIPOLES]) {
        let mut part = [0.0; MULTIPOLES];
        for _ in 0..2 {
            for (coordinate, unit) in part.iter_mut().zip(&self.unit) {
                *coordinate += remove(&mut vector, unit);
            }
        }
        (vector, part)
    }

    fn back_substitute(&self, mut values: [Complex64; MULTIPOLES]) -> [Complex64; MULTIPOLES] {
        for m in (0..MULTIPOLES).rev() {
            for n in m + 1..MULTIPOLES {
                let known = values[n];
                values[m] -= known * self.upper[m][n];
            }
            values[m] /= self.upper[m][m];
        }
        values
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Takes the part along `unit` out of `vector` and returns its length.
fn remove(vector: &mut [f64], unit: &[f64]) -> f64 {
    let along = dot(vector, unit);
    vector.iter_mut().zip(unit).for_each(|(value, u)| *value -= along * u);
    along
}

/// Gauss-Legendre points and weights on (0, pi/2), roots by Newton's method (Abramowitz & Stegun 1964, 25.4.30).
pub(crate) fn gauss_quarter_turn(count: usize) -> Vec<(f64, f64)> {
    let n = count as f64;
    (0..count)
        .map(|i| {
            let mut x = (PI * (i as f64 + 0.75) / (n + 0.5)).cos();
            let mut slope = 0.0;
            for _ in 0..8 {
                let (mut p, mut before) = (x, 1.0);
                for k in 2..=count {
                    let k = k as f64;
                    (p, before) = (((2.0 * k - 1.0) * x * p - (k - 1.0) * before) / k, p);
                }
                slope = n * (x * p - before) / (x * x - 1.0);
                x -= p / slope;
            }
            (FRAC_PI_2 / 2.0 * (1.0 - x), FRAC_PI_2 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn gauss_rule_integrates_a_cosine() {
        let integral: f64 = gauss_quarter_turn(8).iter().map(|(t, w)| w * t.cos()).sum();
        assert_relative_eq!(integral, 1.0, max_relative = 1e-13);
        let square: f64 = gauss_quarter_turn(8).iter().map(|(t, w)| w * t).sum();
        assert_relative_eq!(square, PI * PI / 8.0, max_relative = 1e-13);
    }

    type Triple = (f64, f64, f64);

    /// (beam, draught, sigma), then for w²B/2g = 0.1, 0.25, 0.5, 1, 2: a/(rho A), b/(rho A w), wave ratio.
    /// Computed with an independent numpy program of the same theory.
    #[rustfmt::skip]
    const REFERENCE: [(Triple, [Triple; 5]); 3] = [
        ((2.0, 1.0, FRAC_PI_2 / 2.0), [
            (1.4098, 1.7354, 0.1651), (0.8782, 1.2450, 0.3497), (0.6448, 0.8117, 0.5647),
            (0.6051, 0.3966, 0.7895), (0.7266, 0.1210, 0.8723)]),
        ((0.3, 0.1875, 2.0 / 3.0), [
            (1.2431, 1.6446, 0.1656), (0.7416, 1.1913, 0.3523), (0.5165, 0.7940, 0.5753),
            (0.4629, 0.4129, 0.8299), (0.5541, 0.1472, 0.9913)]),
        ((4.0, 0.35, 0.66), [
            (12.866, 12.545, 0.1703), (9.1446, 9.8955, 0.3780), (7.1388, 7.6840, 0.6662),
            (5.8696, 5.5163, 1.1290), (5.2842, 3.5864, 1.8208)]),
    ];

    #[test]
    fn agrees_with_an_independent_program() {
        for ((beam, draught, sigma), rows) in REFERENCE {
            let area = sigma * beam * draught;
            let (form, _) = Lewis::fit(beam, draught, area);
            for (kb2, (a, b, ratio)) in [0.1, 0.25, 0.5, 1.0, 2.0].into_iter().zip(rows) {
                let got = heave(&form, 2.0 * kb2 / beam, &[]);
                assert_relative_eq!(got.added_mass_m2 / area, a, max_relative = 5e-3);
                assert_relative_eq!(got.damping_m2 / area, b, max_relative = 5e-3);
                assert_relative_eq!(got.wave_ratio, ratio, max_relative = 5e-3);
            }
        }
    }

    /// Damping over density and frequency is (A/K)², the energy the wave carries off.
    #[test]
    fn damping_is_the_energy_of_the_radiated_wave() {
        for (beam, draught, sigma) in
            [(2.0, 1.0, FRAC_PI_2 / 2.0), (0.3, 0.1875, 2.0 / 3.0), (4.0, 0.35, 0.66), (4.0, 0.35, 0.9)]
        {
            let (form, _) = Lewis::fit(beam, draught, sigma * beam * draught);
            for (kb2, tolerance) in
                [(0.02, 2e-3), (0.1, 2e-3), (0.5, 2e-3), (1.0, 2e-3), (2.0, 4e-3), (4.0, 8e-3)]
            {
                let k = 2.0 * kb2 / beam;
                let got = heave(&form, k, &[]);
                let energy = (got.wave_ratio / k).powi(2);
                assert!((got.damping_m2 - energy).abs() < tolerance * energy, "{beam} {sigma} {kb2}");
            }
        }
    }

    #[test]
    fn approaches_the_high_frequency_limit() {
        for (beam, draught, sigma) in
            [(2.0, 1.0, FRAC_PI_2 / 2.0), (0.3, 0.1875, 2.0 / 3.0), (4.0, 0.35, 0.66)]
        {
            let (form, _) = Lewis::fit(beam, draught, sigma * beam * draught);
            let short_of_limit = |kb2: f64| {
                let got = heave(&form, 2.0 * kb2 / beam, &[]);
                assert!(got.damping_m2 < 0.15 * form.added_mass_limit_m2());
                1.0 - got.added_mass_m2 / form.added_mass_limit_m2()
            };
            assert!(short_of_limit(100.0) < 0.025);
            assert!(short_of_limit(400.0) > 0.0 && short_of_limit(400.0) < 0.4 * short_of_limit(100.0));
        }
    }
}
