//! The invented boats.

use roughwater::balance::BoatTables;
use roughwater::base::units::kn_to_m_s;
use roughwater::boat::Boat;
use roughwater::boat::{BoatModel, Surge};
use roughwater::derate::Performance;
use roughwater::hydro::response::Method;
use roughwater::polar::Polar;

use super::files::file;

pub const FOILER: &str = "sleet-heron-15";
pub const CRUISER: &str = "oat-plover-10";

pub fn boat(name: &str) -> Boat {
    Boat::read(&file(&format!("examples/boats/{name}.toml"))).unwrap()
}

pub fn model(name: &str) -> BoatModel {
    BoatModel::new(boat(name), Method::RadiatedEnergy, None).unwrap()
}

/// A boat with a polar, and with tables up to the polar's top speed.
pub fn performance(boat: &str, polar: &str) -> Performance {
    let flat = Polar::parse(polar).unwrap();
    let top_kn = flat.speeds_kn().iter().copied().fold(0.0, f64::max);
    Performance {
        tables: BoatTables::new(model(boat), kn_to_m_s(top_kn)),
        flat,
        foils_up: None,
        surge: Surge::Off,
    }
}
