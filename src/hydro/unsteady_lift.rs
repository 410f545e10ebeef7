//! Lift of a thin foil in an unsteady stream: Theodorsen's function for its own motion, Sears' for gusts.
//!
//! Sources: Theodorsen (1935), NACA Report 496; Sears (1941), J. Aeronaut. Sci. 8. Two-dimensional, attached flow,
//! without a free surface; the reduced frequency is k = w c/(2 V).

use libm::{j0, j1, y0, y1};
use num_complex::Complex64;

/// Reduced frequency k = w_e c/(2 V) of an encounter frequency, chord and positive speed.
pub fn reduced_frequency(encounter_rad_s: f64, chord_m: f64, speed_m_s: f64) -> f64 {
    encounter_rad_s.abs() * chord_m / (2.0 * speed_m_s)
}

/// Theodorsen's function C(k) = H1/(H1 + i H0), Hankel functions of the second kind, for k >= 0; C(0) = 1.
pub fn theodorsen(reduced_frequency: f64) -> Complex64 {
    if reduced_frequency == 0.0 {
        return Complex64::ONE;
    }
    let h0 = Complex64::new(j0(reduced_frequency), -y0(reduced_frequency));
    let h1 = Complex64::new(j1(reduced_frequency), -y1(reduced_frequency));
    h1 / (h1 + Complex64::I * h0)
}

/// Sears' function S(k) = [J0 - i J1] C + i J1, for k >= 0: lift in a sinusoidal gust over its quasi-steady
/// value, with the phase of the gust at mid-chord.
pub fn sears(reduced_frequency: f64) -> Complex64 {
    let (zeroth, first) = (j0(reduced_frequency), j1(reduced_frequency));
    Complex64::new(zeroth, -first) * theodorsen(reduced_frequency) + Complex64::new(0.0, first)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// scipy 1.17.1 hankel2 and jv, tests/reference/calm_water.py.
    #[test]
    fn equal_scipy() {
        let expected = [
            (0.05, (0.909_008_997_5, -0.130_644_389_7), (0.905_175_866_4, -0.128_288_685_4)),
            (0.1, (0.831_924_105_0, -0.172_302_228_7), (0.821_241_247_2, -0.163_478_447_9)),
            (0.2, (0.727_579_921_3, -0.188_624_212_1), (0.701_554_025_2, -0.159_636_655_7)),
            (0.5, (0.597_936_064_3, -0.150_709_503_2), (0.524_632_784_1, -0.044_028_908_8)),
            (1.0, (0.539_434_871_1, -0.100_272_902_9), (0.368_649_165_8, 0.125_943_361_5)),
            (2.0, (0.512_954_812_4, -0.057_691_283_4), (0.081_573_858_3, 0.267_974_495_8)),
        ];
        for (k, (c_re, c_im), (s_re, s_im)) in expected {
            let (c, s) = (theodorsen(k), sears(k));
            assert_relative_eq!(c.re, c_re, epsilon = 1e-9);
            assert_relative_eq!(c.im, c_im, epsilon = 1e-9);
            assert_relative_eq!(s.re, s_re, epsilon = 1e-9);
            assert_relative_eq!(s.im, s_im, epsilon = 1e-9);
        }
    }

    /// Limits: quasi-steady at k = 0; C tends to 1/2 and |S| to 1/sqrt(2 pi k) for fast changes.
    #[test]
    fn limits() {
        assert_eq!(theodorsen(0.0), Complex64::ONE);
        assert_eq!(sears(0.0), Complex64::ONE);
        assert_relative_eq!(theodorsen(1e-9).re, 1.0, epsilon = 1e-7);
        assert_relative_eq!(theodorsen(200.0).re, 0.5, epsilon = 1e-4);
        let k = 50.0;
        assert_relative_eq!(sears(k).norm(), 1.0 / (std::f64::consts::TAU * k).sqrt(), max_relative = 0.01);
    }

    #[test]
    fn reduced_frequency_takes_the_magnitude() {
        assert_relative_eq!(reduced_frequency(-2.0, 0.4, 8.0), 0.05, max_relative = 1e-12);
    }
}
