//! Lift of a foil that moves in waves, in time.
//!
//! Wagner's function by R. T. Jones (1940), "The unsteady lift of a wing of finite aspect ratio", NACA Report 681: after a step of its
//! angle a thin section's lift is 1 - 0.165 e^(-0.0455 s) - 0.335 e^(-0.3 s) of the steady one, s in half-chords run. Its transform
//! stands for Theodorsen's C(k) within about 2 %. Gusts are taken as own motion: Sears' function differs in phase at the
//! mid-chord, not in size, at the low frequencies of waves.

use num_complex::Complex64;

/// Shares and rates of the two lags.
const LAGS: [(f64, f64); 2] = [(0.165, 0.0455), (0.335, 0.3)];

/// The lags' states, in the unit of what lags.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Lag(pub [f64; 2]);

impl Lag {
    /// What acts of a value that swings with a reduced frequency, over it: 1 - the sum of share i k/(i k + rate).
    pub(super) fn transform(reduced: f64) -> Complex64 {
        let lag =
            |(share, rate): (f64, f64)| share * Complex64::new(0.0, reduced) / Complex64::new(rate, reduced);
        Complex64::ONE - LAGS.into_iter().map(lag).sum::<Complex64>()
    }

    /// What acts of a value that has come about so, and the rates of the states, at a speed with a chord.
    pub fn acting(&self, value: f64, chord_m: f64, speed_m_s: f64) -> (f64, [f64; 2]) {
        let runs = 2.0 * speed_m_s / chord_m;
        let mut acting = value;
        let mut rates = [0.0; 2];
        for (i, (share, rate)) in LAGS.into_iter().enumerate() {
            // each state follows the value; what it lacks of it is what the lag holds back
            acting -= share * (value - self.0[i]);
            rates[i] = rate * runs * (value - self.0[i]);
        }
        (acting, rates)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydro::unsteady_lift::theodorsen;

    /// The transform, 1 - sum of share i k/(i k + rate), against Theodorsen's function.
    #[test]
    fn stands_for_theodorsen() {
        for k in [0.02, 0.05, 0.1, 0.2, 0.5, 1.0] {
            let jones = Lag::transform(k);
            assert!((jones - theodorsen(k)).norm() < 0.03, "{k} {jones} {}", theodorsen(k));
        }
    }

    /// Stepped in time to a value of 1: half acts at once, all of it in the end.
    #[test]
    fn a_step_builds_up() {
        let mut lag = Lag::default();
        assert!((lag.acting(1.0, 0.5, 10.0).0 - 0.5).abs() < 1e-12);
        for _ in 0..100_000 {
            let (_, rates) = lag.acting(1.0, 0.5, 10.0);
            lag.0.iter_mut().zip(rates).for_each(|(state, rate)| *state += 1e-3 * rate);
        }
        assert!((lag.acting(1.0, 0.5, 10.0).0 - 1.0).abs() < 1e-9);
    }
}
