//! How long each polar cell is sailed through each of its seas to find what surge makes of it.
//!
//! A cell is sailed for [`CELL_S`] in all, shared out by the weights of its seas: more in each where there are few. Each sea is
//! drawn once for all headings and winds, so that chance moves neighbouring cells together, and anew for every bin, so that it
//! averages out over them.

use crate::balance::{CellBalance, Outcome, SeaCurve, Swing};
use crate::derate::performance::Performance;
use crate::derate::wind_match::ColumnSeas;
use crate::hydro::surge::{CourseWaves, HullForce, RandomWaves, RideTime, Sailed, rides as sail};
use crate::tally::SeaBin;
use std::ops::Range;

/// Time that a polar cell is sailed, s, over all its seas.
pub const CELL_S: f64 = 3600.0;
/// The least time in one sea, s.
const LEAST_S: f64 = 60.0;
/// The longest ride in one drawing of a sea, s.
const RIDE_S: f64 = 400.0;
/// The longest time until a start is forgotten, s.
const SETTLE_S: f64 = 60.0;
/// Step of time, s.
const STEP_S: f64 = 0.5;
/// Waves that stand for a sea.
const WAVES: usize = 40;

/// Drawings of all seas, with the time each column sails in each.
#[derive(Debug, Clone)]
pub(super) struct Rides {
    /// By sea.
    drawn: Vec<Vec<RandomWaves>>,
    /// Time a unit of a column's share, weight and time, is sailed, s.
    s_per_weight: Vec<f64>,
}

/// What surge makes of a cell in one of its column's seas, which has a part of the column's weight: as in the cell's mean.
pub fn surge_in(
    performance: &Performance,
    balance: &CellBalance,
    sea: (&SeaBin, &SeaCurve),
    part: f64,
    twa_deg: f64,
    outcome: &Outcome,
) -> Option<Swing> {
    if !performance.surge.is_counted() {
        return None;
    }
    let (bin, curve) = sea;
    let (rides, time) = shared(CELL_S * part);
    let hull = &performance.tables.surge;
    let drawn: Vec<CourseWaves> = (0..rides)
        .map(|ride| RandomWaves::draw(&bin.sea, WAVES, seed(bin.draw, ride)))
        .map(|waves| CourseWaves::new(hull, waves.met_at(twa_deg)))
        .collect();
    let embarked = balance.embark(curve, outcome)?;
    let sailed: Vec<Sailed> = drawn.iter().map(|waves| embarked.through(waves, time)).collect();
    Some(embarked.swing(&sail(&sailed)).counted(performance.surge, outcome))
}

/// One sea's drawings as met on one heading.
pub(super) struct MetSea(Vec<CourseWaves>);

impl Rides {
    /// Plans the rides of columns through seas, and draws the seas.
    pub(super) fn plan<'s>(seas: &[SeaBin], columns: impl Iterator<Item = &'s ColumnSeas>) -> Self {
        Self::plan_for(seas, columns, CELL_S)
    }

    /// As [`Rides::plan`], each cell sailed for a time of its own choice, s.
    pub(super) fn plan_for<'s>(
        seas: &[SeaBin],
        columns: impl Iterator<Item = &'s ColumnSeas>,
        cell_s: f64,
    ) -> Self {
        let columns: Vec<&ColumnSeas> = columns.collect();
        let whole = |seen: &&ColumnSeas| -> f64 {
            seas.iter().zip(&seen.shares).map(|(bin, share)| bin.weight * share).sum()
        };
        let s_per_weight: Vec<f64> = columns.iter().map(|seen| cell_s / whole(seen)).collect();
        let drawings = |(index, bin): (usize, &SeaBin)| {
            let longest = columns
                .iter()
                .zip(&s_per_weight)
                .map(|(seen, s_per_weight)| s_per_weight * bin.weight * seen.shares[index])
                .fold(0.0, f64::max);
            (0..count(longest)).map(|ride| RandomWaves::draw(&bin.sea, WAVES, seed(bin.draw, ride))).collect()
        };
        let drawn = seas.iter().enumerate().map(drawings).collect();
        Self { drawn, s_per_weight }
    }

    /// The drawings of a sea on a heading.
    pub(super) fn met(&self, hull: &HullForce, sea: usize, twa_deg: f64) -> MetSea {
        MetSea(self.drawn[sea].iter().map(|waves| CourseWaves::new(hull, waves.met_at(twa_deg))).collect())
    }

    /// Which drawings a column sails in a sea of this weight, and for how long in each.
    pub(super) fn time(&self, column: usize, weight: f64) -> (Range<usize>, RideTime) {
        let (rides, time) = shared(self.s_per_weight[column] * weight);
        (0..rides, time)
    }
}

impl MetSea {
    /// Some of the drawings.
    pub(super) fn drawings(&self, which: Range<usize>) -> &[CourseWaves] {
        &self.0[which]
    }
}

/// A time shared out over rides: their number, and the time of each.
fn shared(time_s: f64) -> (usize, RideTime) {
    let counted_s = time_s.max(LEAST_S);
    let rides = count(counted_s);
    (rides, RideTime { step_s: STEP_S, settle_s: SETTLE_S, counted_s: counted_s / rides as f64 })
}

/// Rides that a time is shared out over.
fn count(counted_s: f64) -> usize {
    (counted_s / RIDE_S - 1e-9).ceil().max(1.0) as usize
}

/// The seed of one drawing of a sea.
fn seed(draw: u64, ride: usize) -> u64 {
    draw.wrapping_mul(1 << 10).wrapping_add(ride as u64)
}
