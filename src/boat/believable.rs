//! Figures of a boat that are possible but unusual: asked about, since a slip of unit or of a digit makes most of them.
//!
//! What is usual is common practice, no source, drawn wide enough that a heavy cruiser and a foiling racer pass.

use crate::base::units::{G, RHO_WATER, m_s_to_kn};
use crate::boat::model::BoatModel;

/// Sail area upwind over volume to the power 2/3.
const SAIL_AREA_TO_VOLUME: (f64, f64) = (9.0, 70.0);
/// Waterline length over the cube root of volume.
const LENGTH_TO_VOLUME: (f64, f64) = (3.6, 12.0);
/// Largest righting moment over her weight, m.
const RIGHTING_ARM_M: (f64, f64) = (0.08, 5.0);
/// Centre of effort above that of lateral resistance over the square root of the sail area.
const HEELING_ARM: (f64, f64) = (0.5, 1.6);
/// Drag area of hull and rig over the sail area.
const DRAG_AREA: (f64, f64) = (0.02, 0.3);
/// Wetted area of the appendages over the sail area.
const APPENDAGE_AREA: (f64, f64) = (0.02, 0.3);
/// Bow freeboard over waterline length.
const FREEBOARD: (f64, f64) = (0.04, 0.3);
/// Froude number of take-off.
const TAKE_OFF_FROUDE: (f64, f64) = (0.3, 1.6);

/// A question about each figure of a boat that is out of proportion, with what is usual.
pub fn doubts(model: &BoatModel) -> Vec<String> {
    let (boat, lwl_m) = (&model.boat, model.hydrostatics.lwl_m);
    let volume_m3 = model.displacement_kg / RHO_WATER;
    let mut doubts = Vec::new();
    doubts.extend(asked(
        "displacement for her length: lwl_m over the cube root of the volume",
        lwl_m / volume_m3.cbrt(),
        LENGTH_TO_VOLUME,
        "is displacement_kg in kilograms and lwl_m in metres",
    ));
    if let Some(sails) = &boat.sails {
        let area_m2 = sails.mainsail_m2 + sails.headsail_m2;
        doubts.extend(asked(
            "sail area for her displacement: mainsail_m2 + headsail_m2 over the volume to the power 2/3",
            area_m2 / volume_m3.powf(2.0 / 3.0),
            SAIL_AREA_TO_VOLUME,
            "are the sails in square metres and displacement_kg in kilograms",
        ));
        doubts.extend(asked(
            "righting arm: max_righting_moment_n_m over her weight, m,",
            sails.max_righting_moment_nm / (model.displacement_kg * G),
            RIGHTING_ARM_M,
            "is the moment in newton metres, not kilonewton or kilogram metres",
        ));
        doubts.extend(asked(
            "heeling_arm_m over the square root of the sail area",
            sails.heeling_arm_m / area_m2.sqrt(),
            HEELING_ARM,
            "is the arm in metres",
        ));
        doubts.extend(asked(
            "hull_and_rig_drag_area_m2 over the sail area",
            sails.hull_and_rig_drag_area_m2 / area_m2,
            DRAG_AREA,
            "is it a coefficient times an area, in square metres",
        ));
        if sails.heel_at_max_righting_deg < 1.0 {
            doubts.push(format!(
                "heel_at_max_righting_deg is {}, usually 15 to 25: is it in degrees, not radians?",
                sails.heel_at_max_righting_deg
            ));
        }
        if let Some(keel) = &boat.appendages {
            doubts.extend(asked(
                "wetted area of keel and rudders over the sail area",
                keel.wetted_area_m2 / area_m2,
                APPENDAGE_AREA,
                "are both sides counted, in square metres",
            ));
        }
    }
    if let Some(deck) = &boat.deck {
        doubts.extend(asked(
            "bow_freeboard_m over lwl_m",
            deck.bow_freeboard_m / lwl_m,
            FREEBOARD,
            "is it the deck's height above the water",
        ));
    }
    if let Some(deadrise_deg) = boat.hull.deadrise_deg.filter(|deg| *deg > 0.0 && *deg < 1.0) {
        doubts
            .push(format!("deadrise_deg is {deadrise_deg}, usually 5 to 20: is it in degrees, not radians?"));
    }
    if let Some(foils) = &boat.foils {
        let froude_kn = m_s_to_kn((G * lwl_m).sqrt());
        doubts.extend(asked(
            "Froude number of take_off_speed_kn",
            foils.take_off_speed_kn / froude_kn,
            TAKE_OFF_FROUDE,
            "is it in knots",
        ));
    }
    doubts
}

/// A question about a figure outside what is usual.
fn asked(what: &str, value: f64, (low, high): (f64, f64), slip: &str) -> Option<String> {
    let usual = (low..=high).contains(&value);
    (!usual).then(|| format!("{what} is {value:.3}, usually {low} to {high}: {slip}?"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::spec::Boat;
    use crate::hydro::response::Method;

    fn of(changed: &[(&str, &str)]) -> Vec<String> {
        let mut text = include_str!("../../examples/boats/oat-plover-10.toml").to_owned();
        for (old, new) in changed {
            assert!(text.contains(old), "{old}");
            text = text.replace(old, new);
        }
        let boat: Boat = toml::from_str(&text).unwrap();
        doubts(&BoatModel::new(boat, Method::RadiatedEnergy, None).unwrap())
    }

    #[test]
    fn a_boat_in_proportion_is_not_asked_about() {
        assert_eq!(of(&[]), Vec::<String>::new());
        let boat: Boat = toml::from_str(include_str!("../../examples/boats/sleet-heron-15.toml")).unwrap();
        assert_eq!(
            doubts(&BoatModel::new(boat, Method::RadiatedEnergy, None).unwrap()),
            Vec::<String>::new()
        );
    }

    /// By hand: 6 m² over (5200/1025)^(2/3) = 2.95 m² is 2.0; 2446 N m over 5200 x 9.80665 N is 0.048 m.
    #[test]
    fn figures_out_of_proportion_are_asked_about_with_what_is_usual() {
        for (changed, words) in [
            (
                vec![("mainsail_m2 = 32", "mainsail_m2 = 3.2"), ("headsail_m2 = 30", "headsail_m2 = 2.8")],
                ["2.0", "9 to 70"],
            ),
            (vec![("_n_m = 24000", "_n_m = 2446")], ["0.048", "newton metres"]),
            (vec![("righting_deg = 20", "righting_deg = 0.8")], ["0.8", "radians"]),
            (vec![("bow_freeboard_m = 1.25", "bow_freeboard_m = 0.2")], ["0.022", "0.04 to 0.3"]),
        ] {
            let told = of(&changed).join("\n");
            for word in words {
                assert!(told.contains(word), "{changed:?} should ask {word:?}: {told}");
            }
        }
    }
}
