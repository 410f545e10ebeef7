//! How far tables and spectra reach: the waves they hold, and the Fourier orders over direction.

use crate::base::units::G;
use std::f64::consts::TAU;

/// The shortest waves of any table or integral, m: shorter ones move no boat, and spectra say little about them.
pub(super) const SHORTEST_WAVE_M: f64 = 0.5;
/// The longest tabulated peak period, s.
pub(super) const LONGEST_PERIOD_S: f64 = 26.0;

/// The highest Fourier order kept: half a wave of it is 10 degrees, the sectors of most wave models.
pub(super) const HIGHEST_ORDER: usize = 18;
/// Number of orders.
pub(super) const ORDERS: usize = HIGHEST_ORDER + 1;

/// From waves of 0.4 of the longest tabulated peak's frequency to the shortest, ln(rad/s).
pub(super) fn log_frequency_range() -> [f64; 2] {
    [(0.4 * TAU / LONGEST_PERIOD_S).ln(), (TAU * G / SHORTEST_WAVE_M).sqrt().ln()]
}
