//! Main dimensions and form coefficients of a canoe body, and how they change as foils lift part of it.

/// The canoe body without appendages, at rest and upright. Distances run aft from the forward end of the
/// waterline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HullForm {
    pub lwl_m: f64,
    pub bwl_m: f64,
    /// Draught of the canoe body, without keel.
    pub draught_m: f64,
    /// Displaced volume of the canoe body.
    pub volume_m3: f64,
    /// Prismatic coefficient.
    pub cp: f64,
    /// Midship section coefficient.
    pub cm: f64,
    pub waterplane_area_m2: f64,
    pub lcb_from_fwd_m: f64,
    pub lcf_from_fwd_m: f64,
}

impl HullForm {
    /// The form at a share of the displaced volume.
    ///
    /// Rule (derived here): displaced volume follows draught by a power law V ~ T^m, the one that agrees with
    /// the given waterplane, since dV/dT = Aw gives m = Aw T / V. Waterline length, centroids, Cp, Cm and the
    /// waterplane coefficient stay, so beam follows the waterplane area, Aw ~ B ~ V^(1 - 1/m), and B T ~ V.
    /// A wall-sided box (m = 1) keeps its beam, a wedge (m = 2) narrows as it rises.
    pub fn at_borne_fraction(&self, borne_fraction: f64) -> Self {
        let inverse_m = self.volume_m3 / (self.waterplane_area_m2 * self.draught_m);
        let draught = borne_fraction.powf(inverse_m);
        let beam = borne_fraction / draught;
        Self {
            bwl_m: self.bwl_m * beam,
            draught_m: self.draught_m * draught,
            volume_m3: self.volume_m3 * borne_fraction,
            waterplane_area_m2: self.waterplane_area_m2 * beam,
            ..*self
        }
    }

    /// Slenderness L/V^(1/3).
    pub fn slenderness(&self) -> f64 {
        self.lwl_m / self.volume_m3.cbrt()
    }

    /// Block coefficient V/(L B T).
    pub fn block_coefficient(&self) -> f64 {
        self.volume_m3 / (self.lwl_m * self.bwl_m * self.draught_m)
    }

    /// Wetted surface of the canoe body in m²,
    /// Sc = (1.97 + 0.171 B/T) (0.65/Cm)^(1/3) sqrt(V L)
    /// (Gerritsma, Keuning & Onnink 1992; also in Keuning & Sonnenberg 1998; constants from memory).
    pub fn wetted_surface_m2(&self) -> f64 {
        (1.97 + 0.171 * self.bwl_m / self.draught_m)
            * (0.65 / self.cm).cbrt()
            * (self.volume_m3 * self.lwl_m).sqrt()
    }
}

#[cfg(test)]
pub(super) mod samples {
    use super::HullForm;
    use crate::base::units::RHO_WATER;

    /// An invented 10 m cruiser of 5200 kg.
    pub fn cruiser() -> HullForm {
        HullForm {
            lwl_m: 8.9,
            bwl_m: 2.9,
            draught_m: 0.55,
            volume_m3: 5200.0 / RHO_WATER,
            cp: 0.54,
            cm: 5200.0 / RHO_WATER / (8.9 * 2.9 * 0.55 * 0.54),
            waterplane_area_m2: 0.69 * 8.9 * 2.9,
            lcb_from_fwd_m: 0.535 * 8.9,
            lcf_from_fwd_m: 0.56 * 8.9,
        }
    }

    /// An invented 15.5 m light hull of 7800 kg.
    pub fn foiler() -> HullForm {
        HullForm {
            lwl_m: 15.0,
            bwl_m: 3.3,
            draught_m: 0.33,
            volume_m3: 7800.0 / RHO_WATER,
            cp: 0.598,
            cm: 7800.0 / RHO_WATER / (15.0 * 3.3 * 0.33 * 0.598),
            waterplane_area_m2: 0.70 * 15.0 * 3.3,
            lcb_from_fwd_m: 0.54 * 15.0,
            lcf_from_fwd_m: 0.57 * 15.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// By hand: a box keeps its beam; a wedge of triangular section keeps its angle.
    #[test]
    fn box_and_wedge_rise_as_they_must() {
        let mut hull = samples::cruiser();
        (hull.volume_m3, hull.waterplane_area_m2) = (8.9 * 2.9 * 0.55, 8.9 * 2.9);
        let up = hull.at_borne_fraction(0.25);
        assert_relative_eq!(up.bwl_m, 2.9, max_relative = 1e-12);
        assert_relative_eq!(up.draught_m, 0.1375, max_relative = 1e-12);

        hull.volume_m3 *= 0.5;
        let up = hull.at_borne_fraction(0.25);
        assert_relative_eq!(up.bwl_m, 1.45, max_relative = 1e-12);
        assert_relative_eq!(up.draught_m, 0.275, max_relative = 1e-12);
    }

    /// The waterplane is the derivative of volume with draught at every load.
    #[test]
    fn waterplane_stays_the_slope_of_volume() {
        let hull = samples::foiler();
        let (low, mid, high) =
            (hull.at_borne_fraction(0.399), hull.at_borne_fraction(0.4), hull.at_borne_fraction(0.401));
        let slope = (high.volume_m3 - low.volume_m3) / (high.draught_m - low.draught_m);
        assert_relative_eq!(slope, mid.waterplane_area_m2, max_relative = 1e-5);
        assert_relative_eq!(mid.block_coefficient(), hull.block_coefficient(), max_relative = 1e-12);
    }
}
