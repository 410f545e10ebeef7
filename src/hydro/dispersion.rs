//! Linear (Airy) gravity waves: wave number, length, speed, encounter frequency.
//!
//! Small amplitude, no current, no surface tension; periods of about 1 s and more.
//! Angles: `mu` is 0 in following, pi/2 in beam, pi in head waves.

use std::f64::consts::TAU;

use crate::base::units::G;

/// Exponent of Guo's explicit start value.
const GUO: f64 = 2.4908;

/// Newton steps from Guo's start value (off by < 0.75 %); three reach rounding.
const NEWTON_STEPS: usize = 3;

/// Wave number k, rad/m, of a frequency `omega` >= 0, rad/s, in water `depth_m` > 0 deep: the root of omega² = g k tanh(k h).
///
/// Start value of Guo, J. (2002), "Simple and explicit solution of wave dispersion equation", Coastal Engineering
/// 45:71-74, then Newton steps; relative error near 1e-15.
pub fn wave_number(omega: f64, depth_m: f64) -> f64 {
    if omega <= 0.0 {
        return 0.0;
    }
    let deep_kh = omega * omega * depth_m / G;
    let mut kh = deep_kh * (-(-deep_kh.powf(GUO / 2.0)).exp_m1()).powf(-1.0 / GUO);
    for _ in 0..NEWTON_STEPS {
        let tanh = kh.tanh();
        kh -= (kh * tanh - deep_kh) / (tanh + kh * (1.0 - tanh * tanh));
    }
    kh / depth_m
}

/// Period, s, of the deep-water wave that is as long as one of `period_s` > 0 in water `depth_m` > 0 deep.
///
/// From omega² = g k tanh(k h) and omega'² = g k: T sqrt(tanh(k h)).
pub fn deep_period_of_same_length_s(period_s: f64, depth_m: f64) -> f64 {
    TAU / (G * wave_number(TAU / period_s, depth_m)).sqrt()
}

/// Wave number in deep water, omega²/g, rad/m.
pub fn deep_wave_number(omega: f64) -> f64 {
    omega * omega / G
}

/// Wave length in deep water, g T²/(2 pi), m.
pub fn wave_length_m(period_s: f64) -> f64 {
    G * period_s * period_s / TAU
}

/// Phase speed in deep water, g T/(2 pi), m/s.
pub fn phase_speed_m_s(period_s: f64) -> f64 {
    G * period_s / TAU
}

/// Signed encounter frequency in deep water, omega - omega² U cos(mu)/g, rad/s.
///
/// Negative where the boat overtakes the waves. Salvesen, Tuck & Faltinsen (1970), eq. 22, with mu counted from
/// following waves.
pub fn encounter_frequency(omega: f64, speed_m_s: f64, mu: f64) -> f64 {
    omega - omega * omega * speed_m_s * mu.cos() / G
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::units::kn_to_m_s;
    use approx::assert_relative_eq;
    use std::f64::consts::{FRAC_PI_2, PI};

    /// By hand: lambda = 9.80665 T²/(2 pi), c = 9.80665 T/(2 pi).
    #[test]
    fn deep_water_length_and_speed() {
        for (period_s, length_m, speed_m_s) in
            [(4.0, 24.972, 6.2431), (6.0, 56.188, 9.3647), (8.0, 99.890, 12.4862), (12.0, 224.752, 18.7293)]
        {
            assert_relative_eq!(wave_length_m(period_s), length_m, epsilon = 5e-4);
            assert_relative_eq!(phase_speed_m_s(period_s), speed_m_s, epsilon = 5e-5);
        }
    }

    /// mhkit 1.1.2 `wave_number`, g = 9.80665, f = 0.05, 0.1, 0.2 Hz.
    #[test]
    fn finite_depth_wave_number_equals_mhkit() {
        let expected =
            [(20.0, [0.02321325, 0.05183725, 0.16153124]), (5.0, [0.04524444, 0.09285300, 0.20734901])];
        for (depth_m, wave_numbers) in expected {
            for (hz, k) in [0.05, 0.1, 0.2].into_iter().zip(wave_numbers) {
                assert_relative_eq!(wave_number(TAU * hz, depth_m), k, epsilon = 1e-8);
            }
        }
    }

    /// By hand from mhkit's wave numbers above, 0.05183725 and 0.09285300 rad/m: 2 pi / sqrt(9.80665 k).
    #[test]
    fn a_wave_shortened_by_the_bottom_is_as_long_as_a_deep_one_of_shorter_period() {
        for (depth_m, length_m, period_s) in [(20.0, 121.2099, 8.81249), (5.0, 67.6681, 6.58448)] {
            let found = deep_period_of_same_length_s(10.0, depth_m);
            assert_relative_eq!(found, period_s, epsilon = 1e-5);
            assert_relative_eq!(wave_length_m(found), length_m, epsilon = 1e-3);
        }
        assert_relative_eq!(deep_period_of_same_length_s(10.0, 4000.0), 10.0, max_relative = 1e-12);
    }

    #[test]
    fn wave_number_solves_the_dispersion_relation_at_every_depth() {
        for exponent in -60..=60 {
            let deep_kh = 10f64.powf(f64::from(exponent) / 10.0);
            let omega = (deep_kh * G / 3.0).sqrt();
            let k = wave_number(omega, 3.0);
            assert_relative_eq!(G * k * (3.0 * k).tanh(), omega * omega, max_relative = 1e-13);
        }
        assert_eq!(wave_number(0.0, 3.0), 0.0);
    }

    /// By hand, T = 6 s: omega (1 - omega U cos(mu)/9.80665).
    #[test]
    fn encounter_frequency_is_signed() {
        let omega = TAU / 6.0;
        for (kn, mu, omega_e) in
            [(10.0, PI, 1.62247), (10.0, FRAC_PI_2, 1.04720), (10.0, 0.0, 0.47192), (25.0, 0.0, -0.39099)]
        {
            assert_relative_eq!(encounter_frequency(omega, kn_to_m_s(kn), mu), omega_e, epsilon = 5e-6);
        }
    }
}
