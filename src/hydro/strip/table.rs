//! Complex sectional coefficients and surface potentials over encounter frequency.

use crate::base::units::G;
use crate::hydro::section::heave;
use crate::hydro::section::lewis::Lewis;
use crate::hydro::section::multipole::HeaveSolution;
use num_complex::Complex64;
use rayon::prelude::*;

/// Points per half section at which the potential is kept (Gauss-Legendre in the angle of the Lewis form).
pub(super) const NODES: usize = 6;
/// Values kept per section: the coefficient c = a33 - i b33/w, then the potential at the nodes.
pub(super) const WIDTH: usize = 1 + NODES;
const FREQUENCIES: usize = 72;
/// k_e L at the ends of the table.
///
/// Low end: a strip's added mass grows without bound as -ln k_e when frequency falls, a hull's of length L does
/// not. The slender-body value at zero frequency (inner logarithm ln 2 sqrt(l² - x²), l = L/2, in place of
/// -ln k_e - gamma; Newman 1977, from memory) averages over the length to k_e L = e^(1 - gamma)/2.
/// Below, radiation fades as a finite hull's does: b33/w goes with k_e (Haskind's relation in long
/// waves, from memory), so nothing jumps where w_e changes sign.
/// High end: 1 - a33/limit is below 3 % there for L/B up to 10.
const RANGE: (f64, f64) = (0.763_0, 2_000.0);

/// Per unit fluid density, time factor exp(i w t), for |w_e|.
#[derive(Debug, Clone)]
pub(super) struct SectionTable {
    log_low: f64,
    log_step: f64,
    row: usize,
    values: Vec<Complex64>,
}

impl SectionTable {
    pub(super) fn new(forms: &[Option<Lewis>], angles: &[f64; NODES], length_m: f64) -> Self {
        let [log_low, log_high] = [RANGE.0, RANGE.1].map(|kl| (kl * G / length_m).sqrt().ln());
        let log_step = (log_high - log_low) / (FREQUENCIES - 1) as f64;
        let frequency = |i: usize| (log_low + log_step * i as f64).exp();
        let values = (0..FREQUENCIES)
            .into_par_iter()
            .flat_map_iter(|i| {
                let k_e = frequency(i).powi(2) / G;
                forms.iter().flat_map(move |form| match form {
                    Some(form) => entry(&heave(form, k_e, angles)),
                    None => [Complex64::new(0.0, 0.0); WIDTH],
                })
            })
            .collect();
        Self { log_low, log_step, row: forms.len() * WIDTH, values }
    }

    /// The lowest and the highest frequency, rad/s.
    pub(super) fn ends_rad_s(&self) -> [f64; 2] {
        [self.log_low, self.log_low + self.log_step * (FREQUENCIES - 1) as f64].map(f64::exp)
    }

    /// Cubic (Lagrange) interpolation in ln |w_e|; beyond the ends as [`RANGE`] says.
    pub(super) fn at(&self, omega_e: f64) -> Interpolated<'_> {
        let last = (FREQUENCIES - 1) as f64;
        let position =
            ((omega_e.abs().max(f64::MIN_POSITIVE).ln() - self.log_low) / self.log_step).clamp(0.0, last);
        let first = (position as usize).clamp(1, FREQUENCIES - 3) - 1;
        let t = position - (first + 1) as f64;
        let weights = [
            -t * (t - 1.0) * (t - 2.0) / 6.0,
            (t + 1.0) * (t - 1.0) * (t - 2.0) / 2.0,
            -(t + 1.0) * t * (t - 2.0) / 2.0,
            (t + 1.0) * t * (t - 1.0) / 6.0,
        ];
        let rows = std::array::from_fn(|i| &self.values[(first + i) * self.row..(first + i + 1) * self.row]);
        let fade = (omega_e * (-self.log_low).exp()).powi(2).min(1.0);
        Interpolated { rows, weights, imaginary: if omega_e < 0.0 { -fade } else { fade }, fade }
    }
}

fn entry(solution: &HeaveSolution) -> [Complex64; WIDTH] {
    std::array::from_fn(|i| match i {
        0 => Complex64::new(solution.added_mass_m2, -solution.damping_m2),
        _ => solution.potential[i - 1].conj(),
    })
}

/// The table at one frequency.
pub(super) struct Interpolated<'a> {
    rows: [&'a [Complex64]; 4],
    weights: [f64; 4],
    /// Factor of the imaginary parts: negative where waves are overtaken (w_e < 0, the conjugate process).
    imaginary: f64,
    /// k_e over its value at the table's low end, at most 1: how far the frequency still counts as high.
    pub(super) fade: f64,
}

impl Interpolated<'_> {
    /// The values of one section.
    pub(super) fn section(&self, index: usize) -> [Complex64; WIDTH] {
        let start = index * WIDTH;
        let mut out = [Complex64::new(0.0, 0.0); WIDTH];
        for (row, weight) in self.rows.iter().zip(self.weights) {
            for (o, v) in out.iter_mut().zip(&row[start..start + WIDTH]) {
                o.re += weight * v.re;
                o.im += weight * self.imaginary * v.im;
            }
        }
        out
    }

    /// Only the coefficient c = a33 - i b33/w of one section.
    pub(super) fn coefficient(&self, index: usize) -> Complex64 {
        let at = |k: usize| self.rows[k][index * WIDTH] * self.weights[k];
        let c = at(0) + at(1) + at(2) + at(3);
        Complex64::new(c.re, self.imaginary * c.im)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Between tabulated frequencies: interpolation against the section's own solution, to 0.1 % of its size.
    #[test]
    fn interpolates_between_frequencies() {
        let angles = [0.1, 0.4, 0.7, 1.0, 1.3, 1.5];
        for (beam, draught, area, length) in [(4.0, 0.35, 0.924, 18.0), (0.3, 0.1875, 0.0375, 3.0)] {
            let form = Lewis::fit(beam, draught, area).0;
            let table = SectionTable::new(&[Some(form)], &angles, length);
            for i in 0..40 {
                let omega_e = (table.log_low + (1.37 * f64::from(i) + 0.5) * table.log_step).exp();
                let direct = entry(&heave(&form, omega_e * omega_e / G, &angles));
                let read = table.at(omega_e).section(0);
                let whole = form.added_mass_limit_m2();
                assert!((read[0] - direct[0]).norm() < 1e-3 * whole);
                assert!((table.at(omega_e).coefficient(0) - read[0]).norm() < 1e-12);
                for (r, d) in read[1..].iter().zip(&direct[1..]) {
                    assert!((r - d).norm() < 2e-3 * beam);
                }
                let overtaken = table.at(-omega_e).section(0);
                assert_eq!(overtaken[0], read[0].conj());
            }
        }
    }

    #[test]
    fn radiation_fades_towards_zero_frequency() {
        let form = Lewis::fit(4.0, 0.35, 0.924).0;
        let table = SectionTable::new(&[Some(form)], &[0.7; NODES], 18.0);
        let still = table.at(0.0).section(0)[0];
        let lowest = table.at(table.log_low.exp()).section(0)[0];
        assert_eq!(still.im, 0.0);
        assert!((still.re - lowest.re).abs() < 1e-9);
    }
}
