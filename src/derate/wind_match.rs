//! Which seas a wind column of the polar sees: all, or those whose own wind is close to the column's.
//!
//! Over a long window a region holds calms and gales. Averaged over all of its seas, the 8 kn column would be slowed by
//! waves that come with 30 kn of wind. Matched, a sea's share in a column falls in a straight line from 1 at the column's
//! wind to 0 at the neighbouring column's (half of it half-way), so that the shares of a sea between two columns add to 1,
//! in the proportions in which a router looks them up. An outermost column reaches as far outwards as inwards.

use serde::{Deserialize, Serialize};

/// The distance at which a sea's share falls to 0 in the only column of a polar, kn (judged, no source).
const LONE_REACH_KN: f64 = 4.0;
/// A column that sees less than this part of the weight falls back.
pub const MIN_WEIGHT: f64 = 0.01;
/// A column that sees fewer sea states than this falls back.
pub const MIN_STATES: u64 = 5;

/// How a column of the polar weighs the seas.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SeaChoice {
    /// Every column sees all seas.
    All,
    /// A column sees the seas that come with winds like its own.
    WindMatched,
}

/// What matching needs to know of one bin of seas.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeaWind {
    /// Mean true wind speed, kn.
    pub tws_kn: f64,
    pub weight: f64,
    /// Sea states in the bin.
    pub count: u64,
    /// The tally's bin of wind speed.
    pub tws_bin: i16,
}

/// The seas that one column sees.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnSeas {
    /// The share of each sea, 0 to 1.
    pub shares: Vec<f64>,
    /// Too little wind like the column's: the nearest winds that have enough stand in.
    pub fallback: bool,
}

/// The seas that each column sees; `columns_kn` rises.
///
/// Where the shares leave less than [`MIN_WEIGHT`] of the weight or fewer than [`MIN_STATES`] sea states, the column
/// sees the seas of the nearest winds that have enough; where none have, all seas.
pub fn column_seas(choice: SeaChoice, columns_kn: &[f64], seas: &[SeaWind]) -> Vec<ColumnSeas> {
    let all = || ColumnSeas { shares: vec![1.0; seas.len()], fallback: false };
    (0..columns_kn.len())
        .map(|column| match choice {
            SeaChoice::All => all(),
            SeaChoice::WindMatched => matched(columns_kn, column, seas),
        })
        .collect()
}

fn matched(columns_kn: &[f64], column: usize, seas: &[SeaWind]) -> ColumnSeas {
    let shares = shares(columns_kn, column, seas);
    if enough(seas, &shares) {
        return ColumnSeas { shares, fallback: false };
    }
    ColumnSeas { shares: nearest_winds(columns_kn[column], seas), fallback: true }
}

/// The shares of seas in one matched column, 0 to 1, whether they are enough or not.
pub fn shares(columns_kn: &[f64], column: usize, seas: &[SeaWind]) -> Vec<f64> {
    let [below, above] = reach_kn(columns_kn, column);
    let share = |sea: &SeaWind| {
        let apart = sea.tws_kn - columns_kn[column];
        (1.0 - apart.abs() / if apart < 0.0 { below } else { above }).max(0.0)
    };
    seas.iter().map(share).collect()
}

/// How far a column reaches to weaker and to stronger winds, kn.
fn reach_kn(columns_kn: &[f64], column: usize) -> [f64; 2] {
    let to = |other: Option<usize>| {
        other.and_then(|other| columns_kn.get(other)).map(|kn| (kn - columns_kn[column]).abs())
    };
    let (below, above) = (to(column.checked_sub(1)), to(Some(column + 1)));
    [below.or(above), above.or(below)].map(|reach| reach.unwrap_or(LONE_REACH_KN))
}

fn enough(seas: &[SeaWind], shares: &[f64]) -> bool {
    let whole: f64 = seas.iter().map(|sea| sea.weight).sum();
    let seen: f64 = seas.iter().zip(shares).map(|(sea, share)| sea.weight * share).sum();
    let states: u64 =
        seas.iter().zip(shares).filter(|(_, share)| **share > 0.0).map(|(sea, _)| sea.count).sum();
    seen >= MIN_WEIGHT * whole && states >= MIN_STATES
}

/// The seas with the nearest winds: shares fall in a straight line as in a matched column, to 0 at the least reach that holds
/// enough. So they move little when bins of wind are laid otherwise, where a choice of one bin would jump. All seas where none
/// holds enough.
fn nearest_winds(tws_kn: f64, seas: &[SeaWind]) -> Vec<f64> {
    let apart = |sea: &SeaWind| (sea.tws_kn - tws_kn).abs();
    let within = |reach_kn: f64| -> Vec<f64> {
        seas.iter().map(|sea| (1.0 - apart(sea) / reach_kn).max(0.0)).collect()
    };
    // the furthest sea alone has a hundredth less than its whole weight
    let mut reaches = [0.0, 100.0 * seas.iter().map(apart).fold(1.0, f64::max)];
    if !enough(seas, &within(reaches[1])) {
        return vec![1.0; seas.len()];
    }
    while reaches[1] - reaches[0] > 1e-9 * reaches[1] {
        let middle = 0.5 * (reaches[0] + reaches[1]);
        reaches[usize::from(enough(seas, &within(middle)))] = middle;
    }
    within(reaches[1])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sea(tws_kn: f64, weight: f64, count: u64) -> SeaWind {
        SeaWind { tws_kn, weight, count, tws_bin: (tws_kn / 4.0) as i16 }
    }

    fn matched_seas(columns_kn: &[f64], seas: &[SeaWind]) -> Vec<ColumnSeas> {
        column_seas(SeaChoice::WindMatched, columns_kn, seas)
    }

    /// By hand, columns 10, 20, 26: a sea at 12.5 kn is a quarter of the way from 10 to 20, one at 23 half-way to 26;
    /// 26 reaches 6 kn outwards as inwards, so 29 has half, and 10 reaches down to 0, so 4 has 0.4.
    #[test]
    fn shares_fall_in_a_straight_line_to_the_neighbouring_columns() {
        let seas = [4.0, 10.0, 12.5, 20.0, 23.0, 29.0, 40.0].map(|tws_kn| sea(tws_kn, 1.0, 9));
        let columns = matched_seas(&[10.0, 20.0, 26.0], &seas);
        let expected = [
            [0.4, 1.0, 0.75, 0.0, 0.0, 0.0, 0.0],
            [0.0, 0.0, 0.25, 1.0, 0.5, 0.0, 0.0],
            [0.0, 0.0, 0.0, 0.0, 0.5, 0.5, 0.0],
        ];
        for (column, expected) in columns.iter().zip(expected) {
            assert!(!column.fallback);
            for (share, expected) in column.shares.iter().zip(expected) {
                assert!((share - expected).abs() < 1e-12, "{column:?}");
            }
        }
    }

    /// By hand: however close columns stand, a sea between two of them is seen by these two alone.
    #[test]
    fn close_columns_reach_no_further_than_their_neighbours() {
        let columns = matched_seas(&[8.0, 10.0, 12.0, 14.0], &[sea(12.5, 1.0, 9), sea(8.0, 1.0, 9)]);
        let shares: Vec<f64> = columns.iter().map(|column| column.shares[0]).collect();
        assert_eq!(shares, [0.0, 0.0, 0.75, 0.25]);
    }

    /// By hand: the column at 30 kn sees no wind. A reach of 16 kn gives the sea at 20 kn a share of 0.375 and that at 18 kn one
    /// of 0.25, together 0.375 x 1 + 0.25 x 2.5 = 1 of a weight of 100.
    #[test]
    fn a_column_with_too_little_takes_the_nearest_winds_that_have_enough() {
        let seas = [sea(6.0, 96.5, 40), sea(18.0, 2.5, 40), sea(20.0, 1.0, 40)];
        let columns = matched_seas(&[6.0, 24.0, 30.0], &seas);
        let fallback: Vec<bool> = columns.iter().map(|column| column.fallback).collect();
        assert_eq!(fallback, [false, false, true]);
        for (share, expected) in columns[2].shares.iter().zip([0.0, 0.25, 0.375]) {
            assert!((share - expected).abs() < 1e-6, "{columns:?}");
        }
    }

    /// By hand: three states are too few, so the reach grows until a further wind begins to be seen.
    #[test]
    fn few_states_draw_in_the_next_wind() {
        let columns = matched_seas(&[10.0, 20.0, 28.0], &[sea(10.0, 50.0, 40), sea(20.0, 50.0, 3)]);
        let [near, far] = [&columns[1].shares[1], &columns[1].shares[0]];
        assert!(columns[1].fallback && *near > 0.999 && *far > 0.0 && *far < 1e-6, "{columns:?}");
    }

    #[test]
    fn where_no_wind_has_enough_all_seas_stand_in() {
        let columns = matched_seas(&[10.0, 20.0], &[sea(10.0, 1.0, 2), sea(20.0, 1.0, 2)]);
        assert!(columns.iter().all(|column| column.fallback && column.shares == [1.0, 1.0]));
    }

    #[test]
    fn unmatched_columns_see_everything() {
        let columns = column_seas(SeaChoice::All, &[10.0, 20.0], &[sea(10.0, 1.0, 2), sea(35.0, 1.0, 2)]);
        assert!(columns.iter().all(|column| !column.fallback && column.shares == [1.0, 1.0]));
    }
}
