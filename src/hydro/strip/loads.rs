//! What one regular wave does along a section's outline.

use crate::hydro::strip::prepared::HullSection;
use crate::hydro::strip::table::WIDTH;
use num_complex::Complex64;

/// Wave number with its parts along and across the hull, 1/m, and the sine of the wave angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct IncidentWave {
    pub(super) k: f64,
    pub(super) along: f64,
    pub(super) across: f64,
    sin_mu: f64,
}

/// Integrals around a section, both sides, without the factor exp(-i k x cos mu).
#[derive(Debug, Clone, Copy)]
pub(super) struct SectionLoad {
    /// Integral of N3 e^(kz) cos(k y sin mu), m: the breadth the wave's pressure acts on.
    pub(super) breadth: f64,
    /// Integral of (N3 cos(k y sin mu) - N2 sin mu sin(k y sin mu)) e^(kz) phi, m²: the diffraction integral.
    pub(super) diffraction: Complex64,
}

impl IncidentWave {
    pub(super) fn new(k: f64, mu_rad: f64) -> Self {
        Self { k, along: k * mu_rad.cos(), across: k * mu_rad.sin(), sin_mu: mu_rad.sin() }
    }

    /// exp(-i k x cos mu).
    pub(super) fn phase(&self, x: f64) -> Complex64 {
        Complex64::cis(-self.along * x)
    }

    /// Mean of e^(kz) cos(k y sin mu) over the breadth of a section: the effective wave of the relative motion.
    pub(super) fn effective(&self, section: &HullSection) -> f64 {
        if section.half_beam <= 0.0 {
            return 0.0;
        }
        let sum: f64 = section
            .nodes
            .iter()
            .map(|node| node.dy * (self.k * node.z).exp() * (self.across * node.y).cos())
            .sum();
        sum / section.half_beam
    }

    pub(super) fn load(&self, section: &HullSection, values: &[Complex64; WIDTH]) -> SectionLoad {
        let mut breadth = 0.0;
        let mut diffraction = Complex64::new(0.0, 0.0);
        for (node, phi) in section.nodes.iter().zip(&values[1..]) {
            let depth = (self.k * node.z).exp();
            let (sin, cos) = (self.across * node.y).sin_cos();
            let normal = depth * node.dy * cos;
            // N3 dl = dy and N2 dl = -dz: the normal points into the hull
            let lateral = depth * node.dz * self.sin_mu * sin;
            breadth += normal;
            diffraction += phi * (normal + lateral);
        }
        SectionLoad { breadth: 2.0 * breadth, diffraction: 2.0 * diffraction }
    }
}
