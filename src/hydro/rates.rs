//! How often a Gaussian motion passes a level: up-crossings, slams, wet decks; and limits to compare with.
//!
//! `m0` and `m2` are the variance of a motion and of its time derivative. Rates are events a second.

use std::f64::consts::TAU;

use crate::base::units::G;

/// Mean rate of up-crossings of `level` by a Gaussian motion of zero mean, 1/s; zero for a motion that is still.
///
/// (1/2 pi) sqrt(m2/m0) exp(-level²/(2 m0)), Rice (1944), "Mathematical analysis of random noise": a level below the
/// mean is passed as often as one that far above it.
pub fn up_crossing_rate(m0: f64, m2: f64, level: f64) -> f64 {
    if m0 <= 0.0 || m2 <= 0.0 {
        return 0.0;
    }
    (m2 / m0).sqrt() / TAU * (-level * level / (2.0 * m0)).exp()
}

/// Probability that a peak of a narrow-banded Gaussian motion exceeds `level` (Rayleigh): exp(-level²/(2 m0)).
///
/// One for a level at or below the mean; a broad band makes fewer and lower peaks exceed.
pub fn peak_exceedance(m0: f64, level: f64) -> f64 {
    match (level > 0.0, m0 > 0.0) {
        (false, _) => 1.0,
        (true, false) => 0.0,
        (true, true) => (-level * level / (2.0 * m0)).exp(),
    }
}

/// Relative vertical velocity above which a re-entering bow slams, m/s: 0.093 sqrt(g L).
///
/// Ochi (1964), "Prediction of occurrence and severity of ship slamming at sea": 12 ft/s for a ship of 520 ft, scaled
/// by Froude (from memory). Ships with some flat of bottom; a sharp V enters faster without a slam.
pub fn slam_velocity_m_s(length_m: f64) -> f64 {
    0.093 * (G * length_m).sqrt()
}

/// Peak pressure from which a slam is a hard one, Pa: what Ochi's own bow had at his threshold, (rho/2) k v² with
/// k = 12.4 and [`slam_velocity_m_s`], scaled by Froude as that is.
///
/// Ochi (1964) measured 0.086 V² psi, V in ft/s, on the bottom of a cargo ship's bow, 85 kPa at 12 ft/s (from memory); a
/// wedge of 24 degrees of deadrise has that by Wagner. A sharp V passes the velocity without reaching the pressure.
pub fn hard_slam_pressure_pa(rho_kg_m3: f64, length_m: f64) -> f64 {
    const OCHIS_BOW: f64 = 12.4;
    0.5 * rho_kg_m3 * OCHIS_BOW * slam_velocity_m_s(length_m).powi(2)
}

/// Probability that one relative motion cycle lifts `draught_m` clear and re-enters faster than `velocity_m_s`.
///
/// exp(-T²/(2 m0) - v²/(2 m2)) with the variances of relative displacement and velocity at the section (Ochi 1964).
pub fn slam_probability(m0: f64, m2: f64, draught_m: f64, velocity_m_s: f64) -> f64 {
    peak_exceedance(m0, draught_m) * peak_exceedance(m2, velocity_m_s)
}

/// Slams a second: relative motion cycles a second times [`slam_probability`].
pub fn slam_rate(m0: f64, m2: f64, draught_m: f64, velocity_m_s: f64) -> f64 {
    up_crossing_rate(m0, m2, 0.0) * slam_probability(m0, m2, draught_m, velocity_m_s)
}

/// Wet decks a second: relative motion cycles at the bow that exceed the effective freeboard; each of them where she has
/// none left.
pub fn wetness_rate(m0: f64, m2: f64, effective_freeboard_m: f64) -> f64 {
    up_crossing_rate(m0, m2, 0.0) * peak_exceedance(m0, effective_freeboard_m)
}

/// Operability limits: root mean squares of motions, probabilities a cycle.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct OperabilityLimits {
    /// Vertical acceleration at the forward perpendicular, g.
    pub bow_acceleration_g: f64,
    /// Vertical acceleration at the bridge, g.
    pub bridge_acceleration_g: f64,
    /// Lateral acceleration at the bridge, g.
    pub bridge_lateral_acceleration_g: f64,
    /// Roll, deg.
    pub roll_deg: f64,
    /// Probability of a slam a cycle.
    pub slam_probability: f64,
    /// Probability of a wet deck a cycle.
    pub wetness_probability: f64,
}

/// Fast small craft, NORDFORSK (1987), "Assessment of ship performance in a seaway" (from memory).
pub const NORDFORSK_FAST_SMALL_CRAFT: OperabilityLimits = OperabilityLimits {
    bow_acceleration_g: 0.65,
    bridge_acceleration_g: 0.275,
    bridge_lateral_acceleration_g: 0.1,
    roll_deg: 4.0,
    slam_probability: 0.03,
    wetness_probability: 0.05,
};

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// By hand: Hs 2 m, Tz 5 s, level 1 m: exp(-2)/5 = 0.0270671 a second.
    #[test]
    fn rice_rate() {
        let m0 = 0.25;
        let m2 = m0 * (TAU / 5.0f64).powi(2);
        assert_relative_eq!(up_crossing_rate(m0, m2, 1.0), (-2.0f64).exp() / 5.0, max_relative = 1e-14);
        assert_relative_eq!(up_crossing_rate(m0, m2, 1.0) * 3600.0, 97.44, epsilon = 5e-3);
        assert_eq!(up_crossing_rate(m0, m2, -1.0), up_crossing_rate(m0, m2, 1.0));
    }

    /// As above; a deck at or below the water is wet once each 5 s.
    #[test]
    fn wet_decks() {
        let m0 = 0.25;
        let m2 = m0 * (TAU / 5.0f64).powi(2);
        assert_relative_eq!(wetness_rate(m0, m2, 1.0), (-2.0f64).exp() / 5.0, max_relative = 1e-14);
        for freeboard_m in [0.0, -1.0] {
            assert_relative_eq!(wetness_rate(m0, m2, freeboard_m), 0.2, max_relative = 1e-14);
        }
    }

    #[test]
    fn a_still_motion_passes_no_level() {
        assert_eq!(up_crossing_rate(0.0, 0.0, 1.0), 0.0);
        assert_eq!(up_crossing_rate(0.0, 0.0, 0.0), 0.0);
        assert_eq!(up_crossing_rate(1.0, 0.0, 0.0), 0.0);
        assert_eq!(peak_exceedance(0.0, 1.0), 0.0);
        assert_eq!(peak_exceedance(1.0, -1.0), 1.0);
        assert_eq!(slam_rate(0.0, 0.0, 0.5, 1.0), 0.0);
    }

    /// By hand: exp(-1/2 - 0.093² * 9.81 * 18/4) = 0.4140328; Ochi's ship of 520 ft slams at 12.03 ft/s.
    #[test]
    fn ochi_slams() {
        let velocity = 0.093 * (9.81f64 * 18.0).sqrt();
        assert_relative_eq!(slam_velocity_m_s(18.0), velocity, max_relative = 2e-4);
        assert_relative_eq!(slam_probability(1.0, 2.0, 1.0, velocity), 0.4140328, epsilon = 1e-7);
        assert_relative_eq!(
            slam_rate(1.0, 2.0, 1.0, velocity),
            0.4140328 / TAU * 2f64.sqrt(),
            max_relative = 1e-6
        );
        assert_relative_eq!(slam_velocity_m_s(520.0 * 0.3048) / 0.3048, 12.03, epsilon = 0.01);
    }

    /// By hand: 0.086 x 12.03² = 12.45 psi of 6894.76 Pa on his ship, a tenth of it at a tenth of her length.
    #[test]
    fn hard_slams_are_those_of_ochis_bow() {
        let ship = hard_slam_pressure_pa(1025.0, 520.0 * 0.3048);
        assert_relative_eq!(ship, 12.45 * 6894.76, max_relative = 0.01);
        assert_relative_eq!(hard_slam_pressure_pa(1025.0, 52.0 * 0.3048), 0.1 * ship, max_relative = 1e-12);
    }
}
