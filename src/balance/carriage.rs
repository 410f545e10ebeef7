//! What carries her weight, and what that costs in drag: all of a balance that hull, foils and sea decide without the wind.

use crate::balance::calm_table::CalmTable;
use crate::balance::foil_state::FoilState;
use crate::base::units::G;
use crate::boat::BoatModel;
use crate::hydro::foil::LiftShare;
use crate::hydro::response::Response;

/// How her weight is carried, from flat water to a rough sea.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Carriage {
    /// As in flat water: by the hull, and by the foils as far as she has them.
    Flat,
    /// The same with the water that lies on deck.
    Laden,
    /// The same with foils that stall as the waves change their angle.
    Stalling,
    /// By the hull alone, with the water on deck.
    Hull {
        /// Whether a foil drags in the water without lifting.
        foil_in_water: bool,
    },
}

/// Weight and drag at one speed in one carriage.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Carried {
    /// Weight that the hull bears, with the water on deck, over the displacement.
    pub borne: f64,
    /// Flat-water resistance of hull and appendages, N.
    pub calm_n: f64,
    /// Drag of the foil, N.
    pub foil_n: f64,
}

impl Carried {
    /// The drag without the sea's, N.
    pub fn held_back_n(&self) -> f64 {
        self.calm_n + self.foil_n
    }
}

impl Carriage {
    /// All of them, in the order of their numbers.
    pub const ALL: [Carriage; 5] = [
        Carriage::Flat,
        Carriage::Laden,
        Carriage::Stalling,
        Carriage::Hull { foil_in_water: false },
        Carriage::Hull { foil_in_water: true },
    ];

    /// The place in [`Carriage::ALL`].
    pub fn number(self) -> usize {
        match self {
            Carriage::Flat => 0,
            Carriage::Laden => 1,
            Carriage::Stalling => 2,
            Carriage::Hull { foil_in_water } => 3 + usize::from(foil_in_water),
        }
    }

    /// What the foils carry in flat water, where they carry anything.
    pub fn share(self, model: &BoatModel) -> Option<LiftShare> {
        model.foils.as_ref().filter(|_| !matches!(self, Carriage::Hull { .. })).map(|foils| foils.share)
    }

    /// Whether water comes aboard.
    pub fn is_wet(self) -> bool {
        self != Carriage::Flat
    }

    /// What is carried, and at what drag, at a speed in a sea that leaves so much water on deck.
    pub fn at(
        self,
        (model, calm): (&BoatModel, &CalmTable),
        speed: f64,
        response: &Response,
        deck_water_kg: f64,
    ) -> Carried {
        let water_kg = if self.is_wet() { deck_water_kg } else { 0.0 };
        let weight_kg = model.displacement_kg + water_kg;
        let (share, foil_n) = match &model.foils {
            None => (0.0, 0.0),
            Some(foils) => {
                let drag = |lift_n: f64| {
                    if speed > 0.0 { foils.foil.drag_n(lift_n, speed) } else { 0.0 }
                };
                match self {
                    Carriage::Hull { foil_in_water: false } => (0.0, 0.0),
                    Carriage::Hull { foil_in_water: true } => (0.0, drag(0.0)),
                    Carriage::Flat | Carriage::Laden | Carriage::Stalling => {
                        let mut share = foils.share.at(speed);
                        if share > 0.0 && self == Carriage::Stalling {
                            share *= FoilState::new(foils, response, speed, weight_kg).lift_ratio;
                        }
                        (share, drag(share * weight_kg * G))
                    }
                }
            }
        };
        let borne = weight_kg / model.displacement_kg * (1.0 - share);
        Carried { borne, calm_n: calm.at(speed, borne), foil_n }
    }
}
