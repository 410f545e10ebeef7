//! How wave energy spreads over directions about the mean direction of a wave system.

use std::f64::consts::{FRAC_PI_2, PI};

/// Directional distribution of a wave system; `theta` is the angle off its mean direction, rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spreading {
    /// All energy travels in the mean direction.
    LongCrested,
    /// cos^2s(theta) over |theta| < pi/2, s > 0 (ISO 15016:2015, from memory).
    HalfCosine {
        /// Exponent; larger is narrower.
        s: f64,
    },
    /// cos^2s(theta/2) over the full circle, s > 0 (Longuet-Higgins, Cartwright & Smith 1963).
    FullCosine {
        /// Exponent; larger is narrower.
        s: f64,
    },
}

/// Half the angles that hold energy in standard deviations of a narrow sea; 2e-9 of the energy lies outside.
const DEVIATIONS: f64 = 6.0;

impl Spreading {
    /// Energy density per rad, integrating to one; none for a long-crested sea, which has no density.
    pub fn density(self, theta: f64) -> Option<f64> {
        match self {
            Self::LongCrested => None,
            // 2^2s Gamma(s+1)²/(pi Gamma(2s+1)), by the duplication formula
            Self::HalfCosine { s } => Some(self.shape(theta) * gamma_ratio(s) / PI.sqrt()),
            Self::FullCosine { s } => Some(self.shape(theta) * gamma_ratio(s) / (2.0 * PI.sqrt())),
        }
    }

    /// The distribution relative to its value at theta = 0.
    fn shape(self, theta: f64) -> f64 {
        match self {
            Self::LongCrested => 1.0,
            Self::HalfCosine { s } => theta.cos().max(0.0).powf(2.0 * s),
            Self::FullCosine { s } => (theta / 2.0).cos().abs().powf(2.0 * s),
        }
    }

    /// Half the range of theta that holds energy, rad; a narrow cos^2s(theta) is a Gaussian of variance 1/(2s).
    pub fn half_width_rad(self) -> f64 {
        match self {
            Self::LongCrested => 0.0,
            Self::HalfCosine { s } => (DEVIATIONS / (2.0 * s).sqrt()).min(FRAC_PI_2),
            Self::FullCosine { s } => (DEVIATIONS / (s / 2.0).sqrt()).min(PI),
        }
    }
}

/// Gamma(s+1)/Gamma(s+1/2), without overflow at large s.
fn gamma_ratio(s: f64) -> f64 {
    (libm::lgamma(s + 1.0) - libm::lgamma(s + 0.5)).exp()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const EXPONENTS: [f64; 7] = [0.5, 1.0, 3.3, 10.0, 75.0, 400.0, 1e5];

    /// wavespectra 4.9.0 `cartwright` at 30 deg spread: 0.0126005 and 0.0081438 per degree at 0 and 30 deg.
    #[test]
    fn full_circle_equals_wavespectra() {
        // sqrt(2 (1 - m1)) with m1 = s/(s + 1) for this shape (Kuik, van Vledder & Holthuijsen 1988)
        let sea = Spreading::FullCosine { s: 2.0 / 30f64.to_radians().powi(2) - 1.0 };
        let per_degree = |deg: f64| sea.density(deg.to_radians()).unwrap().to_radians();
        assert_relative_eq!(per_degree(0.0), 0.0126005, epsilon = 5e-8);
        assert_relative_eq!(per_degree(30.0), 0.0081438, epsilon = 5e-8);
    }

    /// By hand from the factorials, D(0) = Gamma(s+1)/(2 sqrt(pi) Gamma(s+1/2)): 1/pi at s = 1.
    #[test]
    fn full_circle_peaks() {
        for (s, peak) in
            [(1.0, 0.318310), (5.0, 0.646725), (10.0, 0.903278), (25.0, 1.417544), (75.0, 2.447088)]
        {
            assert_relative_eq!(Spreading::FullCosine { s }.density(0.0).unwrap(), peak, epsilon = 1e-6);
        }
    }

    #[test]
    fn densities_integrate_to_one() {
        for s in EXPONENTS {
            for sea in [Spreading::HalfCosine { s }, Spreading::FullCosine { s }] {
                let steps = 200_000;
                let step = 2.0 * PI / f64::from(steps);
                let sum: f64 =
                    (0..steps).map(|i| sea.density((f64::from(i) + 0.5) * step - PI).unwrap() * step).sum();
                assert_relative_eq!(sum, 1.0, max_relative = 1e-8);
            }
        }
    }

    #[test]
    fn half_circle_is_empty_behind() {
        let wind_sea = Spreading::HalfCosine { s: 1.0 };
        assert_eq!(wind_sea.density(2.0), Some(0.0));
        assert_relative_eq!(wind_sea.density(0.0).unwrap(), 2.0 / PI, max_relative = 1e-14);
    }
}
