//! The waves of a sea as rows of numbers, lanes of them together, so that sums over waves become vector instructions.
//!
//! Rows are in single precision: a sum over waves is off by some 1e-7 of the sea's height. Phases are worked out in double
//! precision at every moment, so nothing grows with time. Lanes that no wave fills hold zeros.

use crate::hydro::body::waves::Wave;
use num_complex::Complex64;

/// Sums that are kept apart, so that they come out the same on every machine.
pub(super) const LANES: usize = 8;
/// Lanes of one row.
pub(super) type Lanes = [f32; LANES];
/// One number a wave.
pub(super) type Row = Vec<Lanes>;

/// A row from one number a wave.
pub(super) fn row(values: impl Iterator<Item = f64>) -> Row {
    let mut row = Row::new();
    for (index, value) in values.enumerate() {
        if index % LANES == 0 {
            row.push([0.0; LANES]);
        }
        row[index / LANES][index % LANES] = value as f32;
    }
    row
}

/// The sum of lanes in a fixed order.
#[inline(always)]
pub(super) fn total(lanes: Lanes) -> f64 {
    let half: [f32; LANES / 2] = std::array::from_fn(|lane| lanes[lane] + lanes[lane + LANES / 2]);
    f64::from((half[0] + half[2]) + (half[1] + half[3]))
}

/// The sum of two rows' products.
#[inline(always)]
fn dot(row: &[Lanes], of: &[Lanes]) -> f64 {
    let mut sums = [0.0; LANES];
    for (row, of) in row.iter().zip(of) {
        for lane in 0..LANES {
            sums[lane] += row[lane] * of[lane];
        }
    }
    total(sums)
}

/// Each wave's a cos(phase) and a sin(phase) at the centre of gravity at a moment.
#[derive(Debug, Clone, Default)]
pub struct WavesNow {
    pub(super) cosine: Row,
    pub(super) sine: Row,
}

impl WavesNow {
    /// Works out all of them.
    pub(super) fn set(&mut self, waves: &[Wave], time_s: f64, run_m: f64) {
        let lanes = waves.len().div_ceil(LANES);
        self.cosine.resize(lanes, [0.0; LANES]);
        self.sine.resize(lanes, [0.0; LANES]);
        for (index, wave) in waves.iter().enumerate() {
            let (sin, cos) = wave.phase_at(time_s, run_m).sin_cos();
            self.cosine[index / LANES][index % LANES] = (wave.amplitude_m * cos) as f32;
            self.sine[index / LANES][index % LANES] = (wave.amplitude_m * sin) as f32;
        }
    }
}

/// A quantity that is the real part of a sum over waves of its own complex amplitude times a e^(i phase).
#[derive(Debug, Clone, Default)]
pub(super) struct Summed {
    real: Row,
    minus_imaginary: Row,
}

impl Summed {
    /// From its amplitude in each wave of amplitude 1.
    pub(super) fn new(amplitudes: impl Iterator<Item = Complex64> + Clone) -> Self {
        Self { real: row(amplitudes.clone().map(|a| a.re)), minus_imaginary: row(amplitudes.map(|a| -a.im)) }
    }

    /// Its value at a moment.
    pub(super) fn at(&self, now: &WavesNow) -> f64 {
        dot(&self.real, &now.cosine) + dot(&self.minus_imaginary, &now.sine)
    }
}

/// What of each wave does not change.
#[derive(Debug, Clone, Default)]
pub(super) struct WaveRows {
    /// Wave number, 1/m, and that along the course.
    pub(super) number: Row,
    pub(super) along: Row,
    /// Frequency, rad/s, its square, and its part along the course.
    pub(super) omega: Row,
    pub(super) square: Row,
    pub(super) forward: Row,
}

impl WaveRows {
    pub(super) fn new(waves: &[Wave]) -> Self {
        let of = |value: &dyn Fn(&Wave) -> f64| row(waves.iter().map(value));
        Self {
            number: of(&|wave| wave.wave_number()),
            along: of(&|wave| wave.along()),
            omega: of(&|wave| wave.omega_rad_s),
            square: of(&|wave| wave.omega_rad_s * wave.omega_rad_s),
            forward: of(&|wave| wave.omega_rad_s * wave.mu_rad.cos()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// Eleven waves, so that a row is not full: the sum wave by wave in double precision.
    #[test]
    fn sums_over_waves() {
        let waves: Vec<Wave> = (0..11)
            .map(|i| Wave {
                amplitude_m: 0.1 * f64::from(i + 1),
                omega_rad_s: 0.5 + 0.13 * f64::from(i),
                mu_rad: 2.5,
                phase_rad: 1.7 * f64::from(i),
            })
            .collect();
        let amplitudes: Vec<Complex64> =
            (0..11).map(|i| Complex64::new(1.0 - 0.2 * f64::from(i), 0.3 * f64::from(i))).collect();
        let summed = Summed::new(amplitudes.iter().copied());
        let mut now = WavesNow::default();
        now.set(&waves, 3600.0, 20_000.0);
        let by_hand: f64 = waves
            .iter()
            .zip(&amplitudes)
            .map(|(w, a)| (a * Complex64::from_polar(w.amplitude_m, w.phase_at(3600.0, 20_000.0))).re)
            .sum();
        assert_relative_eq!(summed.at(&now), by_hand, max_relative = 1e-5, epsilon = 1e-6);
    }
}
