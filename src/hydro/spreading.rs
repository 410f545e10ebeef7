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

/// Directions at which [`Spreading::nodes`] samples a spread sea.
pub const DIRECTIONS: u32 = 36;

/// Half-width of the sampled range in standard deviations of a narrow sea; 2e-9 of the energy lies outside.
const SAMPLED_DEVIATIONS: f64 = 6.0;

impl Spreading {
    /// Default for wind sea: cos² (ISO 15016:2015, from memory).
    pub const WIND_SEA: Self = Self::HalfCosine { s: 1.0 };
    /// Default for swell: cos^150 (ISO 15016:2015, from memory).
    pub const SWELL: Self = Self::HalfCosine { s: 75.0 };

    /// The full-circle cosine with a stated directional spread, rad; none outside 0 < spread < sqrt 2.
    ///
    /// Spread is the circular standard deviation sqrt(2 (1 - m1)) of Kuik, van Vledder & Holthuijsen (1988), J. Phys.
    /// Oceanogr. 18:1020-1034; with m1 = s/(s+1) for this shape, s = 2/spread² - 1.
    pub fn from_spread(spread_rad: f64) -> Option<Self> {
        let s = 2.0 / (spread_rad * spread_rad) - 1.0;
        (spread_rad > 0.0 && s > 0.0 && s.is_finite()).then_some(Self::FullCosine { s })
    }

    /// Energy density per rad, integrating to one; none for a long-crested sea, which has no density.
    pub fn density(self, theta: f64) -> Option<f64> {
        match self {
            Self::LongCrested => None,
            // 2^2s Gamma(s+1)²/(pi Gamma(2s+1)), by the duplication formula
            Self::HalfCosine { s } => Some(self.shape(theta) * gamma_ratio(s) / PI.sqrt()),
            Self::FullCosine { s } => Some(self.shape(theta) * gamma_ratio(s) / (2.0 * PI.sqrt())),
        }
    }

    /// Directions and weights that average over the sea: sum of weight * f(theta) for the mean of f.
    ///
    /// Midpoints of [`DIRECTIONS`] equal steps over the part of the circle that holds energy (one direction for a
    /// long-crested sea). Weights sum to one. The mean of a smooth f is exact to 1e-6; a kink of slope change d
    /// costs about d step²/24.
    pub fn nodes(self) -> impl Iterator<Item = (f64, f64)> + Clone {
        let half_width = self.half_width();
        let count = if half_width > 0.0 { DIRECTIONS } else { 1 };
        let step = 2.0 * half_width / f64::from(count);
        let theta = move |i: u32| (f64::from(i) + 0.5) * step - half_width;
        let total: f64 = (0..count).map(|i| self.shape(theta(i))).sum();
        (0..count).map(move |i| (theta(i), self.shape(theta(i)) / total))
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
    fn half_width(self) -> f64 {
        match self {
            Self::LongCrested => 0.0,
            Self::HalfCosine { s } => FRAC_PI_2.min(SAMPLED_DEVIATIONS / (2.0 * s).sqrt()),
            Self::FullCosine { s } => PI.min(SAMPLED_DEVIATIONS / (s / 2.0).sqrt()),
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
        let sea = Spreading::from_spread(30f64.to_radians()).unwrap();
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

    /// By hand: the mean of cos(theta) is s/(s+1) over the full circle and Gamma(s+1)²/(Gamma(s+1/2) Gamma(s+3/2))
    /// over the half circle.
    #[test]
    fn nodes_average_over_the_sea() {
        let mean_cosine =
            |sea: Spreading| sea.nodes().map(|(theta, weight)| weight * theta.cos()).sum::<f64>();
        for s in [1.0, 3.3, 10.0, 75.0, 400.0] {
            assert_relative_eq!(mean_cosine(Spreading::FullCosine { s }), s / (s + 1.0), max_relative = 1e-6);
            let half = gamma_ratio(s).powi(2) / (s + 0.5);
            assert_relative_eq!(mean_cosine(Spreading::HalfCosine { s }), half, max_relative = 1e-6);
        }
        assert_eq!(Spreading::LongCrested.nodes().collect::<Vec<_>>(), [(0.0, 1.0)]);
    }

    #[test]
    fn a_spread_no_sea_can_have_gives_none() {
        for spread_rad in [0.0, -0.1, 1.5, f64::NAN] {
            assert_eq!(Spreading::from_spread(spread_rad), None);
        }
    }

    #[test]
    fn half_circle_is_empty_behind() {
        assert_eq!(Spreading::WIND_SEA.density(2.0), Some(0.0));
        assert_relative_eq!(Spreading::WIND_SEA.density(0.0).unwrap(), 2.0 / PI, max_relative = 1e-14);
    }
}
