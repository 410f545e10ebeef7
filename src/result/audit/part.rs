//! What the audit is made from.

use crate::balance::STAGES;
use crate::base::Window;
use crate::derate::PolarCell;
use crate::tally::Tally;

/// One region and window with its cells.
#[derive(Debug, Clone, Copy)]
pub struct AuditPart<'a> {
    /// The region's name.
    pub region: &'a str,
    /// The time window.
    pub window: Window,
    /// The seas the cells were averaged over.
    pub tally: &'a Tally,
    /// The cells.
    pub cells: &'a [PolarCell],
}

/// One cell where it stands: what a row is made from.
#[derive(Debug, Clone, Copy)]
pub struct PlacedCell<'a> {
    pub(super) part: &'a AuditPart<'a>,
    pub(super) cell: &'a PolarCell,
}

impl AuditPart<'_> {
    /// The cells with their part.
    pub(super) fn placed(&self) -> impl Iterator<Item = PlacedCell<'_>> {
        self.cells.iter().map(|cell| PlacedCell { part: self, cell })
    }
}

impl PlacedCell<'_> {
    /// The factor of a stage by its place among [`STAGES`].
    pub(super) fn stage(&self, stage: usize) -> Option<f64> {
        self.cell.stages.map(|stages: [f64; STAGES]| stages[stage])
    }
}

/// A cell for tests of the files.
#[cfg(test)]
pub(super) mod samples {
    use super::*;
    use crate::base::{Flag, Flags};
    use crate::boat::Advisory;
    use crate::derate::Tack;

    /// A cell of 10 kn in flat water that these stages take their parts of.
    pub fn derated_cell(stages: [f64; STAGES]) -> PolarCell {
        PolarCell {
            tack: Tack::Port,
            tws_kn: 12.0,
            twa_deg: 60.0,
            flat_kn: 10.0,
            corrected_kn: 10.0 * stages.iter().product::<f64>(),
            percentiles_kn: [0.0; 3],
            stages: Some(stages),
            factor_second_method: None,
            factor_band: None,
            deck_water_kg: 0.0,
            availability: 1.0,
            advisory: Advisory::default(),
            sea_states: 1,
            stopped_share: 0.0,
            swing: None,
            wind_share: 0.0,
            two_balances_kn: None,
            flags: Flags::only(Flag::ThrustHeld) | Flag::PartlyCovered,
        }
    }

    /// A window.
    pub fn six_hours() -> Window {
        let at = |hour: &str| format!("2030-03-01T{hour}:00:00Z").parse().unwrap();
        Window { start: at("00"), end: at("06") }
    }
}
