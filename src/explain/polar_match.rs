//! Whether a boat file and a polar belong together: thrust against resistance in flat water, cell by cell.

use crate::base::units::m_s_to_kn;
use crate::base::{Flag, Result};
use crate::derate::Performance;
use crate::polar::Lookup;
use serde::Serialize;

/// One cell of a flat polar against its boat file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MatchedCell {
    /// True wind angle, degrees; + on starboard tack, - on port tack.
    pub twa_deg: f64,
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// The polar's speed, kn.
    pub flat_kn: f64,
    /// Flat-water resistance there, N.
    pub resistance_n: f64,
    /// Thrust of the sails there by the boat file, N.
    pub sails_n: f64,
    /// Resistance over thrust; none where the sails give none. One where the polar is what the boat file says.
    pub power_ratio: Option<f64>,
    /// Apparent wind angle, degrees.
    pub awa_deg: f64,
    /// How much faster resistance grows with speed than thrust, as exponents; she holds a speed where it is above zero.
    pub stiffness: f64,
    /// The speeds up to the polar's that she can hold, kn, rising.
    pub balances_kn: Vec<f64>,
    /// What speaks against boat file or polar here.
    pub flags: Vec<&'static str>,
}

/// Flags that say where boat file and polar disagree.
const DISAGREE: [Flag; 4] =
    [Flag::ThrustMismatch, Flag::ThrustHeld, Flag::CalmWaterOutOfRange, Flag::TwoBalances];

impl MatchedCell {
    /// Whether boat file and polar hang together here.
    pub fn agrees(&self) -> bool {
        self.flags.iter().all(|name| *name == Flag::Pinching.name())
    }
}

/// All cells of the polar with a speed, on starboard tack, and on port tack where it differs; angle by angle.
///
/// # Errors
/// When the boat file lacks what a balance needs.
pub fn matched_cells(performance: &Performance) -> Result<Vec<MatchedCell>> {
    let signed = performance.flat.twa_deg();
    let winds = performance.flat.tws_kn();
    let places = signed.iter().flat_map(|twa_deg| winds.iter().map(move |tws_kn| (*twa_deg, *tws_kn)));
    let cells = places.map(|(twa_deg, tws_kn)| matched_cell(performance, twa_deg, tws_kn));
    cells.filter_map(Result::transpose).collect()
}

fn matched_cell(performance: &Performance, twa_deg: f64, tws_kn: f64) -> Result<Option<MatchedCell>> {
    let Lookup::Inside(flat_kn) = performance.flat.speed_kn(tws_kn, twa_deg) else { return Ok(None) };
    let cell = performance.cell(tws_kn, twa_deg, flat_kn)?;
    let told = [&DISAGREE[..], &[Flag::Pinching]].concat();
    Ok(cell.matched().map(|found| MatchedCell {
        twa_deg,
        tws_kn,
        flat_kn,
        resistance_n: found.resistance_n,
        sails_n: found.sails_n,
        power_ratio: (found.sails_n > 0.0).then(|| found.resistance_n / found.sails_n),
        awa_deg: found.awa_rad.to_degrees(),
        stiffness: found.exponents[0] - found.exponents[1],
        balances_kn: cell.held_speeds().into_iter().map(m_s_to_kn).collect(),
        flags: told.into_iter().filter(|flag| cell.flags().contains(*flag)).map(Flag::name).collect(),
    }))
}
