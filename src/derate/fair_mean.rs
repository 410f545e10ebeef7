//! The speed of a region: distance over time over the seas in which she moves.

/// More than this part of the weight stopping her makes her stop.
const MOST_STOPPED: f64 = 0.5;

/// Sums of one way of solving, sea by sea.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct FairMean {
    moving: f64,
    stopped: f64,
    time: f64,
}

impl FairMean {
    /// Adds a sea's weight with her speed there.
    pub fn add(&mut self, speed: f64, weight: f64) {
        if speed > 0.0 {
            self.moving += weight;
            self.time += weight / speed;
        } else {
            self.stopped += weight;
        }
    }

    /// The share of the weight that stops her.
    pub fn stopped_share(&self) -> f64 {
        let whole = self.moving + self.stopped;
        if whole > 0.0 { self.stopped / whole } else { 0.0 }
    }

    /// Whether more than half of the weight stops her.
    pub fn stops(&self) -> bool {
        self.stopped_share() > MOST_STOPPED
    }

    /// The mean speed where she moves; zero where more than half of the weight stops her.
    pub fn speed(&self) -> f64 {
        if self.stops() || self.time <= 0.0 { 0.0 } else { self.moving / self.time }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn mean(seas: &[(f64, f64)]) -> FairMean {
        let mut mean = FairMean::default();
        seas.iter().for_each(|(speed, weight)| mean.add(*speed, *weight));
        mean
    }

    /// By hand: 12 and 6 kn for equal areas take 1/12 + 1/6 h, so 2 nm in 0.25 h are 8 kn.
    #[test]
    fn distance_over_time() {
        assert_relative_eq!(mean(&[(12.0, 1.0), (6.0, 1.0)]).speed(), 8.0, max_relative = 1e-12);
    }

    /// Two per cent that stop her leave the speed of the rest as it is, and are told.
    #[test]
    fn a_little_that_stops_her_is_told_and_does_not_stop_her_elsewhere() {
        let mean = mean(&[(12.0, 49.0), (6.0, 49.0), (0.0, 2.0)]);
        assert_relative_eq!(mean.speed(), 8.0, max_relative = 1e-12);
        assert_relative_eq!(mean.stopped_share(), 0.02, max_relative = 1e-12);
    }

    #[test]
    fn more_than_half_stops_her() {
        assert_eq!(mean(&[(9.0, 0.49), (0.0, 0.51)]).speed(), 0.0);
        assert_relative_eq!(mean(&[(9.0, 0.5), (0.0, 0.5)]).speed(), 9.0, max_relative = 1e-12);
        assert_eq!(FairMean::default().speed(), 0.0);
    }
}
