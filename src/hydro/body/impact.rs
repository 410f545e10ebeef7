//! A section that enters the water: von Karman's and Wagner's added mass, its force and its peak pressure.
//!
//! von Karman (1929), "The impact on seaplane floats during landing", NACA TN 321: the water moves as about a flat plate as wide as
//! the section where it meets the undisturbed surface, added mass (pi/2) rho c² a metre. Wagner (1932), "Ueber Stoss- und
//! Gleitvorgaenge an der Oberflaeche von Fluessigkeiten", ZAMM 12: the water that the section throws up meets it sooner, for a
//! wedge at (pi/2) c. Forms from memory, and as in Faltinsen (1990), Sea Loads, chapter 9.

use crate::hull::ImmersedSection;
use std::f64::consts::FRAC_PI_2;

/// Added mass over density of a section as wide as a flat plate of a half-breadth, m².
pub fn plate_added_mass_m2(half_breadth_m: f64) -> f64 {
    FRAC_PI_2 * half_breadth_m * half_breadth_m
}

/// Half-breadth to which a section is wetted at a level by von Karman: its greatest up to there, m.
pub fn von_karman_half_breadth_m(section: &ImmersedSection, level_m: f64) -> f64 {
    section.greatest_half_breadth_m(level_m)
}

/// Half-breadth to which a section is wetted by Wagner when its keel is `depth_m` below the undisturbed surface, m; at most
/// that of the deck's edge.
///
/// The depth that goes with a half-breadth c is (2/pi) times the integral of the section's height above its keel at c sin(t)
/// over t from 0 to pi/2; solved for c by halving. Sections whose half-breadth never falls towards the deck.
pub fn wagner_half_breadth_m(section: &ImmersedSection, depth_m: f64) -> f64 {
    const STEPS: usize = 64;
    const HALVINGS: usize = 40;
    let height = |y: f64| height_at(section, y);
    let depth_of = |c: f64| {
        let sum: f64 =
            (0..STEPS).map(|i| height(c * (FRAC_PI_2 * (i as f64 + 0.5) / STEPS as f64).sin())).sum();
        sum / STEPS as f64
    };
    let (mut low, mut high) = (0.0, section.edge().y_m);
    if depth_of(high) <= depth_m {
        return high;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if depth_of(middle) < depth_m { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Height above the keel at which a section first reaches a half-breadth, m.
fn height_at(section: &ImmersedSection, y_m: f64) -> f64 {
    let points = section.points();
    let keel = points[0].z_m;
    for pair in points.windows(2) {
        if pair[1].y_m >= y_m && pair[1].y_m > pair[0].y_m {
            let part = ((y_m - pair[0].y_m) / (pair[1].y_m - pair[0].y_m)).max(0.0);
            return pair[0].z_m + part * (pair[1].z_m - pair[0].z_m) - keel;
        }
    }
    section.edge().z_m - keel
}

/// Deadrise below which Wagner's pressure stands for none that water with air in it makes, rad; 4 degrees (from memory:
/// drop tests follow Wagner from 3 to 5 degrees up).
pub const LEAST_DEADRISE_RAD: f64 = 0.069_8;

/// Peak pressure on a wedge that enters at a speed, Pa: (rho/2) (pi/2)² V² cot²(deadrise) (Wagner 1932). A deadrise below
/// [`LEAST_DEADRISE_RAD`] counts as that.
pub fn peak_pressure_pa(rho_kg_m3: f64, entry_m_s: f64, deadrise_rad: f64) -> f64 {
    let spread = FRAC_PI_2 * entry_m_s / deadrise_rad.max(LEAST_DEADRISE_RAD).tan();
    0.5 * rho_kg_m3 * spread * spread
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hull::{DeckedSection, Point};
    use approx::assert_relative_eq;
    use std::f64::consts::PI;

    fn wedge(deadrise_deg: f64) -> ImmersedSection {
        let rise = deadrise_deg.to_radians().tan();
        let points = vec![Point { z_m: -1.0, y_m: 0.0 }, Point { z_m: -1.0 + 3.0 * rise, y_m: 3.0 }];
        ImmersedSection::new(&DeckedSection { x_m: 0.0, points })
    }

    /// The force of a wedge at constant speed is V² dm/dh: pi rho V³ t cot² by von Karman, (pi/2)² of it by Wagner.
    #[test]
    fn wedges_meet_the_closed_forms() {
        for deadrise_deg in [10.0, 20.0, 30.0] {
            let (section, rise) = (wedge(deadrise_deg), f64::to_radians(deadrise_deg).tan());
            let (speed, time, step) = (3.0, 0.05, 1e-4);
            let force = |half_breadth: &dyn Fn(f64) -> f64| {
                let mass = |depth: f64| plate_added_mass_m2(half_breadth(depth));
                let depth = speed * time;
                speed * speed * (mass(depth + step) - mass(depth - step)) / (2.0 * step)
            };
            let plain = PI * speed.powi(3) * time / (rise * rise);
            let karman = force(&|depth| von_karman_half_breadth_m(&section, depth - 1.0));
            let wagner = force(&|depth| wagner_half_breadth_m(&section, depth));
            assert_relative_eq!(karman, plain, max_relative = 1e-9);
            assert_relative_eq!(wagner, plain * FRAC_PI_2 * FRAC_PI_2, max_relative = 1e-3);
        }
    }

    /// By hand: 3 m/s at 20 degrees: pi/2 x 3 x cot = 12.947 m/s, 512.5 x 167.63 = 85.9 kPa.
    #[test]
    fn peak_pressure_by_hand() {
        assert_relative_eq!(
            peak_pressure_pa(1025.0, 3.0, 20_f64.to_radians()),
            85_910.0,
            max_relative = 1e-3
        );
        let flat = peak_pressure_pa(1025.0, 3.0, 0.0);
        assert_eq!(flat, peak_pressure_pa(1025.0, 3.0, LEAST_DEADRISE_RAD));
    }

    /// A box is wetted over its whole bottom at once by both.
    #[test]
    fn a_box_is_wide_at_once() {
        let points = [(-1.0, 0.0), (-1.0, 2.0), (1.0, 2.0)].map(|(z_m, y_m)| Point { z_m, y_m });
        let section = ImmersedSection::new(&DeckedSection { x_m: 0.0, points: points.to_vec() });
        assert_eq!(von_karman_half_breadth_m(&section, -0.999), 2.0);
        assert_eq!(von_karman_half_breadth_m(&section, -1.001), 0.0);
        assert_eq!(wagner_half_breadth_m(&section, 0.001), 2.0);
    }
}
