//! What the foil in use does at a speed in a sea.

use crate::base::units::G;
use crate::boat::Foils;
use crate::hydro::foil::availability;
use crate::hydro::rates::up_crossing_rate;
use crate::hydro::response::Response;

/// The foil in use at a speed in a sea.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoilState {
    /// Mean angle of attack from zero lift, rad.
    pub mean_rad: f64,
    /// Standard deviation of the angle, rad.
    pub angle_sd_rad: f64,
    /// Mean lift over the lift without stall.
    pub lift_ratio: f64,
    /// Rate of stalls, per second.
    pub stall_rate_hz: f64,
    /// Rate at which the foil leaves the water, per second.
    pub broach_rate_hz: f64,
}

impl FoilState {
    /// The foil carrying its share of a weight at a speed above zero.
    pub fn new(foils: &Foils, response: &Response, speed: f64, weight_kg: f64) -> Self {
        let lift_n = foils.share.at(speed) * weight_kg * G;
        let mean_rad = foils.foil.angle_rad(lift_n, speed);
        let per_speed2 = 1.0 / (speed * speed);
        let m0 = response.foil_velocity.max(0.0) * per_speed2;
        let m2 = response.foil_velocity_rate.max(0.0) * per_speed2;
        let angle_sd_rad = m0.sqrt();
        let lifts = mean_rad > 0.0;
        Self {
            mean_rad,
            angle_sd_rad,
            lift_ratio: if lifts { foils.stall.mean_lift_ratio(mean_rad, angle_sd_rad) } else { 1.0 },
            stall_rate_hz: if lifts { foils.stall.event_rate_hz(mean_rad, m0, m2) } else { 0.0 },
            broach_rate_hz: up_crossing_rate(
                response.foil_immersion.max(0.0),
                response.foil_immersion_rate.max(0.0),
                foils.foil.depth_m(),
            ),
        }
    }

    /// Rate of all that ends a flight, per second.
    pub fn event_rate_hz(&self) -> f64 {
        self.stall_rate_hz + self.broach_rate_hz
    }

    /// Part of the time in flight: each stall and broach costs the time of recovery.
    pub fn availability(&self, foils: &Foils) -> f64 {
        availability(self.event_rate_hz(), foils.recovery_s)
    }
}
