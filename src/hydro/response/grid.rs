//! Regular-wave responses on a grid of frequency and angle, averaged over directions: the first half of a table.
//! Averages are over the swell's spreading about each mean angle, and over cosines of the angle: the orders of its series,
//! which serve every wider spreading.
//!
//! Motions and radiated energy are smooth in the angle and are sampled at the table's own angles. The regression
//! jumps where waves begin to meet another side of the hull; it costs little and is sampled finely between the jumps.

use crate::base::bearing::wrap_pi;
use crate::hydro::added_resistance::snnm;
use crate::hydro::response::direct::{add_scaled, fold};
use crate::hydro::response::extent::{ORDERS, log_frequency_range};
use crate::hydro::response::quantities::{QUANTITIES, Response};
use crate::hydro::response::regular::BoatInWaves;
use crate::hydro::spreading::Spreading;
use crate::hydro::wave_shape::SWELL_S;
use crate::maths::axis::Axis;
use crate::maths::cubic::mirrored;
use std::f64::consts::{PI, TAU};

const LOG_FREQUENCY_STEP: f64 = 0.035;
/// Largest distance of the angles the regression is sampled at.
const REGRESSION_STEP: f64 = PI / 360.0;
/// Points within one step of the angle on which the spreading is integrated.
const FINE: usize = 32;

/// The place of the averages over the swell's spreading.
pub(super) const SWELL: usize = 0;
/// The place of the cosine series.
pub(super) const COSINES: usize = 1;
/// Kinds of averages.
const AVERAGES: usize = 2;

/// Responses by frequency and mean angle, or order.
pub(super) type Smeared = Vec<Vec<[f64; QUANTITIES]>>;
/// One number by frequency and angle.
type AngleField = Vec<Vec<f64>>;

/// The narrow spreading, of more orders than the series has.
const NARROW: Spreading = Spreading::HalfCosine { s: SWELL_S };

/// A boat, the grid, and how directions are averaged.
pub(super) struct RegularGrid<'b> {
    boat: &'b BoatInWaves,
    log_frequencies: Axis,
    angles: Axis,
    /// By average: for each mean angle or order, the weight of each angle of the grid.
    kernels: [AngleField; AVERAGES],
    regression_angles: Vec<f64>,
    /// By average: for each mean angle or order, the weight of each angle of the regression.
    regression_kernels: [AngleField; AVERAGES],
}

/// Added resistances that serve all speeds from where they are held.
pub(super) struct Resistances {
    /// By frequency and angle of the grid.
    radiated: Vec<Vec<HeldForce>>,
    /// A speed from which the regression is held, m/s.
    regression_from_m_s: f64,
    /// By average: by frequency and mean angle or order.
    regression: [AngleField; AVERAGES],
}

/// A force that no longer changes from a speed upwards.
#[derive(Debug, Clone, Copy)]
struct HeldForce {
    from_m_s: f64,
    /// N/m²; zero where it is held from beyond the table only.
    force: f64,
}

impl<'b> RegularGrid<'b> {
    pub(super) fn new(boat: &'b BoatInWaves, angles: Axis) -> Self {
        let [lowest, highest] = log_frequency_range();
        let cells = cells(&snnm::breaks(&boat.dimensions));
        Self {
            boat,
            log_frequencies: Axis::covering(lowest, highest, LOG_FREQUENCY_STEP),
            angles,
            kernels: [kernel(&angles, NARROW), cosine_kernel(&angles)],
            regression_angles: cells.iter().map(|(angle, _)| *angle).collect(),
            regression_kernels: [cell_kernel(&angles, &cells, NARROW), cosine_cell_kernel(&cells)],
        }
    }

    pub(super) fn log_frequencies(&self) -> &Axis {
        &self.log_frequencies
    }

    /// The added resistances that are held from some speed of a table upwards; the regression is at the given one.
    pub(super) fn held(&self, regression_from_m_s: f64, max_speed_m_s: f64) -> Resistances {
        let at = |omega, mu| {
            let from_m_s = self.boat.radiated_held_speed_m_s(omega, mu);
            let force = || self.boat.radiated(&self.boat.motions(from_m_s, omega, mu), mu);
            HeldForce { from_m_s, force: if from_m_s <= max_speed_m_s { force() } else { 0.0 } }
        };
        let radiated =
            self.frequencies().map(|omega| self.angles.nodes().map(|mu| at(omega, mu)).collect()).collect();
        Resistances { radiated, regression_from_m_s, regression: self.regression(regression_from_m_s) }
    }

    /// Responses averaged over directions in each way, with what is held already.
    pub(super) fn smeared(&self, speed_m_s: f64, held: &Resistances) -> [Smeared; AVERAGES] {
        let own = (speed_m_s < held.regression_from_m_s).then(|| self.regression(speed_m_s));
        let regression = own.as_ref().unwrap_or(&held.regression);
        let mut smeared: [Smeared; AVERAGES] = Default::default();
        for (f, omega) in self.frequencies().enumerate() {
            let by_angle = self.moved_and_radiated(speed_m_s, omega, &held.radiated[f]);
            for (average, rows) in smeared.iter_mut().enumerate() {
                let means = self.kernels[average].iter().map(|weights| weighted(&by_angle, weights));
                rows.push(
                    means.zip(&regression[average][f]).map(|(mean, force)| self.with(mean, *force)).collect(),
                );
            }
        }
        smeared
    }

    fn frequencies(&self) -> impl Iterator<Item = f64> + '_ {
        self.log_frequencies.nodes().map(f64::exp)
    }

    fn moved_and_radiated(&self, speed_m_s: f64, omega: f64, held: &[HeldForce]) -> Vec<[f64; QUANTITIES]> {
        let at = |(mu, held): (f64, &HeldForce)| {
            let motions = self.boat.motions(speed_m_s, omega, mu);
            let mut response = self.boat.moved(&motions);
            let is_held = speed_m_s >= held.from_m_s;
            self.boat.set_radiated(
                &mut response,
                if is_held { held.force } else { self.boat.radiated(&motions, mu) },
            );
            self.boat.set_own(&mut response, speed_m_s, omega, mu);
            response.to_array()
        };
        self.angles.nodes().zip(held).map(at).collect()
    }

    fn with(&self, mean: [f64; QUANTITIES], regression: f64) -> [f64; QUANTITIES] {
        let mut response = Response::from_array(mean);
        self.boat.set_regression(&mut response, regression);
        response.to_array()
    }

    fn regression(&self, speed_m_s: f64) -> [AngleField; AVERAGES] {
        let mut averaged: [AngleField; AVERAGES] = Default::default();
        for omega in self.frequencies() {
            let at = |angle: &f64| self.boat.regression(speed_m_s, omega, *angle);
            let forces: Vec<f64> = self.regression_angles.iter().map(at).collect();
            for (rows, kernel) in averaged.iter_mut().zip(&self.regression_kernels) {
                let mean = |weights: &Vec<f64>| weights.iter().zip(&forces).map(|(w, force)| w * force).sum();
                rows.push(kernel.iter().map(mean).collect());
            }
        }
        averaged
    }
}

fn weighted(by_angle: &[[f64; QUANTITIES]], weights: &[f64]) -> [f64; QUANTITIES] {
    let mut total = [0.0; QUANTITIES];
    for (values, weight) in by_angle.iter().zip(weights) {
        add_scaled(&mut total, values, *weight);
    }
    total
}

/// For each order, what the cosine series of an even function of the angle takes of each angle of the grid.
fn cosine_kernel(angles: &Axis) -> AngleField {
    let cells = (angles.len() - 1) * FINE;
    let width = PI / cells as f64;
    let of_order = |order: usize| {
        let mut weights = vec![0.0; angles.len()];
        for i in 0..cells {
            let angle = width * (i as f64 + 0.5);
            for (node, weight) in mirrored(angles.place(angle), angles.len()) {
                weights[node] += weight * width * cosine(order, angle);
            }
        }
        weights
    };
    (0..ORDERS).map(of_order).collect()
}

/// As [`cosine_kernel`] for the cells of the regression.
fn cosine_cell_kernel(cells: &[(f64, f64)]) -> AngleField {
    (0..ORDERS).map(|n| cells.iter().map(|(angle, width)| width * cosine(n, *angle)).collect()).collect()
}

/// The factor of a term of the cosine series over 0 to pi.
fn cosine(order: usize, angle: f64) -> f64 {
    if order == 0 { 1.0 / PI } else { 2.0 / PI * (order as f64 * angle).cos() }
}

/// For each mean angle, the spreading integrated against the base functions of the angles, so that a narrow swell is
/// not sampled at a few points.
fn kernel(angles: &Axis, spreading: Spreading) -> AngleField {
    let cells = 2 * (angles.len() - 1) * FINE;
    let step = TAU / cells as f64;
    let density = |i: usize| spreading.density(wrap_pi(step * i as f64)).unwrap_or(0.0);
    let dense: Vec<(f64, f64)> =
        (0..cells).map(|i| (step * i as f64, density(i))).filter(|(_, density)| *density > 0.0).collect();
    let total: f64 = dense.iter().map(|(_, density)| density).sum();
    let about = |mean: f64| {
        let mut weights = vec![0.0; angles.len()];
        for (off, density) in &dense {
            for (node, weight) in mirrored(angles.place(fold(mean + off)), angles.len()) {
                weights[node] += weight * density / total;
            }
        }
        weights
    };
    angles.nodes().map(about).collect()
}

/// Middles and widths of cells that fill 0 to pi, with edges at the breaks.
fn cells(breaks: &[f64]) -> Vec<(f64, f64)> {
    let mut edges = vec![0.0];
    edges.extend(breaks.iter().copied().filter(|angle| *angle > 0.0 && *angle < PI));
    edges.push(PI);
    let mut cells = Vec::new();
    for edge in edges.windows(2).filter(|edge| edge[1] > edge[0]) {
        let piece = Axis::covering(edge[0], edge[1], REGRESSION_STEP);
        cells.extend((1..piece.len()).map(|i| (0.5 * (piece.node(i - 1) + piece.node(i)), piece.step())));
    }
    cells
}

/// For each mean angle, the share of the spreading in each cell, from either side of the boat.
fn cell_kernel(angles: &Axis, cells: &[(f64, f64)], spreading: Spreading) -> AngleField {
    let density = |theta: f64| spreading.density(wrap_pi(theta)).unwrap_or(0.0);
    let about = |mean: f64| {
        let shares =
            cells.iter().map(|(angle, width)| (density(angle - mean) + density(-angle - mean)) * width);
        let shares: Vec<f64> = shares.collect();
        let total: f64 = shares.iter().sum();
        shares.iter().map(|share| share / total).collect()
    };
    angles.nodes().map(about).collect()
}
