//! Two-parameter Lewis forms: the section with a given beam, draught and area.
//!
//! Z = M (s + a1/s + a3/s^3) maps the circle |s| = 1 onto the section (Lewis 1929; closed form for the
//! coefficients as in von Kerczek & Tuck 1969, from memory, confirmed by the tests below). Fluid below, Z = x + i y, y up.

use num_complex::Complex64;
use std::f64::consts::{FRAC_PI_2, PI};

/// Keeps replaced sections inside the open range of forms: at the very bound the section has a cusp.
const MARGIN: f64 = 1e-3;

/// A Lewis form.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lewis {
    /// Scale M, m.
    pub scale_m: f64,
    /// Coefficient of 1/s.
    pub a1: f64,
    /// Coefficient of 1/s³.
    pub a3: f64,
}

/// Whether a form has exactly the area asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// Beam, draught and area are met.
    Exact,
    /// No Lewis form has this area; beam and draught are met, the area is the nearest possible.
    AreaAdjusted,
}

impl Lewis {
    /// The form with this full beam (m), draught (m) and area (m², both sides), all > 0.
    ///
    /// Area coefficients sigma = A/(B T) that no simple Lewis form has are replaced by the nearest one that
    /// does: bounds (3 pi/32)(2 - h) with h = min(H, 1/H), H = B/2T, and (pi/32)(10 + H + 1/H)
    /// (von Kerczek & Tuck 1969, from memory).
    pub fn fit(beam_m: f64, draught_m: f64, area_m2: f64) -> (Self, Fit) {
        let h = beam_m / (2.0 * draught_m);
        let wanted = area_m2 / (beam_m * draught_m);
        let lowest = 3.0 * PI / 32.0 * (2.0 - h.min(1.0 / h));
        let highest = PI / 32.0 * (10.0 + h + 1.0 / h);
        let sigma = wanted.clamp(lowest * (1.0 + MARGIN), highest * (1.0 - MARGIN));
        let fit = if sigma == wanted { Fit::Exact } else { Fit::AreaAdjusted };
        let slenderness = (h - 1.0) / (h + 1.0);
        let c1 = 3.0 + 4.0 * sigma / PI + (1.0 - 4.0 * sigma / PI) * slenderness * slenderness;
        let a3 = (3.0 - c1 + (9.0 - 2.0 * c1).max(0.0).sqrt()) / c1;
        let a1 = (1.0 + a3) * slenderness;
        (Self { scale_m: beam_m / 2.0 / (1.0 + a1 + a3), a1, a3 }, fit)
    }

    /// The point at angle `t` from the keel (0) to the starboard waterline (pi/2), with s = exp(i(t - pi/2)).
    pub fn point(&self, t: f64) -> Complex64 {
        let s = Complex64::cis(t - FRAC_PI_2);
        let inverse = s.conj();
        self.scale_m * (s + self.a1 * inverse + self.a3 * inverse * inverse * inverse)
    }

    /// dZ/dt at angle `t`.
    pub fn tangent(&self, t: f64) -> Complex64 {
        let s = Complex64::cis(t - FRAC_PI_2);
        let inverse = s.conj();
        Complex64::i() * self.scale_m * (s - self.a1 * inverse - 3.0 * self.a3 * inverse * inverse * inverse)
    }
}

/// What tests hold against the dimensions that a section was fitted to.
#[cfg(test)]
impl Lewis {
    /// Full beam, m.
    pub(crate) fn beam_m(&self) -> f64 {
        2.0 * self.scale_m * (1.0 + self.a1 + self.a3)
    }

    /// Draught, m.
    pub(crate) fn draught_m(&self) -> f64 {
        self.scale_m * (1.0 - self.a1 + self.a3)
    }

    /// Immersed area of both sides, m².
    pub(crate) fn area_m2(&self) -> f64 {
        FRAC_PI_2 * self.scale_m * self.scale_m * (1.0 - self.a1 * self.a1 - 3.0 * self.a3 * self.a3)
    }

    /// Added mass in heave over fluid density as frequency grows without bound, m²:
    /// (pi/8) B² ((1+a1)² + 3 a3²)/(1+a1+a3)² (Lewis 1929, Grim 1959, from
    /// memory; the multipole solution tends to it, see its tests).
    pub(crate) fn added_mass_limit_m2(&self) -> f64 {
        let Self { a1, a3, .. } = *self;
        let form = ((1.0 + a1).powi(2) + 3.0 * a3 * a3) / (1.0 + a1 + a3).powi(2);
        PI / 8.0 * self.beam_m() * self.beam_m() * form
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_half_circle_needs_no_coefficients() {
        let (form, fit) = Lewis::fit(2.0, 1.0, FRAC_PI_2);
        assert_eq!(fit, Fit::Exact);
        assert_relative_eq!(form.scale_m, 1.0, max_relative = 1e-12);
        assert!(form.a1.abs() < 1e-12 && form.a3.abs() < 1e-12);
    }

    #[test]
    fn has_the_beam_draught_and_area_asked_for() {
        for (beam, draught, sigma) in
            [(0.3, 0.1875, 2.0 / 3.0), (4.0, 0.35, 0.66), (0.02, 0.5, 0.8), (5.0, 0.1, 0.95)]
        {
            let (form, fit) = Lewis::fit(beam, draught, sigma * beam * draught);
            assert_eq!(fit, Fit::Exact);
            assert_relative_eq!(form.beam_m(), beam, max_relative = 1e-12);
            assert_relative_eq!(form.draught_m(), draught, max_relative = 1e-12);
            assert_relative_eq!(form.area_m2(), sigma * beam * draught, max_relative = 1e-12);
            assert_relative_eq!(form.point(0.0).im, -draught, max_relative = 1e-12);
            assert_relative_eq!(form.point(FRAC_PI_2).re, beam / 2.0, max_relative = 1e-12);
        }
    }

    #[test]
    fn an_impossible_area_becomes_the_nearest_possible() {
        let (thin, fit) = Lewis::fit(2.0, 1.0, 0.2 * 2.0);
        assert_eq!(fit, Fit::AreaAdjusted);
        assert_relative_eq!(thin.area_m2() / 2.0, 3.0 * PI / 32.0, max_relative = 2e-3);
        assert_relative_eq!(thin.draught_m(), 1.0, max_relative = 1e-12);
        assert_eq!(Lewis::fit(2.0, 1.0, 1.5 * 2.0).1, Fit::AreaAdjusted);
    }

    #[test]
    fn tangent_is_the_derivative_of_the_point() {
        let (form, _) = Lewis::fit(4.0, 0.35, 0.66 * 4.0 * 0.35);
        for t in [0.1, 0.7, 1.5] {
            let slope = (form.point(t + 1e-6) - form.point(t - 1e-6)) / 2e-6;
            assert!((slope - form.tangent(t)).norm() < 1e-8);
        }
    }
}
