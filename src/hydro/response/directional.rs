//! A sea's directional spectrum in a form that adds and turns: variance by frequency node and Fourier order of the angle.
//!
//! With the spectrum E(f, theta) as a Fourier series in the angle off a reference (the wind), turning it to a course is
//! exact, spectra of different seas add term by term, and the integral over direction against a response that is a
//! cosine series of the wave angle is a sum over orders. Nothing is re-binned in direction, so nothing is smeared.
//!
//! Orders end below half the number of the spectrum's directions, beyond which samples say nothing, and at
//! [`HIGHEST_ORDER`]. Between the stated frequencies the density runs in straight lines (as the trapezoidal rule has it,
//! so variance is kept); the integral over frequency uses the cubic base functions of the response's nodes.

use crate::base::DirectionFrom;
use crate::hydro::response::extent::{HIGHEST_ORDER, ORDERS, log_frequency_range};
use crate::maths::axis::Axis;
use crate::maths::cubic::cubic;
use crate::sea::Spectrum2d;
use std::f64::consts::TAU;

/// Distance of the frequency nodes in their logarithm: spectra come in steps of 1.07 to 1.1.
const LOG_FREQUENCY_STEP: f64 = 0.07;
/// Points within one step of the spectrum's frequencies.
const SUBSTEPS: usize = 8;
/// Part of the variance that may lie beyond the nodes without a word.
const NEGLIGIBLE: f64 = 0.01;

/// Variance of the surface by frequency node and order, about a reference direction.
#[derive(Debug, Clone, PartialEq)]
pub struct DirectionalSpectrum {
    /// Node by node and order by order: variance times the mean cosine and sine of order x angle, m2.
    terms: Vec<[f32; 2]>,
}

/// The part of a spectrum about one frequency.
#[derive(Debug, Clone, PartialEq)]
pub struct SpectrumBand {
    /// Frequency, rad/s.
    pub omega: f64,
    /// Width in the logarithm of the frequency.
    pub log_width: f64,
    /// Variance of the surface, m².
    pub variance_m2: f64,
    /// Relative energy by direction off the reference, in equal steps from 0 through the circle; never negative.
    pub by_direction: Vec<f64>,
}

/// Steps of direction in a [`SpectrumBand`]: four to half a wave of the highest order.
const DIRECTIONS: usize = 144;

/// The frequency nodes, ln(rad/s).
pub(super) fn nodes() -> Axis {
    let [lowest, highest] = log_frequency_range();
    Axis::covering(lowest, highest, LOG_FREQUENCY_STEP)
}

impl DirectionalSpectrum {
    /// Brings a spectrum to the frequency nodes, with angles off a reference direction, positive clockwise.
    ///
    /// Variance is kept. What lies beyond the nodes (periods above 65 s, waves shorter than 0.5 m) counts at the
    /// outermost node; the second value says whether that is more than a hundredth of all.
    pub fn about(spectrum: &Spectrum2d, reference: DirectionFrom) -> (Self, bool) {
        let by_order = by_order(spectrum, reference);
        let axis = nodes();
        let mut terms = vec![[0.0f64; 2]; axis.len() * ORDERS];
        let mut beyond = 0.0;
        for (i, pair) in spectrum.frequency_hz.windows(2).enumerate() {
            let step = (pair[1] - pair[0]) / SUBSTEPS as f64;
            for k in 0..SUBSTEPS {
                let upper = (k as f64 + 0.5) / SUBSTEPS as f64;
                let place = axis.place((TAU * (pair[0] + upper * (pair[1] - pair[0]))).ln());
                let (low, high) = (&by_order[i], &by_order[i + 1]);
                if place.outside {
                    beyond += step * ((1.0 - upper) * low[0][0] + upper * high[0][0]);
                }
                for (node, weight) in cubic(place, axis.len()) {
                    let (low_weight, high_weight) = (step * weight * (1.0 - upper), step * weight * upper);
                    for (term, (low, high)) in terms[node * ORDERS..].iter_mut().zip(low.iter().zip(high)) {
                        term[0] += low_weight * low[0] + high_weight * high[0];
                        term[1] += low_weight * low[1] + high_weight * high[1];
                    }
                }
            }
        }
        let spectrum = Self { terms: terms.iter().map(|term| term.map(|value| value as f32)).collect() };
        let outside = beyond > NEGLIGIBLE * spectrum.m0();
        (spectrum, outside)
    }

    /// Variance of the surface, m2.
    pub fn m0(&self) -> f64 {
        self.terms.iter().step_by(ORDERS).map(|term| f64::from(term[0])).sum()
    }

    /// Significant wave height 4 sqrt(m0), m.
    pub fn hs_m(&self) -> f64 {
        4.0 * self.m0().max(0.0).sqrt()
    }

    /// Adds another spectrum about the same reference, times a weight.
    pub fn add(&mut self, other: &Self, weight: f64) {
        for (term, other) in self.terms.iter_mut().zip(&other.terms) {
            term[0] += (weight * f64::from(other[0])) as f32;
            term[1] += (weight * f64::from(other[1])) as f32;
        }
    }

    /// The spectrum times a factor.
    pub fn scaled(&self, factor: f64) -> Self {
        let scaled = |value: f32| (factor * f64::from(value)) as f32;
        Self { terms: self.terms.iter().map(|term| term.map(scaled)).collect() }
    }

    /// The spectrum frequency by frequency, with its energy over direction; what the series' end makes negative is left out.
    pub fn bands(&self) -> Vec<SpectrumBand> {
        let axis = nodes();
        let band = |(node, log_omega): (usize, f64)| {
            let terms = &self.terms[node * ORDERS..(node + 1) * ORDERS];
            let density = |direction: usize| {
                let angle = TAU * (direction as f64 + 0.5) / DIRECTIONS as f64;
                let order = |(n, term): (usize, &[f32; 2])| {
                    let (sin, cos) = (n as f64 * angle).sin_cos();
                    let twice = if n == 0 { 1.0 } else { 2.0 };
                    twice * (f64::from(term[0]) * cos + f64::from(term[1]) * sin)
                };
                terms.iter().enumerate().map(order).sum::<f64>().max(0.0)
            };
            SpectrumBand {
                omega: log_omega.exp(),
                log_width: axis.step(),
                variance_m2: f64::from(terms[0][0]),
                by_direction: (0..DIRECTIONS).map(density).collect(),
            }
        };
        axis.nodes().enumerate().map(band).collect()
    }

    /// Node by node, one number an order: the integral over direction of spectrum times cos(order x (angle + turn)).
    pub(super) fn turned(&self, turn_rad: f64) -> impl Iterator<Item = [f32; ORDERS]> + '_ {
        let turns: [(f64, f64); ORDERS] = std::array::from_fn(|n| (n as f64 * turn_rad).sin_cos());
        self.terms.chunks_exact(ORDERS).map(move |terms| {
            std::array::from_fn(|n| {
                let (sin, cos) = turns[n];
                (f64::from(terms[n][0]) * cos - f64::from(terms[n][1]) * sin) as f32
            })
        })
    }
}

/// Frequency by frequency: density times the mean cosine and sine of each order, m2/Hz.
fn by_order(spectrum: &Spectrum2d, reference: DirectionFrom) -> Vec<Vec<[f64; 2]>> {
    let widths = spectrum.direction_widths_rad();
    let widest = widths.iter().copied().fold(0.0, f64::max);
    let told = ((TAU / widest - 1.0 + 1e-6) / 2.0).floor().max(0.0) as usize;
    let orders = told.min(HIGHEST_ORDER) + 1;
    let angles: Vec<f64> = spectrum.from.iter().map(|from| from.off_deg(reference).to_radians()).collect();
    let waves: Vec<Vec<(f64, f64)>> =
        (0..orders).map(|n| angles.iter().map(|angle| (n as f64 * angle).sin_cos()).collect()).collect();
    let rows = spectrum.density.chunks_exact(spectrum.from.len().max(1));
    rows.map(|row| {
        let energies: Vec<f64> = row.iter().zip(&widths).map(|(density, width)| density * width).collect();
        let term = |wave: &Vec<(f64, f64)>| {
            energies
                .iter()
                .zip(wave)
                .fold([0.0; 2], |sum, (e, (sin, cos))| [sum[0] + e * cos, sum[1] + e * sin])
        };
        waves.iter().map(term).collect()
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use std::sync::Arc;

    /// Two blocks: 1 m at 0.1 Hz from 300 and 2 m at 0.2 Hz from 200, in sectors of 10 degrees and steps of 0.01 Hz.
    fn two_blocks() -> Spectrum2d {
        let frequency_hz: Arc<[f64]> = (1..=40).map(|i| f64::from(i) * 0.01).collect();
        let from: Arc<[_]> = (0..36).map(|j| DirectionFrom::from_deg(f64::from(j) * 10.0)).collect();
        let mut density = vec![0.0; 40 * 36];
        let bin = 0.01 * 10f64.to_radians();
        density[9 * 36 + 30] = (1.0f64 / 4.0).powi(2) / bin;
        density[19 * 36 + 20] = (2.0f64 / 4.0).powi(2) / bin;
        Spectrum2d { frequency_hz, from, density }
    }

    /// By hand: m0 = (1/4)² + (2/4)², so Hs = sqrt(1 + 4), about whatever reference.
    #[test]
    fn height_is_kept_about_any_reference() {
        for reference in [0.0, 37.3, 200.0, 359.9] {
            let (spectrum, beyond) =
                DirectionalSpectrum::about(&two_blocks(), DirectionFrom::from_deg(reference));
            assert!(!beyond);
            assert_relative_eq!(spectrum.hs_m(), 5f64.sqrt(), epsilon = 1e-6);
            for turn in [0.0, 1.0, -2.5] {
                let m0: f64 = spectrum.turned(turn).map(|orders| f64::from(orders[0])).sum();
                assert_relative_eq!(m0, 0.3125, epsilon = 1e-7);
            }
        }
    }

    /// By hand, about 260: sum of variance x cos(n (off + turn)) is 0.0625 cos(n (40 + turn)) + 0.25 cos(n (turn - 60)).
    #[test]
    fn turning_is_exact() {
        let (spectrum, _) = DirectionalSpectrum::about(&two_blocks(), DirectionFrom::from_deg(260.0));
        for turn_deg in [0.0, 90.0, -133.0] {
            for n in [1usize, 2, 7, 17] {
                let found: f64 =
                    spectrum.turned(f64::to_radians(turn_deg)).map(|orders| f64::from(orders[n])).sum();
                let cos = |deg: f64| (n as f64 * deg.to_radians()).cos();
                let hand = 0.0625 * cos(40.0 + turn_deg) + 0.25 * cos(turn_deg - 60.0);
                assert_relative_eq!(found, hand, epsilon = 1e-6);
            }
        }
    }

    /// By hand: 36 sectors tell orders to 17, 8 sectors to 3.
    #[test]
    fn orders_end_where_directions_say_nothing() {
        let (spectrum, _) = DirectionalSpectrum::about(&two_blocks(), DirectionFrom::from_deg(0.0));
        assert!(spectrum.turned(0.0).all(|orders| orders[18] == 0.0));
        let from: Arc<[_]> = (0..8).map(|j| DirectionFrom::from_deg(f64::from(j) * 45.0)).collect();
        let density = vec![1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0].repeat(3);
        let few = Spectrum2d { frequency_hz: vec![0.1, 0.11, 0.12].into(), from, density };
        let (few, _) = DirectionalSpectrum::about(&few, DirectionFrom::from_deg(0.0));
        let sum = |n: usize| few.turned(0.0).map(|orders| f64::from(orders[n])).sum::<f64>();
        assert_relative_eq!(sum(3), sum(0), max_relative = 1e-6);
        assert_eq!(sum(4), 0.0);
    }

    /// By hand: half the weight of one sea and a quarter of another: m0 = 0.5 x 0.3125 + 0.25 x 0.3125 x 4.
    #[test]
    fn spectra_add() {
        let (one, _) = DirectionalSpectrum::about(&two_blocks(), DirectionFrom::from_deg(10.0));
        let mut sum = one.scaled(0.5);
        sum.add(&one.scaled(4.0), 0.25);
        assert_relative_eq!(sum.m0(), 0.46875, epsilon = 1e-6);
    }

    /// By hand: a swell of 100 s has no place among waves of at most 65 s.
    #[test]
    fn periods_beyond_the_nodes_are_told() {
        let from: Arc<[_]> = (0..12).map(|j| DirectionFrom::from_deg(f64::from(j) * 30.0)).collect();
        let slow = Spectrum2d { frequency_hz: vec![0.008, 0.01, 0.012].into(), from, density: vec![1.0; 36] };
        let (kept, beyond) = DirectionalSpectrum::about(&slow, DirectionFrom::from_deg(0.0));
        assert!(beyond);
        assert_relative_eq!(kept.m0(), slow.m0(), max_relative = 1e-6);
    }
}
