//! What holds of a boat in every cell of a result, said once.

use crate::base::units::{G, m_s_to_kn};
use crate::base::{Flag, Flags};
use crate::derate::Performance;
use crate::hydro::added_resistance::radiated_energy::MAX_FROUDE;

/// A sentence for each reservation.
pub(super) fn boat_notes(performance: &Performance, flags: Flags) -> Vec<String> {
    let model = &performance.tables.model;
    let held_kn = m_s_to_kn(MAX_FROUDE * (G * model.hydrostatics.lwl_m).sqrt());
    let note = |flag: Flag| {
        match flag {
        Flag::NoDeck => "her file has no [deck], so water on deck is not counted".to_owned(),
        Flag::NoAppendages => {
            "her file has no [appendages], so the drag of keel, rudders and side force is not counted".to_owned()
        }
        Flag::NoWindage => {
            "her file has no [windage], so nothing in the wind is counted beside what her polar holds".to_owned()
        }
        Flag::NoFoils => "her file has no [foils], so no loss of foils is counted".to_owned(),
        Flag::HeldAboveFn045 => {
            format!("above {held_kn:.1} kn (Froude number 0.45) added resistance is held at its value there")
        }
        Flag::SnnmClamped => {
            "the second method of added resistance, made for ships, gets main dimensions at the end of its range".to_owned()
        }
        Flag::CalmWaterOutOfRange => {
            "her flat-water resistance lies outside its formulas' range at every speed of her polar".to_owned()
        }
        Flag::HullSpeedFromBalance => {
            "no polar with the foils raised, so her speed without them comes from the balance".to_owned()
        }
        other => format!("{} in every cell", other.name()),
    }
    };
    flags.iter().map(|flag| format!("boat: {}", note(flag))).collect()
}
