//! Frequency spectra of a wave system, their periods, and the steepness a sea can have.
//!
//! Densities are in m² s (per rad/s). Deep or deepish water, one peak. A sea's short waves fall off as omega^-5; a swell has
//! left them behind.

use std::f64::consts::TAU;

use crate::hydro::dispersion::wave_length_m;
use crate::sea::{Period, PeriodKind};

/// Steepest sea, Hs over the deep-water length of the peak period, for Tp <= 8 s (DNV-RP-C205, 3.5.4, from memory;
/// it falls to 1/25 at Tp >= 15 s).
pub const STEEPEST_SEA: f64 = 1.0 / 15.0;

/// The form of a spectrum; height and period scale it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SpectrumShape {
    /// Bretschneider (1959), also called two-parameter Pierson-Moskowitz: a fully developed sea.
    Bretschneider,
    /// JONSWAP (Hasselmann et al. 1973): a growing sea with a sharper peak.
    Jonswap {
        /// Peak enhancement, 1 to 10: the range for which the moments are normalised to 1e-9. 1 is Bretschneider,
        /// measured seas reach 7.
        gamma: f64,
    },
    /// One system of Ochi & Hubble (1976): Bretschneider at L = 1, with ever fewer short waves as L grows.
    OchiHubble {
        /// Shape parameter L, above 1/2: short waves fall off as omega^-(4L+1).
        l: f64,
    },
}

/// A shape scaled to one sea: evaluates the density without repeating what is constant.
#[derive(Debug, Clone, Copy)]
pub struct Spectrum {
    shape: SpectrumShape,
    peak: f64,
    scale: f64,
}

/// Powers of ln gamma in [`JONSWAP_MOMENTS`].
const POWERS: usize = 19;

/// Moments of order -1, 0, 1, 2 of the JONSWAP shape with wp = 1, m0 = 1 at gamma = 1: row n times (ln gamma)^n.
///
/// gamma^e = sum (ln gamma)^n e^n/n! turns each moment into a power series; coefficients by mpmath, see
/// `tests/reference/jonswap_moments.py`. The first row is Bretschneider: 1.25^(k/4) Gamma(1 - k/4).
const JONSWAP_MOMENTS: [[f64; 4]; POWERS] = [
    [0.857222537054911, 1.0, 1.295720406926775, 1.981663648803006],
    [0.2681723376192327, 0.2708347302208149, 0.275046176980099, 0.2808792364828595],
    [9.773657142799918e-2, 9.851140060517236e-2, 9.958664707164061e-2, 0.1009727442969539],
    [2.68907625407022e-2, 2.707669725994984e-2, 2.731901003507966e-2, 2.761936016580619e-2],
    [5.855229788916215e-3, 5.891755545485167e-3, 5.93760132574118e-3, 5.993010769093999e-3],
    [1.051131610318641e-3, 1.057163921181816e-3, 1.06454510974544e-3, 1.073307292877164e-3],
    [1.603145669979804e-4, 1.61172047438834e-4, 1.622018894063678e-4, 1.634078909990472e-4],
    [2.124113216348277e-5, 2.134802063754592e-5, 2.147456203862648e-5, 2.162116165111934e-5],
    [2.487068758380269e-6, 2.498927422758876e-6, 2.512805777309218e-6, 2.528743123877925e-6],
    [2.608210770802364e-7, 2.620060744416188e-7, 2.633798097678226e-7, 2.649457709051419e-7],
    [2.476568483171602e-8, 2.487338513289109e-8, 2.499724723624373e-8, 2.513755622414289e-8],
    [2.14824198295605e-9, 2.157217596095387e-9, 2.167469846731367e-9, 2.179020319195176e-9],
    [1.715064382297997e-10, 1.721970576744215e-10, 1.729812402169914e-10, 1.738605073582492e-10],
    [1.268207870241918e-11, 1.273142881241364e-11, 1.278717325325487e-11, 1.284941233260219e-11],
    [8.733211279261286e-13, 8.766127762691056e-13, 8.803137493157987e-13, 8.844302567840096e-13],
    [5.627043500990906e-14, 5.647627774879857e-14, 5.67067598377138e-14, 5.696224355857531e-14],
    [3.40647163800179e-15, 3.418587235246488e-15, 3.432102410693522e-15, 3.44703714726555e-15],
    [1.944613548733996e-16, 1.951348586122844e-16, 1.958836164902378e-16, 1.96708673638112e-16],
    [1.050211264910197e-17, 1.053758246450936e-17, 1.057689334133509e-17, 1.062009724604845e-17],
];

impl SpectrumShape {
    /// The period of a kind over the peak period, exact for the shape (to omega -> infinity).
    pub fn period_ratio(self, kind: PeriodKind) -> f64 {
        let [inverse, m0, m1, m2] = self.unit_moments();
        match kind {
            PeriodKind::Peak => 1.0,
            PeriodKind::Tm01 => m0 / m1,
            PeriodKind::Tm02 => (m0 / m2).sqrt(),
            PeriodKind::Tm10 => inverse / m0,
        }
    }

    /// Moments of order -1, 0, 1, 2 with wp = 1, relative to Bretschneider's m0.
    fn unit_moments(self) -> [f64; 4] {
        match self {
            Self::Bretschneider => JONSWAP_MOMENTS[0],
            Self::Jonswap { gamma } => {
                let ln_gamma = gamma.ln();
                JONSWAP_MOMENTS
                    .iter()
                    .rev()
                    .fold([0.0; 4], |sum, row| std::array::from_fn(|k| sum[k] * ln_gamma + row[k]))
            }
            // by u = (L + 1/4) x^-4 the integral of x^n S is a Gamma function
            Self::OchiHubble { l } => [-1.0, 0.0, 1.0, 2.0].map(|order: f64| {
                let quarters = order / 4.0;
                (quarters * (l + 0.25).ln() + libm::lgamma(l - quarters) - libm::lgamma(l)).exp()
            }),
        }
    }

    /// gamma^e at x = omega/wp; the peak width is 0.07 below the peak and 0.09 above (Hasselmann et al. 1973).
    fn enhancement(self, x: f64) -> f64 {
        let Self::Jonswap { gamma } = self else { return 1.0 };
        let sigma = if x <= 1.0 { 0.07 } else { 0.09 };
        gamma.powf((-0.5 * ((x - 1.0) / sigma).powi(2)).exp())
    }
}

impl Spectrum {
    /// Scales a shape so that 4 sqrt(m0) is exactly Hs; both arguments > 0.
    ///
    /// DNV-RP-C205's factor for JONSWAP, 1 - 0.287 ln gamma, leaves Hs up to 0.9 % low at gamma 7; here m0 is exact
    /// instead, so a stated Hs is the sea's Hs whatever its shape.
    pub fn new(shape: SpectrumShape, hs_m: f64, tp_s: f64) -> Self {
        let peak = TAU / tp_s;
        let scale = match shape {
            SpectrumShape::OchiHubble { l } => 0.25 * (l * (l + 0.25).ln() - libm::lgamma(l)).exp(),
            SpectrumShape::Bretschneider | SpectrumShape::Jonswap { .. } => {
                5.0 / 16.0 / shape.unit_moments()[1]
            }
        };
        Self { shape, peak, scale: scale * hs_m * hs_m / peak }
    }

    /// Spectral density, m² s per rad/s, at `omega`, rad/s; zero at omega <= 0.
    ///
    /// 5/16 Hs² wp⁴ w⁻⁵ exp(-5/4 (w/wp)⁻⁴), times the peak enhancement (DNV-RP-C205, 3.5.5); or, with a = L + 1/4,
    /// 1/4 (a wp⁴)^L/Gamma(L) Hs² w^-(4L+1) exp(-a (w/wp)⁻⁴) (Ochi & Hubble 1976, one system).
    pub fn density(&self, omega: f64) -> f64 {
        if omega <= 0.0 {
            return 0.0;
        }
        let x = omega / self.peak;
        let x4 = x.powi(-4);
        if let SpectrumShape::OchiHubble { l } = self.shape {
            return self.scale * (-(4.0 * l + 1.0) * x.ln() - (l + 0.25) * x4).exp();
        }
        self.scale * x4 / x * (-1.25 * x4).exp() * self.shape.enhancement(x)
    }
}

/// The peak enhancement DNV-RP-C205 (3.5.5.5) advises where none is known: 5 in steep seas, 1 in long ones.
pub fn gamma_dnv(hs_m: f64, tp_s: f64) -> f64 {
    let ratio = tp_s / hs_m.sqrt();
    if ratio <= 3.6 {
        5.0
    } else if ratio < 5.0 {
        (5.75 - 1.15 * ratio).exp()
    } else {
        1.0
    }
}

/// The least and greatest L that [`swell_exponent`] gives.
///
/// Where a system is steeper than 1/12.6 the rule falls below 1.5, but no swell is. At 3.5 (Hs over length 1/208) 0.8 % of
/// the energy is left above 1.6 times the peak frequency, 0.05 % above twice: a narrower peak would change no force of note
/// and only make the tables larger.
pub const SWELL_EXPONENTS: (f64, f64) = (1.5, 3.5);

/// The L of a swell of this height and peak period: the Wallop spectrum's slope (Huang, Long, Tung, Yuen & Bliven 1981),
/// kept within [`SWELL_EXPONENTS`].
///
/// N = |ln(2 pi²) + 2 ln(Hs/4) - 2 ln(lambda_p)|/ln 2 with the deep-water length of the peak; the Wallop spectrum
/// w^-N exp(-N/4 (w/wp)^-4) is one system of Ochi & Hubble with N = 4L + 1. Laboratory waves are behind it; of a forecast's
/// swells steep ones get about 2.3, old ones 3 to 4. Ochi & Hubble found L = 3 likeliest for the low-frequency part of
/// North Atlantic seas, 1.35 to 4.95 in nine of their ten other members.
///
/// What the choice is worth, N of added resistance at L 1.5, by this rule and at 3 on a foiler of 15 m at 10 kn, 30 degrees
/// off head (`examples/short_waves.rs` prints these and others): 1.5 m 6 s 894, 500, 339; 2 m 8 s 374, 100, 64; 3.5 m 13 s
/// 75, 4, 3. A JONSWAP of gamma 3.3 with radiated energy alone: 946, 594, 278.
pub fn swell_exponent(hs_m: f64, tp_s: f64) -> f64 {
    let slope = std::f64::consts::SQRT_2 * std::f64::consts::PI * hs_m / 4.0 / wave_length_m(tp_s);
    let n = 2.0 * slope.log2().abs();
    ((n - 1.0) / 4.0).clamp(SWELL_EXPONENTS.0, SWELL_EXPONENTS.1)
}

/// The peak period of a sea whose period is stated in any kind, by the exact ratio of its shape.
///
/// The kind, not the shape, is the large error: Tm02 taken for Tp is 22 to 29 % low.
pub fn peak_period_s(period: Period, shape: SpectrumShape) -> f64 {
    period.seconds / shape.period_ratio(period.kind)
}

/// Hs over the deep-water wave length of the peak period; compare with [`STEEPEST_SEA`].
pub fn significant_steepness(hs_m: f64, tp_s: f64) -> f64 {
    hs_m / wave_length_m(tp_s)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use std::f64::consts::LN_2;

    const SHAPES: [SpectrumShape; 7] = [
        SpectrumShape::Bretschneider,
        SpectrumShape::Jonswap { gamma: 1.0 },
        SpectrumShape::Jonswap { gamma: 3.3 },
        SpectrumShape::Jonswap { gamma: 7.0 },
        SpectrumShape::Jonswap { gamma: 10.0 },
        SpectrumShape::OchiHubble { l: 1.0 },
        SpectrumShape::OchiHubble { l: 3.0 },
    ];

    /// Hs 2 m, Tp 8 s, per Hz at 0.1, 0.125, 0.2, 0.3 Hz. Bretschneider: mhkit 1.1.2 `pierson_moskowitz_spectrum`;
    /// JONSWAP 3.3: wavespectra 4.9.0, which also makes Hs exact, by a sum over its own coarse frequencies.
    #[test]
    fn densities_equal_mhkit_and_wavespectra() {
        let jonswap = SpectrumShape::Jonswap { gamma: 3.3 };
        for (hz, bretschneider, jonswap_3_3) in [
            (0.1, 1.4427414, 0.9653808),
            (0.125, 2.8650480, 6.1979030),
            (0.2, 0.7880704, 0.5167907),
            (0.3, 0.1209432, 0.0793104),
        ] {
            let per_hz = |shape: SpectrumShape| density(shape, TAU * hz) * TAU;
            assert_relative_eq!(per_hz(SpectrumShape::Bretschneider), bretschneider, epsilon = 1e-7);
            assert_relative_eq!(per_hz(jonswap), jonswap_3_3, max_relative = 4e-4);
        }
    }

    /// mhkit 1.1.2 `jonswap_spectrum` (DNV factor) at the same frequencies, once rescaled to an exact Hs.
    #[test]
    fn jonswap_differs_from_the_dnv_factor_by_its_height_error_alone() {
        let gamma = 3.3f64;
        let hs_error = 1.001207372; // Hm0/Hs with the DNV factor, mpmath quadrature
        for (hz, dnv) in [(0.1, 0.9676846), (0.125, 6.2149653), (0.2, 0.5180335), (0.3, 0.0795013)] {
            let exact = density(SpectrumShape::Jonswap { gamma }, TAU * hz) * TAU;
            assert_relative_eq!(exact * hs_error * hs_error, dnv, max_relative = 1e-6);
        }
    }

    /// mpmath quadrature, `tests/reference/jonswap_moments.py`: Tm01, Tm02, Tm-10 over Tp.
    #[test]
    fn period_ratios_equal_direct_quadrature() {
        for (gamma, tm01, tm02, tm10) in [
            (1.0, 0.771771436688, 0.710370680986, 0.857222537055),
            (2.0, 0.806295593802, 0.746436099857, 0.883539070622),
            (3.3, 0.83432796339, 0.777399207609, 0.903295867628),
            (5.0, 0.858344077505, 0.805285786094, 0.919193249012),
            (7.0, 0.877474964021, 0.828497656569, 0.931234407372),
            (10.0, 0.896731115168, 0.852842542443, 0.942837376662),
        ] {
            let ratio = |kind| SpectrumShape::Jonswap { gamma }.period_ratio(kind);
            assert_relative_eq!(ratio(PeriodKind::Tm01), tm01, max_relative = 1e-10);
            assert_relative_eq!(ratio(PeriodKind::Tm02), tm02, max_relative = 1e-10);
            assert_relative_eq!(ratio(PeriodKind::Tm10), tm10, max_relative = 1e-10);
        }
    }

    /// DNV-RP-C205 3.5.5.4: cubic fits of Tz/Tp and T1/Tp for 1 <= gamma < 7, good to 0.3 %.
    #[test]
    fn period_ratios_agree_with_the_dnv_fits() {
        for gamma in [1.0, 2.0, 3.3, 5.0, 6.9f64] {
            let cubic = |c: [f64; 4]| c[0] + gamma * (c[1] + gamma * (c[2] + gamma * c[3]));
            let shape = SpectrumShape::Jonswap { gamma };
            let tz = cubic([0.6673, 0.05037, -0.006230, 0.0003341]);
            let t1 = cubic([0.7303, 0.04936, -0.006556, 0.0003610]);
            assert_relative_eq!(shape.period_ratio(PeriodKind::Tm02), tz, max_relative = 3e-3);
            assert_relative_eq!(shape.period_ratio(PeriodKind::Tm01), t1, max_relative = 3e-3);
        }
    }

    /// By hand: Tz/Tp = (5 pi/4)^(-1/4), T1/Tp = 1.25^(-1/4)/Gamma(3/4), Te/Tp = Gamma(5/4) 1.25^(-1/4).
    #[test]
    fn bretschneider_ratios_are_closed_forms() {
        let ratio = |kind| SpectrumShape::Bretschneider.period_ratio(kind);
        let quarter = 1.25f64.powf(-0.25);
        assert_relative_eq!(ratio(PeriodKind::Tm02), (1.25 * TAU / 2.0).powf(-0.25), max_relative = 1e-14);
        assert_relative_eq!(ratio(PeriodKind::Tm01), quarter / libm::tgamma(0.75), max_relative = 1e-14);
        assert_relative_eq!(ratio(PeriodKind::Tm10), quarter * libm::tgamma(1.25), max_relative = 1e-14);
        let mean = Period { seconds: 7.71771, kind: PeriodKind::Tm01 };
        assert_relative_eq!(peak_period_s(mean, SpectrumShape::Bretschneider), 10.0, max_relative = 1e-6);
        assert_eq!(peak_period_s(Period { seconds: 9.0, kind: PeriodKind::Peak }, SHAPES[2]), 9.0);
    }

    /// At L = 1 the formula is Bretschneider's term by term.
    #[test]
    fn ochi_hubble_begins_as_bretschneider() {
        for omega in [0.5, 0.7, 0.785, 1.0, 1.5, 4.0] {
            let swell = density(SpectrumShape::OchiHubble { l: 1.0 }, omega);
            assert_relative_eq!(swell, density(SpectrumShape::Bretschneider, omega), max_relative = 1e-12);
        }
    }

    /// `tests/reference/swell_and_spreading.py` (scipy quadrature): Tm01, Tm02, Tm-10 over Tp.
    #[test]
    fn ochi_hubble_periods_equal_direct_quadrature() {
        for (l, tm01, tm02, tm10) in [
            (1.0, 0.7717714367, 0.7103706810, 0.8572225371),
            (1.5, 0.8500888988, 0.8184892093, 0.9016554374),
            (2.29, 0.9028057625, 0.8851621068, 0.9342059844),
            (3.0, 0.9261387334, 0.9135368231, 0.9493203243),
        ] {
            let ratio = |kind| SpectrumShape::OchiHubble { l }.period_ratio(kind);
            assert_relative_eq!(ratio(PeriodKind::Tm01), tm01, max_relative = 1e-9);
            assert_relative_eq!(ratio(PeriodKind::Tm02), tm02, max_relative = 1e-9);
            assert_relative_eq!(ratio(PeriodKind::Tm10), tm10, max_relative = 1e-9);
        }
    }

    /// Same script: Hs²/16 in all, and the shares of it above 1.6 and 2 times the peak frequency.
    #[test]
    fn ochi_hubble_keeps_height_and_leaves_the_short_waves() {
        for (l, above_1_6, above_2) in
            [(1.0, 0.173648, 0.075151), (1.5, 0.088652, 0.025493), (3.0, 0.014080, 0.001200)]
        {
            let sea = Spectrum::new(SpectrumShape::OchiHubble { l }, 2.0, 8.0);
            let from = |relative: f64| {
                moment(0, 8.0, |w| if w * 8.0 > relative * TAU { sea.density(w) } else { 0.0 })
            };
            assert_relative_eq!(from(0.0), 4.0 / 16.0, max_relative = 3e-5);
            // the edge cuts a step of the quadrature in two
            assert_relative_eq!(from(1.6) / from(0.0), above_1_6, max_relative = 0.1);
            assert_relative_eq!(from(2.0) / from(0.0), above_2, max_relative = 1e-2);
        }
    }

    /// By hand from N = |ln(2 pi²) + 2 ln(Hs/4) - 2 ln(lambda_p)|/ln 2, L = (N - 1)/4.
    #[test]
    fn a_swell_is_the_cleaner_the_longer_it_is_for_its_height() {
        for (hs_m, tp_s, l) in
            [(1.5, 6.0, 2.28787), (2.0, 8.0, 2.49538), (3.5, 13.0, 2.79215), (2.35, 7.7, 2.32391)]
        {
            assert_relative_eq!(swell_exponent(hs_m, tp_s), l, max_relative = 1e-5);
        }
        assert_eq!(swell_exponent(0.3, 14.0), SWELL_EXPONENTS.1);
        assert_eq!(swell_exponent(6.0, 5.0), SWELL_EXPONENTS.0);
    }

    fn density(shape: SpectrumShape, omega: f64) -> f64 {
        Spectrum::new(shape, 2.0, 8.0).density(omega)
    }

    /// The integral of omega^n S(omega) by midpoints of 32 steps an octave, from one octave below the peak (2e-9 of
    /// the energy lies under it) to four above.
    fn moment(n: i32, tp_s: f64, density: impl Fn(f64) -> f64) -> f64 {
        let step = 1.0 / 32.0;
        let of_node = |i: i32| {
            let omega = TAU / tp_s * ((f64::from(i) + 0.5) * step).exp2();
            omega.powi(n + 1) * density(omega) * LN_2 * step
        };
        (-32..4 * 32).map(of_node).sum()
    }

    /// The stated truncation: 1.25/16⁴ of m0 and 2.5/16² / 1.9817 of m2, less for sharper peaks.
    #[test]
    fn moments_by_quadrature_miss_only_the_tail() {
        for shape in SHAPES {
            let sea = Spectrum::new(shape, 3.0, 9.0);
            let m0 = moment(0, 9.0, |omega| sea.density(omega));
            let m2 = moment(2, 9.0, |omega| sea.density(omega));
            assert_relative_eq!(4.0 * m0.sqrt(), 3.0, max_relative = 1.1e-5);
            let tm02 = 9.0 * shape.period_ratio(PeriodKind::Tm02);
            assert_relative_eq!(TAU * (m0 / m2).sqrt(), tm02, max_relative = 2.6e-3);
        }
    }

    /// DNV-RP-C205 3.5.5.5, by hand: exp(5.75 - 1.15 * 6/sqrt 2) = 2.38921.
    #[test]
    fn gamma_follows_steepness() {
        for (hs_m, tp_s, gamma) in [(4.0, 7.0, 5.0), (2.0, 6.0, 2.38921), (1.0, 3.0, 5.0), (2.0, 8.0, 1.0)] {
            assert_relative_eq!(gamma_dnv(hs_m, tp_s), gamma, epsilon = 5e-6);
        }
    }

    /// By hand: Tp 8 s is 99.890 m long.
    #[test]
    fn steepness_uses_the_peak_length() {
        assert_relative_eq!(significant_steepness(4.0, 8.0), 4.0 / 99.890, max_relative = 1e-5);
        assert!(
            significant_steepness(4.0, 8.0) < STEEPEST_SEA && significant_steepness(4.0, 6.0) > STEEPEST_SEA
        );
    }

    #[test]
    fn no_energy_without_frequency() {
        for shape in SHAPES {
            assert_eq!(density(shape, 0.0), 0.0);
            assert_eq!(density(shape, 1e-9), 0.0);
        }
    }
}
