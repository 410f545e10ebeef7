//! A uniform axis of a table, and where a value lies on it.

/// Uniformly spaced nodes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    first: f64,
    step: f64,
    count: usize,
}

/// The cell of an axis a value lies in, and the weight of the cell's upper node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxisPlace {
    pub lower: usize,
    pub upper_weight: f64,
    /// Whether the value lay outside and was moved to the nearest end.
    pub outside: bool,
}

impl Axis {
    /// Nodes from `first` to `last`, no further apart than `step`; at least two.
    pub fn covering(first: f64, last: f64, step: f64) -> Self {
        let cells = ((last - first) / step - 1e-9).ceil().max(1.0);
        Self { first, step: (last - first) / cells, count: cells as usize + 1 }
    }

    pub fn len(&self) -> usize {
        self.count
    }

    pub fn step(&self) -> f64 {
        self.step
    }

    pub fn node(&self, index: usize) -> f64 {
        self.first + self.step * index as f64
    }

    pub fn nodes(&self) -> impl Iterator<Item = f64> + '_ {
        (0..self.count).map(|index| self.node(index))
    }

    pub fn place(&self, value: f64) -> AxisPlace {
        let last_cell = self.count - 2;
        let position = (value - self.first) / self.step;
        // the cast rounds towards zero, and down to it from below
        let lower = (position as usize).min(last_cell);
        let upper_weight = (position - lower as f64).clamp(0.0, 1.0);
        let outside = position < -1e-9 || position > last_cell as f64 + 1.0 + 1e-9;
        AxisPlace { lower, upper_weight, outside }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_within_and_beyond() {
        let axis = Axis::covering(0.0, 10.0, 2.5);
        assert_eq!(axis.len(), 5);
        assert_eq!(axis.place(6.25), AxisPlace { lower: 2, upper_weight: 0.5, outside: false });
        assert_eq!(axis.place(10.0), AxisPlace { lower: 3, upper_weight: 1.0, outside: false });
        assert_eq!(axis.place(11.0), AxisPlace { lower: 3, upper_weight: 1.0, outside: true });
        assert_eq!(axis.place(-1.0), AxisPlace { lower: 0, upper_weight: 0.0, outside: true });
    }
}
