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

/// How a wave system's spreading goes with frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SpreadingByFrequency {
    /// The same at every frequency.
    Same(Spreading),
    /// cos^2s(theta/2), narrowest at the peak and wider on both sides of it (Mitsuyasu et al. 1975; Goda & Suzuki 1975):
    /// s = s_max (f/fp)^5 below, s_max (f/fp)^-2.5 above.
    Mitsuyasu {
        /// Exponent at the peak: 10 for wind waves (Goda & Suzuki 1975); measured 5 to 30 (Mitsuyasu et al. 1975).
        s_max: f64,
    },
}

impl SpreadingByFrequency {
    /// The spreading at a frequency over that of the peak, > 0.
    pub fn at(self, relative_frequency: f64) -> Spreading {
        match self {
            Self::Same(spreading) => spreading,
            Self::Mitsuyasu { s_max } => {
                Spreading::FullCosine { s: mitsuyasu_exponent(s_max, relative_frequency) }
            }
        }
    }
}

/// The exponent of [`SpreadingByFrequency::Mitsuyasu`] at a frequency over that of the peak, > 0.
pub fn mitsuyasu_exponent(s_max: f64, relative_frequency: f64) -> f64 {
    let power = if relative_frequency <= 1.0 { 5.0 } else { -2.5 };
    s_max * relative_frequency.powf(power)
}

/// Fourier coefficients of cos^2s(theta/2): the means of cos(n theta) for n from 0.
///
/// rho_n = Gamma(s+1)²/(Gamma(s+n+1) Gamma(s-n+1)), so rho_n = rho_(n-1) (s-n+1)/(s+n) (Longuet-Higgins, Cartwright &
/// Smith 1963). A response with the cosine series sum c_n cos(n mu) has the mean sum c_n rho_n cos(n mu).
pub fn full_cosine_series<const ORDERS: usize>(s: f64) -> [f64; ORDERS] {
    let mut rho = 1.0;
    std::array::from_fn(|n| {
        if n > 0 {
            rho *= (s - n as f64 + 1.0) / (s + n as f64);
        }
        rho
    })
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

    /// `tests/reference/swell_and_spreading.py` (scipy quadrature): orders 1, 2, 3, 5, 10, 18.
    #[test]
    fn series_equals_quadrature() {
        for (s, means) in [
            (0.1, [0.0909090909, -0.0389610390, 0.0238793465, 0.0129160884, -0.0056183569, -0.0027747018]),
            (0.5, [0.3333333333, -0.0666666667, 0.0285714286, 0.0101010101, -0.0025062657, -0.0007722008]),
            (2.5, [0.7142857143, 0.2380952381, 0.0216450216, 0.0003330003, -0.0000038459, -0.0000001062]),
            (10.0, [0.9090909091, 0.6818181818, 0.4195804196, 0.0839160839, 0.0000054125, 0.0]),
        ] {
            let series: [f64; 19] = full_cosine_series(s);
            for (order, mean) in [1, 2, 3, 5, 10, 18].into_iter().zip(means) {
                assert_relative_eq!(series[order], mean, epsilon = 2e-10);
            }
        }
    }

    /// By hand: 10 x 0.8^5 = 3.2768, 10 x 4^-2.5 = 0.3125.
    #[test]
    fn a_wind_sea_is_narrowest_at_its_peak() {
        let law = SpreadingByFrequency::Mitsuyasu { s_max: 10.0 };
        for (relative, s) in [(0.8, 3.2768), (1.0, 10.0), (4.0, 0.3125)] {
            let Spreading::FullCosine { s: found } = law.at(relative) else { panic!("a full cosine") };
            assert_relative_eq!(found, s, max_relative = 1e-12);
        }
    }

    #[test]
    fn half_circle_is_empty_behind() {
        let wind_sea = Spreading::HalfCosine { s: 1.0 };
        assert_eq!(wind_sea.density(2.0), Some(0.0));
        assert_relative_eq!(wind_sea.density(0.0).unwrap(), 2.0 / PI, max_relative = 1e-14);
    }
}
