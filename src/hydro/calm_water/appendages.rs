//! Friction of keel, rudder, struts: a plate of their chord with a form factor.

use crate::hydro::calm_water::ittc57::friction_n;

/// A lifting surface or fin fixed below the hull.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Appendage {
    /// Wetted area of both sides.
    pub wetted_area_m2: f64,
    /// Mean chord.
    pub chord_m: f64,
    /// Greatest thickness over chord.
    pub thickness_ratio: f64,
}

impl Appendage {
    /// Form factor 1 + k = 1 + 2 t/c + 60 (t/c)^4 of a streamlined section (Hoerner 1965, Fluid-Dynamic Drag,
    /// chapter 6, eq. 6; used for the appendages of the Delft series). Thickness ratios to about 0.3.
    pub fn form_factor(&self) -> f64 {
        1.0 + 2.0 * self.thickness_ratio + 60.0 * self.thickness_ratio.powi(4)
    }

    /// Viscous resistance in N, without lift: ITTC-57 friction on the chord's Reynolds number times the form
    /// factor.
    pub fn resistance_n(&self, speed_m_s: f64) -> f64 {
        self.form_factor() * friction_n(self.wetted_area_m2, self.chord_m, speed_m_s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// By hand: t/c 0.12 gives 1 + 0.24 + 60 * 2.0736e-4 = 1.2524416; Re 1e7 gives C_F 0.003, so
    /// 1.2524416 * 0.5 * 1025 * 2 m² * V² * 0.003 at V = 1e7 * 1.1892e-6 / 1 m = 11.892 m/s is 544.64 N.
    #[test]
    fn fin_by_hand() {
        let fin = Appendage { wetted_area_m2: 2.0, chord_m: 1.0, thickness_ratio: 0.12 };
        assert_relative_eq!(fin.form_factor(), 1.252_441_6, max_relative = 1e-12);
        assert_relative_eq!(fin.resistance_n(11.892), 544.64, max_relative = 1e-4);
    }
}
