//! What a boat's balances share, whatever the wind and the sea: her responses and her flat-water resistance.

use crate::balance::calm_table::CalmTable;
use crate::boat::BoatModel;
use crate::hydro::response::ResponseTable;

/// A boat with her tables up to the greatest speed of her polar.
#[derive(Debug, Clone)]
pub struct BoatTables {
    /// The boat.
    pub model: BoatModel,
    /// Responses per Hs².
    pub responses: ResponseTable,
    /// Resistance of hull and appendages.
    pub calm: CalmTable,
}

impl BoatTables {
    /// Tabulates a boat up to a speed.
    pub fn new(model: BoatModel, max_speed_m_s: f64) -> Self {
        let responses = ResponseTable::build(&model.waves, max_speed_m_s);
        Self::with_responses(model, responses, max_speed_m_s)
    }

    /// As [`BoatTables::new`], with responses tabulated earlier up to the same speed.
    pub fn with_responses(model: BoatModel, responses: ResponseTable, max_speed_m_s: f64) -> Self {
        let calm = CalmTable::new(&model.calm, max_speed_m_s);
        Self { model, responses, calm }
    }
}
