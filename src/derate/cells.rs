//! Tally x boat x flat polar: the corrected polar of one region and window, and an account of every cell.

use crate::balance::SeaCurve;
use crate::base::{Error, Flag, Flags, Result};
use crate::derate::cell_sum::CellSum;
use crate::derate::column_use::{column_uses, wind};
use crate::derate::fleet::{Cell, Fleet, Voyage};
use crate::derate::performance::{Balances, FlatCell, HeadingCells, Performance};
use crate::derate::polar_cell::PolarCell;
use crate::derate::rides::Rides;
use crate::derate::stand_in::with_stand_ins;
use crate::derate::tack::Tack;
use crate::derate::wind_match::{ColumnSeas, SeaChoice, SeaWind, column_seas};
use crate::hydro::wind_frame::WindFrameSea;
use crate::tally::{SeaBin, Tally};
use rayon::prelude::*;

/// Computes the cells that balances were made for in the seas of a tally: tack by tack, angle by angle, wind by wind.
pub fn derate(balances: &Balances, tally: &Tally, choice: SeaChoice) -> Vec<PolarCell> {
    let seas: Vec<SeaBin> = tally.bin_seas().collect();
    cells(balances, seas, choice, tally.flags | partly_covered(tally))
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
    let alone = |(index, (sea, weight)): (usize, &(WindFrameSea, f64))| SeaBin {
        sea: sea.clone(),
        weight: *weight,
        count: 1,
        tws_bin: 0,
        draw: index as u64,
    };
    let seas: Vec<SeaBin> = seas.iter().enumerate().map(alone).collect();
    Ok(cells(&performance.balances()?, seas, SeaChoice::All, flags))
}

/// One cell at any wind and signed angle within the polar, in one sea.
///
/// # Errors
/// When the boat file lacks what a balance needs.
pub fn derate_point(
    performance: &Performance,
    tws_kn: f64,
    twa_deg: f64,
    flat_kn: f64,
    sea: &WindFrameSea,
) -> Result<PolarCell> {
    let (tack, twa_deg) = (Tack::of(twa_deg), twa_deg.abs());
    let balance = performance.cell(tws_kn, tack.signed(twa_deg), flat_kn)?;
    let heading = HeadingCells { tack, twa_deg, cells: vec![FlatCell { tws_kn, flat_kn, balance }] };
    let seas = [SeaBin { sea: sea.clone(), weight: 1.0, count: 1, tws_bin: 0, draw: 0 }];
    let columns = [(ColumnSeas { shares: vec![1.0], fallback: false }, 1.0)];
    let rides = plan(performance, &seas, &columns);
    let balances = Balances { performance, headings: Vec::new(), boat_flags: Flags::empty(), known: None };
    let mut cells = heading_cells(&balances, &heading, &seas, &columns, rides.as_ref(), Flags::empty());
    Ok(cells.remove(0))
}

/// All cells in one sea, or in one sea for each column of the polar, drawn from `draw` and sailed for `sailed_s` a cell.
///
/// # Errors
/// Seas that are neither one nor one a column.
pub fn derate_columns(
    balances: &Balances,
    seas: &[WindFrameSea],
    draw: u64,
    sailed_s: f64,
) -> Result<Vec<PolarCell>> {
    let count = balances.performance.flat.tws_kn().len();
    if seas.len() != 1 && seas.len() != count {
        return Err(Error::fault("seas and columns do not match").found(seas.len()).expected(count));
    }
    let bin = |sea: &WindFrameSea| SeaBin { sea: sea.clone(), weight: 1.0, count: 1, tws_bin: 0, draw };
    let bins: Vec<SeaBin> = seas.iter().map(bin).collect();
    let own = |column: usize| {
        let shares = (0..bins.len()).map(|sea| if bins.len() == 1 || sea == column { 1.0 } else { 0.0 });
        (ColumnSeas { shares: shares.collect(), fallback: false }, 0.0)
    };
    let columns: Vec<(ColumnSeas, f64)> = (0..count).map(own).collect();
    let rides = balances
        .performance
        .surge
        .is_counted()
        .then(|| Rides::plan_for(&bins, columns.iter().map(|(seen, _)| seen), sailed_s));
    let of_heading =
        |heading| heading_cells(balances, heading, &bins, &columns, rides.as_ref(), Flags::empty());
    let cells: Vec<Vec<PolarCell>> = balances.headings.par_iter().map(of_heading).collect();
    Ok(cells.into_iter().flatten().collect())
}

/// All columns of one heading, by its place among the balances' headings, in one sea drawn from `draw` and sailed for `sailed_s`
/// a cell.
///
/// # Errors
/// A heading that is none.
pub fn derate_on_heading(
    balances: &Balances,
    heading: usize,
    sea: &WindFrameSea,
    draw: u64,
    sailed_s: f64,
) -> Result<Vec<PolarCell>> {
    let Some(heading) = balances.headings.get(heading) else {
        return Err(Error::fault("no such heading").found(heading).expected(balances.headings.len()));
    };
    let bins = [SeaBin { sea: sea.clone(), weight: 1.0, count: 1, tws_bin: 0, draw }];
    let own = || (ColumnSeas { shares: vec![1.0], fallback: false }, 0.0);
    let columns: Vec<(ColumnSeas, f64)> = heading.cells.iter().map(|_| own()).collect();
    let counted = balances.performance.surge.is_counted();
    let rides = counted.then(|| Rides::plan_for(&bins, columns.iter().map(|(seen, _)| seen), sailed_s));
    Ok(heading_cells(balances, heading, &bins, &columns, rides.as_ref(), Flags::empty()))
}

fn plan(performance: &Performance, seas: &[SeaBin], columns: &[(ColumnSeas, f64)]) -> Option<Rides> {
    performance.surge.is_counted().then(|| Rides::plan(seas, columns.iter().map(|(seen, _)| seen)))
}

/// The seas that the columns of the polar see, those that stand in for others behind them, and what each column sees of each.
pub fn seen(
    performance: &Performance,
    seas: Vec<SeaBin>,
    choice: SeaChoice,
) -> (Vec<SeaBin>, Vec<ColumnSeas>) {
    let winds: Vec<SeaWind> = seas.iter().map(wind).collect();
    let columns_kn = performance.flat.tws_kn();
    let columns = column_seas(choice, columns_kn, &winds);
    with_stand_ins(columns_kn, seas, columns)
}

pub(super) fn cells(
    balances: &Balances,
    seas: Vec<SeaBin>,
    choice: SeaChoice,
    flags: Flags,
) -> Vec<PolarCell> {
    let winds: Vec<SeaWind> = seas.iter().map(wind).collect();
    let uses = column_uses(balances.performance.flat.tws_kn(), &winds);
    let (seas, seen) = seen(balances.performance, seas, choice);
    let columns: Vec<(ColumnSeas, f64)> = seen.into_iter().zip(uses).collect();
    let rides = plan(balances.performance, &seas, &columns);
    let of_heading = |heading| heading_cells(balances, heading, &seas, &columns, rides.as_ref(), flags);
    let cells: Vec<Vec<PolarCell>> = balances.headings.par_iter().map(of_heading).collect();
    cells.into_iter().flatten().collect()
}

/// All wind speeds on one heading: each sea's responses are looked up once and serve every wind speed.
pub(super) fn heading_cells(
    balances: &Balances,
    heading: &HeadingCells,
    seas: &[SeaBin],
    columns: &[(ColumnSeas, f64)],
    rides: Option<&Rides>,
    flags: Flags,
) -> Vec<PolarCell> {
    let tables = &balances.performance.tables;
    let signed = heading.tack.signed(heading.twa_deg);
    let mut sums: Vec<CellSum> = heading.cells.iter().map(|cell| CellSum::new(cell, seas.len())).collect();
    let mut curve = SeaCurve::new(tables);
    let mut fleet = Fleet::default();
    for (index, bin) in seas.iter().enumerate() {
        if columns.iter().all(|(seen, _)| seen.shares[index] == 0.0) {
            continue;
        }
        let known = balances.known.and_then(|known| known(&bin.sea, heading.tack, heading.twa_deg));
        if known.is_none() {
            curve.set(&bin.sea, signed);
        }
        let rides = rides.filter(|_| known.is_none());
        if let Some(rides) = rides {
            fleet.meet(rides.met(&tables.surge, index, signed));
        }
        for (column, (seen, _)) in columns.iter().enumerate() {
            let weight = bin.weight * seen.shares[index];
            if weight <= 0.0 {
                continue;
            }
            let solved = match &known {
                Some(known) => known(column),
                None => sums[column].solve(balances.performance, &curve),
            };
            match rides {
                Some(rides) => {
                    let (which, time) = rides.time(column, weight);
                    let embarked = sums[column].embark(&curve, &solved);
                    let cell = Cell { column, solved, weight, states: bin.count };
                    fleet.join(cell, Voyage { embarked, which, time });
                }
                None => sums[column].add(&solved, weight, bin.count),
            }
        }
        if fleet.is_full() {
            fleet.sail(balances.performance.surge, &mut sums);
        }
    }
    fleet.sail(balances.performance.surge, &mut sums);
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
