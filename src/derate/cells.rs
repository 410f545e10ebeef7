//! Tally x boat x flat polar: the corrected polar of one region and window, and an account of every cell.

use crate::balance::{STAGE_NAMES, STAGES, SeaCurve};
use crate::base::Result;
use crate::base::{Flag, Flags};
use crate::boat::Advisory;
use crate::derate::column::Column;
use crate::derate::column_use::wind;
use crate::derate::performance::Balances;
use crate::derate::performance::Heading;
use crate::derate::performance::Performance;
use crate::derate::wind_match::{ColumnSeas, SeaChoice, SeaWind, column_seas};
use crate::hydro::wind_frame::WindFrameSea;
use crate::tally::{BinSea, Tally};
use rayon::prelude::*;

/// Half-width of the model band: added resistance is uncertain by about this, as a logarithm.
///
/// Radiated energy and SNNM against measured peaks of slender hulls differ by 0.4 to 0.65 rms in the logarithm.
pub const BAND_LN: f64 = 0.5;
/// A stage that takes less than this is not a dominant one.
pub(super) const NO_LOSS: f64 = 0.0005;

/// The tack sailed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Tack {
    /// Wind over the starboard side.
    Starboard,
    /// Wind over the port side.
    Port,
}

impl Tack {
    /// Both, in the order of all outputs.
    pub const ALL: [Tack; 2] = [Tack::Starboard, Tack::Port];

    /// The signed true wind angle of an unsigned one.
    pub fn signed(self, twa_deg: f64) -> f64 {
        match self {
            Tack::Starboard => twa_deg,
            Tack::Port => -twa_deg,
        }
    }

    /// The tack's name in files.
    pub fn name(self) -> &'static str {
        match self {
            Tack::Starboard => "starboard",
            Tack::Port => "port",
        }
    }
}

/// One cell of a corrected polar on one tack, averaged over the seas of its region and window.
#[derive(Debug, Clone, PartialEq)]
pub struct PolarCell {
    /// Tack sailed.
    pub tack: Tack,
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// True wind angle, 0 to 180 degrees.
    pub twa_deg: f64,
    /// Speed in flat water, kn.
    pub flat_kn: f64,
    /// Speed in the sea: total distance over total time, kn.
    pub corrected_kn: f64,
    /// Speed exceeded in 90, 50 and 10 per cent of area and time, kn.
    pub percentiles_kn: [f64; 3],
    /// Factor of each stage; they multiply to `corrected_kn / flat_kn`. None where flat speed is zero.
    pub stages: Option<[f64; STAGES]>,
    /// Corrected over flat with the second method of added resistance.
    pub factor_second_method: Option<f64>,
    /// Corrected over flat at the slow and the fast end of the model band.
    pub factor_band: Option<[f64; 2]>,
    /// Mean water on deck, kg.
    pub deck_water_kg: f64,
    /// Mean part of the time in flight.
    pub availability: f64,
    /// Means of the advisories.
    pub advisory: Advisory,
    /// Number of sea states that the cell was averaged over.
    pub sea_states: u64,
    /// All reservations that hold in some of the seas.
    pub flags: Flags,
}

impl PolarCell {
    /// Corrected over flat speed; none where flat speed is zero.
    pub fn factor(&self) -> Option<f64> {
        (self.flat_kn > 0.0).then(|| self.corrected_kn / self.flat_kn)
    }

    /// The stage that takes most, if any takes something.
    pub fn dominant_stage(&self) -> Option<&'static str> {
        dominant(&self.stages?)
    }
}

/// The stage that takes most, if any takes a noticeable part.
pub fn dominant(stages: &[f64; STAGES]) -> Option<&'static str> {
    let worst = (0..STAGES).min_by(|a, b| stages[*a].total_cmp(&stages[*b]))?;
    (stages[worst] < 1.0 - NO_LOSS).then_some(STAGE_NAMES[worst])
}

/// Computes the cells that balances were made for in the seas of a tally: tack by tack, angle by angle, wind by wind.
pub fn derate(balances: &Balances, tally: &Tally, choice: SeaChoice) -> Vec<PolarCell> {
    let seas: Vec<BinSea> = tally.bin_seas().collect();
    cells(balances, &seas, choice, tally.flags | partly_covered(tally))
}

/// As [`derate`] for all cells of a polar and any list of seas with weights; every column sees all of them.
///
/// # Errors
/// When the boat file lacks what a balance needs.
pub fn derate_seas(
    performance: &Performance,
    seas: &[(WindFrameSea, f64)],
    flags: Flags,
) -> Result<Vec<PolarCell>> {
    let alone = |(sea, weight): &(WindFrameSea, f64)| BinSea {
        sea: sea.clone(),
        weight: *weight,
        count: 1,
        tws_bin: 0,
    };
    let seas: Vec<BinSea> = seas.iter().map(alone).collect();
    Ok(cells(&performance.balances()?, &seas, SeaChoice::All, flags))
}

/// The seas that each column of the polar sees.
pub fn seen(performance: &Performance, seas: &[BinSea], choice: SeaChoice) -> Vec<ColumnSeas> {
    let winds: Vec<SeaWind> = seas.iter().map(wind).collect();
    column_seas(choice, performance.flat.tws_kn(), &winds)
}

pub(super) fn cells(balances: &Balances, seas: &[BinSea], choice: SeaChoice, flags: Flags) -> Vec<PolarCell> {
    let seen = seen(balances.performance, seas, choice);
    let of_heading = |heading| heading_cells(balances.performance, heading, seas, &seen, flags);
    let cells: Vec<Vec<PolarCell>> = balances.headings.par_iter().map(of_heading).collect();
    cells.into_iter().flatten().collect()
}

/// All wind speeds on one heading: each sea's responses are looked up once and serve every wind speed.
pub(super) fn heading_cells(
    performance: &Performance,
    heading: &Heading,
    seas: &[BinSea],
    seen: &[ColumnSeas],
    flags: Flags,
) -> Vec<PolarCell> {
    let signed = heading.tack.signed(heading.twa_deg);
    let mut columns: Vec<Column> = heading.cells.iter().map(|cell| Column::new(cell, seas.len())).collect();
    let mut curve = SeaCurve::new(&performance.tables);
    for (index, bin) in seas.iter().enumerate() {
        if seen.iter().all(|column| column.shares[index] == 0.0) {
            continue;
        }
        curve.set(&bin.sea, signed);
        for (column, seen) in columns.iter_mut().zip(seen).filter(|(_, seen)| seen.shares[index] > 0.0) {
            column.add(&performance.tables, &curve, bin.weight * seen.shares[index], bin.count);
        }
    }
    let fallback = |seen: &ColumnSeas| {
        if seen.fallback { Flags::only(Flag::WindMatchedFallback) } else { Flags::empty() }
    };
    let finish = |(column, seen): (Column, &ColumnSeas)| {
        column.finish(heading.tack, heading.twa_deg, flags | fallback(seen))
    };
    columns.into_iter().zip(seen).map(finish).collect()
}

pub(super) fn partly_covered(tally: &Tally) -> Flags {
    match tally.coverage.fraction() {
        Some(fraction) if fraction > 1.0 - 1e-9 => Flags::empty(),
        _ => Flag::PartlyCovered.into(),
    }
}

/// Ratios of the mean speeds of neighbouring stages. Once she makes no way, later stages have nothing left to take.
pub(crate) fn stage_factors(mean_speeds: &[f64; STAGES + 1]) -> [f64; STAGES] {
    std::array::from_fn(|stage| match (mean_speeds[stage], mean_speeds[stage + 1]) {
        (before, after) if before > 0.0 => after / before,
        _ => 1.0,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stages_multiply_to_the_factor_even_where_the_boat_stops() {
        let product = |speeds: [f64; 6]| stage_factors(&speeds).iter().product::<f64>();
        assert!((product([10.0, 9.0, 8.5, 8.4, 8.0, 7.0]) - 0.7).abs() < 1e-12);
        assert_eq!(product([10.0, 9.0, 0.0, 0.0, 0.0, 0.0]), 0.0);
    }
}
