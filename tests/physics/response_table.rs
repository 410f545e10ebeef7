//! Response tables against direct integration of the same regular-wave responses, on quasi-random seas.
//!
//! The error of a quantity is taken over its own value, or, where that is below a tenth of the largest over the wave
//! angle at that speed and period, over that largest. A swell's error is over a hundredth of what a wind sea of its height and
//! period does at most, where that is more: a long swell's tail is next to nothing, and so is any part of it.

use crate::common::boats::{CRUISER, FOILER, model};
use rayon::prelude::*;
use roughwater::balance::BoatTables;
use roughwater::hydro::response::{BoatInWaves, DirectIntegral, QUANTITIES, ResponseTable, SeaResponses};
use roughwater::hydro::wave_shape::WaveShape;
use roughwater::sea::PartitionKind;
use std::f64::consts::PI;
use std::sync::LazyLock;

const MAX_SPEED_M_S: f64 = 16.0;
const COARSE: DirectIntegral = DirectIntegral { frequencies: 251, directions: 121, regression_steps: 15 };
const FINER: DirectIntegral = DirectIntegral { frequencies: 417, directions: 201, regression_steps: 25 };

#[derive(Clone, Copy)]
struct Sea {
    kind: PartitionKind,
    speed_m_s: f64,
    hs_m: f64,
    tp_s: f64,
    mu: f64,
}

/// Point of an additive recurrence in four dimensions (roots of x^5 = x + 1): 1 to 15 m/s, 3 to 16 s, all angles,
/// and heights from long swell to as steep as a sea can be, so that every peak enhancement and every L occurs.
fn sea(kind: PartitionKind, i: usize) -> Sea {
    let root: f64 = 1.167_303_978_261_418_7;
    let at = |power: i32| (0.5 + (i + 1) as f64 * root.powi(-power)).fract();
    let tp_s = 3.0 + 13.0 * at(2);
    let hs_m = (0.008 + 0.08 * at(4)) * tp_s * tp_s;
    Sea { kind, speed_m_s: 1.0 + 14.0 * at(1), hs_m, tp_s, mu: PI * at(3) }
}

impl Sea {
    fn direct(&self, integral: DirectIntegral, boat: &BoatInWaves) -> [f64; QUANTITIES] {
        let shape = WaveShape::of(self.kind, self.hs_m, self.tp_s);
        integral.response(boat, self.speed_m_s, self.mu, self.hs_m, self.tp_s, shape).to_array()
    }

    fn tabulated(&self, table: &ResponseTable, mu: f64) -> [f64; QUANTITIES] {
        let mut sea = SeaResponses::new(table);
        assert!(sea.add_system(self.kind, self.hs_m * self.hs_m, self.tp_s, mu));
        sea.at(self.speed_m_s).to_array()
    }

    /// What errors of each quantity are measured by.
    fn scales(&self, table: &ResponseTable, values: &[f64; QUANTITIES]) -> [f64; QUANTITIES] {
        let largest = self.largest(table);
        let of_wind_sea = Sea { kind: PartitionKind::WindSea, ..*self }.largest(table);
        std::array::from_fn(|q| {
            let scale = if values[q].abs() > 0.1 * largest[q] { values[q].abs() } else { largest[q] };
            scale.max(0.01 * of_wind_sea[q])
        })
    }

    /// The largest of each quantity over the wave angle.
    fn largest(&self, table: &ResponseTable) -> [f64; QUANTITIES] {
        let around: Vec<_> = (0..=36).map(|i| self.tabulated(table, PI * f64::from(i) / 36.0)).collect();
        std::array::from_fn(|q| around.iter().map(|row| row[q].abs()).fold(0.0, f64::max))
    }
}

/// The largest error of each quantity over some seas, with the sea it occurs in.
fn worst(tables: &BoatTables, kind: PartitionKind, seas: usize) -> [(f64, usize); QUANTITIES] {
    let errors: Vec<[f64; QUANTITIES]> = (0..seas)
        .into_par_iter()
        .map(|i| {
            let sea = sea(kind, i);
            let direct = sea.direct(COARSE, &tables.model.waves);
            let tabulated = sea.tabulated(&tables.responses, sea.mu);
            let scales = sea.scales(&tables.responses, &direct);
            std::array::from_fn(|q| {
                if scales[q] > 0.0 { (tabulated[q] - direct[q]).abs() / scales[q] } else { 0.0 }
            })
        })
        .collect();
    std::array::from_fn(|q| {
        errors.iter().enumerate().map(|(i, e)| (e[q], i)).max_by(|a, b| a.0.total_cmp(&b.0)).unwrap()
    })
}

static TABLES: LazyLock<[(&str, BoatTables); 2]> =
    LazyLock::new(|| [FOILER, CRUISER].map(|name| (name, BoatTables::new(model(name), MAX_SPEED_M_S))));

fn check(seas: usize) {
    for (name, tables) in TABLES.iter() {
        for kind in [PartitionKind::WindSea, PartitionKind::Swell] {
            let worst = worst(tables, kind, seas);
            println!(
                "{name} {kind:?}: {}",
                worst.map(|(error, _)| format!("{:.2} %", 100.0 * error)).join(", ")
            );
            for (quantity, (error, i)) in worst.into_iter().enumerate() {
                let Sea { speed_m_s, tp_s, mu, .. } = sea(kind, i);
                assert!(
                    error < 0.01,
                    "{name}, {kind:?}, quantity {quantity}: {error} at {speed_m_s} m/s, {tp_s} s, {} deg",
                    mu.to_degrees()
                );
            }
        }
    }
}

#[test]
fn within_one_per_cent_of_direct_integration() {
    check(10);
}

#[test]
#[ignore = "takes minutes: the same on many more seas"]
fn within_one_per_cent_of_direct_integration_on_many_seas() {
    check(250);
}

/// The direct integral moves by less than a thousandth when all its steps shrink by 5/3.
#[test]
fn direct_integration_has_converged() {
    for (name, tables) in TABLES.iter() {
        for (kind, i) in [(PartitionKind::WindSea, 1), (PartitionKind::Swell, 4)] {
            let sea = sea(kind, i);
            let (coarse, finer) = rayon::join(
                || sea.direct(COARSE, &tables.model.waves),
                || sea.direct(FINER, &tables.model.waves),
            );
            let scales = sea.scales(&tables.responses, &finer);
            for q in 0..QUANTITIES {
                assert!(
                    (coarse[q] - finer[q]).abs() <= 1e-3 * scales[q],
                    "{name} {kind:?} {i}, quantity {q}: {} against {}",
                    coarse[q],
                    finer[q]
                );
            }
        }
    }
}

/// The total sea has the wind sea's shape.
#[test]
fn the_total_sea_reads_as_a_wind_sea() {
    let table = &TABLES[1].1.responses;
    let wind_sea = sea(PartitionKind::WindSea, 3);
    let total = Sea { kind: PartitionKind::Total, ..sea(PartitionKind::Total, 3) };
    assert_eq!(wind_sea.tabulated(table, wind_sea.mu), total.tabulated(table, total.mu));
}

/// A period beyond the table is owned up to.
#[test]
fn periods_outside_the_table_are_reported() {
    let table = &TABLES[1].1.responses;
    let mut sea = SeaResponses::new(table);
    assert!(!sea.add_system(PartitionKind::Swell, 1.0, 30.0, 1.0));
    assert!(!sea.add_system(PartitionKind::Swell, 1.0, 0.9, 1.0));
}
