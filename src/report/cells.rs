//! The cell audit by region and window: every cell over the window's times, in blocks where cells are too many.

use crate::base::Result;
use crate::report::audit::{Audit, place_of};
use crate::report::numbers::rounded;
use crate::report::sea::Seas;
use crate::result::cells::{AuditedCell, CellsReader, WorstFactor};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::Path;

/// The most cells a page carries, about 1 MB; beyond it, neighbours are taken together.
const MOST_CELLS: usize = 20_000;

/// Position in millionths of a degree.
type Place = (i64, i64);

/// A block of cells, or a single one, over the times of a window.
#[derive(Debug, Clone, Default)]
struct Block {
    weight: f64,
    lat: f64,
    lon: f64,
    hs2: f64,
    tws: f64,
    factor: f64,
    factor_weight: f64,
    lost: f64,
    period: f64,
    wave: Vector,
    wind: Vector,
    worst: Option<WorstFactor>,
}

/// Directions summed as vectors, so that north does not cancel itself.
type Vector = (f64, f64);

fn towards(weight: f64, from_deg: f64) -> Vector {
    let (sin, cos) = from_deg.to_radians().sin_cos();
    (weight * sin, weight * cos)
}

/// Where a sum comes from, degrees; none where nothing was summed.
fn from_deg((sin, cos): Vector) -> Option<Value> {
    (sin != 0.0 || cos != 0.0).then(|| rounded(sin.atan2(cos).to_degrees().rem_euclid(360.0), 0))
}

impl Block {
    fn of(cell: AuditedCell) -> Self {
        let weight = cell.area_km2;
        // periods and directions of waves go by energy
        let energy = weight * cell.hs_m * cell.hs_m;
        Self {
            weight,
            lat: weight * cell.lat_deg,
            lon: weight * cell.lon_deg,
            hs2: energy,
            tws: weight * cell.tws_kn,
            factor: weight * cell.mean_factor.unwrap_or_default(),
            factor_weight: if cell.mean_factor.is_some() { weight } else { 0.0 },
            lost: weight * cell.mean_lost_kn.unwrap_or_default(),
            period: energy * cell.peak_period_s.unwrap_or_default(),
            wave: cell.wave_from_deg.map(|from| towards(energy, from)).unwrap_or_default(),
            wind: towards(weight * cell.tws_kn, cell.wind_from_deg),
            worst: cell.worst,
        }
    }

    fn add(&mut self, other: &Self) {
        self.weight += other.weight;
        self.lat += other.lat;
        self.lon += other.lon;
        self.hs2 += other.hs2;
        self.tws += other.tws;
        self.factor += other.factor;
        self.factor_weight += other.factor_weight;
        self.lost += other.lost;
        self.period += other.period;
        self.wave = (self.wave.0 + other.wave.0, self.wave.1 + other.wave.1);
        self.wind = (self.wind.0 + other.wind.0, self.wind.1 + other.wind.1);
        let worse = |worst: &WorstFactor| self.worst.as_ref().is_none_or(|mine| worst.factor < mine.factor);
        if let Some(worst) = other.worst.clone().filter(worse) {
            self.worst = Some(worst);
        }
    }

    /// Latitude, longitude, mean factor, knots lost, worst factor, its tack, TWA and stage, Hs, peak period, where waves come
    /// from, TWS, where the wind comes from; tack and stage as places in lists of words.
    fn to_json(&self, words: &mut Words) -> Value {
        let mean = |sum: f64, decimals| rounded(sum / self.weight, decimals);
        let sailed = |sum: f64, decimals| {
            (self.factor_weight > 0.0).then(|| rounded(sum / self.factor_weight, decimals))
        };
        let worst = self.worst.as_ref();
        json!([
            mean(self.lat, 4),
            mean(self.lon, 4),
            sailed(self.factor, 4),
            sailed(self.lost, 3),
            worst.map(|worst| rounded(worst.factor, 4)),
            worst.map(|worst| place_of(&mut words.tacks, &worst.tack)),
            worst.map(|worst| rounded(worst.twa_deg, 1)),
            worst.map(|worst| place_of(&mut words.stages, &worst.stage)),
            rounded((self.hs2 / self.weight).sqrt(), 2),
            (self.hs2 > 0.0).then(|| rounded(self.period / self.hs2, 1)),
            from_deg(self.wave),
            mean(self.tws, 1),
            from_deg(self.wind),
        ])
    }
}

/// The words that occur in cells.
#[derive(Debug, Default)]
struct Words {
    tacks: Vec<String>,
    stages: Vec<String>,
}

type Grid = BTreeMap<Place, Block>;

/// Reads a cell audit. Rows outside every region and window of the audit are left out, and counted.
///
/// # Errors
/// A file that is not a cell audit; a field that cannot be read.
pub(super) fn read(path: &Path, audit: &Audit) -> Result<Value> {
    let mut reader = CellsReader::open(path)?;
    let mut grids: Vec<Grid> = vec![Grid::new(); audit.parts()];
    let mut seas = vec![Seas::default(); audit.parts()];
    let mut outside = 0_u64;
    while let Some(cell) = reader.next_row()? {
        let Some(part) = audit.part_at(&cell.region, cell.valid).filter(|_| cell.area_km2 > 0.0) else {
            outside += 1;
            continue;
        };
        seas[part].add(cell.area_km2, cell.hs_m, cell.peak_period_s, cell.wave_from_deg);
        let place = (millionths(cell.lat_deg), millionths(cell.lon_deg));
        grids[part].entry(place).or_default().add(&Block::of(cell));
    }
    Ok(to_json(&grids, &seas, audit, outside))
}

fn to_json(grids: &[Grid], seas: &[Seas], audit: &Audit, outside: u64) -> Value {
    let step = (step(grids, |place| place.0), step(grids, |place| place.1));
    let count = |grids: &[Grid]| grids.iter().map(BTreeMap::len).sum::<usize>();
    let (mut block, mut shown) = (1, grids.to_vec());
    while count(&shown) > MOST_CELLS && block < 1024 {
        block *= 2;
        shown = grids.iter().map(|grid| blocks(grid, (step.0 * block, step.1 * block))).collect();
    }
    let mut words = Words::default();
    let parts: Vec<Value> = (0..audit.parts())
        .filter(|&part| !grids[part].is_empty())
        .map(|part| {
            json!({
                "part": part,
                "region": audit.region(part),
                "cells": shown[part].values().map(|block| block.to_json(&mut words)).collect::<Vec<_>>(),
                "seas": seas[part].to_json(),
            })
        })
        .collect();
    json!({
        "block": block,
        "lat_step_deg": rounded((step.0 * block) as f64 / 1e6, 6),
        "lon_step_deg": rounded((step.1 * block) as f64 / 1e6, 6),
        "counted": count(grids),
        "outside": outside,
        "parts": parts,
        "tacks": words.tacks,
        "stages": words.stages,
    })
}

fn millionths(deg: f64) -> i64 {
    (deg * 1e6).round() as i64
}

/// The spacing of a grid along one axis: the smallest distance between neighbours, a degree where there are none.
fn step(grids: &[Grid], axis: impl Fn(&Place) -> i64) -> i64 {
    let mut values: Vec<i64> = grids.iter().flat_map(BTreeMap::keys).map(axis).collect();
    values.sort_unstable();
    values.dedup();
    let gaps = values.windows(2).map(|pair| pair[1] - pair[0]);
    // coordinates in single precision differ by a few millionths at the same line of the grid
    gaps.filter(|gap| *gap > 1_000).min().unwrap_or(1_000_000)
}

/// Cells of one block become one.
fn blocks(grid: &Grid, size: Place) -> Grid {
    let mut blocks = Grid::new();
    for ((lat, lon), cell) in grid {
        blocks.entry((lat.div_euclid(size.0), lon.div_euclid(size.1))).or_default().add(cell);
    }
    blocks
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cell(lat: f64, lon: f64, weight: f64, factor: f64) -> (Place, Block) {
        let worst = WorstFactor { factor, tack: "port".into(), twa_deg: 60.0, stage: "none".into() };
        let cell = Block {
            weight,
            lat: weight * lat,
            lon: weight * lon,
            hs2: weight,
            tws: weight,
            factor: weight * factor,
            factor_weight: weight,
            lost: weight * (1.0 - factor) * 10.0,
            period: weight * 8.0,
            wave: towards(weight, 350.0 + 40.0 * lon),
            wind: towards(weight, 90.0),
            worst: Some(worst),
        };
        ((millionths(lat), millionths(lon)), cell)
    }

    /// By hand: (3 * 0.9 + 1 * 0.5) / 4 = 0.8, 10 kn less 20 % is 2 kn lost, the worst is 0.5. Weights 3 and 1 from 350 and 0
    /// degrees: atan2(3 sin 350, 3 cos 350 + 1) = -7.50.
    #[test]
    fn a_block_keeps_mean_and_worst() {
        let grid =
            Grid::from([cell(0.0, 0.0, 3.0, 0.9), cell(0.0, 0.25, 1.0, 0.5), cell(0.0, 0.5, 1.0, 1.0)]);
        let step = step(&[grid.clone()], |place| place.1);
        assert_eq!(step, 250_000);
        let blocks = blocks(&grid, (2 * step, 2 * step));
        let first = blocks.values().next().unwrap().to_json(&mut Words::default());
        assert_eq!((blocks.len(), &first[2], &first[3], &first[4]), (2, &json!(0.8), &json!(2), &json!(0.5)));
        assert_eq!((&first[9], &first[10], &first[12]), (&json!(8), &json!(352), &json!(90)));
    }
}
