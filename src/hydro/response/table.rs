//! Response tables: the spectrum integrated once for each speed, peak period, wave angle and spectrum shape.
//!
//! Everything in a [`Response`] goes with Hs² and adds over wave systems, so a sea state costs a few interpolations.
//! The integration separates: the regular-wave response is computed on a grid of frequency and angle, smeared over
//! directions, then summed over frequency with weights that integrate the spectrum exactly against a response that
//! is linear between grid frequencies.

use super::axis::{Axis, Place};
use super::direct::{add_scaled, fold};
use super::{BoatInWaves, QUANTITIES, Response};
use crate::hydro::spectrum::{Shape, Spectrum, gamma_dnv};
use crate::hydro::spreading::Spreading;
use crate::hydro::wave_shape::{SWELL_GAMMA, SWELL_S, WIND_SEA_S};
use crate::sea::PartitionKind;
use crate::units::{G, KN};
use rayon::prelude::*;
use std::f64::consts::{PI, TAU};

/// Largest distance of two speeds of the table, m/s.
pub const SPEED_STEP_M_S: f64 = KN;
const ANGLE_STEP: f64 = PI / 60.0;
const PERIODS_S: (f64, f64) = (1.0, 26.0);
const LOG_PERIOD_STEP: f64 = 0.05;
const LOG_FREQUENCY_STEP: f64 = 0.025;
const SHORTEST_WAVE_M: f64 = 0.5;
/// Peak enhancements tabulated for wind sea; between them the response is linear in gamma.
const GAMMAS: [f64; 5] = [1.0, 1.7, 2.6, 3.7, 5.0];
const SHAPES: usize = GAMMAS.len() + 1;
/// Points within one step of the frequency grid on which the spectrum is integrated; even.
const SUBSTEPS: usize = 8;

type Row = [f32; QUANTITIES];

/// Responses per Hs², by shape, peak period, wave angle and speed; the speeds of one entry lie side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct ResponseTable {
    speeds: Axis,
    log_periods: Axis,
    angles: Axis,
    rows: Vec<Row>,
}

impl ResponseTable {
    /// Tabulates a boat's responses up to a speed.
    pub fn build(boat: &BoatInWaves, max_speed_m_s: f64) -> Self {
        let speeds = Axis::covering(0.0, max_speed_m_s.max(SPEED_STEP_M_S), SPEED_STEP_M_S);
        let log_periods = Axis::covering(PERIODS_S.0.ln(), PERIODS_S.1.ln(), LOG_PERIOD_STEP);
        let angles = Axis::covering(0.0, PI, ANGLE_STEP);
        let mut table = Self { speeds, log_periods, angles, rows: Vec::new() };
        table.rows = vec![[0.0; QUANTITIES]; SHAPES * log_periods.len() * angles.len() * speeds.len()];
        let frequencies = frequencies();
        let weights = SpectralWeights::new(&frequencies, &log_periods);
        let columns: Vec<Vec<(usize, Row)>> = (0..speeds.len())
            .into_par_iter()
            .map(|v| table.speed_column(boat, v, &frequencies, &weights))
            .collect();
        for (index, row) in columns.into_iter().flatten() {
            table.rows[index] = row;
        }
        table
    }

    /// The speeds of the table, m/s.
    pub fn speeds_m_s(&self) -> impl Iterator<Item = f64> + '_ {
        self.speeds.nodes()
    }

    /// Number of speeds.
    pub fn speed_count(&self) -> usize {
        self.speeds.len()
    }

    /// Distance of two speeds, m/s.
    pub fn speed_step_m_s(&self) -> f64 {
        self.speeds.node(1)
    }

    /// Adds the response to one wave system at every speed of the table to `curve` (one entry a speed).
    ///
    /// Returns whether the peak period lies within the table; outside, the nearest tabulated period stands in.
    pub fn add_curve(&self, kind: PartitionKind, hs2_m2: f64, tp_s: f64, mu: f64, curve: &mut [Row]) -> bool {
        let period = self.log_periods.place(tp_s.ln());
        let angle = self.angles.place(mu);
        for (shape, shape_weight) in shapes(kind, hs2_m2.sqrt(), tp_s) {
            for (p, period_weight) in cubic(period, self.log_periods.len()) {
                for (a, angle_weight) in mirrored(angle, self.angles.len()) {
                    let weight = (hs2_m2 * shape_weight * period_weight * angle_weight) as f32;
                    if weight != 0.0 {
                        self.add_block(shape, p, a, weight, curve);
                    }
                }
            }
        }
        !period.outside
    }

    /// The response at one speed of a curve made by [`ResponseTable::add_curve`]; cubic between speeds.
    pub fn at_speed(&self, curve: &[Row], speed_m_s: f64) -> Response {
        let nodes = cubic(self.speeds.place(speed_m_s), curve.len());
        let mut total = [0.0; QUANTITIES];
        for (node, weight) in nodes {
            for (sum, value) in total.iter_mut().zip(&curve[node]) {
                *sum += weight * f64::from(*value);
            }
        }
        Response::from_array(total)
    }

    /// One value a speed, linear between speeds.
    pub fn between_speeds(&self, values: &[f64], speed_m_s: f64) -> f64 {
        let place = self.speeds.place(speed_m_s);
        (1.0 - place.upper_weight) * values[place.lower] + place.upper_weight * values[place.lower + 1]
    }

    /// An empty curve for [`ResponseTable::add_curve`].
    pub fn empty_curve(&self) -> Vec<Row> {
        vec![[0.0; QUANTITIES]; self.speeds.len()]
    }

    fn add_block(&self, shape: usize, period: usize, angle: usize, weight: f32, curve: &mut [Row]) {
        let start = self.index(shape, period, angle, 0);
        let block = &self.rows[start..start + self.speeds.len()];
        for (sum, row) in curve.iter_mut().zip(block) {
            for q in 0..QUANTITIES {
                sum[q] += weight * row[q];
            }
        }
    }

    fn index(&self, shape: usize, period: usize, angle: usize, speed: usize) -> usize {
        ((shape * self.log_periods.len() + period) * self.angles.len() + angle) * self.speeds.len() + speed
    }

    /// All entries of one speed, with their places in the table.
    fn speed_column(
        &self,
        boat: &BoatInWaves,
        speed: usize,
        frequencies: &[f64],
        weights: &SpectralWeights,
    ) -> Vec<(usize, Row)> {
        let regular = self.regular_responses(boat, self.speeds.node(speed), frequencies);
        let by_spreading = [WIND_SEA_S, SWELL_S].map(|s| self.smear(&regular, Spreading::HalfCosine { s }));
        let mut column = Vec::with_capacity(SHAPES * self.log_periods.len() * self.angles.len());
        for shape in 0..SHAPES {
            let smeared = &by_spreading[usize::from(shape == GAMMAS.len())];
            for period in 0..self.log_periods.len() {
                let (first, weights) = weights.of(shape, period);
                for angle in 0..self.angles.len() {
                    let mut total = [0.0; QUANTITIES];
                    for (offset, weight) in weights.iter().enumerate() {
                        add_scaled(&mut total, &smeared[first + offset][angle], *weight);
                    }
                    column.push((self.index(shape, period, angle, speed), total.map(|value| value as f32)));
                }
            }
        }
        column
    }

    /// Regular-wave responses by frequency and angle.
    fn regular_responses(
        &self,
        boat: &BoatInWaves,
        speed_m_s: f64,
        frequencies: &[f64],
    ) -> Vec<Vec<[f64; QUANTITIES]>> {
        frequencies
            .iter()
            .map(|&omega| {
                let at = |mu| boat.regular_about(speed_m_s, omega, mu, self.angles.node(1)).to_array();
                self.angles.nodes().map(at).collect()
            })
            .collect()
    }

    /// Responses averaged over directions about each mean angle.
    fn smear(&self, regular: &[Vec<[f64; QUANTITIES]>], spreading: Spreading) -> Vec<Vec<[f64; QUANTITIES]>> {
        let kernel = self.kernel(spreading);
        regular
            .iter()
            .map(|by_angle| {
                kernel
                    .iter()
                    .map(|weights| {
                        let mut total = [0.0; QUANTITIES];
                        for (values, weight) in by_angle.iter().zip(weights) {
                            add_scaled(&mut total, values, *weight);
                        }
                        total
                    })
                    .collect()
            })
            .collect()
    }

    /// For each mean angle, the weight of each tabulated angle: the spreading integrated against a response linear
    /// between angles, so that a narrow swell is not sampled at a few points.
    fn kernel(&self, spreading: Spreading) -> Vec<Vec<f64>> {
        const FINE: usize = 32;
        let cells = 2 * (self.angles.len() - 1) * FINE;
        let step = TAU / cells as f64;
        let density: Vec<f64> = (0..cells)
            .map(|i| spreading.density(crate::bearing::wrap_pi(step * i as f64)).unwrap_or(0.0))
            .collect();
        let total: f64 = density.iter().sum();
        self.angles
            .nodes()
            .map(|mean| {
                let mut weights = vec![0.0; self.angles.len()];
                for (i, d) in density.iter().enumerate().filter(|(_, d)| **d > 0.0) {
                    let place = self.angles.place(fold(mean + step * i as f64));
                    for (node, weight) in ends(place) {
                        weights[node] += weight * d / total;
                    }
                }
                weights
            })
            .collect()
    }
}

/// The two nodes around a place with their weights.
fn ends(place: Place) -> [(usize, f64); 2] {
    [(place.lower, 1.0 - place.upper_weight), (place.lower + 1, place.upper_weight)]
}

/// The four nodes around a place with the weights of cubic convolution (Keys 1981, a = -1/2); at an end of the axis
/// the missing node is extrapolated from its three neighbours.
fn cubic(place: Place, count: usize) -> [(usize, f64); 4] {
    let [before, low, high, after] = cubic_weights(place.upper_weight);
    let i = place.lower;
    if i == 0 {
        return [(0, low + 3.0 * before), (1, high - 3.0 * before), (2, after + before), (0, 0.0)];
    }
    if i + 2 == count {
        return [(i - 1, before + after), (i, low - 3.0 * after), (i + 1, high + 3.0 * after), (i, 0.0)];
    }
    [(i - 1, before), (i, low), (i + 1, high), (i + 2, after)]
}

/// As [`cubic`] for an axis at whose ends the function is mirrored, as over wave angles from 0 to pi.
fn mirrored(place: Place, count: usize) -> [(usize, f64); 4] {
    let [before, low, high, after] = cubic_weights(place.upper_weight);
    let i = place.lower;
    let last = count - 1;
    let beyond = if i + 2 > last { 2 * last - (i + 2) } else { i + 2 };
    [(i.abs_diff(1), before), (i, low), (i + 1, high), (beyond, after)]
}

fn cubic_weights(t: f64) -> [f64; 4] {
    let (t2, t3) = (t * t, t * t * t);
    [
        0.5 * (-t + 2.0 * t2 - t3),
        0.5 * (2.0 - 5.0 * t2 + 3.0 * t3),
        0.5 * (t + 4.0 * t2 - 3.0 * t3),
        0.5 * (t3 - t2),
    ]
}

/// The tabulated shapes that stand for a system's, with their weights.
fn shapes(kind: PartitionKind, hs_m: f64, tp_s: f64) -> [(usize, f64); 2] {
    if kind == PartitionKind::Swell {
        return [(GAMMAS.len(), 1.0), (GAMMAS.len(), 0.0)];
    }
    let gamma = gamma_dnv(hs_m, tp_s).clamp(GAMMAS[0], GAMMAS[GAMMAS.len() - 1]);
    let upper = GAMMAS[1..GAMMAS.len() - 1].partition_point(|node| *node < gamma) + 1;
    let weight = (gamma - GAMMAS[upper - 1]) / (GAMMAS[upper] - GAMMAS[upper - 1]);
    [(upper - 1, 1.0 - weight), (upper, weight)]
}

fn frequencies() -> Vec<f64> {
    let lowest = 0.4 * TAU / PERIODS_S.1;
    let highest = (TAU * G / SHORTEST_WAVE_M).sqrt();
    Axis::covering(lowest.ln(), highest.ln(), LOG_FREQUENCY_STEP).nodes().map(f64::exp).collect()
}

/// For each shape and period, the weight of each grid frequency; zeros at both ends are left out.
struct SpectralWeights {
    periods: usize,
    entries: Vec<(usize, Vec<f64>)>,
}

impl SpectralWeights {
    fn new(frequencies: &[f64], log_periods: &Axis) -> Self {
        let mut entries = Vec::with_capacity(SHAPES * log_periods.len());
        for shape in 0..SHAPES {
            let gamma = GAMMAS.get(shape).copied().unwrap_or(SWELL_GAMMA);
            for log_period in log_periods.nodes() {
                entries.push(trimmed(spectral_weights(
                    frequencies,
                    Shape::Jonswap { gamma },
                    log_period.exp(),
                )));
            }
        }
        Self { periods: log_periods.len(), entries }
    }

    fn of(&self, shape: usize, period: usize) -> (usize, &[f64]) {
        let (first, weights) = &self.entries[shape * self.periods + period];
        (*first, weights)
    }
}

/// Integrals of the spectrum of unit Hs times the piecewise linear (in log frequency) base functions of the grid.
fn spectral_weights(frequencies: &[f64], shape: Shape, tp_s: f64) -> Vec<f64> {
    let spectrum = Spectrum::new(shape, 1.0, tp_s);
    let mut weights = vec![0.0; frequencies.len()];
    for (cell, pair) in frequencies.windows(2).enumerate() {
        let (low, width) = (pair[0].ln(), (pair[1] / pair[0]).ln());
        for i in 0..=SUBSTEPS {
            let upper = i as f64 / SUBSTEPS as f64;
            let omega = (low + width * upper).exp();
            let simpson = if i == 0 || i == SUBSTEPS {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            };
            let energy = spectrum.density(omega) * omega * width / SUBSTEPS as f64 * simpson / 3.0;
            weights[cell] += energy * (1.0 - upper);
            weights[cell + 1] += energy * upper;
        }
    }
    let variance: f64 = weights.iter().sum();
    weights.iter().map(|weight| weight / variance / 16.0).collect()
}

fn trimmed(weights: Vec<f64>) -> (usize, Vec<f64>) {
    let kept = |weight: &f64| *weight > 1e-10;
    let first = weights.iter().position(kept).unwrap_or(0);
    let last = weights.iter().rposition(kept).unwrap_or(weights.len() - 1);
    (first, weights[first..=last].to_vec())
}
