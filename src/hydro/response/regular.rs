//! The boat in one regular wave: what the response tables are integrated from.

use crate::base::Flags;
use crate::base::units::{G, RHO_WATER};
use crate::hydro::added_resistance::radiated_energy::{self, AddedResistance};
use crate::hydro::added_resistance::short_waves::Waterline;
use crate::hydro::added_resistance::snnm;
use crate::hydro::dispersion::{deep_wave_number, encounter_frequency};
use crate::hydro::own_table::OwnTable;
use crate::hydro::response::quantities::Response;
use crate::hydro::strip::{Lift, Motions, StripHull};
use crate::hydro::unsteady_lift::{reduced_frequency, sears, theodorsen};
use num_complex::Complex64;
use std::f64::consts::PI;

/// How added resistance is computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Method {
    #[default]
    /// Energy that the boat's motions radiate (Gerritsma & Beukelman 1972); in short waves what her waterline reflects.
    RadiatedEnergy,
    /// The ITTC regression on main dimensions (SNNM).
    Snnm,
    /// The user's own responses; where they have none, radiated energy.
    Table,
}

impl Method {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::RadiatedEnergy, Self::Snnm, Self::Table];

    /// The other method, for a second opinion.
    pub fn second(self) -> Self {
        match self {
            Method::RadiatedEnergy => Method::Snnm,
            Method::Snnm | Method::Table => Method::RadiatedEnergy,
        }
    }

    /// The method's name in files.
    pub fn name(self) -> &'static str {
        match self {
            Method::RadiatedEnergy => "radiated-energy",
            Method::Snnm => "snnm",
            Method::Table => "table",
        }
    }
}

/// Where a foil meets the waves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoilInWaves {
    /// Position forward of the aft end of the waterline, m.
    pub x_m: f64,
    /// Depth of the lifting part, m.
    pub depth_m: f64,
    /// Chord, m.
    pub chord_m: f64,
    /// Span, m.
    pub span_m: f64,
    /// Lift slope at that depth, 1/rad.
    pub lift_slope_per_rad: f64,
}

impl FoilInWaves {
    /// The unsteady parts of its lift: by its own motion (Theodorsen) and by gusts (Sears), at a speed above zero. Negative
    /// frequencies are the conjugate process.
    fn unsteady(&self, omega_e: f64, speed_m_s: f64) -> [Complex64; 2] {
        let reduced = reduced_frequency(omega_e.abs(), self.chord_m, speed_m_s);
        let signed = |value: Complex64| if omega_e < 0.0 { value.conj() } else { value };
        [signed(theodorsen(reduced)), signed(sears(reduced))]
    }

    /// What it does to the boat's motions at a speed: rho V S a/2 times the velocity across the stream, unsteadily. In the
    /// water it damps whether or not it is set to carry. Its added mass, a hundredth of hers, is left out.
    fn lift(&self, omega_e: f64, speed_m_s: f64) -> Option<Lift> {
        if speed_m_s <= 0.0 {
            return None;
        }
        let steady = 0.5 * RHO_WATER * speed_m_s * self.span_m * self.chord_m * self.lift_slope_per_rad;
        let [own, gust] = self.unsteady(omega_e, speed_m_s).map(|part| steady * part);
        Some(Lift { x_m: self.x_m, depth_m: self.depth_m, own, gust })
    }
}

/// All of a boat that answers to waves.
#[derive(Debug, Clone)]
pub struct BoatInWaves {
    /// Hull prepared for strip theory.
    pub strip: StripHull,
    /// Her waterline, which throws short waves back.
    pub waterline: Waterline,
    /// Main dimensions for the regression method.
    pub dimensions: snnm::ShipDimensions,
    /// Position of the bow forward of the aft end of the waterline, m.
    pub bow_x_m: f64,
    /// Position of the forefoot, where slams are counted.
    pub forefoot_x_m: f64,
    /// Length over which the bow averages the surface, m: the waterline beam.
    pub bow_width_m: f64,
    /// The foil in use, which is in the water at every speed.
    pub foil: Option<FoilInWaves>,
    /// Method of the added resistance in use.
    pub method: Method,
    /// The user's own responses, if there are any; motions in them replace those of strip theory.
    pub own: Option<OwnTable>,
}

impl BoatInWaves {
    /// Responses per amplitude squared to a regular wave of absolute frequency `omega` (rad/s) at wave angle `mu`.
    ///
    /// Forces are doubled, so that a spectrum of variance density S gives mean force = sum of response x S as it
    /// gives variance = sum of response x S.
    pub fn regular(&self, speed_m_s: f64, omega: f64, mu: f64) -> Response {
        let motions = self.motions(speed_m_s, omega, mu);
        let mut response = self.moved(&motions);
        self.set_radiated(&mut response, self.radiated(&motions, mu));
        self.set_own(&mut response, speed_m_s, omega, mu);
        self.set_regression(&mut response, self.regression(speed_m_s, omega, mu));
        response
    }

    /// Motions by strip theory with her foil, or the user's own where the table has them.
    pub fn motions(&self, speed_m_s: f64, omega: f64, mu: f64) -> Motions {
        let omega_e = encounter_frequency(omega, speed_m_s, mu);
        let lift = self.foil.and_then(|foil| foil.lift(omega_e, speed_m_s));
        let mut motions = self.strip.motions_with(lift.as_ref(), speed_m_s, omega, mu);
        let own = self.own.as_ref().and_then(|own| own.at(speed_m_s, mu, omega));
        if let Some([heave, pitch]) = own.and_then(|own| own.motions) {
            (motions.heave, motions.pitch) = (heave, pitch);
        }
        motions
    }

    /// The part of [`BoatInWaves::regular`] that is motions alone, without added resistance.
    pub(super) fn moved(&self, motions: &Motions) -> Response {
        let squared_encounter = motions.omega_e * motions.omega_e;
        let averaged = averaged_over(self.bow_width_m, motions.omega);
        let relative = motions.relative_displacement(self.bow_x_m);
        let bow = relative.norm_sqr() * averaged;
        let foil = self.foil.map_or([0.0; 2], |foil| foil_response(&foil, motions));
        Response {
            added_resistance: 0.0,
            second_added_resistance: 0.0,
            bow_motion: bow,
            bow_velocity: squared_encounter * bow,
            bow_acceleration: motions.acceleration(self.bow_x_m).norm_sqr(),
            foil_velocity: foil[0],
            foil_velocity_rate: squared_encounter * foil[0],
            foil_immersion: foil[1],
            foil_immersion_rate: squared_encounter * foil[1],
            pitch_rate: squared_encounter * motions.pitch.norm_sqr(),
            // the water rises up the bow where the hull is below it
            bow_water_covariance: (motions.orbital_velocity_along(self.bow_x_m) * -relative.conj()).re
                * averaged,
            forefoot_motion: motions.relative_displacement(self.forefoot_x_m).norm_sqr() * averaged,
        }
    }

    /// The speeds from which the added resistance of one method and of the other no longer changes, m/s.
    pub(super) fn held_speeds_m_s(&self) -> [f64; 2] {
        let regression = snnm::MAX_FROUDE * (G * self.dimensions.length_m).sqrt();
        let radiated = radiated_energy::MAX_FROUDE * (G * self.strip.length_m()).sqrt();
        [regression, radiated]
    }

    /// The speed from which the radiated energy's force in a wave stays, m/s.
    pub(super) fn radiated_held_speed_m_s(&self, omega: f64, mu: f64) -> f64 {
        radiated_energy::held_speed_m_s(self.strip.length_m(), omega, mu)
    }

    /// Added resistance per amplitude squared by radiated energy, in short waves by reflection.
    pub fn added_resistance(&self, motions: &Motions, mu: f64) -> AddedResistance {
        self.blended(motions, mu, || radiated_energy::from_motions(&self.strip, motions, mu))
    }

    /// Twice the added resistance per amplitude squared by radiated energy and reflection, N/m², both held above their
    /// Froude number.
    pub(super) fn radiated(&self, motions: &Motions, mu: f64) -> f64 {
        let at = |speed_m_s| self.motions(speed_m_s, motions.omega, mu);
        let held = || radiated_energy::held_from_motions(&self.strip, motions, mu, at);
        2.0 * self.blended(motions, mu, held).per_amplitude_squared
    }

    fn blended(
        &self,
        motions: &Motions,
        mu: f64,
        radiated: impl FnOnce() -> AddedResistance,
    ) -> AddedResistance {
        let mut flags = Flags::empty();
        let radiated = || {
            let radiated = radiated();
            flags = radiated.flags;
            radiated.per_amplitude_squared
        };
        let per_amplitude_squared = self.waterline.blended(motions.speed_m_s, motions.omega, mu, radiated);
        AddedResistance { per_amplitude_squared, flags }
    }

    /// Twice the added resistance per amplitude squared by the regression, N/m².
    pub(super) fn regression(&self, speed_m_s: f64, omega: f64, mu: f64) -> f64 {
        2.0 * snnm::mean_added_resistance(&self.dimensions, speed_m_s, omega, mu).0
    }

    /// Puts the radiated energy's force in its place, as the first or the second method.
    pub(super) fn set_radiated(&self, response: &mut Response, force: f64) {
        match self.method {
            Method::RadiatedEnergy => response.added_resistance = force,
            Method::Snnm => response.second_added_resistance = force,
            Method::Table => {
                response.added_resistance = force;
                response.second_added_resistance = force;
            }
        }
    }

    /// Puts the user's own added resistance in place of the built-in one, where that is the method and the table has it.
    pub(super) fn set_own(&self, response: &mut Response, speed_m_s: f64, omega: f64, mu: f64) {
        if self.method != Method::Table {
            return;
        }
        let own = self.own.as_ref().and_then(|own| own.at(speed_m_s, mu, omega));
        if let Some(force) = own.and_then(|own| own.added_resistance) {
            response.added_resistance = 2.0 * force;
        }
    }

    /// Puts the regression's force in its place, as the first or the second method.
    pub(super) fn set_regression(&self, response: &mut Response, force: f64) {
        match self.method {
            Method::RadiatedEnergy => response.second_added_resistance = force,
            Method::Snnm => response.added_resistance = force,
            Method::Table => {}
        }
    }
}

/// Squared magnitudes of the velocity across the foil that its lift answers to, and of its immersion.
fn foil_response(foil: &FoilInWaves, motions: &Motions) -> [f64; 2] {
    foil_amplitudes(foil, motions).map(|amplitude| amplitude.norm_sqr())
}

/// The velocity across the foil that its lift answers to, upwards, and the foil's height above where it flies, as amplitudes of
/// exp(i w_e t) about the wave at the centre of gravity.
pub(super) fn foil_amplitudes(foil: &FoilInWaves, motions: &Motions) -> [Complex64; 2] {
    let (speed_m_s, omega) = (motions.speed_m_s, motions.omega);
    let at_depth = (-deep_wave_number(omega) * foil.depth_m).exp();
    let orbital = Complex64::i() * omega * at_depth * motions.wave_elevation(foil.x_m);
    // a bow-down attitude meets the water from above at the boat's speed, as a heaving-up foil does
    let hull = motions.velocity(foil.x_m) + speed_m_s * motions.pitch;
    let answered = if speed_m_s > 0.0 {
        let [own, gust] = foil.unsteady(motions.omega_e, speed_m_s);
        orbital * gust - hull * own
    } else {
        Complex64::ZERO
    };
    [answered, motions.relative_displacement(foil.x_m) * averaged_over(foil.span_m, omega).sqrt()]
}

/// What is left of a wave's squared height when it is averaged over a length: sinc²(k l/2) to second order, as a
/// Gaussian that has no side lobes. Waves shorter than the part they meet neither wet a bow nor bare a foil.
pub(super) fn averaged_over(length_m: f64, omega: f64) -> f64 {
    let kl = deep_wave_number(omega) * length_m;
    (-kl * kl / 12.0).exp()
}

/// Wave angles within this of the beam are flagged: roll, yaw and steering are outside the model.
pub(crate) const BEAM_SECTOR_RAD: f64 = 20.0 * PI / 180.0;
