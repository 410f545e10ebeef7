//! Which columns of a polar blow: how much of the time and area of a tally looks each of them up.
//!
//! A router looks a polar up at the wind of the place and hour, in a straight line between the columns around it. A
//! tally keeps the mean winds of its bins, so a bin's weight goes to the columns in the proportions of
//! [`crate::derate::wind_match`], those of the straight line at the mean wind.

use crate::base::units::m_s_to_kn;
use crate::derate::wind_match::{SeaWind, shares};
use crate::tally::{SeaBin, Tally};

/// The winds of a tally's bins.
pub fn winds(tally: &Tally) -> Vec<SeaWind> {
    tally.bin_seas().map(|bin| wind(&bin)).collect()
}

/// The mean wind of a bin.
pub fn wind(bin: &SeaBin) -> SeaWind {
    SeaWind { tws_kn: m_s_to_kn(bin.sea.tws_m_s), weight: bin.weight, count: bin.count, tws_bin: bin.tws_bin }
}

/// The part of the weight that looks each column up, 0 for one that does not blow; together 1, or 0 without winds.
/// `columns_kn` rises. A wind beyond the reach of the outermost column counts for that column.
pub fn column_uses(columns_kn: &[f64], winds: &[SeaWind]) -> Vec<f64> {
    let of_columns: Vec<Vec<f64>> =
        (0..columns_kn.len()).map(|column| shares(columns_kn, column, winds)).collect();
    let mut uses = vec![0.0; columns_kn.len()];
    for (index, wind) in winds.iter().enumerate() {
        let taken: f64 = of_columns.iter().map(|shares| shares[index]).sum();
        if taken > 0.0 {
            for (used, shares) in uses.iter_mut().zip(&of_columns) {
                *used += wind.weight * shares[index] / taken;
            }
        } else if let Some(used) = nearest(columns_kn, wind.tws_kn).and_then(|column| uses.get_mut(column)) {
            *used += wind.weight;
        }
    }
    let whole: f64 = winds.iter().map(|wind| wind.weight).sum();
    if whole > 0.0 {
        uses.iter_mut().for_each(|used| *used /= whole);
    }
    uses
}

fn nearest(columns_kn: &[f64], tws_kn: f64) -> Option<usize> {
    let apart = |column: &usize| (columns_kn[*column] - tws_kn).abs();
    (0..columns_kn.len()).min_by(|a, b| apart(a).total_cmp(&apart(b)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn blowing(tws_kn: f64, weight: f64) -> SeaWind {
        SeaWind { tws_kn, weight, count: 1, tws_bin: 0 }
    }

    /// By hand: 12.5 kn lies a quarter of the way from 10 to 20, 23 kn half-way from 20 to 26, each half of the weight.
    #[test]
    fn a_wind_is_looked_up_between_the_columns_around_it() {
        let uses = column_uses(&[6.0, 10.0, 20.0, 26.0], &[blowing(12.5, 3.0), blowing(23.0, 3.0)]);
        assert_eq!(uses, [0.0, 0.375, 0.375, 0.25]);
    }

    /// By hand: 10.5 kn lies a quarter of the way from 10 to 12.
    #[test]
    fn close_columns_share_a_wind_between_them() {
        let uses = column_uses(&[6.0, 8.0, 10.0, 12.0, 14.0], &[blowing(10.5, 5.0)]);
        assert_eq!(uses, [0.0, 0.0, 0.75, 0.25, 0.0]);
    }

    /// 40 kn lies beyond what 26 reaches outwards, 1 kn beyond what 10 does.
    #[test]
    fn winds_beyond_the_polar_count_for_its_outermost_columns() {
        let uses = column_uses(&[6.0, 10.0, 20.0, 26.0], &[blowing(40.0, 3.0), blowing(1.0, 1.0)]);
        assert_eq!(uses, [0.25, 0.0, 0.0, 0.75]);
    }

    #[test]
    fn without_winds_nothing_blows() {
        assert_eq!(column_uses(&[6.0, 10.0], &[]), [0.0, 0.0]);
    }
}
