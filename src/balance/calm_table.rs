//! Flat-water resistance of hull and appendages over speed and the share of the weight that the hull bears.

use crate::hydro::calm_water::curve::CalmHull;

/// Shares of the displacement that are tabulated; deck water may push the share above one.
const BORNE: [f64; 8] = [0.02, 0.15, 0.3, 0.5, 0.7, 0.85, 1.0, 1.3];
/// Small losses hang on the slope of the resistance, which steps of 0.1 m/s would get wrong by a tenth.
const SPEED_STEP_M_S: f64 = 0.02;

/// Resistance in N, bilinear between nodes: by speed from rest, then by share.
#[derive(Debug, Clone, PartialEq)]
pub struct CalmTable {
    max_speed_m_s: f64,
    step_m_s: f64,
    rows: Vec<[f64; BORNE.len()]>,
}

impl CalmTable {
    /// Tabulates a hull's resistance up to a speed.
    pub fn new(hull: &CalmHull, max_speed_m_s: f64) -> Self {
        let cells = (max_speed_m_s / SPEED_STEP_M_S).ceil().max(1.0);
        let step_m_s = max_speed_m_s / cells;
        let row = |i: usize| {
            let speed = step_m_s * i as f64;
            let appendages_n = hull.appendage_resistance_n(speed);
            BORNE.map(|borne| hull.bare_hull_resistance_n(speed, borne).resistance_n + appendages_n)
        };
        Self { max_speed_m_s, step_m_s, rows: (0..=cells as usize).map(row).collect() }
    }

    /// The greatest speed tabulated, m/s.
    pub fn max_speed_m_s(&self) -> f64 {
        self.max_speed_m_s
    }

    /// Resistance at a speed and hull-borne share; the ends of the tabulated shares stand in beyond them.
    pub fn at(&self, speed_m_s: f64, borne: f64) -> f64 {
        let position = speed_m_s / self.step_m_s;
        let cell = (position as usize).min(self.rows.len() - 2);
        let faster = position - cell as f64;
        let upper = BORNE[1..BORNE.len() - 1].partition_point(|node| *node < borne) + 1;
        let more = ((borne - BORNE[upper - 1]) / (BORNE[upper] - BORNE[upper - 1])).clamp(0.0, 1.0);
        let at = |share: usize| (1.0 - faster) * self.rows[cell][share] + faster * self.rows[cell + 1][share];
        (1.0 - more) * at(upper - 1) + more * at(upper)
    }
}
