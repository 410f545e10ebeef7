//! Response tables: the spectrum integrated once for each speed, peak period, wave angle and spectrum shape.
//!
//! Everything in a [`Response`] goes with Hs² and adds over wave systems, so a sea state costs a few interpolations.
//! The integration separates: the regular-wave response is computed on a grid of frequency and angle and taken apart into a
//! cosine series of the angle; a spreading only weakens each order, whatever its width at each frequency; so orders are
//! summed over frequency with weights that integrate spectrum and spreading exactly against the grid's cubic base functions,
//! and then put together at each wave angle. The swell's spreading is too narrow for the series: there the response is smeared
//! over directions first. Beside these stands the regular-wave response itself, as a cosine series of the angle at fewer
//! frequencies, for seas that come with their spectrum.

use crate::hydro::response::direct::add_scaled;
use crate::hydro::response::directional::{DirectionalSpectrum, nodes};
use crate::hydro::response::extent::{LONGEST_PERIOD_S, ORDERS};
use crate::hydro::response::grid::{COSINES, RegularGrid, SWELL, Smeared};
use crate::hydro::response::quantities::QUANTITIES;
use crate::hydro::response::regular::BoatInWaves;
use crate::hydro::response::spectral::{GAMMAS, SHAPES, SWELLS, SpectralWeights, shapes};
use crate::hydro::response::speeds::{SpeedPlace, Speeds};
use crate::maths::axis::Axis;
use crate::maths::cubic::{base, cubic, mirrored};
use crate::sea::PartitionKind;
use rayon::prelude::*;
use std::f64::consts::PI;

const ANGLE_STEP: f64 = PI / 60.0;
const PERIODS_S: (f64, f64) = (1.0, LONGEST_PERIOD_S);
const LOG_PERIOD_STEP: f64 = 0.05;
/// Raised whenever the same nodes come to hold other values, so that tables kept on disk are made anew.
const LAYOUT_VERSION: u32 = 8;
/// Coefficients of a spectrum below this part of its variance are left out.
const NEGLIGIBLE: f64 = 1e-7;

/// Everything of one entry at one speed.
pub(super) type SpeedRow = [f32; QUANTITIES];

/// Responses per Hs², by shape, peak period, wave angle and speed, then per variance by frequency, order and speed; the
/// speeds of one entry lie side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct ResponseTable {
    speeds: Speeds,
    log_periods: Axis,
    angles: Axis,
    rows: Vec<SpeedRow>,
}

impl ResponseTable {
    /// Tabulates a boat's responses up to a speed.
    pub fn build(boat: &BoatInWaves, max_speed_m_s: f64) -> Self {
        let mut table = Self::empty(boat, max_speed_m_s);
        let grid = RegularGrid::new(boat, table.angles);
        let weights = SpectralWeights::new(grid.log_frequencies(), &table.log_periods);
        let [first, second] = boat.held_speeds_m_s();
        let nodes: Vec<f64> = table.speeds.nodes().collect();
        let held = grid.held(first.max(second), nodes[nodes.len() - 1]);
        let columns: Vec<Vec<(usize, SpeedRow)>> = nodes
            .par_iter()
            .enumerate()
            .map(|(index, speed)| {
                let averaged = grid.smeared(*speed, &held);
                let mut column = table.wind_sea_column(index, &averaged[COSINES], &weights);
                column.extend(table.swell_column(index, &averaged[SWELL], &weights));
                column.extend(table.regular_column(index, &averaged[COSINES], grid.log_frequencies()));
                column
            })
            .collect();
        for (index, row) in columns.into_iter().flatten() {
            table.rows[index] = row;
        }
        table
    }

    /// A table of a boat's from the bytes of [`ResponseTable::to_bytes`]; none where their number does not fit.
    pub fn from_bytes(boat: &BoatInWaves, max_speed_m_s: f64, bytes: &[u8]) -> Option<Self> {
        let mut table = Self::empty(boat, max_speed_m_s);
        let numbers = bytes.chunks_exact(size_of::<f32>());
        if bytes.len() != table.rows.len() * size_of::<SpeedRow>() {
            return None;
        }
        let values = numbers.map(|number| f32::from_le_bytes([number[0], number[1], number[2], number[3]]));
        for (slot, value) in table.rows.as_flattened_mut().iter_mut().zip(values) {
            *slot = value;
        }
        Some(table)
    }

    /// The nodes of a table of a boat's as text: tables with equal layouts hold their values at the same places.
    pub fn layout(boat: &BoatInWaves, max_speed_m_s: f64) -> String {
        let speeds = Speeds::new(boat.held_speeds_m_s(), max_speed_m_s);
        format!(
            "{LAYOUT_VERSION} {speeds:?} {ANGLE_STEP} {PERIODS_S:?} {LOG_PERIOD_STEP} {SHAPES} {QUANTITIES} \
             {ORDERS} {:?}",
            nodes()
        )
    }

    /// The table's values as bytes, for [`ResponseTable::from_bytes`].
    pub fn to_bytes(&self) -> Vec<u8> {
        self.rows.as_flattened().iter().flat_map(|value| value.to_le_bytes()).collect()
    }

    fn empty(boat: &BoatInWaves, max_speed_m_s: f64) -> Self {
        let speeds = Speeds::new(boat.held_speeds_m_s(), max_speed_m_s);
        let log_periods = Axis::covering(PERIODS_S.0.ln(), PERIODS_S.1.ln(), LOG_PERIOD_STEP);
        let angles = Axis::covering(0.0, PI, ANGLE_STEP);
        let entries = SHAPES * log_periods.len() * angles.len() + nodes().len() * ORDERS;
        let rows = vec![[0.0; QUANTITIES]; entries * speeds.len()];
        Self { speeds, log_periods, angles, rows }
    }

    /// The speeds of the table, m/s.
    pub fn speeds_m_s(&self) -> impl Iterator<Item = f64> + '_ {
        self.speeds.nodes()
    }

    /// Number of speeds.
    pub fn speed_count(&self) -> usize {
        self.speeds.len()
    }

    /// The entries that make up a wave system, with their weights; see [`crate::hydro::response::SeaResponses::add_system`].
    pub(super) fn add_system(
        &self,
        kind: PartitionKind,
        hs2_m2: f64,
        tp_s: f64,
        mu: f64,
        parts: &mut Vec<(u32, f32)>,
    ) -> bool {
        let period = self.log_periods.place(tp_s.ln());
        let angle = self.angles.place(mu);
        for (shape, shape_weight) in shapes(kind, hs2_m2.sqrt(), tp_s) {
            for (p, period_weight) in cubic(period, self.log_periods.len()) {
                for (a, angle_weight) in mirrored(angle, self.angles.len()) {
                    let weight = (hs2_m2 * shape_weight * period_weight * angle_weight) as f32;
                    if weight != 0.0 {
                        parts.push((self.index(shape, p, a, 0) as u32, weight));
                    }
                }
            }
        }
        !period.outside
    }

    /// The entries that make up a sea's spectrum; see [`crate::hydro::response::SeaResponses::add_spectrum`].
    pub(super) fn add_spectrum(
        &self,
        spectrum: &DirectionalSpectrum,
        twa_deg: f64,
        parts: &mut Vec<(u32, f32)>,
    ) {
        let least = (NEGLIGIBLE * spectrum.m0()) as f32;
        // the wave angle is off-wind + 180 + TWA, see `bearing::wave_angle_rad`
        for (node, orders) in spectrum.turned(PI + twa_deg.to_radians()).enumerate() {
            for (order, weight) in orders.into_iter().enumerate().filter(|(_, weight)| weight.abs() > least) {
                parts.push((self.regular_index(node, order, 0) as u32, weight));
            }
        }
    }

    /// Where a speed lies among those of the table.
    pub(crate) fn place(&self, speed_m_s: f64) -> SpeedPlace {
        self.speeds.place(speed_m_s)
    }

    /// At a place among one value a speed, linear between speeds.
    pub(crate) fn between_speeds(values: &[f64], place: &SpeedPlace) -> f64 {
        place.linear.iter().map(|(node, weight)| weight * values[*node]).sum()
    }

    /// All entries, the speeds of one beside each other.
    pub(super) fn rows(&self) -> &[SpeedRow] {
        &self.rows
    }

    fn index(&self, shape: usize, period: usize, angle: usize, speed: usize) -> usize {
        ((shape * self.log_periods.len() + period) * self.angles.len() + angle) * self.speeds.len() + speed
    }

    fn regular_index(&self, node: usize, order: usize, speed: usize) -> usize {
        self.index(SHAPES, 0, 0, 0) + (node * ORDERS + order) * self.speeds.len() + speed
    }

    /// All entries of the regular-wave response at one speed: the finer frequencies averaged about the nodes.
    fn regular_column(&self, speed: usize, by_order: &Smeared, frequencies: &Axis) -> Vec<(usize, SpeedRow)> {
        let mut column = Vec::with_capacity(nodes().len() * ORDERS);
        for (node, log_frequency) in nodes().nodes().enumerate() {
            let around = averaged(frequencies, log_frequency, nodes().step());
            for order in 0..ORDERS {
                let mut total = [0.0; QUANTITIES];
                for (f, weight) in &around {
                    add_scaled(&mut total, &by_order[*f][order], *weight);
                }
                column.push((self.regular_index(node, order, speed), total.map(|value| value as f32)));
            }
        }
        column
    }

    /// All entries of wind seas at one speed, with their places in the table.
    fn wind_sea_column(
        &self,
        speed: usize,
        by_order: &Smeared,
        weights: &SpectralWeights,
    ) -> Vec<(usize, SpeedRow)> {
        let mut column = Vec::with_capacity(GAMMAS * self.log_periods.len() * self.angles.len());
        for shape in 0..GAMMAS {
            for period in 0..self.log_periods.len() {
                let of_sea = weights.wind_sea(shape, period);
                let mut series = [[0.0; QUANTITIES]; ORDERS];
                for (response, weights) in by_order[of_sea.first..].iter().zip(&of_sea.weights) {
                    for (order, weight) in weights.iter().enumerate() {
                        add_scaled(&mut series[order], &response[order], *weight);
                    }
                }
                for (angle, mu) in self.angles.nodes().enumerate() {
                    let mut total = [0.0; QUANTITIES];
                    for (order, term) in series.iter().enumerate() {
                        add_scaled(&mut total, term, (order as f64 * mu).cos());
                    }
                    column.push((self.index(shape, period, angle, speed), total.map(|value| value as f32)));
                }
            }
        }
        column
    }

    /// All entries of swells at one speed, with their places in the table.
    fn swell_column(
        &self,
        speed: usize,
        smeared: &Smeared,
        weights: &SpectralWeights,
    ) -> Vec<(usize, SpeedRow)> {
        let mut column = Vec::with_capacity(SWELLS * self.log_periods.len() * self.angles.len());
        for exponent in 0..SWELLS {
            for period in 0..self.log_periods.len() {
                let of_sea = weights.swell(exponent, period);
                for angle in 0..self.angles.len() {
                    let mut total = [0.0; QUANTITIES];
                    for (response, [weight]) in smeared[of_sea.first..].iter().zip(&of_sea.weights) {
                        add_scaled(&mut total, &response[angle], *weight);
                    }
                    let place = self.index(GAMMAS + exponent, period, angle, speed);
                    column.push((place, total.map(|value| value as f32)));
                }
            }
        }
        column
    }
}

/// Finer nodes with weights that average about a place: parabolas are kept, what wiggles faster than `step` is smoothed.
fn averaged(finer: &Axis, place: f64, step: f64) -> Vec<(usize, f64)> {
    let near = |(index, node): (usize, f64)| (index, base((node - place) / step));
    let near: Vec<(usize, f64)> =
        finer.nodes().enumerate().map(near).filter(|(_, weight)| *weight != 0.0).collect();
    let total: f64 = near.iter().map(|(_, weight)| weight).sum();
    near.into_iter().map(|(index, weight)| (index, weight / total)).collect()
}
