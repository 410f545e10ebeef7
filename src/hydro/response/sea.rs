//! What a boat does in one sea on one heading, at the speeds of a table: summed up for a span of speeds when one of them is first
//! asked for, since most balances look at few.

use crate::hydro::response::directional::{DirectionalSpectrum, nodes};
use crate::hydro::response::extent::ORDERS;
use crate::hydro::response::quantities::{QUANTITIES, Response};
use crate::hydro::response::speeds::SpeedPlace;
use crate::hydro::response::table::{ResponseTable, SpeedRow};
use crate::sea::PartitionKind;
use multiversion::multiversion;
use std::cell::OnceCell;

/// Speeds that are summed together, no more than the shortest table has.
const SPAN: usize = 6;

type Span = [SpeedRow; SPAN];

/// One sea met on one heading.
#[derive(Debug, Clone)]
pub struct SeaResponses<'t> {
    table: &'t ResponseTable,
    /// Entries of the table that make up the sea, by their first speed, with their weights.
    parts: Vec<(u32, f32)>,
    /// The last one reaches back into the one before.
    spans: Vec<OnceCell<Span>>,
}

impl<'t> SeaResponses<'t> {
    /// A still sea.
    pub fn new(table: &'t ResponseTable) -> Self {
        Self {
            table,
            // as many as a spectrum has, and more than any systems
            parts: Vec::with_capacity(nodes().len() * ORDERS),
            spans: vec![OnceCell::new(); table.speed_count().div_ceil(SPAN)],
        }
    }

    /// Makes the sea still again.
    pub fn clear(&mut self) {
        self.parts.clear();
        self.forget();
    }

    /// Adds a wave system of squared height `hs2_m2` that travels at the wave angle `mu`, rad, off the course.
    ///
    /// Returns whether the peak period lies within the table; outside, the nearest tabulated period stands in.
    pub fn add_system(&mut self, kind: PartitionKind, hs2_m2: f64, tp_s: f64, mu: f64) -> bool {
        self.forget();
        self.table.add_system(kind, hs2_m2, tp_s, mu, &mut self.parts)
    }

    /// Adds a sea's spectrum about the wind, sailed at a signed true wind angle.
    pub fn add_spectrum(&mut self, spectrum: &DirectionalSpectrum, twa_deg: f64) {
        self.forget();
        self.table.add_spectrum(spectrum, twa_deg, &mut self.parts);
    }

    fn forget(&mut self) {
        self.spans.fill(OnceCell::new());
    }

    /// The response at a speed, m/s; cubic between the table's.
    pub fn at(&self, speed_m_s: f64) -> Response {
        self.at_place(&self.table.place(speed_m_s))
    }

    /// The same at a place among the table's speeds.
    pub(crate) fn at_place(&self, place: &SpeedPlace) -> Response {
        let mut total = [0.0; QUANTITIES];
        for (node, weight) in place.cubic {
            for (sum, value) in total.iter_mut().zip(self.row(node)) {
                *sum += weight * f64::from(*value);
            }
        }
        Response::from_array(total)
    }

    /// The response at one of the table's speeds.
    pub fn at_node(&self, node: usize) -> Response {
        Response::from_array(self.row(node).map(f64::from))
    }

    fn row(&self, node: usize) -> &SpeedRow {
        let number = node / SPAN;
        let first = (number * SPAN).min(self.table.speed_count() - SPAN);
        let span = self.spans[number].get_or_init(|| summed(self.table.rows(), &self.parts, first));
        &span[node - first]
    }
}

/// The weighted sum of the parts from one of their speeds on.
#[multiversion(targets("x86_64+avx2"))]
fn summed(rows: &[SpeedRow], parts: &[(u32, f32)], first: usize) -> Span {
    let mut sum = [[0.0; QUANTITIES]; SPAN];
    for (entry, weight) in parts {
        let from = *entry as usize + first;
        for (sum, row) in sum.iter_mut().zip(&rows[from..from + SPAN]) {
            for q in 0..QUANTITIES {
                sum[q] += weight * row[q];
            }
        }
    }
    sum
}
