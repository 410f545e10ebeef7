//! The speed that a boat file's own sails and hull give in flat water: what a polar that belongs to it says.

use crate::balance::carriage::Carriage;
use crate::balance::drive::{Sails, TrueWind};
use crate::balance::tables::BoatTables;
use crate::base::Result;
use crate::hydro::response::Response;
use crate::maths::root::bracketed_root;

/// Steps in which balances are looked for, m/s.
const STEP_M_S: f64 = 0.05;
const TOLERANCE_M_S: f64 = 1e-6;

/// All speeds in m/s, rising, at which a part of the sails' thrust balances flat-water resistance and a little more speed
/// would be braked: those she can hold. `part` stands for sails that are never trimmed as well as the model has it.
///
/// With `foils_up` she sails without foil lift, nothing of the foils in the water. Up to the speeds of the tables.
///
/// # Errors
/// When the boat file has no sails.
pub fn own_speeds(
    tables: &BoatTables,
    tws_m_s: f64,
    twa_deg: f64,
    part: f64,
    foils_up: bool,
) -> Result<Vec<f64>> {
    let carriage = if foils_up { Carriage::Hull { foil_in_water: false } } else { Carriage::Flat };
    let sails = Sails::new(tables, tables.model.sails()?, TrueWind { tws_m_s, twa_deg }, carriage);
    let surplus = |speed: f64| {
        let carried = carriage.at(tables.hull(), speed, &Response::default(), 0.0);
        part * sails.at(speed).net_n() - carried.held_back_n()
    };
    let steps = (tables.max_speed_m_s() / STEP_M_S) as usize;
    let points: Vec<(f64, f64)> =
        (1..=steps).map(|step| STEP_M_S * step as f64).map(|speed| (speed, surplus(speed))).collect();
    let held = points.windows(2).filter(|pair| pair[0].1 >= 0.0 && pair[1].1 < 0.0);
    Ok(held.filter_map(|pair| bracketed_root(surplus, pair[0].0, pair[1].0, TOLERANCE_M_S)).collect())
}
