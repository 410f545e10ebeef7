//! Green water over the deck's edge: mean overtopping of a Gaussian relative motion, and what the deck carries of it.
//!
//! The edge is taken as a broad-crested weir under the quasi-steady head by which the relative motion exceeds the
//! freeboard. No published model for water on a yacht's deck was found; this one leaves out the momentum of a deck
//! that scoops, so it is an order of magnitude, not a measurement.

use std::f64::consts::TAU;
use std::sync::LazyLock;

use crate::base::units::{G, RHO_WATER};
use crate::maths::axis::Axis;
use crate::maths::cubic::cubic;

/// Mean overtopping rate per metre of edge, m²/s, of a relative motion of root mean square `rms_m` >= 0 against an
/// effective freeboard.
///
/// The mean of (2/3)^1.5 sqrt(g) (r - F)^1.5 over r > F (broad-crested weir with critical depth on the crest, as in
/// any hydraulics text) for Gaussian r. With f = F/s its closed form is
/// (2/3)^1.5 sqrt(g) s^1.5 Gamma(5/2)/sqrt(2 pi) exp(-f²/4) D_-5/2(f), D the parabolic cylinder function.
/// A negative freeboard is a deck edge under the mean surface.
pub fn mean_overtopping_m2_s(rms_m: f64, effective_freeboard_m: f64) -> f64 {
    let weir = (2.0f64 / 3.0).powf(1.5) * G.sqrt();
    if rms_m <= 0.0 {
        return weir * (-effective_freeboard_m).max(0.0).powf(1.5);
    }
    weir * rms_m * rms_m.sqrt() * tabulated_excess_moment(effective_freeboard_m / rms_m)
}

/// Mean mass of sea water on deck, kg: what comes over `edge_length_m` stays for `drain_time_s`.
pub fn mean_water_carried_kg(overtopping_m2_s: f64, edge_length_m: f64, drain_time_s: f64) -> f64 {
    RHO_WATER * overtopping_m2_s * edge_length_m * drain_time_s
}

/// Freeboard left to the relative motion at the bow, m: geometric, less the bow wave, less the sinkage there.
///
/// The usual definition of effective freeboard in deck-wetness prediction; without dynamic swell-up, which raises the
/// relative motion of full bows by some 10 to 30 % (common practice, no source).
pub fn effective_freeboard_m(geometric_m: f64, bow_wave_m: f64, sinkage_m: f64) -> f64 {
    geometric_m - bow_wave_m - sinkage_m
}

/// Height of the steady bow wave, m, of a wedge bow without bulb: 2.2 V²/g tan(a)/cos(a)/(1 + V/sqrt(g T)).
///
/// `half_entrance_angle` a of the waterline, rad. Noblesse, Delhommeau, Guilbaud, Hendrix & Yang (2008), "Simple
/// analytical relations for ship bow waves", J. Fluid Mech. 600:105-132 (formula from memory). For sides with little
/// flare and a below some 12 degrees at any speed, larger a at high speed only; the crest stands abaft the stem.
pub fn bow_wave_height_m(speed_m_s: f64, draught_m: f64, half_entrance_angle: f64) -> f64 {
    let draught_froude = speed_m_s / (G * draught_m).sqrt();
    let slope = half_entrance_angle.tan() / half_entrance_angle.cos();
    2.2 * speed_m_s * speed_m_s / G * slope / (1.0 + draught_froude)
}

/// Where [`excess_moment`] is tabulated: from a deck edge well under to one that is never reached.
const TABULATED: (f64, f64) = (-6.0, 12.0);
const TABLE_STEP: f64 = 0.02;

static LOG_EXCESS_MOMENT: LazyLock<(Axis, Vec<f64>)> = LazyLock::new(|| {
    let axis = Axis::covering(TABULATED.0, TABULATED.1, TABLE_STEP);
    (axis, axis.nodes().map(|f| excess_moment(f).ln()).collect())
});

/// [`excess_moment`] to 1e-6 of itself, by interpolation of its logarithm where it is tabulated.
fn tabulated_excess_moment(f: f64) -> f64 {
    if !(TABULATED.0..=TABULATED.1).contains(&f) {
        return excess_moment(f);
    }
    let (axis, values) = &*LOG_EXCESS_MOMENT;
    let log: f64 = cubic(axis.place(f), axis.len()).iter().map(|(node, weight)| weight * values[*node]).sum();
    log.exp()
}

/// Below this f the deck is deeply under and a series in 1/f is good to 2e-8.
const DEEPLY_UNDER: f64 = -20.0;

/// The integral of (t - f)^1.5 phi(t) over t > f, phi the standard normal density; relative error below 1e-10.
///
/// Put t = f + y²: the integrand y⁴ exp(-(f + y²)²/2) is even and entire, so the trapezoidal rule over the whole line
/// converges faster than any power of the step.
fn excess_moment(f: f64) -> f64 {
    if f < DEEPLY_UNDER {
        let inverse = 1.0 / (f * f);
        return (-f).powf(1.5) * (1.0 + inverse * (0.375 + inverse * 0.0703125));
    }
    let step = 0.2 / (1.0 + f.abs()).sqrt();
    // beyond this y the exponent has fallen by 40 from its value at y = 0
    let reach = ((f * f + 80.0).sqrt() - f).sqrt();
    let terms = (reach / step).ceil() as u32;
    let sum: f64 = (1..=terms)
        .map(|i| {
            let y2 = (f64::from(i) * step).powi(2);
            y2 * y2 * (-0.5 * (f + y2).powi(2)).exp()
        })
        .sum();
    2.0 * step * sum / TAU.sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// mpmath at 30 digits, `tests/reference/overtopping.py`: quadrature of the definition, equal there to the closed
    /// form with the parabolic cylinder function.
    #[test]
    fn excess_moment_equals_quadrature() {
        for (f, expected) in [
            (-40.0, 253.041512474308),
            (-20.0, 89.526611099455),
            (-8.0, 22.7603972600581),
            (-2.0, 3.1112928856876),
            (-0.5, 0.824448420185711),
            (0.0, 0.43001999366226),
            (0.25, 0.29516724046157),
            (1.0, 0.0756681773909751),
            (1.5, 0.0246394803074837),
            (2.0, 0.00664817762358709),
            (3.0, 0.000263967554269467),
            (4.0, 4.43915595853925e-6),
            (5.0, 3.03385056187848e-8),
            (6.0, 8.20358058981517e-11),
            (8.0, 3.47839979221869e-17),
        ] {
            assert_relative_eq!(excess_moment(f), expected, max_relative = 1e-10);
        }
        assert_relative_eq!(excess_moment(20.0), 4.0585551e-91, max_relative = 1e-6);
    }

    #[test]
    fn the_table_meets_the_sum() {
        for i in 0..=2500 {
            let f = -7.0 + 0.008 * f64::from(i);
            assert_relative_eq!(tabulated_excess_moment(f), excess_moment(f), max_relative = 1e-6);
        }
    }

    #[test]
    fn the_series_meets_the_sum() {
        assert_relative_eq!(excess_moment(-20.0 - 1e-9), excess_moment(-20.0), max_relative = 2e-8);
    }

    /// An independent scipy quadrature with g = 9.81: (s, F) = (0.5, 1) and (1, 1.5).
    #[test]
    fn mean_overtopping() {
        let g_ratio = (G / 9.81).sqrt();
        assert_relative_eq!(mean_overtopping_m2_s(0.5, 1.0), 0.004007331 * g_ratio, max_relative = 1e-6);
        assert_relative_eq!(mean_overtopping_m2_s(1.0, 1.5), 0.04200772 * g_ratio, max_relative = 1e-6);
    }

    /// By hand: a still sea 0.6 m over a weir of 1 m: (2/3)^1.5 sqrt(9.80665) 0.6^1.5 = 0.79222 m²/s.
    #[test]
    fn still_water_flows_only_over_a_submerged_edge() {
        assert_eq!(mean_overtopping_m2_s(0.0, 0.5), 0.0);
        assert_relative_eq!(mean_overtopping_m2_s(0.0, -0.6), 0.79222, epsilon = 2e-5);
        assert_relative_eq!(mean_overtopping_m2_s(1e-6, -0.6), 0.79222, epsilon = 2e-5);
    }

    /// By hand: 0.004 m²/s over 10 m for 3 s is 0.12 m³ of sea water.
    #[test]
    fn water_stays_until_it_drains() {
        assert_relative_eq!(mean_water_carried_kg(0.004, 10.0, 3.0), 123.0, max_relative = 1e-12);
    }

    /// By hand: V 5 m/s, T 0.4 m, 10 deg: V²/g 2.54929, F_T 2.52450, tan/cos 0.179047; 2.2 * product / 3.52450.
    #[test]
    fn bow_wave_takes_freeboard() {
        let bow_wave_m = bow_wave_height_m(5.0, 0.4, 10f64.to_radians());
        assert_relative_eq!(bow_wave_m, 2.2 * 2.54929 * 0.179047 / 3.52450, max_relative = 1e-5);
        assert_relative_eq!(
            effective_freeboard_m(1.5, bow_wave_m, 0.1),
            1.4 - bow_wave_m,
            max_relative = 1e-14
        );
    }
}
