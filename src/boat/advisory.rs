//! Advisories: how wet, how hard and how rough it is at a speed. They warn; they take no speed off.

use crate::base::units::G;
use crate::boat::model::BoatModel;
use crate::hydro::rates::{slam_rate, slam_velocity_m_s, wetness_rate};
use crate::hydro::response::Response;
use serde::Serialize;

/// Events an hour and accelerations at the bow.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Advisory {
    /// Bow leaves the water and re-enters faster than the threshold velocity, per hour.
    pub slam_rate_per_h: f64,
    /// Solid water reaches the deck at the bow, per hour; none without `[deck]`.
    pub wetness_rate_per_h: Option<f64>,
    /// Vertical acceleration at the bow, root mean square, in g.
    pub bow_acceleration_rms_g: f64,
}

impl Advisory {
    /// The advisories of a boat with the responses of the sea and the effective freeboard at her speed.
    pub fn of(model: &BoatModel, response: &Response, freeboard_m: Option<f64>) -> Self {
        let (lwl, draught) = (model.hydrostatics.lwl_m, model.hydrostatics.draught_m);
        let (m0, m2) = (response.bow_motion.max(0.0), response.bow_velocity.max(0.0));
        Self {
            slam_rate_per_h: 3600.0 * slam_rate(m0, m2, draught, slam_velocity_m_s(lwl)),
            wetness_rate_per_h: freeboard_m.map(|freeboard_m| 3600.0 * wetness_rate(m0, m2, freeboard_m)),
            bow_acceleration_rms_g: response.bow_acceleration.max(0.0).sqrt() / G,
        }
    }
}
