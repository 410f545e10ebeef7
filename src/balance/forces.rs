//! Forces along the course at one speed.

use serde::Serialize;

/// Forces along the course at one speed, N.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Forces {
    /// Drive of the sails, less what hull and rig have of the wind.
    pub drive_n: f64,
    /// Drag of the side force.
    pub side_drag_n: f64,
    /// Change of the mean drive by pitching.
    pub pitching_thrust_n: f64,
    /// Flat-water resistance of hull and appendages.
    pub calm_resistance_n: f64,
    /// Drag of the foil.
    pub foil_drag_n: f64,
    /// Weight that the hull bears, with the water on deck, over the displacement.
    pub hull_borne_share: f64,
    /// Added resistance: the sea's, times the hull-borne share.
    pub added_resistance_n: f64,
    /// Drag in the wind of what the polar does not hold.
    pub windage_n: f64,
    /// What brings the water that comes aboard to her speed; negative where it is faster and pushes.
    pub deck_water_n: f64,
    /// What large waves add to the sea's force, as all of her hull in time takes it; absent where there is nothing of it.
    #[serde(skip_serializing_if = "is_none_of_it")]
    pub large_waves_n: f64,
}

fn is_none_of_it(force_n: &f64) -> bool {
    *force_n == 0.0
}

impl Forces {
    /// What drives her.
    pub fn thrust_n(&self) -> f64 {
        self.drive_n - self.side_drag_n + self.pitching_thrust_n
    }

    /// What holds her back, but for the drag of the side force.
    pub fn resistance_n(&self) -> f64 {
        self.calm_resistance_n
            + self.foil_drag_n
            + self.added_resistance_n
            + self.windage_n
            + self.deck_water_n
            + self.large_waves_n
    }

    /// Thrust less resistance, summed in the order that solving sums it.
    pub fn surplus_n(&self) -> f64 {
        self.drive_n - self.side_drag_n + self.pitching_thrust_n
            - self.calm_resistance_n
            - self.foil_drag_n
            - self.added_resistance_n
            - self.windage_n
            - self.deck_water_n
            - self.large_waves_n
    }
}
