//! Flat-water resistance of hull and appendages over speed and the share of the weight that the hull bears.

use super::curve::Curve;
use crate::hydro::calm_water::curve::CalmHull;

/// Shares of the displacement that are tabulated; deck water may push the share above one.
const BORNE: [f64; 8] = [0.02, 0.15, 0.3, 0.5, 0.7, 0.85, 1.0, 1.3];
/// Small losses hang on the slope of the resistance, which steps of 0.1 m/s would get wrong by a tenth.
const SPEED_STEP_M_S: f64 = 0.02;

/// Resistance in N, bilinear between nodes.
#[derive(Debug, Clone, PartialEq)]
pub struct CalmTable {
    max_speed_m_s: f64,
    curves: [Curve; BORNE.len()],
}

impl CalmTable {
    /// Tabulates a hull's resistance up to a speed.
    pub fn new(hull: &CalmHull, max_speed_m_s: f64) -> Self {
        let resistance = |speed: f64, borne: f64| {
            hull.bare_hull_resistance_n(speed, borne).resistance_n + hull.appendage_resistance_n(speed)
        };
        Self {
            max_speed_m_s,
            curves: BORNE
                .map(|borne| Curve::of(max_speed_m_s, SPEED_STEP_M_S, |speed| resistance(speed, borne))),
        }
    }

    /// The greatest speed tabulated, m/s.
    pub fn max_speed_m_s(&self) -> f64 {
        self.max_speed_m_s
    }

    /// Resistance at a speed and hull-borne share; the ends of the tabulated shares stand in beyond them.
    pub fn at(&self, speed_m_s: f64, borne: f64) -> f64 {
        let upper = BORNE[1..BORNE.len() - 1].partition_point(|node| *node < borne) + 1;
        let weight = ((borne - BORNE[upper - 1]) / (BORNE[upper] - BORNE[upper - 1])).clamp(0.0, 1.0);
        (1.0 - weight) * self.curves[upper - 1].at(speed_m_s) + weight * self.curves[upper].at(speed_m_s)
    }
}
