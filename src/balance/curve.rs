//! A function of speed on uniform nodes from zero, linear between them.

/// Values at speeds 0, step, 2 step, ...
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Curve {
    step: f64,
    values: Vec<f64>,
}

impl Curve {
    /// Tabulates a function up to a speed, with nodes no further apart than `step`.
    pub fn of(max_speed: f64, step: f64, mut f: impl FnMut(f64) -> f64) -> Self {
        let [curve] = Self::several(max_speed, step, |speed| [f(speed)]);
        curve
    }

    /// As [`Curve::of`], for several functions that come from one computation.
    pub fn several<const N: usize>(
        max_speed: f64,
        step: f64,
        mut f: impl FnMut(f64) -> [f64; N],
    ) -> [Self; N] {
        let cells = (max_speed / step).ceil().max(1.0);
        let step = max_speed / cells;
        let mut curves = [const { Vec::new() }; N];
        for i in 0..=cells as usize {
            for (curve, value) in curves.iter_mut().zip(f(step * i as f64)) {
                curve.push(value);
            }
        }
        curves.map(|values| Self { step, values })
    }

    /// Multiplies all values.
    pub fn scale(&mut self, factor: f64) {
        self.values.iter_mut().for_each(|value| *value *= factor);
    }

    /// Makes all values one.
    pub fn fill(&mut self, value: f64) {
        self.values.fill(value);
    }

    /// The value at a speed from zero to the greatest tabulated.
    pub fn at(&self, speed: f64) -> f64 {
        let position = speed / self.step;
        let cell = (position as usize).min(self.values.len() - 2);
        let upper = position - cell as f64;
        (1.0 - upper) * self.values[cell] + upper * self.values[cell + 1]
    }
}
