//! Mean added resistance from the energy a hull radiates (Gerritsma & Beukelman 1972).
//!
//! The work of the sections' damping against the relative vertical velocity, per encounter period, equals R_AW
//! times the wave length:
//!
//! R_AW/zeta² = k/(2 w_e) integral of b' |V_z|² dx, b' = b33 - U da33/dx,
//! V_z = i w_e (eta3 - x eta5) + U eta5 - i w kappa exp(-i k x cos mu),
//!
//! with kappa the mean of the wave's exp(kz) cos(k y sin mu) over the section (in head seas the effective wave of
//! the paper). In oblique waves times -cos mu (Loukakis & Sclavounos 1978, from memory), for 90 to 180 degrees.
//! At a transom the flow leaves the hull: the step of a33 there radiates nothing.
//!
//! Against measured peaks (Journee 1992) within a factor of 0.4 to 2.0 for Fn <= 0.3; above, it overshoots
//! narrow hulls. In waves shorter than half the hull strip theory is least certain, and on light, shallow hulls below
//! Fn 0.3 this method is far too large there: `short_waves` takes over.

use crate::base::units::G;
use crate::base::{Flag, Flags};
use crate::hydro::strip::{Motions, StripHull};
use std::f64::consts::FRAC_PI_2;

/// Froude number above which measurements no longer support the method.
pub const MAX_FROUDE: f64 = 0.45;

/// Added resistance per wave amplitude squared, with reservations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AddedResistance {
    /// R_AW/zeta², N/m².
    pub per_amplitude_squared: f64,
    /// What it leaves out.
    pub flags: Flags,
}

/// Added resistance at `speed_m_s` in waves of frequency `omega` (rad/s) at `mu_rad` (0 following, pi head).
///
/// Abaft the beam it is zero and flagged [`Flag::FollowingSeaNotModelled`].
pub fn added_resistance(hull: &StripHull, speed_m_s: f64, omega: f64, mu_rad: f64) -> AddedResistance {
    if mu_rad < FRAC_PI_2 {
        return AddedResistance { per_amplitude_squared: 0.0, flags: Flag::FollowingSeaNotModelled.into() };
    }
    from_motions(hull, &hull.motions(speed_m_s, omega, mu_rad), mu_rad)
}

/// As [`added_resistance`], for motions already computed at the same `mu_rad`.
pub fn from_motions(hull: &StripHull, motions: &Motions, mu_rad: f64) -> AddedResistance {
    if mu_rad < FRAC_PI_2 {
        return AddedResistance { per_amplitude_squared: 0.0, flags: Flag::FollowingSeaNotModelled.into() };
    }
    let mut damped = 0.0;
    let mut convected = 0.0;
    let mut before: Option<(f64, f64)> = None;
    for strip in hull.strips(motions) {
        let square = strip.relative_velocity.norm_sqr();
        damped += strip.weight * strip.damping * square;
        if let Some((mass, last_square)) = before {
            convected += (strip.added_mass - mass) * 0.5 * (square + last_square);
        }
        before = Some((strip.added_mass, square));
    }
    let energy = damped - motions.speed_m_s * convected;
    AddedResistance {
        per_amplitude_squared: -mu_rad.cos() * motions.wave_number() / (2.0 * motions.omega_e) * energy,
        flags: Flags::empty(),
    }
}

/// Added resistance by motions already computed at the same `mu_rad`; above [`MAX_FROUDE`] that at the speed of that
/// Froude number, flagged [`Flag::HeldAboveFn045`].
pub fn held_from_motions(hull: &StripHull, motions: &Motions, mu_rad: f64) -> AddedResistance {
    let limit = MAX_FROUDE * (G * hull.length_m()).sqrt();
    if motions.speed_m_s <= limit || mu_rad < FRAC_PI_2 {
        return from_motions(hull, motions, mu_rad);
    }
    let mut held = added_resistance(hull, limit, motions.omega, mu_rad);
    held.flags |= Flag::HeldAboveFn045;
    held
}
