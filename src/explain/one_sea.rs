//! One boat in one sea at one speed: every intermediate number of the model, for a person to check.

use crate::balance::FoilState;
use crate::base::units::G;
use crate::base::{Flag, Flags};
use crate::boat::{Advisory, BoatModel, advisory};
use crate::hydro::added_resistance::snnm;
use crate::hydro::dispersion::{encounter_frequency, phase_speed_m_s, wave_length_m};
use crate::hydro::rates::{NORDFORSK_FAST_SMALL_CRAFT, OperabilityLimits, peak_exceedance};
use crate::hydro::response::{Method, direct};
use crate::hydro::spectrum::{STEEPEST_SEA, significant_steepness};
use crate::hydro::spreading::{Spreading, SpreadingByFrequency};
use crate::hydro::wave_shape::WaveShape;
use crate::sea::PartitionKind;
use serde::Serialize;
use std::collections::BTreeMap;
use std::f64::consts::{FRAC_PI_2, TAU};

/// A stated wave length this far off the one its period has cannot be meant (a few per cent are rounding).
const LENGTH_TOLERANCE: f64 = 0.05;

/// One wave system as the boat meets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sea {
    /// Wind sea, swell or total.
    pub kind: PartitionKind,
    /// Significant height, m.
    pub hs_m: f64,
    /// Peak period, s.
    pub tp_s: f64,
    /// Wave angle, rad: 0 following, pi head.
    pub mu: f64,
    /// Whether all waves come from one direction.
    pub long_crested: bool,
}

/// The boat in an irregular sea. What the boat file says nothing about is absent.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Irregular {
    /// Length of a wave of the peak period in deep water, m.
    pub wave_length_m: f64,
    /// Its phase speed, m/s.
    pub phase_speed_m_s: f64,
    /// Time between two such crests on board, s; absent where the boat keeps pace with them.
    pub encounter_period_s: Option<f64>,
    /// Significant height over that length.
    pub significant_steepness: f64,
    /// Speed over sqrt(g lwl).
    pub froude: f64,
    /// Flat-water resistance of hull, appendages and foil without side force, N.
    pub calm_resistance_n: f64,
    /// Mean added resistance by method, N, for the whole weight hull-borne.
    pub added_resistance_n: BTreeMap<&'static str, f64>,
    /// Share of the weight that the hull bears in flat water at this speed.
    pub hull_borne_share: f64,
    /// Relative motion at the bow, root mean square, m.
    pub relative_bow_rms_m: f64,
    /// Effective freeboard at the bow, m.
    pub effective_freeboard_m: Option<f64>,
    /// Mean water on deck, kg.
    pub deck_water_kg: Option<f64>,
    /// Mean force that brings the water that comes aboard to her speed, N; negative where it is faster and pushes.
    pub deck_water_n: Option<f64>,
    /// Mean angle of attack of the foil, degrees.
    pub foil_mean_angle_deg: Option<f64>,
    /// Standard deviation of the foil's angle of attack, degrees.
    pub foil_angle_sd_deg: Option<f64>,
    /// Ventilation angle less mean angle, in standard deviations.
    pub ventilation_margin_sd: Option<f64>,
    /// Standard deviation of the foil's immersion, m.
    pub foil_immersion_sd_m: Option<f64>,
    /// Mean foil lift over lift without stall.
    pub foil_lift_ratio: Option<f64>,
    /// Stalls per hour of flight.
    pub stall_rate_per_h: Option<f64>,
    /// Broaches (the foil leaves the water) per hour of flight.
    pub broach_rate_per_h: Option<f64>,
    /// Part of the time in flight.
    pub availability: Option<f64>,
    /// Slams, wet decks and acceleration at the bow.
    #[serde(flatten)]
    pub advisory: Advisory,
    /// Probability that a cycle of the relative motion at the forefoot slams (advisory).
    pub slam_probability: f64,
    /// Probability that a cycle of the relative motion wets the deck (advisory).
    pub wetness_probability: Option<f64>,
    /// Published limits to hold the advisories against: NORDFORSK 1987, fast small craft.
    pub advisory_limits: OperabilityLimits,
    /// Reservations.
    pub flags: Vec<&'static str>,
    /// What cannot be right about the sea, in words.
    pub warnings: Vec<String>,
}

/// The boat in a regular wave of unit amplitude.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Regular {
    /// Length of the wave in deep water, m.
    pub wave_length_m: f64,
    /// Its phase speed, m/s.
    pub phase_speed_m_s: f64,
    /// Time between two crests on board, s; absent where the boat keeps pace with them.
    pub encounter_period_s: Option<f64>,
    /// Speed over sqrt(g lwl).
    pub froude: f64,
    /// Heave amplitude, m/m.
    pub heave_m_per_m: f64,
    /// Heave phase before the wave's crest at the centre of gravity, degrees.
    pub heave_phase_deg: f64,
    /// Pitch amplitude, rad/m.
    pub pitch_rad_per_m: f64,
    /// Phase of bow-down pitch before the crest at the centre of gravity, degrees.
    pub pitch_phase_deg: f64,
    /// Relative motion at the bow, m/m.
    pub relative_bow_m_per_m: f64,
    /// Added resistance over rho g a² B²/L, by method.
    pub added_resistance_coefficient: BTreeMap<&'static str, f64>,
    /// Added mass in heave, kg; absent at zero encounter frequency, as the next three.
    pub a33_kg: Option<f64>,
    /// Damping in heave, kg/s.
    pub b33_kg_s: Option<f64>,
    /// Added inertia in pitch, kg m².
    pub a55_kg_m2: Option<f64>,
    /// Damping in pitch, kg m²/s.
    pub b55_kg_m2_s: Option<f64>,
    /// Reservations.
    pub flags: Vec<&'static str>,
    /// What cannot be right about the wave, in words.
    pub warnings: Vec<String>,
}

/// The boat in one wave system, integrated directly over its spectrum. `flies` says whether the leeward foil is there.
pub fn irregular(model: &BoatModel, speed_m_s: f64, sea: &Sea, flies: bool) -> Irregular {
    let mut shape = WaveShape::of(sea.kind, sea.hs_m, sea.tp_s);
    if sea.long_crested {
        shape.spreading = SpreadingByFrequency::Same(Spreading::LongCrested);
    }
    let response = direct(&model.waves, speed_m_s, sea.mu, sea.hs_m, sea.tp_s, shape);
    let method = model.waves.method;
    let added = [(method, response.added_resistance), (method.second(), response.second_added_resistance)];
    let freeboard = model.effective_freeboard_m(speed_m_s, flies);
    let water = freeboard.map(|freeboard| model.shipped_water(&response, speed_m_s, Some(freeboard)));
    let weight_kg = model.displacement_kg + water.map_or(0.0, |water| water.carried_kg);
    let flight = model.foils.as_ref().filter(|foils| flies && foils.share.at(speed_m_s) > 0.0);
    let share = flight.map_or(0.0, |foils| foils.share.at(speed_m_s));
    let foil = flight.map(|foils| (foils, FoilState::new(foils, &response, speed_m_s, weight_kg)));
    let forefoot_draught_m = model.forefoot_draught_m(speed_m_s, flies);
    let m0 = response.bow_motion.max(0.0);
    let lwl = model.hydrostatics.lwl_m;
    let calm = model.calm.bare_hull_resistance_n(speed_m_s, 1.0 - share);
    Irregular {
        wave_length_m: wave_length_m(sea.tp_s),
        phase_speed_m_s: phase_speed_m_s(sea.tp_s),
        encounter_period_s: encounter_period_s(sea.tp_s, speed_m_s, sea.mu),
        significant_steepness: significant_steepness(sea.hs_m, sea.tp_s),
        froude: speed_m_s / (G * lwl).sqrt(),
        calm_resistance_n: model.flat_resistance_n(speed_m_s, flies),
        added_resistance_n: added.map(|(method, force)| (method.name(), force)).into(),
        hull_borne_share: 1.0 - share,
        relative_bow_rms_m: m0.sqrt(),
        effective_freeboard_m: freeboard,
        deck_water_kg: water.map(|water| water.carried_kg),
        deck_water_n: water.map(|water| water.force_n),
        foil_mean_angle_deg: foil.as_ref().map(|(_, state)| state.mean_rad.to_degrees()),
        foil_angle_sd_deg: foil.as_ref().map(|(_, state)| state.angle_sd_rad.to_degrees()),
        ventilation_margin_sd: foil.as_ref().and_then(|(foils, state)| {
            foils.ventilation_rad.map(|angle| (angle - state.mean_rad) / state.angle_sd_rad)
        }),
        foil_immersion_sd_m: foil.as_ref().map(|_| response.foil_immersion.max(0.0).sqrt()),
        foil_lift_ratio: foil.as_ref().map(|(_, state)| state.lift_ratio),
        stall_rate_per_h: foil.as_ref().map(|(_, state)| 3600.0 * state.stall_rate_hz),
        broach_rate_per_h: foil.as_ref().map(|(_, state)| 3600.0 * state.broach_rate_hz),
        availability: foil.as_ref().map(|(foils, state)| state.availability(foils)),
        advisory: Advisory::of(model, &response, freeboard, forefoot_draught_m),
        slam_probability: advisory::forefoot_slam_probability(model, &response, forefoot_draught_m),
        wetness_probability: freeboard.map(|freeboard| peak_exceedance(m0, freeboard)),
        advisory_limits: NORDFORSK_FAST_SMALL_CRAFT,
        flags: names(calm.flags | flags(model, speed_m_s, sea)),
        warnings: too_steep(sea.hs_m, sea.tp_s).into_iter().collect(),
    }
}

/// The boat in a regular wave of unit amplitude.
pub fn regular(model: &BoatModel, speed_m_s: f64, period_s: f64, mu: f64) -> Regular {
    let omega = TAU / period_s;
    let motions = model.waves.motions(speed_m_s, omega, mu);
    let hydrostatics = &model.hydrostatics;
    let (beam, length) = (hydrostatics.bwl_m, hydrostatics.lwl_m);
    let unit = model.waves.dimensions.rho_kg_m3 * G * beam * beam / length;
    let radiated = model.waves.added_resistance(&motions, mu);
    let (regression, regression_flags) =
        snnm::mean_added_resistance(&model.waves.dimensions, speed_m_s, omega, mu);
    let coefficients = motions.coefficients();
    Regular {
        wave_length_m: wave_length_m(period_s),
        phase_speed_m_s: phase_speed_m_s(period_s),
        encounter_period_s: encounter_period_s(period_s, speed_m_s, mu),
        froude: speed_m_s / (G * length).sqrt(),
        heave_m_per_m: motions.heave.norm(),
        heave_phase_deg: motions.heave.arg().to_degrees(),
        pitch_rad_per_m: motions.pitch.norm(),
        pitch_phase_deg: motions.pitch.arg().to_degrees(),
        relative_bow_m_per_m: motions.relative_displacement(length).norm(),
        added_resistance_coefficient: BTreeMap::from([
            (Method::RadiatedEnergy.name(), radiated.per_amplitude_squared / unit),
            (Method::Snnm.name(), regression / unit),
        ]),
        a33_kg: coefficients.map(|c| c.a33),
        b33_kg_s: coefficients.map(|c| c.b33),
        a55_kg_m2: coefficients.map(|c| c.a55),
        b55_kg_m2_s: coefficients.map(|c| c.b55),
        flags: names(model.flags | radiated.flags | regression_flags),
        warnings: Vec::new(),
    }
}

/// What is wrong with a height and period that no sea has together.
pub fn too_steep(hs_m: f64, tp_s: f64) -> Option<String> {
    let steepness = significant_steepness(hs_m, tp_s);
    (steepness > STEEPEST_SEA).then(|| {
        format!(
            "no sea holds Hs {hs_m} m at a peak period of {tp_s} s: its steepness would be 1/{:.1}, a sea reaches \
             about 1/15 and single waves break at 1/7",
            1.0 / steepness
        )
    })
}

/// What is wrong with a wave length and period that no deep-water wave has together.
pub fn mismatched_wave(period_s: f64, stated_length_m: Option<f64>) -> Option<String> {
    let stated = stated_length_m?;
    let length = wave_length_m(period_s);
    ((stated / length - 1.0).abs() > LENGTH_TOLERANCE).then(|| {
        let fitting_period = (TAU * stated / G).sqrt();
        let factor = (stated / length).max(length / stated);
        format!(
            "no deep-water wave has a length of {stated} m and a period of {period_s} s (off by a factor of \
             {factor:.2} in length): {period_s} s goes with {length:.1} m, {stated} m with {fitting_period:.2} s"
        )
    })
}

fn encounter_period_s(period_s: f64, speed_m_s: f64, mu: f64) -> Option<f64> {
    let encounter = encounter_frequency(TAU / period_s, speed_m_s, mu).abs();
    (encounter > 1e-6).then(|| TAU / encounter)
}

fn flags(model: &BoatModel, speed_m_s: f64, sea: &Sea) -> Flags {
    let mut flags = model.flags | model.method_flags(speed_m_s);
    if sea.mu < FRAC_PI_2 {
        flags |= Flag::FollowingSeaNotModelled;
    }
    if (sea.mu - FRAC_PI_2).abs() <= crate::hydro::response::BEAM_SECTOR_RAD {
        flags |= Flag::BeamSeaNotModelled;
    }
    if too_steep(sea.hs_m, sea.tp_s).is_some() {
        flags |= Flag::ImpossibleSteepness;
    }
    flags
}

fn names(flags: Flags) -> Vec<&'static str> {
    flags.iter().map(Flag::name).collect()
}
