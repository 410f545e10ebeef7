//! A boat's body in time with what of her stands beside the hull: foil, deck, steady bow wave, the moment of her sails' drive.

use crate::base::units::{G, RHO_WATER, kn_to_m_s};
use crate::base::{Error, Result};
use crate::boat::model::BoatModel;
use crate::hydro::body::{Body, BodyFoil, BodyState, Outside, Passing, Scratch, SectionNow, Wave};
use crate::hydro::foil::Foil;
use std::f64::consts::TAU;

/// Longest step of the equations of motion, s: halved, means change by less than 0.2 % (`tests/physics/body.rs`).
pub const LONGEST_STEP_S: f64 = 0.05;
/// Time in flat water that finds how she floats, s.
const FLAT_S: f64 = 60.0;
/// The greatest speed that is tabulated, kn.
const TOP_KN: usize = 80;
/// The shortest waves that move a boat, over her waterline's length: shorter ones cancel along it (judged by her responses in
/// `tests/physics/journee.md`).
const SHORTEST_FELT: f64 = 0.7;

/// A boat in waves, ready to be stepped.
#[derive(Debug, Clone)]
pub struct WholeBody {
    /// Her body.
    pub body: Body,
    /// Sections before this, m forward of the centre of gravity, have the bow wave.
    from_x_m: f64,
    /// What the steady bow wave adds to the sea at the deck's edge, in steps of a knot, m.
    raised_m: Vec<f64>,
    /// Moment of the sails' drive in steps of a knot, N m, bow down.
    drive_nm: Vec<f64>,
}

impl WholeBody {
    /// A boat of known topsides in waves, around a mean speed; `flying_m_s` is the speed at which her foil, if it is in use, has
    /// the depth that it keeps.
    ///
    /// # Errors
    /// A boat whose hull is known up to the waterline alone.
    pub fn new(model: &BoatModel, waves: &[Wave], mean_m_s: f64, flying_m_s: Option<f64>) -> Result<Self> {
        let Some(decked) = model.hull.decked() else {
            return Err(Error::new("the boat's bow ends at the waterline")
                .at(format!("boat `{}`", model.boat.name))
                .expected("her hull up to the deck")
                .remedy("add [topsides] to the boat file or offsets up to the deck, or choose body = \"linear\" (--body linear)"));
        };
        let spec = &model.boat.hull;
        let strip = &model.waves.strip;
        let mut body = Body::new(decked, strip, waves, mean_m_s, spec.pitch_radius_m, spec.vcg_m, RHO_WATER);
        let deck = model.boat.deck.as_ref();
        body.drain_s = deck.map(|deck| deck.drain_time_s);
        body.momentum_share = deck.map_or(0.0, |deck| deck.momentum_share);
        let foils = flying_m_s.and(model.boat.foils.as_ref());
        if let (Some(foils), Some(flying_m_s)) = (foils, flying_m_s) {
            let running = model.running(flying_m_s, true, 1.0);
            let foil = Foil {
                span_m: foils.span_m,
                chord_m: foils.chord_m,
                profile_drag_coefficient: foils.profile_drag_coefficient,
            };
            let fitted = BodyFoil {
                x_m: foils.x_m - body.gravity_x_m(),
                depth_m: foils.depth_m + running.rise_m,
                area_m2: foil.area_m2(),
                chord_m: foils.chord_m,
                lift_slope_per_rad: foil.lift_slope_per_rad(foils.depth_m),
                stall_rad: foils.stall_angle_deg.to_radians(),
                lift_after_stall: foils.lift_after_stall,
                trim_rad: 0.0,
                rho_kg_m3: RHO_WATER,
            };
            body.set_foil(fitted, strip);
        }
        let flies = flying_m_s.is_some() && model.boat.foils.is_some();
        let edge_m = deck.map_or(0.0, |deck| deck.wetted_edge_m / 2.0);
        let at = |knots: usize| kn_to_m_s(knots as f64);
        Ok(Self {
            from_x_m: model.hydrostatics.lwl_m - body.gravity_x_m() - edge_m,
            raised_m: (0..=TOP_KN)
                .map(|knots| model.running(at(knots), flies, edge_m.max(0.1)).bow_wave_m)
                .collect(),
            drive_nm: (0..=TOP_KN).map(|knots| model.drive_moment_nm(at(knots), flies)).collect(),
            body,
        })
    }

    /// What her bow wave adds to the sea at a section, m, at a speed.
    pub fn raised_m(&self, speed_m_s: f64) -> impl Fn(&SectionNow) -> f64 {
        let (from_x_m, raised_m) = (self.from_x_m, by_knot(&self.raised_m, speed_m_s));
        move |section| if section.x_m < from_x_m { 0.0 } else { raised_m }
    }

    /// Moment of the drive that balances flat-water resistance, N m, bow down.
    pub fn drive_nm(&self, speed_m_s: f64) -> f64 {
        by_knot(&self.drive_nm, speed_m_s)
    }

    /// Afloat as in flat water at a speed, the foil set for the trim that she has there; the crew sets it as she comes to it.
    pub fn settled(&self, speed_m_s: f64, outside: &dyn Fn(&Passing) -> Outside) -> BodyState {
        let mut rest = self.body.without_waves();
        rest.held = true;
        let mut state = rest.at_rest(speed_m_s);
        let mut scratch = Scratch::default();
        for step in 0..(FLAT_S / LONGEST_STEP_S) as usize {
            rest.step(&mut state, LONGEST_STEP_S, outside, &|_| 0.0, &mut scratch);
            if step % 20 == 0 {
                rest.set_foil_trim(state.trim_rad);
            }
        }
        let mut afloat = self.body.at_rest(speed_m_s);
        (afloat.heave_m, afloat.trim_rad) = (state.heave_m, state.trim_rad);
        afloat.memory.settled = [state.heave_m, state.trim_rad];
        afloat
    }
}

/// Frequency of the shortest waves that a boat of a waterline so long, m, answers, rad/s.
pub fn shortest_felt_rad_s(length_m: f64) -> f64 {
    (TAU * G / (SHORTEST_FELT * length_m)).sqrt()
}

/// A value kept at whole knots, at a speed; the last beyond.
fn by_knot(values: &[f64], speed_m_s: f64) -> f64 {
    let knots = (speed_m_s / kn_to_m_s(1.0)).clamp(0.0, (values.len() - 1) as f64);
    let low = (knots as usize).min(values.len() - 2);
    values[low] + (knots - low as f64) * (values[low + 1] - values[low])
}
