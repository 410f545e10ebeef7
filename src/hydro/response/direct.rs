//! The response to a directional spectrum, integrated directly: what the tables are measured against.

use crate::base::units::G;
use crate::hydro::response::extent::SHORTEST_WAVE_M;
use crate::hydro::response::quantities::{QUANTITIES, Response};
use crate::hydro::response::regular::BoatInWaves;
use crate::hydro::spectrum::Spectrum;
use crate::hydro::spreading::Spreading;
use crate::hydro::wave_shape::WaveShape;
use std::f64::consts::{PI, TAU};

/// Frequencies a sea is integrated over: from this multiple of the peak to the shortest waves.
const LOWEST_OF_PEAK: f64 = 0.4;

/// Energies below this part of the square of the height are left out: a swell's tail holds little, but all that a short
/// boat feels of a long swell.
const NEGLIGIBLE: f64 = 1e-13;

/// Points of a direct integral, by Simpson's rule over frequency and direction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DirectIntegral {
    /// Frequencies, evenly spaced in their logarithm from 0.4 of the peak to waves of 0.5 m; odd.
    pub frequencies: usize,
    /// Directions over what the spreading holds; odd.
    pub directions: usize,
    /// Steps of the regression in place of one step of direction: it jumps at the waterline's angles of entrance
    /// and run, which a coarse rule meets by chance. Odd.
    pub regression_steps: usize,
}

impl DirectIntegral {
    /// Slow and careful.
    pub const FINE: Self = Self { frequencies: 301, directions: 121, regression_steps: 15 };

    /// The response in one wave system at a speed and mean wave angle, for the height given.
    ///
    /// Integrates over the absolute frequency, never the encounter frequency, so that all branches of following seas
    /// are counted once.
    pub fn response(
        &self,
        boat: &BoatInWaves,
        speed_m_s: f64,
        mu: f64,
        hs_m: f64,
        tp_s: f64,
        shape: WaveShape,
    ) -> Response {
        let spectrum = Spectrum::new(shape.spectrum, hs_m, tp_s);
        let lowest = (LOWEST_OF_PEAK * 2.0 * PI / tp_s).ln();
        let highest = (2.0 * PI * G / SHORTEST_WAVE_M).sqrt().ln();
        let step = (highest - lowest) / (self.frequencies - 1) as f64;
        let mut total = [0.0; QUANTITIES];
        let mut variance = 0.0;
        for i in 0..self.frequencies {
            let omega = (lowest + step * i as f64).exp();
            let energy = simpson(i, self.frequencies) * step * omega * spectrum.density(omega);
            variance += energy;
            if energy <= NEGLIGIBLE * hs_m * hs_m {
                continue;
            }
            let spreading = shape.spreading.at(omega * tp_s / TAU);
            let directions = self.directions(spreading);
            let regression = self.regression_directions(spreading);
            for (theta, weight) in &directions {
                let motions = boat.motions(speed_m_s, omega, fold(mu + theta));
                let mut response = boat.moved(&motions);
                boat.set_radiated(&mut response, boat.radiated(&motions, fold(mu + theta)));
                boat.set_own(&mut response, speed_m_s, omega, fold(mu + theta));
                add_scaled(&mut total, &response.to_array(), energy * weight);
            }
            let mut reflected = Response::default();
            let mean =
                regression.iter().map(|(theta, w)| w * boat.regression(speed_m_s, omega, fold(mu + theta)));
            boat.set_regression(&mut reflected, mean.sum());
            add_scaled(&mut total, &reflected.to_array(), energy);
        }
        let to_stated_height = hs_m * hs_m / 16.0 / variance;
        Response::from_array(total.map(|value| value * to_stated_height))
    }

    /// Angles off the mean direction, with weights that sum to one.
    fn directions(&self, spreading: Spreading) -> Vec<(f64, f64)> {
        let half_width = spreading.half_width_rad();
        if half_width == 0.0 {
            return vec![(0.0, 1.0)];
        }
        let step = 2.0 * half_width / (self.directions - 1) as f64;
        let angle = |i: usize| -half_width + step * i as f64;
        weighted(spreading, (0..self.directions).map(|i| (angle(i), simpson(i, self.directions))).collect())
    }

    /// As [`DirectIntegral::directions`] with finer, equal steps.
    fn regression_directions(&self, spreading: Spreading) -> Vec<(f64, f64)> {
        let half_width = spreading.half_width_rad();
        if half_width == 0.0 {
            return vec![(0.0, 1.0)];
        }
        let count = (self.directions - 1) * self.regression_steps;
        let step = 2.0 * half_width / count as f64;
        weighted(spreading, (0..count).map(|i| ((i as f64 + 0.5) * step - half_width, 1.0)).collect())
    }
}

/// [`DirectIntegral::FINE`]'s response.
pub fn direct(
    boat: &BoatInWaves,
    speed_m_s: f64,
    mu: f64,
    hs_m: f64,
    tp_s: f64,
    shape: WaveShape,
) -> Response {
    DirectIntegral::FINE.response(boat, speed_m_s, mu, hs_m, tp_s, shape)
}

fn weighted(spreading: Spreading, points: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    let density = |(theta, weight): (f64, f64)| (theta, weight * spreading.density(theta).unwrap_or(0.0));
    let dense: Vec<(f64, f64)> = points.into_iter().map(density).collect();
    let total: f64 = dense.iter().map(|(_, weight)| weight).sum();
    dense.into_iter().map(|(theta, weight)| (theta, weight / total)).collect()
}

/// The wave angle within [0, pi] that a boat symmetric about her centreplane cannot tell from this one.
pub(super) fn fold(mu: f64) -> f64 {
    crate::base::bearing::wrap_pi(mu).abs()
}

pub(super) fn add_scaled(total: &mut [f64; QUANTITIES], values: &[f64; QUANTITIES], weight: f64) {
    for (sum, value) in total.iter_mut().zip(values) {
        *sum += weight * value;
    }
}

/// Weight of point `index` of an odd number of points by Simpson's rule (of an even number: trapezoidal).
fn simpson(index: usize, count: usize) -> f64 {
    let end = index == 0 || index == count - 1;
    match (count % 2, end) {
        (0, true) => 0.5,
        (0, false) => 1.0,
        (_, true) => 1.0 / 3.0,
        _ if index % 2 == 1 => 4.0 / 3.0,
        _ => 2.0 / 3.0,
    }
}
