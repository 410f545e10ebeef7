//! The spectra that the response tables are made for, as weights of grid frequencies.

use crate::hydro::spectrum::{Spectrum, SpectrumShape, gamma_dnv};
use crate::hydro::wave_shape::SWELL_GAMMA;
use crate::maths::axis::{Axis, AxisPlace};
use crate::maths::cubic::{Nodes, cubic};
use crate::sea::PartitionKind;

/// Peak enhancements tabulated for wind sea, evenly spaced in their logarithm from 1 to 5, the ends that
/// DNV-RP-C205 gives; moments of the spectrum are smooth in it.
const GAMMAS: usize = 5;
/// The swell's place behind those of the wind sea.
pub(super) const SWELL: usize = GAMMAS;
/// Number of tabulated shapes.
pub(super) const SHAPES: usize = SWELL + 1;
/// Points within one step of the frequency grid on which the spectrum is integrated; even.
const SUBSTEPS: usize = 8;

/// The tabulated shapes that stand for a system's, with their weights.
pub(super) fn shapes(kind: PartitionKind, hs_m: f64, tp_s: f64) -> Nodes {
    if kind == PartitionKind::Swell {
        return [(SWELL, 1.0), (SWELL, 0.0), (SWELL, 0.0), (SWELL, 0.0)];
    }
    cubic(log_gammas().place(gamma_dnv(hs_m, tp_s).ln()), GAMMAS)
}

fn log_gammas() -> Axis {
    let last = 5f64.ln();
    Axis::covering(0.0, last, last / (GAMMAS - 1) as f64)
}

/// For each shape and period, the weight of each grid frequency; zeros at both ends are left out.
pub(super) struct SpectralWeights {
    periods: usize,
    entries: Vec<(usize, Vec<f64>)>,
}

impl SpectralWeights {
    pub(super) fn new(log_frequencies: &Axis, log_periods: &Axis) -> Self {
        let mut entries = Vec::with_capacity(SHAPES * log_periods.len());
        for shape in 0..SHAPES {
            let gamma = if shape == SWELL { SWELL_GAMMA } else { log_gammas().node(shape).exp() };
            for log_period in log_periods.nodes() {
                entries.push(trimmed(weights(
                    log_frequencies,
                    SpectrumShape::Jonswap { gamma },
                    log_period.exp(),
                )));
            }
        }
        Self { periods: log_periods.len(), entries }
    }

    /// The first frequency with a weight, and the weights from there.
    pub(super) fn of(&self, shape: usize, period: usize) -> (usize, &[f64]) {
        let (first, weights) = &self.entries[shape * self.periods + period];
        (*first, weights)
    }
}

/// Integrals of the spectrum of unit Hs times the base functions of the grid.
fn weights(log_frequencies: &Axis, shape: SpectrumShape, tp_s: f64) -> Vec<f64> {
    let spectrum = Spectrum::new(shape, 1.0, tp_s);
    let mut weights = vec![0.0; log_frequencies.len()];
    let width = log_frequencies.step();
    for lower in 0..log_frequencies.len() - 1 {
        for i in 0..=SUBSTEPS {
            let upper_weight = i as f64 / SUBSTEPS as f64;
            let omega = (log_frequencies.node(lower) + width * upper_weight).exp();
            let simpson = if i == 0 || i == SUBSTEPS {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            };
            let energy = spectrum.density(omega) * omega * width / SUBSTEPS as f64 * simpson / 3.0;
            let place = AxisPlace { lower, upper_weight, outside: false };
            for (node, weight) in cubic(place, log_frequencies.len()) {
                weights[node] += energy * weight;
            }
        }
    }
    let variance: f64 = weights.iter().sum();
    weights.iter().map(|weight| weight / variance / 16.0).collect()
}

fn trimmed(weights: Vec<f64>) -> (usize, Vec<f64>) {
    let kept = |weight: &f64| weight.abs() > 1e-10;
    let first = weights.iter().position(kept).unwrap_or(0);
    let last = weights.iter().rposition(kept).unwrap_or(weights.len() - 1);
    (first, weights[first..=last].to_vec())
}
