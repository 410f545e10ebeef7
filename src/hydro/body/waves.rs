//! A sea as a sum of long-crested waves, seen along the course.

use crate::base::units::G;

/// One regular wave in deep water: elevation a cos(w t - k cos(mu) x + e) at a distance x run along the course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wave {
    /// Amplitude, m.
    pub amplitude_m: f64,
    /// Frequency, rad/s, above 0.
    pub omega_rad_s: f64,
    /// Angle between course and travel, rad: 0 following, pi head.
    pub mu_rad: f64,
    /// Phase, rad.
    pub phase_rad: f64,
}

impl Wave {
    /// Wave number, 1/m.
    pub fn wave_number(&self) -> f64 {
        self.omega_rad_s * self.omega_rad_s / G
    }

    /// Wave number along the course, 1/m.
    pub fn along(&self) -> f64 {
        self.wave_number() * self.mu_rad.cos()
    }

    /// Wave number across the course, 1/m.
    pub fn across(&self) -> f64 {
        self.wave_number() * self.mu_rad.sin()
    }

    /// Encounter frequency at a speed, rad/s; negative where she overtakes.
    pub fn encounter_rad_s(&self, speed_m_s: f64) -> f64 {
        self.omega_rad_s - self.along() * speed_m_s
    }

    /// Phase at a time and a distance run, rad.
    pub fn phase_at(&self, time_s: f64, run_m: f64) -> f64 {
        self.omega_rad_s * time_s - self.along() * run_m + self.phase_rad
    }
}

/// The mean of cos(k y) over a breadth on both sides of the centreline: sin(k b)/(k b).
pub(super) fn averaged(across: f64, half_breadth_m: f64) -> f64 {
    let turn = across * half_breadth_m;
    if turn.abs() < 1e-4 { 1.0 - turn * turn / 6.0 } else { turn.sin() / turn }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use std::f64::consts::PI;

    /// By hand: T = 6 s at 10 kn against the waves, w_e = 1.62247 rad/s.
    #[test]
    fn encounter_by_hand() {
        let wave = Wave { amplitude_m: 1.0, omega_rad_s: PI / 3.0, mu_rad: PI, phase_rad: 0.0 };
        assert_relative_eq!(wave.encounter_rad_s(5.144_444), 1.62247, max_relative = 1e-5);
        assert_relative_eq!(wave.phase_at(2.0, 5.144_444 * 2.0), 2.0 * 1.62247, max_relative = 1e-5);
    }

    #[test]
    fn the_mean_over_a_breadth() {
        assert_relative_eq!(averaged(0.0, 3.0), 1.0);
        assert_relative_eq!(averaged(1.0, PI / 2.0), 2.0 / PI, max_relative = 1e-12);
        assert_relative_eq!(averaged(1.0, 1.01e-4), averaged(1.0, 0.99e-4), max_relative = 1e-9);
    }
}
