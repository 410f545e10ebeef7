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
    /// Effective freeboards at the speeds of the responses, m, without foil lift and in flight; none without `[deck]`.
    freeboards_m: Option<[Vec<f64>; 2]>,
    /// Draughts at the forefoot at the same speeds, m, likewise.
    forefoot_draughts_m: [Vec<f64>; 2],
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
        let at_speeds = |flies| -> Option<Vec<f64>> {
            responses.speeds_m_s().map(|speed| model.effective_freeboard_m(speed, flies)).collect()
        };
        let hull_borne_m = at_speeds(false);
        // nothing changes for a boat that never flies
        let flying_m = if model.foils.is_some() { at_speeds(true) } else { hull_borne_m.clone() };
        let freeboards_m =
            hull_borne_m.zip(flying_m).map(|(hull_borne_m, flying_m)| [hull_borne_m, flying_m]);
        let forefoot_draughts_m = [false, true].map(|flies| {
            responses.speeds_m_s().map(|speed| model.forefoot_draught_m(speed, flies)).collect()
        });
        Self { model, responses, calm, freeboards_m, forefoot_draughts_m }
    }

    /// Effective freeboards at the speeds of the responses, m; none without `[deck]`.
    pub fn freeboards_m(&self, flies: bool) -> Option<&[f64]> {
        self.freeboards_m.as_ref().map(|freeboards_m| freeboards_m[usize::from(flies)].as_slice())
    }
    /// Draughts of the hull at the forefoot at the speeds of the responses, m.
    pub fn forefoot_draughts_m(&self, flies: bool) -> &[f64] {
        &self.forefoot_draughts_m[usize::from(flies)]
    }
}
