//! Cells of one heading that wait to be sailed through their seas, a few at a time side by side.

use crate::balance::Embarked;
use crate::boat::Surge;
use crate::derate::cell_sum::CellSum;
use crate::derate::rides::MetSea;
use crate::derate::solved_sea::SolvedSea;
use crate::hydro::surge::{RideTime, Sailed, rides};
use std::ops::Range;

/// Rides that are worth setting out for.
const ENOUGH: usize = 8;

/// A cell in one sea, solved by mean forces.
pub(super) struct Cell {
    pub(super) column: usize,
    pub(super) solved: SolvedSea,
    pub(super) weight: f64,
    /// Sea states that the sea stands for.
    pub(super) states: u64,
}

/// Her way through drawings of that sea.
pub(super) struct Voyage {
    /// None where she makes no way.
    pub(super) embarked: Option<Embarked>,
    pub(super) which: Range<usize>,
    pub(super) time: RideTime,
}

/// Those that wait, in the order in which they are added up.
#[derive(Default)]
pub(super) struct Fleet {
    seas: Vec<MetSea>,
    /// With the sea, by its place among those here.
    cells: Vec<(Cell, Voyage, usize)>,
    waiting: usize,
}

impl Fleet {
    /// The sea that the next cells sail through.
    pub(super) fn meet(&mut self, sea: MetSea) {
        self.seas.push(sea);
    }

    /// A cell in the sea met last.
    pub(super) fn join(&mut self, cell: Cell, voyage: Voyage) {
        self.waiting += voyage.which.len();
        self.cells.push((cell, voyage, self.seas.len() - 1));
    }

    /// Whether enough rides wait.
    pub(super) fn is_full(&self) -> bool {
        self.waiting >= ENOUGH
    }

    /// Sails all that wait and adds each to its column's sum.
    pub(super) fn sail(&mut self, surge: Surge, sums: &mut [CellSum]) {
        let mut sailed: Vec<Sailed> = Vec::with_capacity(self.waiting);
        for (_, voyage, sea) in &self.cells {
            let drawings = self.seas[*sea].drawings(voyage.which.clone());
            sailed.extend(
                voyage
                    .embarked
                    .iter()
                    .flat_map(|on| drawings.iter().map(|waves| on.through(waves, voyage.time))),
            );
        }
        let done = rides(&sailed);
        let mut left = done.as_slice();
        for (cell, voyage, _) in &self.cells {
            let swing = voyage.embarked.as_ref().map(|on| {
                let (own, others) = left.split_at(voyage.which.len());
                left = others;
                on.swing(own).counted(surge, &cell.solved.outcome)
            });
            sums[cell.column].add(&cell.solved.sailed(swing), cell.weight, cell.states);
        }
        self.seas.clear();
        self.cells.clear();
        self.waiting = 0;
    }
}
