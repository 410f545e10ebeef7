//! What a boat's balances share, whatever the wind and the sea: her responses and her flat-water resistance.

use crate::balance::calm_table::CalmTable;
use crate::balance::carriage::Carriage;
use crate::balance::rungs::{FINER, STEP_M_S, rungs_below};
use crate::base::units::G;
use crate::boat::{BoatModel, LargeWaves};
use crate::hydro::response::{Response, ResponseTable};
use crate::hydro::surge::HullForce;

/// How much faster than her polar she is followed as waves carry her, m/s.
const CARRIED_M_S: f64 = 8.0;

/// A boat with her tables up to the greatest speed of her polar.
#[derive(Debug, Clone)]
pub struct BoatTables {
    /// The boat.
    pub model: BoatModel,
    /// Responses per Hs².
    pub responses: ResponseTable,
    /// Resistance of hull and appendages.
    pub calm: CalmTable,
    /// The waves' force along the course.
    pub surge: HullForce,
    /// What large waves change, where her body is exact.
    pub large_waves: Option<LargeWaves>,
    /// Drag of hull and foil in still water in fine steps of the speed, by the carriage's number, N.
    still_drag_n: Vec<Vec<f64>>,
    max_speed_m_s: f64,
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
        let calm = CalmTable::new(&model.calm, max_speed_m_s + CARRIED_M_S);
        let surge = HullForce::new(&model.hull, model.hydrostatics.lcb_m);
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
        let mut tables = Self {
            model,
            responses,
            calm,
            surge,
            large_waves: None,
            still_drag_n: Vec::new(),
            max_speed_m_s,
            freeboards_m,
            forefoot_draughts_m,
        };
        tables.still_drag_n = Carriage::ALL.map(|carriage| tables.new_still_drag_n(carriage)).into();
        tables
    }

    /// What carries her: the boat and her flat-water resistance.
    pub(super) fn hull(&self) -> (&BoatModel, &CalmTable) {
        (&self.model, &self.calm)
    }

    fn new_still_drag_n(&self, carriage: Carriage) -> Vec<f64> {
        let steps = rungs_below(self.top_m_s()) * FINER;
        let drag = |step: usize| {
            carriage.at(self.hull(), STEP_M_S * step as f64, &Response::default(), 0.0).held_back_n()
        };
        (0..=steps).map(drag).collect()
    }

    /// Drag that a mass of water on deck adds in still water, over that mass, N/kg.
    pub(super) fn drag_per_water(&self, carriage: Carriage, speed_m_s: f64, water_kg: f64) -> f64 {
        let laden = if carriage == Carriage::Flat { Carriage::Laden } else { carriage };
        let drag = |carriage: Carriage, water_kg| {
            carriage.at(self.hull(), speed_m_s, &Response::default(), water_kg).held_back_n()
        };
        (drag(laden, water_kg) - drag(carriage, 0.0)) / water_kg
    }

    /// Drag that lost lift adds in still water, over the part of it that is lost, N.
    pub(super) fn drag_per_lost_lift(&self, speed_m_s: f64, lost: f64) -> f64 {
        let Some(foils) = &self.model.foils else { return 0.0 };
        let weight_n = self.model.displacement_kg * G;
        let drag = |lost: f64| {
            let share = foils.share.at(speed_m_s) * (1.0 - lost);
            let foil_n = if speed_m_s > 0.0 { foils.foil.drag_n(share * weight_n, speed_m_s) } else { 0.0 };
            self.calm.at(speed_m_s, 1.0 - share) + foil_n
        };
        (drag(lost) - drag(0.0)) / lost
    }

    /// Drag of hull and foil in still water in fine steps of the speed, N.
    pub(super) fn still_drag_n(&self, carriage: Carriage) -> &[f64] {
        &self.still_drag_n[carriage.number()]
    }

    /// The greatest speed that is looked for in flat water and under mean forces, m/s.
    pub fn max_speed_m_s(&self) -> f64 {
        self.max_speed_m_s
    }

    /// The greatest speed that she is followed to as waves carry her, m/s.
    pub(super) fn top_m_s(&self) -> f64 {
        self.calm.max_speed_m_s()
    }

    /// The greatest speed of the response tables, m/s.
    pub(super) fn responses_top_m_s(&self) -> f64 {
        self.responses.speeds_m_s().last().unwrap_or(0.0)
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
