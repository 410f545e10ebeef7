//! Smoothing of corrected polars over neighbouring cells.
//!
//! # Kernel
//! The factor (corrected over flat speed) of a cell becomes the mean over it and its neighbours one row and one column
//! away on the same tack, with the weights 1 2 1 of both axes multiplied (a binomial kernel: 4 for the cell, 2 beside
//! it, 1 at the corners). At the table's rim, and beside cells without flat speed, the weights that are left are scaled
//! to one. As no factor is made larger than the largest among the neighbours, a table that is nowhere above flat stays
//! so. The audit keeps what was computed. Common practice, no source.

use crate::derate::polar_cell::PolarCell;

/// The cells with smoothed speeds, for a table of one region and window; everything else as it was.
pub fn smoothed(cells: &[PolarCell]) -> Vec<PolarCell> {
    let axis = |value: fn(&PolarCell) -> f64| {
        let mut values: Vec<f64> = cells.iter().map(value).collect();
        values.sort_by(f64::total_cmp);
        values.dedup();
        values
    };
    let (twa, tws) = (axis(|cell| cell.twa_deg), axis(|cell| cell.tws_kn));
    let place = |axis: &[f64], value: f64| axis.partition_point(|known| *known < value);
    let places: Vec<(usize, usize)> =
        cells.iter().map(|cell| (place(&twa, cell.twa_deg), place(&tws, cell.tws_kn))).collect();
    let mut out = cells.to_vec();
    for (cell, at) in out.iter_mut().zip(&places) {
        let neighbours = cells.iter().zip(&places).filter(|(other, _)| other.tack == cell.tack);
        let weighed = neighbours.filter_map(|(other, place)| Some((weight(*at, *place)?, other.factor()?)));
        let (sum, weights) = weighed.fold((0.0, 0.0), |(sum, all), (w, factor)| (sum + w * factor, all + w));
        if cell.flat_kn > 0.0 && weights > 0.0 {
            cell.corrected_kn = cell.flat_kn * sum / weights;
        }
    }
    out
}

/// The weight of a neighbour; none further away than one row and one column.
fn weight(a: (usize, usize), b: (usize, usize)) -> Option<f64> {
    let along = |a: usize, b: usize| match a.abs_diff(b) {
        0 => Some(2.0),
        1 => Some(1.0),
        _ => None,
    };
    Some(along(a.0, b.0)? * along(a.1, b.1)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::derate::tack::Tack;
    use approx::assert_relative_eq;

    fn cell(tack: Tack, twa_deg: f64, tws_kn: f64, flat_kn: f64, factor: f64) -> PolarCell {
        PolarCell {
            tack,
            tws_kn,
            twa_deg,
            flat_kn,
            corrected_kn: factor * flat_kn,
            percentiles_kn: [0.0; 3],
            stages: None,
            factor_second_method: None,
            factor_band: None,
            deck_water_kg: 0.0,
            availability: 1.0,
            advisory: crate::boat::advisory::Advisory::default(),
            sea_states: 1,
            stopped_share: 0.0,
            swing: None,
            wind_share: 0.0,
            two_balances_kn: None,
            flags: crate::base::flags::Flags::default(),
        }
    }

    /// By hand, factors of 3 angles by 2 winds: at 90 and 10 kn (4 x 0.7 + 2 x (1 + 0.9 + 0.8) + 1 x (1 + 0.6)) / 12.
    #[test]
    fn a_kernel_by_hand() {
        let table = |tack| {
            [(60.0, [1.0, 1.0]), (90.0, [0.7, 0.8]), (120.0, [0.9, 0.6])].into_iter().flat_map(
                move |(twa, row)| {
                    [10.0, 20.0]
                        .into_iter()
                        .zip(row)
                        .map(move |(tws, factor)| cell(tack, twa, tws, 8.0, factor))
                },
            )
        };
        let cells: Vec<PolarCell> = table(Tack::Starboard)
            .chain(table(Tack::Port).map(|cell| PolarCell { corrected_kn: cell.flat_kn, ..cell }))
            .collect();
        let smooth = smoothed(&cells);
        assert_relative_eq!(smooth[2].corrected_kn, 8.0 * (2.8 + 5.4 + 1.6) / 12.0, max_relative = 1e-12);
        // at the corner: (4 x 1 + 2 x (1 + 0.7) + 0.8) / 9
        assert_relative_eq!(smooth[0].corrected_kn, 8.0 * (4.0 + 3.4 + 0.8) / 9.0, max_relative = 1e-12);
        assert!(smooth.iter().all(|cell| cell.corrected_kn <= cell.flat_kn));
        assert!(smooth[6..].iter().all(|cell| cell.corrected_kn == cell.flat_kn), "tacks are not mixed");
    }

    #[test]
    fn cells_without_flat_speed_stay_and_do_not_count() {
        let cells =
            [cell(Tack::Starboard, 60.0, 10.0, 0.0, 0.0), cell(Tack::Starboard, 60.0, 20.0, 8.0, 0.9)];
        let smooth = smoothed(&cells);
        assert_eq!(smooth[0].corrected_kn, 0.0);
        assert_relative_eq!(smooth[1].corrected_kn, 7.2, max_relative = 1e-12);
    }
}
