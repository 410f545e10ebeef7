//! Air drag of what stands in the wind: hull and rig, a raised foil, a strut, extra gear.
//!
//! A body enters by its drag area: the area that faces the wind times the drag coefficient on it. Coefficients (Hoerner
//! 1965, Fluid-Dynamic Drag, chapter 3; from memory):
//!
//! | body | coefficient |
//! |---|---|
//! | circular cylinder, Re below about 5e5 | 1.2 |
//! | the same, Re above | 0.3 |
//! | flat plate across the wind, aspect ratio near 1; a foil broadside on | 1.17 |
//! | flat plate across the wind, very long | 1.98 |
//! | streamlined strut of thickness 0.25 chord, end on, on its frontal area | 0.06 to 0.10 |
//! | rectangular spar | 2.0 |

use crate::base::units::RHO_AIR;

/// Drag along the course per drag area, N/m², in an apparent wind of `aws_m_s` at `awa_rad` off the bow (0 to pi): half
/// rho_a AWS² cos(AWA). Negative where the wind comes from abaft the beam and pushes.
pub fn drag_n_per_m2(aws_m_s: f64, awa_rad: f64) -> f64 {
    0.5 * RHO_AIR * aws_m_s.powi(2) * awa_rad.cos()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::units::kn_to_m_s;
    use approx::assert_relative_eq;

    /// By hand: 0.5 * 1.225 * 1.2 * 0.6 m² * (15.43333 m/s)² = 105.041 N.
    #[test]
    fn raised_foil_head_to_wind() {
        assert_relative_eq!(1.2 * 0.6 * drag_n_per_m2(kn_to_m_s(30.0), 0.0), 105.041, max_relative = 1e-5);
    }

    /// By hand: 0.5 * 1.225 * 10² * cos 120 = -30.625 N/m².
    #[test]
    fn pushes_with_the_wind_aft() {
        assert_relative_eq!(drag_n_per_m2(10.0, 120f64.to_radians()), -30.625, max_relative = 1e-12);
    }
}
