//! What a sea puts on her deck: the weight that stays until it drains, and the force that brings it to her speed.

use crate::boat::model::BoatModel;
use crate::hydro::deck_water::{Overtopping, mean_water_carried_kg};
use crate::hydro::response::Response;

/// Water on deck in a sea at a speed.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct ShippedWater {
    /// Mean mass on deck, kg.
    pub carried_kg: f64,
    /// Mean force that brings what comes aboard to her speed, N, positive astern; negative where the water is faster and
    /// pushes.
    pub force_n: f64,
}

impl BoatModel {
    /// Water shipped in a sea over an effective freeboard at a speed; none for a boat without `[deck]` and in a still sea.
    pub fn shipped_water(
        &self,
        response: &Response,
        speed_m_s: f64,
        freeboard_m: Option<f64>,
    ) -> ShippedWater {
        let (Some(deck), Some(freeboard_m)) = (&self.boat.deck, freeboard_m) else {
            return ShippedWater::default();
        };
        let rms_m = response.bow_motion.max(0.0).sqrt();
        if rms_m <= 0.0 {
            return ShippedWater::default();
        }
        let overtopping = Overtopping::of(rms_m, freeboard_m);
        let force_n_per_m = overtopping.shipping_force_n_per_m(speed_m_s, response.bow_water_covariance);
        ShippedWater {
            carried_kg: mean_water_carried_kg(overtopping.mean_m2_s, deck.wetted_edge_m, deck.drain_time_s),
            force_n: deck.momentum_share * deck.wetted_edge_m * force_n_per_m,
        }
    }
}
