//! Air drag of what stands in the wind: a raised foil, a strut, extra gear.

use crate::base::units::RHO_AIR;

/// Drag coefficients on the area that faces the wind (Hoerner 1965, Fluid-Dynamic Drag, chapter 3; from memory).
pub mod drag_coefficient {
    /// Circular cylinder below the critical Reynolds number.
    pub const CYLINDER: f64 = 1.2;
    /// Circular cylinder above it (Re > about 5e5).
    pub const CYLINDER_SUPERCRITICAL: f64 = 0.3;
    /// Flat plate across the wind, aspect ratio near 1: also a foil broadside on.
    pub const PLATE: f64 = 1.17;
    /// Flat plate across the wind, very long.
    pub const LONG_PLATE: f64 = 1.98;
    /// Streamlined strut of thickness 0.25 chord, end on, on its FRONTAL area (0.06 to 0.10).
    pub const STRUT_END_ON: f64 = 0.08;
    /// Rectangular spar.
    pub const RECTANGULAR_SPAR: f64 = 2.0;
}

/// A body in the wind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Windage {
    /// Area that the drag coefficient refers to.
    pub area_m2: f64,
    pub drag_coefficient: f64,
}

/// The force of the wind on a body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindageForce {
    /// Along the apparent wind.
    pub total_n: f64,
    /// Along the course, positive forward: negative while the apparent wind is ahead of the beam.
    pub drive_n: f64,
    /// Across the course, positive to leeward.
    pub side_n: f64,
}

impl Windage {
    /// Force in an apparent wind of `aws_m_s` at `awa_rad` off the bow (0 to pi): half rho_a Cd A AWS² along it.
    pub fn force(&self, aws_m_s: f64, awa_rad: f64) -> WindageForce {
        let total_n = 0.5 * RHO_AIR * self.drag_coefficient * self.area_m2 * aws_m_s * aws_m_s;
        WindageForce { total_n, drive_n: -total_n * awa_rad.cos(), side_n: total_n * awa_rad.sin() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::units::kn_to_m_s;
    use approx::assert_relative_eq;

    /// By hand: 0.5 * 1.225 * 1.2 * 0.6 m² * (15.43333 m/s)² = 105.041 N.
    #[test]
    fn raised_foil_head_to_wind() {
        let foil = Windage { area_m2: 0.6, drag_coefficient: drag_coefficient::CYLINDER };
        let force = foil.force(kn_to_m_s(30.0), 0.0);
        assert_relative_eq!(force.total_n, 105.041, max_relative = 1e-5);
        assert_relative_eq!(force.drive_n, -105.041, max_relative = 1e-5);
        assert_eq!(force.side_n, 0.0);
    }

    #[test]
    fn pushes_with_the_wind_aft() {
        let force = Windage { area_m2: 1.0, drag_coefficient: 1.0 }.force(10.0, 120f64.to_radians());
        assert_relative_eq!(force.drive_n, 0.5 * force.total_n, max_relative = 1e-12);
        assert_relative_eq!(force.drive_n.hypot(force.side_n), force.total_n, max_relative = 1e-12);
    }
}
