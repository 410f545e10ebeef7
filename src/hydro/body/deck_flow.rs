//! Water over the edge of an actual deck: what comes aboard section by section, where it lies, and what drains.
//!
//! Each side's edge is a broad-crested weir under the head by which the sea stands above it, as in `deck_water`; where both sides
//! of the edge stand above it the flow is drowned, by (1 - (h2/h1)^1.5)^0.385 (Villemonte 1947, "Submerged weir discharge studies",
//! Engineering News Record, from memory). Water on deck lies level across a section and stays where it came aboard until it flows
//! back over the edge or drains.

use crate::base::units::G;
use crate::hydro::body::pressure::SectionNow;

/// Flow a metre of edge over head to the power 1.5, (2/3)^1.5 sqrt(g): critical depth on a broad crest (Bos 1989).
fn weir(head_m: f64) -> f64 {
    (2.0_f64 / 3.0).powf(1.5) * G.sqrt() * head_m * head_m.sqrt()
}

/// Flow over a metre of edge into her, m²/s, with the sea and the water on deck standing so far above the edge, m; below it they
/// count as none. Negative where water flows back.
pub fn flow_over_edge_m2_s(outside_m: f64, inside_m: f64) -> f64 {
    let (outside, inside) = (outside_m.max(0.0), inside_m.max(0.0));
    let (high, low) = (outside.max(inside), outside.min(inside));
    if high <= 0.0 {
        return 0.0;
    }
    let drowned = (1.0 - (low / high).powf(1.5)).powf(0.385);
    (weir(high) * drowned).copysign(outside - inside)
}

/// What drains of a volume while more flows in evenly, or out, in a time over that of the drain: of dV/dt = q - V/T.
fn drained(lying: f64, gained: f64, time: f64) -> f64 {
    let left = -(-time).exp_m1();
    // what flows out first is not there to drain
    (lying * left + gained * (1.0 - left / time)).clamp(0.0, (lying + gained).max(0.0))
}

/// Parts of a step in which levels are followed: at the edge of a narrow deck they meet within one.
const PARTS: usize = 4;

/// Water on deck, section by section, and its account.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct DeckWater {
    /// Volume a metre of length, m², at each section.
    lying_m2: Vec<f64>,
    /// Volume that came over the edge since the start, m³.
    pub shipped_m3: f64,
    /// Volume that left over the edge or through drains, m³.
    pub drained_m3: f64,
}

/// What the water on deck does to her.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct DeckLoad {
    /// Mass, kg; its first moment forward of the centre of gravity, kg m; its second moment, kg m².
    pub moments: [f64; 3],
}

impl DeckWater {
    /// A dry deck of so many sections.
    pub fn dry(sections: usize) -> Self {
        Self { lying_m2: vec![0.0; sections], ..Self::default() }
    }

    /// Volume on deck, m³.
    pub fn on_deck_m3(&self, met: &[SectionNow]) -> f64 {
        self.lying_m2.iter().zip(met).map(|(lying, section)| lying * section.weight_m).sum()
    }

    /// Its mass and moments.
    pub fn load(&self, met: &[SectionNow], rho_kg_m3: f64) -> DeckLoad {
        let mut moments = [0.0; 3];
        for (lying, section) in self.lying_m2.iter().zip(met) {
            let mass = rho_kg_m3 * lying * section.weight_m;
            moments[0] += mass;
            moments[1] += mass * section.x_m;
            moments[2] += mass * section.x_m * section.x_m;
        }
        DeckLoad { moments }
    }

    /// Lets a step of time pass: flow over both edges and drain. Returns the force that brings what comes aboard to her speed,
    /// N, along the course, with all of it carried along; `raised_m` is what her own bow wave adds to the sea at each section.
    pub fn step(
        &mut self,
        met: &[SectionNow],
        raised_m: impl Fn(&SectionNow) -> f64,
        speed_m_s: f64,
        drain_s: f64,
        step_s: f64,
        rho_kg_m3: f64,
    ) -> f64 {
        let mut force = 0.0;
        let part_s = step_s / PARTS as f64;
        for (lying, section) in self.lying_m2.iter_mut().zip(met) {
            let breadth = 2.0 * section.deck_half_breadth_m;
            let outside = (section.over_edge_m + raised_m(section)).max(0.0);
            if breadth <= 0.0 || outside <= 0.0 && *lying <= 0.0 {
                continue;
            }
            for _ in 0..PARTS {
                let inside = *lying / breadth;
                // a part of a step never takes the levels past each other
                let most = (outside - inside) * breadth;
                let gained = 2.0 * flow_over_edge_m2_s(outside, inside) * part_s;
                let gained = if most >= 0.0 { gained.min(most) } else { gained.max(most) };
                let drained = drained(*lying, gained, part_s / drain_s);
                *lying += gained - drained;
                if gained > 0.0 {
                    self.shipped_m3 += gained * section.weight_m;
                    let flow = gained / step_s * section.weight_m;
                    force -= rho_kg_m3 * flow * (speed_m_s - section.water_along_m_s);
                } else {
                    self.drained_m3 -= gained * section.weight_m;
                }
                self.drained_m3 += drained * section.weight_m;
            }
        }
        force
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// By hand: (2/3)^1.5 sqrt(9.80665) 0.6^1.5 = 0.79222 m²/s; with half the head inside, x (1 - 0.5^1.5)^0.385 = e^(0.385 ln 0.646447) = 0.84539.
    #[test]
    fn flow_by_hand() {
        assert_relative_eq!(flow_over_edge_m2_s(0.6, -0.2), 0.79222, epsilon = 2e-5);
        assert_relative_eq!(flow_over_edge_m2_s(0.6, 0.3), 0.79222 * 0.84539, max_relative = 1e-4);
        assert_relative_eq!(flow_over_edge_m2_s(0.3, 0.6), -0.79222 * 0.84539, max_relative = 1e-4);
        assert_eq!(flow_over_edge_m2_s(0.4, 0.4), 0.0);
        assert_eq!(flow_over_edge_m2_s(-0.1, 0.0), 0.0);
    }

    /// By hand, in half of the drain's time: of 1 m³ that lies there 1 - e^-0.5 = 0.39347 drain, of 1 m³ that comes in evenly
    /// 1 - 0.39347/0.5 = 0.21306; of what has all flowed out nothing is left to drain.
    #[test]
    fn drained_by_hand() {
        assert_relative_eq!(drained(1.0, 0.0, 0.5), 0.39347, max_relative = 1e-4);
        assert_relative_eq!(drained(0.0, 1.0, 0.5), 0.21306, max_relative = 1e-4);
        assert_eq!(drained(1.0, -1.0, 0.5), 0.0);
    }

    fn section(over_edge_m: f64) -> SectionNow {
        SectionNow { weight_m: 2.0, over_edge_m, deck_half_breadth_m: 0.5, ..SectionNow::default() }
    }

    /// Shipped = drained + on deck, whatever comes; the deck fills to the sea's level and empties by itself.
    #[test]
    fn the_account_closes() {
        let mut deck = DeckWater::dry(1);
        for i in 0..4000 {
            let over = 0.4 * (0.01 * f64::from(i)).sin();
            deck.step(&[section(over)], |_| 0.0, 5.0, 2.0, 0.01, 1025.0);
            let held = deck.on_deck_m3(&[section(over)]);
            assert_relative_eq!(
                deck.shipped_m3,
                deck.drained_m3 + held,
                max_relative = 1e-9,
                epsilon = 1e-12
            );
            assert!(held >= 0.0 && held <= 0.4 * 2.0);
        }
        assert!(deck.shipped_m3 > 1.0);
        let still = [section(0.3)];
        let mut deck = DeckWater::dry(1);
        for _ in 0..2000 {
            deck.step(&still, |_| 0.0, 5.0, 1e9, 0.01, 1025.0);
        }
        assert_relative_eq!(deck.on_deck_m3(&still), 0.3 * 2.0, max_relative = 1e-6);
    }

    /// By hand: 0.6 m of head over both edges of 2 m of length for a hundredth of a second brings 0.0317 m³, which at 5 m/s against
    /// water that comes at her with 1 m/s takes 1025 x 3.1689 x 6 N; what has come aboard meanwhile drowns the flow by less than 0.1 %.
    #[test]
    fn momentum_by_hand() {
        let mut deck = DeckWater::dry(1);
        let met = [SectionNow { water_along_m_s: -1.0, ..section(0.6) }];
        let force = deck.step(&met, |_| 0.0, 5.0, 1e9, 0.01, 1025.0);
        assert_relative_eq!(force, -1025.0 * 2.0 * 2.0 * 0.79222 * 6.0, max_relative = 1e-3);
        assert_relative_eq!(deck.shipped_m3, 0.031689, max_relative = 1e-3);
    }
}
