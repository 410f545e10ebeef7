//! Two boats or configurations in the same seas, cell by cell.

use crate::balance::STAGES;
use crate::base::{Error, Result};
use crate::base::{Flags, flags};
use crate::boat::Advisory;
use crate::derate::cells::derate_seas;
use crate::derate::performance::Performance;
use crate::derate::polar_cell::PolarCell;
use crate::derate::tack::Tack;
use crate::hydro::wind_frame::WindFrameSea;
use serde::Serialize;

/// One cell of one boat.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Side {
    /// Speed in flat water, kn.
    pub flat_kn: f64,
    /// Speed in the sea, kn.
    pub corrected_kn: f64,
    /// Corrected over flat; absent where flat speed is zero.
    pub factor: Option<f64>,
    /// Factor of each stage, in the order of the model.
    pub stages: Option<[f64; STAGES]>,
    /// The stage that takes most.
    pub dominant_stage: Option<&'static str>,
    /// Mean water on deck, kg.
    pub deck_water_kg: f64,
    /// Part of the time in flight.
    pub availability: f64,
    /// Slams, wet decks and acceleration at the bow.
    #[serde(flatten)]
    pub advisory: Advisory,
    /// Reservations.
    pub flags: String,
}

/// One cell of both boats.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pair {
    /// Tack sailed.
    pub tack: Tack,
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// True wind angle, 0 to 180 degrees.
    pub twa_deg: f64,
    /// The first boat.
    pub a: Side,
    /// The second boat.
    pub b: Side,
    /// Corrected speed of the second less that of the first, kn.
    pub difference_kn: f64,
}

/// Both boats in the same weighted seas, for the cells that both polars have.
///
/// # Errors
/// As [`derate_seas`]; polars without a cell in common.
pub fn compare(a: &Performance, b: &Performance, seas: &[(WindFrameSea, f64)]) -> Result<Vec<Pair>> {
    let [first, second] = [a, b].map(|boat| derate_seas(boat, seas, Flags::empty()));
    let second = second?;
    let matching = |cell: &PolarCell| {
        second
            .iter()
            .find(|other| (other.tack, other.tws_kn, other.twa_deg) == (cell.tack, cell.tws_kn, cell.twa_deg))
    };
    let pairs: Vec<Pair> =
        first?.iter().filter_map(|cell| matching(cell).map(|other| pair(cell, other))).collect();
    if pairs.is_empty() {
        return Err(Error::new("the two polars have no cell in common")
            .expected("some true wind speed and angle that both tables hold")
            .remedy("give one polar for both boats, or tables on the same axes"));
    }
    Ok(pairs)
}

fn pair(a: &PolarCell, b: &PolarCell) -> Pair {
    Pair {
        tack: a.tack,
        tws_kn: a.tws_kn,
        twa_deg: a.twa_deg,
        a: side(a),
        b: side(b),
        difference_kn: b.corrected_kn - a.corrected_kn,
    }
}

fn side(cell: &PolarCell) -> Side {
    Side {
        flat_kn: cell.flat_kn,
        corrected_kn: cell.corrected_kn,
        factor: cell.factor(),
        stages: cell.stages,
        dominant_stage: cell.dominant_stage(),
        deck_water_kg: cell.deck_water_kg,
        availability: cell.availability,
        advisory: cell.advisory,
        flags: flags::names(cell.flags),
    }
}
