//! Tally x boat x flat polar: the corrected polar of one region and window, and an account of every cell.

use crate::balance::SeaCurve;
use crate::base::Result;
use crate::base::{Flag, Flags};
use crate::derate::cell_sum::CellSum;
use crate::derate::column_use::{column_uses, wind};
use crate::derate::performance::{Balances, HeadingCells, Performance};
use crate::derate::polar_cell::PolarCell;
use crate::derate::wind_match::{ColumnSeas, SeaChoice, SeaWind, column_seas};
use crate::hydro::wind_frame::WindFrameSea;
use crate::tally::{SeaBin, Tally};
use rayon::prelude::*;

/// Computes the cells that balances were made for in the seas of a tally: tack by tack, angle by angle, wind by wind.
pub fn derate(balances: &Balances, tally: &Tally, choice: SeaChoice) -> Vec<PolarCell> {
    let seas: Vec<SeaBin> = tally.bin_seas().collect();
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
    let alone = |(sea, weight): &(WindFrameSea, f64)| SeaBin {
        sea: sea.clone(),
        weight: *weight,
        count: 1,
        tws_bin: 0,
    };
    let seas: Vec<SeaBin> = seas.iter().map(alone).collect();
    Ok(cells(&performance.balances()?, &seas, SeaChoice::All, flags))
}

/// The seas that each column of the polar sees.
pub fn seen(performance: &Performance, seas: &[SeaBin], choice: SeaChoice) -> Vec<ColumnSeas> {
    let winds: Vec<SeaWind> = seas.iter().map(wind).collect();
    column_seas(choice, performance.flat.tws_kn(), &winds)
}

pub(super) fn cells(balances: &Balances, seas: &[SeaBin], choice: SeaChoice, flags: Flags) -> Vec<PolarCell> {
    let seen = seen(balances.performance, seas, choice);
    let winds: Vec<SeaWind> = seas.iter().map(wind).collect();
    let uses = column_uses(balances.performance.flat.tws_kn(), &winds);
    let columns: Vec<(ColumnSeas, f64)> = seen.into_iter().zip(uses).collect();
    let of_heading = |heading| heading_cells(balances, heading, seas, &columns, flags);
    let cells: Vec<Vec<PolarCell>> = balances.headings.par_iter().map(of_heading).collect();
    cells.into_iter().flatten().collect()
}

/// All wind speeds on one heading: each sea's responses are looked up once and serve every wind speed.
pub(super) fn heading_cells(
    balances: &Balances,
    heading: &HeadingCells,
    seas: &[SeaBin],
    columns: &[(ColumnSeas, f64)],
    flags: Flags,
) -> Vec<PolarCell> {
    let signed = heading.tack.signed(heading.twa_deg);
    let mut sums: Vec<CellSum> = heading.cells.iter().map(|cell| CellSum::new(cell, seas.len())).collect();
    let mut curve = SeaCurve::new(&balances.performance.tables);
    for (index, bin) in seas.iter().enumerate() {
        if columns.iter().all(|(seen, _)| seen.shares[index] == 0.0) {
            continue;
        }
        curve.set(&bin.sea, signed);
        for (sum, (seen, _)) in sums.iter_mut().zip(columns).filter(|(_, (seen, _))| seen.shares[index] > 0.0)
        {
            sum.add(&balances.performance.tables, &curve, bin.weight * seen.shares[index], bin.count);
        }
    }
    let fallback = |seen: &ColumnSeas| {
        if seen.fallback { Flags::only(Flag::WindMatchedFallback) } else { Flags::empty() }
    };
    let finish = |(sum, (seen, wind_share)): (CellSum, &(ColumnSeas, f64))| {
        let mut cell = sum.finish(heading.tack, heading.twa_deg, *wind_share, flags | fallback(seen));
        cell.flags -= balances.boat_flags;
        cell
    };
    sums.into_iter().zip(columns).map(finish).collect()
}

pub(super) fn partly_covered(tally: &Tally) -> Flags {
    match tally.coverage.fraction() {
        Some(fraction) if fraction > 1.0 - 1e-9 => Flags::empty(),
        _ => Flag::PartlyCovered.into(),
    }
}
