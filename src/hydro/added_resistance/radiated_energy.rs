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
//! **Abaft the beam** the same holds with the signs of cos mu and w_e. Sections radiate energy whatever the sign of w_e (b' is
//! that of |w_e|); waves give up their momentum, k/w_e times the energy that they lose as she sees it, along their own way.
//! Waves that she overtakes (w_e < 0) run aft along her as head waves do, and the force resists. Of their energy that share
//! counts which leaves a hull of finite length (`finite_length`): she meets them slowly, and radiated waves longer than they
//! are cancel along her. Without it the force on a light hull would be several times what a wall throws back.
//! Energy that comes out negative, where the terms with da33/dx outweigh damping, counts as none.
//!
//! Waves that overtake her (w_e > 0) push by what they lose; there the force is left at zero. What is lost fades with w_e, and
//! what such waves do to her is to carry and hold her in turn, which no mean force at constant speed tells: it belongs to the
//! surge of her speed. Nothing jumps in between: towards w_e = 0 damping goes with |w_e|³, the share that leaves with w_e²,
//! and the speed that convects added mass fades as in the equations of motion.
//!
//! Against measured peaks (Journee 1992) within a factor of 0.4 to 2.0 for Fn <= 0.3; above, it overshoots
//! narrow hulls. In waves shorter than half the hull strip theory is least certain, and on light, shallow hulls below
//! Fn 0.3 this method is far too large there: `short_waves` takes over.

use crate::base::units::G;
use crate::base::{Flag, Flags};
use crate::hydro::added_resistance::finite_length::{Source, leaving_share};
use crate::hydro::dispersion::encounter_frequency;
use crate::hydro::strip::{Motions, Strip, StripHull};
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

impl AddedResistance {
    /// In waves that overtake her.
    fn where_waves_overtake_her() -> Self {
        Self { per_amplitude_squared: 0.0, flags: Flag::FollowingSeaNotModelled.into() }
    }
}

/// Added resistance at `speed_m_s` in waves of frequency `omega` (rad/s) at `mu_rad` (0 following, pi head).
///
/// In waves that overtake her it is zero and flagged [`Flag::FollowingSeaNotModelled`].
pub fn added_resistance(hull: &StripHull, speed_m_s: f64, omega: f64, mu_rad: f64) -> AddedResistance {
    if overtake_her(encounter_frequency(omega, speed_m_s, mu_rad), mu_rad) {
        return AddedResistance::where_waves_overtake_her();
    }
    from_motions(hull, &hull.motions(speed_m_s, omega, mu_rad), mu_rad)
}

/// As [`added_resistance`], for motions already computed at the same `mu_rad`.
pub fn from_motions(hull: &StripHull, motions: &Motions, mu_rad: f64) -> AddedResistance {
    if overtake_her(motions.omega_e, mu_rad) {
        return AddedResistance::where_waves_overtake_her();
    }
    let per_energy = -mu_rad.cos() * motions.wave_number() / (2.0 * motions.omega_e);
    let energy = if motions.omega_e < 0.0 { left(hull, motions) } else { radiated(hull, motions) };
    AddedResistance { per_amplitude_squared: per_energy * energy, flags: Flags::empty() }
}

/// Added resistance by motions already computed at the same `mu_rad`; above [`held_speed_m_s`] that at this speed, with the
/// motions that `at` gives there, flagged [`Flag::HeldAboveFn045`].
pub fn held_from_motions(
    hull: &StripHull,
    motions: &Motions,
    mu_rad: f64,
    at: impl FnOnce(f64) -> Motions,
) -> AddedResistance {
    let limit = held_speed_m_s(hull.length_m(), motions.omega, mu_rad);
    if motions.speed_m_s <= limit {
        return from_motions(hull, motions, mu_rad);
    }
    let mut held = from_motions(hull, &at(limit), mu_rad);
    held.flags |= Flag::HeldAboveFn045;
    held
}

/// The speed, m/s, from which a hull's added resistance in a wave stays: that of [`MAX_FROUDE`]; abaft the beam so much
/// beyond the speed at which she keeps pace with the wave, so that a wave overtaken at her own speed is overtaken at the held
/// one, and a wave that hardly runs is held as one that hardly comes. (SNNM counts the Froude number in overtaken waves from
/// their group speed: Liu & Papanikolaou 2020.)
pub fn held_speed_m_s(length_m: f64, omega: f64, mu_rad: f64) -> f64 {
    let limit = MAX_FROUDE * (G * length_m).sqrt();
    if mu_rad < FRAC_PI_2 { limit + pace_m_s(omega, mu_rad) } else { limit }
}

/// The speed at which she keeps pace with a wave from abaft the beam, m/s.
pub(super) fn pace_m_s(omega: f64, mu_rad: f64) -> f64 {
    G / (omega * mu_rad.cos())
}

/// Whether a wave from abaft the beam runs past her.
fn overtake_her(omega_e: f64, mu_rad: f64) -> bool {
    mu_rad < FRAC_PI_2 && omega_e >= 0.0
}

/// Twice the energy that the sections radiate a second, W/m².
fn radiated(hull: &StripHull, motions: &Motions) -> f64 {
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
    damped - motions.convecting_m_s * convected
}

/// What of [`radiated`] leaves a hull of finite length; not negative.
fn left(hull: &StripHull, motions: &Motions) -> f64 {
    let source = |strip: Strip| Source {
        x_m: strip.x_m,
        weight: strip.weight,
        strength: strip.damping.max(0.0).sqrt() * strip.relative_velocity,
    };
    let sources: Vec<Source> = hull.strips(motions).map(source).collect();
    let k_e = motions.omega_e * motions.omega_e / G;
    radiated(hull, motions).max(0.0) * leaving_share(&sources, k_e)
}
