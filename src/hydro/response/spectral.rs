//! The spectra that the response tables are made for, as weights of grid frequencies.

use crate::hydro::response::extent::ORDERS;
use crate::hydro::spectrum::{SWELL_EXPONENTS, Spectrum, SpectrumShape, gamma_dnv, swell_exponent};
use crate::hydro::spreading::{full_cosine_series, mitsuyasu_exponent};
use crate::hydro::wave_shape::WIND_SEA_S_MAX;
use crate::maths::axis::{Axis, AxisPlace};
use crate::maths::cubic::{Nodes, cubic};
use crate::sea::PartitionKind;
use std::f64::consts::TAU;

/// Peak enhancements tabulated for wind sea, evenly spaced in their logarithm from 1 to 5, the ends that
/// DNV-RP-C205 gives; moments of the spectrum are smooth in it.
pub(super) const GAMMAS: usize = 5;
/// Exponents tabulated for swell, evenly spaced over their range; their place is behind the wind sea.
pub(super) const SWELLS: usize = 7;
/// Number of tabulated shapes.
pub(super) const SHAPES: usize = GAMMAS + SWELLS;
/// Points within one step of the frequency grid on which the spectrum is integrated; even.
const SUBSTEPS: usize = 8;
/// Frequencies that hold less than this part of the square of the height are left out at both ends.
const NEGLIGIBLE: f64 = 1e-14;
/// What falls with the swell's exponent falls about as exp(-2L) or a power of it: what twice the peak frequency
/// holds of the energy goes by exp(-2L), what three times the peak holds by exp(-3.5L).
const DECAY: f64 = 2.0;

/// The tabulated shapes that stand for a system's, with their weights.
pub(super) fn shapes(kind: PartitionKind, hs_m: f64, tp_s: f64) -> Nodes {
    match kind {
        PartitionKind::WindSea | PartitionKind::Total => {
            cubic(log_gammas().place(gamma_dnv(hs_m, tp_s).ln()), GAMMAS)
        }
        PartitionKind::Swell => between_exponents(swell_exponent(hs_m, tp_s)),
    }
}

/// Lagrange's cubic in exp(-DECAY L) through the four nodes around: exact for what is constant and for what falls as
/// that, its square or its cube.
fn between_exponents(l: f64) -> Nodes {
    let axis = exponents();
    let first = (axis.place(l).lower.max(1) - 1).min(SWELLS - 4);
    let t = |l: f64| (-DECAY * (l - axis.node(first))).exp();
    let nodes: [f64; 4] = std::array::from_fn(|i| t(axis.node(first + i)));
    std::array::from_fn(|i| {
        let others = nodes.iter().enumerate().filter(|(j, _)| *j != i);
        let weight = others.map(|(_, other)| (t(l) - other) / (nodes[i] - other)).product();
        (GAMMAS + first + i, weight)
    })
}

fn log_gammas() -> Axis {
    let last = 5f64.ln();
    Axis::covering(0.0, last, last / (GAMMAS - 1) as f64)
}

fn exponents() -> Axis {
    let (least, greatest) = SWELL_EXPONENTS;
    Axis::covering(least, greatest, (greatest - least) / (SWELLS - 1) as f64)
}

/// The weight of each grid frequency from the first with any, in `N` kinds at once.
pub(super) struct FrequencyWeights<const N: usize> {
    pub(super) first: usize,
    pub(super) weights: Vec<[f64; N]>,
}

/// Weights of each grid frequency for each shape and period.
pub(super) struct SpectralWeights {
    periods: usize,
    /// By order of the cosine series, with the spreading in them.
    wind_sea: Vec<FrequencyWeights<ORDERS>>,
    swell: Vec<FrequencyWeights<1>>,
}

impl SpectralWeights {
    pub(super) fn new(log_frequencies: &Axis, log_periods: &Axis) -> Self {
        let periods: Vec<f64> = log_periods.nodes().map(f64::exp).collect();
        let wind_sea = |gamma: f64| {
            let shape = SpectrumShape::Jonswap { gamma };
            periods.iter().map(move |tp_s| {
                weights(log_frequencies, shape, *tp_s, |relative| {
                    full_cosine_series(mitsuyasu_exponent(WIND_SEA_S_MAX, relative))
                })
            })
        };
        let swell = |l: f64| {
            let shape = SpectrumShape::OchiHubble { l };
            periods.iter().map(move |tp_s| weights(log_frequencies, shape, *tp_s, |_| [1.0]))
        };
        Self {
            periods: log_periods.len(),
            wind_sea: log_gammas().nodes().map(f64::exp).flat_map(wind_sea).collect(),
            swell: exponents().nodes().flat_map(swell).collect(),
        }
    }

    /// Of the wind sea's shape `gamma`, by order.
    pub(super) fn wind_sea(&self, gamma: usize, period: usize) -> &FrequencyWeights<ORDERS> {
        &self.wind_sea[gamma * self.periods + period]
    }

    /// Of the swell's shape `exponent`.
    pub(super) fn swell(&self, exponent: usize, period: usize) -> &FrequencyWeights<1> {
        &self.swell[exponent * self.periods + period]
    }
}

/// Integrals of the spectrum of unit Hs times the base functions of the grid, times `kinds` at the frequency over that of
/// the peak; the first kind is 1.
fn weights<const N: usize>(
    log_frequencies: &Axis,
    shape: SpectrumShape,
    tp_s: f64,
    kinds: impl Fn(f64) -> [f64; N],
) -> FrequencyWeights<N> {
    let spectrum = Spectrum::new(shape, 1.0, tp_s);
    let mut weights = vec![[0.0; N]; log_frequencies.len()];
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
            if energy <= NEGLIGIBLE {
                continue;
            }
            let place = AxisPlace { lower, upper_weight, outside: false };
            let kinds = kinds(omega * tp_s / TAU);
            for (node, weight) in cubic(place, log_frequencies.len()) {
                for (sum, kind) in weights[node].iter_mut().zip(kinds) {
                    *sum += energy * weight * kind;
                }
            }
        }
    }
    let variance: f64 = weights.iter().map(|kinds| kinds[0]).sum();
    let kept = |kinds: &[f64; N]| kinds[0] != 0.0;
    let first = weights.iter().position(kept).unwrap_or(0);
    let last = weights.iter().rposition(kept).unwrap_or(weights.len() - 1);
    let scaled = |kinds: &[f64; N]| kinds.map(|weight| weight / variance / 16.0);
    FrequencyWeights { first, weights: weights[first..=last].iter().map(scaled).collect() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// By hand: the cubic in exp(-2L) keeps constants and exp(-2L), exp(-4L), exp(-6L), to the ends of the range.
    #[test]
    fn falling_exponentials_are_exact_between_exponents() {
        for l in [1.5, 1.7, 2.25, 2.99, 3.6, 4.0] {
            for power in [0.0, 2.0, 4.0, 6.0] {
                let f = |l: f64| f64::exp(-power * l);
                let read: f64 = between_exponents(l)
                    .iter()
                    .map(|(shape, weight)| weight * f(exponents().node(shape - GAMMAS)))
                    .sum();
                assert_relative_eq!(read, f(l), max_relative = 1e-9);
            }
        }
    }
}
