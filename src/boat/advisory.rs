//! Advisories: how wet, how hard and how rough it is at a speed. They warn; they take no speed off.

use crate::base::units::G;
use crate::boat::model::BoatModel;
use crate::hydro::rates::{slam_probability, slam_rate, slam_velocity_m_s, up_crossing_rate, wetness_rate};
use crate::hydro::response::Response;
use serde::Serialize;

/// Events an hour and accelerations at the bow.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Advisory {
    /// Forefoot leaves the water and re-enters faster than the threshold velocity, per hour.
    pub slam_rate_per_h: f64,
    /// Solid water reaches the deck at the bow, per hour; none without `[deck]`.
    pub wetness_rate_per_h: Option<f64>,
    /// Vertical acceleration at the bow, root mean square, in g.
    pub bow_acceleration_rms_g: f64,
    /// Cycles of the relative motion at the bow, per hour: what slams and wet decks are a share of.
    pub bow_cycles_per_h: f64,
}

impl Advisory {
    /// The advisories of a boat with the responses of the sea, the effective freeboard and the draught at the forefoot at her
    /// speed.
    pub fn of(
        model: &BoatModel,
        response: &Response,
        freeboard_m: Option<f64>,
        forefoot_draught_m: f64,
    ) -> Self {
        let (m0, m2) = (response.bow_motion.max(0.0), response.bow_velocity.max(0.0));
        let slams = Slams::new(model, response, forefoot_draught_m);
        Self {
            slam_rate_per_h: 3600.0 * slam_rate(slams.m0, slams.m2, slams.draught_m, slams.velocity_m_s),
            wetness_rate_per_h: freeboard_m.map(|freeboard_m| 3600.0 * wetness_rate(m0, m2, freeboard_m)),
            bow_acceleration_rms_g: response.bow_acceleration.max(0.0).sqrt() / G,
            bow_cycles_per_h: 3600.0 * up_crossing_rate(m0, m2, 0.0),
        }
    }
}

/// Probability that a cycle of the relative motion at the forefoot slams.
pub fn forefoot_slam_probability(model: &BoatModel, response: &Response, forefoot_draught_m: f64) -> f64 {
    let slams = Slams::new(model, response, forefoot_draught_m);
    slam_probability(slams.m0, slams.m2, slams.draught_m, slams.velocity_m_s)
}

/// What slams are counted from.
struct Slams {
    /// Variances of the relative motion at the forefoot and of its rate.
    m0: f64,
    m2: f64,
    draught_m: f64,
    velocity_m_s: f64,
}

impl Slams {
    /// The rate's variance has the frequency of the bow's, which moves more than the forefoot but as fast: on the invented
    /// boats the rate of slams from ahead comes out up to 15 % low by that.
    fn new(model: &BoatModel, response: &Response, draught_m: f64) -> Self {
        let m0 = response.forefoot_motion.max(0.0);
        let squared_frequency = if response.bow_motion > 0.0 {
            response.bow_velocity.max(0.0) / response.bow_motion
        } else {
            0.0
        };
        let velocity_m_s = slam_velocity_m_s(model.hydrostatics.lwl_m);
        Self { m0, m2: squared_frequency * m0, draught_m, velocity_m_s }
    }
}
