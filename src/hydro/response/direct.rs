//! The response to a directional spectrum, integrated directly: what the tables are measured against.

use super::{BoatInWaves, QUANTITIES, Response};
use crate::hydro::spectrum::Spectrum;
use crate::hydro::spreading::Spreading;
use crate::hydro::wave_shape::WaveShape;
use crate::units::G;
use std::f64::consts::PI;

/// Frequencies a sea is integrated over: from this multiple of the peak ...
const LOWEST_OF_PEAK: f64 = 0.4;
/// ... to waves of this length, m: shorter ones move no boat, and spectra say little about them.
const SHORTEST_WAVE_M: f64 = 0.5;
const FREQUENCIES: usize = 301;
const ANGLES: usize = 91;

/// The response in one wave system at a speed and mean wave angle, by Simpson's rule over frequency and direction.
///
/// Integrates over the absolute frequency, never the encounter frequency, so that all branches of following seas
/// are counted once. Slow and careful: the result is for the given height, not per metre.
pub fn direct(
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
    let step = (highest - lowest) / (FREQUENCIES - 1) as f64;
    let mut total = [0.0; QUANTITIES];
    let mut variance = 0.0;
    for i in 0..FREQUENCIES {
        let omega = (lowest + step * i as f64).exp();
        let energy = simpson(i, FREQUENCIES) * step * omega * spectrum.density(omega);
        variance += energy;
        if energy > 1e-9 * hs_m * hs_m {
            add_scaled(&mut total, &over_directions(boat, speed_m_s, mu, omega, shape.spreading), energy);
        }
    }
    let to_stated_height = hs_m * hs_m / 16.0 / variance;
    Response::from_array(total.map(|value| value * to_stated_height))
}

fn over_directions(
    boat: &BoatInWaves,
    speed: f64,
    mu: f64,
    omega: f64,
    spreading: Spreading,
) -> [f64; QUANTITIES] {
    let half_width = match spreading {
        Spreading::LongCrested => return boat.regular(speed, omega, fold(mu)).to_array(),
        Spreading::HalfCosine { s } => (6.0 / (2.0 * s).sqrt()).min(PI / 2.0),
        Spreading::FullCosine { s } => (6.0 / (s / 2.0).sqrt()).min(PI),
    };
    let step = 2.0 * half_width / (ANGLES - 1) as f64;
    let mut total = [0.0; QUANTITIES];
    let mut share = 0.0;
    for i in 0..ANGLES {
        let theta = -half_width + step * i as f64;
        let weight = simpson(i, ANGLES) * step * spreading.density(theta).unwrap_or(0.0);
        share += weight;
        add_scaled(&mut total, &boat.regular(speed, omega, fold(mu + theta)).to_array(), weight);
    }
    total.map(|value| value / share)
}

/// The wave angle within [0, pi] that a boat symmetric about her centreplane cannot tell from this one.
pub(super) fn fold(mu: f64) -> f64 {
    crate::bearing::wrap_pi(mu).abs()
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
