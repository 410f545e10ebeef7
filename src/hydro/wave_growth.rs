//! The sea that a steady wind raises in deep water over a fetch or in a time.
//!
//! # Equations
//! With X* = g X / U², U the wind at 10 m: g² m0 / U⁴ = 1.6e-7 X* and f_p U / g = 3.5 X*^-0.33 (Hasselmann et al. 1973, Dtsch.
//! Hydrogr. Z. Suppl. A 8, no. 12: JONSWAP), held at those of the fully developed sea, 3.64e-3 and 0.133 (Pierson & Moskowitz
//! 1964, J. Geophys. Res. 69, 5181, as Holthuijsen 2007, Waves in Oceanic and Coastal Waters, states them). A wind that has
//! blown for D hours raises the sea of the fetch X km with D = 1.167 X^0.7 / U^0.4 (Carter 1982, Ocean Engng 9, 17). Read in
//! the open library ScientiMate, which cites these papers.
//!
//! # Range
//! Steady wind off a straight coast onto deep water, X* from 1e2 to 1e4, beyond which it goes over to the fully developed sea:
//! [`Growth::growing`] says where a sea lies. Real seas scatter by some 20 % in height about any such curve (from memory).

use crate::base::units::G;

/// Growth of m0 with fetch.
const ENERGY: f64 = 1.6e-7;
/// Peak frequency over fetch: factor and power.
const PEAK: (f64, f64) = (3.5, -0.33);
/// m0 and peak frequency of the fully developed sea, dimensionless.
const DEVELOPED: (f64, f64) = (3.64e-3, 0.133);
/// Dimensionless fetches of the measurements at sea that the curve is drawn through (JONSWAP's, from memory).
const RANGE: (f64, f64) = (1e2, 1e4);
/// Hours for a fetch in km in wind in m/s: factor, power of the fetch, power of the wind.
const DURATION: (f64, f64, f64) = (1.167, 0.7, 0.4);

/// The constants of the curve over a fetch, for those who compute it elsewhere.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Constants {
    /// Gravity, m/s².
    pub gravity_m_s2: f64,
    /// g² m0 / U⁴ over X*.
    pub energy: f64,
    /// f_p U / g over X*: factor and power.
    pub peak: (f64, f64),
    /// Both of the fully developed sea.
    pub developed: (f64, f64),
    /// Hours for a fetch in km in a wind in m/s: factor, power of the fetch, power of the wind.
    pub duration: (f64, f64, f64),
    /// X* from and to which the curve was measured.
    pub range: (f64, f64),
}

/// The constants.
pub fn constants() -> Constants {
    Constants {
        gravity_m_s2: G,
        energy: ENERGY,
        peak: PEAK,
        developed: DEVELOPED,
        duration: DURATION,
        range: RANGE,
    }
}

/// Where a sea lies in what the curve was measured over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Growing {
    /// Within.
    Measured,
    /// On a fetch shorter than those measured.
    Short,
    /// On a fetch longer than those measured: on its way to the fully developed sea, at which it is held.
    Long,
}

/// How long the wind has had to raise the sea.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Growth {
    /// Distance to windward without land, m.
    Fetch(f64),
    /// Time that it has blown, s.
    Duration(f64),
}

/// Significant height, m, and peak period, s, of a sea that a steady wind raised.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrownSea {
    /// Significant height, m.
    pub hs_m: f64,
    /// Peak period, s.
    pub tp_s: f64,
}

impl Growth {
    /// The fetch that raises the same sea, m.
    pub fn fetch_m(self, tws_m_s: f64) -> f64 {
        match self {
            Self::Fetch(fetch_m) => fetch_m,
            Self::Duration(seconds) => {
                let (factor, of_fetch, of_wind) = DURATION;
                1000.0 * (seconds / 3600.0 * tws_m_s.powf(of_wind) / factor).powf(1.0 / of_fetch)
            }
        }
    }

    /// Where the sea of a wind above 0 lies in what the curve was measured over.
    pub fn growing(self, tws_m_s: f64) -> Growing {
        let fetch = G * self.fetch_m(tws_m_s) / (tws_m_s * tws_m_s);
        if fetch < RANGE.0 {
            Growing::Short
        } else if fetch > RANGE.1 {
            Growing::Long
        } else {
            Growing::Measured
        }
    }

    /// The sea that a wind above 0 raises.
    pub fn sea(self, tws_m_s: f64) -> GrownSea {
        let fetch = G * self.fetch_m(tws_m_s) / (tws_m_s * tws_m_s);
        let energy = (ENERGY * fetch).min(DEVELOPED.0);
        let peak = (PEAK.0 * fetch.powf(PEAK.1)).max(DEVELOPED.1);
        GrownSea { hs_m: 4.0 * energy.sqrt() * tws_m_s * tws_m_s / G, tp_s: tws_m_s / (peak * G) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// Carter (1982) states the same curve as Hs = 0.0163 X^0.5 U, X in km: within what he rounds and refits.
    #[test]
    fn heights_are_those_of_carters_form() {
        for (km, u) in [(10.0, 8.0), (100.0, 12.0), (300.0, 20.0_f64)] {
            let sea = Growth::Fetch(1000.0 * km).sea(u);
            assert_relative_eq!(sea.hs_m, 0.0163 * km.sqrt() * u, max_relative = 0.015);
        }
    }

    /// By hand: 10 m/s over 100 km, X* = 9806.65: Hs = 4 (1.6e-7 x 9806.65)^0.5 100 / 9.80665 = 1.6157 m; the peak's 3.5 x
    /// 9806.65^-0.33 = 0.16861, so Tp = 10 / (0.16861 x 9.80665) = 6.048 s.
    #[test]
    fn a_sea_by_hand() {
        let sea = Growth::Fetch(100e3).sea(10.0);
        assert_relative_eq!(sea.hs_m, 1.6157, max_relative = 1e-4);
        assert_relative_eq!(sea.tp_s, 6.048, max_relative = 1e-3);
    }

    /// By hand: fully developed at 10 m/s, 4 (3.64e-3)^0.5 100 / 9.80665 = 2.461 m and 10 / (0.133 x 9.80665) = 7.667 s,
    /// whatever is added to the fetch.
    #[test]
    fn a_sea_grows_no_further_than_developed() {
        for km in [400.0, 4000.0] {
            let sea = Growth::Fetch(1000.0 * km).sea(10.0);
            assert_relative_eq!(sea.hs_m, 2.461, max_relative = 1e-3);
            assert_relative_eq!(sea.tp_s, 7.667, max_relative = 1e-3);
        }
    }

    /// By hand: 100 km in 10 m/s take 1.167 x 100^0.7 / 10^0.4 = 11.67 h.
    #[test]
    fn a_time_stands_for_a_fetch() {
        assert_relative_eq!(Growth::Duration(11.67 * 3600.0).fetch_m(10.0), 100e3, max_relative = 1e-3);
    }

    /// By hand: 10 m/s over 100 km is X* = 9807; 20 m/s over 2 km, 49; 10 m/s over 200 km, 19613.
    #[test]
    fn where_the_curve_was_measured() {
        let growing = |km: f64, u: f64| Growth::Fetch(1000.0 * km).growing(u);
        assert_eq!(growing(100.0, 10.0), Growing::Measured);
        assert_eq!(growing(2.0, 20.0), Growing::Short);
        assert_eq!(growing(200.0, 10.0), Growing::Long);
    }
}
