//! A quantity over speed at equal steps from rest.

/// A quantity over speed: straight between the steps, and on beyond the last.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SpeedCurve {
    per_m_s: f64,
    nodes: Vec<f64>,
}

impl SpeedCurve {
    /// From values at steps from rest, at least two.
    pub fn new(step_m_s: f64, values: &[f64]) -> Self {
        Self { per_m_s: 1.0 / step_m_s, nodes: values.to_vec() }
    }

    /// Value and slope, per m/s, at a speed of zero or more.
    #[inline(always)]
    pub fn at(&self, speed_m_s: f64) -> (f64, f64) {
        let steps = speed_m_s * self.per_m_s;
        let cell = (steps as usize).min(self.nodes.len() - 2);
        let (low, high) = (self.nodes[cell], self.nodes[cell + 1]);
        (low + (steps - cell as f64) * (high - low), (high - low) * self.per_m_s)
    }

    /// The step, m/s.
    pub(super) fn step_m_s(&self) -> f64 {
        1.0 / self.per_m_s
    }

    /// The speed of the last step, m/s.
    pub(super) fn top_m_s(&self) -> f64 {
        (self.nodes.len() - 1) as f64 / self.per_m_s
    }

    /// Adds a constant.
    pub(super) fn raise(&mut self, by: f64) {
        self.nodes.iter_mut().for_each(|node| *node += by);
    }
}
