//! What one wave does to a boat with its phase: what a simulation adds up, where tables keep squares.

use crate::hydro::response::regular::{BoatInWaves, averaged_over, foil_amplitudes};
use num_complex::Complex64;

/// What a wave of unit amplitude does at one speed: amplitudes of exp(i theta), theta the wave's phase at the centre of gravity.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Felt {
    /// Rise of the water up the bow, m/m.
    pub bow: Complex64,
    /// Orbital velocity along the course at the bow, at the still surface, positive forward, 1/s.
    pub bow_flow: Complex64,
    /// Height of the wave at the bow, m/m.
    pub bow_wave: Complex64,
    /// Velocity across the foil that its lift answers to, positive up, 1/s; zero for a boat without foils.
    pub foil_velocity: Complex64,
    /// Rise of the foil against the water, m/m; zero for a boat without foils.
    pub foil_rise: Complex64,
    /// Pitch, rad/m, positive bow down.
    pub pitch: Complex64,
    /// Vertical acceleration at the bow, positive up, 1/s².
    pub bow_acceleration: Complex64,
}

impl BoatInWaves {
    /// What a wave of frequency `omega` (rad/s) at wave angle `mu` does at a speed. Waves shorter than the bow's breadth or the
    /// foil's span are averaged over them, as in [`BoatInWaves::regular`].
    pub fn felt(&self, speed_m_s: f64, omega: f64, mu: f64) -> Felt {
        let motions = self.motions(speed_m_s, omega, mu);
        let averaged = averaged_over(self.bow_width_m, omega).sqrt();
        let [foil_velocity, foil_rise] =
            self.foil.map_or([Complex64::ZERO; 2], |foil| foil_amplitudes(&foil, &motions));
        Felt {
            bow: -motions.relative_displacement(self.bow_x_m) * averaged,
            bow_flow: motions.orbital_velocity_along(self.bow_x_m) * averaged,
            bow_wave: motions.wave_elevation(self.bow_x_m),
            foil_velocity,
            foil_rise,
            pitch: motions.pitch,
            bow_acceleration: motions.acceleration(self.bow_x_m),
        }
    }
}
