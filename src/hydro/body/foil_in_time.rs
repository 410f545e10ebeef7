//! A lifting foil on a boat that heaves and pitches through waves.
//!
//! Its setting carries a steady lift; what the water's rise at its depth, her own motion and her trim change of the angle comes
//! about with the lag of `lagging_lift`. Above the stall angle a share of the lift at stall is left; towards the surface the
//! lift slope falls by Hough & Moran's factor, and out of the water there is none.

use crate::hydro::body::lagging_lift::Lag;
use crate::hydro::body::pressure::Lying;
use crate::hydro::body::wave_rows::{Summed, WavesNow};
use crate::hydro::body::waves::Wave;
use crate::hydro::foil::free_surface_factor;
use crate::hydro::strip::Lift;
use num_complex::Complex64;

/// The foil.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodyFoil {
    /// Forward of the centre of gravity, m.
    pub x_m: f64,
    /// Depth of the lifting part below her waterline at rest, m, above 0.
    pub depth_m: f64,
    /// Area, m².
    pub area_m2: f64,
    /// Chord, m.
    pub chord_m: f64,
    /// Lift slope at that depth, per rad.
    pub lift_slope_per_rad: f64,
    /// Stall angle from zero lift, rad.
    pub stall_rad: f64,
    /// Share of the lift at stall that is left beyond it.
    pub lift_after_stall: f64,
    /// Trim at which the setting carries the steady lift, rad.
    pub trim_rad: f64,
    /// Density of the water, kg/m³.
    pub rho_kg_m3: f64,
}

/// A foil at a moment.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct FoilNow {
    /// Angle of attack from zero lift, rad, as it acts.
    pub angle_rad: f64,
    /// Depth below the surface, m; below 0 out of the water.
    pub depth_m: f64,
    /// Lift, N.
    pub lift_n: f64,
    /// What its tilt with the inflow pushes forward, N.
    pub push_n: f64,
}

/// Below this speed a foil counts as none, m/s: angles have no meaning.
const LEAST_SPEED_M_S: f64 = 0.5;

/// What the waves of a sea do at a foil.
#[derive(Debug, Clone, Default)]
pub(super) struct AtFoil {
    /// Speed up of the water at its depth.
    rise: Summed,
    /// Elevation above it.
    surface: Summed,
}

impl AtFoil {
    pub(super) fn new(foil: &BodyFoil, waves: &[Wave]) -> Self {
        let turn = |wave: &Wave| Complex64::cis(-wave.along() * foil.x_m);
        let rise = |wave: &Wave| {
            let deep = (-wave.wave_number() * foil.depth_m).exp();
            Complex64::i() * wave.omega_rad_s * deep * turn(wave)
        };
        Self { rise: Summed::new(waves.iter().map(rise)), surface: Summed::new(waves.iter().map(turn)) }
    }
}

impl BodyFoil {
    /// The same for small motions at an encounter frequency; `gravity_x_m` is the centre of gravity forward of the aft end of the
    /// waterline.
    pub(super) fn linear(&self, speed_m_s: f64, omega_e: f64, gravity_x_m: f64) -> Lift {
        let speed = speed_m_s.max(LEAST_SPEED_M_S);
        let steady = 0.5 * self.rho_kg_m3 * speed * self.area_m2 * self.lift_slope_per_rad;
        let lift = steady * Lag::transform(0.5 * omega_e * self.chord_m / speed);
        Lift { x_m: self.x_m + gravity_x_m, depth_m: self.depth_m, own: lift, gust: lift }
    }

    /// The foil as she lies in waves, and the rates of its lag; `steady_n` is the lift that its setting carries at this speed in
    /// flat water.
    pub(super) fn now(
        &self,
        lying: &Lying,
        waves: &AtFoil,
        now: &WavesNow,
        steady_n: f64,
        lag: &Lag,
    ) -> (FoilNow, [f64; 2]) {
        let (rise, surface) = (waves.rise.at(now), waves.surface.at(now));
        let speed = lying.speed_m_s.max(LEAST_SPEED_M_S);
        let own = lying.heave_rate_m_s - self.x_m * lying.trim_rate_rad_s;
        let inflow = (rise - own) / speed;
        let change = inflow - (lying.trim_rad - self.trim_rad);
        let (acting, rates) = lag.acting(change, self.chord_m, speed);
        let depth_m = self.depth_m + surface - (lying.heave_m - self.x_m * lying.trim_rad);
        if lying.speed_m_s < LEAST_SPEED_M_S || depth_m <= 0.0 {
            return (FoilNow { depth_m, ..FoilNow::default() }, rates);
        }
        let near =
            free_surface_factor(depth_m / self.chord_m) / free_surface_factor(self.depth_m / self.chord_m);
        let full = 0.5 * self.rho_kg_m3 * speed * speed * self.area_m2 * self.lift_slope_per_rad;
        let angle_rad = steady_n / full + acting;
        let lifting = if angle_rad.abs() <= self.stall_rad {
            angle_rad
        } else {
            self.lift_after_stall * self.stall_rad.copysign(angle_rad)
        };
        let lift_n = full * near * lifting;
        (FoilNow { angle_rad, depth_m, lift_n, push_n: lift_n * inflow }, rates)
    }
}
