//! How often a Gaussian motion passes a level: up-crossings, slams, wet decks, crests; and limits to compare with.
//!
//! `m0` and `m2` are the variance of a motion and of its time derivative. Rates are events a second.

use std::f64::consts::TAU;

use crate::base::units::G;
use crate::hydro::dispersion::{Depth, wave_number};

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

/// Which sea Forristall's second-order crests stand in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Crests {
    /// Long-crested (2-D).
    Long,
    /// Short-crested (3-D).
    Short,
}

/// Probability that a crest of a sea exceeds `crest_m` above still water: exp[-(c/(alpha Hs))^beta].
///
/// Forristall (2000), "Wave crest distributions: observations and second-order theory", J. Phys. Oceanogr.
/// 30:1931-1943, as in DNV-RP-C205 3.5.10 (coefficients and range from memory). `tm01_s` is the mean period m0/m1.
/// Fitted for steepness 2 pi Hs/(g T1²) up to 0.15 and Ursell numbers up to 0.2.
pub fn crest_exceedance(crests: Crests, crest_m: f64, hs_m: f64, tm01_s: f64, depth: Depth) -> f64 {
    if crest_m <= 0.0 {
        return 1.0;
    }
    let steepness = TAU * hs_m / (G * tm01_s * tm01_s);
    let ursell = match depth {
        Depth::Deep => 0.0,
        Depth::Finite { depth_m } => hs_m / (wave_number(TAU / tm01_s, depth).powi(2) * depth_m.powi(3)),
    };
    let (alpha, beta) = match crests {
        Crests::Long => (
            0.3536 + 0.2892 * steepness + 0.1060 * ursell,
            2.0 - 2.1597 * steepness + 0.0968 * ursell * ursell,
        ),
        Crests::Short => (
            0.3536 + 0.2568 * steepness + 0.0800 * ursell,
            2.0 - 1.7912 * steepness - 0.5302 * ursell + 0.284 * ursell * ursell,
        ),
    };
    (-(crest_m / (alpha * hs_m)).powf(beta)).exp()
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

/// Merchant ships up to 100 m, NORDFORSK (1987), "Assessment of ship performance in a seaway" (from memory).
pub const NORDFORSK_MERCHANT: OperabilityLimits = OperabilityLimits {
    bow_acceleration_g: 0.275,
    bridge_acceleration_g: 0.15,
    bridge_lateral_acceleration_g: 0.12,
    roll_deg: 6.0,
    slam_probability: 0.03,
    wetness_probability: 0.05,
};

/// Fast small craft, NORDFORSK (1987) (from memory).
pub const NORDFORSK_FAST_SMALL_CRAFT: OperabilityLimits = OperabilityLimits {
    bow_acceleration_g: 0.65,
    bridge_acceleration_g: 0.275,
    bridge_lateral_acceleration_g: 0.1,
    roll_deg: 4.0,
    slam_probability: 0.03,
    wetness_probability: 0.05,
};

/// Limits for people at work, root mean squares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorkLimits {
    /// Vertical acceleration, g.
    pub vertical_acceleration_g: f64,
    /// Lateral acceleration, g.
    pub lateral_acceleration_g: f64,
    /// Roll, deg.
    pub roll_deg: f64,
}

/// Light manual work, NORDFORSK (1987) (from memory).
pub const NORDFORSK_LIGHT_WORK: WorkLimits =
    WorkLimits { vertical_acceleration_g: 0.20, lateral_acceleration_g: 0.10, roll_deg: 6.0 };

/// Heavy manual work, NORDFORSK (1987) (from memory).
pub const NORDFORSK_HEAVY_WORK: WorkLimits =
    WorkLimits { vertical_acceleration_g: 0.15, lateral_acceleration_g: 0.07, roll_deg: 4.0 };

/// Intellectual work, NORDFORSK (1987) (from memory).
pub const NORDFORSK_INTELLECTUAL_WORK: WorkLimits =
    WorkLimits { vertical_acceleration_g: 0.10, lateral_acceleration_g: 0.05, roll_deg: 3.0 };

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

    /// Hs 2 m, T1 6 s by an independent numpy evaluation with g = 9.81 (hence the period scaled to the same
    /// steepness); Rayleigh, exp(-8 c²/Hs²), lies below both.
    #[test]
    fn forristall_crests() {
        let t1_s = 6.0 * (9.81 / G).sqrt();
        for (crest_m, short, long) in
            [(1.0, 0.1554337, 0.1584302), (1.5, 0.0168804, 0.0179833), (2.0, 0.00080526, 0.00092338)]
        {
            for depth in [Depth::Finite { depth_m: 1000.0 }, Depth::Deep] {
                let exceedance = |crests| crest_exceedance(crests, crest_m, 2.0, t1_s, depth);
                assert_relative_eq!(exceedance(Crests::Short), short, max_relative = 1e-5);
                assert_relative_eq!(exceedance(Crests::Long), long, max_relative = 1e-5);
            }
            assert!(short > (-8.0 * crest_m * crest_m / 4.0f64).exp());
        }
        assert_eq!(crest_exceedance(Crests::Long, 0.0, 2.0, 6.0, Depth::Deep), 1.0);
    }

    /// By hand: Hs 2 m, T1 8 s in 10 m has k1 0.0886411 rad/m, Ur 0.2545420, S1 0.0200221; alpha 0.3791050,
    /// beta 1.8475791 (3-D).
    #[test]
    fn shallow_water_raises_crests() {
        let exceedance = |depth| crest_exceedance(Crests::Short, 1.5, 2.0, 8.0, depth);
        let shallow = exceedance(Depth::Finite { depth_m: 10.0 });
        assert_relative_eq!(shallow, 0.029384513, max_relative = 1e-7);
        assert!(shallow > exceedance(Depth::Deep));
    }
}
