//! What several wave systems make of a speed together, from what each makes of it alone.
//!
//! Mean forces of a system grow with its height squared at any given speed. So where a system alone brings her down to a speed V
//! at a height squared of E(V), the force that she can bear there is the system's per height squared, times E(V); of several
//! systems together at V the shares `hs² / E(V)` of what she can bear add to one. That is exact for added resistance whatever its
//! course over the speed, and for water on deck and foils as good as their forces are proportional to height squared; how good
//! is measured. A system that makes her faster, by surfing, multiplies what the others leave by its own gain.

/// Halvings in the search for a speed: far below what is printed.
const HALVINGS: usize = 24;

/// What one system makes of a speed as it grows: a factor over height squared.
#[derive(Debug, Clone, Copy)]
pub struct Curve<'c> {
    /// Heights squared, m², rising from 0.
    pub hs2_m2: &'c [f64],
    /// The factor at each; 1 at the first.
    pub factor: &'c [f64],
}

/// A system as it is, with its curve.
#[derive(Debug, Clone, Copy)]
pub struct Part<'c> {
    /// The curve.
    pub curve: Curve<'c>,
    /// Height squared, m².
    pub hs2_m2: f64,
}

impl Curve<'_> {
    /// The factor at a height squared, straight between its points and held at their ends.
    pub fn at(&self, hs2_m2: f64) -> f64 {
        let last = self.hs2_m2.len() - 1;
        let to = self.hs2_m2.partition_point(|node| *node < hs2_m2).clamp(1, last);
        let (from_m2, to_m2) = (self.hs2_m2[to - 1], self.hs2_m2[to]);
        let part = ((hs2_m2 - from_m2) / (to_m2 - from_m2)).clamp(0.0, 1.0);
        // a weighted mean, exact at the nodes: a line by slope and intercept leaves some 1e-15 of a speed where she stops
        (1.0 - part) * self.factor[to - 1] + part * self.factor[to]
    }

    /// The lowest factor up to a height squared, at most 1: what the system takes and does not give back as it grows.
    fn lowest_to(&self, hs2_m2: f64) -> f64 {
        let before = self.hs2_m2.partition_point(|node| *node <= hs2_m2);
        self.factor[..before].iter().copied().fold(self.at(hs2_m2).min(1.0), f64::min)
    }

    /// The height squared, m², at which the system alone first brings her down to a factor below 1; beyond the curve's end in
    /// proportion to the loss there. Infinite where the system takes nothing.
    fn brings_to(&self, factor: f64) -> f64 {
        let mut lowest = 1.0_f64;
        for (node, value) in self.factor.iter().enumerate().skip(1) {
            if *value < lowest {
                if *value <= factor {
                    let (from, to) = (self.hs2_m2[node - 1], self.hs2_m2[node]);
                    // the curve may have risen above what it had fallen to before
                    let (high, low) = (self.factor[node - 1], *value);
                    return from + (to - from) * ((high - factor) / (high - low)).clamp(0.0, 1.0);
                }
                lowest = *value;
            }
        }
        let last = self.hs2_m2[self.hs2_m2.len() - 1];
        if lowest < 1.0 { last * (1.0 - factor) / (1.0 - lowest) } else { f64::INFINITY }
    }
}

/// The factor of all systems together.
pub fn together(parts: &[Part]) -> f64 {
    match parts {
        [] => return 1.0,
        [one] => return one.curve.at(one.hs2_m2),
        _ => {}
    }
    let mut worst = 1.0_f64;
    let mut gain = 1.0;
    for part in parts {
        let lowest = part.curve.lowest_to(part.hs2_m2);
        if lowest > 0.0 {
            gain *= part.curve.at(part.hs2_m2) / lowest;
        }
        worst = worst.min(lowest);
    }
    let (mut low, mut high) = (0.0, worst);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        let borne: f64 = parts.iter().map(|part| part.hs2_m2 / part.curve.brings_to(middle)).sum();
        if borne > 1.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    // a search that ends at rest found no speed
    let lost = if low > 0.0 { 0.5 * (low + high) } else { 0.0 };
    lost * gain
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn part<'c>(hs2_m2: &'c [f64], factor: &'c [f64], own: f64) -> Part<'c> {
        Part { curve: Curve { hs2_m2, factor }, hs2_m2: own }
    }

    /// By hand: a system of 0.1 loss a m² and one of 0.05 a m² at 2 and 3 m² take 0.2 + 0.15.
    #[test]
    fn losses_in_proportion_to_energy_add() {
        let (a, b) = ([1.0, 0.5], [1.0, 0.75]);
        let nodes = [0.0, 5.0];
        let factor = together(&[part(&nodes, &a, 2.0), part(&nodes, &b, 3.0)]);
        assert_relative_eq!(factor, 0.65, max_relative = 1e-6);
    }

    /// By hand: a system that is met as two of half its energy takes what it takes whole, whatever its curve.
    #[test]
    fn a_system_in_two_halves_is_the_system() {
        let (nodes, curve) = ([0.0, 1.0, 4.0, 9.0], [1.0, 0.93, 0.8, 0.42]);
        for hs2 in [0.5, 2.0, 6.0] {
            let whole = part(&nodes, &curve, hs2).curve.at(hs2);
            let halves = together(&[part(&nodes, &curve, 0.5 * hs2), part(&nodes, &curve, 0.5 * hs2)]);
            assert_relative_eq!(halves, whole, max_relative = 1e-6);
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
    fn gains_multiply() {
        let nodes = [0.0, 4.0];
        let factor = together(&[part(&nodes, &[1.0, 1.05], 4.0), part(&nodes, &[1.0, 0.8], 4.0)]);
        assert_relative_eq!(factor, 0.84, max_relative = 1e-6);
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
