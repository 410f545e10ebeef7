//! What several wave systems make of a speed together, from what each makes of it alone.
//!
//! Mean forces of a system grow with its height squared at any given speed. So where a system alone brings her down to a speed V
//! at a height squared of E(V), the force that she can bear there is the system's per height squared, times E(V); of several
//! systems together at V the shares `hs² / E(V)` of what she can bear add to one. That is exact for added resistance whatever its
//! course over the speed, and for water on deck and foils as good as their forces are proportional to height squared; how good
//! is measured. What systems give, above all by surge, adds in the same way: the variance of her swing goes with height squared.
//! Gains multiply what losses leave.

/// Halvings in the search for a speed: to less than a thousandth of a knot.
const HALVINGS: usize = 16;
/// A loss smaller than this is none.
const ALL_BUT: f64 = 1.0 - 1e-6;

/// What one system makes of a speed as it grows: a factor over its height squared, as a part of any square.
#[derive(Debug, Clone, Copy)]
pub struct Curve<'c> {
    /// Heights squared, rising from 0.
    pub squares: &'c [f64],
    /// The factor at each; 1 at the first.
    pub factor: &'c [f64],
}

/// A system as it is, with its curve.
#[derive(Debug, Clone, Copy)]
pub struct Part<'c> {
    /// The curve.
    pub curve: Curve<'c>,
    /// Height squared, as the curve has it.
    pub square: f64,
}

impl Curve<'_> {
    /// The factor at a height squared, straight between its points and held at their ends.
    pub fn at(&self, square: f64) -> f64 {
        let last = self.squares.len() - 1;
        let next = self.squares.partition_point(|node| *node < square).clamp(1, last);
        let (from, to) = (self.squares[next - 1], self.squares[next]);
        let part = ((square - from) / (to - from)).clamp(0.0, 1.0);
        // a weighted mean, exact at the nodes: a line by slope and intercept leaves some 1e-15 of a speed where she stops
        (1.0 - part) * self.factor[next - 1] + part * self.factor[next]
    }

    /// The lowest factor up to a height squared, at most 1: what the system takes and does not give back as it grows.
    fn lowest_to(&self, square: f64) -> f64 {
        let before = self.squares.partition_point(|node| *node <= square);
        self.factor[..before].iter().copied().fold(self.at(square).min(1.0), f64::min)
    }

    /// The height squared at which the system alone first brings her down to a factor below 1; beyond the curve's end in
    /// proportion to the loss there. Infinite where the system takes nothing.
    fn brings_to(&self, factor: f64) -> f64 {
        let mut lowest = 1.0_f64;
        for (node, value) in self.factor.iter().enumerate().skip(1) {
            if *value < lowest {
                if *value <= factor {
                    let (from, to) = (self.squares[node - 1], self.squares[node]);
                    // the curve may have risen above what it had fallen to before
                    let (high, low) = (self.factor[node - 1], *value);
                    return from + (to - from) * ((high - factor) / (high - low)).clamp(0.0, 1.0);
                }
                lowest = *value;
            }
        }
        let last = self.squares[self.squares.len() - 1];
        if lowest < 1.0 { last * (1.0 - factor) / (1.0 - lowest) } else { f64::INFINITY }
    }

    /// What the system gives back at a node of what it took, or gives beyond: the factor over the lowest up to there.
    fn gain(&self, node: usize) -> f64 {
        let lowest = self.factor[..=node].iter().copied().fold(1.0, f64::min);
        if lowest > 0.0 { self.factor[node] / lowest } else { 1.0 }
    }

    /// The same at a height squared.
    fn gain_at(&self, square: f64) -> f64 {
        let lowest = self.lowest_to(square);
        if lowest > 0.0 { self.at(square) / lowest } else { 1.0 }
    }

    /// The height squared at which the system alone first gives so much, above 1; beyond the curve's end in proportion to the gain
    /// there. Infinite where it gives nothing.
    fn lifts_to(&self, gain: f64) -> f64 {
        let (mut highest, mut before) = (1.0_f64, 1.0);
        for node in 1..self.squares.len() {
            let value = self.gain(node);
            if value >= gain {
                let (from, to) = (self.squares[node - 1], self.squares[node]);
                return from + (to - from) * ((gain - before) / (value - before)).clamp(0.0, 1.0);
            }
            highest = highest.max(value);
            before = value;
        }
        let last = self.squares[self.squares.len() - 1];
        if highest > 1.0 { last * (gain - 1.0) / (highest - 1.0) } else { f64::INFINITY }
    }
}

/// The factor of all systems together.
pub fn together(parts: &[Part]) -> f64 {
    match parts {
        [] => 1.0,
        [one] => one.curve.at(one.square),
        _ => lost(parts) * gained(parts),
    }
}

/// What all of them take, without what any gives back.
fn lost(parts: &[Part]) -> f64 {
    let worst = parts.iter().map(|part| part.curve.lowest_to(part.square)).fold(1.0, f64::min);
    let borne =
        |factor: f64| -> f64 { parts.iter().map(|part| part.square / part.curve.brings_to(factor)).sum() };
    // each alone takes nothing, nor do all of them
    if worst >= 1.0 && borne(ALL_BUT) <= 1.0 {
        return 1.0;
    }
    let (mut low, mut high) = (0.0, worst.min(ALL_BUT));
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if borne(middle) > 1.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    // a search that ends at rest found no speed
    if low > 0.0 { 0.5 * (low + high) } else { 0.0 }
}

/// What all of them give: as losses, by shares of the height squared at which each alone would give as much; no more than the
/// greatest that one alone ever gives, so that two that both carry her over a hump do not do so twice.
fn gained(parts: &[Part]) -> f64 {
    let gains = parts.iter().map(|part| part.curve.gain_at(part.square));
    let (mut low, mut high) = (gains.fold(1.0, f64::max), 1.0_f64);
    for part in parts {
        high = (0..part.curve.squares.len()).map(|node| part.curve.gain(node)).fold(high, f64::max);
    }
    if high <= low {
        return low;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        let given: f64 = parts.iter().map(|part| part.square / part.curve.lifts_to(middle)).sum();
        if given > 1.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn part<'c>(squares: &'c [f64], factor: &'c [f64], square: f64) -> Part<'c> {
        Part { curve: Curve { squares, factor }, square }
    }

    /// By hand: a system of 0.1 loss a m² and one of 0.05 a m² at 2 and 3 m² take 0.2 + 0.15.
    #[test]
    fn losses_in_proportion_to_energy_add() {
        let (a, b) = ([1.0, 0.5], [1.0, 0.75]);
        let nodes = [0.0, 5.0];
        let factor = together(&[part(&nodes, &a, 2.0), part(&nodes, &b, 3.0)]);
        assert_relative_eq!(factor, 0.65, max_relative = 1e-4);
    }

    /// By hand: a system that is met as two of half its energy takes what it takes whole, whatever its curve.
    #[test]
    fn a_system_in_two_halves_is_the_system() {
        let (nodes, curve) = ([0.0, 1.0, 4.0, 9.0], [1.0, 0.93, 0.8, 0.42]);
        for hs2 in [0.5, 2.0, 6.0] {
            let whole = part(&nodes, &curve, hs2).curve.at(hs2);
            let halves = together(&[part(&nodes, &curve, 0.5 * hs2), part(&nodes, &curve, 0.5 * hs2)]);
            assert_relative_eq!(halves, whole, max_relative = 1e-4);
        }
    }

    /// With thrust less resistance S(v) = 1 - v² and two systems of force hs² r(v), r1 = 0.02 (1 + v), r2 = 0.05: the speed at
    /// 4 and 3 m² solves 1 - v² = 0.08 (1 + v) + 0.15, v² + 0.08 v - 0.77 = 0, by hand v = -0.04 + 0.7716^0.5 = 0.83841. Fine
    /// curves of each alone give it back.
    #[test]
    fn forces_that_change_with_the_speed_balance() {
        let nodes: Vec<f64> = (0..400).map(|i| 0.05 * f64::from(i)).collect();
        // each alone: v² + 0.02 E v + 0.02 E - 1 = 0, and 1 - v² = 0.05 E
        let first: Vec<f64> =
            nodes.iter().map(|e| -0.01 * e + ((0.01 * e).powi(2) + 1.0 - 0.02 * e).sqrt()).collect();
        let second: Vec<f64> = nodes.iter().map(|e| (1.0 - 0.05 * e).max(0.0).sqrt()).collect();
        let factor = together(&[part(&nodes, &first, 4.0), part(&nodes, &second, 3.0)]);
        assert_relative_eq!(factor, 0.83841, max_relative = 1e-4);
    }

    /// By hand: one that gives 5 % beside one that leaves 80 %.
    #[test]
    fn a_gain_stands_beside_a_loss() {
        let nodes = [0.0, 4.0];
        let factor = together(&[part(&nodes, &[1.0, 1.05], 4.0), part(&nodes, &[1.0, 0.8], 4.0)]);
        assert_relative_eq!(factor, 0.84, max_relative = 1e-4);
    }

    /// By hand: gains of 2 and 1 % a m² at 1 and 2 m² add to 4 %; where one alone never gives more than 6 %, two together do not.
    #[test]
    fn gains_add_until_there_is_no_more() {
        let (nodes, curve) = ([0.0, 3.0, 6.0], [1.0, 1.06, 1.06]);
        let weaker = [1.0, 1.03, 1.06];
        let added = together(&[part(&nodes, &curve, 1.0), part(&nodes, &weaker, 2.0)]);
        assert_relative_eq!(added, 1.04, max_relative = 1e-4);
        assert_relative_eq!(
            together(&[part(&nodes, &curve, 4.0), part(&nodes, &weaker, 5.0)]),
            1.06,
            max_relative = 1e-4
        );
    }

    /// By hand: alone neither reaches the height squared of 2 from which she gains; together they have 3, half-way to 4.
    #[test]
    fn two_may_lift_her_together() {
        let (nodes, curve) = ([0.0, 2.0, 4.0], [1.0, 1.0, 1.2]);
        let lifted = together(&[part(&nodes, &curve, 1.5), part(&nodes, &curve, 1.5)]);
        assert_relative_eq!(lifted, 1.1, max_relative = 1e-3);
    }

    /// Two systems that she bears each, and not together.
    #[test]
    fn systems_may_stop_her_together() {
        let nodes = [0.0, 4.0, 5.0];
        let curve = [1.0, 0.3, 0.0];
        let both = together(&[part(&nodes, &curve, 4.0), part(&nodes, &curve, 4.0)]);
        assert!(both < 1e-6, "{both}");
    }
}
